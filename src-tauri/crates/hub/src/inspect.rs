//! Looks through a data folder or a backup: counts what is there, and finds what is
//! damaged or missing.
//!
//! Reads only, also beside a running hub, which goes on meanwhile. What the words of the
//! findings are printed for: `slowstone verify` and `slowstone status`.

use crate::ledger::DEVICE;
use slowstone_logbook::Event;
use slowstone_store::{
    BlobStore, EventLog, FolderBlobs, Hash32, Settings, SqliteLog, StoreError, verify, verify_blobs,
};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Name of the log in a data folder or a backup.
pub const LOG: &str = "log.sqlite";

/// Name of the folder of photos in a data folder or a backup.
pub const PHOTOS: &str = "photos";

/// Records read at once.
const PAGE: usize = 2000;

/// Photos and their size.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Photos {
    /// How many.
    pub count: u64,
    /// Bytes of all.
    pub bytes: u64,
}

/// What is in a folder.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Sites that were not taken back.
    pub sites: u64,
    /// Entries of the log.
    pub entries: u64,
    /// Photo files.
    pub photos: Photos,
}

/// What [`inspect`] found.
#[derive(Clone, Debug, Default)]
pub struct Inspection {
    /// What is damaged or missing and what to do about it, a line each.
    pub findings: Vec<String>,
    /// Records of the log that were walked.
    pub records: u64,
    /// Streams that were walked.
    pub streams: u64,
    /// Photos that were read.
    pub photos: Photos,
    /// Photos that a phone has named but not sent yet.
    pub awaited: u64,
}

/// A photo that the log names.
struct Named {
    entry: String,
    site: String,
    /// Whether its bytes came together with the entry: then they must be here.
    came_with_it: bool,
}

/// What the entries of a log say.
#[derive(Default)]
struct Told {
    sites: BTreeSet<String>,
    photos: BTreeMap<Hash32, Named>,
}

impl Told {
    fn read(log: &SqliteLog) -> Result<Self, StoreError> {
        let own = log.get(DEVICE)?;
        let (mut told, mut back) = (Self::default(), Vec::new());
        let mut after = 0;
        loop {
            let page = log.read_from(after, PAGE)?;
            if page.is_empty() {
                break;
            }
            for (position, record) in page {
                after = position;
                let Ok(event) = serde_json::from_str::<Event>(&record.body) else {
                    continue;
                };
                let text = |key: &str| event.body.get(key).and_then(|v| v.as_str());
                match event.kind.as_str() {
                    "site" => {
                        told.sites.insert(event.id);
                    }
                    "retraction" => back.extend(text("target").map(str::to_owned)),
                    "photo" => {
                        let hash: Option<Hash32> = text("hash").and_then(|h| h.parse().ok());
                        let came_with_it = own.as_deref() == Some(record.stream.device());
                        let Some(hash) = hash else { continue };
                        let named = told.photos.entry(hash).or_insert(Named {
                            entry: event.id,
                            site: event.site,
                            came_with_it,
                        });
                        named.came_with_it |= came_with_it;
                    }
                    _ => {}
                }
            }
        }
        for id in back {
            told.sites.remove(&id);
        }
        Ok(told)
    }
}

/// Counts what is in the folder `dir`.
///
/// # Errors
/// If the log or the photos cannot be read.
pub fn count(dir: &Path) -> Result<Counts, StoreError> {
    let log = SqliteLog::open_read_only(&dir.join(LOG))?;
    log.hold_still()?;
    let told = Told::read(&log)?;
    Ok(Counts {
        sites: told.sites.len() as u64,
        entries: log.len()?,
        photos: photos_in(&FolderBlobs::open_existing(&dir.join(PHOTOS))?)?,
    })
}

fn photos_in(blobs: &FolderBlobs) -> Result<Photos, StoreError> {
    let mut photos = Photos::default();
    for hash in blobs.list()? {
        if let Some(bytes) = blobs.size(&hash)? {
            photos.count += 1;
            photos.bytes = photos.bytes.saturating_add(bytes);
        }
    }
    Ok(photos)
}

/// Reads everything in the folder `dir` again: every page of the log's file, every chain,
/// every photo, and whether each photo that the log names is there.
#[must_use]
pub fn inspect(dir: &Path) -> Inspection {
    let mut seen = Inspection::default();
    // The log before the photos: what it names at that moment is there by then.
    let told = look_at_log(&dir.join(LOG), &mut seen);
    if let Err(e) = look_at_photos(&dir.join(PHOTOS), told.unwrap_or_default(), &mut seen) {
        seen.findings.push(e.to_string());
    }
    seen
}

fn look_at_log(path: &Path, seen: &mut Inspection) -> Option<Told> {
    let log = match SqliteLog::open_read_only(path).and_then(|log| {
        log.hold_still()?;
        Ok(log)
    }) {
        Ok(log) => log,
        Err(e) => {
            seen.findings.push(e.to_string());
            return None;
        }
    };
    let mut found = Vec::new();
    match log.check_file() {
        Ok(lines) => found.extend(lines.iter().flat_map(|l| l.lines()).map(str::to_owned)),
        Err(e) => found.push(e.to_string()),
    }
    match verify(&log) {
        Ok(report) => {
            (seen.records, seen.streams) = (report.records, report.streams);
            found.extend(report.faults.iter().map(ToString::to_string));
        }
        Err(e) => found.push(e.to_string()),
    }
    let told = Told::read(&log);
    if let (Err(e), true) = (&told, found.is_empty()) {
        found.push(e.to_string());
    }
    found.dedup();
    let name = path.display().to_string();
    for line in found {
        // What the store says names the file already.
        let line = line.strip_prefix(&name).unwrap_or(&line);
        let line = line.trim_start_matches([':', ' ']);
        seen.findings.push(format!("{name}: {line}"));
    }
    told.ok()
}

fn look_at_photos(root: &Path, told: Told, seen: &mut Inspection) -> Result<(), StoreError> {
    let blobs = FolderBlobs::open_existing(root)?;
    seen.photos = photos_in(&blobs)?;
    let at = |hash: &Hash32| blobs.path(hash).unwrap_or_default();
    let report = verify_blobs(&blobs)?;
    let altered = report.altered.iter();
    let altered = altered.map(|hash| StoreError::Altered { path: at(hash) }.to_string());
    seen.findings.extend(altered);
    seen.findings
        .extend(report.unreadable.into_iter().map(|(_, why)| why));
    for (hash, named) in told.photos {
        if blobs.has(&hash)? {
            continue;
        }
        if named.came_with_it {
            seen.findings.push(format!(
                "{}: is not there, but entry {} of site {} names this photo. Copy the file from a backup, or send the photo again",
                at(&hash).display(),
                named.entry,
                named.site
            ));
        } else {
            seen.awaited += 1;
        }
    }
    Ok(())
}
