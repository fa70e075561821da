//! Copies of photos that do not say where they were taken.
//!
//! Pictures are not encoded again: what is no part of the picture is left away (XMP, IPTC,
//! comments, films and further pictures behind its end), and EXIF keeps dates, camera and
//! orientation but loses its GPS directory and maker's note ([`exif`]). Formats that cannot
//! be cleaned this way are said to be so. The original stays as it is.

mod exif;

use crate::{Format, photo_facts};
use img_parts::jpeg::{Jpeg, JpegSegment, markers};
use img_parts::png::Png;
use img_parts::riff::RiffContent;
use img_parts::webp::WebP;
use img_parts::{Bytes, png, riff};

/// A copy of a photo without positions; none if its format cannot be cleaned without
/// encoding the picture again, or if the file is damaged.
#[must_use]
pub fn cleaned(bytes: &[u8]) -> Option<Vec<u8>> {
    let clean = match Format::of(bytes).ok()? {
        Format::Jpeg => jpeg(bytes)?,
        Format::Png => png_file(bytes)?,
        Format::Webp => webp(bytes)?,
        _ => return None,
    };
    // What the hub itself still finds would be a fault of the above: then it does not leave.
    let facts = photo_facts("", &clean);
    (facts.format.is_some() && facts.lat.is_none() && facts.lon.is_none()).then_some(clean)
}

const EXIF: &[u8] = b"Exif\0\0";

fn jpeg(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut file = Jpeg::from_bytes(Bytes::copy_from_slice(bytes)).ok()?;
    let segments = std::mem::take(file.segments_mut());
    for segment in segments {
        if let Some(kept) = segment_of(segment) {
            file.segments_mut().push(kept);
        }
    }
    // Two bytes begin the file; the compressed picture follows on the last segment.
    let head = 2 + file.segments().iter().map(JpegSegment::len).sum::<usize>();
    let all = file.encoder().bytes();
    let picture = scans(all.get(head..)?)?;
    Some([all.get(..head)?, &picture].concat())
}

fn segment_of(segment: JpegSegment) -> Option<JpegSegment> {
    let (marker, contents) = (segment.marker(), segment.contents());
    if segment.has_entropy() {
        return Some(segment);
    }
    match marker {
        markers::APP1 => {
            let block = contents.strip_prefix(EXIF)?;
            let clean = exif::without_places(block)?;
            Some(JpegSegment::new_with_contents(
                marker,
                [EXIF, &clean].concat().into(),
            ))
        }
        // JFIF, colour profile, and how Adobe programs stored the colours.
        markers::APP0 if contents.starts_with(b"JFIF\0") => Some(segment),
        markers::APP2 if contents.starts_with(b"ICC_PROFILE\0") => Some(segment),
        markers::APP14 if contents.starts_with(b"Adobe") => Some(segment),
        markers::APP0..=markers::APP15 | markers::COM => None,
        _ => Some(segment),
    }
}

/// The compressed picture up to its end marker, with the tables between its scans and nothing
/// else (ITU-T T.81, B.1.1).
fn scans(rest: &[u8]) -> Option<Vec<u8>> {
    let mut out = Vec::with_capacity(rest.len());
    let mut at = 0;
    loop {
        let next = rest.get(at..)?.iter().position(|b| *b == 0xFF)? + at;
        out.extend_from_slice(rest.get(at..next)?);
        let marker = *rest.get(next + 1)?;
        match marker {
            // A fill byte.
            0xFF => at = next + 1,
            // A stuffed byte or a restart.
            0x00 | 0xD0..=0xD7 => {
                out.extend_from_slice(&[0xFF, marker]);
                at = next + 2;
            }
            0xD9 => {
                out.extend_from_slice(&[0xFF, 0xD9]);
                return Some(out);
            }
            _ => {
                let (high, low) = (*rest.get(next + 2)?, *rest.get(next + 3)?);
                let end = next + 2 + usize::from(u16::from_be_bytes([high, low]));
                let is_note = (0xE0..=0xEF).contains(&marker) || marker == 0xFE;
                let whole = rest.get(next..end)?;
                if !is_note {
                    out.extend_from_slice(whole);
                }
                at = end;
            }
        }
    }
}

/// Chunks that make the picture or say how it looks (PNG, third edition, and its extensions).
const PNG: [&[u8; 4]; 18] = [
    b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"sBIT",
    b"bKGD", b"pHYs", b"cICP", b"acTL", b"fcTL", b"fdAT", b"tIME", b"hIST",
];

fn png_file(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut file = Png::from_bytes(Bytes::copy_from_slice(bytes)).ok()?;
    let chunks = std::mem::take(file.chunks_mut());
    for chunk in chunks {
        if chunk.kind() == *b"eXIf" {
            if let Some(clean) = exif::without_places(chunk.contents()) {
                file.chunks_mut()
                    .push(png::PngChunk::new(*b"eXIf", clean.into()));
            }
        } else if PNG.contains(&&chunk.kind()) {
            file.chunks_mut().push(chunk);
        }
    }
    Some(file.encoder().bytes().to_vec())
}

/// Chunks that make the picture (RFC 9649, 2.5 to 2.7).
const WEBP: [&[u8; 4]; 7] = [
    b"VP8 ", b"VP8L", b"VP8X", b"ALPH", b"ANIM", b"ANMF", b"ICCP",
];

/// The flag of a WebP header that says that there is XMP (RFC 9649, 2.7).
const HAS_XMP: u8 = 0b0000_0100;

fn webp(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut file = WebP::from_bytes(Bytes::copy_from_slice(bytes)).ok()?;
    let chunks = std::mem::take(file.chunks_mut());
    for chunk in chunks {
        let id = chunk.id();
        let data = chunk.content().data().cloned();
        let with = |data: Vec<u8>| riff::RiffChunk::new(id, RiffContent::Data(data.into()));
        match (&id, data) {
            (b"EXIF", Some(data)) => {
                // Some writers begin the block as in a JPEG.
                let block = data.strip_prefix(EXIF).unwrap_or(&data);
                if let Some(clean) = exif::without_places(block) {
                    file.chunks_mut().push(with(clean));
                }
            }
            (b"VP8X", Some(data)) => {
                let mut head = data.to_vec();
                if let Some(flags) = head.first_mut() {
                    *flags &= !HAS_XMP;
                }
                file.chunks_mut().push(with(head));
            }
            _ if WEBP.contains(&&id) => file.chunks_mut().push(chunk),
            _ => {}
        }
    }
    Some(file.encoder().bytes().to_vec())
}
