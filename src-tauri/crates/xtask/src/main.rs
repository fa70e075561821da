//! `cargo xtask`: builds, runs, tests and tidies Slowstone with what the machine
//! has, and says plainly what it has not. Hardly more than the standard library, so that
//! it builds in seconds. One module to a subject; the commands are listed in `USAGE`.

mod bench;
mod bundle;
mod check;
mod deny;
mod desktop;
mod example;
mod fresh;
mod outcome;
mod outside;
mod process;
mod run;
mod setup;
mod suite;
mod tidy;
mod types;
mod ui;
mod usage;
mod wasm;

use outcome::Outcome;
use std::process::ExitCode;
use usage::{USAGE, flag};

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
        "check" => flag(rest, &[]).and_then(|_| check::run()),
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
        "types" => match flag(rest, &["--check", "--core"])?.first() {
            None => types::write(),
            Some(&"--core") => types::write_core(),
            Some(_) => types::check(),
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
