//! What the pours of a site taught about each mix, in numbers that people know.
//!
//! The lessons themselves are drawn by `slowstone_curing::learn`, pour by pour, in
//! [`super::pour`]. Here they are put against what the bag says, and forgotten where a
//! person said so.

use super::types::MixLearned;
use crate::book::{Folded, Table};
use crate::facts::{Mix, Pour, Unlearn};
use slowstone_curing::predict::Learned;
use slowstone_curing::setting::INITIAL_H_AT_23;

/// What is known of each mix; of pours whose mix was not said under an empty id.
pub(super) type Lessons = Table<Learned>;

/// Standard deviations from the middle to the 5 and 95 % points of a normal distribution.
const Z95: f64 = 1.645;

/// Whether a person said that a pour teaches nothing.
pub(super) fn forgotten(sum: &Folded, pour: &Pour) -> bool {
    sum.facts()
        .any(|(_, u): (_, &Unlearn)| u.mix == pour.mix && pour.started_ms < u.before_ms)
}

/// The lessons as shown: mixes that taught something, or were made to forget.
pub(super) fn learned(sum: &Folded, lessons: &Lessons) -> Vec<MixLearned> {
    let mut mixes = lessons.clone();
    // A mix that was made to forget is shown, so that it can be made to learn again.
    for (_, u) in sum.facts::<Unlearn>() {
        mixes.change(u.mix.as_deref().unwrap_or_default(), |_| ());
    }
    let mut all: Vec<MixLearned> = mixes
        .iter()
        .map(|(mix, learned)| shown(sum, Some(mix).filter(|m| !m.is_empty()), learned))
        .collect();
    all.retain(|m| m.observations > 0 || !m.forgotten.is_empty());
    all
}

fn shown(sum: &Folded, mix: Option<&String>, l: &Learned) -> MixLearned {
    let range = |mean: f64, sd: f64| {
        let at = |z: f64| libm::exp(mean + z * sd);
        (at(0.0), at(-Z95), at(Z95))
    };
    let minutes = |factor: f64| (factor - 1.0) * INITIAL_H_AT_23 * 60.0;
    let set = range(l.set_ln_mean, l.set_ln_sd);
    MixLearned {
        mix: mix.cloned(),
        name: mix
            .and_then(|id| sum.fact::<Mix>(id))
            .map_or_else(String::new, |m| m.name.clone()),
        observations: l.observations,
        set_later_min: (minutes(set.0), minutes(set.1), minutes(set.2)),
        strength_factor: range(l.strength_ln_mean, l.strength_ln_sd),
        sheen_factor: range(l.sheen_ln_mean, l.sheen_ln_sd),
        forgotten: sum
            .facts::<Unlearn>()
            .filter(|(_, u)| u.mix.as_ref() == mix)
            .map(|(id, _)| id.to_owned())
            .collect(),
    }
}
