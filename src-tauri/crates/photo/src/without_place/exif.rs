//! Takes the GPS directory and the maker's note out of an EXIF block in place, so that every
//! other offset in it stays right.
//!
//! The values are overwritten with zeros and their entries taken out of their directories
//! (TIFF 6.0, section 2; Exif 3.0, 4.6). A block that cannot be followed is not kept at all.

/// Pointer to the GPS directory.
const GPS: u16 = 0x8825;
/// Pointer to the EXIF directory.
const EXIF: u16 = 0x8769;
/// What else may hold a place: maker's note, XMP, IPTC, Photoshop's resources.
const OTHERS: [u16; 4] = [0x927C, 0x02BC, 0x83BB, 0x8649];
/// Bytes of each type of value, by its code (TIFF 6.0, section 2; 13 is a directory).
const SIZES: [usize; 14] = [0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8, 4];
/// Directories that are followed at most.
const MOST: usize = 16;

/// The block without places; none if it cannot be followed.
#[must_use]
pub fn without_places(block: &[u8]) -> Option<Vec<u8>> {
    let little = match block.get(..4)? {
        [b'I', b'I', 42, 0] => true,
        [b'M', b'M', 0, 42] => false,
        _ => return None,
    };
    let mut tiff = Tiff {
        bytes: block.to_vec(),
        little,
    };
    let mut next = vec![tiff.offset(4)?];
    let mut done = Vec::new();
    while let Some(at) = next.pop() {
        if at == 0 || done.contains(&at) {
            continue;
        }
        if done.len() >= MOST {
            return None;
        }
        done.push(at);
        next.extend(tiff.directory(at)?);
    }
    Some(tiff.bytes)
}

struct Tiff {
    bytes: Vec<u8>,
    little: bool,
}

impl Tiff {
    fn short(&self, at: usize) -> Option<u16> {
        let two = self.bytes.get(at..at.checked_add(2)?)?.try_into().ok()?;
        Some(if self.little {
            u16::from_le_bytes(two)
        } else {
            u16::from_be_bytes(two)
        })
    }

    fn offset(&self, at: usize) -> Option<usize> {
        let four = self.bytes.get(at..at.checked_add(4)?)?.try_into().ok()?;
        let n = if self.little {
            u32::from_le_bytes(four)
        } else {
            u32::from_be_bytes(four)
        };
        usize::try_from(n).ok()
    }

    fn zero(&mut self, from: usize, len: usize) -> Option<()> {
        self.bytes.get_mut(from..from.checked_add(len)?)?.fill(0);
        Some(())
    }

    /// Where the value of an entry stands and how long it is.
    fn value(&self, entry: usize) -> Option<(usize, usize)> {
        let size = SIZES.get(usize::from(self.short(entry + 2)?)).copied()?;
        let len = self.offset(entry + 4)?.checked_mul(size)?;
        let at = if len <= 4 {
            entry + 8
        } else {
            self.offset(entry + 8)?
        };
        Some((at, len))
    }

    /// Takes places out of the directory at `at`; gives the directories that it leads to.
    fn directory(&mut self, at: usize) -> Option<Vec<usize>> {
        let count = usize::from(self.short(at)?);
        let mut more = Vec::new();
        let mut kept = Vec::new();
        for n in 0..count {
            let entry = at + 2 + n * 12;
            let twelve = self.bytes.get(entry..entry + 12)?.to_vec();
            match self.short(entry)? {
                GPS => self.wipe(self.offset(entry + 8)?)?,
                tag if OTHERS.contains(&tag) => {
                    let (from, len) = self.value(entry)?;
                    self.zero(from, len)?;
                }
                tag => {
                    if tag == EXIF {
                        more.push(self.offset(entry + 8)?);
                    }
                    kept.push(twelve);
                }
            }
        }
        let after = at + 2 + count * 12;
        // Some writers leave the pointer to the next directory away at the very end.
        let link = self.bytes.get(after..after + 4).map(<[u8]>::to_vec);
        if link.is_some() {
            more.push(self.offset(after)?);
        }
        if kept.len() < count {
            let left = u16::try_from(kept.len()).ok()?;
            let head = if self.little {
                left.to_le_bytes()
            } else {
                left.to_be_bytes()
            };
            let mut whole = head.to_vec();
            whole.extend(kept.concat());
            whole.extend(link.unwrap_or_else(|| vec![0; 4]));
            let room = (after + 4).min(self.bytes.len()).checked_sub(at)?;
            self.zero(at, room)?;
            self.bytes
                .get_mut(at..at + whole.len())?
                .copy_from_slice(&whole);
        }
        Some(more)
    }

    /// Overwrites a whole directory with zeros, with the values that it points to.
    fn wipe(&mut self, at: usize) -> Option<()> {
        let count = usize::from(self.short(at)?);
        for n in 0..count {
            let (from, len) = self.value(at + 2 + n * 12)?;
            self.zero(from, len)?;
        }
        self.zero(at, 2 + count * 12)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Little-endian: orientation 6 and a GPS directory with one latitude (three rationals).
    fn block() -> Vec<u8> {
        let mut b = b"II\x2a\0\x08\0\0\0".to_vec();
        b.extend([2, 0]);
        b.extend([0x12, 0x01, 3, 0, 1, 0, 0, 0, 6, 0, 0, 0]);
        b.extend([0x25, 0x88, 4, 0, 1, 0, 0, 0, 38, 0, 0, 0]);
        b.extend([0; 4]);
        b.extend([1, 0, 2, 0, 5, 0, 3, 0, 0, 0, 56, 0, 0, 0, 0, 0, 0, 0]);
        b.extend([59, 0, 0, 0, 1, 0, 0, 0].repeat(3));
        b
    }

    #[test]
    fn the_directory_goes_and_the_rest_stays() {
        let clean = without_places(&block()).unwrap();
        assert_eq!(clean.len(), block().len());
        assert!(clean[38..].iter().all(|b| *b == 0), "{clean:?}");
        let read = exif::Reader::new().read_raw(clean).unwrap();
        assert_eq!(read.fields().count(), 1);
        let turned = read
            .get_field(exif::Tag::Orientation, exif::In::PRIMARY)
            .unwrap();
        assert_eq!(turned.value.get_uint(0), Some(6));
    }

    #[test]
    fn what_cannot_be_followed_is_not_kept() {
        assert_eq!(without_places(b""), None);
        assert_eq!(without_places(b"II\x2a\0\xff\xff\xff\xff"), None);
        for cut in 0..block().len() {
            // Must end, and must not give more than it was given.
            if let Some(clean) = without_places(&block()[..cut]) {
                assert_eq!(clean.len(), cut);
            }
        }
    }
}
