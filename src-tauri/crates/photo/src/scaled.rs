//! Pixels of a photo for a small picture: a JPEG is decoded at 1/2 or 1/4 of its size.
//!
//! The transform of each block then gives 4 or 2 pixels in a row instead of 8, which
//! saves most of the work but reading the codes. Only baseline files of ordinary colour are
//! decoded so; for all others, and for damaged ones, [`super::picture::decode`] does it in
//! full. Colours are measured on full pixels, never on these.

use std::panic::{AssertUnwindSafe, catch_unwind};

use image::metadata::Orientation;
use image::{DynamicImage, GrayImage, RgbImage};
use jpeg_decoder::{CodingProcess, Decoder, PixelFormat};

use super::bounds::{MOST_BYTES, PictureError};
use super::container;
use super::format::Format;
use super::picture::{Picture, decode};
use super::reader::photo_facts;

/// Decodes a photo so that its longer side has at least `side` pixels, if it has so many.
///
/// # Errors
/// Why there are no pixels: [`PictureError`].
pub fn decode_for(bytes: &[u8], side: u32) -> Result<Picture, PictureError> {
    let small = match Format::of(bytes) {
        Ok(Format::Jpeg) => catch_unwind(AssertUnwindSafe(|| jpeg(bytes, side))),
        _ => Ok(None),
    };
    let Some((pixels, icc)) = small.ok().flatten() else {
        return decode(bytes);
    };
    let turn = photo_facts("", bytes)
        .orientation
        .and_then(Orientation::from_exif);
    Ok(Picture {
        pixels,
        turn: turn.unwrap_or(Orientation::NoTransforms),
        icc: icc.filter(|p| container::is_rgb_profile(p)),
        instead_of: None,
    })
}

/// The pixels and the profile; `None` for what is left to the full decoder.
fn jpeg(bytes: &[u8], side: u32) -> Option<(DynamicImage, Option<Vec<u8>>)> {
    let mut decoder = Decoder::new(bytes);
    decoder.read_info().ok()?;
    let info = decoder.info()?;
    let long = u32::from(info.width.max(info.height));
    if long < side.saturating_mul(2) || info.coding_process != CodingProcess::DctSequential {
        // Nothing is saved, or all coefficients would have to be kept.
        return None;
    }
    // Rows of coefficients, two bytes each for three components, wait for the threads that
    // transform them: at worst all of them.
    let pixels = u64::from(info.width) * u64::from(info.height);
    if pixels * 6 > MOST_BYTES {
        return None;
    }
    decoder.set_max_decoding_buffer_size(usize::try_from(MOST_BYTES).ok()?);
    // Both sides in proportion; the decoder takes the smallest part that reaches them. One
    // more than an eighth leaves a quarter as the least: of an eighth this decoder rounds the
    // colours towards grey, by 2 dE00 near white (see the test of P3 in `tests/hub`).
    let part = |n: u16| {
        let wanted = (u32::from(n) * side).div_ceil(long);
        u16::try_from(wanted.max(u32::from(n).div_ceil(8) + 1)).ok()
    };
    let (wide, high) = decoder.scale(part(info.width)?, part(info.height)?).ok()?;
    let levels = decoder.decode().ok()?;
    let (wide, high) = (u32::from(wide), u32::from(high));
    let pixels = match info.pixel_format {
        PixelFormat::RGB24 => DynamicImage::ImageRgb8(RgbImage::from_raw(wide, high, levels)?),
        PixelFormat::L8 => DynamicImage::ImageLuma8(GrayImage::from_raw(wide, high, levels)?),
        PixelFormat::L16 | PixelFormat::CMYK32 => return None,
    };
    Some((pixels, decoder.icc_profile()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{GenericImageView, Rgb};

    /// Slow shades, so that any way of making it smaller gives nearly the same.
    fn shades(wide: u32, high: u32) -> RgbImage {
        RgbImage::from_fn(wide, high, |x, y| {
            let level = |n: u32, of: u32| u8::try_from(n * 255 / of).unwrap();
            Rgb([level(x, wide), level(y, high), level(x + y, wide + high)])
        })
    }

    fn written(pixels: &DynamicImage) -> Vec<u8> {
        let mut out = Vec::new();
        let encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut out, 95);
        pixels.write_with_encoder(encoder).unwrap();
        out
    }

    #[test]
    fn a_large_photo_is_decoded_at_the_next_larger_part() {
        let full = DynamicImage::ImageRgb8(shades(1601, 900));
        let bytes = written(&full);
        for (side, size) in [
            (700, (801, 450)),
            (400, (401, 225)),
            (160, (401, 225)),
            (900, (1601, 900)),
        ] {
            let small = decode_for(&bytes, side).unwrap().pixels;
            assert_eq!(small.dimensions(), size, "{side}");
            // The same colours at the same places, in shares of width and height.
            for (u, v) in [(0.1, 0.1), (0.5, 0.5), (0.9, 0.2), (0.3, 0.8)] {
                let at = |p: &DynamicImage| {
                    let (x, y) = (f64::from(p.width()) * u, f64::from(p.height()) * v);
                    p.get_pixel(x as u32, y as u32)
                };
                let (a, b) = (at(&small), at(&full));
                let off = (0..3).map(|i| a[i].abs_diff(b[i])).max();
                assert!(off <= Some(4), "{side} at {u}, {v}: {a:?} {b:?}");
            }
        }
    }

    #[test]
    fn grey_stays_grey_and_a_broken_end_is_left_to_the_full_decoder() {
        let grey = DynamicImage::ImageLuma8(DynamicImage::from(shades(900, 600)).into_luma8());
        let mut bytes = written(&grey);
        let small = decode_for(&bytes, 200).unwrap().pixels;
        assert_eq!(small.dimensions(), (225, 150));
        assert!(matches!(small, DynamicImage::ImageLuma8(_)));
        bytes.truncate(bytes.len() / 2);
        let seen = |p: Result<Picture, PictureError>| p.map(|p| p.pixels.dimensions());
        assert_eq!(seen(decode_for(&bytes, 200)), seen(decode(&bytes)));
    }
}
