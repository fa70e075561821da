//! Records of one stream on their way: what is sent at once, and what becomes of it.
//!
//! Only the first number, the hash before it and the bodies travel; numbers and hashes of
//! the rest follow from them, so that a batch is contiguous by its form. How it was written:
//! [`crate::Outbox`]; by which rule each record is taken: [`crate::admit()`].

use crate::admit::Verdict;
use crate::ident::{Hash32, StreamId};
use crate::record::{BadRecord, Head, MAX_SEQ, Record};
use serde::{Deserialize, Serialize};

/// Most records of one batch.
pub const MAX_BATCH: usize = 500;

/// Some records of one stream, in order and without holes.
///
/// ```
/// use slowstone_sync::{Batch, Chain, Hash32, StreamId};
/// let stream = StreamId::new("phone1", "k3v9").unwrap();
/// let bodies = vec![r#"{"kind":"pour"}"#.to_owned(), "{}".to_owned()];
/// let batch = Batch { stream: stream.clone(), from: 1, prev: Hash32::ZERO, bodies };
/// // Numbers and hashes follow from the first of them, as the writer made them.
/// let mut chain = Chain::start(stream);
/// let records = batch.records().unwrap();
/// assert_eq!(records[0], chain.next(r#"{"kind":"pour"}"#).unwrap());
/// assert_eq!(records[1], chain.next("{}").unwrap());
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(rename = "StreamBatch"))]
#[serde(deny_unknown_fields)]
pub struct Batch {
    /// The stream.
    pub stream: StreamId,
    /// Number of the first.
    pub from: u64,
    /// Hash of the record before the first; zero before number 1.
    pub prev: Hash32,
    /// The bodies, exactly as they were written.
    pub bodies: Vec<String>,
}

impl Batch {
    /// Its records.
    ///
    /// # Errors
    /// Names what cannot stand in any log: the first number, or a body.
    pub fn records(self) -> Result<Vec<Record>, BadRecord> {
        if self.from == 0 {
            return Err(BadRecord::Seq(0));
        }
        let mut prev = self.prev;
        let mut seq = self.from;
        let mut records = Vec::with_capacity(self.bodies.len());
        for body in self.bodies {
            let stream = self.stream.clone();
            let record = Record {
                stream,
                seq,
                prev,
                body,
            };
            record.check()?;
            prev = record.hash();
            seq = seq.saturating_add(1).min(MAX_SEQ + 1);
            records.push(record);
        }
        Ok(records)
    }
}

/// What became of a batch. The same batch again is answered with the same `accepted`.
///
/// ```
/// use slowstone_sync::{Chain, Receipt, StreamId, admit};
/// let mut chain = Chain::start(StreamId::new("phone1", "k3v9").unwrap());
/// let (first, _lost, third) = (chain.next("{}").unwrap(), chain.next("{}"), chain.next("{}").unwrap());
/// let mut receipt = Receipt::default();
/// assert!(receipt.judge(&admit(None, None, &first)));
/// assert!(!receipt.judge(&admit(Some(&first.head()), None, &third)), "the second is missing");
/// assert_eq!((receipt.accepted, receipt.gap), (1, Some(2)));
/// ```
///
/// As JSON, for a batch that begins too late:
/// `{"head":{...},"accepted":0,"gap":4}`.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(rename = "StreamReceipt"))]
#[serde(deny_unknown_fields)]
pub struct Receipt {
    /// The last record of the stream in the log now; none if the log has nothing of it.
    pub head: Option<Head>,
    /// How many records from the first on are in the log now, or were before.
    pub accepted: u64,
    /// Records are missing before the first: the number that is wanted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gap: Option<u64>,
    /// The stream goes on differently in the log: a number at which the two differ.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fork: Option<u64>,
    /// The record after the accepted ones means something that cannot be. It is not in the
    /// log, and neither is what follows; why is said beside the receipt.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub refused: bool,
}

impl Receipt {
    /// Adds the verdict on the next record; false if that ends the batch.
    pub fn judge(&mut self, verdict: &Verdict) -> bool {
        match verdict {
            Verdict::Append | Verdict::Already => self.accepted = self.accepted.saturating_add(1),
            Verdict::Gap { have } => self.gap = Some(have.saturating_add(1)),
            Verdict::Fork { seq } => self.fork = Some(*seq),
            Verdict::Bad { .. } => self.refused = true,
        }
        verdict.is_stored()
    }
}
