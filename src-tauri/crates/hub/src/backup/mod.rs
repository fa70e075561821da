//! Copies of a data folder, taken while the hub runs.
//!
//! A backup has the layout of a data folder, so that every look at one works on the other
//! ([`crate::inspect`]), and a note, `backup.json`, by which a hub knows not to run on it.
//! Photos that an earlier backup in the same place has are not copied again. Nothing that
//! an earlier backup holds is lost by a newer one. The keys of the hub are in it only when
//! asked for, encrypted ([`keys`]). The way back: [`restore()`].

mod error;
pub mod keys;
mod restore;

pub use error::BackupError;
pub use restore::{Restored, restore};

use crate::error::HubError;
use crate::inspect::{LOG, PHOTOS, Photos};
use crate::lock::Lock;
use crate::presence::write_private;
use crate::private;
use error::{FORMAT, files};
use serde::{Deserialize, Serialize};
use slowstone_curing::units::AtMs;
use slowstone_store::{BlobStore, EventLog, FolderBlobs, Hash32, SqliteLog, StoreError, verify};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// The note in a backup.
const NOTE: &str = "backup.json";

/// The note in a data folder about its last backup.
const LAST: &str = "last-backup.json";

/// The log while it is copied.
const NEXT: &str = "next.sqlite";

/// What a backup says about itself.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Note {
    /// Form of the backup.
    pub format: u32,
    /// Whether it was made to its end at least once.
    pub finished: bool,
    /// When, in milliseconds since 1970.
    pub made_ms: i64,
    /// Version of the program that made it.
    pub version: String,
    /// Records in its log.
    pub records: u64,
    /// Photos.
    pub photos: u64,
    /// Bytes of all photos.
    pub photo_bytes: u64,
}

/// When and where the last backup of a data folder was made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Last {
    /// When, in milliseconds since 1970.
    pub made_ms: i64,
    /// Where.
    pub to: PathBuf,
}

/// A backup that was made.
#[derive(Debug)]
pub struct Made {
    /// What it says about itself.
    pub note: Note,
    /// Photos that were copied now.
    pub fresh: Photos,
    /// Photos that could not be copied, with the reason.
    pub lacking: Vec<String>,
    /// Files and folders of an earlier backup that other accounts could read, and no longer can.
    pub closed: usize,
}

/// The folder `to` as a place for backups of `data`.
struct Place {
    dir: PathBuf,
    photos: FolderBlobs,
    /// Files and folders of an earlier backup that others could read.
    closed: usize,
    _lock: Lock,
}

/// Copies the data folder `data` to the folder `to`, which is new or an earlier backup of
/// the same data. With `recheck`, photos that an earlier backup holds are read again and
/// copied anew if they have changed.
///
/// # Errors
/// If `to` is something else, or if the log cannot be copied whole: an earlier backup in
/// the same place is as it was then. Photos that cannot be copied are no error; see
/// [`Made::lacking`].
pub fn make(data: &Path, to: &Path, now: AtMs, recheck: bool) -> Result<Made, BackupError> {
    let from = data.join(LOG);
    let log = SqliteLog::open_read_only(&from)?;
    let source = FolderBlobs::open_existing(&data.join(PHOTOS))?;
    let place = Place::prepare(data, to, now)?;
    // The log before the photos: what it names at that moment is there by then.
    let next = place.dir.join(NEXT);
    clear_unfinished(&place.dir)?;
    log.backup(&next)?;
    let records = place.judge(&next, &from)?;
    let (fresh, lacking) = place.copy_photos(&source, recheck)?;
    let target = place.dir.join(LOG);
    fs::rename(&next, &target).map_err(files(&target))?;
    let (mut photos, mut photo_bytes) = (0, 0);
    for hash in place.photos.list()? {
        photos += 1;
        photo_bytes += place.photos.size(&hash)?.unwrap_or(0);
    }
    let note = Note {
        format: FORMAT,
        finished: true,
        made_ms: now.0,
        version: env!("CARGO_PKG_VERSION").to_owned(),
        records,
        photos,
        photo_bytes,
    };
    note.write(&place.dir)?;
    // The names too must be on the disk. Windows does that by itself and cannot be asked.
    if !cfg!(windows) {
        let synced = fs::File::open(&place.dir).and_then(|dir| dir.sync_all());
        synced.map_err(files(&place.dir))?;
    }
    let to = fs::canonicalize(&place.dir).unwrap_or_else(|_| place.dir.clone());
    let made_ms = now.0;
    remember(data, &Last { made_ms, to });
    Ok(Made {
        note,
        fresh,
        lacking,
        closed: place.closed,
    })
}

