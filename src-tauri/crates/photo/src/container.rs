//! Finding size, EXIF and XMP blocks in JPEG, PNG, WebP and GIF files.
//!
//! Walks the segments or chunks once and copies nothing; every step moves forward, so
//! the time is linear in the file. Meaning is given to the blocks in `exif_block`,
//! `xmp` and `facts`; HEIF has its own walker in `isobmff`.

use super::bytes::{be16, be32, find, le16, le24, le32, piece, u8_at};
use super::facts::Problem;
use flate2::read::ZlibDecoder;
use std::borrow::Cow;
use std::io::Read;

/// More blocks than this of one kind are not looked at.
const MOST_BLOCKS: usize = 16;

/// What a container holds.
#[derive(Debug, Default)]
pub(crate) struct Found<'a> {
    /// EXIF blocks in the order of the file.
    pub exif: Vec<&'a [u8]>,
    /// XMP packets in the order of the file.
    pub xmp: Vec<&'a [u8]>,
    /// Pixels across, as stored.
    pub width: Option<u32>,
    /// Pixels down, as stored.
    pub height: Option<u32>,
    /// Marker of the first frame of a JPEG (SOF0 is 0xC0), which tells the coding.
    pub frame: Option<u8>,
    /// What is wrong with the container.
    pub problems: Vec<Problem>,
}

impl<'a> Found<'a> {
    fn problem(&mut self, code: &'static str, text: impl Into<String>) {
        self.problems.push(Problem::new(code, text));
    }

    pub(crate) fn add_exif(&mut self, block: &'a [u8]) {
        if self.exif.len() < MOST_BLOCKS {
            self.exif.push(block);
        }
    }

    pub(crate) fn add_xmp(&mut self, packet: &'a [u8]) {
        if self.xmp.len() < MOST_BLOCKS {
            self.xmp.push(packet);
        }
    }

    pub(crate) fn cut(&mut self, what: &str) {
        self.problem(
            "cut_short",
            format!("The file ends too early ({what}); it was probably cut off on the way. It is kept as it is; send the photo again from the phone if you still have it."),
        );
    }

    fn broken(&mut self, what: &str) {
        self.problem(
            "container_damaged",
            format!("The file is damaged ({what}); what follows could not be read. It is kept as it is; send the photo again if you still have it."),
        );
    }
}

/// Walks a JPEG up to the start of its picture data.
pub(crate) fn jpeg(b: &[u8]) -> Found<'_> {
    let mut f = Found::default();
    let mut at = 2;
    let mut films = false;
    loop {
        // Fill bytes before a marker are allowed.
        while u8_at(b, at) == Some(0xFF) && u8_at(b, at + 1) == Some(0xFF) {
            at += 1;
        }
        let Some(marker) = u8_at(b, at + 1) else {
            f.cut("before the picture begins");
            return f;
        };
        if u8_at(b, at) != Some(0xFF) {
            f.broken("a JPEG segment does not begin where it should");
            return f;
        }
        if matches!(marker, 0x01 | 0xD0..=0xD8) {
            at += 2;
            continue;
        }
        if marker == 0xD9 {
            f.cut("it holds no picture");
            return f;
        }
        let len = match be16(b, at + 2) {
            Some(len) if len >= 2 => usize::from(len),
            Some(_) => {
                f.broken("a JPEG segment says it is shorter than its own length");
                return f;
            }
            None => {
                f.cut("inside a JPEG segment");
                return f;
            }
        };
        let whole = piece(b, at + 4, len - 2);
        // The last segment of a cut file may still tell something.
        let body = whole.or_else(|| b.get(at + 4..)).unwrap_or_default();
        match marker {
            0xE1 => {
                if let Some(block) = body.strip_prefix(b"Exif\0") {
                    // After the name comes a padding byte.
                    f.add_exif(block.get(1..).unwrap_or_default());
                } else if let Some(packet) = body.strip_prefix(b"http://ns.adobe.com/xap/1.0/\0") {
                    f.add_xmp(packet);
                }
            }
            0xE2 if body.starts_with(b"MPF\0") => films = true,
            0xC0..=0xC3 | 0xC5..=0xC7 | 0xC9..=0xCB | 0xCD..=0xCF if f.frame.is_none() => {
                f.frame = Some(marker);
                f.height = be16(body, 1).map(u32::from);
                f.width = be16(body, 3).map(u32::from);
            }
            _ => {}
        }
        if whole.is_none() {
            f.cut("inside a JPEG segment");
            return f;
        }
        at += 2 + len;
        if marker == 0xDA {
            break;
        }
    }
    if films {
        f.problem("several_pictures", "The file holds more than one picture (MPF). The first one is shown; the file is kept whole, nothing needs doing.");
    }
    if find(b.get(at..).unwrap_or_default(), &[0xFF, 0xD9]).is_none() {
        f.cut("the end mark of the picture is missing");
    }
    f
}

