//! Reminders as notifications of the desktop. What is due, when, and that it is told
//! once, the hub says ([`Signal::Due`]); here things that come together are joined into
//! one notification, and pressing it shows the window.
//!
//! A desktop without a notification service loses nothing: the page shows the same
//! under "due". The words are the hub's. Next: lib.rs.

use std::time::Duration;

use notify_rust::Notification;
use slowstone_hub::Signal;
use slowstone_hub::words::Words;
use tauri::AppHandle;
use tokio::sync::broadcast::Receiver;
use tokio::sync::broadcast::error::RecvError;
use tokio::time::timeout;

/// How long the next reminder is waited for, to be told together with the one before.
const TOGETHER: Duration = Duration::from_millis(700);

/// The lines of one notification; what is more is only counted.
const LINES: usize = 6;

/// Tells of reminders until the hub stops.
pub async fn follow(app: AppHandle, mut signals: Receiver<Signal>) {
    let words = Words::of(&std::env::var("LANG").unwrap_or_default().replace('_', "-"));
    let mut lines = Vec::new();
    loop {
        let next = if lines.is_empty() {
            Some(signals.recv().await)
        } else {
            timeout(TOGETHER, signals.recv()).await.ok()
        };
        match next {
            Some(Ok(signal)) => lines.extend(signal.line(&words)),
            // Too many at once: those that were missed stay under "due" on the page.
            Some(Err(RecvError::Lagged(_))) => {}
            Some(Err(RecvError::Closed)) => return,
            None => show(&app, &words, std::mem::take(&mut lines)),
        }
    }
}

/// Shows one notification, on a thread of its own that waits for it to be pressed.
fn show(app: &AppHandle, words: &Words, lines: Vec<String>) {
    let title = words.say("desk-due", &[("count", lines.len().into())]);
    let mut note = Notification::new();
    note.appname("Slowstone").summary(&title).icon("slowstone");
    let shown: Vec<&str> = lines.iter().take(LINES).map(String::as_str).collect();
    note.body(&shown.join("\n"));
    #[cfg(target_os = "linux")]
    note.action("default", &words.say("desk-show", &[]));
    let app = app.clone();
    std::thread::spawn(move || match note.show() {
        #[cfg(target_os = "linux")]
        Ok(shown) => shown.wait_for_action(|action| {
            if action != "__closed" {
                crate::show(&app);
            }
        }),
        #[cfg(not(target_os = "linux"))]
        Ok(_) => drop(app),
        Err(error) => eprintln!(
            "The desktop took no notification ({error}). What is due stands in the window."
        ),
    });
}

#[cfg(test)]
mod tests {
    use slowstone_hub::words::Words;

    #[test]
    fn the_title_counts() {
        let words = Words::of("en");
        let one = words.say("desk-due", &[("count", 1.into())]);
        let two = words.say("desk-due", &[("count", 2.into())]);
        assert_eq!(one, "Slowstone: due now");
        assert_eq!(two, "Slowstone: 2 things are due");
    }
}
