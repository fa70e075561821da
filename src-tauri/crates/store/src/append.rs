//! Appending, the same for every engine that keeps its records in tables.
//!
//! An engine gives what can be asked and written in one transaction ([`Tables`]); by which
//! rule a record is taken is in [`slowstone_sync::admit`], and which of them is written in
//! which order is here. Beginning and ending the transaction is the engine's part.

use slowstone_sync::{Hash32, Head, Record, StreamId, Verdict, admit};
use std::collections::HashMap;
use std::collections::hash_map::Entry;

/// What appending asks of an engine, all within one transaction.
pub(crate) trait Tables {
    /// Why it could not be asked or written.
    type Error;

    /// The engine's key of a stream, if the stream is known.
    fn key(&mut self, stream: &StreamId) -> Result<Option<i64>, Self::Error>;

    /// The last record of the stream with this key, if it has any.
    fn head(&mut self, stream: &StreamId, key: i64) -> Result<Option<Head>, Self::Error>;

    /// The hash that is stored under a number of the stream with this key.
    fn hash_at(&mut self, key: i64, seq: u64) -> Result<Option<Hash32>, Self::Error>;

    /// Makes a stream known; its key.
    fn add_stream(&mut self, stream: &StreamId) -> Result<i64, Self::Error>;

    /// Writes a record with its hash at the end of the stream with this key.
    fn add_entry(&mut self, key: i64, record: &Record, hash: Hash32) -> Result<(), Self::Error>;
}

/// A stream met in this transaction.
struct Met {
    key: Option<i64>,
    head: Option<Head>,
}

/// Judges records in the order given and writes those that fit: one verdict per record.
///
/// # Errors
/// As the engine; the caller then drops the whole transaction.
pub(crate) fn append<T: Tables>(
    tables: &mut T,
    records: &[Record],
) -> Result<Vec<Verdict>, T::Error> {
    let mut streams: HashMap<&StreamId, Met> = HashMap::new();
    let mut verdicts = Vec::with_capacity(records.len());
    for record in records {
        let met = match streams.entry(&record.stream) {
            Entry::Occupied(known) => known.into_mut(),
            Entry::Vacant(new) => new.insert(meet(tables, &record.stream)?),
        };
        verdicts.push(take(tables, met, record)?);
    }
    Ok(verdicts)
}

fn meet<T: Tables>(tables: &mut T, stream: &StreamId) -> Result<Met, T::Error> {
    let key = tables.key(stream)?;
    let head = match key {
        Some(key) => tables.head(stream, key)?,
        None => None,
    };
    Ok(Met { key, head })
}

/// Judges one record and writes it if it fits.
fn take<T: Tables>(tables: &mut T, met: &mut Met, record: &Record) -> Result<Verdict, T::Error> {
    let have = met.head.as_ref().map_or(0, |h| h.seq);
    let at = match met.key {
        Some(key) if record.seq < have => tables.hash_at(key, record.seq)?,
        _ => None,
    };
    let verdict = admit(met.head.as_ref(), at, record);
    if verdict != Verdict::Append {
        return Ok(verdict);
    }
    let key = match met.key {
        Some(key) => key,
        None => tables.add_stream(&record.stream)?,
    };
    let head = record.head();
    tables.add_entry(key, record, head.hash)?;
    met.key = Some(key);
    met.head = Some(head);
    Ok(verdict)
}
