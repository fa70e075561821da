//! Predictions that are kept as long as nothing that they depend on has changed.
//!
//! A prediction depends on its [`PourFacts`] alone, so equal facts need no new reckoning:
//! after a new reading only the pours that it touches are reckoned again. Who can keep
//! things longer than the book lives gives it a [`Shelf`]; the hub does, on its disk.

use crate::book::Table;
use slowstone_curing::predict::{self, Learned, NotYet, PourFacts, Prediction};
use std::sync::Arc;

/// What came of reckoning a pour.
pub(crate) type Outcome = Result<Arc<Prediction>, NotYet>;

/// A place outside of the book where predictions outlive it. What it gives back must be
/// what was put there for equal facts by the same engine, to the last bit.
pub trait Shelf: core::fmt::Debug + Send {
    /// What was put there for this pour, if its facts were these.
    fn get(&mut self, pour: &str, facts: &PourFacts) -> Option<(Prediction, Learned)>;

    /// Keeps the prediction of a pour and what it teaches, in place of an earlier one.
    fn put(&mut self, pour: &str, facts: &PourFacts, reckoned: (&Prediction, &Learned));
}

/// The shelf, if there is one. The core in the browser has none and is weighed by the byte, so
/// it is left out there (feature `shelf`).
#[derive(Debug, Default)]
pub(crate) struct Place {
    #[cfg(feature = "shelf")]
    pub(crate) shelf: Option<Box<dyn Shelf>>,
}

#[cfg(feature = "shelf")]
impl Place {
    fn get(&mut self, pour: &str, facts: &PourFacts) -> Option<(Prediction, Learned)> {
        self.shelf.as_mut()?.get(pour, facts)
    }

    fn put(&mut self, pour: &str, facts: &PourFacts, reckoned: (&Prediction, &Learned)) {
        if let Some(shelf) = &mut self.shelf {
            shelf.put(pour, facts, reckoned);
        }
    }
}

#[cfg(not(feature = "shelf"))]
#[allow(clippy::unused_self)]
impl Place {
    fn get(&mut self, _: &str, _: &PourFacts) -> Option<(Prediction, Learned)> {
        None
    }

    fn put(&mut self, _: &str, _: &PourFacts, _: (&Prediction, &Learned)) {}
}

/// Kept predictions by pour, each with its facts and with what the next pour of the mix
/// learns from it.
#[derive(Debug, Default)]
pub(crate) struct Reckoned {
    pours: Table<Option<(PourFacts, Outcome, Learned)>>,
    pub(crate) place: Place,
    /// How often a prediction was really made; for tests and benchmarks.
    pub(crate) reckonings: u64,
}

impl Reckoned {
    /// The prediction for these facts and what it teaches, made anew only if they changed.
    pub(crate) fn predict(&mut self, pour: &str, facts: &PourFacts) -> (Outcome, Learned) {
        let (reckonings, place) = (&mut self.reckonings, &mut self.place);
        self.pours.change(pour, |kept| {
            if let Some((same, outcome, learned)) = kept
                && same == facts
            {
                return (outcome.clone(), *learned);
            }
            let made = match place.get(pour, facts) {
                Some(shelved) => Ok(shelved),
                None => {
                    *reckonings += 1;
                    let made = predict::predict_and_learn(facts);
                    if let Ok((prediction, learned)) = &made {
                        place.put(pour, facts, (prediction, learned));
                    }
                    made
                }
            };
            let (outcome, learned) = match made {
                Ok((prediction, learned)) => (Ok(Arc::new(prediction)), learned),
                Err(why) => (Err(why), facts.learned),
            };
            *kept = Some((facts.clone(), outcome.clone(), learned));
            (outcome, learned)
        })
    }
}
