//! The TypeScript types of what the core says. They are written from the Rust
//! types by an example program of the logbook, and kept under version control so
//! that the web app can be read without building anything.

use crate::outcome::Outcome;
use crate::process::{Job, root};

const FILE: &str = "ui/src/lib/types.gen.ts";

fn wanted() -> Outcome<String> {
    let words = [
        "run",
        "--quiet",
        "-p",
        "slowstone-logbook",
        "--features",
        "ts",
    ];
    Job::cargo()
        .args(words)
        .args(["--example", "export_types"])
        .text()
}

/// Writes the file, and only if it changed.
pub fn write() -> Outcome {
    let wanted = wanted()?;
    let path = root().join(FILE);
    if std::fs::read_to_string(&path).is_ok_and(|present| present == wanted) {
        return Ok(());
    }
    std::fs::write(&path, wanted).map_err(|error| format!("could not write {FILE}: {error}"))?;
    println!("{FILE} written");
    Ok(())
}

/// Fails when the file is not what `write` would write.
pub fn check() -> Outcome {
    let present = std::fs::read_to_string(root().join(FILE))
        .map_err(|error| format!("could not read {FILE}: {error}"))?;
    match first_difference(&present, &wanted()?) {
        None => Ok(()),
        Some((line, wanted)) => Err(format!(
            "{FILE}:{line}: is not what the Rust types say; there it should read\n  {wanted}\n\
             Run `cargo xtask types` and commit the file."
        )),
    }
}

/// The number of the first line that differs, and how it should read.
fn first_difference(present: &str, wanted: &str) -> Option<(usize, String)> {
    if present == wanted {
        return None;
    }
    let mut wanted = wanted.lines();
    let mut number = 0;
    for line in present.lines() {
        number += 1;
        match wanted.next() {
            Some(other) if other == line => {}
            other => return Some((number, other.unwrap_or("(nothing)").to_owned())),
        }
    }
    Some((
        number + 1,
        wanted
            .next()
            .unwrap_or("(the same, but for line ends)")
            .to_owned(),
    ))
}

#[cfg(test)]
mod tests {
    use super::first_difference;

    #[test]
    fn the_first_difference_is_shown() {
        assert_eq!(first_difference("a\nb\n", "a\nb\n"), None);
        assert_eq!(
            first_difference("a\nb\n", "a\nc\n"),
            Some((2, "c".to_owned()))
        );
        assert_eq!(first_difference("a\n", "a\nc\n"), Some((2, "c".to_owned())));
        assert_eq!(
            first_difference("a\nb\n", "a\n"),
            Some((2, "(nothing)".to_owned()))
        );
    }
}
