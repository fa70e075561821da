//! One entry of the log: who, when, on which site, what.
//!
//! The envelope is fixed; the `body` is kept as JSON so that kinds made by a newer version
//! are carried along unharmed. [`Event::check`] refuses what cannot be before it is
//! stored; what the bodies mean is in [`crate::facts`], what they add up to in
//! [`crate::book`].

use crate::facts::{Fact, typed};
use crate::limits::{self, FieldError};
use crate::misfit::{Misfit, MisfitCode};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use slowstone_curing::units::AtMs;

/// The fields of an entry and what is wrong where one is something else.
const FIELDS: [(&str, MisfitCode); 6] = [
    ("id", MisfitCode::NotText),
    ("site", MisfitCode::NotText),
    ("by", MisfitCode::NotText),
    ("at_ms", MisfitCode::NotATime),
    ("kind", MisfitCode::NotText),
    ("body", MisfitCode::NotAnObject),
];

/// Longest body that is taken, in bytes of JSON.
pub const MAX_BODY_BYTES: usize = 48 * 1024;

/// Fields of a body that say where something is.
pub const PLACE_FIELDS: [&str; 2] = ["lat", "lon"];

/// How deep lists and objects of a body may stand in each other. Every reader of JSON has a
/// limit (serde_json's is 128 levels for the whole text, with what stands around an entry in
/// a request, a page or a saved copy), so this one stays far below: what is taken anywhere
/// can be sent, saved and read everywhere.
pub const MAX_DEPTH: usize = 32;

/// One entry of the log.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Event {
    /// Made by the device: 8 to 40 characters of `0-9a-z-`, unique.
    pub id: String,
    /// The site that it belongs to (the id of the event that made the site).
    pub site: String,
    /// Name of the person.
    pub by: String,
    /// What the device's clock said when it was logged. Data, never a gate.
    pub at_ms: AtMs,
    /// Kind, e.g. `pour`; see [`Fact`].
    pub kind: String,
    /// The fact itself.
    #[cfg_attr(feature = "ts", ts(type = "Record<string, unknown>"))]
    pub body: Map<String, Value>,
}

/// Why an event is refused.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct EventError {
    /// Event concerned, if it has a readable id.
    pub event: String,
    /// Field concerned.
    pub field: String,
    /// What it was, as text; empty if it was not given.
    pub value: String,
    /// Why it cannot be.
    pub reason: Box<Misfit>,
}

impl core::fmt::Display for EventError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{} = {}: {}", self.field, self.value, self.reason)
    }
}

impl core::error::Error for EventError {}

impl From<EventError> for FieldError {
    fn from(e: EventError) -> Self {
        Self {
            field: e.field,
            value: e.value,
            reason: e.reason,
        }
    }
}

/// `value` without its positions, wherever they stand in it.
fn without_places(value: &Value) -> Value {
    match value {
        Value::Object(map) => map
            .iter()
            .filter(|(name, _)| !PLACE_FIELDS.contains(&name.as_str()))
            .map(|(name, value)| (name.clone(), without_places(value)))
            .collect::<Map<_, _>>()
            .into(),
        Value::Array(list) => list.iter().map(without_places).collect(),
        other => other.clone(),
    }
}

/// Two for each exact position in `body`, one for each whole degree.
fn exactness_of(body: &Map<String, Value>) -> u32 {
    let of = |(name, value): (&String, &Value)| match value {
        Value::Number(degrees) if PLACE_FIELDS.contains(&name.as_str()) => {
            1 + u32::from(degrees.as_f64().is_some_and(|d| d.fract() != 0.0))
        }
        value => exactness_within(value),
    };
    body.iter().map(of).fold(0, u32::saturating_add)
}

fn exactness_within(value: &Value) -> u32 {
    match value {
        Value::Object(map) => exactness_of(map),
        Value::Array(list) => list
            .iter()
            .map(exactness_within)
            .fold(0, u32::saturating_add),
        _ => 0,
    }
}

impl Event {
    /// Whether another entry says the same but for where things are: positions are taken out
    /// of the copies that go to whoever may not have them.
    #[must_use]
    pub fn is_same_but_for_places(&self, other: &Self) -> bool {
        let bare = |e: &Self| without_places(&Value::Object(e.body.clone()));
        (&self.id, &self.site, &self.by, self.at_ms, &self.kind)
            == (&other.id, &other.site, &other.by, other.at_ms, &other.kind)
            && bare(self) == bare(other)
    }

    /// How exactly it says where things are: of two copies of one entry the fuller one says
    /// more.
    #[must_use]
    pub fn exactness(&self) -> u32 {
        exactness_of(&self.body)
    }

    /// Reads an entry that somebody sent. What it says is not looked at: see
    /// [`Event::check`].
    ///
    /// ```
    /// use serde_json::json;
    /// use slowstone_logbook::Event;
    /// let sent = json!({"id": "event-001", "site": "site-0001", "by": "Ada", "at_ms": 0,
    ///     "kind": "reading", "body": {"at_ms": 1781074800000_i64, "air_c": 99}});
    /// let event = Event::read(&sent).unwrap();
    /// let refused = event.check().unwrap_err();
    /// assert_eq!(refused.to_string(), "air_c = 99: must be from -40 to 60 °C");
    /// ```
    ///
    /// # Errors
    /// Names the first field that is missing, no field of an entry, or of another kind.
    pub fn read(entry: &Value) -> Result<Self, EventError> {
        let text = |field: &str| Some(entry.get(field)?.as_str()?.to_owned());
        let read = || {
            Some(Self {
                id: text("id")?,
                site: text("site")?,
                by: text("by")?,
                at_ms: AtMs(entry.get("at_ms")?.as_i64()?),
                kind: text("kind")?,
                body: entry.get("body")?.as_object()?.clone(),
            })
        };
        let fields = entry.as_object().map_or(0, Map::len);
        match read() {
            Some(event) if fields == FIELDS.len() => Ok(event),
            _ => Err(misfit(entry)),
        }
    }

