//! Bringing one message to one channel, once: to open pages and the window here, outward by
//! [`super::send`] on a thread that may wait.
//!
//! What follows from how it ended is in [`super::journal`].

use super::journal::{Channel, Tried};
use super::rules::Stage;
use super::say::say;
use super::send::{self, Task};
use crate::clock::Clock;
use crate::state::{Hub, Signal};
use crate::words::Words;
use slowstone_logbook::view::Reminder;
use std::sync::Arc;

/// Sends a message to its channel once.
pub async fn send(hub: &Arc<Hub>, task: Task) -> Tried {
    if task.channel == Channel::Screen {
        show(hub, &task);
        return Tried::Sent;
    }
    let hub = Arc::clone(hub);
    // The other side looks at the true time, also where the hub's clock was set for a trial.
    let now = Clock::System.now();
    let done = tokio::task::spawn_blocking(move || send::outward(&hub.secrets, &task, now)).await;
    done.unwrap_or_else(|e| Tried::Later(e.to_string()))
}

/// Tells open pages and the window.
fn show(hub: &Hub, task: &Task) {
    let words = Words::of(&task.settings.language);
    let said = say(&words, &task.message, &task.site_name, &task.tz);
    // Nobody listening is no error.
    let _ = hub.signals.send(Signal::Remind {
        site: task.site.clone(),
        id: task.message.id.clone(),
        title: said.title,
        lines: said.lines,
    });
    for item in task.message.items.iter().filter(|i| i.stage == Stage::Due) {
        let _ = hub.signals.send(Signal::Due {
            site: task.site.clone(),
            reminder: Reminder {
                pour: item.pour.clone(),
                step_number: item.step_number,
                name: item.name.clone(),
                kind: item.kind,
                from_ms: item.from_ms,
                until_ms: item.until_ms,
                snoozed: item.again.is_some(),
                test: item.test,
            },
        });
    }
}
