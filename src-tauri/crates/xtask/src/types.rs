//! The TypeScript of what the core and the hub answer, written from the Rust code by two example
//! programs: types of events and views (logbook), and the routes with what they carry (hub).
//! Both files are kept under version control, so that the web app can be read without building
//! anything.

use crate::outcome::Outcome;
use crate::process::{Job, root, target};
use crate::setup;

/// Events and views.
const CORE: &str = "ui/src/lib/types.gen.ts";
/// Routes of the hub.
const ROUTES: &str = "ui/src/lib/routes.gen.ts";

/// How the types of the core should read.
fn core() -> Outcome<String> {
    let words = ["run", "--quiet", "-p", "slowstone-logbook", "--features"];
    let job = Job::cargo().args(words);
    job.args(["ts", "--example", "export_types"]).text()
}

/// How the routes should read, beside the types of the core as they are in their file.
fn routes() -> Outcome<String> {
    // With the whole workspace in view, as the tests are built: alone, the hub would have all
    // crates that it uses built once more, with other features.
    let name = "export_client";
    let job = Job::cargo().args(["build", "--quiet", "--example", name]);
    job.args(setup::scope()).run()?;
    let file = format!("{name}{}", std::env::consts::EXE_SUFFIX);
    let program = target().join("debug/examples").join(file);
    Job::new(program).args([CORE]).text()
}

/// Writes the files, those that changed.
pub fn write() -> Outcome {
    write_one(CORE, &core()?)?;
    write_one(ROUTES, &routes()?)
}

/// Writes the types of events and views alone, for which the hub need not be built.
pub fn write_core() -> Outcome {
    write_one(CORE, &core()?)
}

fn write_one(file: &str, wanted: &str) -> Outcome {
    let path = root().join(file);
    if std::fs::read_to_string(&path).is_ok_and(|present| present == wanted) {
        return Ok(());
    }
    std::fs::write(&path, wanted).map_err(|error| format!("could not write {file}: {error}"))?;
    println!("{file} written");
    Ok(())
}

/// Fails when a file is not what `write` would write.
pub fn check() -> Outcome {
    check_one(CORE, &core()?)?;
    check_one(ROUTES, &routes()?)
}

fn check_one(file: &str, wanted: &str) -> Outcome {
    let present = std::fs::read_to_string(root().join(file))
        .map_err(|error| format!("could not read {file}: {error}"))?;
    match first_difference(&present, wanted) {
        None => Ok(()),
        Some((line, wanted)) => Err(format!(
            "{file}:{line}: is not what the Rust code says; there it should read\n  {wanted}\n\
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
