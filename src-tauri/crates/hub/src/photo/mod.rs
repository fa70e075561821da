//! Photos: what a file says about itself, its pixels, when it was taken, and to which
//! pour and stage it belongs.
//!
//! Everything here works on bytes in memory and decides nothing about storage: the
//! original is kept by the store, whatever this module thinks of it. No file, however
//! broken, makes it panic, hang or ask for memory without bound. Facts are read by
//! [`facts`], pixels by [`picture`], the instant is worked out by [`when`] and the
//! place in the log by [`filing`].

mod bytes;
mod container;
mod dates;
mod exif_block;
pub mod facts;
pub mod filing;
pub mod fine;
mod format;
mod isobmff;
pub mod picture;
mod stamp;
pub mod when;
mod xmp;

pub use facts::{DateSource, OffsetSource, PhotoFacts, Problem, photo_facts};
pub use format::Format;
pub use picture::{Picture, PictureError, decode};
