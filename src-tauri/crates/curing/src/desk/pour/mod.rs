//! The topic `pour`: a whole prediction and the one answer, without a site.
//!
//! [`read`] makes of the input what the log makes of its records, the facts of a pour;
//! from there on it goes the way of the app: [`crate::learn`] over the earlier pours,
//! [`crate::predict`], [`crate::answer`]; [`mod@write`] words the result. Whoever asks much at
//! once keeps an [`Earlier`], which remembers what the pours before taught.

mod read;
mod write;

use super::DeskError;
use crate::answer::answer;
use crate::learn::learn;
use crate::predict::{Learned, PourFacts, predict};
use serde_json::Value;

/// What earlier pours taught, for the next question about the same site.
#[derive(Clone, Debug, Default)]
pub struct Earlier {
    /// Each earlier pour with all that came before it, and what was known after it.
    chain: Vec<(PourFacts, Learned)>,
}

impl Earlier {
    /// What is known of the mix after these pours, oldest first.
    fn learn(&mut self, pours: Vec<PourFacts>) -> Learned {
        let mut learned = Learned::default();
        for (i, pour) in pours.into_iter().enumerate() {
            // What was learned before is among the facts, so equal facts teach the same.
            let pour = PourFacts { learned, ..pour };
            learned = match self.chain.get(i) {
                Some((same, after)) if *same == pour => *after,
                _ => {
                    let after = learn(learned, &pour);
                    self.chain.truncate(i);
                    self.chain.push((pour, after));
                    after
                }
            };
        }
        learned
    }
}

/// Answers one question.
///
/// # Errors
/// Names the field that is unknown, missing or out of range, and what is allowed.
pub fn pour(input: &Value, earlier: &mut Earlier) -> Result<Value, DeskError> {
    let mut asked = read::read(input)?;
    asked.facts.learned = earlier.learn(std::mem::take(&mut asked.earlier));
    let predicted = predict(&asked.facts);
    let prediction = predicted.as_ref().ok();
    let found = answer(prediction, &asked.logged, asked.now);
    Ok(write::write(&asked, prediction, &found))
}

/// As [`pour`], for one question alone.
pub(super) fn once(input: &Value) -> Result<Value, DeskError> {
    pour(input, &mut Earlier::default())
}
