//! Predictions that are kept as long as nothing that they depend on has changed.
//!
//! A prediction depends on its [`PourFacts`] alone, so equal facts need no new reckoning:
//! after a new reading only the pours that it touches are reckoned again.

use crate::book::Table;
use slowstone_curing::predict::{self, Learned, NotYet, PourFacts, Prediction};
use std::sync::Arc;

/// What came of reckoning a pour.
pub(crate) type Outcome = Result<Arc<Prediction>, NotYet>;

/// Kept predictions by pour, each with its facts and with what the next pour of the mix
/// learns from it.
#[derive(Debug, Default)]
pub(crate) struct Reckoned {
    pours: Table<Option<(PourFacts, Outcome, Learned)>>,
    /// How often a prediction was really made; for tests and benchmarks.
    pub(crate) reckonings: u64,
}

impl Reckoned {
    /// The prediction for these facts and what it teaches, made anew only if they changed.
    pub(crate) fn predict(&mut self, pour: &str, facts: &PourFacts) -> (Outcome, Learned) {
        let reckonings = &mut self.reckonings;
        self.pours.change(pour, |kept| {
            if let Some((same, outcome, learned)) = kept
                && same == facts
            {
                return (outcome.clone(), *learned);
            }
            *reckonings += 1;
            let (outcome, learned) = match predict::predict_and_learn(facts) {
                Ok((prediction, learned)) => (Ok(Arc::new(prediction)), learned),
                Err(why) => (Err(why), facts.learned),
            };
            *kept = Some((facts.clone(), outcome.clone(), learned));
            (outcome, learned)
        })
    }
}
