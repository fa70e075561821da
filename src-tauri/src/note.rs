//! Notifications of the desktop: shown on a thread of their own that waits for a press,
//! which brings the window and what the notification is about.
//!
//! A desktop without a notification service loses nothing that is due: the page and the
//! tray show the same. Reminders come from remind.rs, answers to photos from files.rs.

use notify_rust::Notification;
use slowstone_hub::words::Words;
use tauri::AppHandle;

/// What is told.
pub struct Note {
    /// One line.
    pub title: String,
    /// One line for each thing.
    pub lines: Vec<String>,
    /// The screen that a press opens (`/site/…`).
    pub screen: Option<String>,
}

/// Shows it.
pub fn show(app: &AppHandle, words: &Words, note: Note) {
    let mut shown = Notification::new();
    shown
        .appname("Slowstone")
        .summary(&note.title)
        .icon("slowstone-desktop");
    shown.body(&note.lines.join("\n"));
    #[cfg(target_os = "linux")]
    shown.action("default", &words.say("desk-show", &[]));
    #[cfg(not(target_os = "linux"))]
    let _ = words;
    let app = app.clone();
    std::thread::spawn(move || match shown.show() {
        #[cfg(target_os = "linux")]
        Ok(open) => open.wait_for_action(|action| {
            if action != "__closed" {
                crate::window::show(&app, note.screen.as_deref());
            }
        }),
        #[cfg(not(target_os = "linux"))]
        Ok(_) => drop((app, note.screen)),
        Err(error) => {
            eprintln!("The desktop took no notification ({error}): {}", note.title);
            for line in note.lines {
                eprintln!("  {line}");
            }
        }
    });
}
