//! Takes positions out of what leaves the site: out of entries, and out of copies of photos.
//!
//! Pictures are not encoded again: what is no part of the picture is left away (XMP, IPTC,
//! comments, films and further pictures behind its end), and EXIF keeps dates, camera and
//! orientation but loses its GPS directory and maker's note. Formats that cannot be cleaned
//! this way are said to be so, see [`super::photos`]. The originals in the store stay as they
//! are. EXIF inside is in [`super::places::exif`].

pub mod exif;

use crate::photo::{Format, photo_facts};
use img_parts::jpeg::{Jpeg, JpegSegment, markers};
use img_parts::png::Png;
use img_parts::riff::RiffContent;
use img_parts::webp::WebP;
use img_parts::{Bytes, png, riff};
use serde_json::{Map, Value};
use slowstone_logbook::Event;

/// Fields of entries that hold a position.
const FIELDS: [&str; 2] = ["lat", "lon"];

/// An entry without positions; none if it does nothing but set them.
#[must_use]
pub fn without(mut event: Event) -> Option<Event> {
    let had = !event.body.is_empty();
    strip(&mut event.body);
    let emptied = event.kind == "correction"
        && event
            .body
            .get("changes")
            .and_then(Value::as_object)
            .is_some_and(Map::is_empty);
    (!had || !emptied).then_some(event)
}

fn strip(map: &mut Map<String, Value>) {
    map.retain(|key, _| !FIELDS.contains(&key.as_str()));
    for value in map.values_mut() {
        strip_value(value);
    }
}

fn strip_value(value: &mut Value) {
    match value {
        Value::Object(map) => strip(map),
        Value::Array(list) => list.iter_mut().for_each(strip_value),
        _ => {}
    }
}

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

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn entries_lose_their_positions_and_nothing_else() {
        let event = |kind: &str, body: Value| Event {
            id: "event-0001".into(),
            site: "site-0001".into(),
            by: "Tuva".into(),
            at_ms: slowstone_curing::units::AtMs(1),
            kind: kind.into(),
            body: body.as_object().unwrap().clone(),
        };
        let site = without(event("site", json!({"name": "A", "lat": 1.0, "lon": 2.0}))).unwrap();
        assert_eq!(Value::Object(site.body), json!({"name": "A"}));
        let deep = without(event("new", json!({"list": [{"lat": 1, "keep": 2}]}))).unwrap();
        assert_eq!(Value::Object(deep.body), json!({"list": [{"keep": 2}]}));
        let both = json!({"target": "site-0001", "changes": {"lat": 1.0, "name": "B"}});
        let both = without(event("correction", both)).unwrap();
        assert_eq!(both.body.get("changes"), Some(&json!({"name": "B"})));
        let only = json!({"target": "site-0001", "changes": {"lat": 1.0}});
        assert_eq!(without(event("correction", only)), None);
    }
}