impl Place {
    fn prepare(data: &Path, to: &Path, now: AtMs) -> Result<Self, BackupError> {
        let note = Note::read(to)?;
        if note.is_none() && first_in(to)?.is_some() {
            return Err(BackupError::NotABackup(to.to_path_buf()));
        }
        if is_inside(to, data) {
            return Err(BackupError::Inside(to.to_path_buf()));
        }
        make_private(to)?;
        let closed = private::mend(to);
        let lock = Lock::take(to).map_err(|e| match e {
            HubError::AlreadyRunning(dir) => BackupError::Busy(dir),
            other => BackupError::Hub(Box::new(other)),
        })?;
        if note.is_none() {
            // From here on the folder is known as a backup that is not finished.
            let begun = Note {
                format: FORMAT,
                finished: false,
                made_ms: now.0,
                version: env!("CARGO_PKG_VERSION").to_owned(),
                records: 0,
                photos: 0,
                photo_bytes: 0,
            };
            begun.write(to)?;
        }
        Ok(Self {
            dir: to.to_path_buf(),
            photos: FolderBlobs::open(&to.join(PHOTOS))?,
            closed,
            _lock: lock,
        })
    }

    /// Looks at the copied log before it takes the place of an earlier one: it must hold,
    /// and have everything that the earlier one has. Says how many records it has.
    fn judge(&self, next: &Path, from: &Path) -> Result<u64, BackupError> {
        let broken = |why: String| BackupError::Broken {
            path: from.to_path_buf(),
            why,
        };
        let copy = SqliteLog::open_read_only(next)?;
        if let Some(line) = copy.check_file()?.into_iter().next() {
            return Err(broken(line));
        }
        let report = verify(&copy)?;
        if let Some(fault) = report.faults.first() {
            return Err(broken(fault.to_string()));
        }
        let earlier = self.dir.join(LOG);
        if !fs::exists(&earlier).map_err(files(&earlier))? {
            return Ok(report.records);
        }
        for head in SqliteLog::open_read_only(&earlier)?.heads()? {
            let here = copy.read_stream(&head.stream, head.seq, 1)?;
            if here.first().is_none_or(|record| record.head() != head) {
                return Err(BackupError::OfOthers {
                    to: self.dir.clone(),
                    stream: head.stream.to_string(),
                });
            }
        }
        Ok(report.records)
    }

    fn copy_photos(
        &self,
        source: &FolderBlobs,
        recheck: bool,
    ) -> Result<(Photos, Vec<String>), BackupError> {
        let (mut fresh, mut lacking) = (Photos::default(), Vec::new());
        for hash in source.list()? {
            let kept = if recheck {
                self.photos.verify(&hash).unwrap_or(false)
            } else {
                let size = self.photos.size(&hash)?;
                size.is_some() && size == source.size(&hash)?
            };
            if kept {
                continue;
            }
            match copy_photo(source, &self.photos, &hash)? {
                Ok(bytes) => {
                    fresh.count += 1;
                    fresh.bytes += bytes;
                }
                Err(why) => lacking.push(why),
            }
        }
        Ok((fresh, lacking))
    }
}

