//! Pixels out of a photo file: upright, and never more of them than memory allows.
//!
//! The header is looked at before anything is decoded, so that a small file which claims
//! a huge picture costs nothing. JPEG, PNG, WebP and TIFF are decoded, HEIC, HEIF and AVIF
//! where the system has a program for it (`super::heif`); of files that cannot be decoded
//! the small JPEG inside the file is used if it has one. Nothing is written here: see
//! `crate::thumbs`. Colours stay as they are in the file, with their ICC profile beside them.

use std::borrow::Cow;
use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};

use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageError, ImageFormat, ImageReader};

use super::bounds::{MOST_BYTES, limits};
pub use super::bounds::{MOST_PIXELS, PictureError};
use super::container::{self, Found};
use super::exif_block::Block;
use super::format::Format;
use super::reader::photo_facts;
use super::{heif, isobmff};

/// A preview of more pixels is not looked at: it would be a picture of its own.
const MOST_PREVIEW_PIXELS: u64 = 16_000_000;

/// A decoded picture.
#[derive(Clone, Debug)]
pub struct Picture {
    /// The pixels as stored in the file.
    pub pixels: DynamicImage,
    /// How they are turned to stand upright.
    pub turn: Orientation,
    /// The ICC profile of the pixels, if it is one for RGB.
    pub icc: Option<Vec<u8>>,
    /// Why this is only the small preview inside the file, if it is.
    pub instead_of: Option<PictureError>,
}

impl Picture {
    /// The pixels as they are to be seen.
    #[must_use]
    pub fn upright(self) -> DynamicImage {
        let mut pixels = self.pixels;
        pixels.apply_orientation(self.turn);
        pixels
    }
}

/// Decodes a photo.
///
/// # Errors
/// Why there are no pixels: [`PictureError`].
pub fn decode(bytes: &[u8]) -> Result<Picture, PictureError> {
    let format = Format::of(bytes).map_err(PictureError::NotAPhoto)?;
    let turn = photo_facts("", bytes)
        .orientation
        .and_then(Orientation::from_exif);
    let turn = turn.unwrap_or(Orientation::NoTransforms);
    let decoded = match format.by_the_system() {
        // Such a program turns the picture itself.
        Some(name) => heif::decode(bytes, name).map(|p| (p, Orientation::NoTransforms)),
        None => guarded(bytes, format, MOST_PIXELS).map(|p| (p, turn)),
    };
    match decoded {
        Ok(((pixels, icc), turn)) => Ok(Picture {
            pixels,
            turn,
            icc,
            instead_of: None,
        }),
        Err(why) => {
            let (pixels, icc, turn) = preview(bytes, format, turn).ok_or_else(|| why.clone())?;
            Ok(Picture {
                pixels,
                turn,
                icc,
                instead_of: Some(why),
            })
        }
    }
}

/// The small JPEG inside a file, decoded, and its turn.
fn preview(
    bytes: &[u8],
    format: Format,
    turn: Orientation,
) -> Option<(DynamicImage, Option<Vec<u8>>, Orientation)> {
    let found = match format {
        Format::Jpeg => container::jpeg(bytes),
        Format::Png => container::png(bytes),
        Format::Webp => container::webp(bytes),
        Format::Heic | Format::Heif | Format::Avif => isobmff::heif(bytes),
        Format::Gif | Format::Tiff => Found::default(),
    };
    let small = |jpeg: &[u8]| guarded(jpeg, Format::Jpeg, MOST_PREVIEW_PIXELS).ok();
    if let Some((jpeg, quarters)) = isobmff::jpeg_item(bytes)
        && let Some((pixels, icc)) = small(jpeg)
    {
        let turn = match quarters {
            1 => Orientation::Rotate270,
            2 => Orientation::Rotate180,
            3 => Orientation::Rotate90,
            _ => Orientation::NoTransforms,
        };
        return Some((pixels, icc, turn));
    }
    found.exif.iter().find_map(|block| {
        let block = Block::read(block).ok()?;
        let (pixels, icc) = small(block.preview()?)?;
        Some((pixels, icc, turn))
    })
}

type Pixels = (DynamicImage, Option<Vec<u8>>);

/// Decodes, and answers even if a decoder panics.
fn guarded(bytes: &[u8], format: Format, most: u64) -> Result<Pixels, PictureError> {
    catch_unwind(AssertUnwindSafe(|| bounded(bytes, format, most))).unwrap_or_else(|_| {
        Err(PictureError::Damaged(
            "the decoder failed, which is our fault; please report the file".into(),
        ))
    })
}

fn bounded(bytes: &[u8], format: Format, most: u64) -> Result<Pixels, PictureError> {
    let as_image = match format {
        Format::Jpeg => ImageFormat::Jpeg,
        Format::Png => ImageFormat::Png,
        Format::Webp => ImageFormat::WebP,
        Format::Tiff => ImageFormat::Tiff,
        Format::Heic => return Err(PictureError::NoDecoder("HEIC")),
        Format::Heif => return Err(PictureError::NoDecoder("HEIF")),
        Format::Avif => return Err(PictureError::NoDecoder("AVIF")),
        Format::Gif => return Err(PictureError::NoDecoder("GIF")),
    };
    let seen = match format {
        Format::Png => container::png_pixels(bytes),
        _ => Cow::Borrowed(bytes),
    };
    let mut reader = ImageReader::with_format(Cursor::new(&*seen), as_image);
    reader.limits(limits());
    let mut decoder = reader.into_decoder().map_err(|e| refused(&e, (0, 0)))?;
    let size = decoder.dimensions();
    let pixels = u64::from(size.0) * u64::from(size.1);
    // A progressive JPEG keeps all its coefficients, two bytes for each of up to four
    // components, until the last scan.
    let progressive = format == Format::Jpeg && is_progressive(bytes);
    let kept = u64::from(progressive) * pixels * 8;
    if pixels > most || decoder.total_bytes().saturating_add(kept) > MOST_BYTES {
        let (width, height) = size;
        return Err(PictureError::TooLarge { width, height });
    }
    let icc = match format {
        Format::Png => container::png_profile(bytes),
        _ => decoder.icc_profile().ok().flatten(),
    };
    let icc = icc.filter(|p| container::is_rgb_profile(p));
    let pixels = DynamicImage::from_decoder(decoder).map_err(|e| refused(&e, size))?;
    Ok((pixels, icc))
}

/// Whether the first frame of a JPEG is a progressive one (SOF2, SOF6, SOF10, SOF14).
fn is_progressive(bytes: &[u8]) -> bool {
    matches!(
        container::jpeg(bytes).frame,
        Some(0xC2 | 0xC6 | 0xCA | 0xCE)
    )
}

fn refused(error: &ImageError, (width, height): (u32, u32)) -> PictureError {
    match error {
        ImageError::Limits(_) if width == 0 => {
            PictureError::Damaged("its directory is longer than that of any photo".into())
        }
        ImageError::Limits(_) => PictureError::TooLarge { width, height },
        other => {
            let said: String = other
                .to_string()
                .chars()
                .filter(|c| !c.is_control())
                .take(160)
                .collect();
            PictureError::Damaged(said)
        }
    }
}

#[cfg(test)]
mod tests;
