//! Photos given as files: dropped on the window, or named at a start. The hub takes them in
//! and says what became of each; here the answer becomes a notification.
//!
//! Which site they are for is the window's to say, which pour the hub finds by their time.
//! Next: note.rs.

use std::path::PathBuf;

use slowstone_hub::shell::Shell;
use tauri::{AppHandle, Manager, async_runtime};

use crate::note::{self, Note};
use crate::{place, window};

/// Hands files to the hub, for the site that the window shows.
pub fn take(app: &AppHandle, files: Vec<PathBuf>) {
    let Some(shell) = app.try_state::<Shell>().map(|shell| shell.inner().clone()) else {
        return;
    };
    if files.is_empty() {
        return;
    }
    let app = app.clone();
    async_runtime::spawn(async move {
        let filed = shell.take_files(files, window::site(&app)).await;
        let note = Note {
            title: filed.title,
            lines: filed.lines,
            screen: filed.site.map(|site| place::screen(&site, None)),
        };
        note::show(&app, &shell.words().await, note);
    });
}