/// Copies one photo and says its size, or why it is not worth copying.
fn copy_photo(
    from: &FolderBlobs,
    to: &FolderBlobs,
    hash: &Hash32,
) -> Result<Result<u64, String>, StoreError> {
    let path = from.path(hash).unwrap_or_default();
    let bytes = match from.get(hash) {
        Ok(Some(bytes)) => bytes,
        Ok(None) => return Ok(Err(format!("{}: is gone", path.display()))),
        Err(e) => return Ok(Err(e.to_string())),
    };
    if Hash32::of(&bytes) != *hash {
        return Ok(Err(StoreError::Altered { path }.to_string()));
    }
    to.put(&bytes)?;
    Ok(Ok(bytes.len() as u64))
}

impl Note {
    /// The note of the backup `dir`; none if it is no backup.
    ///
    /// # Errors
    /// If it cannot be read or is of a newer version.
    pub fn read(dir: &Path) -> Result<Option<Self>, BackupError> {
        let path = dir.join(NOTE);
        let text = match fs::read(&path) {
            Ok(text) => text,
            Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(None),
            Err(source) => return Err(BackupError::Files { path, source }),
        };
        let note: Self = serde_json::from_slice(&text).map_err(|e| BackupError::Files {
            path: path.clone(),
            source: io::Error::other(format!("this is no note of a backup ({e})")),
        })?;
        if note.format > FORMAT {
            let found = note.format;
            return Err(BackupError::Newer { path, found });
        }
        Ok(Some(note))
    }

    fn write(&self, dir: &Path) -> Result<(), BackupError> {
        let path = dir.join(NOTE);
        let text = serde_json::to_vec_pretty(self).map_err(io::Error::from);
        text.and_then(|text| write_private(&path, &text))
            .map_err(files(&path))
    }
}

/// Whether the folder is a backup, on which no hub may run: two lives of one log would
/// write into the same streams.
#[must_use]
pub fn is_backup(dir: &Path) -> bool {
    dir.join(NOTE).exists()
}

/// The last backup of a data folder, if one is known of.
#[must_use]
pub fn last(data: &Path) -> Option<Last> {
    serde_json::from_slice(&fs::read(data.join(LAST)).ok()?).ok()
}

/// Data that cannot be written are backed up as well: then nothing is remembered.
fn remember(data: &Path, last: &Last) {
    let text = serde_json::to_vec_pretty(last).map_err(io::Error::from);
    if let Err(e) = text.and_then(|text| write_private(&data.join(LAST), &text)) {
        tracing::warn!("the time of the backup cannot be kept in the data folder: {e}");
    }
}

/// Makes a folder for this account only; one that is there is left as it is.
fn make_private(dir: &Path) -> Result<(), BackupError> {
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::DirBuilderExt;
        builder.mode(0o700);
    }
    builder.create(dir).map_err(files(dir))
}

/// The name of something in a folder; none if it is empty or not there.
fn first_in(dir: &Path) -> Result<Option<String>, BackupError> {
    match fs::read_dir(dir) {
        Ok(mut entries) => {
            let first = entries.next().transpose().map_err(files(dir))?;
            Ok(first.map(|e| e.file_name().to_string_lossy().into_owned()))
        }
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(source) => Err(files(dir)(source)),
    }
}

/// Whether `inner` is `outer` or will lie in it.
fn is_inside(inner: &Path, outer: &Path) -> bool {
    let Ok(outer) = fs::canonicalize(outer) else {
        return false;
    };
    let whole = std::path::absolute(inner).unwrap_or_else(|_| inner.to_path_buf());
    let there = whole.ancestors().find_map(|p| fs::canonicalize(p).ok());
    there.is_some_and(|p| p.starts_with(&outer))
}

/// Removes what an interrupted copy of the log left, under whatever name.
fn clear_unfinished(dir: &Path) -> Result<(), BackupError> {
    for entry in fs::read_dir(dir).map_err(files(dir))? {
        let path = entry.map_err(files(dir))?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        if name.starts_with(NEXT) {
            fs::remove_file(&path).map_err(files(&path))?;
        }
    }
    Ok(())
}
