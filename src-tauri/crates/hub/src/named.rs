//! What the entries of a log name: sites, and photos with whether their bytes must be here.
//!
//! The bytes of a photo that came together with its entry must be here; those that a phone has
//! named but not sent yet need not. Used beside a running hub and within one, so that
//! `slowstone verify` and the page say the same: [`crate::inspect`], [`crate::housework`].

use slowstone_logbook::Event;
use slowstone_store::{Hash32, HubLog, StoreError};
use std::collections::{BTreeMap, BTreeSet};

/// Setting: the name of this hub as a device.
pub const DEVICE: &str = "device";

/// Records read at once.
const PAGE: usize = 2000;

/// A photo that the log names.
#[derive(Debug)]
pub struct NamedPhoto {
    /// The entry that names it.
    pub entry: String,
    /// The site of that.
    pub site: String,
    /// Whether its bytes came together with the entry: then they must be here.
    pub came_with_it: bool,
}

/// What the entries of a log say.
#[derive(Debug, Default)]
pub struct Named {
    /// Sites that were not taken back.
    pub sites: BTreeSet<String>,
    /// Photos by their hash.
    pub photos: BTreeMap<Hash32, NamedPhoto>,
}

impl Named {
    /// Reads the whole log.
    ///
    /// # Errors
    /// If it cannot be read.
    pub fn read(log: &dyn HubLog) -> Result<Self, StoreError> {
        let own = log.get(DEVICE)?;
        let (mut told, mut back) = (Self::default(), Vec::new());
        let mut after = 0;
        loop {
            let page = log.read_from(after, PAGE)?;
            if page.is_empty() {
                break;
            }
            for (position, record) in page {
                after = position;
                let Ok(event) = serde_json::from_str::<Event>(&record.body) else {
                    continue;
                };
                let text = |key: &str| event.body.get(key).and_then(|v| v.as_str());
                match event.kind.as_str() {
                    "site" => {
                        told.sites.insert(event.id);
                    }
                    "retraction" => back.extend(text("target").map(str::to_owned)),
                    "photo" => {
                        let hash: Option<Hash32> = text("hash").and_then(|h| h.parse().ok());
                        let came_with_it = own.as_deref() == Some(record.stream.device());
                        let Some(hash) = hash else { continue };
                        let named = told.photos.entry(hash).or_insert(NamedPhoto {
                            entry: event.id,
                            site: event.site,
                            came_with_it,
                        });
                        named.came_with_it |= came_with_it;
                    }
                    _ => {}
                }
            }
        }
        for id in back {
            told.sites.remove(&id);
        }
        Ok(told)
    }
}
