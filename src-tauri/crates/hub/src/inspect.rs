//! Looks through a data folder or a backup: counts what is there, and finds what is
//! damaged or missing.
//!
//! Reads only, also beside a running hub, which goes on meanwhile. What the words of the
//! findings are printed for: `slowstone verify` and `slowstone status`.

use crate::named::Named;
use slowstone_store::{
    BlobStore, EventLog, FolderBlobs, Hash32, SqliteLog, StoreError, verify, verify_blobs,
};
use std::path::Path;

/// Name of the log in a data folder or a backup.
pub const LOG: &str = "log.sqlite";

/// Name of the folder of photos in a data folder or a backup.
pub const PHOTOS: &str = "photos";

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

/// Counts what is in the folder `dir`.
///
/// # Errors
/// If the log or the photos cannot be read.
pub fn count(dir: &Path) -> Result<Counts, StoreError> {
    let log = SqliteLog::open_read_only(&dir.join(LOG))?;
    log.hold_still()?;
    let told = Named::read(&log)?;
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

fn look_at_log(path: &Path, seen: &mut Inspection) -> Option<Named> {
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
    let told = Named::read(&log);
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

fn look_at_photos(root: &Path, told: Named, seen: &mut Inspection) -> Result<(), StoreError> {
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
