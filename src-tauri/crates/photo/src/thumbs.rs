//! Small JPEG pictures of the photos, for screens.
//!
//! They lie in a folder of their own that may be emptied at any time: what is missing is
//! made again from the original. They stand upright, are never larger than the original,
//! and carry no metadata but the colour profile, so that no position leaves the site with
//! them. Decoding is in [`crate::scaled`].

use crate::picture::{Picture, PictureError};
use crate::scaled::decode_for;
use fast_image_resize::Resizer;
use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageEncoder, Rgb, RgbImage};
use std::fmt::Display;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};

/// Lengths of the longer side in pixels: a list, a card, a full screen.
pub const SIDES: [u32; 3] = [160, 512, 1600];
/// Bytes of the hash behind a small picture.
const SEAL: usize = 32;

/// JPEG quality, 1 to 100 (common practice, no source).
const QUALITY: u8 = 82;

/// Makes and keeps all sizes of the photo that the store knows by `name`. Gives what a person should know: why there is none, or why
/// only a small one.
#[must_use]
pub fn make_all(dir: &Path, name: &dyn Display, bytes: &[u8]) -> Vec<String> {
    match sizes(bytes, &SIDES) {
        Ok((small, problem)) => {
            keep_all(dir, name, &small);
            problem.into_iter().collect()
        }
        Err(why) => vec![why.to_string()],
    }
}

/// A small picture that was made before, if it is as it was made: behind it stands the hash of
/// its bytes. A file from a power cut, or one that went bad on the disk, counts as none.
#[must_use]
pub fn kept(dir: &Path, name: &dyn Display, side: u32) -> Option<Vec<u8>> {
    let mut jpeg = fs::read(place(dir, name, side)).ok()?;
    let sealed = jpeg.split_off(jpeg.len().checked_sub(SEAL)?);
    (sealed == blake3::hash(&jpeg).as_bytes()).then_some(jpeg)
}

/// Throws the small pictures of a photo away.
pub fn forget(dir: &Path, name: &dyn Display) {
    for side in SIDES {
        let _ = fs::remove_file(place(dir, name, side));
    }
}

/// Makes and keeps all sizes and gives the one of `side` pixels.
///
/// # Errors
/// Why there is none, in words for a person.
pub fn make(dir: &Path, name: &dyn Display, bytes: &[u8], side: u32) -> Result<Vec<u8>, String> {
    let (small, _) = sizes(bytes, &SIDES).map_err(|why| why.to_string())?;
    keep_all(dir, name, &small);
    let of_side = small.into_iter().find(|(s, _)| *s == side);
    of_side
        .map(|(_, jpeg)| jpeg)
        .ok_or_else(|| format!("There are no pictures of {side} pixels."))
}

/// Makes and keeps the one of `side` pixels alone: a record needs many, and no larger ones.
///
/// # Errors
/// Why there is none.
pub fn make_one(
    dir: &Path,
    name: &dyn Display,
    bytes: &[u8],
    side: u32,
) -> Result<Vec<u8>, PictureError> {
    let (small, _) = sizes(bytes, &[side])?;
    keep_all(dir, name, &small);
    let one = small.into_iter().next();
    Ok(one.map(|(_, jpeg)| jpeg).unwrap_or_default())
}

/// A side and its JPEG.
type Small = Vec<(u32, Vec<u8>)>;

/// Makes one picture of at most `side` pixels and keeps nothing.
///
/// # Errors
/// Why there is none.
pub fn only(bytes: &[u8], side: u32) -> Result<Vec<u8>, PictureError> {
    let (small, _) = sizes(bytes, &[side])?;
    let one = small.into_iter().next();
    Ok(one.map(|(_, jpeg)| jpeg).unwrap_or_default())
}

