//! How large a picture may be to be decoded, and why there are no pixels of another.
//!
//! Decoding is in [`super::picture`] and [`super::heif`].

use image::Limits;

/// Pictures with more pixels are not decoded. Phones make up to 108 million in one
/// picture that is not put together from several (from memory).
pub const MOST_PIXELS: u64 = 120_000_000;

/// A decoder may take no more bytes than this for one picture. Making it smaller may take
/// as many again, if it is transparent.
pub(super) const MOST_BYTES: u64 = 384 << 20;

/// Why there are no pixels. The texts are for the person who sent the photo.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PictureError {
    /// It is no photo; what it is instead.
    #[error("This is {0}, not a photo. Send a JPEG, PNG, WebP or TIFF file.")]
    NotAPhoto(&'static str),
    /// A format that is kept but not decoded.
    #[error(
        "{0} pictures cannot be shown here, because no decoder for them was found (for HEIC and AVIF install libheif's converter, in Debian libheif-examples). The file is kept as it is; send a JPEG copy too if you want to see it here."
    )]
    NoDecoder(&'static str),
    /// More pixels, or more memory, than is allowed.
    #[error(
        "The picture is too large to be shown here ({width} x {height} pixels; {} million are the most, fewer for progressive or 16-bit files). The file is kept as it is; send a smaller copy too if you want to see it here.",
        MOST_PIXELS / 1_000_000
    )]
    TooLarge {
        /// Pixels across, as stored.
        width: u32,
        /// Pixels down, as stored.
        height: u32,
    },
    /// The decoder gave up; what it said.
    #[error(
        "The picture cannot be decoded ({0}). The file is kept as it is; send the photo again if you still have it."
    )]
    Damaged(String),
}

pub(super) fn limits() -> Limits {
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_BYTES);
    limits
}
