//! How logs travel: streams, heads, hash chains and the rules of hand-over. No I/O.
//!
//! A device writes into a stream of its own: contiguous numbers, each record naming the
//! hash of the one before. Whoever stores records asks [`admit()`] first; whoever meets a
//! partner asks [`missing`] or [`meet`] what to send. What the bodies mean is not known
//! here (see the crate `logbook`), and neither is where they rest (see the crate `store`).
//! A chain shows that a history was changed; it does not prove who wrote it: that is the
//! business of the hub, which knows its paired devices.

mod admit;
mod batch;
mod chain;
mod handover;
mod ident;
mod outbox;
mod record;

pub use admit::{Verdict, admit};
pub use batch::{Batch, MAX_BATCH, Receipt};
pub use chain::Chain;
pub use handover::{Bookmark, HubState, Meeting, Range, meet, missing};
pub use ident::{BadHash, BadId, Hash32, HubEpoch, MAX_ID_CHARS, StreamId};
pub use outbox::{BATCH_BYTES, End, Outbox, Stored};
pub use record::{BadRecord, Head, MAX_BODY_BYTES, MAX_SEQ, Record};
