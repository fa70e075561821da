//! What the machine must have, and how it gets it: on Debian and its relatives the
//! missing packages are installed as root or through sudo; elsewhere the packages
//! are named and the work goes on as far as it can. Each package is given with its
//! reason. Nothing is asked twice: a check that finds the thing installs nothing.

use std::path::Path;

use crate::outcome::Outcome;
use crate::process::{Job, find, root};
use crate::wasm::Toolchain;

/// Something a command cannot do without.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// A C compiler: it links every program and compiles SQLite.
    Compiler,
    /// A compiler for WebAssembly: the core runs in the browser too.
    Wasm,
    /// Node and npm: the web app is built with them.
    Node,
    /// The system's web view: the desktop window is one.
    WebView,
    /// The library that puts an icon into the tray; the desktop program lives without.
    Tray,
    /// A browser for the browser tests.
    Browser,
    /// A database server: hubs of a firm share one.
    Database,
    /// Readers of PDF files and photos for the tests of what is handed over.
    Readers,
    /// A display without a screen and a driver for the desktop test.
    Driver,
    /// The system's decoder of HEIC and AVIF photos.
    Heif,
    /// Python with environments: checks by programs from PyPI.
    Python,
    /// What the bench holds its own times against; it works without.
    Anchors,
}

/// What `cargo xtask run` needs.
pub const FOR_RUN: &[Need] = &[Need::Compiler, Need::Node, Need::Wasm, Need::Heif];
/// What `cargo xtask desktop` needs.
pub const FOR_DESKTOP: &[Need] = &[
    Need::Compiler,
    Need::Node,
    Need::Wasm,
    Need::WebView,
    Need::Tray,
    Need::Heif,
];
/// What `cargo xtask test` needs.
pub const FOR_ALL: &[Need] = &[
    Need::Compiler,
    Need::Node,
    Need::Wasm,
    Need::WebView,
    Need::Tray,
    Need::Browser,
    Need::Database,
    Need::Readers,
    Need::Driver,
    Need::Heif,
    Need::Python,
];

/// What `cargo xtask bench` compares with.
pub const FOR_BENCH: &[Need] = &[
    Need::Compiler,
    Need::Node,
    Need::Wasm,
    Need::Heif,
    Need::Browser,
    Need::Anchors,
];

impl Need {
    /// The Debian packages that give it, and why they are needed.
    fn packages(self) -> (&'static [&'static str], &'static str) {
        match self {
            Self::Compiler => (&["build-essential"], "a C compiler, to link and for SQLite"),
            Self::Wasm => (
                &["rustc-web", "cargo-web", "rust-web-src", "lld"],
                "a Rust that compiles the core for the browser",
            ),
            Self::Node => (&[], "builds the web app"),
            Self::WebView => (
                &["libwebkit2gtk-4.1-dev", "pkg-config"],
                "the web view of the desktop window",
            ),
            Self::Tray => (
                &["libayatana-appindicator3-1"],
                "the icon of the desktop program in the tray",
            ),
            Self::Browser => (
                &["chromium", "fonts-dejavu-core", "libnss3-tools"],
                "the browser of the tests, and what tells it whom to trust",
            ),
            Self::Readers => (
                &["poppler-utils", "qpdf", "libimage-exiftool-perl"],
                "readers of PDF files and of photos, which hold what is handed over against others' eyes",
            ),
            Self::Database => (&["postgresql"], "the database that several hubs share"),
            Self::Driver => (
                &[
                    "xvfb",
                    "webkit2gtk-driver",
                    "dbus-daemon",
                    "python3-dbus",
                    "python3-gi",
                ],
                "a display, a driver and a session bus for the desktop test",
            ),
            Self::Heif => (&["libheif-examples"], "decodes HEIC and AVIF photos"),
            Self::Python => (&["python3-venv"], "checks by programs from PyPI"),
            Self::Anchors => (
                &["python3-scipy", "python3-pil", "libvips-tools"],
                "what the bench holds its own times against",
            ),
        }
    }

    /// True when it is there already.
    pub fn is_met(self) -> bool {
        match self {
            Self::Compiler => ["cc", "gcc", "clang", "cl"]
                .iter()
                .any(|cc| find(cc).is_some()),
            Self::Wasm => Toolchain::find().is_some(),
            Self::Node => find("npm").is_some() && node_fits().is_ok(),
            // Elsewhere than on Linux the web view is part of the system.
            Self::WebView => {
                !cfg!(target_os = "linux")
                    || Job::new("pkg-config")
                        .args(["--exists", "webkit2gtk-4.1"])
                        .text()
                        .is_ok()
            }
            Self::Tray => {
                !cfg!(target_os = "linux")
                    || ["/usr/lib", "/usr/lib64"]
                        .map(Path::new)
                        .into_iter()
                        .any(has_tray_library)
            }
            Self::Browser => browser().is_some() && find("certutil").is_some(),
            Self::Readers => ["pdftotext", "qpdf", "exiftool"]
                .iter()
                .all(|it| find(it).is_some()),
            Self::Driver => {
                let service = Job::new("/usr/bin/python3").args(["-c", "import dbus, gi"]);
                ["Xvfb", "WebKitWebDriver", "dbus-daemon"]
                    .iter()
                    .all(|program| find(program).is_some())
                    && service.text().is_ok()
            }
            Self::Database => {
                std::fs::read_dir("/usr/lib/postgresql").is_ok_and(|mut d| d.next().is_some())
            }
            Self::Python => Job::new("python3")
                .args(["-c", "import ensurepip"])
                .text()
                .is_ok(),
            Self::Anchors => {
                let modules = Job::new("/usr/bin/python3").args(["-c", "import scipy, PIL"]);
                find("vipsthumbnail").is_some() && modules.text().is_ok()
            }
            Self::Heif => find("heif-dec").or_else(|| find("heif-convert")).is_some(),
        }
    }
}

