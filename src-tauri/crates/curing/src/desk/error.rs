//! What the desk refuses, said in one line.
//!
//! A value that somebody typed is shown again, but cut short and without line breaks or
//! control characters. Which values are refused is decided where fields are read: see
//! [`super::Fields`].

use core::fmt;

/// Characters of a refused value that are shown.
const SHOWN: usize = 80;

/// A refused input.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DeskError {
    /// Name of the field, with the path to it: `history[2].temp_c`.
    pub field: String,
    /// What was there, or `missing`, or `unknown`.
    pub value: String,
    /// What may stand there.
    pub allowed: String,
}

impl DeskError {
    /// A refusal; the value is cut to one short line.
    pub fn new(
        field: impl Into<String>,
        value: impl Into<String>,
        allowed: impl Into<String>,
    ) -> DeskError {
        DeskError {
            field: one_line(&field.into()),
            value: one_line(&value.into()),
            allowed: allowed.into(),
        }
    }
}

fn one_line(text: &str) -> String {
    let mut shown: String = text
        .chars()
        .take(SHOWN)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if text.chars().nth(SHOWN).is_some() {
        shown.push_str("...");
    }
    shown
}

impl fmt::Display for DeskError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}: {}; allowed: {}",
            self.field, self.value, self.allowed
        )
    }
}

impl core::error::Error for DeskError {}
