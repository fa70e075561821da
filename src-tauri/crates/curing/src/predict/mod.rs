//! From what is known of a pour to what may be done with it, and when.
mod types;
pub use types::*;
