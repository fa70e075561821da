//! `cargo xtask bench`: measurements in the release profile, each held against an anchor of
//! the same run, because machines differ. Nothing is asserted here.
//!
//! Each part runs a program that prints rows ([`table`] says how), and all rows end in one
//! table on standard output; what the programs say besides goes to standard error. A part
//! that cannot run here is a row that says why. The programs: examples of the crates and
//! `tests/bench`.

mod table;

use crate::process::{Job, root, target};
use crate::{Outcome, setup, ui};
use std::path::PathBuf;
use table::Row;

/// Something that is measured by itself: its name, and how its rows are had. The words are
/// sizes of the load on the hub.
type Part = (&'static str, fn(&[String]) -> Outcome<String>);

const PARTS: [Part; 7] = [
    ("engine", |_| engine()),
    ("fold", |_| example(MANY).and_then(|p| run(p, &["rows"]))),
    ("browser", |_| browser()),
    ("photos", |_| {
        example(PHOTOS).and_then(|p| run(p, &["small"]))
    }),
    ("colour", |_| colour()),
    ("hub", hub),
    ("ui", |_| app()),
];

/// Package and name of an example.
type Example = (&'static str, &'static str);
const SPEED: Example = ("slowstone-curing", "speed");
const MANY: Example = ("slowstone-logbook", "many_pours");
const PHOTOS: Example = ("slowstone-hub", "bench_photos");
const LOAD: Example = ("slowstone-hub", "load");
const BARE: Example = ("slowstone-hub", "bare");

/// Measures the parts that are named, or all, and prints the table. After `--` come sizes of
/// the load on the hub.
pub fn bench(given: &[String]) -> Outcome {
    let (given, sizes) = match given.iter().position(|word| word == "--") {
        Some(at) => (
            given.get(..at).unwrap_or_default(),
            given.get(at + 1..).unwrap_or_default(),
        ),
        None => (given, &[][..]),
    };
    let mut known = vec!["--markdown"];
    known.extend(PARTS.iter().map(|(name, _)| *name));
    let words = crate::usage::flag(given, &known)?;
    let markdown = words.contains(&"--markdown");
    let all = words.iter().all(|word| *word == "--markdown");
    let mut rows = Vec::new();
    let mut failed = Vec::new();
    for (name, measure) in PARTS.iter().filter(|(name, _)| all || words.contains(name)) {
        eprintln!("\n{name}");
        match measure(sizes) {
            Ok(said) => rows.extend(said.lines().filter_map(|line| {
                let row = Row::read(line);
                eprintln!("{line}");
                row
            })),
            Err(reason) => {
                eprintln!("{reason}");
                rows.push(Row::missing(name, &format!("failed: {reason}")));
                failed.push(*name);
            }
        }
    }
    eprintln!();
    print!("{}", table::table(&rows, markdown));
    eprintln!(
        "\nThe ratio is what was measured over its anchor: of times less is better, of rates more."
    );
    match failed.is_empty() {
        true => Ok(()),
        false => Err(format!("could not measure all: {}", failed.join(", "))),
    }
}

/// An example, built; where it is.
fn example((package, name): Example) -> Outcome<PathBuf> {
    Job::cargo()
        .args(["build", "-q", "--release", "-p", package, "--example", name])
        .run()?;
    let file = format!("{name}{}", std::env::consts::EXE_SUFFIX);
    Ok(target().join("release/examples").join(file))
}

/// What a program prints with these words.
fn run(program: PathBuf, words: &[&str]) -> Outcome<String> {
    Job::new(program).args(words).loud()
}

/// Has this program do another of its commands; what that prints is not for the table.
fn made(command: &str) -> Outcome {
    let own = std::env::current_exe().map_err(|error| format!("where am I? {error}"))?;
    Job::new(own).args([command]).loud().map(|_| ())
}

/// A Python that has these modules: the first in PATH, or the system's, for which the
/// packages are (`setup::FOR_BENCH`).
fn python(modules: &str) -> Option<&'static str> {
    let candidates = if cfg!(windows) {
        ["python", "py"]
    } else {
        ["python3", "/usr/bin/python3"]
    };
    let script = format!("import {modules}");
    let has = |python: &&str| Job::new(python).args(["-c", &script]).output().is_ok();
    candidates.into_iter().find(has)
}

/// A prediction, and the same problem by scipy where it is installed.
fn engine() -> Outcome<String> {
    let speed = example(SPEED)?;
    match python("numpy, scipy") {
        Some(python) => Job::new(python)
            .args(["tests/bench/heat_scipy.py"])
            .args([speed])
            .loud(),
        None => {
            let mut said = run(speed, &[])?;
            said.push_str(
                "engine: against scipy\t\t\t\t\tscipy is not installed (python3-scipy)\n",
            );
            Ok(said)
        }
    }
}

/// The core in the browser against the native one, on the same site.
fn browser() -> Outcome<String> {
    made("wasm")?;
    let many = example(MANY)?;
    Job::new("node")
        .args(["tests/bench/wasm.mjs"])
        .args([many])
        .loud()
}

/// One photo measured and one curve fitted, beside numpy where it is installed.
fn colour() -> Outcome<String> {
    let photos = example(PHOTOS)?;
    let beside = python("numpy, PIL");
    run(photos, &[&["colour"][..], beside.as_slice()].concat())
}

/// What a hub carries.
fn hub(sizes: &[String]) -> Outcome<String> {
    example(BARE)?;
    Job::new(example(LOAD)?)
        .args(["--within"])
        .args([target()])
        .args(sizes)
        .loud()
}

/// The app in a browser.
fn app() -> Outcome<String> {
    made("ui")?;
    ui::packages("tests/bench")?;
    let release = ["build", "-q", "--release", "-p", "slowstone-hub", "--bins"];
    Job::cargo().args(release).run()?;
    let hub = target()
        .join("release")
        .join(format!("slowstone{}", std::env::consts::EXE_SUFFIX));
    let job = Job::new("node")
        .args([root().join("tests/bench/ui.mjs")])
        .args([hub, example(MANY)?]);
    // Lighthouse looks for a browser by this name.
    match setup::browser() {
        Some(browser) => job
            .env("SLOWSTONE_BROWSER", &browser)
            .env("CHROME_PATH", browser)
            .loud(),
        None => job.loud(),
    }
}
