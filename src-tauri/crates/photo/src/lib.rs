//! Photos: what a file says about itself, its pixels, when it was taken, and its colours.
//!
//! Nearly everything here works on bytes in memory and decides nothing about storage: the
//! original is kept by the store, whatever is found here. No file, however broken, makes it
//! panic, hang or ask for memory without bound. What it says ([`facts`]) is read by
//! [`photo_facts`], pixels by [`picture`] and, for small pictures ([`thumbs`]), [`scaled`];
//! the instant is worked out by [`when`], a colour is measured by [`colour`].

mod bounds;
mod bytes;
pub mod colour;
mod container;
mod dates;
mod exif_block;
pub mod facts;
pub mod fine;
pub mod flats;
mod format;
pub mod heif;
mod isobmff;
pub mod picture;
mod reader;
pub mod scaled;
mod stamp;
pub mod thumbs;
pub mod when;
pub mod without_place;
mod xmp;

pub use facts::{DateSource, OffsetSource, PhotoFacts, Problem};
pub use format::Format;
pub use picture::{Picture, PictureError, decode};
pub use reader::photo_facts;
