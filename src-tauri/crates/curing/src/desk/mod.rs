//! The desk: one question as JSON, one answer as JSON, without any site.
//!
//! [`calc`] answers; [`TOPICS`] says what can be asked, in which units and after which
//! source. Fields are read by [`Fields`], which refuses what is unknown, missing or
//! impossible with a [`DeskError`] of one line. Nothing is rounded. The formulas are in
//! the modules of the crate; here is only the way in and out.

mod age;
mod error;
mod fields;
mod fitting;
mod fresh;
mod hardening;
mod pieces;
mod pour;

pub use error::DeskError;
pub use fields::Fields;
pub use pour::{Earlier, pour};

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

/// One row to a topic: its name, who answers, and a line on it. Its help and its example lie
/// in the folder `topics`.
macro_rules! topics {
    ($($name:literal, $answer:path, $summary:literal;)+) => {
        /// Everything that [`calc`] answers.
        pub const TOPICS: &[Topic] = &[$(
            Topic {
                name: $name,
                summary: $summary,
                help: include_str!(concat!("topics/", $name, ".txt")),
                example: include_str!(concat!("topics/", $name, ".json")),
            },
        )+];

        /// Answers one question.
        ///
        /// ```
        /// use serde_json::json;
        /// use slowstone_curing::desk::calc;
        /// let bag = json!({"mass_kg": 30, "yield_l": 14.0});
        /// let answer = calc("bags", &json!({"volume_l": 72, "bag": bag})).unwrap();
        /// assert_eq!(answer["bags"], 6);
        /// let refused = calc("bags", &json!({"volume_l": -1, "bag": bag})).unwrap_err();
        /// assert_eq!(refused.field, "volume_l");
        /// ```
        ///
        /// # Errors
        /// Names the topic or the field that is unknown, missing or out of range, and what is
        /// allowed.
        pub fn calc(topic: &str, input: &Value) -> Result<Value, DeskError> {
            match topic {
                $($name => $answer(input),)+
                other => Err(unknown(other)),
            }
        }
    };
}

topics! {
    "maturity", age::maturity,
        "Degree-hours and equivalent ages of a temperature history.";
    "strength", hardening::strength,
        "Strength at an equivalent age, or after a temperature history.";
    "time-to-strength", hardening::time_to_strength,
        "Hours at a constant temperature until a strength is reached.";
    "evaporation", fresh::evaporation,
        "Evaporation from a fresh surface, and what it means.";
    "setting", fresh::setting,
        "Hours to initial and final set.";
    "curing-days", fresh::curing_days,
        "Least days of curing by the table of DIN 1045-3.";
    "bags", pieces::bags,
        "Bags for a volume.";
    "heat", heat::desk_case,
        "Temperature and age in depth of one slab that hydrates.";
    "form-pressure", pieces::form_pressure,
        "Pressure of fresh concrete on a form.";
    "lift", pieces::lift,
        "What one person may lift (NIOSH).";
    "flight", pieces::flight,
        "Number, riser and going of the steps of a flight, and what is wrong with them.";
    "pour", pour::once,
        "A whole prediction of one pour and the answer: what may be done now, what next.";
    "fit", fitting::fit,
        "A strength curve through tests, with standard errors.";
}

/// The refusal of a topic that there is not.
fn unknown(topic: &str) -> DeskError {
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