/// Whether `folder`, or a folder in it, has the library for the tray.
fn has_tray_library(folder: &Path) -> bool {
    let name = "libayatana-appindicator3.so.1";
    let inside = std::fs::read_dir(folder).into_iter().flatten().flatten();
    folder.join(name).exists() || inside.into_iter().any(|one| one.path().join(name).exists())
}

/// A browser of the Chromium family in PATH.
pub fn browser() -> Option<std::path::PathBuf> {
    [
        "chromium",
        "chromium-browser",
        "google-chrome",
        "google-chrome-stable",
    ]
    .iter()
    .find_map(|name| find(name))
}

/// What cargo builds when everything is meant: without the web view not the window.
pub fn scope() -> &'static [&'static str] {
    match Need::WebView.is_met() {
        true => &["--workspace"],
        false => &["--workspace", "--exclude", "slowstone-desktop"],
    }
}

/// Installs what is missing of `needs`.
///
/// # Errors
/// When Node is missing or one that the web app's tools refuse, which no package here can put right, or when
/// the package manager fails. Packages that cannot be installed for want of
/// permission are only named: what needs them will say so itself.
pub fn run(needs: &[Need]) -> Outcome {
    if needs.contains(&Need::Node) {
        node_fits()?;
    }
    if needs.contains(&Need::Wasm) && !Need::Wasm.is_met() && find("rustup").is_some() {
        eprintln!("Adding its library's source to this Rust, for the core in the web app.");
        let added = Job::new("rustup")
            .args(["component", "add", "rust-src"])
            .run();
        if let Err(reason) = added {
            eprintln!("{reason}: trying the system's packages instead.");
        }
    }
    let missing: Vec<Need> = needs
        .iter()
        .copied()
        .filter(|need| !need.is_met())
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    eprintln!("Missing on this machine:");
    let mut packages = Vec::new();
    for need in missing {
        let (names, why) = need.packages();
        eprintln!("  {}: {why}", names.join(" "));
        packages.extend_from_slice(names);
    }
    install(&packages)
}

fn install(packages: &[&str]) -> Outcome {
    let by_hand = format!(
        "apt-get install --no-install-recommends {}",
        packages.join(" ")
    );
    if !Path::new("/etc/debian_version").exists() || find("apt-get").is_none() {
        eprintln!("This is not Debian. There the command would be:\n  {by_hand}");
        eprintln!("Install the like of these here. Going on without.");
        return Ok(());
    }
    let Some(prefix) = permission() else {
        eprintln!("They need root, and sudo would not do it. Please run, then start again:");
        eprintln!("  sudo {by_hand}\nGoing on without.");
        return Ok(());
    };
    let apt = |words: &[&str]| {
        let mut line: Vec<&str> = prefix.to_vec();
        line.extend_from_slice(&["env", "DEBIAN_FRONTEND=noninteractive", "apt-get", "-q"]);
        line.extend_from_slice(words);
        match line.split_first() {
            Some((program, args)) => Job::new(program).args(args).run(),
            None => Ok(()),
        }
    };
    apt(&["update"])?;
    if packages.contains(&"postgresql") {
        no_cluster(prefix, &apt)?;
    }
    let mut words = vec!["install", "-y", "--no-install-recommends"];
    words.extend_from_slice(packages);
    apt(&words)
}

