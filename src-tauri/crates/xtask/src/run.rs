//! `cargo xtask run`: builds what is out of date and becomes the hub, which prints
//! its address and serves until Ctrl-C. The dev profile, because it builds fast and
//! the heavy crates are optimised in it anyway.

use crate::outcome::Outcome;
use crate::process::{Job, built};
use crate::{setup, ui, wasm};

/// What `run` was asked for.
#[derive(Debug, Default, PartialEq, Eq)]
struct Wish {
    /// Open a browser on the address.
    open: bool,
    /// What the hub is told.
    hub: Vec<String>,
}

/// Builds and starts the hub.
pub fn run(given: &[String]) -> Outcome {
    let mut wish = wish(given)?;
    if wish.open && has_display() {
        wish.hub.push("--open".to_owned());
    }
    setup::run(setup::FOR_RUN)?;
    wasm::build()?;
    ui::build()?;
    Job::cargo()
        .args(["build", "-p", "slowstone-hub", "--bin", "slowstone"])
        .run()?;
    Job::new(built("slowstone"))
        .args(["hub"])
        .args(wish.hub)
        .become_it()
}

fn wish(given: &[String]) -> Outcome<Wish> {
    let mut wish = Wish {
        open: true,
        hub: Vec::new(),
    };
    let mut words = given.iter();
    while let Some(word) = words.next() {
        match word.as_str() {
            "--no-open" => wish.open = false,
            "--empty" => wish.hub.push(word.clone()),
            "--data" | "--port" => {
                let value = words
                    .next()
                    .ok_or_else(|| format!("`{word}` needs a value after it"))?;
                if word == "--port" && value.parse::<u16>().is_err() {
                    return Err(format!(
                        "`{value}` is no port: give a number from 0 to 65535"
                    ));
                }
                let value = match word.as_str() {
                    // Relative to where the person stands, not to the top folder.
                    "--data" => std::path::absolute(value)
                        .map_err(|error| format!("`{value}` is no folder: {error}"))?
                        .to_string_lossy()
                        .into_owned(),
                    _ => value.clone(),
                };
                wish.hub.extend([word.clone(), value]);
            }
            _ => {
                return Err(format!(
                    "`{word}` is not known here. run [--empty] [--data DIR] [--port N] [--no-open]"
                ));
            }
        }
    }
    Ok(wish)
}

fn has_display() -> bool {
    let set = |name| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    !cfg!(target_os = "linux") || set("DISPLAY") || set("WAYLAND_DISPLAY")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(text: &str) -> Vec<String> {
        text.split_whitespace().map(str::to_owned).collect()
    }

    /// Promise: "`sh src-tauri/start.sh --empty` begins without the demonstration, `--data DIR` keeps the data elsewhere."
    #[test]
    fn flags_reach_the_hub() {
        let found = wish(&words("--empty --port 8080 --no-open")).unwrap();
        assert_eq!(
            found,
            Wish {
                open: false,
                hub: words("--empty --port 8080")
            }
        );
        let found = wish(&words("--data here")).unwrap();
        assert!(found.open);
        assert!(found.hub[1].ends_with("here") && found.hub[1].len() > "here".len());
    }

    #[test]
    fn what_cannot_be_meant_is_refused() {
        for bad in ["--port", "--port 70000", "--port x", "--data", "--emty"] {
            assert!(wish(&words(bad)).is_err(), "{bad}");
        }
    }
}
