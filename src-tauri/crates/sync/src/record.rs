//! One record of a stream, its hash, and the head that stands for a whole stream.
//!
//! The body is kept as text and hashed as it is: nobody on the way may reformat it. What a
//! body must contain is checked by the crate `logbook`. Who makes records:
//! [`crate::Chain`]; who takes them: [`crate::admit()`].

use crate::ident::{Hash32, StreamId};
use serde::{Deserialize, Serialize};

/// Longest body, in bytes.
pub const MAX_BODY_BYTES: usize = 64 * 1024;

/// Greatest sequence number: the greatest whole number that JavaScript holds exactly.
pub const MAX_SEQ: u64 = (1 << 53) - 1;

/// First thing that goes into the hash, so that no other hash of the program can be taken
/// for one of a record. Changes with the layout.
const DOMAIN: &[u8] = b"slowstone record 1";

/// A record that cannot stand in any log.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BadRecord {
    /// The number is not 1 to [`MAX_SEQ`].
    #[error("seq = {0}: must be 1 to {MAX_SEQ}; start a new stream")]
    Seq(u64),
    /// A first record that names a predecessor, or a later one that names none.
    #[error("prev does not fit seq {0}: it is zero for the first record and only there")]
    Prev(u64),
    /// Nothing in it.
    #[error("the body is empty: it must be the JSON text of an event")]
    Empty,
    /// Too much in it.
    #[error("the body has {0} bytes: at most {MAX_BODY_BYTES} are taken; shorten the notes")]
    TooLong(usize),
    /// A zero character, which no JSON text holds.
    #[error("the body holds a zero character: it must be the JSON text of an event")]
    Zero,
}

/// One record as it is stored and sent.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Record {
    /// The stream that it belongs to.
    pub stream: StreamId,
    /// Place in the stream, from 1, without holes.
    pub seq: u64,
    /// Hash of the record before; zero for the first.
    pub prev: Hash32,
    /// JSON text of the event: exactly these bytes are hashed.
    pub body: String,
}

impl Record {
    /// BLAKE3 over the domain tag, device, epoch, number (8 bytes, little-endian), previous
    /// hash and body, each preceded by its length in bytes (8 bytes, little-endian).
    #[must_use]
    pub fn hash(&self) -> Hash32 {
        let mut hasher = blake3::Hasher::new();
        let fields: [&[u8]; 6] = [
            DOMAIN,
            self.stream.device().as_bytes(),
            self.stream.epoch().as_bytes(),
            &self.seq.to_le_bytes(),
            self.prev.as_bytes(),
            self.body.as_bytes(),
        ];
        for field in fields {
            hasher.update(&(field.len() as u64).to_le_bytes());
            hasher.update(field);
        }
        Hash32::from_bytes(*hasher.finalize().as_bytes())
    }

    /// The head of a stream that ends with this record.
    #[must_use]
    pub fn head(&self) -> Head {
        Head {
            stream: self.stream.clone(),
            seq: self.seq,
            hash: self.hash(),
        }
    }

    /// Checks what can be checked without knowing the rest of the stream.
    ///
    /// # Errors
    /// Says what cannot be: number, previous hash, or body.
    pub fn check(&self) -> Result<(), BadRecord> {
        if !(1..=MAX_SEQ).contains(&self.seq) {
            Err(BadRecord::Seq(self.seq))
        } else if (self.seq == 1) != (self.prev == Hash32::ZERO) {
            Err(BadRecord::Prev(self.seq))
        } else if self.body.is_empty() {
            Err(BadRecord::Empty)
        } else if self.body.len() > MAX_BODY_BYTES {
            Err(BadRecord::TooLong(self.body.len()))
        } else if self.body.contains('\0') {
            Err(BadRecord::Zero)
        } else {
            Ok(())
        }
    }
}

/// The last record of a stream: stands for everything before it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(rename = "StreamHead"))]
#[serde(deny_unknown_fields)]
pub struct Head {
    /// Which stream.
    pub stream: StreamId,
    /// Number of its last record.
    pub seq: u64,
    /// Hash of its last record.
    pub hash: Hash32,
}
