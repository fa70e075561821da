//! The tables, how a new file is made, and how an old one is brought up to date.
//!
//! A migration is a step in `STEPS`, run once, in one transaction; released steps
//! are never edited. Reading and writing the tables: [`crate::sqlite`].

use crate::blobs::sync_dir;
use crate::error::StoreError;
use rusqlite::{Connection, OpenFlags, OptionalExtension, TransactionBehavior, params};
use slowstone_sync::HubEpoch;
use std::ffi::OsString;
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

/// Newest format of the file that this program knows.
pub const SCHEMA_VERSION: i64 = STEPS.len() as i64;

/// Marks the file as ours: "SLST".
const APPLICATION_ID: i64 = 0x534C_5354;

/// One step from each format to the next. The triggers keep every program, not only this
/// one, from altering the log by mistake; `INSERT OR REPLACE` is stopped as well.
const STEPS: &[&str] = &["
CREATE TABLE identity (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    epoch TEXT NOT NULL
) STRICT;
CREATE TABLE stream (
    id INTEGER PRIMARY KEY,
    device TEXT NOT NULL,
    epoch TEXT NOT NULL,
    UNIQUE (device, epoch)
) STRICT;
CREATE TABLE entry (
    position INTEGER PRIMARY KEY AUTOINCREMENT,
    stream INTEGER NOT NULL REFERENCES stream (id),
    seq INTEGER NOT NULL CHECK (seq >= 1),
    prev BLOB NOT NULL CHECK (length(prev) = 32),
    hash BLOB NOT NULL CHECK (length(hash) = 32),
    body TEXT NOT NULL,
    received_ms INTEGER NOT NULL,
    UNIQUE (stream, seq)
) STRICT;
CREATE TABLE setting (
    key TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'the log is append-only'); END;
CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'the log is append-only'); END;
CREATE TRIGGER entry_contiguous BEFORE INSERT ON entry
WHEN NEW.seq IS NOT 1 + coalesce((SELECT max(seq) FROM entry WHERE stream = NEW.stream), 0)
    OR EXISTS (SELECT 1 FROM entry WHERE position = NEW.position)
BEGIN SELECT RAISE(ABORT, 'the log is append-only and without holes'); END;
CREATE TRIGGER stream_no_update BEFORE UPDATE ON stream
BEGIN SELECT RAISE(ABORT, 'the log is append-only'); END;
CREATE TRIGGER stream_no_delete BEFORE DELETE ON stream
BEGIN SELECT RAISE(ABORT, 'the log is append-only'); END;
CREATE TRIGGER stream_no_replace BEFORE INSERT ON stream
WHEN EXISTS (SELECT 1 FROM stream
    WHERE id = NEW.id OR (device = NEW.device AND epoch = NEW.epoch))
BEGIN SELECT RAISE(ABORT, 'the log is append-only'); END;
"];

const MAKING: &str = "a new log";
const OPENING: &str = "opening the log";

/// `path` with `ending` behind its name.
pub(crate) fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = OsString::from(path.as_os_str());
    name.push(ending);
    PathBuf::from(name)
}

/// Refuses leftovers of an older file of that name: SQLite would read them into a new one.
pub(crate) fn no_leftovers(path: &Path, doing: &'static str) -> Result<(), StoreError> {
    for ending in ["", "-wal", "-journal"] {
        let path = beside(path, ending);
        if path.exists() {
            return Err(StoreError::Occupied { path, doing });
        }
    }
    Ok(())
}

/// Puts a finished file under its name, down to the disk, never over another file.
pub(crate) fn settle(part: &Path, to: &Path, doing: &'static str) -> Result<(), StoreError> {
    let writing = |e| StoreError::io(to, doing, e);
    File::open(part)
        .and_then(|f| f.sync_all())
        .map_err(writing)?;
    match fs::hard_link(part, to) {
        Ok(()) => fs::remove_file(part).map_err(writing)?,
        Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {
            let _ = fs::remove_file(part);
            let path = to.to_path_buf();
            return Err(StoreError::Occupied { path, doing });
        }
        // A disk without hard links (memory sticks).
        Err(_) => fs::rename(part, to).map_err(writing)?,
    }
    sync_dir(to.parent().unwrap_or(Path::new("."))).map_err(writing)
}

