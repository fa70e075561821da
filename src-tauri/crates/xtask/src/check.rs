//! `cargo xtask check`: what a developer asks before every commit, in a minute or two: format,
//! the rules of the house, lints, and the fast tests, of what changed and of what uses it.
//! Changed is what differs from the main branch, committed or not. Everything, slow tests
//! and browsers included, is asked by `cargo xtask test` and by .ci/run.

use std::collections::{BTreeMap, BTreeSet};
use std::time::Instant;

use crate::outcome::Outcome;
use crate::process::{Job, root};
use crate::{tidy, ui};

/// Packages whose tests start servers, browsers or simulations: of these only the tests
/// within the library are fast.
const SLOW: &[&str] = &[
    "slowstone-hub",
    "slowstone-store",
    "slowstone-desktop",
    "slowstone-sim-tests",
];
/// Packages that are nothing but slow tests: they are compiled, not run.
const ONLY_SLOW: &[&str] = &["slowstone-hub-tests", "slowstone-net-tests"];

/// Runs all of it, the quickest first.
pub fn run() -> Outcome {
    let begun = Instant::now();
    let changed = changed()?;
    let manifests = manifests()?;
    let own = packages(&changed, &manifests);
    let users = users(&own, &manifests);
    Job::cargo().args(["fmt", "--all", "--check"]).run()?;
    tidy::run()?;
    if !own.is_empty() {
        lint(&own, &["--all-targets"])?;
    }
    if !users.is_empty() {
        lint(&users, &[])?;
    }
    for package in &own {
        if let Some(which) = tests(package) {
            let words = ["test", "-q", "-p", package];
            Job::cargo().args(words).args(which.iter()).run()?;
        }
    }
    if changed.iter().any(|path| path.starts_with("ui/")) {
        ui::packages("ui")?;
        for script in ["format:check", "lint", "check", "test"] {
            Job::npm().args(["run", "-s", script]).dir("ui").run()?;
        }
    }
    println!(
        "check: {} changed, {} use them, {} s",
        count(&own),
        users.len(),
        begun.elapsed().as_secs()
    );
    Ok(())
}

fn count(own: &BTreeSet<String>) -> String {
    match own.len() {
        0 => "no package".to_owned(),
        _ => own.iter().cloned().collect::<Vec<_>>().join(", "),
    }
}

fn lint(packages: &BTreeSet<String>, what: &[&str]) -> Outcome {
    let named = packages.iter().flat_map(|package| ["-p", package.as_str()]);
    Job::cargo()
        .args(["clippy", "-q"])
        .args(named)
        .args(what.iter())
        .args(["--", "-D", "warnings"])
        .run()
}

/// Which tests of a package are fast; none if it has no others than slow ones.
fn tests(package: &str) -> Option<&'static [&'static str]> {
    if ONLY_SLOW.contains(&package) {
        return None;
    }
    match package {
        // Its library is built as a program too.
        "slowstone-desktop" => None,
        _ if SLOW.contains(&package) => Some(&["--lib"]),
        _ => Some(&[]),
    }
}

/// Paths that differ from the main branch, and those that git does not know yet.
fn changed() -> Outcome<Vec<String>> {
    let base = ["@{upstream}", "origin/main", "main"]
        .iter()
        .find_map(|name| {
            let found = Job::new("git").args(["merge-base", "HEAD", name]).text();
            found.ok().map(|id| id.trim().to_owned())
        });
    let base = base.unwrap_or_else(|| "HEAD".to_owned());
    let differ = Job::new("git")
        .args(["diff", "--name-only", &base])
        .text()?;
    let fresh = Job::new("git")
        .args(["ls-files", "--others", "--exclude-standard"])
        .text()?;
    Ok(differ
        .lines()
        .chain(fresh.lines())
        .map(str::to_owned)
        .collect())
}

/// Folder and manifest of every package of the workspace.
fn manifests() -> Outcome<BTreeMap<String, String>> {
    let listed = Job::new("git")
        .args(["ls-files", "--cached", "--others", "--exclude-standard"])
        .args(["--", "*Cargo.toml"])
        .text()?;
    let inside = listed
        .lines()
        .filter(|path| *path != "Cargo.toml" && !path.starts_with("tests/fuzz/"));
    let read = inside.filter_map(|path| {
        let text = std::fs::read_to_string(root().join(path)).ok()?;
        let folder = path.strip_suffix("Cargo.toml")?;
        Some((folder.to_owned(), text))
    });
    Ok(read.collect())
}

