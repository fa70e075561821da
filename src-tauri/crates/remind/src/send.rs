//! One message to one channel outside, once: the words for it, and the call.
//!
//! What follows from how it ended is in [`super::journal`]; each way out has its own file.

use super::journal::{Channel, Message, Tried};
use super::push::Subscription;
use super::rules::Stage;
use super::say::{Said, say};
use super::settings::Settings;
use super::{email, push, webhook};
use ring::signature::EcdsaKeyPair;
use serde_json::{Value, json};
use slowstone_curing::units::AtMs;
use slowstone_wording::words::Words;

/// Lines of a push message at most: push services take 4096 bytes (RFC 8291, 4).
const PUSH_LINES: usize = 6;
/// Characters of a line in a push message at most.
const PUSH_CHARS: usize = 120;

/// One message for one channel, with everything that sending it needs.
#[derive(Clone, Debug)]
pub struct Task {
    /// Which site.
    pub site: String,
    /// Its name.
    pub site_name: String,
    /// Its time zone.
    pub tz: String,
    /// The message.
    pub message: Message,
    /// Where to.
    pub channel: Channel,
    /// What people chose.
    pub settings: Settings,
    /// The device's subscription, for a push message.
    pub subscription: Option<Subscription>,
}

/// The keys and passwords that messages go out with.
pub trait Keys {
    /// The key that push messages are signed with.
    ///
    /// # Errors
    /// Why there is none, in words.
    fn vapid(&self) -> Result<EcdsaKeyPair, String>;

    /// The key that webhook messages are signed with.
    ///
    /// # Errors
    /// Why there is none, in words.
    fn webhook(&self) -> Result<String, String>;

    /// The password at the mail server.
    fn email(&self) -> String;
}

/// Sends a message once to a channel outside; `now` is the true time, which receivers look
/// at. Blocks.
pub fn outward(keys: &dyn Keys, task: &Task, now: AtMs) -> Tried {
    let id = &task.message.id;
    let language = match &task.subscription {
        Some(s) => &s.language,
        None => &task.settings.language,
    };
    let words = Words::of(language);
    let said = say(&words, &task.message, &task.site_name, &task.tz);
    match &task.channel {
        Channel::Screen => Tried::Sent,
        Channel::Webhook => match keys.webhook() {
            Ok(secret) => {
                let body = hook(task, &said).to_string().into_bytes();
                webhook::post(&task.settings.webhook_url, &secret, id, body, now)
            }
            Err(why) => Tried::Later(why),
        },
        Channel::Email => {
            let to = &task.settings.email;
            let text = format!(
                "{}\n\n{}\n",
                said.text(),
                words.say("remind-mail-foot", &[])
            );
            email::send(to, &keys.email(), id, &said.title, text)
        }
        Channel::Push(_) => match (&task.subscription, keys.vapid()) {
            (None, _) => Tried::Never(push::GONE.to_owned()),
            (_, Err(why)) => Tried::Later(why),
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
