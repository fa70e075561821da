//! Limits that several ways in share.
//!
//! What an entry may hold is in the logbook; how often somebody may try is in
//! [`crate::trust::limits`].

/// Most bytes of one photo.
pub const MOST: usize = 64 << 20;
