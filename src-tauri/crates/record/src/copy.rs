//! Everything of a site for another hub, or for a drawer: a zip with the original photos and
//! `site.jsonl`, the entries as JSON lines. A hub reads it again at `POST /api/import`.
//!
//! `{"slowstone":"site","form":1,"site":ID,"gps":BOOL}`, then `{"event":{...}}` for each entry
//! in the order of [`entries`], then `{"end":{"events":N,"photos":M,"blake3":H}}`, where
//! H is the hash of all bytes before that line. A photo is
//! `photos/HASH.ENDING`. Without positions the photos are cleaned copies, and the entries name
//! the hash and size of those; exported, imported and exported again it is equal to the byte.

use super::photos::ending;
use super::{Originals, places};
use serde_json::{Value, json};
use slowstone_logbook::Event;
use slowstone_photo::{Format, without_place};
use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, Write};
use zip::write::{SimpleFileOptions, ZipWriter};

/// Form of the lines that this program writes and reads.
pub const FORM: u64 = 1;

/// Name of the lines in the zip.
pub const LINES: &str = "site.jsonl";

/// What became of photos by the hash of the original: hash and size of the copy.
type Copied = BTreeMap<String, (String, usize)>;

/// The entries as they leave: with positions or without.
#[must_use]
pub fn entries(events: &[Event], gps: bool) -> Vec<Event> {
    let all = events.iter().cloned();
    if gps {
        all.collect()
    } else {
        all.filter_map(places::without).collect()
    }
}

/// Writes the entries as JSON lines; `photos` says how many photos stand beside them.
///
/// # Errors
/// If the reader went away.
pub fn lines(
    site: &str,
    events: &[Event],
    gps: bool,
    photos: usize,
    to: &mut dyn Write,
) -> io::Result<()> {
    let mut hash = blake3::Hasher::new();
    let mut line = |text: String| {
        hash.update(text.as_bytes());
        to.write_all(text.as_bytes())
    };
    let head = json!({"slowstone": "site", "form": FORM, "site": site, "gps": gps});
    line(format!("{head}\n"))?;
    for event in events {
        let event = serde_json::to_string(event)?;
        line(format!("{{\"event\":{event}}}\n"))?;
    }
    let hash = hash.finalize().to_hex();
    let end = json!({"events": events.len(), "photos": photos, "blake3": hash.as_str()});
    writeln!(to, "{}", json!({ "end": end }))?;
    to.flush()
}

/// Writes the zip: one photo is in memory at a time.
///
/// # Errors
/// If the reader went away or a photo cannot be read.
pub fn write<W: Write>(
    site: &str,
    events: &[Event],
    gps: bool,
    originals: Originals<'_>,
    to: W,
) -> io::Result<()> {
    let mut zip = ZipWriter::new_stream(to);
    let options = SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    let mut events = entries(events, gps);
    let (mut copied, mut names) = (Copied::new(), BTreeSet::new());
    for event in &mut events {
        let Some(hash) = photo_of(event) else {
            continue;
        };
        if !copied.contains_key(&hash)
            && let Some(original) = originals(&hash)?
            && let Some(bytes) = if gps {
                Some(original)
            } else {
                without_place::cleaned(&original)
            }
        {
            let name = blake3::hash(&bytes).to_hex().to_string();
            let ending = Format::of(&bytes).map_or("bin", ending);
            // Two originals may have the same copy.
            if names.insert(name.clone()) {
                zip.start_file(format!("photos/{name}.{ending}"), options)?;
                zip.write_all(&bytes)?;
            }
            copied.insert(hash.clone(), (name, bytes.len()));
        }
        if let Some((name, len)) = copied.get(&hash) {
            event
                .body
                .insert("hash".to_owned(), Value::from(name.as_str()));
            event.body.insert("bytes".to_owned(), Value::from(*len));
        }
    }
    zip.start_file(LINES, options)?;
    lines(site, &events, gps, names.len(), &mut zip)?;
    // Not before this is everything written: a full disk may show only here.
    zip.finish()?.flush()
}

/// The hash of a photo that an entry names.
fn photo_of(event: &Event) -> Option<String> {
    let hash = event.body.get("hash").filter(|_| event.kind == "photo")?;
    hash.as_str().map(str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `/dev/full` takes nothing (full(4)); what is small stays in the buffer to the end.
    #[cfg(target_os = "linux")]
    #[test]
    fn a_disk_that_is_full_at_the_very_end_is_noticed() {
        let full = || io::BufWriter::new(std::fs::File::create("/dev/full").unwrap());
        let zip = write("site-0001", &[], false, &|_| Ok(None), full()).unwrap_err();
        let text = lines("site-0001", &[], false, 0, &mut full()).unwrap_err();
        for error in [zip, text] {
            assert_eq!(error.kind(), io::ErrorKind::StorageFull);
        }
    }
}
