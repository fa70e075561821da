//! The package of the desktop program for Debian and its relatives: a release build, put
//! together by Tauri's own tool (an npm package of ui/), then looked at with dpkg-deb.
//!
//! No AppImage: the tool that makes one downloads parts that no lock file pins, and an
//! AppImage needs the web view's processes carried along. What goes into the package is
//! said in src-tauri/tauri.conf.json.

use std::path::{Path, PathBuf};

use crate::desktop;
use crate::outcome::Outcome;
use crate::process::{Job, find, root, target};

/// What the package must need of the system to start.
const NEEDS: [&str; 2] = ["libwebkit2gtk-4.1-0", "libgtk-3-0"];

/// What must be in it (freedesktop.org: desktop entries and icon themes).
const HOLDS: [&str; 4] = [
    "usr/bin/slowstone-desktop",
    "usr/share/applications/Slowstone.desktop",
    "usr/share/icons/hicolor/32x32/apps/slowstone-desktop.png",
    "usr/share/icons/hicolor/128x128/apps/slowstone-desktop.png",
];

/// Builds the package, looks into it, and says where it is.
pub fn run() -> Outcome {
    if !cfg!(target_os = "linux") || find("dpkg-deb").is_none() {
        return Err(
            "a package for Debian is made and looked at on Debian or a relative \
                    (dpkg-deb is missing). `cargo xtask desktop` runs without a package."
                .to_owned(),
        );
    }
    desktop::prepare()?;
    let package = pack("release", &["build"])?;
    let bytes = package.metadata().map(|data| data.len()).unwrap_or(0);
    println!(
        "{} ({}.{} MB). Install it with: sudo apt install {}",
        package.display(),
        bytes / 1_000_000,
        bytes / 100_000 % 10,
        package.display()
    );
    println!(
        "There is no AppImage: making one needs downloads that nothing here pins. \
         Elsewhere than on Debian, build with `cargo xtask desktop`."
    );
    Ok(())
}

/// Makes the package of the program as the tests built it, and looks into it: the same but
/// for the release build, which would take the tests too long.
pub fn try_out() -> Outcome {
    pack("debug", &["bundle", "--debug"]).map(drop)
}

/// Has the package made and looks into it.
fn pack(profile: &str, how: &[&str]) -> Outcome<PathBuf> {
    let folder = target().join(profile).join("bundle/deb");
    if folder.exists() {
        // An older one would be taken for the new one.
        std::fs::remove_dir_all(&folder)
            .map_err(|error| format!("could not empty {}: {error}", folder.display()))?;
    }
    Job::new("node")
        .args(["ui/node_modules/@tauri-apps/cli/tauri.js"])
        .args(how)
        .args(["--bundles", "deb", "--ci"])
        .dir(root())
        .run()?;
    let package = made(&folder)?;
    let told = |how: &str| Job::new("dpkg-deb").args([how]).args([&package]).text();
    let lacks = lacks(&told("--info")?, &told("--contents")?);
    if !lacks.is_empty() {
        return Err(format!(
            "{} is not whole; it lacks: {}",
            package.display(),
            lacks.join(", ")
        ));
    }
    Ok(package)
}

/// The one package in `folder`.
fn made(folder: &Path) -> Outcome<PathBuf> {
    let files = std::fs::read_dir(folder).into_iter().flatten().flatten();
    files
        .map(|file| file.path())
        .find(|path| path.extension().is_some_and(|ending| ending == "deb"))
        .ok_or_else(|| format!("no package was made in {}", folder.display()))
}

/// What should be in a package and is not, by what `dpkg-deb --info` and `--contents` say.
fn lacks(info: &str, contents: &str) -> Vec<&'static str> {
    let depends = info
        .lines()
        .filter_map(|line| line.trim().strip_prefix("Depends:"))
        .flat_map(|all| all.split([',', '|']))
        .filter_map(|one| one.split_whitespace().next())
        .collect::<Vec<_>>();
    let held = contents
        .lines()
        .filter_map(|line| line.split_whitespace().last())
        .map(|file| file.trim_start_matches("./"))
        .collect::<Vec<_>>();
    let needs = NEEDS.into_iter().filter(|need| !depends.contains(need));
    let holds = HOLDS.into_iter().filter(|file| !held.contains(file));
    needs.chain(holds).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Promise: "makes a `.deb` for Debian and its relatives and looks into it before it says that it is good"
    #[test]
    fn what_lacks_is_named() {
        let info = " Package: slowstone\n Depends: libgtk-3-0 (>= 3.24), libwebkit2gtk-4.1-0\n";
        let line = |file: &str| format!("-rwxr-xr-x 0/0 1 2026-01-01 00:00 {file}\n");
        let whole: String = HOLDS.iter().map(|file| line(file)).collect();
        assert_eq!(lacks(info, &whole), Vec::<&str>::new());
        assert_eq!(lacks(" Depends: libgtk-3-0\n", &whole), [NEEDS[0]]);
        assert_eq!(lacks(info, &line(HOLDS[0])), &HOLDS[1..]);
    }
}
