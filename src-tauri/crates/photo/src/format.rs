//! Which kind of file it is, told by its first bytes and never by its name.
//!
//! People rename files, and sharing apps send PNG as .jpg. What is not a photo is
//! named as far as it can be, so that the answer can say what to send instead.

use serde::Serialize;

use super::bytes::piece;

/// A kind of picture file that is kept in the log.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Format {
    /// JPEG (ISO/IEC 10918-1).
    Jpeg,
    /// PNG.
    Png,
    /// WebP in a RIFF container.
    Webp,
    /// TIFF or BigTIFF.
    Tiff,
    /// HEIF with HEVC pictures, as many phones write.
    Heic,
    /// HEIF with another coding.
    Heif,
    /// HEIF with AV1 pictures.
    Avif,
    /// GIF: it can be kept, but carries no date.
    Gif,
}

impl Format {
    /// The word used in the log and in answers.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Jpeg => "jpeg",
            Self::Png => "png",
            Self::Webp => "webp",
            Self::Tiff => "tiff",
            Self::Heic => "heic",
            Self::Heif => "heif",
            Self::Avif => "avif",
            Self::Gif => "gif",
        }
    }

    /// The media type for HTTP.
    #[must_use]
    pub const fn mime(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
            Self::Webp => "image/webp",
            Self::Tiff => "image/tiff",
            Self::Heic => "image/heic",
            Self::Heif => "image/heif",
            Self::Avif => "image/avif",
            Self::Gif => "image/gif",
        }
    }

    /// The name of a format whose pixels only a program of the system gives.
    pub(super) const fn by_the_system(self) -> Option<&'static str> {
        match self {
            Self::Heic => Some("HEIC"),
            Self::Heif => Some("HEIF"),
            Self::Avif => Some("AVIF"),
            _ => None,
        }
    }

    /// The format of `bytes`, or what the file is instead.
    ///
    /// # Errors
    /// Words for a file that is no photo, e.g. `a ZIP archive`.
    pub fn of(bytes: &[u8]) -> Result<Self, &'static str> {
        let starts = |m: &[u8]| bytes.starts_with(m);
        if bytes.is_empty() {
            return Err("an empty file");
        }
        if starts(&[0xFF, 0xD8]) {
            return Ok(Self::Jpeg);
        }
        if starts(b"\x89PNG\r\n\x1a\n") {
            return Ok(Self::Png);
        }
        if starts(b"RIFF") {
            return match piece(bytes, 8, 4) {
                Some(b"WEBP") => Ok(Self::Webp),
                Some(b"WAVE") => Err("a sound recording"),
                _ => Err("a film or another RIFF file"),
            };
        }
        if starts(b"II*\0") || starts(b"MM\0*") || starts(b"II+\0") || starts(b"MM\0+") {
            return Ok(Self::Tiff);
        }
        if starts(b"GIF87a") || starts(b"GIF89a") {
            return Ok(Self::Gif);
        }
        if piece(bytes, 4, 4) == Some(b"ftyp") {
            return brand(bytes);
        }
        Err(other(bytes))
    }
}

/// The kind of an ISO media file by its brands.
fn brand(bytes: &[u8]) -> Result<Format, &'static str> {
    let len = super::bytes::be32(bytes, 0).map_or(0, |n| n as usize);
    // Brands: one main brand, a version, then compatible brands; 64 are plenty.
    let end = len.clamp(16, 16 + 64 * 4).min(bytes.len());
    let all = bytes.get(8..end).unwrap_or_default();
    let brands: Vec<&[u8]> = all.chunks_exact(4).collect();
    let any = |names: &[&[u8; 4]]| {
        brands
            .iter()
            .any(|b| names.iter().any(|n| b == &n.as_slice()))
    };
    let main = brands.first().copied().unwrap_or_default();
    match main {
        b"avif" | b"avis" => return Ok(Format::Avif),
        b"heic" | b"heix" | b"heim" | b"heis" | b"hevc" | b"hevx" => return Ok(Format::Heic),
        b"qt  " => return Err("a film (MOV)"),
        _ => {}
    }
    if any(&[b"avif", b"avis"]) {
        Ok(Format::Avif)
    } else if any(&[b"heic", b"heix"]) {
        Ok(Format::Heic)
    } else if any(&[b"mif1", b"msf1"]) {
        Ok(Format::Heif)
    } else {
        Err("a film (MP4)")
    }
}

/// Words for a file that is no photo.
fn other(bytes: &[u8]) -> &'static str {
    let known: [(&[u8], &str); 9] = [
        (b"PK\x03\x04", "a ZIP archive"),
        (b"PK\x05\x06", "an empty ZIP archive"),
        (b"%PDF", "a PDF document"),
        (b"BM", "a BMP picture"),
        (b"\x1f\x8b", "a compressed archive"),
        (b"SQLite format 3", "a database"),
        (b"\x7fELF", "a program"),
        (b"\x1aE\xdf\xa3", "a film (Matroska or WebM)"),
        (b"8BPS", "a layered Photoshop picture"),
    ];
    if let Some((_, words)) = known.iter().find(|(magic, _)| bytes.starts_with(magic)) {
        return words;
    }
    let head = bytes.get(..bytes.len().min(512)).unwrap_or_default();
    let texty = |b: &u8| matches!(b, 9 | 10 | 13 | 32..=126 | 128..=255);
    if head.iter().all(texty)
        && std::str::from_utf8(head).map_or_else(|e| e.valid_up_to() + 4 > head.len(), |_| true)
    {
        return "a text file";
    }
    if head.iter().all(|b| *b == 0) {
        return "a file of zeros, as a broken transfer leaves it";
    }
    "a file of an unknown kind"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn first_bytes_decide() {
        assert_eq!(Format::of(b"\xff\xd8\xff\xe0"), Ok(Format::Jpeg));
        assert_eq!(Format::of(b"RIFF\0\0\0\0WEBPVP8 "), Ok(Format::Webp));
        assert_eq!(Format::of(b"MM\0*\0\0\0\x08"), Ok(Format::Tiff));
        assert_eq!(
            Format::of(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"),
            Ok(Format::Heic)
        );
        assert_eq!(
            Format::of(b"\0\0\0\x18ftypmif1\0\0\0\0mif1avif"),
            Ok(Format::Avif)
        );
        assert_eq!(Format::of(b"GIF89a"), Ok(Format::Gif));
    }

    #[test]
    fn what_is_no_photo_is_named() {
        assert_eq!(Format::of(b""), Err("an empty file"));
        assert_eq!(Format::of(b"PK\x03\x04rest"), Err("a ZIP archive"));
        assert_eq!(Format::of(b"hello, this is text\n"), Err("a text file"));
        assert_eq!(Format::of("caf\u{e9}".as_bytes()), Err("a text file"));
        assert_eq!(
            Format::of(b"\0\0\0\x18ftypisom\0\0\0\0isommp42"),
            Err("a film (MP4)")
        );
        assert_eq!(
            Format::of(&[0; 40]),
            Err("a file of zeros, as a broken transfer leaves it")
        );
        assert_eq!(
            Format::of(&[1, 2, 3, 0xFF]),
            Err("a file of an unknown kind")
        );
    }
}
