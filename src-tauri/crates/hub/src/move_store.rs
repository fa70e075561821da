//! `slowstone move-store`: from a data folder to a database and storage that hubs share.
//!
//! Copies only; the folder stays as it is, with a note that its log has moved. A run that
//! was interrupted is repeated: what is there already is compared, not copied again. The
//! target is empty or holds the beginning of the same log, else nothing is written.

use crate::error::HubError;
use crate::firm::{Note, Places};
use crate::inspect::{self, LOG, PHOTOS};
use crate::lock::Lock;
use slowstone_store::{
    BlobStore, EventLog, FolderBlobs, Record, Settings, SqliteLog, StoreError, verify,
};
use std::path::Path;

/// Records handled at once.
const PAGE: usize = 500;

/// What was moved.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Moved {
    /// Entries that were copied now, and that are in the database.
    pub entries: (u64, u64),
    /// Photos that were copied now, and that were read again from where they are now.
    pub photos: (u64, u64),
    /// Where the log is now, without the password.
    pub store: String,
}

/// Copies the log and the photos of the folder `from` and reads all of it again.
///
/// # Errors
/// If a hub runs on the folder, if anything in it is damaged, or if the target holds
/// another log; nothing is written then. Later troubles leave a target that another run
/// completes.
pub fn run(from: &Path, to: &Places) -> Result<Moved, HubError> {
    if !from.join(LOG).is_file() {
        return Err(HubError::Store(StoreError::Missing {
            path: from.join(LOG),
            doing: "moving the log",
        }));
    }
    let _lock = Lock::take(from)?;
    let seen = inspect::inspect(from);
    if let Some(first) = seen.findings.first() {
        return Err(HubError::Moving(format!(
            "{first}\nNothing was moved. See `slowstone verify --data {}`",
            from.display()
        )));
    }
    let source = SqliteLog::open_read_only(&from.join(LOG))?;
    let pictures = FolderBlobs::open_existing(&from.join(PHOTOS))?;
    let mut log = to.log(source.epoch())?;
    let there = log.len()?;
    if there > 0 && log.epoch() != source.epoch() {
        return Err(other_log(log.place()));
    }
    let after = same_beginning(&source, &log, there)?;
    if log.epoch() != source.epoch() {
        log.renew_epoch(source.epoch())?;
    }
    let blobs = to.blobs()?;
    let mut moved = Moved {
        store: log.place().to_owned(),
        ..Moved::default()
    };
    // The photos first: an entry is there only with its photo.
    let hashes = pictures.list()?;
    for hash in &hashes {
        if !blobs.has(hash)? {
            blobs.put(&pictures.get(hash)?.unwrap_or_default())?;
            moved.photos.0 += 1;
        }
    }
    moved.entries.0 = copy(&source, after, &mut log)?;
    for (key, value) in source.with_prefix("")? {
        log.replace(&key, None, &value)?;
    }
    for hash in &hashes {
        if !blobs.verify(hash)? {
            return Err(HubError::Moving(format!(
                "photo {hash} is not in {} after it was copied. Run the same command again",
                to.photos
            )));
        }
        moved.photos.1 += 1;
    }
    let report = verify(&log)?;
    moved.entries.1 = report.records;
    if !report.is_clean() || report.records != source.len()? || log.heads()? != source.heads()? {
        let fault = report.faults.first().map(ToString::to_string);
        return Err(HubError::Moving(format!(
            "{} does not hold what was copied ({}). Move into an empty database",
            log.place(),
            fault.unwrap_or_else(|| "its entries are other ones".to_owned())
        )));
    }
    let (store, photos) = (moved.store.clone(), to.photos.clone());
    Note { store, photos }.write(from)?;
    Ok(moved)
}

fn other_log(place: &str) -> HubError {
    HubError::Moving(format!(
        "{place} holds another log, or this one after hubs went on with it there. Nothing was moved; name an empty database"
    ))
}

/// The position in `source` up to which `log`, with `there` records, holds the same.
fn same_beginning(source: &SqliteLog, log: &dyn EventLog, there: u64) -> Result<u64, HubError> {
    let (mut at, mut other, mut same) = (0, 0, 0);
    while same < there {
        let page = log.read_from(other, PAGE)?;
        let mine = source.read_from(at, page.len().max(1))?;
        if page.is_empty() || page.len() != mine.len() {
            return Err(other_log("The target"));
        }
        for ((p, theirs), (q, ours)) in page.iter().zip(&mine) {
            if theirs != ours {
                return Err(other_log("The target"));
            }
            (other, at, same) = (*p, *q, same + 1);
        }
    }
    Ok(at)
}

/// Appends what comes after a position, with the times at which it was received.
fn copy(source: &SqliteLog, after: u64, log: &mut dyn EventLog) -> Result<u64, HubError> {
    let (mut after, mut copied) = (after, 0);
    loop {
        let page = source.read_from(after, PAGE)?;
        let mut group: (i64, Vec<Record>) = (0, Vec::new());
        let last = page.last().map(|(position, _)| *position);
        for (position, record) in page {
            let received = source.received_ms(position)?.unwrap_or(0);
            if received != group.0 && !group.1.is_empty() {
                log.append(&group.1, group.0)?;
                group.1.clear();
            }
            group.0 = received;
            group.1.push(record);
            copied += 1;
        }
        log.append(&group.1, group.0)?;
        match last {
            Some(last) => after = last,
            None => return Ok(copied),
        }
    }
}
