//! A reminder in words: title, lines, and the whole text, in one language.
//!
//! Times are by the clock of the site; "since" is said when something is told later than its
//! time (a machine that slept, quiet hours). No decision is made here; see [`super::rules`].

use super::journal::Message;
use super::rules::{Item, Stage};
use slowstone_curing::predict::Test;
use slowstone_curing::units::AtMs;
use slowstone_logbook::Zones;
use slowstone_wording::words::Words;
use slowstone_wording::zones::Iana;

/// A thing told later than this after its time is told with "since", ms.
const LATE: i64 = 5 * 60_000;

/// A message in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// One line.
    pub title: String,
    /// One line for each thing.
    pub lines: Vec<String>,
}

impl Said {
    /// All lines.
    #[must_use]
    pub fn text(&self) -> String {
        self.lines.join("\n")
    }
}

/// The clock of a zone at an instant: `14:10`, or `2026-10-03 14:10` when that is another
/// day; a dash outside the calendar.
#[must_use]
pub fn clock(at: AtMs, now: AtMs, tz: &str) -> String {
    if !at.in_calendar() {
        return "–".to_owned();
    }
    let local = |t: AtMs| {
        let minutes = Iana.offset_min(tz, t).unwrap_or(0);
        chrono::DateTime::from_timestamp_millis(t.0.saturating_add(i64::from(minutes) * 60_000))
            .unwrap_or_default()
    };
    let (there, here) = (local(at), local(now));
    let form = match there.date_naive() == here.date_naive() {
        true => "%H:%M",
        false => "%Y-%m-%d %H:%M",
    };
    there.format(form).to_string()
}

/// What a pour is called.
#[must_use]
pub fn name(words: &Words, step_number: Option<u32>, name: &str) -> String {
    match (step_number, name.is_empty()) {
        (Some(n), _) => words.say("step-n", &[("n", n.into())]),
        (None, false) => name.to_owned(),
        (None, true) => words.say("remind-sample", &[]),
    }
}

/// What a test by touch asks of a person.
#[must_use]
pub fn test_words(words: &Words, test: Test) -> String {
    let code = match test {
        Test::Water => "test-water",
        Test::Thumb => "test-thumb",
        Test::Scratch => "test-scratch",
        Test::Strength => "test-strength",
        Test::Sheet => "test-sheet",
    };
    words.say(code, &[])
}

fn line(words: &Words, item: &Item, told: AtMs, tz: &str) -> String {
    let kind = serde_json::to_value(item.kind).unwrap_or_default();
    let kind = kind.as_str().unwrap_or_default().to_owned();
    let name = name(words, item.step_number, &item.name);
    let from = clock(item.from_ms, told, tz);
    let until = item.until_ms.map(|t| clock(t, told, tz));
    let ask = words.say(&format!("m-{kind}.ask"), &[]);
    let test = item.test.map(|test| test_words(words, test));
    let late = told.0.saturating_sub(item.from_ms.0) > LATE && item.again.is_none();
    let key = match (item.stage, until.is_some()) {
        (Stage::Due, true) if item.test.is_some() && item.from_ms <= told => "remind-try-until",
        (Stage::Due, false) if item.test.is_some() && item.from_ms <= told => "remind-try",
        (Stage::Due | Stage::Soon, _) if item.test.is_some() => "remind-try-soon",
        (Stage::Curing, _) => "remind-wet",
        (Stage::Missed, _) => "remind-missed",
        (Stage::Soon, _) => "remind-soon",
        (Stage::Due, true) if late => "remind-since-until",
        (Stage::Due, false) if late => "remind-since",
        (Stage::Due, _) if item.from_ms > told => "remind-soon",
        (Stage::Due, true) => "remind-until",
        (Stage::Due, false) => "remind-now",
    };
    let values = [
        ("name", name.into()),
        ("ask", ask.into()),
        ("from", from.into()),
        ("until", until.unwrap_or_default().into()),
        ("test", test.unwrap_or_default().into()),
    ];
    words.say(key, &values)
}

/// A message in words.
#[must_use]
pub fn say(words: &Words, message: &Message, site: &str, tz: &str) -> Said {
    let lines: Vec<String> = message
        .items
        .iter()
        .map(|item| line(words, item, message.at_ms, tz))
        .collect();
    let title = match (lines.len(), message.items.first()) {
        (1, Some(item)) if item.stage == Stage::Curing => {
            words.say("remind-title-wet", &[("site", site.into())])
        }
        (1, _) => words.say("remind-title", &[("site", site.into())]),
        (n, _) => words.say(
            "remind-title-more",
            &[("site", site.into()), ("n", n.into())],
        ),
    };
    Said { title, lines }
}
