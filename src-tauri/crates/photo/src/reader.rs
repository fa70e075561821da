//! Reads what a photo file says about itself.
//!
//! EXIF counts first, XMP second. Nothing is guessed: a date that no calendar has, a position
//! without hemisphere or a turn that does not exist is left out and said. Which date counts
//! is decided in `dates`.

use super::bounds::limits;
use super::container::{self, Found};
use super::exif_block::{Block, Position};
use super::facts::{PhotoFacts, Problem};
use super::format::Format;
use super::{dates, isobmff, xmp};
use exif::Tag;
use image::{ImageFormat, ImageReader};
use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Reads the facts of a file. Answers for any bytes whatever: what cannot be read is
/// `None`, with the reason under `problems`.
///
/// # Examples
/// ```
/// let facts = slowstone_photo::photo_facts("list.jpg", b"two bags of cement\n");
/// assert!(facts.format.is_none());
/// assert!(facts.problems[0].text.contains("a text file"));
/// ```
#[must_use]
pub fn photo_facts(name: &str, bytes: &[u8]) -> PhotoFacts {
    // The readers are checked not to panic; should one do so all the same, the photo is
    // still kept and only its facts are missing.
    catch_unwind(AssertUnwindSafe(|| read(name, bytes))).unwrap_or_else(|_| PhotoFacts {
        file: name.to_owned(),
        format: Format::of(bytes).ok(),
        problems: vec![Problem::new(
            "reader_failed",
            "The program failed while reading this file, which is our fault. The photo is kept; set its time and step by hand, and please report the file.",
        )],
        ..PhotoFacts::default()
    })
}

fn read(name: &str, bytes: &[u8]) -> PhotoFacts {
    let mut facts = PhotoFacts {
        file: name.to_owned(),
        ..PhotoFacts::default()
    };
    let format = match Format::of(bytes) {
        Ok(format) => format,
        Err(what) => {
            facts.say("not_a_photo", format!("This is {what}, not a photo (JPEG, HEIC, PNG, WebP, TIFF or AVIF). Nothing could be read from it; send the photo itself."));
            return facts;
        }
    };
    facts.format = Some(format);
    name_fits(&mut facts, name, format);
    let found = match format {
        Format::Jpeg => container::jpeg(bytes),
        Format::Png => container::png(bytes),
        Format::Webp => container::webp(bytes),
        Format::Gif => container::gif(bytes),
        Format::Tiff => Found {
            exif: vec![bytes],
            ..Found::default()
        },
        Format::Heic | Format::Heif | Format::Avif => isobmff::heif(bytes),
    };
    (facts.width, facts.height) = (found.width, found.height);
    facts.problems.extend(found.problems.iter().cloned());
    let block = exif_of(&mut facts, &found.exif);
    if format == Format::Tiff {
        let of = |tag| block.as_ref().and_then(|b| b.number(tag));
        let size = of(Tag::ImageWidth)
            .zip(of(Tag::ImageLength))
            .or_else(|| tiff_size(bytes));
        (facts.width, facts.height) = size.unzip();
    }
    size_fits(&mut facts);
    let mut told = xmp::Xmp::default();
    let in_tiff = block
        .as_ref()
        .and_then(|b| b.bytes(Tag(exif::Context::Tiff, 700)));
    for packet in found.xmp.iter().copied().chain(in_tiff) {
        let one = xmp::read(packet);
        told.taken = told.taken.or(one.taken);
        told.motion |= one.motion;
    }
    if told.motion {
        facts.say("motion_photo", "The file also holds a short film behind the picture. Only the picture is shown; the file is kept whole, nothing needs doing.");
    }
    dates::choose(&mut facts, block.as_ref(), told.taken);
    if let Some(block) = &block {
        camera(&mut facts, block);
        position(&mut facts, block);
    }
    facts
}

