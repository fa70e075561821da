//! The desktop shell: the web app, the program that shows it, and its start. The
//! package for others to install is made by bundle.rs. The program itself is
//! src-tauri/src; its test is tests/e2e/desktop.mjs.

use crate::outcome::Outcome;
use crate::process::{Job, built};
use crate::{setup, ui, wasm};

/// Builds the shell and, if `start` says so, becomes it.
pub fn build_and_run(start: bool) -> Outcome {
    prepare()?;
    Job::cargo()
        .args(["build", "-p", "slowstone-desktop"])
        .run()?;
    match start {
        true => Job::new(built("slowstone-desktop")).become_it(),
        false => Ok(()),
    }
}

/// What the shell is built from: the system's packages and the web app.
pub fn prepare() -> Outcome {
    setup::run(setup::FOR_DESKTOP)?;
    if !setup::Need::WebView.is_met() {
        return Err("the desktop window needs WebKitGTK, see above. \
                    `cargo xtask run` does the same in a browser."
            .to_owned());
    }
    wasm::build()?;
    ui::build()
}
