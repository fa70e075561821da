//! The journal of reminders: what was told, to which channel, and what became of it.
//!
//! One setting of the store holds a site's journal together with what counts as told, so
//! that a message and its being told are on the disk in the same instant: killed before it,
//! the hub tells it after the restart; killed after it, the message waits there and is sent.
//! A message that was being sent while the hub was killed is sent again under the same id, by
//! which a receiver knows it. Pure; the store is written in [`super`].

use super::rules::{Item, Told};
use serde::{Deserialize, Serialize};
use slowstone_curing::units::AtMs;

/// Beginning of the settings that hold journals; the site's id follows.
pub const PREFIX: &str = "reminders/site/";
/// Messages that are kept after everything about them is done.
const KEPT: usize = 100;
/// Waits between tries, seconds; the last one repeats.
const BACKOFF_S: [i64; 6] = [2, 15, 60, 300, 900, 3600];
/// A message that could not be sent for so long has failed, ms.
const GIVE_UP: i64 = 24 * 3_600_000;

/// Where a message goes.
#[derive(
    Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case", tag = "to", content = "device")]
pub enum Channel {
    /// Open pages and the window on this computer.
    Screen,
    /// A device that asked for push messages, by its id.
    Push(String),
    /// The address that the keeper named.
    Webhook,
    /// Electronic mail.
    Email,
}

/// What became of a message at one channel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
#[schemars(rename = "DeliveryState")]
pub enum State {
    /// Not sent yet.
    Waiting,
    /// The other side has it.
    Sent,
    /// Given up.
    Failed,
}

/// A message on its way to one channel.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Delivery {
    /// To where.
    pub channel: Channel,
    /// How it stands.
    pub state: State,
    /// How often it was tried.
    pub tries: u32,
    /// When it is tried next, or when it was done.
    pub at_ms: AtMs,
    /// What went wrong last.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub why: String,
}

/// Something that is told once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Message {
    /// Its id: the same at every try.
    pub id: String,
    /// When it was told.
    pub at_ms: AtMs,
    /// What it tells.
    pub items: Vec<Item>,
    /// Where to.
    pub to: Vec<Delivery>,
}

/// How one try ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Tried {
    /// The other side has it.
    Sent,
    /// Not now: why.
    Later(String),
    /// Never: why.
    Never(String),
}

/// The journal of one site.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Journal {
    /// What counts as told.
    pub told: Vec<Told>,
    /// Messages, oldest first.
    pub messages: Vec<Message>,
}

impl Journal {
    /// Reads a stored journal; none or an odd one is an empty one.
    #[must_use]
    pub fn read(text: Option<&str>) -> Self {
        text.and_then(|t| serde_json::from_str(t).ok())
            .unwrap_or_default()
    }

    /// Adds a message for these channels and forgets old ones of which nothing waits.
    pub fn add(&mut self, id: String, items: Vec<Item>, channels: &[Channel], now: AtMs) {
        let to = channels.iter().map(|channel| Delivery {
            channel: channel.clone(),
            state: State::Waiting,
            tries: 0,
            at_ms: now,
            why: String::new(),
        });
        self.messages.push(Message {
            id,
            at_ms: now,
            items,
            to: to.collect(),
        });
        let mut over = self.messages.len().saturating_sub(KEPT);
        self.messages.retain(|m| {
            let goes = over > 0 && m.to.iter().all(|d| d.state != State::Waiting);
            over -= usize::from(goes);
            !goes
        });
    }

    /// Messages and channels that are to be tried at `now`.
    #[must_use]
    pub fn ready(&self, now: AtMs) -> Vec<(Message, Channel)> {
        let each = self
            .messages
            .iter()
            .flat_map(|m| m.to.iter().map(move |d| (m, d)));
        each.filter(|(_, d)| d.state == State::Waiting && d.at_ms <= now)
            .map(|(m, d)| (m.clone(), d.channel.clone()))
            .collect()
    }

    /// When something is to be tried next.
    #[must_use]
    pub fn next_try(&self) -> Option<AtMs> {
        let all = self.messages.iter().flat_map(|m| &m.to);
        all.filter(|d| d.state == State::Waiting)
            .map(|d| d.at_ms)
            .min()
    }

    /// Notes how a try ended.
    pub fn note(&mut self, id: &str, channel: &Channel, tried: Tried, now: AtMs) {
        let Some(message) = self.messages.iter_mut().find(|m| m.id == id) else {
            return;
        };
        let told = message.at_ms;
        let waiting = |d: &&mut Delivery| d.channel == *channel && d.state == State::Waiting;
        let Some(d) = message.to.iter_mut().find(waiting) else {
            return;
        };
        d.tries = d.tries.saturating_add(1);
        d.at_ms = now;
        match tried {
            Tried::Sent => {
                d.state = State::Sent;
                d.why.clear();
            }
            Tried::Never(why) => {
                d.state = State::Failed;
                d.why = why;
            }
            Tried::Later(why) => {
                d.why = why;
                if now.0.saturating_sub(told.0) >= GIVE_UP {
                    d.state = State::Failed;
                } else {
                    let turn = usize::try_from(d.tries).unwrap_or(1).saturating_sub(1);
                    let last = BACKOFF_S.last().copied().unwrap_or(3600);
                    let wait = BACKOFF_S.get(turn).copied().unwrap_or(last);
                    d.at_ms = AtMs(now.0.saturating_add(wait * 1000));
                }
            }
        }
    }
}
