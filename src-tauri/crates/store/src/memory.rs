//! A log in memory: for tests, and the plain statement of what every engine must do.
//!
//! Nothing is kept when it is dropped. The engine on disk: [`crate::SqliteLog`].

use crate::error::StoreError;
use crate::log::{EventLog, Settings};
use slowstone_sync::{Hash32, Head, HubEpoch, Record, StreamId, Verdict, admit};
use std::collections::BTreeMap;

/// An [`EventLog`] and [`Settings`] in memory.
///
/// ```
/// use slowstone_store::{EventLog, HubEpoch, MemoryLog, StreamId, Verdict};
/// use slowstone_sync::Chain;
/// let mut log = MemoryLog::new(HubEpoch::new("h1").unwrap());
/// let mut chain = Chain::start(StreamId::new("phone1", "k3v9").unwrap());
/// let record = chain.next(r#"{"kind":"pour"}"#).unwrap();
/// assert_eq!(log.append(&[record.clone()], 0).unwrap(), [Verdict::Append]);
/// assert_eq!(log.append(&[record], 9).unwrap(), [Verdict::Already]);
/// assert_eq!(log.len().unwrap(), 1);
/// ```
#[derive(Debug)]
pub struct MemoryLog {
    epoch: HubEpoch,
    /// Record and arrival; the position is the index plus one.
    entries: Vec<(Record, i64)>,
    /// Index into `entries` and hash, in order, for every stream.
    streams: BTreeMap<StreamId, Vec<(usize, Hash32)>>,
    settings: BTreeMap<String, String>,
}

impl MemoryLog {
    /// An empty log with this epoch.
    #[must_use]
    pub fn new(epoch: HubEpoch) -> Self {
        Self {
            epoch,
            entries: Vec::new(),
            streams: BTreeMap::new(),
            settings: BTreeMap::new(),
        }
    }

    fn end_of(stream: &StreamId, entries: &[(usize, Hash32)]) -> Option<Head> {
        entries.last().map(|(_, hash)| Head {
            stream: stream.clone(),
            seq: entries.len() as u64,
            hash: *hash,
        })
    }
}

/// Index of the entry with number `seq`; numbers start at 1.
fn index(seq: u64) -> Option<usize> {
    usize::try_from(seq.checked_sub(1)?).ok()
}

impl EventLog for MemoryLog {
    fn append(&mut self, records: &[Record], received_ms: i64) -> Result<Vec<Verdict>, StoreError> {
        let mut verdicts = Vec::with_capacity(records.len());
        for record in records {
            let known = self.streams.get(&record.stream);
            let head = known.and_then(|s| Self::end_of(&record.stream, s));
            let at = known
                .and_then(|s| s.get(index(record.seq)?))
                .map(|(_, hash)| *hash);
            let verdict = admit(head.as_ref(), at, record);
            if verdict == Verdict::Append {
                let place = (self.entries.len(), record.hash());
                self.entries.push((record.clone(), received_ms));
                self.streams
                    .entry(record.stream.clone())
                    .or_default()
                    .push(place);
            }
            verdicts.push(verdict);
        }
        Ok(verdicts)
    }

    fn heads(&self) -> Result<Vec<Head>, StoreError> {
        let ends = self.streams.iter();
        Ok(ends.filter_map(|(id, s)| Self::end_of(id, s)).collect())
    }

    fn head(&self, stream: &StreamId) -> Result<Option<Head>, StoreError> {
        let known = self.streams.get(stream);
        Ok(known.and_then(|s| Self::end_of(stream, s)))
    }

    fn read_from(&self, after: u64, limit: usize) -> Result<Vec<(u64, Record)>, StoreError> {
        let skip = usize::try_from(after).unwrap_or(usize::MAX);
        let rest = (1u64..).zip(&self.entries).skip(skip).take(limit);
        Ok(rest.map(|(at, (record, _))| (at, record.clone())).collect())
    }

    fn read_stream(
        &self,
        stream: &StreamId,
        from_seq: u64,
        limit: usize,
    ) -> Result<Vec<Record>, StoreError> {
        let places = self.streams.get(stream).map_or(&[][..], Vec::as_slice);
        let skip = index(from_seq.max(1)).unwrap_or(usize::MAX);
        let rest = places.iter().skip(skip).take(limit);
        Ok(rest
            .filter_map(|(i, _)| self.entries.get(*i))
            .map(|(record, _)| record.clone())
            .collect())
    }

    fn received_ms(&self, position: u64) -> Result<Option<i64>, StoreError> {
        let entry = index(position).and_then(|i| self.entries.get(i));
        Ok(entry.map(|(_, ms)| *ms))
    }

    fn last_position(&self) -> Result<u64, StoreError> {
        Ok(self.entries.len() as u64)
    }

    fn len(&self) -> Result<u64, StoreError> {
        Ok(self.entries.len() as u64)
    }

    fn epoch(&self) -> &HubEpoch {
        &self.epoch
    }

    fn renew_epoch(&mut self, fresh: &HubEpoch) -> Result<(), StoreError> {
        self.epoch = fresh.clone();
        Ok(())
    }
}

impl Settings for MemoryLog {
    fn get(&self, key: &str) -> Result<Option<String>, StoreError> {
        Ok(self.settings.get(key).cloned())
    }

    fn set(&mut self, key: &str, value: &str) -> Result<(), StoreError> {
        self.settings.insert(key.to_owned(), value.to_owned());
        Ok(())
    }

    fn remove(&mut self, key: &str) -> Result<(), StoreError> {
        self.settings.remove(key);
        Ok(())
    }

    fn with_prefix(&self, prefix: &str) -> Result<Vec<(String, String)>, StoreError> {
        let from = self.settings.range(prefix.to_owned()..);
        Ok(from
            .take_while(|(key, _)| key.starts_with(prefix))
            .map(|(key, value)| (key.clone(), value.clone()))
            .collect())
    }
}
