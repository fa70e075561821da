//! What a phone does with its own stream: writes, sends, hears the answer, goes on.
//!
//! Everything that was written is either waiting or sent; nothing leaves but what a hub
//! refused, which is handed back. A hub that lost records (an old backup) is refilled; a
//! history that parted (a cloned phone) goes on in a new epoch. No storage and no chance
//! here: fresh epochs are handed in. A phone runs these very rules in the browser core
//! (`wasm/src/phone.rs`); `tests/data/streams.json` holds what phones wrote before against them.

use crate::batch::{Batch, MAX_BATCH, Receipt};
use crate::chain::Chain;
use crate::ident::{Hash32, StreamId};
use crate::record::{BadRecord, Head, Record};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// Bytes of bodies after which a batch ends.
pub const BATCH_BYTES: usize = 256 * 1024;

/// The end of the stream that is written: where the next record goes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct End {
    /// The stream.
    pub stream: StreamId,
    /// Number of its last record; 0 before the first.
    pub seq: u64,
    /// Hash of its last record; zero before the first.
    pub hash: Hash32,
}

/// An outbox as it is stored: records by their place among all that was written.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stored {
    /// Where the next record goes.
    pub end: End,
    /// Records that no hub has acknowledged.
    pub waiting: BTreeMap<u64, Record>,
    /// Records that the hub has acknowledged.
    pub sent: BTreeMap<u64, Record>,
}

/// One device's own records, by the order in which they were written.
///
/// ```
/// use slowstone_sync::{Outbox, Receipt, StreamId};
/// let mut outbox = Outbox::new(StreamId::new("phone1", "k3v9").unwrap());
/// outbox.write(r#"{"kind":"pour"}"#).unwrap();
/// let batch = outbox.batch(500).unwrap();
/// assert_eq!((batch.from, batch.bodies.len()), (1, 1));
///
/// // The hub has it: nothing waits any more.
/// let receipt = Receipt { accepted: 1, ..Receipt::default() };
/// let fresh = StreamId::new("phone1", "m2x7").unwrap();
/// assert_eq!(outbox.hear(&batch, &receipt, &fresh), None);
/// assert_eq!((outbox.waiting().count(), outbox.sent().count()), (0, 1));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outbox {
    chain: Chain,
    last: u64,
    waiting: BTreeMap<u64, Record>,
    sent: BTreeMap<u64, Record>,
}

impl Outbox {
    /// A device that has written nothing yet and writes into `stream`.
    #[must_use]
    pub fn new(stream: StreamId) -> Self {
        Self {
            chain: Chain::start(stream),
            last: 0,
            waiting: BTreeMap::new(),
            sent: BTreeMap::new(),
        }
    }

    /// An outbox as it was when it was stored.
    #[must_use]
    pub fn restore(stored: Stored) -> Self {
        let Stored { end, waiting, sent } = stored;
        let chain = match end.seq {
            0 => Chain::start(end.stream),
            _ => Chain::resume(Head {
                stream: end.stream,
                seq: end.seq,
                hash: end.hash,
            }),
        };
        let last = waiting.keys().chain(sent.keys()).max().copied();
        Self {
            chain,
            last: last.unwrap_or(0),
            waiting,
            sent,
        }
    }

    /// All of it, to be stored.
    #[must_use]
    pub fn stored(&self) -> Stored {
        let head = self.chain.head();
        Stored {
            end: End {
                stream: self.stream().clone(),
                seq: head.as_ref().map_or(0, |h| h.seq),
                hash: head.map_or(Hash32::ZERO, |h| h.hash),
            },
            waiting: self.waiting.clone(),
            sent: self.sent.clone(),
        }
    }

    /// The stream that is written now.
    #[must_use]
    pub fn stream(&self) -> &StreamId {
        self.chain.stream()
    }

    /// Records that no hub has acknowledged, in the order in which they were written.
    pub fn waiting(&self) -> impl Iterator<Item = &Record> {
        self.waiting.values()
    }

    /// Records that the hub has acknowledged, in the order in which they were written.
    pub fn sent(&self) -> impl Iterator<Item = &Record> {
        self.sent.values()
    }

    /// Writes a record at the end of the stream.
    ///
    /// # Errors
    /// If `body` cannot be one; nothing is written then.
    pub fn write(&mut self, body: impl Into<String>) -> Result<&Record, BadRecord> {
        let record = self.chain.next(body)?;
        self.last = self.last.saturating_add(1);
        Ok(self.waiting.entry(self.last).or_insert(record))
    }

    /// Writes a record under a place that whoever stores it gave out, above all before.
    ///
    /// # Errors
    /// As [`Self::write`].
    pub fn write_at(&mut self, place: u64, body: impl Into<String>) -> Result<(), BadRecord> {
        let record = self.chain.next(body)?;
        self.last = self.last.max(place);
        self.waiting.insert(place, record);
        Ok(())
    }

    /// What is to be sent next, at most `most` records; none when nothing waits.
    #[must_use]
    pub fn batch(&self, most: usize) -> Option<Batch> {
        let stream = &self.waiting.values().next()?.stream;
        let mut line = self.of(&self.waiting, stream);
        line.sort_by_key(|(_, r)| r.seq);
        let (_, first) = line.first()?;
        let mut bodies = Vec::new();
        let mut bytes = 0_usize;
        for ((_, record), seq) in line.iter().zip(first.seq..) {
            bytes = bytes.saturating_add(record.body.len());
            let full = bodies.len() >= most.clamp(1, MAX_BATCH) || bytes > BATCH_BYTES;
            if record.seq != seq || (full && !bodies.is_empty()) {
                break;
            }
            bodies.push(record.body.clone());
        }
        Some(Batch {
            stream: stream.clone(),
            from: first.seq,
            prev: first.prev,
            bodies,
        })
    }

