//! Pictures for tests: small JPEG files with the EXIF that a test wants.
//!
//! The EXIF block is put together by hand after TIFF 6.0 and EXIF 2.32, so that the
//! reader is not tested with its own writer.

use image::{ImageBuffer, ImageFormat, Rgb};
use std::io::Cursor;

/// A JPEG of `wide` by `high` pixels without EXIF: red at the top, blue at the bottom.
pub fn jpeg(wide: u32, high: u32, seed: u8) -> Vec<u8> {
    let picture = ImageBuffer::from_fn(wide, high, |x, y| {
        if y < high / 2 {
            Rgb([220, 20, (x % 7) as u8 + seed])
        } else {
            Rgb([20, 20, 220])
        }
    });
    let mut out = Cursor::new(Vec::new());
    picture.write_to(&mut out, ImageFormat::Jpeg).unwrap();
    out.into_inner()
}

/// Adds `DateTimeOriginal`, if given its offset, and an orientation.
pub fn with_exif(jpeg: &[u8], date: &str, offset: Option<&str>, orientation: u16) -> Vec<u8> {
    let mut tiff = b"MM\0*\0\0\0\x08".to_vec();
    let put = |tiff: &mut Vec<u8>, tag: u16, kind: u16, count: u32, value: [u8; 4]| {
        tiff.extend(tag.to_be_bytes());
        tiff.extend(kind.to_be_bytes());
        tiff.extend(count.to_be_bytes());
        tiff.extend(value);
    };
    let exif_at = 8 + 2 + 2 * 12 + 4;
    tiff.extend(2u16.to_be_bytes());
    let [a, b] = orientation.to_be_bytes();
    put(&mut tiff, 0x0112, 3, 1, [a, b, 0, 0]);
    put(&mut tiff, 0x8769, 4, 1, (exif_at as u32).to_be_bytes());
    tiff.extend(0u32.to_be_bytes());
    let fields = 1 + u16::from(offset.is_some());
    let data_at = exif_at as u32 + 2 + 12 * u32::from(fields) + 4;
    tiff.extend(fields.to_be_bytes());
    put(&mut tiff, 0x9003, 2, 20, data_at.to_be_bytes());
    if offset.is_some() {
        put(&mut tiff, 0x9011, 2, 7, (data_at + 20).to_be_bytes());
    }
    tiff.extend(0u32.to_be_bytes());
    assert_eq!(date.len(), 19);
    tiff.extend(date.bytes().chain([0]));
    if let Some(offset) = offset {
        tiff.extend(offset.bytes().chain([0]));
    }
    let mut out = vec![0xFF, 0xD8, 0xFF, 0xE1];
    out.extend((tiff.len() as u16 + 8).to_be_bytes());
    out.extend(b"Exif\0\0");
    out.extend(tiff);
    out.extend(&jpeg[2..]);
    out
}
