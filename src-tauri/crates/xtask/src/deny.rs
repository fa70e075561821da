//! What the program is made of: licences, banned crates, sources, by cargo-deny with the
//! rules in `.cargo/deny.toml`. Where it is not installed it is built once into `target`.
//! Known holes in crates are not looked up here: that needs the network at every run.

use crate::outcome::Outcome;
use crate::process::{Job, find, target};

/// The version that the rules are written for.
const VERSION: &str = "0.20.2";

/// Checks the crates of all targets and features.
///
/// # Errors
/// When a crate breaks a rule, or cargo-deny can be neither found nor built.
pub fn run() -> Outcome {
    let tools = target().join("tools");
    let own = tools
        .join("bin")
        .join(format!("cargo-deny{}", std::env::consts::EXE_SUFFIX));
    let program = match find("cargo-deny") {
        Some(found) => found,
        None => {
            if !own.is_file() {
                let words = ["install", "cargo-deny", "--locked", "--version", VERSION];
                let place = tools.to_string_lossy().into_owned();
                Job::cargo().args(words).args(["--root", &place]).run()?;
            }
            own
        }
    };
    let checks = ["--all-features", "check", "bans", "licenses", "sources"];
    Job::new(program).args(checks).run()
}
