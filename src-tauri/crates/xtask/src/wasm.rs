//! The core for the browser: `slowstone-wasm` compiled to WebAssembly, put where
//! the web app serves it from, and weighed. Compiles with this Rust if it knows the
//! target, else with Debian's Rust for browsers, which builds its own standard
//! library. cargo decides whether anything has to be built.

use std::path::{Path, PathBuf};

use crate::Outcome;
use crate::process::{Job, find, root};

/// What the file may weigh, compressed, in bytes: it travels over a weak signal.
const BUDGET: u64 = 150 * 1024;
const TARGET: &str = "wasm32-unknown-unknown";
/// The oldest Rust that compiles this workspace (`rust-version` in Cargo.toml).
const OLDEST: (u32, u32) = (1, 88);
const PLACED: &str = "ui/public/core.wasm";

/// A Rust that compiles for the browser.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Toolchain {
    /// The one that built this program.
    Own,
    /// The packages rustc-web, cargo-web, rust-web-src and lld of Debian.
    Debian,
}

impl Toolchain {
    /// The one to use, if there is any.
    pub fn find() -> Option<Self> {
        if own_library().is_some_and(|dir| dir.is_dir()) {
            return Some(Self::Own);
        }
        let parts = [
            "/usr/bin/cargo",
            "/usr/bin/wasm-ld",
            "/usr/share/doc/rustc-web",
            "/usr/share/doc/rust-web-src",
        ];
        let whole = parts.iter().all(|part| Path::new(part).exists());
        let said = || Job::new("/usr/bin/rustc").args(["--version"]).text().ok();
        let new = whole && said().and_then(|said| version(&said)) >= Some(OLDEST);
        new.then_some(Self::Debian)
    }

    fn build(self) -> Job {
        let words = [
            "build",
            "--profile",
            "wasm",
            "--target",
            TARGET,
            "-p",
            "slowstone-wasm",
        ];
        // A folder of its own: the two Rusts and the profile share nothing.
        let dir = folder();
        match self {
            Self::Own => Job::cargo().args(words).env("CARGO_TARGET_DIR", dir),
            Self::Debian => Job::new("/usr/bin/cargo")
                .args(words)
                .args(["-Z", "build-std=std,panic_abort"])
                .env("CARGO_TARGET_DIR", dir)
                .env("RUSTC_BOOTSTRAP", "1")
                .env("RUSTC", "/usr/bin/rustc")
                .env(
                    "CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER",
                    "/usr/bin/wasm-ld",
                )
                .without("RUSTUP_TOOLCHAIN")
                .without("CARGO"),
        }
    }
}

/// Where this Rust would keep its standard library for the browser.
fn own_library() -> Option<PathBuf> {
    let rustc = std::env::var_os("RUSTC").map_or_else(|| find("rustc"), |it| Some(it.into()))?;
    let said = Job::new(rustc)
        .args(["--print", "target-libdir", "--target", TARGET])
        .text()
        .ok()?;
    Some(PathBuf::from(said.trim()))
}

/// Major and minor of what `rustc --version` says (`rustc 1.88.0 (...)`).
fn version(said: &str) -> Option<(u32, u32)> {
    let mut parts = said.split_whitespace().nth(1)?.split('.');
    Some((parts.next()?.parse().ok()?, parts.next()?.parse().ok()?))
}

fn folder() -> PathBuf {
    root().join("target-wasm")
}

/// Builds the core, puts it into the web app and checks its weight.
pub fn build() -> Outcome {
    let toolchain = Toolchain::find().ok_or(
        "no Rust here compiles for the browser. Run `rustup target add wasm32-unknown-unknown`, \
         or on Debian `cargo xtask setup` (the packages must bring Rust 1.88 or newer, as the \
         security updates of Debian 12 do), then start again.",
    )?;
    toolchain.build().run()?;
    let made = folder()
        .join(TARGET)
        .join("wasm")
        .join("slowstone_wasm.wasm");
    let bytes = std::fs::read(&made)
        .map_err(|error| format!("could not read {}: {error}", made.display()))?;
    let placed = root().join(PLACED);
    // Written only when it changed, or the web app would be built anew each time.
    if std::fs::read(&placed).ok().as_ref() != Some(&bytes) {
        std::fs::write(&placed, &bytes)
            .map_err(|error| format!("could not write {PLACED}: {error}"))?;
    }
    weigh(compressed(&made)?)
}

fn compressed(file: &Path) -> Outcome<u64> {
    let script = "const z = require('zlib'), f = require('fs');\
                  console.log(z.gzipSync(f.readFileSync(process.argv[1]), { level: 9 }).length)";
    let said = Job::new("node").args(["-e", script]).args([file]).text()?;
    said.trim()
        .parse()
        .map_err(|_| format!("could not weigh the core: node said `{said}`"))
}

fn weigh(bytes: u64) -> Outcome {
    let kib = bytes.div_ceil(1024);
    if bytes > BUDGET {
        return Err(format!(
            "{PLACED} is {kib} KB compressed, over the {} KB it may be. \
             See what grew (`twiggy top`), before raising the limit in wasm.rs.",
            BUDGET / 1024
        ));
    }
    println!("{PLACED}: {kib} of {} KB compressed", BUDGET / 1024);
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn versions_of_rust_are_read() {
        assert_eq!(
            version("rustc 1.96.0 (f2d3 2026-05-21) (built from a tarball)"),
            Some((1, 96))
        );
        assert_eq!(version("rustc 1.85.0"), Some((1, 85)));
        assert!(version("rustc 1.85.0") < Some(OLDEST));
        assert_eq!(version("rustc"), None);
    }

    #[test]
    fn the_oldest_rust_is_the_one_of_the_workspace() {
        let manifest = std::fs::read_to_string(root().join("Cargo.toml")).unwrap();
        assert!(manifest.contains(&format!("rust-version = \"{}.{}\"", OLDEST.0, OLDEST.1)));
    }

    #[test]
    fn the_budget_is_a_limit() {
        assert!(weigh(150 * 1024).is_ok());
        assert!(weigh(150 * 1024 + 1).unwrap_err().contains("151 KB"));
    }
}
