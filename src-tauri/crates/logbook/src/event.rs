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

impl Event {
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

    /// Checks that the event can be stored: envelope, known body, ranges.
    ///
    /// Unknown kinds pass: a newer device may know them. [`crate::Book::check`] looks up
    /// the time zone too.
    ///
    /// # Errors
    /// Names the first field that cannot be, with its value and the allowed range.
    pub fn check(&self) -> Result<(), EventError> {
        let refuse = |e: FieldError| self.refusal(e);
        limits::id("id", &self.id).map_err(refuse)?;
        limits::id("site", &self.site).map_err(refuse)?;
        limits::text("by", &self.by, 80).map_err(refuse)?;
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
