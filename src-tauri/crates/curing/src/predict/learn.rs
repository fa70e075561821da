//! What one pour teaches the next one of the same mix.
//!
//! A sequential Bayesian update. Three logarithms of factors are learned: on set times, on
//! the time that the sheen takes to go, on strength. A pour's own factor is that of its
//! mix plus a deviation of the day (`POUR_SD`); what the ensemble believes of the pour's
//! factor after its observations (`predict::belief`) is carried back to the mix. Which
//! sign says what stands in `predict::evidence`; words for people are made in `logbook`.

use super::anywhere;
use super::evidence::{signs, teaches};
use super::member::{Ensemble, MEMBERS, priors};
use super::odd::Doubts;
use crate::facts::{Learned, PourFacts};
use crate::prediction::NotYet;

/// What the next pour of this mix starts from, after the observations of this one.
///
/// ```
/// use slowstone_curing::learn::learn;
/// use slowstone_curing::predict::{AirReading, Happening, Learned, Seen, plain_step};
/// use slowstone_curing::units::{AtMs, Celsius, Hours};
/// let start = AtMs(1_781_074_800_000);
/// let mut step = plain_step(start);
/// step.air = vec![AirReading {
///     at: start,
///     temp: Some(Celsius(20.0)),
///     ..AirReading::default()
/// }];
/// assert_eq!(learn(Learned::default(), &step), Learned::default());
///
/// // A thumb leaves its mark an hour and a half later than the tables say: this mix sets late.
/// step.happened = vec![Happening::new(start.plus(Hours(6.5)), Seen::Thumb6mm)];
/// let next = learn(Learned::default(), &step);
/// assert!(next.set_ln_mean > 0.1 && next.set_ln_sd < Learned::default().set_ln_sd);
/// ```
///
/// `learned` is what was known before it and is what counts, not `facts.learned`. A pour
/// without a telling observation, or one that cannot be predicted, changes nothing.
#[must_use]
pub fn learn(learned: Learned, facts: &PourFacts) -> Learned {
    if count(facts, &Doubts::default()) == 0 {
        return learned;
    }
    let facts = PourFacts {
        learned,
        ..facts.clone()
    };
    let once = |facts: &PourFacts| {
        let e = Ensemble::of(facts, MEMBERS)?;
        Ok(from_ensemble(facts, &e, &Doubts::of(facts, &e)))
    };
    let next: Result<Learned, NotYet> = match anywhere::bounds(&facts) {
        None => once(&facts),
        Some([most, least]) => once(&most).and_then(|a| Ok(anywhere::between(a, once(&least)?))),
    };
    next.unwrap_or(learned)
}

/// How many observations say something of the mix and fit.
fn count(facts: &PourFacts, doubts: &Doubts) -> u32 {
    let telling = signs(facts).filter(|s| teaches(s.what) && doubts.trusts(s.index));
    u32::try_from(telling.count()).unwrap_or(u32::MAX)
}

/// As [`learn`], from an ensemble that was solved already with `facts.learned`.
pub(crate) fn from_ensemble(facts: &PourFacts, e: &Ensemble, doubts: &Doubts) -> Learned {
    let (learned, observed) = (facts.learned, count(facts, doubts));
    // In air that nobody measured a mix sets as it may: nothing is learned.
    if observed == 0 || e.weather.air_guessed {
        return learned;
    }
    let [set, sheen, strength] = priors(facts);
    let mut next = learned;
    next.observations = learned.observations.saturating_add(observed);
    (next.set_ln_mean, next.set_ln_sd) =
        carried_back(e, 0, (learned.set_ln_mean, learned.set_ln_sd), set);
    (next.sheen_ln_mean, next.sheen_ln_sd) =
        carried_back(e, 1, (learned.sheen_ln_mean, learned.sheen_ln_sd), sheen);
    (next.strength_ln_mean, next.strength_ln_sd) = carried_back(
        e,
        2,
        (learned.strength_ln_mean, learned.strength_ln_sd),
        strength,
    );
    next
}

/// Mean and standard deviation of a mix's factor from what is believed of the pour's.
///
/// With the mix's factor `M` normal about `mix` and the pour's `x` normal about `M`, `M`
/// given `x` is normal: its mean moves by `k (x - mean)` with `k = var M / var x`, and its
/// variance is `(1 - k) var M`. Averaged over what is believed of `x`, whatever its shape.
fn carried_back(e: &Ensemble, which: usize, mix: (f64, f64), pour: (f64, f64)) -> (f64, f64) {
    let told = e
        .members
        .iter()
        .filter_map(|m| Some((m.weight, m.beliefs.get(which)?)));
    let (mut any, mut mean, mut square, mut sum) = (false, 0.0, 0.0, 0.0);
    for (weight, belief) in told {
        let (m, v) = belief.moments();
        let off = m - pour.0;
        any |= belief.met_evidence();
        sum += weight;
        mean += weight * off;
        square += weight * (v + off * off);
    }
    let (prior_var, pour_var) = (mix.1 * mix.1, pour.1 * pour.1);
    if !any || !(sum > 0.0 && pour_var > 0.0) {
        return mix;
    }
    mean /= sum;
    let var = (square / sum - mean * mean).max(0.0);
    let k = (prior_var / pour_var).min(1.0);
    let after = (1.0 - k) * prior_var + k * k * var;
    (mix.0 + k * mean, libm::sqrt(after))
}
