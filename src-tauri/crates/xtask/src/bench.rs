//! `cargo xtask bench`: measurements in the release profile, told as ratios within one
//! run, because machines differ. Nothing is asserted here.
//!
//! The engine against scipy (`tests/bench`), small pictures against `vipsthumbnail`, what a
//! hub carries (`hub/examples/load`), and the app in a browser (`tests/bench/ui.mjs`).

use crate::Outcome;
use crate::process::{Job, root, target};
use crate::{setup, ui, wasm};

/// Runs the measurements; `given` are the sizes of the load on the hub.
pub fn bench(given: &[String]) -> Outcome {
    engine()?;
    let site = example("slowstone-logbook", "many_pours").text()?;
    println!("site of many pours {}", site.trim());
    browser()?;
    example("slowstone-hub", "bench_photos").run()?;
    example("slowstone-hub", "load")
        .args(["--", "--within"])
        .args([target()])
        .args(given)
        .run()?;
    app()
}

/// The app in a browser, and the start of the hub beside a bare program.
fn app() -> Outcome {
    wasm::build()?;
    ui::build()?;
    ui::packages("tests/bench")?;
    let release = ["build", "-q", "--release", "-p", "slowstone-hub", "--bins"];
    Job::cargo()
        .args(release)
        .args(["--example", "bare"])
        .run()?;
    let file = target().join("bench-events-500.json");
    let many = example("slowstone-logbook", "many_pours");
    many.args(["--", "500"]).args([&file]).text()?;
    let built = target().join("release");
    let [hub, bare] = [built.join("slowstone"), built.join("examples/bare")];
    let job = Job::new("node")
        .args(["tests/bench/ui.mjs"])
        .args([hub, bare, file]);
    // Lighthouse looks for a browser by this name.
    match setup::browser() {
        Some(browser) => job
            .env("SLOWSTONE_BROWSER", &browser)
            .env("CHROME_PATH", browser)
            .run(),
        None => {
            println!("no browser of the Chromium family here: the app is not measured");
            Ok(())
        }
    }
}

fn example(package: &str, name: &str) -> Job {
    Job::cargo().args(["run", "-q", "--release", "-p", package, "--example", name])
}

/// The core in the browser against the native one, on the same site.
fn browser() -> Outcome {
    if !root().join("ui/public/core.wasm").exists() {
        println!("no ui/public/core.wasm: `cargo xtask wasm` builds the core for the browser");
        return Ok(());
    }
    let file = target().join("bench-events.json");
    let found = example("slowstone-logbook", "many_pours")
        .args(["--", "40"])
        .args([&file])
        .text()?;
    let ms = found
        .split("\"scratch_ms\":")
        .nth(1)
        .and_then(|rest| rest.split([',', '}']).next())
        .unwrap_or_default();
    Job::new("node")
        .args(["tests/bench/wasm.mjs"])
        .args([&file])
        .args([ms])
        .run()
}

/// A prediction, and the same problem by scipy where it is installed.
fn engine() -> Outcome {
    let found = example("slowstone-curing", "speed").text()?;
    let file = target().join("bench-engine.json");
    std::fs::write(&file, &found)
        .map_err(|error| format!("could not write {}: {error}", file.display()))?;
    // The rows are for the script alone.
    let summary = found.split(",\"rows\"").next().unwrap_or(&found);
    println!("engine {summary}}}");
    let python = if cfg!(windows) { "python" } else { "python3" };
    if Job::new(python)
        .args(["-c", "import numpy, scipy"])
        .output()
        .is_err()
    {
        println!("scipy is not installed (python3-scipy), so there is nothing to compare with");
        return Ok(());
    }
    Job::new(python)
        .args(["tests/bench/heat_scipy.py"])
        .args([&file])
        .run()
}
