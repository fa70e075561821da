//! The log in one SQLite file.
//!
//! Every append is one transaction that is on the disk when it returns (WAL, synchronous
//! FULL). Several processes may have the file open: readers never wait, writers take
//! turns. How the file is made and brought up to date: [`crate::schema`]; what must hold
//! for every engine: [`crate::log`].

mod backup;
mod settings;
#[cfg(test)]
mod tests;

pub use backup::restore;

use crate::append::{Tables, append};
use crate::error::StoreError;
use crate::log::EventLog;
use crate::schema;
use rusqlite::{Connection, OptionalExtension, Row, TransactionBehavior, params};
use slowstone_sync::{Hash32, Head, HubEpoch, Record, StreamId, Verdict};
use std::path::{Path, PathBuf};

const APPENDING: &str = "the new records";
const READING: &str = "reading the log";

/// How to open a log.
#[derive(Clone, Debug)]
pub struct OpenOptions {
    /// Epoch of the log if it is made now: random text from the caller. Not used for a log
    /// that is there already.
    pub fresh_epoch: HubEpoch,
    /// How long to wait for another writer, in milliseconds.
    pub busy_ms: u32,
}

impl OpenOptions {
    /// The usual options: waits five seconds for another writer.
    #[must_use]
    pub fn new(fresh_epoch: HubEpoch) -> Self {
        Self {
            fresh_epoch,
            busy_ms: 5000,
        }
    }
}

/// An [`EventLog`] and [`crate::Settings`] in a SQLite file.
///
/// ```
/// use slowstone_store::{EventLog, HubEpoch, OpenOptions, SqliteLog, StreamId, Verdict};
/// use slowstone_sync::Chain;
/// let dir = tempfile::tempdir().unwrap();
/// let file = dir.path().join("log.sqlite");
/// let options = OpenOptions::new(HubEpoch::new("h1").unwrap());
///
/// let mut log = SqliteLog::open(&file, &options).unwrap();
/// let mut chain = Chain::start(StreamId::new("phone1", "k3v9").unwrap());
/// let record = chain.next(r#"{"kind":"pour"}"#).unwrap();
/// assert_eq!(log.append(&[record.clone()], 0).unwrap(), [Verdict::Append]);
/// drop(log);
///
/// let log = SqliteLog::open(&file, &options).unwrap();
/// assert_eq!(log.read_from(0, 10).unwrap(), [(1, record)]);
/// ```
#[derive(Debug)]
pub struct SqliteLog {
    db: Connection,
    path: PathBuf,
    epoch: HubEpoch,
}

impl SqliteLog {
    /// Opens the log at `path` for writing; makes it if there is none.
    ///
    /// # Errors
    /// If the file is damaged, of another program, of a newer version, locked, or cannot be
    /// written; the message says which and what to do.
    pub fn open(path: &Path, options: &OpenOptions) -> Result<Self, StoreError> {
        if !path.exists() {
            if let Err(StoreError::Occupied { path: rest, .. }) =
                schema::no_leftovers(path, "a new log")
            {
                let detail = format!("the file is gone but {} is there", rest.display());
                return Err(StoreError::corrupt(path, detail));
            }
            schema::create(path, &options.fresh_epoch)?;
        }
        let (db, epoch) = schema::open(path, options.busy_ms)?;
        Ok(Self::with(db, path, epoch))
    }

    /// Opens an existing log for reading only, also beside a running hub and on a disk that
    /// cannot be written. Whatever would write answers [`StoreError::ReadOnly`].
    ///
    /// # Errors
    /// If the file is not there, damaged, of another program or of a newer version.
    pub fn open_read_only(path: &Path) -> Result<Self, StoreError> {
        let (db, epoch) = schema::open_read_only(path, 5000)?;
        Ok(Self::with(db, path, epoch))
    }

    fn with(db: Connection, path: &Path, epoch: HubEpoch) -> Self {
        db.set_prepared_statement_cache_capacity(32);
        let path = path.to_path_buf();
        Self { db, path, epoch }
    }

    /// The file.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Lets SQLite look at every page and index of the file; what it complains about, and
    /// nothing if all is well. Chains are walked by [`crate::verify()`].
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn check_file(&self) -> Result<Vec<String>, StoreError> {
        let ask = || -> rusqlite::Result<Vec<String>> {
            let mut lines = self.db.prepare("PRAGMA integrity_check")?;
            lines.query_map([], |r| r.get(0))?.collect()
        };
        let lines = ask().map_err(|e| self.error(READING, e))?;
        Ok(lines.into_iter().filter(|line| line != "ok").collect())
    }

