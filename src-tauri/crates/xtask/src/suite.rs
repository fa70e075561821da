//! `cargo xtask test`: every test there is. Each part runs even if one before it
//! failed, unless it stands on it; the end is one line to a part and a count.
//! Everything is built with the whole workspace in view, so that one set of
//! compiled crates serves the tests, the hub and the window alike.

use std::collections::VecDeque;
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};
use std::time::Instant;

use crate::outcome::Outcome;
use crate::process::{Job, built, find, root};
use crate::setup::{self, Need};
use crate::{bundle, deny, example, outside, types, ui, wasm};

/// How one part ended.
struct Part {
    name: String,
    seconds: f64,
    outcome: Outcome,
}

/// The parts so far.
#[derive(Default)]
struct Suite(Vec<Part>);

impl Suite {
    /// Runs one part and keeps how it ended. True when it went well.
    fn part(&mut self, name: &str, run: impl FnOnce() -> Outcome) -> bool {
        eprintln!("\n== {name}");
        let start = Instant::now();
        let outcome = run();
        if let Err(reason) = &outcome {
            eprintln!("{name}: {reason}");
        }
        let passed = outcome.is_ok();
        self.0.push(Part {
            name: name.to_owned(),
            seconds: start.elapsed().as_secs_f64(),
            outcome,
        });
        passed
    }

    /// The table of the parts and, last, the count.
    fn summary(&self) -> String {
        let failed = self.failed();
        let mut text = String::new();
        for part in &self.0 {
            let word = if part.outcome.is_ok() {
                "passed"
            } else {
                "FAILED"
            };
            text.push_str(&format!("{word} {:>7.1} s  {}\n", part.seconds, part.name));
        }
        text.push_str(&format!(
            "{} passed, {failed} failed",
            self.0.len() - failed
        ));
        text
    }

    fn failed(&self) -> usize {
        self.0.iter().filter(|part| part.outcome.is_err()).count()
    }
}

/// Runs everything.
pub fn run() -> Outcome {
    let mut suite = Suite::default();
    suite.part("set up", || setup::run(setup::FOR_ALL));
    suite.part("shared types", types::check);
    let app = suite.part("core for the browser", wasm::build) & suite.part("web app", ui::build);
    for (name, script) in [
        ("web app format", "format:check"),
        ("web app lints", "lint"),
        ("web app types", "check"),
        ("web app tests", "test"),
    ] {
        suite.part(name, || {
            Job::npm().args(["run", "-s", script]).dir("ui").run()
        });
    }

    // Without the web view everything but the window is built and tested.
    let window = Need::WebView.is_met();
    let scope = setup::scope();
    suite.part("Rust tests", || {
        Job::cargo()
            .args(["test", "--no-fail-fast"])
            .args(scope)
            .run()
    });
    suite.part("documentation", || documentation(scope));
    suite.part("crates: licences, bans, sources", deny::run);
    suite.part("worked example of DEVELOPERS.md", example::run);
    let programs = suite.part("programs", || {
        Job::cargo().args(["build", "--bins"]).args(scope).run()
    });

    if programs {
        suite.part("questions from outside", outside::run);
    }
    if app && programs {
        end_to_end(&mut suite, window);
    } else {
        eprintln!("\nThe tests in a browser and a window need the parts above: left out.");
    }
    println!("\n{}", suite.summary());
    match suite.failed() {
        0 => Ok(()),
        _ => Err("not every part passed, see above".to_owned()),
    }
}

/// The documentation of the crates in `scope`, private items too: every link in it leads
/// somewhere, and every public item says what it is.
fn documentation(scope: &[&str]) -> Outcome {
    Job::cargo()
        .args(["doc", "--no-deps", "--document-private-items"])
        .args(scope)
        .env("RUSTDOCFLAGS", "-D warnings")
        .run()
}

/// The tests that use the programs as a person would.
fn end_to_end(suite: &mut Suite, window: bool) {
    let folder = root().join("tests/e2e");
    if folder.join("wasm.mjs").exists() {
        suite.part("core in the browser against here", || {
            node("tests/e2e/wasm.mjs").run()
        });
    }
    let specs = specs(&folder);
    if !specs.is_empty()
        && suite.part("packages of the browser tests", || {
            ui::packages("tests/e2e")
        })
    {
        flows(suite, specs);
    }
    if window {
        suite.part("the desktop program's code for phones", || {
            Job::cargo()
                .args(["build", "--lib", "-p", "slowstone-desktop"])
                .args(["--features", "as-phone"])
                .run()
        });
        suite.part("desktop window", || node("tests/e2e/desktop.mjs").run());
        if find("dpkg-deb").is_some() {
            suite.part("desktop package", bundle::try_out);
        }
    } else {
        eprintln!("\nNo web view on this machine: the desktop window is not tested.");
    }
}

/// How many browser flows run at once: each has a hub and a browser of its own and waits for
/// them half of its time.
const AT_ONCE: usize = 2;

/// Runs the browser flows side by side; what one wrote is shown when it has ended.
fn flows(suite: &mut Suite, specs: Vec<String>) {
    let waiting = Mutex::new(VecDeque::from(specs));
    let ended = Mutex::new(&mut suite.0);
    std::thread::scope(|scope| {
        for _ in 0..AT_ONCE {
            scope.spawn(|| {
                loop {
                    let next = waiting
                        .lock()
                        .unwrap_or_else(PoisonError::into_inner)
                        .pop_front();
                    let Some(spec) = next else { return };
                    let start = Instant::now();
                    let (text, outcome) = node(&format!("tests/e2e/{spec}")).kept();
                    let name = format!("browser: {spec}");
                    let mut parts = ended.lock().unwrap_or_else(PoisonError::into_inner);
                    eprint!("\n== {name}\n{text}");
                    if let Err(reason) = &outcome {
                        eprintln!("{name}: {reason}");
                    }
                    parts.push(Part {
                        name,
                        seconds: start.elapsed().as_secs_f64(),
                        outcome,
                    });
                }
            });
        }
    });
}

fn node(script: &str) -> Job {
    let job = Job::new("node")
        .args([script])
        .env("SLOWSTONE_BIN", built("slowstone"))
        .env("SLOWSTONE_DESKTOP", built("slowstone-desktop"));
    match setup::browser() {
        Some(browser) => job.env("SLOWSTONE_BROWSER", browser),
        None => job,
    }
}

/// The names of the browser tests, in order.
fn specs(folder: &PathBuf) -> Vec<String> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let mut names: Vec<String> = entries
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .filter(|name| name.ends_with(".spec.mjs"))
        .collect();
    names.sort();
    names
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Promise: "sh src-tauri/test.sh"
    /// Promise: "runs every test there is"
    #[test]
    fn the_summary_counts_what_failed() {
        let mut suite = Suite::default();
        assert!(suite.part("one", || Ok(())));
        assert!(!suite.part("two", || Err("broken".to_owned())));
        let summary = suite.summary();
        assert!(summary.ends_with("\n1 passed, 1 failed"), "{summary}");
        assert!(
            summary.lines().nth(1).unwrap().starts_with("FAILED"),
            "{summary}"
        );
    }
}