    /// Reads an entry that is stored already, here or on a hub. Numbers of JavaScript are
    /// exact up to 2^53 only, so that a clock near 2^63 comes back from a browser as a number
    /// that no `i64` holds: it is taken for the nearest one.
    ///
    /// # Errors
    /// As [`Event::read`].
    pub fn read_stored(entry: &Value) -> Result<Self, EventError> {
        let clock = entry.get("at_ms").filter(|at| !at.is_i64());
        let Some(at) = clock.and_then(Value::as_f64) else {
            return Self::read(entry);
        };
        let mut nearest = entry.clone();
        if let Some(fields) = nearest.as_object_mut() {
            // Conversion of a float saturates.
            fields.insert("at_ms".to_owned(), Value::from(at as i64));
        }
        Self::read(&nearest)
    }

    /// When it was logged, by the device's clock; the beginning of the calendar where that
    /// clock showed no time at all, so that such an entry never comes after one with a time.
    #[must_use]
    pub fn logged(&self) -> AtMs {
        if self.at_ms.in_calendar() {
            self.at_ms
        } else {
            AtMs::FIRST
        }
    }

    /// Checks that the event can be logged: envelope, known body, ranges.
    ///
    /// Unknown kinds pass: a newer device may know them. [`crate::Book::check`] looks up
    /// the time zone too.
    ///
    /// # Errors
    /// Names the first field that cannot be, with its value and the allowed range.
    pub fn check(&self) -> Result<(), EventError> {
        if !self.at_ms.in_calendar() {
            let at = self.at_ms.0.to_string();
            return Err(self.refusal(FieldError::new("at_ms", &at, limits::calendar())));
        }
        self.check_passed_on()
    }

    /// Checks that an event that was logged elsewhere can be kept and passed on: as
    /// [`Event::check`], but whatever the device's clock showed. A clock is no reason to lose
    /// what somebody wrote; where it showed no time, that is shown as a problem of the site.
    ///
    /// # Errors
    /// As [`Event::check`].
    pub fn check_passed_on(&self) -> Result<(), EventError> {
        let refuse = |e: FieldError| self.refusal(e);
        limits::id("id", &self.id).map_err(refuse)?;
        limits::id("site", &self.site).map_err(refuse)?;
        limits::text("by", &self.by, 80).map_err(refuse)?;
        limits::text("kind", &self.kind, 40).map_err(refuse)?;
        if self.body.values().any(|v| deeper(v, MAX_DEPTH)) {
            let why = Misfit::most(MisfitCode::TooDeep, MAX_DEPTH as f64, "");
            return Err(refuse(FieldError::new("body", "", why)));
        }
        let size = serde_json::to_string(&self.body).map_or(usize::MAX, |s| s.len());
        if size > MAX_BODY_BYTES {
            let why = Misfit::most(MisfitCode::TooLong, MAX_BODY_BYTES as f64, "bytes");
            return Err(refuse(FieldError::new("body", &size.to_string(), why)));
        }
        match Fact::parse(&self.kind, &self.body) {
            Ok(_) => Ok(()),
            Err(e) => Err(refuse(e)),
        }
    }

    pub(crate) fn refusal(&self, e: FieldError) -> EventError {
        EventError {
            event: self.id.clone(),
            field: e.field,
            value: e.value,
            reason: e.reason,
        }
    }
}

/// Whether a value holds more than `most` lists and objects in each other.
fn deeper(value: &Value, most: usize) -> bool {
    let Some(left) = most.checked_sub(1) else {
        return value.is_array() || value.is_object();
    };
    match value {
        Value::Array(items) => items.iter().any(|v| deeper(v, left)),
        Value::Object(map) => map.values().any(|v| deeper(v, left)),
        _ => false,
    }
}

/// What does not fit in something that should be an entry.
fn misfit(entry: &Value) -> EventError {
    let short = |text: &str| text.chars().take(80).collect();
    let refuse = |field: &str, value: Option<&Value>, reason: MisfitCode| EventError {
        event: short(entry.get("id").and_then(Value::as_str).unwrap_or_default()),
        field: short(field),
        value: short(&value.map_or(String::new(), typed)),
        reason: Box::new(reason.into()),
    };
    let Some(map) = entry.as_object() else {
        return refuse("event", Some(entry), MisfitCode::NotAnObject);
    };
    for (field, otherwise) in FIELDS {
        let value = map.get(field);
        let fits = value.is_some_and(|v| match field {
            "at_ms" => v.is_i64(),
            "body" => v.is_object(),
            _ => v.is_string(),
        });
        if !fits {
            return refuse(field, value, otherwise);
        }
    }
    let known = |field: &str| FIELDS.iter().any(|(f, _)| *f == field);
    let odd = map.iter().find(|(f, _)| !known(f));
    let (field, value) = odd.map_or(("event", None), |(f, v)| (f.as_str(), Some(v)));
    refuse(field, value, MisfitCode::UnknownField)
}
