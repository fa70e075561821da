//! Reading one EXIF block (a TIFF structure) with kamadak-exif.
//!
//! A guard walks the directories first: the library keeps every entry it meets, and a
//! crafted block of 64 kB whose pointers overlap could make it keep gigabytes. What is
//! damaged is skipped and said; what was read before and after counts. Which of the
//! tags matter is decided in `facts`.

use std::collections::HashSet;

use exif::{Exif, In, Reader, Tag, Value};

use super::bytes::{be16, be32, le16, le32};

/// No camera writes more directory entries than this.
const MOST_ENTRIES: usize = 4096;
/// Longer values, in bytes, are not read. The library keeps an object for every text in
/// a value, so that a value of the size of the file would need many times its memory.
const MOST_VALUE: u64 = 64 << 10;
/// XMP in TIFF may be longer.
const MOST_XMP: u64 = 1 << 20;
/// The tag of XMP in TIFF (XMP specification, part 3, 3.2.3).
const XMP: u16 = 700;

/// An EXIF block that was read, perhaps in part.
pub(crate) struct Block {
    exif: Exif,
    /// What the library could not read, in its words.
    pub faults: Vec<String>,
    /// Tags whose values are too long to be read.
    long: HashSet<u16>,
}

/// Position in degrees, north and east positive, or why there is none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Position {
    /// Not written.
    Absent,
    /// Usable.
    At(f64, f64),
    /// Written without hemisphere.
    NoHemisphere,
    /// A fraction with zero below, or too few numbers.
    NoNumber,
    /// No such place: degrees beyond 90 or 180.
    OffTheEarth(f64, f64),
}

impl Block {
    /// Reads a block that starts with the TIFF header; a wrong `Exif\0\0` in front of it
    /// is skipped.
    ///
    /// # Errors
    /// In the words of the reader, if nothing could be read.
    pub fn read(bytes: &[u8]) -> Result<Self, String> {
        let bytes = bytes.strip_prefix(b"Exif\0\0").unwrap_or(bytes);
        let long = guard(bytes)?;
        match Reader::new()
            .continue_on_error(true)
            .read_raw(bytes.to_vec())
        {
            Ok(exif) => Ok(Self {
                exif,
                faults: Vec::new(),
                long,
            }),
            Err(exif::Error::PartialResult(part)) => {
                let (exif, errors) = part.into_inner();
                let nothing = exif.fields().len() == 0;
                // Many writers leave no zero behind the last directory; the library then
                // takes what follows for the place of another, and nothing is lost.
                let harmless = |e: &exif::Error| {
                    use exif::Error::InvalidFormat;
                    matches!(
                        e,
                        InvalidFormat("Unexpected next IFD" | "Truncated next IFD offset")
                    )
                };
                let told = errors.iter().filter(|e| nothing || !harmless(e));
                let mut faults: Vec<String> = told.map(ToString::to_string).collect();
                faults.dedup();
                faults.truncate(3);
                if nothing {
                    return Err(faults.join("; "));
                }
                Ok(Self { exif, faults, long })
            }
            Err(other) => Err(other.to_string()),
        }
    }

    /// The value of a tag.
    fn value(&self, tag: Tag, directory: In) -> Option<&Value> {
        if self.long.contains(&tag.number()) {
            return None;
        }
        Some(&self.exif.get_field(tag, directory)?.value)
    }

    /// Text of a tag in the directory of the main picture, trimmed.
    pub fn text(&self, tag: Tag) -> Option<String> {
        let raw = match self.value(tag, In::PRIMARY)? {
            Value::Ascii(parts) => parts.first()?.as_slice(),
            Value::Byte(b) | Value::Undefined(b, _) => b.as_slice(),
            _ => return None,
        };
        let raw = raw.get(..raw.len().min(200)).unwrap_or_default();
        let raw = raw.split(|b| *b == 0).next().unwrap_or_default();
        Some(String::from_utf8_lossy(raw).trim_end().to_owned())
    }

    /// A whole number.
    pub fn number(&self, tag: Tag) -> Option<u32> {
        self.value(tag, In::PRIMARY)?.get_uint(0)
    }

    /// Bytes of a tag, as XMP in TIFF.
    pub fn bytes(&self, tag: Tag) -> Option<&[u8]> {
        match self.value(tag, In::PRIMARY)? {
            Value::Byte(b) | Value::Undefined(b, _) => Some(b),
            _ => None,
        }
    }