    /// Hears what became of `batch`. `fresh` is a new random epoch, used if the stream
    /// cannot go on. Gives the record that the hub refused, which is out of the outbox now.
    pub fn hear(&mut self, batch: &Batch, receipt: &Receipt, fresh: &StreamId) -> Option<Record> {
        let stream = &batch.stream;
        let end = batch.from.saturating_add(receipt.accepted);
        for (n, record) in self.of(&self.waiting, stream) {
            if (batch.from..end).contains(&record.seq) {
                self.waiting.remove(&n);
                self.sent.insert(n, record);
            }
        }
        if let Some(want) = receipt.gap.filter(|want| *want < batch.from) {
            self.put_back(stream, want);
            let line = self.of(&self.waiting, stream);
            if line.iter().map(|(_, r)| r.seq).min() != Some(want) {
                self.rewrite(stream, fresh);
            }
        } else if let Some(seq) = receipt.fork {
            let older = self.of(&self.sent, stream);
            let older = older.iter().any(|(_, r)| r.seq < batch.from);
            if seq < batch.from && older {
                // Where the histories part is seen when all of it is sent again.
                self.put_back(stream, 0);
            } else {
                self.rewrite(stream, fresh);
            }
        } else if receipt.refused {
            let line = self.of(&self.waiting, stream);
            let (n, _) = line.into_iter().find(|(_, r)| r.seq == end)?;
            let refused = self.waiting.remove(&n);
            self.rewrite(stream, fresh);
            return refused;
        }
        None
    }

    /// Takes out records that wait and that no hub shall have any more, by their places; what
    /// was behind them is written once more, in the epoch `fresh`.
    pub fn remove(&mut self, places: &[u64], fresh: &StreamId) {
        let removed = places.iter().filter_map(|n| self.waiting.remove(n));
        let streams: BTreeSet<StreamId> = removed.map(|r| r.stream).collect();
        for stream in &streams {
            self.rewrite(stream, fresh);
        }
    }

    /// Goes on in the stream `own`, of another device: what waits is written there, since this
    /// device may write no other any more.
    pub fn write_as(&mut self, own: &StreamId) {
        if self.stream().device() == own.device() {
            return;
        }
        let mut streams = vec![self.stream().clone()];
        let others = self.waiting.values().map(|r| &r.stream);
        let others: BTreeSet<&StreamId> = others.filter(|s| s.device() != own.device()).collect();
        streams.extend(others.into_iter().filter(|s| *s != self.stream()).cloned());
        for stream in &streams {
            self.rewrite(stream, own);
        }
    }

    /// Compares with the heads that a hub has of this device: what it lost is sent again,
    /// and a stream that somebody else wrote on is left for a new one in the epoch `fresh`.
    pub fn meet(&mut self, theirs: &[Head], fresh: &StreamId) {
        let heads: BTreeMap<&StreamId, &Head> = theirs.iter().map(|h| (&h.stream, h)).collect();
        // Streams of a name that this device had before are not its own any more.
        let device = self.stream().device();
        let own = self.sent.values().map(|r| &r.stream);
        let mut mine: Vec<StreamId> = own.filter(|s| s.device() == device).cloned().collect();
        mine.push(self.stream().clone());
        mine.sort();
        mine.dedup();
        for stream in &mine {
            let Some(head) = heads.get(stream) else {
                self.put_back(stream, 0);
                continue;
            };
            let from = match self.hash_at(stream, head.seq) {
                Some(hash) if hash == head.hash => head.seq.saturating_add(1),
                // The histories parted; or another copy of this phone went farther, and only
                // sending all of it tells whether what is there began as it did here.
                _ => 0,
            };
            self.put_back(stream, from);
            let last = self.chain.head().map_or(0, |h| h.seq);
            if stream == self.stream() && head.seq > last {
                self.chain = Chain::start(fresh.clone());
            }
        }
    }

    /// Records of `stream` with their places, by place.
    fn of(&self, shelf: &BTreeMap<u64, Record>, stream: &StreamId) -> Vec<(u64, Record)> {
        let all = shelf.iter().filter(|(_, r)| r.stream == *stream);
        all.map(|(n, r)| (*n, r.clone())).collect()
    }

    /// The hash of a record that is here.
    fn hash_at(&self, stream: &StreamId, seq: u64) -> Option<Hash32> {
        let mut all = self.sent.values().chain(self.waiting.values());
        let found = all.find(|r| r.stream == *stream && r.seq == seq)?;
        Some(found.hash())
    }

    /// Has everything of `stream` from `from` on sent again.
    fn put_back(&mut self, stream: &StreamId, from: u64) {
        for (n, record) in self.of(&self.sent, stream) {
            if record.seq >= from {
                self.sent.remove(&n);
                self.waiting.insert(n, record);
            }
        }
    }

    /// Writes what waits of `stream` once more: in a new stream if it is the present one,
    /// else behind what the present one has.
    fn rewrite(&mut self, stream: &StreamId, fresh: &StreamId) {
        if stream == self.stream() {
            self.chain = Chain::start(fresh.clone());
        }
        for (n, record) in self.of(&self.waiting, stream) {
            // It was a body before, so it is one still.
            if let Ok(again) = self.chain.next(record.body) {
                self.waiting.insert(n, again);
            }
        }
    }
}
