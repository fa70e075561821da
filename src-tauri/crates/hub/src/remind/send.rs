//! Bringing one message to one channel, once: the words for it, and the call.
//!
//! What follows from how it ended is in [`super::journal`]; each way out has its own file.

use super::journal::{Channel, Message, Tried};
use super::rules::Stage;
use super::say::{Said, say};
use super::{Task, email, push, webhook};
use crate::clock::Clock;
use crate::state::{Hub, Signal};
use crate::words::Words;
use serde_json::{Value, json};
use slowstone_logbook::view::Reminder;
use std::sync::Arc;

/// Lines of a push message at most: push services take 4096 bytes (RFC 8291, 4).
const PUSH_LINES: usize = 6;
/// Characters of a line in a push message at most.
const PUSH_CHARS: usize = 120;

/// Sends a message to its channel once.
pub async fn send(hub: &Arc<Hub>, task: Task) -> Tried {
    if task.channel == Channel::Screen {
        show(hub, &task);
        return Tried::Sent;
    }
    let hub = Arc::clone(hub);
    let done = tokio::task::spawn_blocking(move || outward(&hub, &task)).await;
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
            },
        });
    }
}

fn outward(hub: &Hub, task: &Task) -> Tried {
    let id = &task.message.id;
    let language = match &task.subscription {
        Some(s) => &s.language,
        None => &task.settings.language,
    };
    let words = Words::of(language);
    let said = say(&words, &task.message, &task.site_name, &task.tz);
    // The other side looks at the true time, also where the hub's clock was set for a trial.
    let now = Clock::System.now();
    match &task.channel {
        Channel::Screen => Tried::Sent,
        Channel::Webhook => match hub.secrets.webhook() {
            Ok(secret) => {
                let body = hook(task, &said).to_string().into_bytes();
                webhook::post(&task.settings.webhook_url, &secret, id, body, now)
            }
            Err(e) => Tried::Later(e.to_string()),
        },
        Channel::Email => {
            let to = &task.settings.email;
            let text = format!(
                "{}\n\n{}\n",
                said.text(),
                words.say("remind-mail-foot", &[])
            );
            email::send(to, &hub.secrets.email(), id, &said.title, text)
        }
        Channel::Push(_) => match (&task.subscription, hub.secrets.vapid()) {
            (None, _) => Tried::Never(push::GONE.to_owned()),
            (_, Err(e)) => Tried::Later(e.to_string()),
            (Some(to), Ok(key)) => {
                let body = note(task, &said, &words, &to.by).to_string().into_bytes();
                push::push(to, &key, id, body, now)
            }
        },
    }
}

/// What a webhook gets.
fn hook(task: &Task, said: &Said) -> Value {
    json!({
        "id": task.message.id,
        "site": { "id": task.site, "name": task.site_name },
        "at_ms": task.message.at_ms,
        "title": said.title,
        "text": said.text(),
        "items": task.message.items,
    })
}

/// What a device gets: `ui/src/sw.ts` shows it.
fn note(task: &Task, said: &Said, words: &Words, by: &str) -> Value {
    let short = |line: &String| line.chars().take(PUSH_CHARS).collect::<String>();
    let lines: Vec<String> = said.lines.iter().take(PUSH_LINES).map(short).collect();
    json!({
        "id": task.message.id,
        "title": short(&said.title),
        "body": lines.join("\n"),
        "url": format!("/site/{}", task.site),
        "site": task.site,
        "by": by,
        "marks": marks(&task.message),
        "done": words.say("remind-done", &[]),
        "snooze": words.say("remind-snooze", &[]),
    })
}

/// What "Done" and "Snooze" from a notification answer: pour and milestone.
fn marks(message: &Message) -> Vec<Value> {
    let due = message
        .items
        .iter()
        .filter(|i| matches!(i.stage, Stage::Due | Stage::Soon));
    let marks = due.map(|i| json!({ "pour": i.pour, "milestone": i.kind }));
    marks.take(PUSH_LINES).collect()
}
