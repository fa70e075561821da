//! Opening words and names of files. A file that says at the top what it is for can be
//! read by a newcomer on the first day; a name like the banned ones says nothing and
//! gathers everything. How long a file is, is no rule: as long as its one subject.

use super::finding::Finding;

/// Lines of `//!` a module opens with.
const OPENING: std::ops::RangeInclusive<usize> = 3..=8;

const SOURCES: &[&str] = &["rs", "ts", "js", "mjs", "svelte", "css"];
const BANNED: &[&str] = &[
    "util", "utils", "helper", "helpers", "common", "manager", "managers", "misc", "stuff",
];

/// What may lie in the top folder, besides names that begin with a dot.
const TOP: &[&str] = &[
    "Cargo.toml",
    "Cargo.lock",
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "LICENSE",
    "src-tauri",
    "ui",
    "tests",
    "demo-data",
    "icons",
];

fn stem_and_ending(path: &str) -> (&str, &str) {
    let file = path.rsplit('/').next().unwrap_or(path);
    match file.rsplit_once('.') {
        Some((stem, ending)) => (stem, ending),
        None => (file, ""),
    }
}

fn is_test(path: &str) -> bool {
    let (stem, _) = stem_and_ending(path);
    let folder = path
        .split('/')
        .any(|part| part == "tests" || part == "test");
    folder || stem == "tests" || stem.ends_with(".test") || stem.ends_with(".spec")
}

fn is_generated(path: &str) -> bool {
    stem_and_ending(path).0.ends_with(".gen")
}

/// Files and folders at the top that are not among the agreed ones.
pub fn top(paths: &[&str]) -> Vec<Finding> {
    let mut strange: Vec<&str> = paths
        .iter()
        .filter_map(|path| path.split('/').next())
        .filter(|name| !name.starts_with('.') && !TOP.contains(name))
        .collect();
    strange.sort_unstable();
    strange.dedup();
    strange
        .into_iter()
        .map(|name| {
            Finding::new(
                name,
                1,
                "put it into one of the top folders (DEVELOPERS.md), not beside",
            )
        })
        .collect()
}

/// A name that says nothing.
pub fn name(path: &str) -> Option<Finding> {
    let source = SOURCES.contains(&stem_and_ending(path).1);
    let mut parts: Vec<&str> = path.split('/').collect();
    parts.pop();
    parts.push(stem_and_ending(path).0);
    let banned = parts
        .into_iter()
        .find(|part| BANNED.contains(&part.to_lowercase().as_str()))?;
    source.then(|| {
        Finding::new(
            path,
            1,
            format!("`{banned}` says nothing: name it after what it is for"),
        )
    })
}

/// A Rust file that does not open by saying what it is for.
pub fn opening(path: &str, text: &str) -> Option<Finding> {
    let (stem, ending) = stem_and_ending(path);
    if ending != "rs" || is_generated(path) {
        return None;
    }
    let lines = text
        .lines()
        .take_while(|line| line.starts_with("//!"))
        .count();
    // Where the crate or the folder says it already, one line will do.
    let brief = ["lib", "main", "mod", "build"].contains(&stem) || is_test(path);
    let least = if brief { 1 } else { *OPENING.start() };
    let most = *OPENING.end();
    if (least..=most).contains(&lines) || (brief && lines >= least) {
        return None;
    }
    let advice = format!(
        "open with {least} to {most} lines of //! (here {lines}): what it is for, what it does \
         not do, where to look next"
    );
    Some(Finding::new(path, 1, advice))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn modules_say_what_they_are_for() {
        let path = "src-tauri/crates/hub/src/a.rs";
        assert!(opening(path, "//! a\n//! b\nuse x;\n").is_some());
        assert!(opening(path, "use x;\n//! a\n//! b\n//! c\n").is_some());
        assert!(opening(path, &"//! a\n".repeat(9)).is_some());
        assert!(opening(path, "//! a\n//! b\n//! c\n").is_none());
        assert!(opening("src-tauri/crates/hub/src/lib.rs", "//! a\n").is_none());
        assert!(opening("src-tauri/crates/hub/src/lib.rs", "use x;\n").is_some());
    }

    #[test]
    fn names_say_something() {
        for bad in [
            "ui/src/lib/utils.ts",
            "src-tauri/crates/hub/src/common/a.rs",
        ] {
            assert!(name(bad).is_some(), "{bad}");
        }
        assert!(name("src-tauri/crates/hub/src/commonplace.rs").is_none());
        assert!(name("demo-data/common/a.csv").is_none());
    }

    #[test]
    fn the_top_folder_is_closed() {
        let found = top(&[
            "README.md",
            ".ci/run",
            "ui/a.ts",
            "docs/a.md",
            "docs/b.md",
            "notes.txt",
        ]);
        let names: Vec<&str> = found.iter().map(|f| f.path.as_str()).collect();
        assert_eq!(names, ["docs", "notes.txt"]);
    }
}
