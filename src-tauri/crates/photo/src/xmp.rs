//! Dates out of an XMP packet, as a second source beside EXIF.
//!
//! Looks for the few properties that matter by their usual names, written as an
//! attribute or as an element; it is no XML parser, follows no entities and reads no
//! UTF-16. A property it does not find is simply absent.

use super::bytes::find;
use super::stamp::{Stamp, stamp};

/// Packets are a few kilobytes; more than this is not searched.
const MOST: usize = 1 << 20;

/// What XMP tells.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Xmp {
    /// When the picture was taken, with the property that says so.
    pub taken: Option<(Stamp, &'static str)>,
    /// The file also holds a short film.
    pub motion: bool,
}

/// Reads a packet.
pub(crate) fn read(packet: &[u8]) -> Xmp {
    let packet = packet.get(..packet.len().min(MOST)).unwrap_or_default();
    let names = [
        "exif:DateTimeOriginal",
        "photoshop:DateCreated",
        "exif:DateTimeDigitized",
        "xmp:CreateDate",
    ];
    let taken = names.into_iter().find_map(|name| {
        let text = property(packet, name)?;
        Some((stamp(text).ok()?, name))
    });
    let on = |name| property(packet, name) == Some("1");
    Xmp {
        taken,
        motion: on("GCamera:MotionPhoto") || on("GCamera:MicroVideo") || on("Camera:MotionPhoto"),
    }
}

/// The text of a simple property.
fn property<'a>(packet: &'a [u8], name: &str) -> Option<&'a str> {
    let mut rest = packet;
    while let Some(at) = find(rest, name.as_bytes()) {
        let after = rest.get(at + name.len()..)?;
        if let Some(text) = value(after) {
            return Some(text);
        }
        rest = after;
    }
    None
}

/// The value right after a property's name: `="..."`, `='...'` or `>...<`.
fn value(after: &[u8]) -> Option<&str> {
    let skip = after.iter().position(|b| !b.is_ascii_whitespace())?;
    let (first, rest) = after.get(skip..)?.split_first()?;
    let (close, body) = match first {
        b'>' => (b'<', rest),
        b'=' => {
            let quote = rest.iter().position(|b| !b.is_ascii_whitespace())?;
            let (q, body) = rest.get(quote..)?.split_first()?;
            if !matches!(q, b'"' | b'\'') {
                return None;
            }
            (*q, body)
        }
        _ => return None,
    };
    // No date is longer than this.
    let body = body.get(..body.len().min(80))?;
    let end = body.iter().position(|b| *b == close)?;
    std::str::from_utf8(body.get(..end)?).ok().map(str::trim)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn attribute_and_element() {
        let x = read(br#"<rdf:Description exif:DateTimeOriginal = "2024-05-03T07:12:00+02:00"/>"#);
        let (s, name) = x.taken.unwrap();
        assert_eq!((s.offset_min, name), (Some(120), "exif:DateTimeOriginal"));
        let x = read(b"<xmp:CreateDate>2012-12-31T04:35:10Z</xmp:CreateDate>");
        assert_eq!(x.taken.unwrap().1, "xmp:CreateDate");
    }

    #[test]
    fn a_bad_date_leaves_room_for_the_next() {
        let x = read(b"<exif:DateTimeOriginal>soon</exif:DateTimeOriginal><xmp:CreateDate>2012-12-31T04:35:10Z</xmp:CreateDate>");
        assert_eq!(x.taken.unwrap().1, "xmp:CreateDate");
    }

    #[test]
    fn a_motion_photo_is_told() {
        assert!(read(br#"<a GCamera:MicroVideo="1"/>"#).motion);
        assert!(!read(br#"<a GCamera:MicroVideo="0"/>"#).motion);
    }

    #[test]
    fn no_end_no_value() {
        for packet in [
            &b"exif:DateTimeOriginal"[..],
            b"exif:DateTimeOriginal=\"2024",
            b"exif:DateTimeOriginal=",
        ] {
            assert_eq!(read(packet).taken, None);
        }
    }
}
