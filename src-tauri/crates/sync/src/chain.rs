//! Writing an own stream: each record names the one before.
//!
//! A chain holds only its head; storing a record before it is shown as saved is the
//! caller's duty. After a fork the device starts a new stream with a new random epoch
//! instead of writing on (see [`crate::Verdict::Fork`]).

use crate::ident::{Hash32, StreamId};
use crate::record::{BadRecord, Head, Record};

/// Makes the records of a stream of one's own.
///
/// ```
/// use slowstone_sync::{Chain, StreamId};
/// let mut chain = Chain::start(StreamId::new("phone1", "k3v9").unwrap());
/// let first = chain.next(r#"{"kind":"pour"}"#).unwrap();
/// let second = chain.next(r#"{"kind":"reading"}"#).unwrap();
/// assert_eq!((first.seq, second.seq), (1, 2));
/// assert_eq!(second.prev, first.hash());
///
/// // Later, after a restart of the device, from the head that was stored:
/// let mut chain = Chain::resume(second.head());
/// assert_eq!(chain.next("{}").unwrap().prev, second.hash());
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chain {
    stream: StreamId,
    seq: u64,
    hash: Hash32,
}

impl Chain {
    /// A stream that has no record yet.
    #[must_use]
    pub fn start(stream: StreamId) -> Self {
        Self {
            stream,
            seq: 0,
            hash: Hash32::ZERO,
        }
    }

    /// A stream that goes on after `head`.
    #[must_use]
    pub fn resume(head: Head) -> Self {
        Self {
            stream: head.stream,
            seq: head.seq,
            hash: head.hash,
        }
    }

    /// The last record made, if there is one.
    #[must_use]
    pub fn head(&self) -> Option<Head> {
        (self.seq > 0).then(|| Head {
            stream: self.stream.clone(),
            seq: self.seq,
            hash: self.hash,
        })
    }

    /// The stream that is written.
    #[must_use]
    pub fn stream(&self) -> &StreamId {
        &self.stream
    }

    /// Makes the next record. If it is refused, the chain stays as it was.
    ///
    /// # Errors
    /// If the body cannot be one (see [`Record::check`]) or the numbers are used up.
    pub fn next(&mut self, body: impl Into<String>) -> Result<Record, BadRecord> {
        let record = Record {
            stream: self.stream.clone(),
            seq: self.seq.saturating_add(1),
            prev: self.hash,
            body: body.into(),
        };
        record.check()?;
        self.seq = record.seq;
        self.hash = record.hash();
        Ok(record)
    }
}
