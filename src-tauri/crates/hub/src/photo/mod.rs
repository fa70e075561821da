//! Photos: what a file says about itself, its pixels, and when it was taken.
//!
//! Everything here works on bytes in memory and decides nothing about storage: the
//! original is kept by the store, whatever this module thinks of it. No file, however
//! broken, makes it panic, hang or ask for memory without bound. Facts are read by
//! [`facts`], pixels by [`picture`] and, for small
//! pictures, [`scaled`], the instant is worked out by [`when`] and the
//! place in the log by [`slowstone_logbook::filing`].

mod bytes;
mod container;
mod dates;
mod exif_block;
pub mod facts;
pub mod fine;
mod format;
pub mod heif;
mod isobmff;
pub mod picture;
pub mod scaled;
mod stamp;
pub mod when;
mod xmp;

pub use facts::{DateSource, OffsetSource, PhotoFacts, Problem, photo_facts};
pub use format::Format;
pub use picture::{Picture, PictureError, decode};