/// The name's ending against the bytes.
fn name_fits(facts: &mut PhotoFacts, name: &str, format: Format) {
    let ending = name.rsplit_once('.').map(|(_, e)| e.to_ascii_lowercase());
    let fits = match ending.as_deref() {
        Some("jpg" | "jpeg" | "jpe" | "jfif") => format == Format::Jpeg,
        Some("png") => format == Format::Png,
        Some("webp") => format == Format::Webp,
        Some("gif") => format == Format::Gif,
        Some("heic" | "heif" | "hif") => matches!(format, Format::Heic | Format::Heif),
        Some("avif") => format == Format::Avif,
        _ => true,
    };
    if !fits {
        let ending = ending.unwrap_or_default();
        facts.say("wrong_name", format!("The name ends in .{ending} but the file is {}. It was read as what it is; nothing needs doing.", format.code()));
    }
}

/// Sizes of zero are no sizes.
fn size_fits(facts: &mut PhotoFacts) {
    if facts.width == Some(0) || facts.height == Some(0) {
        facts.width = facts.width.filter(|n| *n > 0);
        facts.height = facts.height.filter(|n| *n > 0);
        facts.say("size_unknown", "The file gives a width or height of zero, so its size is not known before it is opened. It is kept as it is.");
    }
}

/// The first EXIF block that can be read.
fn exif_of(facts: &mut PhotoFacts, blocks: &[&[u8]]) -> Option<Block> {
    if blocks.len() > 1 {
        facts.say("several_exif", format!("The file holds {} EXIF blocks, as after careless editing. The first readable one is used; check the date.", blocks.len()));
    }
    let mut why = None;
    for bytes in blocks {
        if bytes.starts_with(b"Exif\0\0") {
            facts.say("exif_prefix", "The EXIF block starts with a name that does not belong there; it was skipped and the block read. Nothing needs doing.");
        }
        match Block::read(bytes) {
            Ok(block) => {
                if !block.faults.is_empty() {
                    facts.say("exif_damaged", format!("Part of the EXIF block is damaged ({}). What could be read is used; check the date.", block.faults.join("; ")));
                }
                return Some(block);
            }
            Err(e) => why = why.or(Some(e)),
        }
    }
    if let Some(why) = why {
        facts.say("exif_unreadable", format!("The EXIF block, which holds date and camera, cannot be read: {why}. Set the time by hand if it matters."));
    }
    None
}

fn camera(facts: &mut PhotoFacts, block: &Block) {
    facts.make = block.text(Tag::Make).filter(|t| !t.is_empty());
    facts.model = block.text(Tag::Model).filter(|t| !t.is_empty());
    match block.number(Tag::Orientation).map(u8::try_from) {
        Some(Ok(n @ 1..=8)) => facts.orientation = Some(n),
        Some(_) => facts.say("orientation_bad", "The orientation is none of the eight that exist; the picture is shown as stored. Turn it by hand if it lies on its side."),
        None => {}
    }
}

fn position(facts: &mut PhotoFacts, block: &Block) {
    match block.position() {
        Position::At(lat, lon) => (facts.lat, facts.lon) = (Some(lat), Some(lon)),
        Position::Absent => {}
        Position::NoHemisphere => facts.say("gps_no_hemisphere", "The position does not say north or south, east or west; it was left out, because a guess may be off by half the Earth. Nothing needs doing."),
        Position::NoNumber => facts.say("gps_no_number", "The position is incomplete or divides by zero; it was left out. Nothing needs doing."),
        Position::OffTheEarth(lat, lon) => facts.say("gps_out_of_range", format!("The position ({lat:.3}, {lon:.3}) lies beyond 90 or 180 degrees; it was left out. Nothing needs doing.")),
    }
}

/// The size of a TIFF whose directory the EXIF reader does not understand, as in BigTIFF.
fn tiff_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let mut reader = ImageReader::with_format(Cursor::new(bytes), ImageFormat::Tiff);
    reader.limits(limits());
    reader.into_dimensions().ok()
}
