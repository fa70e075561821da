//! Predictions kept on the disk, so that a hub that starts again need not reckon what it
//! reckoned before.
//!
//! One file for each pour, with a seal over the engine and the facts that the prediction was
//! made from: a file with another seal, or a damaged one, counts for nothing. Like the small
//! pictures the folder may be deleted at any time, is in no backup, and is waited for by
//! nobody. When a prediction is made is decided in `slowstone_logbook`.

use serde::{Deserialize, Serialize};
use slowstone_curing::predict::{Learned, PourFacts, Prediction};
use slowstone_logbook::view::Shelf;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::UNIX_EPOCH;

/// Name of the folder in the data folder.
pub const FOLDER: &str = "reckoned";

/// The folder.
#[derive(Clone, Debug)]
pub struct OnDisk {
    folder: PathBuf,
    engine: String,
}

/// What a file holds.
#[derive(Serialize, Deserialize)]
struct Kept<P, L> {
    seal: String,
    prediction: P,
    learned: L,
}

impl OnDisk {
    /// Keeps in the folder below `data`, which is made if need be.
    ///
    /// # Errors
    /// If it cannot be made; the hub works without.
    pub fn open(data: &Path) -> std::io::Result<Self> {
        let folder = data.join(FOLDER);
        fs::create_dir_all(&folder)?;
        let engine = engine();
        Ok(Self { folder, engine })
    }

    fn file(&self, pour: &str) -> PathBuf {
        let name = blake3::hash(pour.as_bytes()).to_hex();
        self.folder.join(name.as_str())
    }

    fn seal(&self, facts: &PourFacts) -> Option<String> {
        let facts = serde_json::to_vec(facts).ok()?;
        let mut seal = blake3::Hasher::new();
        seal.update(self.engine.as_bytes());
        seal.update(&[0]);
        seal.update(&facts);
        Some(seal.finalize().to_hex().to_string())
    }
}

/// Which engine this is. Another build of the program may reckon otherwise, and does not say
/// so in its version alone.
fn engine() -> String {
    let program = std::env::current_exe().and_then(fs::metadata);
    let (bytes, built) = program.map_or((0, None), |of| (of.len(), of.modified().ok()));
    let built = built.and_then(|t| t.duration_since(UNIX_EPOCH).ok());
    let built = built.map_or(0, |t| t.as_nanos());
    format!("{} {bytes} {built}", env!("CARGO_PKG_VERSION"))
}

impl Shelf for OnDisk {
    fn get(&mut self, pour: &str, facts: &PourFacts) -> Option<(Prediction, Learned)> {
        let text = fs::read(self.file(pour)).ok()?;
        let kept: Kept<Prediction, Learned> = serde_json::from_slice(&text).ok()?;
        (kept.seal == self.seal(facts)?).then_some((kept.prediction, kept.learned))
    }

