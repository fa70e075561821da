//! Pictures that are whole, turned, too large, damaged, or none; made here byte by byte.
//!
//! Files of cameras and other programs are in the corpus: `tests/hub/tests/photo_corpus.rs`.

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
