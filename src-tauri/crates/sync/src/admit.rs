//! The one rule by which a record gets into a log.
//!
//! Idempotent (the same record again is fine), contiguous (no holes), and a second history
//! under the same numbers is reported, never swallowed. Storing is the caller's part: see
//! the crate `store`.

use crate::ident::Hash32;
use crate::record::{Head, Record};
use serde::{Deserialize, Serialize};

/// What becomes of a record.
///
/// As JSON: `{"verdict":"append"}`, `{"verdict":"gap","have":3}`, and so on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "verdict", rename_all = "snake_case")]
pub enum Verdict {
    /// New and fitting: stored now.
    Append,
    /// Already there, byte for byte: as good as stored.
    Already,
    /// Records are missing in between: send from `have + 1`.
    Gap {
        /// Number of the last record that is here; 0 if there is none.
        have: u64,
    },
    /// The stream goes on differently here: two devices write under one name (a cloned
    /// phone, a restored one). Nothing was stored. The sender keeps its records, makes a
    /// new epoch, writes them again there, and a person is told.
    Fork {
        /// A number at which the two histories differ.
        seq: u64,
    },
    /// Cannot stand in any log.
    Bad {
        /// What is wrong and what to do.
        reason: String,
    },
}

impl Verdict {
    /// Whether the record is in the log after this verdict.
    #[must_use]
    pub fn is_stored(&self) -> bool {
        matches!(self, Self::Append | Self::Already)
    }
}

/// Decides about `record`, given the `head` of its stream and, if the log already has a
/// record with this number, the hash `at` that is stored there.
///
/// ```
/// use slowstone_sync::{admit, Chain, StreamId, Verdict};
/// let mut chain = Chain::start(StreamId::new("phone1", "k3v9").unwrap());
/// let a = chain.next("{}").unwrap();
/// let b = chain.next("{}").unwrap();
/// assert_eq!(admit(None, None, &a), Verdict::Append);
/// assert_eq!(admit(None, None, &b), Verdict::Gap { have: 0 });
/// assert_eq!(admit(Some(&a.head()), None, &b), Verdict::Append);
/// assert_eq!(admit(Some(&b.head()), Some(a.hash()), &a), Verdict::Already);
/// ```
#[must_use]
pub fn admit(head: Option<&Head>, at: Option<Hash32>, record: &Record) -> Verdict {
    let bad = |reason: String| Verdict::Bad { reason };
    if let Err(why) = record.check() {
        return bad(why.to_string());
    }
    let (have, last) = match head {
        None => (0, Hash32::ZERO),
        Some(head) if head.stream == record.stream => (head.seq, head.hash),
        Some(head) => {
            return bad(format!(
                "compared with the head of stream {}: ask with the head of {}",
                head.stream, record.stream
            ));
        }
    };
    let next = have.saturating_add(1);
    if record.seq > next {
        return Verdict::Gap { have };
    }
    if record.seq == next {
        return if record.prev == last {
            Verdict::Append
        } else {
            Verdict::Fork { seq: have }
        };
    }
    let stored = if record.seq == have { Some(last) } else { at };
    match stored {
        Some(hash) if hash == record.hash() => Verdict::Already,
        Some(_) => Verdict::Fork { seq: record.seq },
        None => bad(format!(
            "the log ends at {have} but has no record {}: verify the log, restore a backup",
            record.seq
        )),
    }
}
