//! The desk: one question as JSON, one answer as JSON, without any site.
//!
//! [`calc`] answers; [`TOPICS`] says what can be asked, in which units and after which
//! source. Fields are read by [`Fields`], which refuses what is unknown, missing or
//! impossible with a [`DeskError`] of one line. Nothing is rounded. The formulas are in
//! the modules of the crate; here is only the way in and out.

mod error;
mod fields;

pub use error::DeskError;
pub use fields::Fields;

use crate::heat;
use serde_json::Value;

/// What can be asked, for lists and help.
#[derive(Clone, Copy, Debug)]
pub struct Topic {
    /// The name that [`calc`] takes.
    pub name: &'static str,
    /// One line.
    pub summary: &'static str,
    /// Fields, units, formula, source.
    pub help: &'static str,
    /// An input that works.
    pub example: &'static str,
}

/// Everything that [`calc`] answers.
pub const TOPICS: &[Topic] = &[Topic {
    name: "heat",
    summary: "Temperature and age in depth of one slab that hydrates.",
    help: "",
    example: include_str!("examples/heat.json"),
}];

/// Answers one question.
///
/// # Errors
/// Names the topic or the field that is unknown, missing or out of range, and what is
/// allowed.
pub fn calc(topic: &str, input: &Value) -> Result<Value, DeskError> {
    match topic {
        "heat" => heat::desk_case(input),
        other => Err(unknown(other)),
    }
}

/// The refusal of a topic that there is not.
#[must_use]
pub fn unknown(topic: &str) -> DeskError {
    let names: Vec<&str> = TOPICS.iter().map(|t| t.name).collect();
    DeskError::new("topic", topic, format!("one of {}", names.join(", ")))
}

/// Answers one question that comes as text.
///
/// # Errors
/// As [`calc`]; also when the text is not one JSON object.
pub fn calc_text(topic: &str, text: &str) -> Result<Value, DeskError> {
    if !TOPICS.iter().any(|t| t.name == topic) {
        return Err(unknown(topic));
    }
    let input: Value = serde_json::from_str(text)
        .map_err(|e| DeskError::new("input", e.to_string(), "one JSON object"))?;
    calc(topic, &input)
}
