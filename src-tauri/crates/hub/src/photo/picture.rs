//! Pixels out of a photo file: upright, and never more of them than memory allows.
//!
//! The header is looked at before anything is decoded, so that a small file which claims
//! a huge picture costs nothing. JPEG, PNG, WebP and TIFF are decoded, HEIC, HEIF and AVIF
//! where the system has a program for it (`super::heif`); of files that cannot be decoded
//! the small JPEG inside the file is used if it has one. Nothing is written here: see `crate::thumbs`. Colours stay as they are
//! in the file, with their ICC profile beside them.

use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};

use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageError, ImageFormat, ImageReader, Limits};

use super::container::{self, Found};
use super::exif_block::Block;
use super::format::Format;
use super::{heif, isobmff, photo_facts};

/// Pictures with more pixels are not decoded. Phones make up to 108 million in one
/// picture that is not put together from several (from memory).
pub const MOST_PIXELS: u64 = 120_000_000;
/// A decoder may take no more bytes than this for one picture. Making it smaller may take
/// as many again, if it is transparent.
pub(super) const MOST_BYTES: u64 = 384 << 20;
/// A preview of more pixels is not looked at: it would be a picture of its own.
const MOST_PREVIEW_PIXELS: u64 = 16_000_000;

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

/// The size of a TIFF whose directory the EXIF reader does not understand, as in BigTIFF.
pub(crate) fn tiff_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let mut reader = ImageReader::with_format(Cursor::new(bytes), ImageFormat::Tiff);
    reader.limits(limits());
    reader.into_dimensions().ok()
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

fn limits() -> Limits {
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_BYTES);
    limits
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
    let mut reader = ImageReader::with_format(Cursor::new(bytes), as_image);
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
    let icc = decoder.icc_profile().ok().flatten();
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
mod tests {
    use super::super::isobmff::tests::{boxed, heic};
    use super::*;
    use image::{GenericImageView, Rgb, RgbImage};

    /// A file whose top left corner is red and whose other corners are blue.
    fn written(format: ImageFormat, wide: u32, high: u32) -> Vec<u8> {
        let pixels = RgbImage::from_fn(wide, high, |x, y| {
            if x < wide / 2 && y < high / 2 {
                Rgb([230, 10, 10])
            } else {
                Rgb([10, 10, 230])
            }
        });
        let mut out = Cursor::new(Vec::new());
        pixels.write_to(&mut out, format).unwrap();
        out.into_inner()
    }

    /// Puts a segment behind the first marker of a JPEG.
    fn with_segment(jpeg: &[u8], marker: u8, body: &[u8]) -> Vec<u8> {
        let len = u16::try_from(body.len() + 2).unwrap().to_be_bytes();
        [&jpeg[..2], &[0xFF, marker], &len, body, &jpeg[2..]].concat()
    }

    /// An EXIF block with an orientation and a preview.
    fn exif(orientation: u8, preview: &[u8]) -> Vec<u8> {
        let len = u32::try_from(preview.len()).unwrap().to_le_bytes();
        [
            // IFD0 at 8: orientation; IFD1 at 26: place and length of the preview at 56.
            &b"Exif\0\0II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0"[..],
            &[orientation, 0, 0, 0, 26, 0, 0, 0],
            b"\x02\0\x01\x02\x04\0\x01\0\0\0\x38\0\0\0\x02\x02\x04\0\x01\0\0\0",
            &len,
            &[0, 0, 0, 0],
            preview,
        ]
        .concat()
    }

    #[test]
    fn the_four_formats_are_decoded() {
        for format in [
            ImageFormat::Jpeg,
            ImageFormat::Png,
            ImageFormat::WebP,
            ImageFormat::Tiff,
        ] {
            let picture = decode(&written(format, 64, 48)).unwrap();
            assert_eq!(picture.instead_of, None);
            let seen = picture.upright();
            assert_eq!(seen.dimensions(), (64, 48), "{format:?}");
            assert!(seen.get_pixel(8, 8)[0] > 180 && seen.get_pixel(56, 40)[2] > 180);
        }
    }

    #[test]
    fn a_header_that_claims_too_much_is_refused_before_decoding() {
        let mut png = written(ImageFormat::Png, 16, 16);
        // IHDR: width and height at 16, its checksum at 29 (PNG, 11.2.2).
        png[16..24].copy_from_slice(&[0, 0, 0x40, 0, 0, 0, 0x40, 0]);
        let checksum = crc(&png[12..29]).to_be_bytes();
        png[29..33].copy_from_slice(&checksum);
        let error = decode(&png).unwrap_err();
        assert_eq!(
            error,
            PictureError::TooLarge {
                width: 16384,
                height: 16384
            }
        );
        assert!(error.to_string().contains("120 million"), "{error}");
        let mut jpeg = written(ImageFormat::Jpeg, 16, 16);
        let frame = jpeg.windows(2).position(|w| w == [0xFF, 0xC0]).unwrap();
        jpeg[frame + 5..frame + 9].copy_from_slice(&[0x40, 0, 0x40, 0]);
        assert_eq!(decode(&jpeg).unwrap_err(), error);
    }

