//! `cargo xtask`: builds, runs, tests and tidies Slowstone with what the machine
//! has, and says plainly what it has not. Standard library only, so that it builds
//! in seconds. One module to a subject; the commands are listed in `USAGE`.

mod bench;
mod bundle;
mod deny;
mod desktop;
mod example;
mod fresh;
mod outside;
mod process;
mod run;
mod setup;
mod suite;
mod tidy;
mod types;
mod ui;
mod wasm;

use std::process::ExitCode;

/// What a command gives back: nothing, or what went wrong and what to do about it.
pub type Outcome<T = ()> = Result<T, String>;

const USAGE: &str = "\
cargo xtask COMMAND

  run [--empty] [--data DIR] [--port N] [--no-open]
             build what is out of date, then start the hub and open a browser on it
  desktop [--no-run | --bundle]
             the same in a window of its own (Tauri); --bundle makes a package for
             Debian of it (a .deb, from a release build: takes a while)
  test       every test there is, with a summary at the end
  tidy       the rules of the house that no compiler checks
  setup [--all | --run | --desktop | --bench]
             install the system packages that are missing; --bench: what `bench`
             compares with, and works without
  ui         the web app into ui/dist
  wasm       the core for the browser into ui/public, with its size told
  types [--check]
             the TypeScript types that the web app shares with the core
  bench [PART...] [--markdown] [-- SIZES]
             speed, each beside an anchor of the same run, in one table; parts are
             engine, fold, browser, photos, colour, hub and ui
  deny       licences, bans and sources of the crates (cargo-deny)
  outside    questions to a running hub, made from its OpenAPI document
  fresh      the first command of README.md on a bare Debian 12 (root, debootstrap)
  example    the worked example of DEVELOPERS.md, played through on a copy
";

fn main() -> ExitCode {
    let mut words = std::env::args().skip(1);
    let command = words.next().unwrap_or_default();
    let rest: Vec<String> = words.collect();
    match dispatch(&command, &rest) {
        Ok(()) => ExitCode::SUCCESS,
        Err(reason) => {
            eprintln!("\nxtask {command}: {reason}");
            ExitCode::FAILURE
        }
    }
}

fn dispatch(command: &str, rest: &[String]) -> Outcome {
    match command {
        "run" => run::run(rest),
        "desktop" => {
            let given = flag(rest, &["--run", "--no-run", "--bundle"])?;
            match given.contains(&"--bundle") {
                true => bundle::run(),
                false => desktop::build_and_run(!given.contains(&"--no-run")),
            }
        }
        "test" => flag(rest, &[]).and_then(|_| suite::run()),
        "tidy" => flag(rest, &[]).and_then(|_| tidy::run()),
        "setup" => {
            let given = flag(rest, &["--all", "--run", "--desktop", "--bench"])?;
            setup::run(match given.last().copied() {
                Some("--run") => setup::FOR_RUN,
                Some("--desktop") => setup::FOR_DESKTOP,
                Some("--bench") => setup::FOR_BENCH,
                _ => setup::FOR_ALL,
            })
        }
        "ui" => {
            flag(rest, &[])?;
            wasm::build()?;
            ui::build()
        }
        "wasm" => flag(rest, &[]).and_then(|_| wasm::build()),
        "types" => match flag(rest, &["--check"])?.is_empty() {
            true => types::write(),
            false => types::check(),
        },
        "bench" => bench::bench(rest),
        "deny" => flag(rest, &[]).and_then(|_| deny::run()),
        "outside" => flag(rest, &[]).and_then(|_| outside::run()),
        "fresh" => flag(rest, &[]).and_then(|_| fresh::run()),
        "example" => flag(rest, &[]).and_then(|_| example::run()),
        "" | "help" | "--help" | "-h" => {
            print!("{USAGE}");
            Ok(())
        }
        _ => Err(format!("there is no such command.\n\n{USAGE}")),
    }
}

/// The words of `given`, all of which must be among `known`.
fn flag<'a>(given: &'a [String], known: &[&str]) -> Outcome<Vec<&'a str>> {
    match given.iter().find(|word| !known.contains(&word.as_str())) {
        Some(word) => Err(format!("`{word}` is not known here.\n\n{USAGE}")),
        None => Ok(given.iter().map(String::as_str).collect()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unknown_words_are_refused() {
        let given = ["--check".to_owned(), "--chek".to_owned()];
        assert_eq!(flag(&given[..1], &["--check"]), Ok(vec!["--check"]));
        assert!(flag(&given, &["--check"]).unwrap_err().contains("`--chek`"));
        assert!(
            dispatch("tets", &[])
                .unwrap_err()
                .contains("no such command")
        );
    }
}