    /// The small JPEG that many cameras put beside the picture.
    pub fn preview(&self) -> Option<&[u8]> {
        let of = |tag| self.value(tag, In::THUMBNAIL)?.get_uint(0);
        let at = usize::try_from(of(Tag::JPEGInterchangeFormat)?).ok()?;
        let len = usize::try_from(of(Tag::JPEGInterchangeFormatLength)?).ok()?;
        let jpeg = super::bytes::piece(self.exif.buf(), at, len)?;
        jpeg.starts_with(&[0xFF, 0xD8]).then_some(jpeg)
    }

    /// Three fractions as a decimal number (degrees or hours).
    fn sixtieths(&self, tag: Tag) -> Option<f64> {
        let Value::Rational(parts) = self.value(tag, In::PRIMARY)? else {
            return None;
        };
        let parts = parts.get(..parts.len().min(3))?;
        if parts.is_empty() || parts.iter().any(|p| p.denom == 0) {
            return None;
        }
        // From the seconds up, which rounds least.
        Some(
            parts
                .iter()
                .rev()
                .fold(0.0, |sum, p| sum / 60.0 + p.to_f64()),
        )
    }

    /// Where it was taken.
    pub fn position(&self) -> Position {
        let has = |tag| self.value(tag, In::PRIMARY).is_some();
        if !has(Tag::GPSLatitude) && !has(Tag::GPSLongitude) {
            return Position::Absent;
        }
        let side = |tag, plus: char, minus: char| {
            let letter = self.text(tag)?.chars().next()?.to_ascii_uppercase();
            (letter == plus)
                .then_some(1.0)
                .or((letter == minus).then_some(-1.0))
        };
        let (Some(lat), Some(lon)) = (
            self.sixtieths(Tag::GPSLatitude),
            self.sixtieths(Tag::GPSLongitude),
        ) else {
            return Position::NoNumber;
        };
        let (Some(north), Some(east)) = (
            side(Tag::GPSLatitudeRef, 'N', 'S'),
            side(Tag::GPSLongitudeRef, 'E', 'W'),
        ) else {
            return Position::NoHemisphere;
        };
        if lat > 90.0 || lon > 180.0 {
            return Position::OffTheEarth(lat, lon);
        }
        Position::At(lat * north, lon * east)
    }

    /// Date and time (UTC) from the satellites, to the second.
    pub fn satellite_time(&self) -> Option<chrono::NaiveDateTime> {
        let day = self.text(Tag::GPSDateStamp)?;
        let seconds = self.sixtieths(Tag::GPSTimeStamp)? * 3600.0;
        let stamp = super::stamp::stamp(&format!("{day} 00:00:00")).ok()?;
        if !(0.0..86_400.0).contains(&seconds) {
            return None;
        }
        // In range, so the cast cannot lose anything but the fraction.
        #[allow(clippy::cast_possible_truncation)]
        stamp
            .local
            .checked_add_signed(chrono::TimeDelta::seconds(seconds as i64))
    }
}

/// Refuses blocks whose directories are too many or too long to be a camera's; tells the
/// tags whose values are too long.
fn guard(b: &[u8]) -> Result<HashSet<u16>, String> {
    let little = match b.get(..4) {
        Some(b"II*\0") => true,
        Some(b"MM\0*") => false,
        Some(b"II+\0" | b"MM\0+") => return Err("BigTIFF keeps no EXIF that is read here".into()),
        Some(_) => return Err("it does not start with a TIFF header".into()),
        None => return Err("it is cut off after a few bytes".into()),
    };
    let u16_at = |at| if little { le16(b, at) } else { be16(b, at) };
    let u32_at = |at| if little { le32(b, at) } else { be32(b, at) };
    let mut left = MOST_ENTRIES;
    let (mut seen, mut long) = (HashSet::new(), HashSet::new());
    let mut next: Vec<usize> = u32_at(4).map(|n| n as usize).into_iter().collect();
    while let Some(at) = next.pop() {
        if at == 0 || !seen.insert(at) {
            continue;
        }
        let Some(count) = u16_at(at) else { continue };
        for i in 0..usize::from(count) {
            let entry = at + 2 + i * 12;
            let Some(tag) = u16_at(entry) else { break };
            left = left
                .checked_sub(1)
                .ok_or_else(|| format!("it has more than {MOST_ENTRIES} entries"))?;
            let count = u64::from(u32_at(entry + 4).unwrap_or(0));
            let most = if tag == XMP { MOST_XMP } else { MOST_VALUE };
            if count * size_of_one(u16_at(entry + 2)) > most {
                long.insert(tag);
            }
            if matches!(tag, 0x8769 | 0x8825 | 0xA005) {
                next.extend(match u16_at(entry + 2) {
                    Some(1) => b.get(entry + 8).map(|n| usize::from(*n)),
                    Some(3) => u16_at(entry + 8).map(usize::from),
                    _ => u32_at(entry + 8).map(|n| n as usize),
                });
            }
        }
        next.extend(u32_at(at + 2 + usize::from(count) * 12).map(|n| n as usize));
    }
    Ok(long)
}