    /// From now on everything is read as it is at this moment, whatever a hub appends
    /// meanwhile: for looking at a whole log beside a running one. Only for a log that was
    /// opened for reading; the file's log of changes grows until this one is closed.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn hold_still(&self) -> Result<(), StoreError> {
        let hold = || -> rusqlite::Result<i64> {
            self.db.execute_batch("BEGIN DEFERRED")?;
            // The first reading fixes the moment.
            self.db
                .query_row("SELECT coalesce(max(position), 0) FROM entry", [], |r| {
                    r.get(0)
                })
        };
        hold().map(|_| ()).map_err(|e| self.error(READING, e))
    }

    fn error(&self, doing: &'static str, e: rusqlite::Error) -> StoreError {
        StoreError::sqlite(&self.path, doing, e)
    }

    /// A record from `device, epoch, seq, prev, body` (and what stands before them).
    fn record(row: &Row<'_>, from: usize) -> rusqlite::Result<Record> {
        Ok(Record {
            stream: stream_id(row, from)?,
            seq: whole(row, from + 2)?,
            prev: Hash32::from_bytes(row.get(from + 3)?),
            body: row.get(from + 4)?,
        })
    }
}

fn stream_id(row: &Row<'_>, from: usize) -> rusqlite::Result<StreamId> {
    let (device, epoch): (String, String) = (row.get(from)?, row.get(from + 1)?);
    StreamId::new(&device, &epoch).map_err(|e| {
        rusqlite::Error::FromSqlConversionFailure(from, rusqlite::types::Type::Text, Box::new(e))
    })
}

/// SQLite counts to 2^63 - 1; what is beyond is beyond every record.
fn number(n: u64) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}

/// A number that is never negative.
fn whole(row: &Row<'_>, at: usize) -> rusqlite::Result<u64> {
    let n: i64 = row.get(at)?;
    u64::try_from(n).map_err(|_| rusqlite::Error::IntegralValueOutOfRange(at, n))
}

fn count(n: usize) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}

/// The key of a stream in the file, if it has any record or was met before.
fn key_of(db: &Connection, stream: &StreamId) -> rusqlite::Result<Option<i64>> {
    db.prepare_cached("SELECT id FROM stream WHERE device = ?1 AND epoch = ?2")?
        .query_row([stream.device(), stream.epoch()], |r| r.get(0))
        .optional()
}

/// The last record of the stream with this key.
fn end_of(db: &Connection, stream: &StreamId, key: i64) -> rusqlite::Result<Option<Head>> {
    db.prepare_cached("SELECT seq, hash FROM entry WHERE stream = ?1 ORDER BY seq DESC LIMIT 1")?
        .query_row([key], |r| {
            Ok(Head {
                stream: stream.clone(),
                seq: whole(r, 0)?,
                hash: Hash32::from_bytes(r.get(1)?),
            })
        })
        .optional()
}

/// The tables in one transaction, and when its records came.
struct Taking<'a> {
    db: &'a Connection,
    received_ms: i64,
}

impl Tables for Taking<'_> {
    type Error = rusqlite::Error;

    fn key(&mut self, stream: &StreamId) -> rusqlite::Result<Option<i64>> {
        key_of(self.db, stream)
    }

    fn head(&mut self, stream: &StreamId, key: i64) -> rusqlite::Result<Option<Head>> {
        end_of(self.db, stream, key)
    }

    fn hash_at(&mut self, key: i64, seq: u64) -> rusqlite::Result<Option<Hash32>> {
        self.db
            .prepare_cached("SELECT hash FROM entry WHERE stream = ?1 AND seq = ?2")?
            .query_row([key, number(seq)], |r| r.get(0).map(Hash32::from_bytes))
            .optional()
    }

    fn add_stream(&mut self, stream: &StreamId) -> rusqlite::Result<i64> {
        self.db
            .prepare_cached("INSERT INTO stream (device, epoch) VALUES (?1, ?2)")?
            .insert([stream.device(), stream.epoch()])
    }

    fn add_entry(&mut self, key: i64, record: &Record, hash: Hash32) -> rusqlite::Result<()> {
        self.db
            .prepare_cached(
                "INSERT INTO entry (stream, seq, prev, hash, body, received_ms)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            )?
            .execute(params![
                key,
                number(record.seq),
                record.prev.as_bytes(),
                hash.as_bytes(),
                record.body,
                self.received_ms
            ])
            .map(drop)
    }
}

