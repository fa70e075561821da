//! One entry of the log: who, when, on which site, what.
//!
//! The envelope is fixed; the `body` is kept as JSON so that kinds made by a newer version
//! are carried along unharmed. [`Event::check`] refuses what cannot be before it is
//! stored; what the bodies mean is in [`crate::facts`], what they add up to in
//! [`crate::book`].

use crate::facts::Fact;
use crate::limits::{self, FieldError};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use slowstone_curing::units::AtMs;

/// Longest body that is taken, in bytes of JSON.
pub const MAX_BODY_BYTES: usize = 48 * 1024;

/// One entry of the log.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
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
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct EventError {
    /// Event concerned, if it has a readable id.
    pub event: String,
    /// Field concerned.
    pub field: String,
    /// What it was, as text.
    pub value: String,
    /// What is allowed and what to do.
    pub why: String,
}

impl core::fmt::Display for EventError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{} = {}: {}", self.field, self.value, self.why)
    }
}

impl core::error::Error for EventError {}

impl Event {
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
            return Err(refuse(FieldError::new(
                "body",
                &format!("{size} bytes"),
                &format!("must be at most {MAX_BODY_BYTES} bytes; shorten the notes"),
            )));
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
            why: e.why,
        }
    }
}
