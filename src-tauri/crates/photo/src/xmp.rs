//! Dates out of an XMP packet, as a second source beside EXIF.
//!
//! Looks for the few properties that matter by their usual names, written as an attribute or
//! as an element (XMP specification part 1, 7.9.2). Packets in UTF-16 are not read. What
//! stands before a place that is no XML counts; a property that is not found is simply absent.

use super::stamp::{Stamp, stamp};
use quick_xml::events::{BytesStart, Event};
use quick_xml::{Reader, XmlVersion};

/// Packets are a few kilobytes; more than this is not searched.
const MOST: usize = 1 << 20;

/// By how sure they are: the first that is there and can be read counts.
const DATES: [&str; 4] = [
    "exif:DateTimeOriginal",
    "photoshop:DateCreated",
    "exif:DateTimeDigitized",
    "xmp:CreateDate",
];
/// Each is 1 where the file also holds a short film.
const FILMS: [&str; 3] = [
    "GCamera:MotionPhoto",
    "GCamera:MicroVideo",
    "Camera:MotionPhoto",
];

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
    let found = properties(&String::from_utf8_lossy(packet));
    let of = |name: &'static str| {
        let named = found.iter().filter(move |(known, _)| *known == name);
        named.map(|(_, text)| text.as_str())
    };
    let taken = DATES
        .into_iter()
        .find_map(|name| of(name).find_map(|text| Some((stamp(text).ok()?, name))));
    Xmp {
        taken,
        motion: FILMS
            .into_iter()
            .any(|name| of(name).any(|text| text == "1")),
    }
}

/// The properties that matter with their texts, in the order in which they stand.
fn properties(packet: &str) -> Vec<(&'static str, String)> {
    let mut reader = Reader::from_str(packet);
    // Half a packet is read as far as it goes.
    reader.config_mut().check_end_names = false;
    reader.config_mut().allow_unmatched_ends = true;
    let mut found = Vec::new();
    let mut open: Option<(&'static str, String)> = None;
    loop {
        match reader.read_event() {
            Ok(Event::Start(element)) => {
                found.extend(attributes(&element));
                open = known(element.name().0).map(|name| (name, String::new()));
            }
            Ok(Event::Empty(element)) => found.extend(attributes(&element)),
            Ok(Event::Text(text)) => {
                if let Some((_, into)) = &mut open {
                    into.push_str(&text.xml10_content());
                }
            }
            Ok(Event::End(_)) => {
                let closed = open.take();
                found.extend(closed.map(|(name, text)| (name, text.trim().to_owned())));
            }
            Ok(Event::Eof) | Err(_) => return found,
            Ok(_) => {}
        }
    }
}

fn attributes(element: &BytesStart<'_>) -> Vec<(&'static str, String)> {
    let mut all = element.attributes();
    let read = all.with_checks(false).flatten().filter_map(|attribute| {
        let name = known(attribute.key.0)?;
        let text = attribute.normalized_value(XmlVersion::Implicit1_0).ok()?;
        Some((name, text.trim().to_owned()))
    });
    read.collect()
}

fn known(name: &str) -> Option<&'static str> {
    let mut all = DATES.into_iter().chain(FILMS);
    all.find(|known| *known == name)
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

    /// XML 1.0 (fifth edition), 2.5 and 4.1: a comment is no data, a reference stands for a
    /// letter.
    #[test]
    fn comments_are_passed_over_and_references_read() {
        let x = read(b"<!-- <xmp:CreateDate>2012-12-31T04:35:10Z</xmp:CreateDate> --><a/>");
        assert_eq!(x.taken, None);
        let x = read(br#"<a xmp:CreateDate="2012-12-31T04&#58;35:10Z"/>"#);
        assert_eq!(x.taken.unwrap().1, "xmp:CreateDate");
        let x = read(br#"<a title="exif:DateTimeOriginal='2001-01-01T00:00:00Z'" xmp:CreateDate="2012-12-31T04:35:10Z"/>"#);
        assert_eq!(x.taken.unwrap().1, "xmp:CreateDate");
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