/// The sizes of `sides`, from the largest down, and what is to be said about them.
fn sizes(bytes: &[u8], sides: &[u32]) -> Result<(Small, Option<String>), PictureError> {
    let largest = sides.iter().copied().max().unwrap_or_default();
    let Picture {
        mut pixels,
        turn,
        icc,
        instead_of,
    } = decode_for(bytes, largest)?;
    let mut small = Vec::new();
    let mut turned = false;
    // From the largest down, each from the one before; turned once it is small.
    for side in sides.iter().rev().copied() {
        pixels = shrunk(pixels, side)?;
        if !turned {
            pixels = flat(pixels);
            pixels.apply_orientation(turn);
            turned = true;
        }
        small.push((side, jpeg(&pixels, icc.as_deref())?));
    }
    let problem = instead_of.map(|why| {
        format!(
            "{why} Until then the small preview inside the file is shown ({} x {} pixels).",
            pixels.width(),
            pixels.height()
        )
    });
    Ok((small, problem))
}

/// The picture with a longer side of at most `side`.
fn shrunk(pixels: DynamicImage, side: u32) -> Result<DynamicImage, PictureError> {
    let (width, height) = (pixels.width(), pixels.height());
    let long = width.max(height);
    if long <= side {
        return Ok(pixels);
    }
    let scaled = |n: u32| {
        let n = (u64::from(n) * u64::from(side) * 2 + u64::from(long)) / (u64::from(long) * 2);
        u32::try_from(n).unwrap_or(side).max(1)
    };
    let mut small = DynamicImage::new(scaled(width), scaled(height), pixels.color());
    Resizer::new()
        .resize(&pixels, &mut small, None)
        .map_err(|e| PictureError::Damaged(e.to_string()))?;
    Ok(small)
}

/// Eight bits, on white where it is transparent.
fn flat(pixels: DynamicImage) -> DynamicImage {
    if !pixels.color().has_alpha() {
        return DynamicImage::ImageRgb8(pixels.into_rgb8());
    }
    let seen = pixels.into_rgba8();
    let on_white = RgbImage::from_fn(seen.width(), seen.height(), |x, y| {
        let [r, g, b, a] = seen.get_pixel(x, y).0.map(u16::from);
        // The quotient is at most 255.
        #[allow(clippy::cast_possible_truncation)]
        Rgb([r, g, b].map(|c| ((c * a + 255 * (255 - a) + 127) / 255) as u8))
    });
    DynamicImage::ImageRgb8(on_white)
}

fn jpeg(pixels: &DynamicImage, icc: Option<&[u8]>) -> Result<Vec<u8>, PictureError> {
    let mut out = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut out, QUALITY);
    if let Some(icc) = icc {
        // The encoder takes any profile; without one the colours would be off.
        let _ = encoder.set_icc_profile(icc.to_vec());
    }
    pixels
        .write_with_encoder(encoder)
        .map_err(|e| PictureError::Damaged(e.to_string()))?;
    Ok(out)
}

/// Keeps what was made. If that fails it is made again next time.
fn keep_all(dir: &Path, name: &dyn Display, small: &Small) {
    for (side, jpeg) in small {
        let to = place(dir, name, *side);
        if let Err(e) = keep(dir, &to, jpeg) {
            tracing::warn!("the small picture {} was not kept: {e}", to.display());
            return;
        }
    }
}

/// Whole or not at all, whoever reads or writes it at the same time.
fn keep(dir: &Path, to: &Path, jpeg: &[u8]) -> io::Result<()> {
    static NEXT: AtomicU64 = AtomicU64::new(0);
    fs::create_dir_all(dir)?;
    let n = NEXT.fetch_add(1, Ordering::Relaxed);
    let part = dir.join(format!("{}-{n}.part", std::process::id()));
    let sealed = [jpeg, blake3::hash(jpeg).as_bytes()].concat();
    let done = fs::write(&part, sealed).and_then(|()| fs::rename(&part, to));
    if done.is_err() {
        let _ = fs::remove_file(&part);
    }
    done
}

