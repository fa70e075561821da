//! stub
use serde::{Deserialize, Serialize};
/// An entry that could not be used.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct Problem {
    /// The event concerned.
    pub event: String,
    /// `unknown_kind`, `unreadable`, `missing_target` or `missing_reference`.
    pub code: String,
    /// What is wrong, in plain words.
    pub text: String,
}
/// x
pub struct Book;
