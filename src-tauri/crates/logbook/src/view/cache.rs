//! Predictions that are kept as long as nothing that they depend on has changed.
//!
//! A prediction depends on its [`PourFacts`] alone, so equal facts need no new reckoning:
//! after a new reading only the pours that it touches are reckoned again.

use crate::book::Table;
use slowstone_curing::learn;
use slowstone_curing::predict::{self, Learned, NotYet, PourFacts, Prediction};
use std::sync::Arc;

/// What came of reckoning a pour.
pub(crate) type Outcome = Result<Arc<Prediction>, NotYet>;

#[derive(Debug, Default)]
struct Kept {
    facts: Option<PourFacts>,
    outcome: Option<Outcome>,
    prior: Option<(Learned, PourFacts)>,
    posterior: Learned,
}

/// Kept predictions by pour.
#[derive(Debug, Default)]
pub(crate) struct Reckoned {
    pours: Table<Kept>,
    /// How often a prediction was really made; for tests and benchmarks.
    pub(crate) reckonings: u64,
}

impl Reckoned {
    /// The prediction for these facts, made anew only if they changed.
    pub(crate) fn predict(&mut self, pour: &str, facts: &PourFacts) -> Outcome {
        let reckonings = &mut self.reckonings;
        self.pours.change(pour, |kept| {
            if kept.facts.as_ref() != Some(facts) {
                *reckonings += 1;
                kept.outcome = Some(predict::predict(facts).map(Arc::new));
                kept.facts = Some(facts.clone());
            }
            kept.outcome.clone().unwrap_or(Err(NotYet::Impossible))
        })
    }

    /// What is known of a mix after this pour, given what was known before.
    pub(crate) fn learn(&mut self, pour: &str, before: Learned, facts: &PourFacts) -> Learned {
        self.pours.change(pour, |kept| {
            let same = kept
                .prior
                .as_ref()
                .is_some_and(|(l, f)| *l == before && f == facts);
            if !same {
                kept.posterior = learn::learn(before, facts);
                kept.prior = Some((before, facts.clone()));
            }
            kept.posterior
        })
    }
}
