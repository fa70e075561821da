//! The worked example of DEVELOPERS.md, kept true: its change is applied to a copy of the
//! checkout, and there the new milestone must compile, pass its own test and have words.
//! What the change is, only DEVELOPERS.md says.

use std::path::Path;

use crate::outcome::Outcome;
use crate::process::{Job, root, target};
use crate::ui;

/// Plays the example through.
///
/// # Errors
/// When the change does not apply any more, or what it makes does not hold.
pub fn run() -> Outcome {
    let page = read(&root().join("DEVELOPERS.md"))?;
    let change = fenced(&page).ok_or("DEVELOPERS.md has no block of ```diff")?;
    let copy = target().join("worked-example");
    let build = target().join("worked-example-build");
    copied(&copy)?;
    let patch = copy.join("example.patch");
    write(&patch, change)?;
    let here = |job: Job| job.dir(&copy).env("CARGO_TARGET_DIR", &build);
    here(Job::new("git").args(["apply", "--whitespace=nowarn", "example.patch"]))
        .run()
        .map_err(|e| {
            format!("{e}. Write the example in DEVELOPERS.md anew, from a real change.")
        })?;
    here(Job::cargo().args([
        "test",
        "-q",
        "-p",
        "slowstone-curing",
        "--test",
        "prediction",
    ]))
    .run()?;
    here(Job::cargo().args([
        "run",
        "-q",
        "-p",
        "slowstone-xtask",
        "--",
        "types",
        "--core",
    ]))
    .run()?;
    ui::packages("ui")?;
    let packages = copy.join("ui/node_modules");
    if !packages.exists() {
        link(&root().join("ui/node_modules"), &packages)?;
    }
    let words = [
        "vitest",
        "run",
        "test/words.test.ts",
        "-t",
        "every code has words",
    ];
    Job::new("npx").args(words).dir(copy.join("ui")).run()
}

/// The first block of a change in a page.
fn fenced(page: &str) -> Option<&str> {
    let (_, rest) = page.split_once("```diff\n")?;
    rest.split_once("```\n").map(|(change, _)| change)
}

/// Makes `to` a copy of the files under version control, as they are now.
fn copied(to: &Path) -> Outcome {
    if to.exists() {
        std::fs::remove_dir_all(to).map_err(|e| format!("{}: {e}", to.display()))?;
    }
    let list = Job::new("git").args(["ls-files", "-z"]).text()?;
    for file in list.split('\0').filter(|f| !f.is_empty()) {
        let from = root().join(file);
        if from.is_file() {
            write(
                &to.join(file),
                &std::fs::read(&from).map_err(|e| format!("{file}: {e}"))?,
            )?;
        }
    }
    // A checkout of its own, so that the change is applied here and not to the one around.
    Job::new("git").args(["init", "-q"]).dir(to).run()
}

fn read(path: &Path) -> Outcome<String> {
    std::fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()))
}

fn write(path: &Path, bytes: impl AsRef<[u8]>) -> Outcome {
    let folder = path.parent().unwrap_or(path);
    std::fs::create_dir_all(folder)
        .and_then(|()| std::fs::write(path, bytes))
        .map_err(|e| format!("{}: {e}", path.display()))
}

#[cfg(unix)]
fn link(from: &Path, to: &Path) -> Outcome {
    std::os::unix::fs::symlink(from, to).map_err(|e| format!("{}: {e}", to.display()))
}

#[cfg(not(unix))]
fn link(_: &Path, to: &Path) -> Outcome {
    Err(format!(
        "{}: no links here; copy the packages",
        to.display()
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_change_is_what_stands_in_its_block() {
        let page = "text\n```diff\n--- a/x\n+++ b/x\n```\nmore\n```diff\nno\n```\n";
        assert_eq!(fenced(page), Some("--- a/x\n+++ b/x\n"));
        assert_eq!(fenced("```sh\nls\n```\n"), None);
    }
}
