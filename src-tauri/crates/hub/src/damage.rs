//! Which photos cannot be shown although the log names them: damaged on the disk, or missing.
//!
//! Found when a photo is asked for, and by reading all of them now and then
//! ([`crate::housework`]); sending a photo again mends it ([`crate::intake`]). Pages and phones
//! ask for the list at `GET /api/photos`; `slowstone verify` finds the same by itself.

use serde::Serialize;
use slowstone_store::Hash32;
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

/// What is wrong with the file of a photo.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Lack {
    /// Its bytes are not those that were stored.
    Damaged,
    /// It was here and is no longer.
    Missing,
}

/// What is known of damaged photos.
#[derive(Debug, Default)]
pub struct Damage(Mutex<BTreeMap<Hash32, Lack>>);

impl Damage {
    /// The photo was read: it lacks this, or nothing. Gives what was known before.
    pub fn note(&self, hash: Hash32, lack: Option<Lack>) -> Option<Lack> {
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let before = match lack {
            Some(lack) => known.insert(hash, lack),
            None => known.remove(&hash),
        };
        if let Some(lack) = lack
            && before != Some(lack)
        {
            tracing::error!(photo = %hash, ?lack, "a photo cannot be shown; send it again");
        }
        before
    }

    /// All that lack something.
    #[must_use]
    pub fn all(&self) -> BTreeMap<Hash32, Lack> {
        self.0
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }
}
