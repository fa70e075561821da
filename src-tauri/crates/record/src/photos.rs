//! The photos of a site as a zip, named by step, pour, stage and time of day, written as it is
//! sent: one photo is in memory at a time, however many there are.
//!
//! Positions are taken out unless they are wanted ([`without_place`]). A photo that cannot be
//! cleaned as it is becomes a JPEG of its picture alone, and one that cannot be read is left
//! out; `read-me.txt` at the end says which. Pictures do not shrink, so nothing is compressed.

use super::names::{self, Taken};
use super::ways::Ways;
use super::{Gathered, Originals};
use slowstone_logbook::facts::{Photo, Step};
use slowstone_logbook::view::{PourView, Rec};
use slowstone_photo::{Format, thumbs, without_place};
use std::fmt::Write as _;
use std::io::{self, Write};
use zip::write::{SimpleFileOptions, ZipWriter};

/// Longer side of a picture that is encoded again, pixels.
const SIDE: u32 = 6000;

/// A photo that goes into the zip.
#[derive(Clone, Debug)]
pub struct Named {
    /// Its name without the ending.
    pub stem: String,
    /// Hash of the original.
    pub hash: String,
    /// Name of the file as it came.
    pub came_as: String,
}

/// Every photo of a site that was not taken back, or those that are named, with its name.
#[must_use]
pub fn list(of: &Gathered, only: Option<&[String]>, ways: &Ways) -> Vec<Named> {
    let wanted = |photo: &&Rec<Photo>| only.is_none_or(|ids| ids.contains(&photo.id));
    let mut out = Vec::new();
    for view in &of.pours {
        for photo in view.photos.iter().filter(wanted) {
            out.push(named(photo, Some((view, of)), ways));
        }
    }
    for step in &of.site.steps {
        for photo in step.photos.iter().filter(wanted) {
            let mut found = named(photo, None, ways);
            let place = step_piece(&step.step.fact, of);
            found.stem = format!("{place}_{}", found.stem.replacen("no-pour-", "", 1));
            out.push(found);
        }
    }
    let mut loose: Vec<&Rec<Photo>> = of.site.loose_photos.iter().filter(wanted).collect();
    loose.sort_by_key(|p| p.fact.taken_ms);
    out.extend(loose.into_iter().map(|p| named(p, None, ways)));
    out
}

fn named(photo: &Rec<Photo>, of: Option<(&PourView, &Gathered)>, ways: &Ways) -> Named {
    let fact = &photo.fact;
    let mut parts = match of {
        Some((view, all)) => vec![
            piece(view, all),
            format!("pour-{}", ways.day(view.pour.fact.started_ms)),
        ],
        None => vec![format!("no-pour-{}", ways.day(fact.taken_ms))],
    };
    parts.push(names::part(&fact.stage));
    // Photos of other days say which one.
    let same_day =
        of.is_none_or(|(view, _)| ways.day(view.pour.fact.started_ms) == ways.day(fact.taken_ms));
    parts.push(ways.time(
        fact.taken_ms,
        if same_day { "%H%M" } else { "%Y-%m-%d-%H%M" },
    ));
    parts.retain(|p| !p.is_empty());
    Named {
        stem: parts.join("_"),
        hash: fact.hash.clone(),
        came_as: fact.name.clone(),
    }
}

/// As [`step_piece`]; `sample-NAME` for a sample.
fn piece(view: &PourView, all: &Gathered) -> String {
    let Some(step) = &view.step else {
        let name = names::part(&view.card.name);
        return if name.is_empty() {
            "sample".to_owned()
        } else {
            format!("sample-{name}")
        };
    };
    step_piece(&step.fact, all)
}

/// `step-03`, with its flight if there are several.
fn step_piece(step: &Step, all: &Gathered) -> String {
    let number = format!("step-{:02}", step.number);
    let flight = all.site.flights.iter().find(|f| f.id == step.flight);
    let name = flight
        .map(|f| names::part(&f.fact.name))
        .unwrap_or_default();
    if all.site.flights.len() < 2 || name.is_empty() {
        number
    } else {
        format!("{name}_{number}")
    }
}

/// Writes the zip. `words` say what stands in `read-me.txt`.
///
/// # Errors
/// If the reader went away or a photo cannot be read.
pub fn write<W: Write>(
    list: &[Named],
    originals: Originals<'_>,
    gps: bool,
    ways: &Ways,
    to: W,
) -> io::Result<()> {
    let mut zip = ZipWriter::new_stream(to);
    let options = SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    let (mut taken, mut said) = (Taken::default(), String::new());
    for photo in list {
        let line = |key: &str, name: &str| {
            ways.say_with(
                key,
                &[
                    ("name", name.to_owned().into()),
                    ("file", photo.came_as.clone().into()),
                ],
            )
        };
        match copy_of(&photo.hash, originals, gps)? {
            Copy::As(bytes, ending) => {
                zip.start_file(taken.name(&photo.stem, ending), options)?;
                zip.write_all(&bytes)?;
            }
            Copy::Again(bytes) => {
                let name = taken.name(&photo.stem, "jpg");
                let _ = writeln!(said, "{}", line("ho-zip-again", &name));
                zip.start_file(name, options)?;
                zip.write_all(&bytes)?;
            }
            Copy::Cannot => {
                let _ = writeln!(said, "{}", line("ho-zip-cannot", &photo.stem));
            }
            Copy::Away => {
                let _ = writeln!(said, "{}", line("ho-zip-away", &photo.stem));
            }
        }
    }
    zip.start_file("read-me.txt", options)?;
    let head = ways.say(if gps { "ho-zip-gps" } else { "ho-zip-no-gps" });
    zip.write_all(format!("{head}\n\n{said}").as_bytes())?;
    // Not before this is everything written: a full disk may show only here.
    zip.finish()?.flush()
}

/// What leaves of a photo.
enum Copy {
    /// Its bytes, cleaned or as they are, and the ending of its name.
    As(Vec<u8>, &'static str),
    /// Its picture as a JPEG.
    Again(Vec<u8>),
    /// Nothing: it cannot be cleaned and its picture cannot be read.
    Cannot,
    /// Nothing: it is not here yet.
    Away,
}

fn copy_of(hash: &str, originals: Originals<'_>, gps: bool) -> io::Result<Copy> {
    let Some(bytes) = originals(hash)? else {
        return Ok(Copy::Away);
    };
    let ending = Format::of(&bytes).map_or("bin", ending);
    if gps {
        return Ok(Copy::As(bytes, ending));
    }
    if let Some(clean) = without_place::cleaned(&bytes) {
        return Ok(Copy::As(clean, ending));
    }
    Ok(thumbs::only(&bytes, SIDE).map_or(Copy::Cannot, Copy::Again))
}

/// The ending of a file's name.
#[must_use]
pub fn ending(format: Format) -> &'static str {
    match format {
        Format::Jpeg => "jpg",
        Format::Tiff => "tif",
        other => other.code(),
    }
}
