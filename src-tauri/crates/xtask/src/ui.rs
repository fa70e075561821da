//! The web app: its packages when the lock file changed, its build when a source is
//! newer than what was built. It must come after the core (wasm.rs), which it
//! serves as one of its files.

use std::path::Path;
use std::time::SystemTime;

use crate::outcome::Outcome;
use crate::process::{Job, root};

/// Builds ui/dist if anything it is made of is newer.
pub fn build() -> Outcome {
    packages("ui")?;
    let ui = root().join("ui");
    // A mark of its own: the page in dist may also be the one that the hub's build
    // puts there when there is none, or of a build that failed its checks.
    let mark = ui.join("node_modules/.slowstone-built");
    let whole = ui.join("dist/index.html").exists() && ui.join("dist/assets").is_dir();
    match (time(&mark), newest(&ui, &["dist", "node_modules", "test"])) {
        (Some(built), Some(sources)) if whole && built >= sources => Ok(()),
        _ => {
            Job::npm().args(["run", "build"]).dir("ui").run()?;
            std::fs::write(&mark, "")
                .map_err(|error| format!("could not write {}: {error}", mark.display()))
        }
    }
}

/// Installs the npm packages of `dir` if its lock file is newer than they are.
pub fn packages(dir: &str) -> Outcome {
    let here = root().join(dir);
    let lock = time(&here.join("package-lock.json"))
        .ok_or_else(|| format!("{dir}/package-lock.json is missing: is the checkout complete?"))?;
    match time(&here.join("node_modules/.package-lock.json")) {
        Some(installed) if installed >= lock => Ok(()),
        _ => Job::npm()
            .args(["ci", "--no-audit", "--no-fund"])
            .dir(dir)
            .run(),
    }
}

fn time(path: &Path) -> Option<SystemTime> {
    path.metadata().and_then(|data| data.modified()).ok()
}

/// The latest change below `dir`. The time of a folder counts too, but for the top
/// one: a file that was taken away leaves no other trace.
fn newest(dir: &Path, skipped: &[&str]) -> Option<SystemTime> {
    let entries = std::fs::read_dir(dir).ok()?;
    let mut latest = None;
    for entry in entries.flatten() {
        let path = entry.path();
        if skipped.iter().any(|name| entry.file_name() == *name) {
            continue;
        }
        latest = latest.max(time(&path));
        if path.is_dir() {
            latest = latest.max(newest(&path, &[]));
        }
    }
    latest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_newest_file_counts_and_skipped_ones_do_not() {
        let dir = std::env::temp_dir().join(format!("slowstone-newest-{}", std::process::id()));
        let deep = dir.join("src/deep");
        std::fs::create_dir_all(&deep).unwrap();
        std::fs::create_dir_all(dir.join("dist")).unwrap();
        let later = SystemTime::now() + std::time::Duration::from_secs(1000);
        let much_later = later + std::time::Duration::from_secs(1000);
        for (file, at) in [("src/deep/a.ts", later), ("dist/b.js", much_later)] {
            std::fs::write(dir.join(file), "x").unwrap();
            let file = std::fs::File::options()
                .write(true)
                .open(dir.join(file))
                .unwrap();
            file.set_modified(at).unwrap();
        }
        assert_eq!(newest(&dir, &["dist"]), time(&dir.join("src/deep/a.ts")));
        assert_eq!(newest(&dir, &[]), time(&dir.join("dist/b.js")));
        std::fs::remove_dir_all(&dir).unwrap();
    }
}
