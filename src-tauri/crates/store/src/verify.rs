//! Walks a whole log or a whole blob store again and reports what does not hold.
//!
//! It reads only, and goes on after a fault, so that one report names them all. What the
//! events mean is not looked at. Pages of the SQLite file itself:
//! [`crate::SqliteLog::check_file`].

use crate::blobs::BlobStore;
use crate::error::StoreError;
use crate::log::EventLog;
use slowstone_sync::{Hash32, Head, StreamId, Verdict, admit};
use std::collections::BTreeMap;
use std::fmt;

/// Records read at once.
const PAGE: usize = 500;

/// Something in a log that does not hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Which stream.
    pub stream: StreamId,
    /// Number of the record in it.
    pub seq: u64,
    /// What is wrong.
    pub why: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "stream {} record {}: {}",
            self.stream, self.seq, self.why
        )
    }
}

/// What [`verify`] found.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Report {
    /// Records walked.
    pub records: u64,
    /// Streams walked.
    pub streams: u64,
    /// What does not hold, in order of position.
    pub faults: Vec<Fault>,
}

impl Report {
    /// Whether everything holds.
    #[must_use]
    pub fn is_clean(&self) -> bool {
        self.faults.is_empty()
    }
}

/// Walks every chain: numbers without holes, each record naming the hash of the one
/// before, and the stored heads being those that the walk ends with.
///
/// ```
/// use slowstone_store::{EventLog, HubEpoch, MemoryLog, StreamId, verify};
/// use slowstone_sync::Chain;
/// let mut log = MemoryLog::new(HubEpoch::new("h1").unwrap());
/// let mut chain = Chain::start(StreamId::new("phone1", "k3v9").unwrap());
/// log.append(&[chain.next("{}").unwrap(), chain.next("{}").unwrap()], 0).unwrap();
/// let report = verify(&log).unwrap();
/// assert!(report.is_clean());
/// assert_eq!((report.records, report.streams), (2, 1));
/// ```
///
/// # Errors
/// If the log cannot be read to its end.
pub fn verify(log: &dyn EventLog) -> Result<Report, StoreError> {
    let mut report = Report::default();
    let mut ends: BTreeMap<StreamId, Head> = BTreeMap::new();
    let mut after = 0;
    loop {
        let page = log.read_from(after, PAGE)?;
        if page.is_empty() {
            break;
        }
        for (position, record) in page {
            after = position;
            report.records += 1;
            let before = ends.get(&record.stream);
            let why = match admit(before, None, &record) {
                Verdict::Append => None,
                Verdict::Gap { have } => Some(format!("follows {have}, records are missing")),
                Verdict::Fork { .. } => {
                    Some("the record before it is not the one that it names".to_owned())
                }
                Verdict::Already => Some("stands in the log twice".to_owned()),
                Verdict::Bad { reason } => Some(reason),
            };
            if let Some(why) = why {
                report.faults.push(Fault {
                    stream: record.stream.clone(),
                    seq: record.seq,
                    why,
                });
            }
            ends.insert(record.stream.clone(), record.head());
        }
    }
    report.streams = ends.len() as u64;
    let mut fault = |stream: &StreamId, seq, why: &str| {
        report.faults.push(Fault {
            stream: stream.clone(),
            seq,
            why: why.to_owned(),
        });
    };
    for head in log.heads()? {
        match ends.remove(&head.stream) {
            Some(end) if end == head => {}
            Some(end) => fault(&end.stream, end.seq, "its hash is not the one stored"),
            None => fault(&head.stream, head.seq, "has a head but no records"),
        }
    }
    for end in ends.values() {
        fault(&end.stream, end.seq, "has records but no head");
    }
    Ok(report)
}

/// What [`verify_blobs`] found.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct BlobReport {
    /// Blobs read.
    pub blobs: u64,
    /// Those whose bytes no longer have their hash.
    pub altered: Vec<Hash32>,
    /// Those that cannot be read, with the reason.
    pub unreadable: Vec<(Hash32, String)>,
}

impl BlobReport {
    /// Whether everything holds.
    #[must_use]
    pub fn is_clean(&self) -> bool {
        self.altered.is_empty() && self.unreadable.is_empty()
    }
}

/// Reads every blob and hashes it again.
///
/// # Errors
/// If the blobs cannot be listed; a single bad one is reported instead.
pub fn verify_blobs(blobs: &dyn BlobStore) -> Result<BlobReport, StoreError> {
    let mut report = BlobReport::default();
    for hash in blobs.list()? {
        report.blobs += 1;
        match blobs.verify(&hash) {
            Ok(_) => {}
            Err(StoreError::Altered { .. }) => report.altered.push(hash),
            Err(e) => report.unreadable.push((hash, e.to_string())),
        }
    }
    Ok(report)
}
