//! One question of `slowstone calc` as text: to its topic and back.
//!
//! The topics are those of [`slowstone_curing::desk`] and, about colour, of
//! [`super::colour`]. Nothing is read or printed here.

use super::colour;
use serde_json::Value;
use slowstone_curing::desk::{self, DeskError, Earlier, Topic};

/// Longer inputs are no questions.
pub(super) const MOST: u64 = 16 << 20;
/// Exit status for input that cannot be.
pub(super) const REFUSED: u8 = 2;

/// Every topic.
pub(super) fn topics() -> impl Iterator<Item = &'static Topic> {
    desk::TOPICS.iter().chain(colour::TOPICS)
}

/// Answers one question; `earlier` remembers what those before it taught.
pub(super) fn ask(topic: &Topic, text: &str, earlier: &mut Earlier) -> Result<Value, DeskError> {
    let input = serde_json::from_str(text)
        .map_err(|e| DeskError::new("input", e.to_string(), "one JSON object"))?;
    if topic.name == "pour" {
        desk::pour(&input, earlier)
    } else if colour::TOPICS.iter().any(|t| t.name == topic.name) {
        colour::calc(topic.name, &input)
    } else {
        desk::calc(topic.name, &input)
    }
}
