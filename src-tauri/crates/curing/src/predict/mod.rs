//! From what is known of a pour to what may be done with it, and when.

mod facts;
mod plain;
mod said;

pub use facts::*;
pub use plain::plain_step;
pub use said::*;