impl EventLog for SqliteLog {
    fn append(&mut self, records: &[Record], received_ms: i64) -> Result<Vec<Verdict>, StoreError> {
        let db = &mut self.db;
        let mut run = || -> rusqlite::Result<Vec<Verdict>> {
            let tx = db.transaction_with_behavior(TransactionBehavior::Immediate)?;
            let mut taking = Taking {
                db: &tx,
                received_ms,
            };
            let verdicts = append(&mut taking, records)?;
            tx.commit()?;
            Ok(verdicts)
        };
        run().map_err(|e| self.error(APPENDING, e))
    }

    fn heads(&self) -> Result<Vec<Head>, StoreError> {
        let ask = || -> rusqlite::Result<Vec<Head>> {
            self.db
                .prepare_cached(
                    "SELECT s.device, s.epoch, e.seq, e.hash FROM stream s JOIN entry e
                     ON e.stream = s.id
                     AND e.seq = (SELECT max(seq) FROM entry WHERE stream = s.id)
                     ORDER BY s.device, s.epoch",
                )?
                .query_map([], |row| {
                    Ok(Head {
                        stream: stream_id(row, 0)?,
                        seq: whole(row, 2)?,
                        hash: Hash32::from_bytes(row.get(3)?),
                    })
                })?
                .collect()
        };
        ask().map_err(|e| self.error(READING, e))
    }

    fn head(&self, stream: &StreamId) -> Result<Option<Head>, StoreError> {
        let ask = || match key_of(&self.db, stream)? {
            Some(key) => end_of(&self.db, stream, key),
            None => Ok(None),
        };
        ask().map_err(|e| self.error(READING, e))
    }

    fn read_from(&self, after: u64, limit: usize) -> Result<Vec<(u64, Record)>, StoreError> {
        let ask = || -> rusqlite::Result<Vec<(u64, Record)>> {
            self.db
                .prepare_cached(
                    "SELECT e.position, s.device, s.epoch, e.seq, e.prev, e.body
                     FROM entry e JOIN stream s ON s.id = e.stream
                     WHERE e.position > ?1 ORDER BY e.position LIMIT ?2",
                )?
                .query_map([number(after), count(limit)], |row| {
                    Ok((whole(row, 0)?, Self::record(row, 1)?))
                })?
                .collect()
        };
        ask().map_err(|e| self.error(READING, e))
    }

    fn read_stream(
        &self,
        stream: &StreamId,
        from_seq: u64,
        limit: usize,
    ) -> Result<Vec<Record>, StoreError> {
        let ask = || -> rusqlite::Result<Vec<Record>> {
            let Some(key) = key_of(&self.db, stream)? else {
                return Ok(Vec::new());
            };
            self.db
                .prepare_cached(
                    "SELECT s.device, s.epoch, e.seq, e.prev, e.body
                     FROM entry e JOIN stream s ON s.id = e.stream
                     WHERE e.stream = ?1 AND e.seq >= ?2 ORDER BY e.seq LIMIT ?3",
                )?
                .query_map([key, number(from_seq), count(limit)], |row| {
                    Self::record(row, 0)
                })?
                .collect()
        };
        ask().map_err(|e| self.error(READING, e))
    }

    fn received_ms(&self, position: u64) -> Result<Option<i64>, StoreError> {
        self.db
            .prepare_cached("SELECT received_ms FROM entry WHERE position = ?1")
            .and_then(|mut ask| ask.query_row([number(position)], |r| r.get(0)).optional())
            .map_err(|e| self.error(READING, e))
    }

    fn last_position(&self) -> Result<u64, StoreError> {
        self.db
            .prepare_cached("SELECT coalesce(max(position), 0) FROM entry")
            .and_then(|mut ask| ask.query_row([], |r| whole(r, 0)))
            .map_err(|e| self.error(READING, e))
    }

    fn len(&self) -> Result<u64, StoreError> {
        self.db
            .prepare_cached("SELECT count(*) FROM entry")
            .and_then(|mut ask| ask.query_row([], |r| whole(r, 0)))
            .map_err(|e| self.error(READING, e))
    }

    fn epoch(&self) -> &HubEpoch {
        &self.epoch
    }

    fn renew_epoch(&mut self, fresh: &HubEpoch) -> Result<(), StoreError> {
        schema::set_epoch(&self.db, fresh).map_err(|e| self.error("the new epoch", e))?;
        self.epoch = fresh.clone();
        Ok(())
    }
}