    /// The checksum of PNG chunks (ISO 3309; PNG, annex D).
    fn crc(bytes: &[u8]) -> u32 {
        !bytes.iter().fold(u32::MAX, |crc, byte| {
            (0..8).fold(crc ^ u32::from(*byte), |c, _| {
                if c & 1 == 1 {
                    c >> 1 ^ 0xEDB8_8320
                } else {
                    c >> 1
                }
            })
        })
    }

    #[test]
    fn a_large_progressive_picture_is_refused_sooner() {
        let mut jpeg = written(ImageFormat::Jpeg, 16, 16);
        let frame = jpeg.windows(2).position(|w| w == [0xFF, 0xC0]).unwrap();
        // 8192 x 8192 pixels: 192 MB as they are, 704 MB with their coefficients.
        jpeg[frame + 5..frame + 9].copy_from_slice(&[0x20, 0, 0x20, 0]);
        jpeg[frame + 1] = 0xC2;
        assert_eq!(
            decode(&jpeg).unwrap_err(),
            PictureError::TooLarge {
                width: 8192,
                height: 8192
            }
        );
    }

    #[test]
    fn the_preview_stands_in_for_a_picture_that_cannot_be_decoded() {
        let block = exif(6, &written(ImageFormat::Jpeg, 32, 24));
        let mut jpeg = with_segment(&written(ImageFormat::Jpeg, 64, 48), 0xE1, &block);
        let frame = jpeg.windows(2).rposition(|w| w == [0xFF, 0xC0]).unwrap();
        jpeg[frame + 5..frame + 9].copy_from_slice(&[0x40, 0, 0x40, 0]);
        let picture = decode(&jpeg).unwrap();
        assert_eq!(
            picture.instead_of,
            Some(PictureError::TooLarge {
                width: 16384,
                height: 16384
            })
        );
        let seen = picture.upright();
        assert_eq!(seen.dimensions(), (24, 32));
        // Orientation 6: what is stored at the top left is seen at the top right.
        assert!(seen.get_pixel(20, 4)[0] > 180 && seen.get_pixel(4, 4)[2] > 180);
    }

    /// Why a HEIC file without a picture gives none: it depends on the system.
    fn undecoded() -> PictureError {
        match heif::is_there() {
            true => PictureError::Damaged("HEIC: its data cannot be read".into()),
            false => PictureError::NoDecoder("HEIC"),
        }
    }

    #[test]
    fn a_heic_file_shows_the_jpeg_inside_it() {
        let ispe = boxed(b"ispe", &[0, 0, 0, 0, 0, 0, 4, 0, 0, 0, 3, 0]);
        let jpeg = written(ImageFormat::Jpeg, 32, 24);
        // As an item of its own, a quarter anticlockwise: top left is seen at bottom left.
        let turned = [ispe.clone(), boxed(b"irot", &[1])].concat();
        let picture = decode(&heic(b"jpeg", &jpeg, &turned)).unwrap();
        assert_eq!(picture.instead_of, Some(undecoded()));
        let seen = picture.upright();
        assert_eq!(seen.dimensions(), (24, 32));
        assert!(seen.get_pixel(4, 28)[0] > 180 && seen.get_pixel(4, 4)[2] > 180);
        // As the preview of its EXIF block.
        let item = [&b"\0\0\0\x06"[..], &exif(3, &jpeg)].concat();
        let seen = decode(&heic(b"Exif", &item, &ispe)).unwrap().upright();
        assert!(seen.get_pixel(28, 20)[0] > 180 && seen.get_pixel(4, 4)[2] > 180);
    }

    #[test]
    fn only_a_profile_for_rgb_is_kept() {
        for (space, kept) in [(b"RGB ", true), (b"CMYK", false)] {
            let profile = [&[0; 16][..], space, &[0; 108]].concat();
            let body = [&b"ICC_PROFILE\0\x01\x01"[..], &profile].concat();
            let jpeg = with_segment(&written(ImageFormat::Jpeg, 16, 16), 0xE2, &body);
            assert_eq!(decode(&jpeg).unwrap().icc, kept.then_some(profile));
        }
    }

    #[test]
    fn what_is_no_picture_is_named() {
        let zip = decode(b"PK\x03\x04 and so on").unwrap_err();
        assert_eq!(zip, PictureError::NotAPhoto("a ZIP archive"));
        let heic = decode(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic").unwrap_err();
        assert_eq!(heic, undecoded());
        assert!(heic.to_string().contains("kept as it is"), "{heic}");
        for cut in [
            &b"\xff\xd8"[..],
            b"\x89PNG\r\n\x1a\n",
            b"RIFF\x04\0\0\0WEBP",
            b"II*\0\x08\0\0\0",
        ] {
            assert!(
                matches!(decode(cut), Err(PictureError::Damaged(_))),
                "{cut:?}"
            );
        }
    }
}
