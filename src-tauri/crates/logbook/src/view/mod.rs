//! From the sum of the log to what a screen shows.

mod inputs;
mod pour;
mod site;
pub mod types;
pub use types::*;
