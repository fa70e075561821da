//! What an observation says of set, sheen and strength.
//!
//! Likelihoods of the trade's signs, with their spread. A sign that is found late tells
//! less than one that is caught in time: "no mark" says that final set is past, not when
//! it was. All spreads are judgement (common practice, no source) and are stated here.

use super::aged::Aged;
use super::draw::normal_below;
use super::mix::Mix;
use super::weather::{Weather, finished_h};
use crate::facts::{PourFacts, Seen};

/// A thumb judges set to about 12 %.
const THUMB: f64 = 0.12;
/// The eye judges the end of the sheen to about 15 % of the time since screeding.
const EYE: f64 = 0.15;
/// A cylinder or rebound test is good to about 15 %.
const TEST: f64 = 0.15;
/// How edges and faces behave differs by this much at equal strength.
const EDGE: f64 = 0.4;
/// An edge that crumbles by itself is weaker than about this, MPa.
const CRUMBLES_MPA: f64 = 2.5;
/// A form sticks and tears below about this share of the strength that is asked for.
const STICKS_SHARE: f64 = 0.7;
/// Edges dress easily below about this, MPa.
const EASY_MPA: f64 = 9.0;
/// Of signs, this share has another cause (no oil on the form, a knock).
const OTHER_CAUSE: f64 = 0.1;

/// The strength at which a form may come off: 2 MPa plain (Sadgrove, TRB 1975: 2 to 5),
/// 5 MPa with a texture liner.
pub(crate) fn strip_mpa(facts: &PourFacts) -> f64 {
    if facts.liner.is_some() { 5.0 } else { 2.0 }
}

fn ln(x: f64) -> f64 {
    libm::log(x.max(1e-6))
}

fn square(x: f64) -> f64 {
    x * x
}

/// Observations of a pour after its start, with hours.
fn seen(facts: &PourFacts) -> impl Iterator<Item = (f64, Seen)> + '_ {
    facts
        .happened
        .iter()
        .map(|h| (h.at.hours_since(facts.started).value(), h.what))
        .filter(|(h, _)| *h > 0.0 && *h < 60.0 * 24.0)
}

/// One observation that depends on set alone: age at which it was made, and what.
pub(crate) fn of_set(facts: &PourFacts, weather: &Weather, aged: &Aged) -> Vec<(f64, Seen)> {
    seen(facts)
        .filter(|(_, s)| {
            matches!(
                s,
                Seen::ThumbDeep | Seen::Thumb6mm | Seen::ThumbNone | Seen::Textured
            )
        })
        .map(|(h, s)| (weather.read(&aged.set, h), s))
        .collect()
}

/// Log-likelihood of observations of set.
pub(crate) fn set_likelihood(found: &[(f64, Seen)], mix: &Mix, set: f64) -> f64 {
    let (initial, last) = (ln(mix.initial_h(set)), ln(mix.final_h(set)));
    found
        .iter()
        .map(|(age, what)| match what {
            Seen::Thumb6mm => -0.5 * square((ln(*age) - initial) / THUMB),
            Seen::ThumbDeep => ln(normal_below((initial - ln(*age)) / THUMB)),
            Seen::ThumbNone => ln(normal_below((ln(*age) - last) / THUMB)),
            // A texture goes in until a little after initial set.
            Seen::Textured => ln(normal_below((initial + 0.1 - ln(*age)) / EYE)),
            _ => 0.0,
        })
        .sum()
}

/// Hours from screeding at which the sheen was seen to be gone.
pub(crate) fn of_sheen(facts: &PourFacts) -> Option<f64> {
    let done = finished_h(facts);
    seen(facts)
        .filter(|(_, s)| *s == Seen::SheenGone)
        .map(|(h, _)| h - done)
        .filter(|h| *h > 0.0)
        .min_by(f64::total_cmp)
}

/// Log-likelihood of it, with `base` the hours that are reckoned before anything learned.
pub(crate) fn sheen_likelihood(found_h: f64, base_h: f64, sheen: f64) -> f64 {
    -0.5 * square((ln(found_h) - ln(base_h) - sheen) / EYE)
}

/// Observations that depend on strength: the age there and then, and what.
pub(crate) fn of_strength(facts: &PourFacts, weather: &Weather, aged: &Aged) -> Vec<(f64, Seen)> {
    seen(facts)
        .filter_map(|(h, s)| match s {
            Seen::Strength(mpa) if mpa.value() > 0.0 => Some((weather.read(&aged.middle, h), s)),
            Seen::StrippedClean
            | Seen::StrippedStuck
            | Seen::EdgeCrumbled
            | Seen::DressedEasily
            | Seen::DressedHard => Some((weather.read(&aged.edge, h), s)),
            _ => None,
        })
        .collect()
}

/// Log-likelihood of observations of strength.
pub(crate) fn strength_likelihood(
    facts: &PourFacts,
    found: &[(f64, Seen)],
    mix: &Mix,
    set: f64,
    strength: f64,
) -> f64 {
    let sometimes = |p: f64| ln(OTHER_CAUSE + (1.0 - 2.0 * OTHER_CAUSE) * p);
    found
        .iter()
        .map(|(age, what)| {
            let bulk = ln(mix.strength_mpa(*age, set, strength));
            let mpa = ln(mix.edge_mpa(*age, set, strength));
            let above = |limit: f64| normal_below((mpa - ln(limit)) / EDGE);
            match what {
                Seen::Strength(tested) => -0.5 * square((ln(tested.value()) - bulk) / TEST),
                Seen::StrippedClean => sometimes(above(strip_mpa(facts) * STICKS_SHARE)),
                Seen::StrippedStuck => sometimes(1.0 - above(strip_mpa(facts) * STICKS_SHARE)),
                Seen::EdgeCrumbled => sometimes(1.0 - above(CRUMBLES_MPA)),
                Seen::DressedEasily => sometimes(1.0 - above(EASY_MPA)),
                Seen::DressedHard => sometimes(above(EASY_MPA)),
                _ => 0.0,
            }
        })
        .sum()
}

/// How many observations say something of the mix.
pub(crate) fn count(facts: &PourFacts) -> u32 {
    let telling = seen(facts).filter(|(_, s)| {
        matches!(
            s,
            Seen::SheenGone
                | Seen::ThumbDeep
                | Seen::Thumb6mm
                | Seen::ThumbNone
                | Seen::Textured
                | Seen::StrippedClean
                | Seen::StrippedStuck
                | Seen::EdgeCrumbled
                | Seen::DressedEasily
                | Seen::DressedHard
                | Seen::Strength(_)
        )
    });
    u32::try_from(telling.count()).unwrap_or(u32::MAX)
}
