//! Pure maths of concrete colour: from the pixels of a photo to the dose of the next pour.
//!
//! [`space`] and [`difference`] are the CIE's colour arithmetic. [`measure()`] turns a
//! patch and a reference card of known colour into CIELAB with an uncertainty,
//! [`suggest`] proposes where to put the patch. [`compare`] says how far two steps are
//! apart and which step stands out, [`dose`] what a pigment did and how much of it makes
//! a wanted colour. No files, no clock; chance is a seeded sequence, the same everywhere.

pub mod compare;
pub mod difference;
pub mod dose;
pub mod measure;
pub mod profile;
mod sequence;
pub mod space;
pub mod suggest;

pub use difference::{de76, de2000};
pub use measure::measure;
pub use profile::Profile;
pub use space::Lab;