/// Makes a new log under another name first, so that a file under the right name is always
/// a whole one and an empty one is known to be damaged.
pub(crate) fn create(path: &Path, fresh: &HubEpoch) -> Result<(), StoreError> {
    if let Some(folder) = path.parent().filter(|p| !p.as_os_str().is_empty())
        && let Err(e) = fs::metadata(folder)
    {
        return Err(StoreError::io(folder, MAKING, e));
    }
    let part = beside(path, &format!(".part-{}", std::process::id()));
    let _ = fs::remove_file(&part);
    let fill = || -> rusqlite::Result<()> {
        let mut db = Connection::open(&part)?;
        db.pragma_update(None, "application_id", APPLICATION_ID)?;
        upgrade(&mut db, 0)?;
        db.execute(
            "INSERT INTO identity (one, epoch) VALUES (1, ?1)",
            [fresh.as_str()],
        )?;
        db.close().map_err(|(_, e)| e)
    };
    let done = fill()
        .map_err(|e| cannot_open(path, MAKING, e))
        .and_then(|()| settle(&part, path, MAKING));
    match done {
        // Another program made it at the same moment: theirs will do.
        Err(StoreError::Occupied { .. }) => Ok(()),
        Err(e) => {
            let _ = fs::remove_file(&part);
            Err(e)
        }
        Ok(()) => Ok(()),
    }
}

/// Runs the steps that a file of format `from` lacks.
fn upgrade(db: &mut Connection, from: i64) -> rusqlite::Result<()> {
    let tx = db.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // Another program may have done it meanwhile.
    let now: i64 = tx.pragma_query_value(None, "user_version", |r| r.get(0))?;
    let skip = usize::try_from(from.max(now)).unwrap_or(usize::MAX);
    for step in STEPS.iter().skip(skip) {
        tx.execute_batch(step)?;
    }
    tx.pragma_update(None, "user_version", SCHEMA_VERSION.max(now))?;
    tx.commit()
}

/// Opens an existing file for writing, with the guarantees that the log needs.
pub(crate) fn open(path: &Path, busy_ms: u32) -> Result<(Connection, HubEpoch), StoreError> {
    whole(path)?;
    let failed = |e| cannot_open(path, OPENING, e);
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let mut db = Connection::open_with_flags(path, flags).map_err(failed)?;
    settings(&db, busy_ms).map_err(failed)?;
    let version = recognise(&db, path)?;
    if db.is_readonly("main").map_err(failed)? {
        return Err(StoreError::ReadOnly {
            path: path.to_path_buf(),
            doing: OPENING,
        });
    }
    let mode: String = db
        .pragma_update_and_check(None, "journal_mode", "WAL", |r| r.get(0))
        .map_err(failed)?;
    // Where WAL cannot be (some network disks) only EXTRA is as safe as FULL is with it.
    let level = if mode == "wal" { "FULL" } else { "EXTRA" };
    db.pragma_update(None, "synchronous", level)
        .map_err(failed)?;
    if version < SCHEMA_VERSION {
        upgrade(&mut db, version).map_err(failed)?;
    }
    let epoch = epoch(&db, path)?;
    Ok((db, epoch))
}

/// Opens an existing file for reading only: a backup, or beside a running hub.
pub(crate) fn open_read_only(
    path: &Path,
    busy_ms: u32,
) -> Result<(Connection, HubEpoch), StoreError> {
    whole(path)?;
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let attempt = || -> Result<(Connection, HubEpoch), StoreError> {
        let db = Connection::open_with_flags(path, flags)
            .map_err(|e| StoreError::sqlite(path, OPENING, e))?;
        settings(&db, busy_ms).map_err(|e| StoreError::sqlite(path, OPENING, e))?;
        finish_read_only(db, path)
    };
    let first = attempt();
    let wal = fs::metadata(beside(path, "-wal")).map_or(0, |m| m.len());
    if first.is_ok() || wal > 0 {
        return first;
    }
    if let Err(StoreError::Database { .. } | StoreError::ReadOnly { .. }) = first {
        // A disk that cannot be written: SQLite needs to be told that nobody else writes.
        let name = path.to_string_lossy();
        let name = name
            .replace('%', "%25")
            .replace('?', "%3f")
            .replace('#', "%23");
        let uri = format!("file:{name}?immutable=1");
        let db = Connection::open_with_flags(uri, flags | OpenFlags::SQLITE_OPEN_URI)
            .map_err(|e| StoreError::sqlite(path, OPENING, e))?;
        return finish_read_only(db, path);
    }
    first
}

fn finish_read_only(db: Connection, path: &Path) -> Result<(Connection, HubEpoch), StoreError> {
    // Later formats only add; an older one is read as it is.
    recognise(&db, path)?;
    let epoch = epoch(&db, path)?;
    Ok((db, epoch))
}