    fn put(
        &mut self,
        pour: &str,
        facts: &PourFacts,
        (prediction, learned): (&Prediction, &Learned),
    ) {
        let Some(seal) = self.seal(facts) else {
            return;
        };
        let kept = Kept {
            seal,
            prediction,
            learned,
        };
        // A file that was cut off does not read as JSON.
        let written = serde_json::to_vec(&kept).map(|text| fs::write(self.file(pour), text));
        if let Ok(Err(e)) = written {
            tracing::debug!("a prediction is not kept: {e}");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::Ledger;
    use crate::views::Views;
    use serde_json::json;
    use slowstone_curing::predict::{AirReading, plain_step, predict_and_learn};
    use slowstone_curing::units::{AtMs, Celsius};

    fn facts() -> PourFacts {
        let start = AtMs(1_781_074_800_000);
        let mut facts = plain_step(start);
        facts.air = vec![AirReading {
            at: start,
            temp: Some(Celsius(14.3)),
            ..AirReading::default()
        }];
        facts
    }

    #[test]
    fn what_is_kept_comes_back_to_the_last_bit() {
        let dir = tempfile::tempdir().unwrap();
        let facts = facts();
        let (prediction, learned) = predict_and_learn(&facts).unwrap();
        let mut shelf = OnDisk::open(dir.path()).unwrap();
        assert_eq!(shelf.get("pour-0001", &facts), None);
        shelf.put("pour-0001", &facts, (&prediction, &learned));
        let mut again = OnDisk::open(dir.path()).unwrap();
        assert_eq!(again.get("pour-0001", &facts), Some((prediction, learned)));
        assert_eq!(again.get("pour-0002", &facts), None);
    }

    #[test]
    fn other_facts_another_engine_and_damage_count_for_nothing() {
        let dir = tempfile::tempdir().unwrap();
        let facts = facts();
        let (prediction, learned) = predict_and_learn(&facts).unwrap();
        let mut shelf = OnDisk::open(dir.path()).unwrap();
        shelf.put("pour-0001", &facts, (&prediction, &learned));
        let mut warmer = facts.clone();
        warmer.learned.set_ln_mean += 1e-12;
        assert_eq!(shelf.get("pour-0001", &warmer), None);
        shelf.engine.push('x');
        assert_eq!(shelf.get("pour-0001", &facts), None);
        shelf.engine.pop();
        assert!(shelf.get("pour-0001", &facts).is_some());
        let file = shelf.file("pour-0001");
        let text = fs::read(&file).unwrap();
        fs::write(&file, &text[..text.len() / 2]).unwrap();
        assert_eq!(shelf.get("pour-0001", &facts), None);
        fs::remove_dir_all(dir.path()).unwrap();
        // The folder is gone: nothing is kept, and nothing else happens.
        shelf.put("pour-0001", &facts, (&prediction, &learned));
        assert_eq!(shelf.get("pour-0001", &facts), None);
    }

    #[test]
    fn a_hub_that_starts_again_shows_the_same_and_reckons_nothing() {
        let dir = tempfile::tempdir().unwrap();
        let (began, now) = (AtMs(1_781_074_800_000), AtMs(1_781_124_800_000));
        let view = |(ledger, views): &mut (Ledger, Views)| {
            views.look("site-0001", &ledger.entries("site-0001"), |book| {
                let view = book.site_view("site-0001", now).unwrap();
                (serde_json::to_string(&view).unwrap(), book.reckonings())
            })
        };
        let open = || {
            let ledger = Ledger::open(&dir.path().join("log.sqlite")).unwrap();
            (ledger, Views::new(OnDisk::open(dir.path()).ok()))
        };
        let entry = |id: &str, kind: &str, body: serde_json::Value| json!({"id": id, "site": "site-0001", "by": "Ada", "at_ms": began, "kind": kind, "body": body});
        let entries = [
            entry(
                "site-0001",
                "site",
                json!({"name": "Landing", "tz": "Europe/Oslo"}),
            ),
            entry(
                "pour-0001",
                "pour",
                json!({"started_ms": began, "air_c": 14.3, "concrete_c": 17.9}),
            ),
            entry(
                "seen-0001",
                "observation",
                json!({"pour": "pour-0001", "at_ms": began.0 + 9_000_000, "what": "sheen_gone"}),
            ),
            entry(
                "pour-0002",
                "pour",
                json!({"started_ms": began.0 + 40_000_000, "air_c": 11.1}),
            ),
        ];
        let mut first = open();
        assert!(first.0.take(&entries, now).unwrap().refused.is_empty());
        let (shown, reckoned) = view(&mut first);
        assert_eq!(reckoned, 2);
        drop(first);
        let mut second = open();
        assert_eq!(view(&mut second), (shown, 0));
        // What is new is reckoned: the first pour and, by what that teaches, the second.
        let read = entry(
            "read-0001",
            "reading",
            json!({"at_ms": began.0 + 30_000_000, "air_c": 6.5}),
        );
        second.0.take(&[read], now).unwrap();
        assert_eq!(view(&mut second).1, 2);
    }
}
