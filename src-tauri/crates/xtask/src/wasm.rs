//! The core for the browser: `slowstone-wasm` compiled to WebAssembly, put where
//! the web app serves it from, and weighed. The standard library is built with it, for size
//! and without the texts of panics, which saves a fifth: so a Rust is needed that has its
//! library's source, this one or Debian's for browsers. cargo decides whether anything has
//! to be built.

use std::path::{Path, PathBuf};

use crate::outcome::Outcome;
use crate::process::{Job, find, root};

/// What the file should weigh at most, compressed, in bytes: it travels over a weak signal.
/// An aim that is told, never a reason to stop a build.
const AIM: u64 = 400 * 1024;
/// Where the web app serves it from.
const PLACED: &str = "ui/public/core.wasm";
const TARGET: &str = "wasm32-unknown-unknown";
/// The oldest Rust that compiles this workspace (`rust-version` in Cargo.toml).
const OLDEST: (u32, u32) = (1, 92);

/// A Rust that compiles for the browser.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Toolchain {
    /// The one that built this program, with the component rust-src.
    Own,
    /// The packages rustc-web, cargo-web, rust-web-src and lld of Debian.
    Debian,
}

impl Toolchain {
    /// The one to use, if there is any.
    pub fn find() -> Option<Self> {
        if own_source().is_some_and(|dir| dir.is_dir()) {
            return Some(Self::Own);
        }
        let parts = [
            "/usr/bin/cargo",
            "/usr/bin/wasm-ld",
            "/usr/share/doc/rustc-web",
            "/usr/share/doc/rust-web-src",
        ];
        let whole = parts.iter().all(|part| Path::new(part).exists());
        (whole && Self::Debian.version() >= Some(OLDEST)).then_some(Self::Debian)
    }

    fn rustc(self) -> Option<PathBuf> {
        match self {
            Self::Own => {
                std::env::var_os("RUSTC").map_or_else(|| find("rustc"), |it| Some(it.into()))
            }
            Self::Debian => Some(PathBuf::from("/usr/bin/rustc")),
        }
    }

    fn version(self) -> Option<(u32, u32)> {
        let said = Job::new(self.rustc()?).args(["--version"]).text().ok()?;
        version(&said)
    }

    /// Compiles the crate.
    fn build(self) -> Job {
        let job = match self {
            Self::Own => Job::cargo(),
            Self::Debian => Job::new("/usr/bin/cargo")
                .env("RUSTC", "/usr/bin/rustc")
                .env(
                    "CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER",
                    "/usr/bin/wasm-ld",
                )
                .without("RUSTUP_TOOLCHAIN")
                .without("CARGO"),
        };
        // Everything about panics is left out, and the linker leaves room for addresses to
        // grow unless it is told not to.
        let flags = "-Clink-arg=--compress-relocations -Zunstable-options \
                     -Cpanic=immediate-abort -Zlocation-detail=none";
        job.args(["build", "--profile", "wasm", "--target", TARGET])
            .args(["-p", "slowstone-wasm"])
            .args(["-Z", "build-std=std,panic_abort"])
            .args(["-Z", "build-std-features=optimize_for_size"])
            // A folder of its own: this build shares nothing with any other.
            .env("CARGO_TARGET_DIR", folder())
            .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS", flags)
            // Building the library is not yet among what every Rust may do.
            .env("RUSTC_BOOTSTRAP", "1")
    }
}

/// Where this Rust would keep the source of its standard library.
fn own_source() -> Option<PathBuf> {
    let rustc = Toolchain::Own.rustc()?;
    let said = Job::new(rustc).args(["--print", "sysroot"]).text().ok()?;
    Some(PathBuf::from(said.trim()).join("lib/rustlib/src/rust/library"))
}

/// Major and minor of what `rustc --version` says (`rustc 1.92.0 (...)`).
fn version(said: &str) -> Option<(u32, u32)> {
    let mut parts = said.split_whitespace().nth(1)?.split('.');
    Some((parts.next()?.parse().ok()?, parts.next()?.parse().ok()?))
}

fn folder() -> PathBuf {
    root().join("target-wasm")
}

/// Builds the core, puts it into the web app and tells its weight when that changed.
pub fn build() -> Outcome {
    let toolchain = Toolchain::find().ok_or(
        "no Rust here compiles for the browser. Run `rustup component add rust-src`, \
         or on Debian `cargo xtask setup` (the packages must bring Rust 1.92 or newer, as the \
         security updates of Debian 12 do), then start again.",
    )?;
    toolchain.build().run()?;
    if place()? {
        println!("{}", weight(compressed(&root().join(PLACED))?));
    }
    Ok(())
}

/// Copies what was compiled to where the web app serves it from; whether it is another.
fn place() -> Outcome<bool> {
    let made = folder()
        .join(TARGET)
        .join("wasm")
        .join("slowstone_wasm.wasm");
    let bytes = std::fs::read(&made)
        .map_err(|error| format!("could not read {}: {error}", made.display()))?;
    let target = root().join(PLACED);
    // Written only when it changed, or the web app would be built anew each time.
    if std::fs::read(&target).ok().as_ref() == Some(&bytes) {
        return Ok(false);
    }
    std::fs::write(&target, &bytes)
        .map_err(|error| format!("could not write {PLACED}: {error}"))?;
    Ok(true)
}

fn compressed(file: &Path) -> Outcome<u64> {
    let script = "const z = require('zlib'), f = require('fs');\
                  console.log(z.gzipSync(f.readFileSync(process.argv[1]), { level: 9 }).length)";
    let said = Job::new("node").args(["-e", script]).args([file]).text()?;
    said.trim()
        .parse()
        .map_err(|_| format!("could not weigh the core: node said `{said}`"))
}

fn weight(bytes: u64) -> String {
    let (kib, aim) = (bytes.div_ceil(1024), AIM / 1024);
    let over = if bytes > AIM { ", OVER the aim" } else { "" };
    format!("{PLACED}: {kib} KB compressed, aim {aim} KB{over}")
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
    fn a_weight_over_the_aim_is_told() {
        assert!(!weight(AIM).contains("OVER"));
        assert!(weight(AIM + 1).contains("401 KB compressed, aim 400 KB, OVER"));
    }
}