/// Bytes of one value by its type (TIFF 6.0, section 2).
fn size_of_one(kind: Option<u16>) -> u64 {
    match kind {
        Some(3 | 8) => 2,
        Some(4 | 9 | 11) => 4,
        Some(5 | 10 | 12) => 8,
        _ => 1,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A little-endian block with these entries in IFD0: tag, type, count, value.
    fn block(entries: &[(u16, u16, u32, u32)], tail: &[u8]) -> Vec<u8> {
        let mut b = b"II*\0\x08\0\0\0".to_vec();
        b.extend(u16::try_from(entries.len()).unwrap().to_le_bytes());
        for (tag, kind, count, value) in entries {
            b.extend(tag.to_le_bytes());
            b.extend(kind.to_le_bytes());
            b.extend(count.to_le_bytes());
            b.extend(value.to_le_bytes());
        }
        b.extend([0; 4]);
        b.extend(tail);
        b
    }

    #[test]
    fn a_block_is_read_with_and_without_the_wrong_prefix() {
        let plain = block(&[(0x0112, 3, 1, 6)], &[]);
        assert_eq!(
            Block::read(&plain).ok().unwrap().number(Tag::Orientation),
            Some(6)
        );
        let wrong = [b"Exif\0\0".as_slice(), &plain].concat();
        assert_eq!(
            Block::read(&wrong).ok().unwrap().number(Tag::Orientation),
            Some(6)
        );
    }

    #[test]
    fn a_bomb_of_overlapping_directories_is_refused() {
        // 4000 pointers, each to a place whose bytes make a directory of thousands of entries.
        let entries: Vec<_> = (0..4000_u32).map(|i| (0x8769, 4, 1, 10 + i * 12)).collect();
        let error = Block::read(&block(&entries, &[0xFF; 4000])).err().unwrap();
        assert!(error.contains("more than 4096 entries"), "{error}");
    }

    #[test]
    fn a_huge_count_costs_nothing_and_leaves_the_rest() {
        let b = block(&[(0x010F, 2, u32::MAX, 0), (0x0112, 3, 1, 3)], &[]);
        let read = Block::read(&b).ok().unwrap();
        assert_eq!(read.number(Tag::Orientation), Some(3));
        assert_eq!(read.faults.len(), 1);
    }

    #[test]
    fn a_value_as_long_as_the_file_is_not_read() {
        // 300 000 empty texts: twenty-four bytes each for the library.
        let entries = [(0x010F, 2, 300_000, 0x40), (0x0112, 3, 1, 3)];
        let read = Block::read(&block(&entries, &[0; 400_000])).ok().unwrap();
        assert_eq!(read.text(Tag::Make), None);
        assert_eq!(read.number(Tag::Orientation), Some(3));
    }

    #[test]
    fn what_follows_the_last_directory_is_no_fault() {
        let mut b = block(
            &[(0x8769, 4, 1, 26)],
            b"\x01\0\x03\x90\x02\0\x02\0\0\0x\0\0\0next",
        );
        b.extend([0; 200]);
        let read = Block::read(&b).ok().unwrap();
        assert_eq!(read.text(Tag::DateTimeOriginal).as_deref(), Some("x"));
        assert_eq!(read.faults, Vec::<String>::new());
    }

    #[test]
    fn what_is_not_tiff_is_refused_in_words() {
        for bad in [&b""[..], b"II", b"XX*\0\x08\0\0\0", b"II+\0\x08\0\0\0"] {
            assert!(Block::read(bad).is_err());
        }
    }
}