fn settings(db: &Connection, busy_ms: u32) -> rusqlite::Result<()> {
    db.busy_timeout(std::time::Duration::from_millis(busy_ms.into()))?;
    db.pragma_update(None, "foreign_keys", true)?;
    db.pragma_update(None, "trusted_schema", false)?;
    db.pragma_update(None, "cell_size_check", true)?;
    // Only macOS heeds these: its plain fsync does not reach the disk.
    db.pragma_update(None, "fullfsync", true)?;
    db.pragma_update(None, "checkpoint_fullfsync", true)
}

/// The folder is there and the file can be read (asked before): what SQLite could not open
/// are the files that it makes.
fn cannot_open(path: &Path, doing: &'static str, e: rusqlite::Error) -> StoreError {
    if e.sqlite_error_code() == Some(rusqlite::ErrorCode::CannotOpen) {
        let path = path.to_path_buf();
        return StoreError::ReadOnly { path, doing };
    }
    StoreError::sqlite(path, doing, e)
}

/// Notices a file that was cut short before SQLite does, to say it in plain words.
fn whole(path: &Path) -> Result<(), StoreError> {
    let reading = |e| StoreError::reading(path, OPENING, e);
    let mut file = File::open(path).map_err(reading)?;
    let meta = file.metadata().map_err(reading)?;
    if !meta.is_file() {
        return Err(StoreError::corrupt(path, "it is not a file"));
    }
    let mut header = [0u8; 100];
    if let Err(e) = io::Read::read_exact(&mut file, &mut header) {
        return Err(match e.kind() {
            io::ErrorKind::UnexpectedEof => {
                let detail = format!("cut short: only {} bytes are left", meta.len());
                StoreError::corrupt(path, detail)
            }
            _ => reading(e),
        });
    }
    if !header.starts_with(b"SQLite format 3\0") {
        let detail = "it does not begin like a database; another program may have overwritten it";
        return Err(StoreError::corrupt(path, detail));
    }
    // https://www.sqlite.org/fileformat2.html, section 1.3: page size at 16 (1 stands for
    // 65536), number of pages at 28. With a log of changes beside it SQLite decides.
    let [.., a, b] = be(&header, 16, 2);
    let page: u64 = match u64::from(a) << 8 | u64::from(b) {
        1 => 65536,
        n => n,
    };
    let pages = u64::from(u32::from_be_bytes(be(&header, 28, 4)));
    let should = page.saturating_mul(pages);
    let wal = fs::metadata(beside(path, "-wal")).map_or(0, |m| m.len());
    if wal == 0 && meta.len() < should {
        let detail = format!("cut short: {} of {should} bytes are left", meta.len());
        return Err(StoreError::corrupt(path, detail));
    }
    Ok(())
}

/// Up to four bytes of `header` from `at`, at the end of an array.
fn be(header: &[u8], at: usize, count: usize) -> [u8; 4] {
    let mut bytes = [0u8; 4];
    let from = header.iter().skip(at).take(count);
    for (slot, byte) in bytes.iter_mut().skip(4 - count.min(4)).zip(from) {
        *slot = *byte;
    }
    bytes
}

/// Whose file it is and of which format.
fn recognise(db: &Connection, path: &Path) -> Result<i64, StoreError> {
    let ask = |pragma: &str| -> Result<i64, StoreError> {
        db.pragma_query_value(None, pragma, |r| r.get(0))
            .map_err(|e| StoreError::sqlite(path, OPENING, e))
    };
    if ask("application_id")? != APPLICATION_ID {
        let detail = "it is the database of another program";
        return Err(StoreError::corrupt(path, detail));
    }
    let found = ask("user_version")?;
    if found > SCHEMA_VERSION {
        return Err(StoreError::Newer {
            path: path.to_path_buf(),
            found,
            known: SCHEMA_VERSION,
        });
    }
    Ok(found)
}

fn epoch(db: &Connection, path: &Path) -> Result<HubEpoch, StoreError> {
    let text: Option<String> = db
        .query_row("SELECT epoch FROM identity WHERE one = 1", [], |r| r.get(0))
        .optional()
        .map_err(|e| StoreError::sqlite(path, OPENING, e))?;
    let text = text.ok_or_else(|| StoreError::corrupt(path, "its identity is missing"))?;
    HubEpoch::new(&text).map_err(|e| StoreError::corrupt(path, e.to_string()))
}

/// Gives the file a new life.
pub(crate) fn set_epoch(db: &Connection, fresh: &HubEpoch) -> rusqlite::Result<()> {
    db.execute(
        "INSERT INTO identity (one, epoch) VALUES (1, ?1)
         ON CONFLICT (one) DO UPDATE SET epoch = excluded.epoch",
        params![fresh.as_str()],
    )
    .map(|_| ())
}
