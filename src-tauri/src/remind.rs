//! Reminders as notifications of the desktop. What is told, when, together with what, and
//! that it is told once, the hub says ([`Signal::Remind`]); here it is only passed on.
//! Next: note.rs.

use slowstone_hub::Signal;
use slowstone_hub::shell::Shell;
use tauri::AppHandle;
use tokio::sync::broadcast::Receiver;
use tokio::sync::broadcast::error::RecvError;

use crate::note::{self, Note};
use crate::place;

/// Tells of reminders until the hub stops.
pub async fn follow(app: AppHandle, shell: Shell, mut signals: Receiver<Signal>) {
    loop {
        match signals.recv().await {
            Ok(Signal::Remind {
                site, title, lines, ..
            }) => {
                let screen = Some(place::screen(&site, None));
                let note = Note {
                    title,
                    lines,
                    screen,
                };
                note::show(&app, &shell.words().await, note);
            }
            Ok(_) => {}
            // Too much at once: what was missed stays under "due" on the page.
            Err(RecvError::Lagged(_)) => {}
            Err(RecvError::Closed) => return,
        }
    }
}