fn name(manifest: &str) -> Option<&str> {
    let line = manifest.lines().find(|line| line.starts_with("name = "))?;
    line.split('"').nth(1)
}

/// The packages in which something changed. What lies in no package (notes, scripts)
/// changes none.
fn packages(changed: &[String], manifests: &BTreeMap<String, String>) -> BTreeSet<String> {
    let of = |path: &String| {
        // The desktop shell lies around the other crates: the longest folder is the nearest.
        let homes = manifests
            .iter()
            .filter(|(folder, _)| path.starts_with(*folder));
        let (folder, manifest) = homes.max_by_key(|(folder, _)| folder.len())?;
        let within = path.strip_prefix(folder.as_str())?;
        // The crates' folder itself belongs to nobody.
        (!within.starts_with("crates/")).then(|| name(manifest).map(str::to_owned))?
    };
    changed.iter().filter_map(of).collect()
}

/// The packages that use those of `own`, directly or not.
fn users(own: &BTreeSet<String>, manifests: &BTreeMap<String, String>) -> BTreeSet<String> {
    let mut reached = own.clone();
    loop {
        let uses = |manifest: &str| {
            let mut lines = manifest.lines();
            lines.any(|line| {
                let word = line.split(['.', ' ', '=']).next().unwrap_or_default();
                reached.contains(word)
            })
        };
        let more = manifests.values().filter(|manifest| uses(manifest));
        let more: BTreeSet<String> = more.filter_map(|m| name(m).map(str::to_owned)).collect();
        let before = reached.len();
        reached.extend(more);
        if reached.len() == before {
            return reached.difference(own).cloned().collect();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn house() -> BTreeMap<String, String> {
        let package = |folder: &str, name: &str, uses: &str| {
            let text = format!("[package]\nname = \"slowstone-{name}\"\n\n[dependencies]\n{uses}");
            (folder.to_owned(), text)
        };
        BTreeMap::from([
            package("src-tauri/", "desktop", "slowstone-hub.workspace = true\n"),
            package(
                "src-tauri/crates/hub/",
                "hub",
                "slowstone-logbook = { workspace = true }\n",
            ),
            package(
                "src-tauri/crates/logbook/",
                "logbook",
                "slowstone-curing.workspace = true\n",
            ),
            package(
                "src-tauri/crates/curing/",
                "curing",
                "libm.workspace = true\n",
            ),
            package("src-tauri/crates/sync/", "sync", ""),
        ])
    }

    fn set(names: &[&str]) -> BTreeSet<String> {
        names
            .iter()
            .map(|name| format!("slowstone-{name}"))
            .collect()
    }

    #[test]
    fn a_changed_file_belongs_to_the_nearest_package() {
        let of = |path: &str| packages(&[path.to_owned()], &house());
        assert_eq!(of("src-tauri/crates/hub/src/a.rs"), set(&["hub"]));
        assert_eq!(of("src-tauri/src/tray.rs"), set(&["desktop"]));
        assert_eq!(of("src-tauri/crates/NOTES"), set(&[]));
        assert_eq!(of("ui/src/a.ts"), set(&[]));
    }

    #[test]
    fn what_uses_a_changed_package_is_looked_at_too() {
        assert_eq!(
            users(&set(&["logbook"]), &house()),
            set(&["hub", "desktop"])
        );
        assert_eq!(users(&set(&["sync"]), &house()), set(&[]));
        assert_eq!(
            users(&set(&["curing", "hub"]), &house()),
            set(&["logbook", "desktop"])
        );
    }

    #[test]
    fn slow_packages_are_there_and_named_as_they_are() {
        let known = manifests().unwrap();
        let names: Vec<&str> = known.values().filter_map(|m| name(m)).collect();
        for slow in SLOW.iter().chain(ONLY_SLOW) {
            assert!(names.contains(slow), "{slow}");
        }
    }
}
