//! Checks by programs from PyPI, in a Python environment of their own below `target`:
//! schemathesis asks a running hub what its own OpenAPI document allows and forbids, and
//! icalendar reads its calendar, moto is the S3 server of the photo store, and numpy reckons
//! pours of other physics for the engine (`tests/sim/other_physics`).
//! Where Python or the packages are not to be had, it says so and checks nothing.

use crate::outcome::Outcome;
use crate::process::{Job, built, find, target};

/// What is installed, with versions, so that a run means the same everywhere.
const PACKAGES: &[&str] = &[
    "schemathesis==4.32.5",
    "icalendar==7.3.2",
    "moto[server]==5.2.5",
    "numpy==2.4.6",
];

/// What is asked, in `tests/hub/outside`.
const SCRIPTS: &[&str] = &["calendar_feed.py", "s3.py", "questions.py"];

/// Asks the hub.
///
/// # Errors
/// When an answer is not what the document says, or the hub fell over.
pub fn run() -> Outcome {
    let place = target().join("outside");
    let python = place.join("bin/python");
    let stamp = place.join("packages.txt");
    let wanted = PACKAGES.join("\n");
    if !std::fs::read_to_string(&stamp).is_ok_and(|there| there == wanted) {
        if find("python3").is_none() {
            eprintln!("SKIPPED: there is no python3 here, so nobody asks the hub from outside.");
            return Ok(());
        }
        let folder = place.to_string_lossy().into_owned();
        let made = Job::new("python3").args(["-m", "venv", &folder]).run();
        let pip = [
            "-m",
            "pip",
            "install",
            "--quiet",
            "--disable-pip-version-check",
        ];
        let got = made.and_then(|()| Job::new(&python).args(pip).args(PACKAGES).run());
        if let Err(reason) = got {
            eprintln!("SKIPPED: {reason}; nobody asks the hub from outside.");
            return Ok(());
        }
        std::fs::write(&stamp, &wanted).map_err(|e| format!("{}: {e}", stamp.display()))?;
    }
    for script in SCRIPTS {
        let script = format!("tests/hub/outside/{script}");
        Job::new(&python)
            .args([script.as_ref(), built("slowstone").as_os_str()])
            .run()?;
    }
    // The engine through its command: pours of other physics, and what no answer may say.
    for (script, pours) in [("cover.py", "16"), ("one_answer.py", "300")] {
        let script = format!("tests/sim/other_physics/{script}");
        let program = built("slowstone");
        let words = [
            script.as_ref(),
            program.as_os_str(),
            pours.as_ref(),
            "--check".as_ref(),
        ];
        Job::new(&python).args(words).run()?;
    }
    Ok(())
}