/// Walks the chunks of a PNG.
pub(crate) fn png(b: &[u8]) -> Found<'_> {
    let mut f = Found::default();
    let mut at = 8;
    loop {
        let (Some(len), Some(kind)) = (be32(b, at), piece(b, at + 4, 4)) else {
            f.cut("the last PNG chunk is missing");
            return f;
        };
        if kind == b"IEND" {
            return f;
        }
        let Some(body) = piece(b, at + 8, len as usize) else {
            f.cut("inside a PNG chunk");
            return f;
        };
        match kind {
            b"IHDR" if f.width.is_none() => {
                f.width = be32(body, 0);
                f.height = be32(body, 4);
            }
            b"eXIf" => f.add_exif(body),
            b"iTXt" => {
                // Keyword, then: not compressed, method, language, translated keyword.
                if let Some(rest) = body.strip_prefix(b"XML:com.adobe.xmp\0\0") {
                    let skip = find(rest, b"\0").and_then(|a| {
                        let tail = rest.get(a + 1..)?;
                        Some(a + 1 + find(tail, b"\0")? + 1)
                    });
                    f.add_xmp(skip.and_then(|s| rest.get(s..)).unwrap_or(rest));
                }
            }
            _ => {}
        }
        at += 12 + len as usize;
    }
}

/// A PNG with nothing in it but what makes its pixels. Profiles and texts are compressed, and
/// one megabyte of them can unpack to hundreds: no decoder is to see them. What cannot be
/// walked stays as it is.
pub(crate) fn png_pixels(b: &[u8]) -> Cow<'_, [u8]> {
    let mut kept: Option<Vec<u8>> = None;
    let mut at = 8;
    while let (Some(len), Some(kind)) = (be32(b, at), piece(b, at + 4, 4)) {
        let Some(chunk) = piece(b, at, (len as usize).saturating_add(12)) else {
            break;
        };
        let pixels = matches!(kind, b"IHDR" | b"PLTE" | b"tRNS" | b"IDAT" | b"IEND");
        match (&mut kept, pixels) {
            (Some(out), true) => out.extend_from_slice(chunk),
            (None, false) => kept = Some(b.get(..at).unwrap_or_default().to_vec()),
            _ => {}
        }
        at += chunk.len();
    }
    match kept {
        None => Cow::Borrowed(b),
        Some(mut out) => {
            out.extend_from_slice(b.get(at..).unwrap_or_default());
            Cow::Owned(out)
        }
    }
}

/// The ICC profile of a PNG, unpacked no further than one that is kept may be long.
pub(crate) fn png_profile(b: &[u8]) -> Option<Vec<u8>> {
    let mut at = 8;
    loop {
        let (len, kind) = (be32(b, at)? as usize, piece(b, at + 4, 4)?);
        let body = piece(b, at + 8, len)?;
        match kind {
            b"iCCP" => {
                // PNG, third edition, 11.3.2.3: name, a zero, the method, the profile.
                let name = find(body.get(..body.len().min(80))?, b"\0")?;
                let packed = body.get(name + 2..)?;
                let mut profile = Vec::new();
                let mut unpacked = ZlibDecoder::new(packed).take(MOST_PROFILE as u64 + 1);
                unpacked.read_to_end(&mut profile).ok()?;
                return Some(profile);
            }
            b"IDAT" | b"IEND" => return None,
            _ => at += 12 + len,
        }
    }
}

