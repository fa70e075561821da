//! The calendar: what is due and what comes, for calendar programs (iCalendar, RFC 5545).
//!
//! Each milestone of a pour is one event under a UID that never changes. When its time or
//! words change, SEQUENCE rises; when it is answered or gone, the event stays for a while with
//! STATUS:CANCELLED and then vanishes. For that the hub remembers what was given out. Times are
//! UTC, which every program shows in its own zone. Writing and folding is the crate
//! `icalendar`'s. The address holds a secret; only its hash is kept.

use super::say;
use super::settings::Settings;
use chrono::{DateTime, Duration, Utc};
use icalendar::{Alarm, Calendar, Component, Event, EventLike, EventStatus};
use serde::{Deserialize, Serialize};
use slowstone_curing::units::AtMs;
use slowstone_logbook::view::ToRemind;
use slowstone_wording::words::Words;
use std::collections::BTreeMap;

/// Setting: the hash of the secret.
pub const KEY: &str = "reminders/calendar";
/// Beginning of the settings that hold what was given out; the site's id follows.
pub const GIVEN: &str = "reminders/given/";
/// How long something that is gone is given out as cancelled, ms.
const CANCELLED: i64 = 30 * 86_400_000;
/// How long something without an end is drawn, ms.
const LENGTH: i64 = 30 * 60_000;

/// An event as it was given out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Given {
    from_ms: AtMs,
    until_ms: AtMs,
    summary: String,
    sequence: u32,
    /// When it last changed.
    stamp_ms: AtMs,
    cancelled: bool,
}

/// Whether `secret` is the one of which `hash` is kept. Takes the same time for every answer:
/// BLAKE3 hashes are compared in constant time.
#[must_use]
pub fn is_secret(secret: &str, hash: &str) -> bool {
    blake3::Hash::from_hex(hash).is_ok_and(|h| h == blake3::hash(secret.as_bytes()))
}

/// What was given out of one site, by UID.
pub type GivenOut = BTreeMap<String, Given>;

/// A site, and what there is to put into the calendar.
#[derive(Clone, Debug)]
pub struct SiteDates {
    /// Its id.
    pub site: String,
    /// Its name.
    pub name: String,
    /// What is due and comes.
    pub seen: ToRemind,
    /// What was given out before.
    pub before: GivenOut,
}

/// The calendar of all sites at `now`, and beside the id of each site what is given out now.
#[must_use]
pub fn calendar(
    settings: &Settings,
    sites: Vec<SiteDates>,
    now: AtMs,
) -> (String, Vec<(String, GivenOut)>) {
    let words = Words::of(&settings.language);
    let mut calendar = Calendar::new();
    calendar.name(&words.say("remind-calendar", &[]));
    calendar.ttl(&Duration::hours(1));
    let mut all = Vec::new();
    for of in sites {
        let given = renewed(&of.before, &there(&of.seen, &words), now);
        for (uid, one) in &given {
            calendar.push(event(uid, one, &of.name, settings.rules.ahead_min));
        }
        all.push((of.site, given));
    }
    (calendar.to_string(), all)
}

/// UID, and from, until and words, of everything that is due or comes.
type There = BTreeMap<String, (AtMs, AtMs, String)>;

fn there(seen: &ToRemind, words: &Words) -> There {
    let each = seen.due.iter().chain(&seen.coming);
    each.map(|r| {
        let kind = serde_json::to_value(r.kind).unwrap_or_default();
        let kind = kind.as_str().unwrap_or_default();
        let ask = words.say(&format!("m-{kind}.ask"), &[]);
        let name = say::name(words, r.step_number, &r.name);
        let key = match r.test {
            Some(_) => "remind-try-line",
            None => "remind-line",
        };
        let summary = words.say(key, &[("name", name.into()), ("ask", ask.into())]);
        let ends = AtMs(r.from_ms.0.saturating_add(LENGTH));
        let until = r.until_ms.filter(|t| *t > r.from_ms).unwrap_or(ends);
        let uid = format!("{}-{kind}@slowstone.invalid", r.pour);
        (uid, (r.from_ms, until, summary))
    })
    .collect()
}

/// What is given out now, after `before`.
fn renewed(before: &BTreeMap<String, Given>, there: &There, now: AtMs) -> BTreeMap<String, Given> {
    let mut out = BTreeMap::new();
    for (uid, (from, until, summary)) in there {
        let old = before.get(uid);
        let same = old.filter(|g| {
            !g.cancelled && g.from_ms == *from && g.until_ms == *until && g.summary == *summary
        });
        let fresh = || Given {
            from_ms: *from,
            until_ms: *until,
            summary: summary.clone(),
            sequence: old.map_or(0, |g| g.sequence.saturating_add(1)),
            stamp_ms: now,
            cancelled: false,
        };
        out.insert(uid.clone(), same.cloned().unwrap_or_else(fresh));
    }
    for (uid, old) in before.iter().filter(|(uid, _)| !there.contains_key(*uid)) {
        if !old.cancelled {
            let gone = Given {
                sequence: old.sequence.saturating_add(1),
                stamp_ms: now,
                cancelled: true,
                ..old.clone()
            };
            out.insert(uid.clone(), gone);
        } else if now.0.saturating_sub(old.stamp_ms.0) < CANCELLED {
            out.insert(uid.clone(), old.clone());
        }
    }
    out
}

fn utc(at: AtMs) -> DateTime<Utc> {
    let at = at.clamp(AtMs::FIRST, AtMs::LAST);
    DateTime::from_timestamp_millis(at.0).unwrap_or_default()
}

fn event(uid: &str, given: &Given, site: &str, ahead_min: u16) -> Event {
    let mut event = Event::with_uid(uid);
    event
        .summary(&given.summary)
        .description(site)
        .starts(utc(given.from_ms))
        .ends(utc(given.until_ms))
        .timestamp(utc(given.stamp_ms))
        .last_modified(utc(given.stamp_ms))
        .sequence(given.sequence)
        .status(match given.cancelled {
            true => EventStatus::Cancelled,
            false => EventStatus::Confirmed,
        });
    if !given.cancelled {
        let before = Duration::minutes(i64::from(ahead_min));
        let mut alarm = Alarm::display(&given.summary, -before);
        // Else the crate makes up others at every reading.
        alarm
            .uid(&format!("alarm-{uid}"))
            .timestamp(utc(given.stamp_ms));
        event.alarm(alarm);
    }
    event.done()
}
