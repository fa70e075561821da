//! The way back: a new data folder from a backup.
//!
//! The restored log has a new epoch, by which phones notice that they must offer again
//! what it lacks. Photos come first and the log last, so that a folder with a log is a
//! whole one. How backups are made: [`crate::backup`].

use super::error::files;
use super::keys::Keys;
use super::{BackupError, Note, copy_photo, first_in, make_private};
use crate::caller::Door;
use crate::chance;
use crate::error::HubError;
use crate::inspect::{LOG, PHOTOS, Photos};
use crate::lock::Lock;
use crate::trust::devices::{Devices, PREFIX};
use slowstone_store::{
    BlobStore, FolderBlobs, HubEpoch, Settings, SqliteLog, StoreError, restore as restore_log,
};
use std::fs;
use std::path::Path;

/// What was restored.
#[derive(Debug)]
pub struct Restored {
    /// Records of the log.
    pub records: u64,
    /// Photos.
    pub photos: Photos,
    /// When the backup was made, in milliseconds since 1970, if it says so.
    pub made_ms: Option<i64>,
    /// Photos that the backup holds damaged, with the reason.
    pub lacking: Vec<String>,
    /// Phones that may come in, by the names that their persons gave them.
    pub phones: Vec<String>,
}

/// Makes the data folder `data`, which is new or empty, from the backup `from`, with the keys
/// that were opened before, if any.
///
/// # Errors
/// If the backup's log is damaged, if `data` holds anything, or if it cannot be written:
/// what this call has made is removed again then.
pub fn restore(from: &Path, data: &Path, keys: Option<&Keys>) -> Result<Restored, BackupError> {
    let note = Note::read(from)?;
    if note.as_ref().is_some_and(|n| !n.finished) {
        return Err(BackupError::Unfinished(from.to_path_buf()));
    }
    let source = FolderBlobs::open_existing(&from.join(PHOTOS))?;
    if !from.join(LOG).is_file() {
        return Err(BackupError::Store(StoreError::Missing {
            path: from.join(LOG),
            doing: "restoring the log",
        }));
    }
    if let Some(found) = first_in(data)? {
        let path = data.to_path_buf();
        return Err(BackupError::NotEmpty { path, found });
    }
    let was_there = data.exists();
    make_private(data)?;
    let done = fill(from, &source, data, keys);
    if done.is_err() {
        // The folder was empty or not there: all that is in it comes from this call.
        for made in [PHOTOS, LOG, "hub.lock", "trust", "reminders.key"] {
            let path = data.join(made);
            let _ = fs::remove_dir_all(&path).or_else(|_| fs::remove_file(&path));
        }
        if !was_there {
            let _ = fs::remove_dir(data);
        }
    }
    done.map(|restored| Restored {
        made_ms: note.map(|n| n.made_ms),
        ..restored
    })
}

fn fill(
    from: &Path,
    source: &FolderBlobs,
    data: &Path,
    keys: Option<&Keys>,
) -> Result<Restored, BackupError> {
    // No hub may start on it before it is whole.
    let _lock = Lock::take(data).map_err(Box::new)?;
    let word = chance::word(20).map_err(|e| Box::new(HubError::Chance(e)))?;
    let epoch = HubEpoch::new(&word).map_err(|e| files(data)(std::io::Error::other(e)))?;
    let target = FolderBlobs::open(&data.join(PHOTOS))?;
    let (mut photos, mut lacking) = (Photos::default(), Vec::new());
    for hash in source.list()? {
        match copy_photo(source, &target, &hash)? {
            Ok(bytes) => {
                photos.count += 1;
                photos.bytes += bytes;
            }
            Err(why) => lacking.push(why),
        }
    }
    if let Some(keys) = keys {
        keys.write(data)?;
    }
    let report = restore_log(&from.join(LOG), &data.join(LOG), &epoch)?;
    Ok(Restored {
        records: report.records,
        photos,
        made_ms: None,
        lacking,
        phones: phones(&data.join(LOG))?,
    })
}

/// The phones that the restored log lets in.
fn phones(log: &Path) -> Result<Vec<String>, BackupError> {
    let settings = SqliteLog::open_read_only(log)?.with_prefix(PREFIX)?;
    let all = Devices::read(&settings).list().into_iter();
    let phones = all.filter(|d| d.is_in() && d.door == Door::Lan);
    Ok(phones.map(|d| d.name).collect())
}