/// Walks the chunks of a WebP.
pub(crate) fn webp(b: &[u8]) -> Found<'_> {
    let mut f = Found::default();
    let mut at = 12;
    while at < b.len() {
        let (Some(kind), Some(len)) = (piece(b, at, 4), le32(b, at + 4)) else {
            f.cut("inside a WebP chunk");
            break;
        };
        let body = piece(b, at + 8, len as usize);
        let head = body.or_else(|| b.get(at + 8..)).unwrap_or_default();
        match kind {
            b"VP8X" => {
                f.width = le24(head, 4).map(|n| n + 1);
                f.height = le24(head, 7).map(|n| n + 1);
            }
            b"VP8 " if f.width.is_none() => {
                // RFC 6386, 9.1: three bytes frame tag, three bytes start code.
                f.width = le16(head, 6).map(|n| u32::from(n & 0x3FFF));
                f.height = le16(head, 8).map(|n| u32::from(n & 0x3FFF));
            }
            b"VP8L" if f.width.is_none() => {
                let bits = le32(head, 1);
                f.width = bits.map(|n| (n & 0x3FFF) + 1);
                f.height = bits.map(|n| ((n >> 14) & 0x3FFF) + 1);
            }
            b"EXIF" => f.add_exif(head),
            b"XMP " => f.add_xmp(head),
            _ => {}
        }
        if body.is_none() {
            f.cut("inside a WebP chunk");
            break;
        }
        at += 8 + len as usize + (len as usize & 1);
    }
    f
}

/// Reads the size of a GIF.
pub(crate) fn gif(b: &[u8]) -> Found<'_> {
    Found {
        width: le16(b, 6).map(u32::from),
        height: le16(b, 8).map(u32::from),
        ..Found::default()
    }
}

/// The longest profile that is kept: as much as fits one JPEG segment. Those of cameras
/// and screens have some kilobytes.
const MOST_PROFILE: usize = 65_519;

/// Whether a profile is kept. ICC.1:2022, 7.2.8: the colour space of the data stands at
/// its byte 16.
pub(super) fn is_rgb_profile(profile: &[u8]) -> bool {
    profile.len() <= MOST_PROFILE && profile.get(16..20) == Some(b"RGB ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn jpeg_without_end_is_told() {
        let b = [
            &b"\xff\xd8"[..],
            b"\xff\xc0\x00\x0b\x08\x00\x10\x00\x20\x01\x01\x11\x00",
            b"\xff\xda\x00\x02",
            b"data",
        ]
        .concat();
        let f = jpeg(&b);
        assert_eq!((f.width, f.height), (Some(32), Some(16)));
        assert_eq!(f.problems[0].code, "cut_short");
    }

    #[test]
    fn no_more_than_sixteen_blocks_are_kept() {
        let mut b = b"\xff\xd8".to_vec();
        for _ in 0..40 {
            b.extend(b"\xff\xe1\x00\x08Exif\0\0");
        }
        assert_eq!(jpeg(&b).exif.len(), MOST_BLOCKS);
    }

    #[test]
    fn lossless_webp_size() {
        // RFC 9649, 7.1.1: after the signature 0x2f come 14 bits width - 1 and height - 1.
        let bits = (99_u32 | (49 << 14)).to_le_bytes();
        let b = [&b"RIFF\0\0\0\0WEBPVP8L\x05\0\0\0\x2f"[..], &bits].concat();
        assert_eq!((webp(&b).width, webp(&b).height), (Some(100), Some(50)));
    }
}
