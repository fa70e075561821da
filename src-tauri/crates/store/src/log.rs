//! What every log can do, whatever it is written on.
//!
//! There is no way to change or remove a record, on purpose. Engines:
//! [`crate::SqliteLog`], [`crate::MemoryLog`], and [`crate::PostgresLog`] for a firm.

use crate::error::StoreError;
use slowstone_sync::{Head, HubEpoch, Record, StreamId, Verdict};

/// An append-only log of records.
///
/// A position is the place of a record in the whole log: it grows with every record, is
/// never used twice, and may have holes.
pub trait EventLog: Send {
    /// Takes records in the order given, all or none: when this returns `Ok`, everything
    /// with [`Verdict::Append`] is on the disk; on an error nothing was stored. One verdict
    /// per record, by the rule of [`slowstone_sync::admit`]. `received_ms` is the hub's
    /// clock (milliseconds since 1970 UTC), kept beside the record as data.
    ///
    /// # Errors
    /// If it cannot be written (disk full, read-only, locked, damaged).
    fn append(&mut self, records: &[Record], received_ms: i64) -> Result<Vec<Verdict>, StoreError>;

    /// The last record of every stream, sorted by stream.
    ///
    /// # Errors
    /// If it cannot be read.
    fn heads(&self) -> Result<Vec<Head>, StoreError>;

    /// The last record of one stream.
    ///
    /// # Errors
    /// If it cannot be read.
    fn head(&self, stream: &StreamId) -> Result<Option<Head>, StoreError>;

    /// Up to `limit` records whose position is greater than `after`, by position. Start
    /// with 0, go on with the last position received; an empty answer is the end.
    ///
    /// # Errors
    /// If it cannot be read.
    fn read_from(&self, after: u64, limit: usize) -> Result<Vec<(u64, Record)>, StoreError>;

    /// Up to `limit` records of one stream from the number `from_seq` on, by number.
    ///
    /// # Errors
    /// If it cannot be read.
    fn read_stream(
        &self,
        stream: &StreamId,
        from_seq: u64,
        limit: usize,
    ) -> Result<Vec<Record>, StoreError>;

    /// The hub's clock when the record at `position` was taken, in milliseconds.
    ///
    /// # Errors
    /// If it cannot be read.
    fn received_ms(&self, position: u64) -> Result<Option<i64>, StoreError>;

    /// Position of the last record; 0 if there is none.
    ///
    /// # Errors
    /// If it cannot be read.
    fn last_position(&self) -> Result<u64, StoreError>;

    /// Number of records.
    ///
    /// # Errors
    /// If it cannot be read.
    fn len(&self) -> Result<u64, StoreError>;

    /// Whether there is no record.
    ///
    /// # Errors
    /// If it cannot be read.
    fn is_empty(&self) -> Result<bool, StoreError> {
        Ok(self.last_position()? == 0)
    }

    /// Whether other hubs may append to the same log meanwhile.
    fn is_shared(&self) -> bool {
        false
    }

    /// The life of this log: made with it, renewed by [`EventLog::renew_epoch`].
    fn epoch(&self) -> &HubEpoch;

    /// Gives the log a new life, so that clients notice it was set back to a backup.
    ///
    /// # Errors
    /// If it cannot be written.
    fn renew_epoch(&mut self, fresh: &HubEpoch) -> Result<(), StoreError>;
}

/// Small things that a hub remembers and may change: hashed tokens, reminders sent.
pub trait Settings {
    /// The value under `key`.
    ///
    /// # Errors
    /// If it cannot be read.
    fn get(&self, key: &str) -> Result<Option<String>, StoreError>;

    /// Puts `value` under `key`; on the disk when this returns.
    ///
    /// # Errors
    /// If it cannot be written.
    fn set(&mut self, key: &str, value: &str) -> Result<(), StoreError>;

    /// Puts `value` under `key` if `before` is there now (`None`: nothing); whether it did.
    /// One step, also where several hubs share the settings: an engine that can be shared
    /// has a way of its own.
    ///
    /// # Errors
    /// If it cannot be written.
    fn replace(
        &mut self,
        key: &str,
        before: Option<&str>,
        value: &str,
    ) -> Result<bool, StoreError> {
        // Whoever holds the log for writing is alone.
        let as_before = self.get(key)?.as_deref() == before;
        if as_before {
            self.set(key, value)?;
        }
        Ok(as_before)
    }

    /// Forgets `key`; nothing happens if there is none.
    ///
    /// # Errors
    /// If it cannot be written.
    fn remove(&mut self, key: &str) -> Result<(), StoreError>;

    /// Every key that begins with `prefix`, with its value, sorted by key.
    ///
    /// # Errors
    /// If it cannot be read.
    fn with_prefix(&self, prefix: &str) -> Result<Vec<(String, String)>, StoreError>;
}

/// What a hub writes on: a log and the settings beside it.
pub trait HubLog: EventLog + Settings + std::fmt::Debug {}

impl<T: EventLog + Settings + std::fmt::Debug> HubLog for T {}
