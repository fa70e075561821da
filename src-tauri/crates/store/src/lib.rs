//! Where the log and the photos rest: SQLite and a folder; for a firm (feature `firm`)
//! PostgreSQL and object storage.
//!
//! Three traits: [`EventLog`] keeps records, [`Settings`] the little that a hub must
//! remember besides, [`BlobStore`] photo bytes by their hash. Each has an engine on disk
//! and one in memory, and all engines pass the same suite (`tests/`). Nothing here takes
//! randomness or a clock of its own, or knows what a record means; by which rule a record
//! is taken is in the crate `sync`. [`verify()`] walks everything again.

mod append;
mod blobs;
mod error;
mod log;
mod memory;
#[cfg(feature = "firm")]
mod objects;
#[cfg(feature = "firm")]
mod postgres;
mod schema;
mod sqlite;
mod verify;

pub use blobs::{BlobStore, FolderBlobs, MemoryBlobs};
pub use error::StoreError;
pub use log::{EventLog, HubLog, Settings};
pub use memory::MemoryLog;
#[cfg(feature = "firm")]
pub use objects::ObjectBlobs;
#[cfg(feature = "firm")]
pub use postgres::PostgresLog;
pub use schema::SCHEMA_VERSION;
pub use slowstone_sync::{Hash32, Head, HubEpoch, Record, StreamId, Verdict};
pub use sqlite::{OpenOptions, SqliteLog, restore};
pub use verify::{BlobReport, Fault, Report, verify, verify_blobs};