/// Keeps the package of the database from starting a server of its own: the tests start
/// theirs. (create_main_cluster: pg_createcluster(1), createcluster.conf.)
fn no_cluster(prefix: &[&str], apt: &dyn Fn(&[&str]) -> Outcome) -> Outcome {
    apt(&[
        "install",
        "-y",
        "--no-install-recommends",
        "postgresql-common",
    ])?;
    let script = "mkdir -p /etc/postgresql-common/createcluster.d && \
        echo 'create_main_cluster = false' > /etc/postgresql-common/createcluster.d/slowstone.conf";
    let line = [prefix, &["sh", "-c", script]].concat();
    match line.split_first() {
        Some((program, args)) => Job::new(program).args(args).run(),
        None => Ok(()),
    }
}

/// The words to put before a command that needs root; none if it cannot be had.
fn permission() -> Option<&'static [&'static str]> {
    use std::io::IsTerminal;
    if Job::new("id")
        .args(["-u"])
        .text()
        .is_ok_and(|id| id.trim() == "0")
    {
        return Some(&[]);
    }
    find("sudo")?;
    let free = Job::new("sudo").args(["-n", "true"]).text().is_ok();
    // With somebody at the keyboard sudo may ask for the password.
    (free || std::io::stdin().is_terminal()).then_some(&["sudo"])
}

fn node_fits() -> Outcome {
    let package = std::fs::read_to_string(root().join("ui/package.json"))
        .map_err(|error| format!("could not read ui/package.json: {error}"))?;
    let wanted = engines(&package).ok_or("ui/package.json names no Node under `engines`")?;
    let builds = format!("the web app is built with Node {wanted} (ui/package.json) and npm");
    let said = Job::new("node")
        .args(["--version"])
        .text()
        .map_err(|_| format!("{builds}; no `node` was found. Install it and start again."))?;
    match node_version(&said) {
        Some(found) if fits(wanted, found) => Ok(()),
        _ => Err(format!(
            "{builds}; this is {}, which its tools refuse. Install another and start again.",
            said.trim()
        )),
    }
}

/// The versions of Node that a package.json asks for.
fn engines(package: &str) -> Option<&str> {
    let (_, rest) = package.split_once("\"engines\"")?;
    let (_, rest) = rest.split_once("\"node\"")?;
    rest.split('"').nth(1)
}

/// Whether a version is among those: `^20.19.0 || >=22.12.0`, each of the two forms.
fn fits(wanted: &str, found: (u32, u32)) -> bool {
    wanted.split("||").any(|range| {
        let range = range.trim();
        let (same_major, least) = match range.strip_prefix('^') {
            Some(least) => (true, least),
            None => (false, range.trim_start_matches(">=")),
        };
        let least = node_version(&format!("v{least}"));
        least.is_some_and(|least| found >= least && (!same_major || found.0 == least.0))
    })
}

/// Major and minor of what `node --version` says (`v20.19.2`).
fn node_version(said: &str) -> Option<(u32, u32)> {
    let mut parts = said.trim().strip_prefix('v')?.split('.');
    Some((parts.next()?.parse().ok()?, parts.next()?.parse().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Promise: "Rust 1.92 or later, a Node that is new enough"
    #[test]
    fn node_versions_are_read() {
        assert_eq!(node_version("v20.19.2\n"), Some((20, 19)));
        assert_eq!(node_version("v18.20.4"), Some((18, 20)));
        assert_eq!(node_version("20.1"), None);
    }

    #[test]
    fn nodes_that_the_web_app_refuses_are_refused() {
        let package = std::fs::read_to_string(root().join("ui/package.json")).unwrap();
        let wanted = engines(&package).unwrap();
        for (version, may) in [
            ((18, 20), false),
            ((20, 18), false),
            ((20, 19), true),
            ((21, 9), false),
            ((22, 11), false),
            ((22, 12), true),
            ((24, 0), true),
        ] {
            assert_eq!(fits(wanted, version), may, "{version:?} of {wanted}");
        }
    }

    #[test]
    fn running_needs_no_desktop() {
        assert!(!FOR_RUN.contains(&Need::WebView));
        assert!(FOR_DESKTOP.iter().all(|need| FOR_ALL.contains(need)));
        assert!(FOR_RUN.iter().all(|need| FOR_DESKTOP.contains(need)));
    }

    #[test]
    fn the_compiler_that_built_this_is_found() {
        assert!(Need::Compiler.is_met());
    }
}
