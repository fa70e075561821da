//! Where colour could be measured in a photo: flat places, in pixels as displayed.
//!
//! Makes the small grey picture that [`slowstone_colour::suggest`] looks at. The measuring
//! is in [`crate::colour`].

use crate::picture::{PictureError, decode};
use slowstone_colour::measure::Rect;
use slowstone_colour::suggest::{Greys, flat_patches};

/// Where colour could be measured in a photo.
#[derive(Clone, Debug, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct Flats {
    /// Columns of the photo as displayed.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Flat places: first column and row, column and row after the last.
    pub patches: Vec<[u32; 4]>,
}

/// Longer side of the small picture in which flat places are looked for, and their number.
const SMALL: u32 = 400;
const FLATS: usize = 6;

/// Suggests flat places in the bytes of a photo.
///
/// # Errors
/// The file gives no pixels.
pub fn flats(bytes: &[u8]) -> Result<Flats, PictureError> {
    let image = decode(bytes)?.upright();
    let (width, height) = (image.width(), image.height());
    let small = image.thumbnail(SMALL, SMALL).into_luma8();
    let greys = Greys {
        width: small.width(),
        height: small.height(),
        levels: small.as_raw(),
    };
    let scaled = |v: u32, from: u32, to: u32| {
        let v = u64::from(v) * u64::from(to) / u64::from(from.max(1));
        u32::try_from(v).unwrap_or(to).min(to)
    };
    let whole = |r: Rect| {
        let x = |v| scaled(v, greys.width, width);
        let y = |v| scaled(v, greys.height, height);
        [x(r.x0), y(r.y0), x(r.x1), y(r.y1)]
    };
    let found = flat_patches(&greys, &[], FLATS);
    Ok(Flats {
        width,
        height,
        patches: found.iter().map(|flat| whole(flat.rect)).collect(),
    })
}

#[cfg(test)]
#[allow(clippy::indexing_slicing)]
mod tests {
    use super::*;
    use image::{DynamicImage, ImageFormat, Rgb, RgbImage};

    #[test]
    fn a_flat_place_is_found_in_pixels_of_the_whole_photo() {
        // Stripes all over but for an even square at the right.
        let inside = |x: u32, y: u32| (600..1100).contains(&x) && (200..700).contains(&y);
        let image = RgbImage::from_fn(1200, 900, |x, y| {
            let stripe = if (x / 12 + y / 12) % 2 == 0 { 60 } else { 200 };
            let v = if inside(x, y) { 128 } else { stripe };
            Rgb([v, v, v])
        });
        let mut png = std::io::Cursor::new(Vec::new());
        DynamicImage::ImageRgb8(image)
            .write_to(&mut png, ImageFormat::Png)
            .unwrap();
        let found = flats(&png.into_inner()).unwrap();
        assert_eq!((found.width, found.height), (1200, 900));
        assert!(!found.patches.is_empty());
        for [x0, y0, x1, y1] in found.patches {
            assert!(
                inside(x0, y0) && inside(x1 - 1, y1 - 1),
                "{x0} {y0} {x1} {y1}"
            );
        }
        assert!(flats(b"no photo").is_err());
    }
}
