//! From a photo file to a measured colour.
//!
//! Takes the levels of the patch and the cards out of a file, upright and in fractions
//! where [`crate::fine`] can read them, names their profile, and hands them to
//! [`slowstone_colour::measure()`]. Nothing about colour is reckoned here.

use crate::fine::{self, Levels, Window};
use crate::picture::{Picture, PictureError, decode};
use image::RgbImage;
use image::metadata::Orientation;
use slowstone_colour::measure::{
    Depth, Measured, Rect, Reference, Refusal, Region, Warning, measure,
};
use slowstone_colour::{Lab, Profile, measure as measuring, profile};

/// A rectangle of more pixels is not read.
pub const MOST_PIXELS: usize = 8_000_000;

/// A reference card in a photo.
#[derive(Clone, Copy, Debug)]
pub struct CardAt {
    /// Where, in pixels as displayed.
    pub rect: Rect,
    /// Its colour, D65.
    pub lab: Lab,
    /// Standard uncertainty of it, if it is known.
    pub sd: Option<[f64; 3]>,
}

/// Why there is no colour.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoColour {
    /// The file gives no pixels.
    #[error(transparent)]
    Picture(#[from] PictureError),
    /// A rectangle does not fit into the picture.
    #[error("The rectangle {} does not fit into the picture of {} x {} pixels as displayed.", .which, .size.0, .size.1)]
    Outside {
        /// The patch, or a card with its number from 0.
        which: String,
        /// Pixels across and down, as displayed.
        size: (u32, u32),
    },
    /// The colour cannot be trusted.
    #[error(transparent)]
    Refused(#[from] Refusal),
}

/// Measures the colour of a patch in the bytes of a photo.
///
/// # Errors
/// Why there is no colour: [`NoColour`].
pub fn measure_photo(bytes: &[u8], patch: Rect, cards: &[CardAt]) -> Result<Measured, NoColour> {
    let picture = decode(bytes)?;
    let (turn, preview) = (picture.turn, picture.instead_of.is_some());
    let known = picture.icc.as_deref().map(profile::of_icc);
    let stored = (picture.pixels.width(), picture.pixels.height());
    let seen = upright(picture);
    let size = seen.dimensions();
    let inside = |which: &dyn Fn() -> String, r: Rect| {
        let fits = r.x0 < r.x1 && r.y0 < r.y1 && r.x1 <= size.0 && r.y1 <= size.1;
        if fits && r.pixels() <= MOST_PIXELS {
            Ok(())
        } else {
            Err(NoColour::Outside {
                which: which(),
                size,
            })
        }
    };
    inside(&|| "patch".to_owned(), patch)?;
    for (i, card) in cards.iter().enumerate() {
        inside(&|| format!("references[{i}].rect"), card.rect)?;
    }

    let rects: Vec<Rect> = core::iter::once(patch)
        .chain(cards.iter().map(|c| c.rect))
        .collect();
    let whole: Vec<Vec<[f32; 3]>> = rects.iter().map(|r| levels(&seen, *r)).collect();
    drop(seen);
    let fine = (!preview)
        .then(|| fractions(bytes, turn, stored, &rects))
        .flatten()
        .filter(|fine| alike(fine, &whole));
    let (levels, depth) = fine.map_or((whole, Depth::Whole), |fine| (fine, Depth::Fine));

    let (first, rest) = levels.split_first().ok_or(Refusal::NotOneOrTwoReferences)?;
    let references: Vec<Reference<'_>> = cards
        .iter()
        .zip(rest)
        .map(|(card, levels)| Reference {
            region: Region {
                rect: card.rect,
                levels,
            },
            lab: card.lab,
            sd: card.sd,
        })
        .collect();
    let about = measuring::Picture {
        width: size.0,
        height: size.1,
        profile: known.flatten().unwrap_or(Profile::Srgb),
        depth,
    };
    let region = Region {
        rect: patch,
        levels: first,
    };
    let mut measured = measure(&about, &region, &references)?;
    if known == Some(None) {
        measured.warnings.push(Warning::ProfileUnknown);
    }
    if preview {
        measured.warnings.push(Warning::PreviewOnly);
    }
    Ok(measured)
}

fn upright(picture: Picture) -> RgbImage {
    picture.upright().into_rgb8()
}

fn levels(image: &RgbImage, r: Rect) -> Vec<[f32; 3]> {
    let mut out = Vec::with_capacity(r.pixels());
    for y in r.y0..r.y1 {
        for x in r.x0..r.x1 {
            if let Some(pixel) = image.get_pixel_checked(x, y) {
                out.push(pixel.0.map(f32::from));
            }
        }
    }
    out
}

/// The levels in fractions, in the order in which they are displayed.
fn fractions(
    bytes: &[u8],
    turn: Orientation,
    stored: (u32, u32),
    rects: &[Rect],
) -> Option<Vec<Vec<[f32; 3]>>> {
    let windows: Option<Vec<Window>> = rects.iter().map(|r| window(turn, stored, *r)).collect();
    let read = fine::read(bytes, &windows?)?;
    let each = rects.iter().zip(&read);
    each.map(|(rect, levels)| displayed(turn, stored, *rect, levels))
        .collect()
}

fn displayed(
    turn: Orientation,
    stored: (u32, u32),
    r: Rect,
    levels: &Levels,
) -> Option<Vec<[f32; 3]>> {
    let mut out = Vec::with_capacity(r.pixels());
    for y in r.y0..r.y1 {
        for x in r.x0..r.x1 {
            let (u, v) = as_stored(turn, stored, (x, y))?;
            out.push(levels.at(u, v)?);
        }
    }
    Some(out)
}

/// The window of stored pixels that a displayed rectangle shows.
fn window(turn: Orientation, stored: (u32, u32), r: Rect) -> Option<Window> {
    let p = as_stored(turn, stored, (r.x0, r.y0))?;
    let q = as_stored(turn, stored, (r.x1.checked_sub(1)?, r.y1.checked_sub(1)?))?;
    Some(Window {
        from: (p.0.min(q.0), p.1.min(q.1)),
        to: (p.0.max(q.0) + 1, p.1.max(q.1) + 1),
    })
}

/// Where a displayed pixel is stored.
fn as_stored(turn: Orientation, (w, h): (u32, u32), (x, y): (u32, u32)) -> Option<(u32, u32)> {
    let left = |v: u32| w.checked_sub(1)?.checked_sub(v);
    let up = |v: u32| h.checked_sub(1)?.checked_sub(v);
    Some(match turn {
        Orientation::NoTransforms => (x, y),
        Orientation::FlipHorizontal => (left(x)?, y),
        Orientation::Rotate180 => (left(x)?, up(y)?),
        Orientation::FlipVertical => (x, up(y)?),
        Orientation::Rotate90FlipH => (y, x),
        Orientation::Rotate90 => (y, up(x)?),
        Orientation::Rotate270FlipH => (left(y)?, up(x)?),
        Orientation::Rotate270 => (left(y)?, x),
    })
}

/// True if both decoders saw the same picture. Rounding leaves less than half a level on
/// the average, where colour is stored coarsely a little more.
fn alike(fine: &[Vec<[f32; 3]>], whole: &[Vec<[f32; 3]>]) -> bool {
    fine.iter().zip(whole).all(|(fine, whole)| {
        let pairs = fine.iter().flatten().zip(whole.iter().flatten());
        let off: f64 = pairs
            .map(|(f, w)| f64::from((f.clamp(0.0, 255.0) - w).abs()))
            .sum();
        off / (3 * whole.len().max(1)) as f64 <= 1.0
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::codecs::jpeg::JpegEncoder;
    use image::{DynamicImage, ImageEncoder, Rgb};

    const TURNS: [Orientation; 8] = [
        Orientation::NoTransforms,
        Orientation::FlipHorizontal,
        Orientation::Rotate180,
        Orientation::FlipVertical,
        Orientation::Rotate90FlipH,
        Orientation::Rotate90,
        Orientation::Rotate270FlipH,
        Orientation::Rotate270,
    ];

    fn slanted() -> DynamicImage {
        let pixel = |x: u32, y: u32| Rgb([(40 + 2 * x) as u8, (60 + 3 * y) as u8, 90]);
        DynamicImage::ImageRgb8(RgbImage::from_fn(64, 40, pixel))
    }

    #[test]
    fn every_turn_finds_the_pixel_that_is_displayed() {
        for turn in TURNS {
            let stored = slanted().into_rgb8();
            let mut shown = slanted();
            shown.apply_orientation(turn);
            let shown = shown.into_rgb8();
            for (x, y, pixel) in shown.enumerate_pixels() {
                let (u, v) = as_stored(turn, stored.dimensions(), (x, y)).unwrap();
                assert_eq!(stored.get_pixel(u, v), pixel, "{turn:?} {x} {y}");
            }
        }
    }

    #[test]
    fn fractions_are_used_only_if_they_agree() {
        let mut jpeg = Vec::new();
        let image = slanted().into_rgb8();
        JpegEncoder::new_with_quality(&mut jpeg, 95)
            .write_image(image.as_raw(), 64, 40, image::ExtendedColorType::Rgb8)
            .unwrap();
        let rect = Rect {
            x0: 5,
            y0: 4,
            x1: 50,
            y1: 30,
        };
        let decoded = decode(&jpeg).unwrap().upright().into_rgb8();
        let whole = vec![levels(&decoded, rect)];
        let fine = fractions(&jpeg, Orientation::NoTransforms, (64, 40), &[rect]).unwrap();
        assert!(alike(&fine, &whole));
        assert_ne!(fine, whole);
        let turned = fractions(&jpeg, Orientation::Rotate180, (64, 40), &[rect]).unwrap();
        assert!(!alike(&turned, &whole));
    }

    #[test]
    fn a_rectangle_that_does_not_fit_is_named() {
        let mut png = std::io::Cursor::new(Vec::new());
        slanted()
            .write_to(&mut png, image::ImageFormat::Png)
            .unwrap();
        let at = |x1, y1| Rect {
            x0: 0,
            y0: 0,
            x1,
            y1,
        };
        let card = |rect| CardAt {
            rect,
            lab: Lab::new(50.0, 0.0, 0.0),
            sd: None,
        };
        let bytes = png.into_inner();
        let error = measure_photo(&bytes, at(65, 10), &[card(at(10, 10))]).unwrap_err();
        assert!(error.to_string().contains("patch"), "{error}");
        let error = measure_photo(&bytes, at(10, 10), &[card(at(10, 41))]).unwrap_err();
        let text = "The rectangle references[0].rect does not fit into the picture of 64 x 40 pixels as displayed.";
        assert_eq!(error.to_string(), text);
        assert_eq!(
            measure_photo(b"no photo at all", at(10, 10), &[]).unwrap_err(),
            NoColour::Picture(decode(b"no photo at all").unwrap_err())
        );
    }

    /// An ICC profile with nothing but its red and green primaries under D50.
    fn icc(primaries: [[f64; 3]; 2]) -> Vec<u8> {
        let mut out = vec![0; 128];
        out[16..20].copy_from_slice(b"RGB ");
        out.extend(2_u32.to_be_bytes());
        for (tag, at) in [(b"rXYZ", 156_u32), (b"gXYZ", 176)] {
            out.extend(tag);
            out.extend([at.to_be_bytes(), 20_u32.to_be_bytes()].concat());
        }
        for xyz in primaries {
            out.extend(b"XYZ \0\0\0\0");
            for v in xyz {
                out.extend(((v * 65536.0) as i32).to_be_bytes());
            }
        }
        out
    }

    #[test]
    fn the_profile_in_the_file_is_heeded() {
        let pixel = |x: u32, _| {
            if x < 20 {
                Rgb([176, 120, 96])
            } else {
                Rgb([118, 118, 118])
            }
        };
        let image = RgbImage::from_fn(40, 20, pixel);
        let seen = |profile: Option<Vec<u8>>| {
            let mut png = Vec::new();
            let mut encoder = image::codecs::png::PngEncoder::new(&mut png);
            if let Some(profile) = profile {
                encoder.set_icc_profile(profile).unwrap();
            }
            encoder
                .write_image(image.as_raw(), 40, 20, image::ExtendedColorType::Rgb8)
                .unwrap();
            let at = |x0| Rect {
                x0,
                y0: 2,
                x1: x0 + 16,
                y1: 18,
            };
            // Level 118 is L* 49.6 (tests/reference, sRGB).
            let card = CardAt {
                rect: at(22),
                lab: Lab::new(49.6, 0.0, 0.0),
                sd: None,
            };
            measure_photo(&png, at(2), &[card]).unwrap()
        };
        // Primaries of Display P3 under D50: CSS Color 4, and of Adobe RGB (1998), 4.3.6.1.
        let p3 = [[0.51512, 0.24120, -0.00105], [0.29198, 0.69225, 0.04189]];
        let adobe = [[0.60974, 0.31111, 0.01947], [0.20528, 0.62567, 0.06087]];
        let (plain, wide, other) = (seen(None), seen(Some(icc(p3))), seen(Some(icc(adobe))));
        // (176, 120, 96) in Display P3: PyPI colour-science 0.4.7.
        let truth = Lab::new(55.948, 24.279, 25.426);
        let off = slowstone_colour::de2000(wide.lab, truth);
        assert!(off < 0.5, "{wide:?}");
        assert!(
            slowstone_colour::de2000(plain.lab, truth) > 2.0,
            "{plain:?}"
        );
        assert!(!wide.warnings.contains(&Warning::ProfileUnknown));
        assert_eq!(other.lab, plain.lab);
        assert!(other.warnings.contains(&Warning::ProfileUnknown));
    }
}