fn place(dir: &Path, name: &dyn Display, side: u32) -> PathBuf {
    dir.join(format!("{name}-{side}.jpg"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{GenericImageView, ImageFormat, Rgba, RgbaImage};
    use std::io::Cursor;

    fn png(wide: u32, high: u32, pixel: [u8; 4]) -> Vec<u8> {
        let mut out = Cursor::new(Vec::new());
        let pixels = RgbaImage::from_pixel(wide, high, Rgba(pixel));
        pixels.write_to(&mut out, ImageFormat::Png).unwrap();
        out.into_inner()
    }

    fn sizes_of(small: &Small) -> Vec<(u32, (u32, u32))> {
        let seen = |jpeg: &[u8]| image::load_from_memory(jpeg).unwrap().dimensions();
        small
            .iter()
            .map(|(side, jpeg)| (*side, seen(jpeg)))
            .collect()
    }

    #[test]
    fn every_size_keeps_the_shape_and_none_is_enlarged() {
        let (small, problem) = sizes(&png(2000, 1000, [1, 2, 3, 255]), &SIDES).unwrap();
        assert_eq!(
            sizes_of(&small),
            [(1600, (1600, 800)), (512, (512, 256)), (160, (160, 80))]
        );
        assert_eq!(problem, None);
        let (small, _) = sizes(&png(200, 300, [1, 2, 3, 255]), &SIDES).unwrap();
        assert_eq!(
            sizes_of(&small),
            [(1600, (200, 300)), (512, (200, 300)), (160, (107, 160))]
        );
        // A thread of a picture keeps at least one pixel.
        let (small, _) = sizes(&png(3, 3000, [1, 2, 3, 255]), &SIDES).unwrap();
        assert_eq!(
            sizes_of(&small),
            [(1600, (2, 1600)), (512, (1, 512)), (160, (1, 160))]
        );
    }

    #[test]
    fn what_is_transparent_becomes_white() {
        for (pixel, wanted) in [
            ([0, 0, 0, 0], [255; 3]),
            ([0, 0, 0, 128], [127; 3]),
            ([90, 60, 30, 255], [90, 60, 30]),
        ] {
            let (small, _) = sizes(&png(400, 400, pixel), &SIDES).unwrap();
            for (side, jpeg) in small {
                let seen = image::load_from_memory(&jpeg).unwrap().get_pixel(50, 50);
                let off = (0..3).map(|i| seen[i].abs_diff(wanted[i])).max();
                assert!(off <= Some(3), "{side}: {seen:?}");
            }
        }
    }

    #[test]
    fn small_pictures_are_kept_whole_and_can_be_thrown_away() {
        let dir = tempfile::tempdir().unwrap();
        let thumbs = dir.path().join("thumbs");
        let bytes = png(300, 200, [9, 9, 9, 255]);
        assert_eq!(kept(&thumbs, &"a1", 160), None);
        assert_eq!(make_all(&thumbs, &"a1", &bytes), Vec::<String>::new());
        let one = kept(&thumbs, &"a1", 160).unwrap();
        let names: Vec<_> = fs::read_dir(&thumbs)
            .unwrap()
            .map(|f| f.unwrap().file_name())
            .collect();
        assert_eq!(names.len(), SIDES.len(), "{names:?}");
        // Half a file, as after a power cut, counts as none, and so does one with another bit.
        let whole = fs::read(place(&thumbs, &"a1", 160)).unwrap();
        let mut bad = whole.clone();
        bad[whole.len() / 2] ^= 1;
        for odd in [&whole[..whole.len() / 2], &bad, &one, b""] {
            fs::write(place(&thumbs, &"a1", 160), odd).unwrap();
            assert_eq!(kept(&thumbs, &"a1", 160), None);
        }
        fs::remove_dir_all(&thumbs).unwrap();
        assert_eq!(make(&thumbs, &"a1", &bytes, 160), Ok(one));
        assert!(kept(&thumbs, &"a1", 512).is_some());
    }

    #[test]
    fn a_folder_that_cannot_be_written_costs_nothing_but_time() {
        let dir = tempfile::tempdir().unwrap();
        let file = dir.path().join("file");
        fs::write(&file, "in the way").unwrap();
        let bytes = png(300, 200, [9, 9, 9, 255]);
        assert!(
            make(&file, &"a1", &bytes, 512)
                .unwrap()
                .starts_with(&[0xFF, 0xD8])
        );
        assert!(make_all(&file, &"a1", &bytes).is_empty());
    }

    #[test]
    fn a_file_without_pixels_says_why() {
        let dir = tempfile::tempdir().unwrap();
        let heic = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic";
        let said = make_all(dir.path(), &"a1", heic);
        assert!(
            said.len() == 1 && said[0].contains("HEIC") && said[0].contains("kept as it is"),
            "{said:?}"
        );
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 0);
    }
}
