//! A pour of which the place is not known: what the sun may do anywhere people live.
//!
//! It is predicted twice, for the sunniest and for the least sunny parallel of that day
//! ([`crate::sun::bounds`]), and the two are laid over each other: a range reaches from the
//! earlier beginning to the later end. No latitude is taken for granted. Nothing here where
//! a place is known, even if only by its time zone.

use crate::facts::{Learned, PourFacts};
use crate::prediction::{CurvePoint, Evaporation, Milestone, Odd, Prediction, Span, Warning};
use crate::sun;
use crate::units::{AtMs, KgM2H};
use core::mem::discriminant;

/// The facts as they are where the place is known, otherwise at both bounds.
pub(super) fn bounds(facts: &PourFacts) -> Option<[PourFacts; 2]> {
    if facts.place.is_some() {
        return None;
    }
    let at = |place| PourFacts {
        place: Some(place),
        ..facts.clone()
    };
    Some(sun::bounds(facts.started, facts.utc_offset_min).map(at))
}

/// Two predictions of one pour as one that covers both; `least` is the less sunny one, whose
/// reasons decide what is safe.
pub(super) fn over(most: Prediction, least: Prediction) -> Prediction {
    let milestones = least.milestones.into_iter().map(|dim| {
        let bright = most.milestones.iter().find(|m| m.kind == dim.kind);
        bright.map_or(dim.clone(), |bright| milestone(bright, dim))
    });
    let mut warnings = least.warnings;
    for w in most.warnings {
        if !warnings.iter().any(|x| discriminant(x) == discriminant(&w)) {
            warnings.push(w);
        }
    }
    // As each of the two lists stood: the most serious first.
    warnings.sort_by_key(|w| !matches!(w, Warning::FrostBeforeStrength { .. }));
    // What fits one of the two fits.
    let mut odd = least.odd;
    let same = |a: &Odd, b: &Odd| (a.what, a.at, a.field) == (b.what, b.at, b.field);
    odd.retain(|o| most.odd.iter().any(|m| same(m, o)));
    Prediction {
        odd,
        milestones: milestones.collect(),
        curve: most
            .curve
            .iter()
            .zip(&least.curve)
            .map(|(a, b)| point(a, b))
            .collect(),
        evaporation: evaporation(most.evaporation, least.evaporation),
        warnings,
        ..least
    }
}

/// What the next pour learns when either of two may be right: the middle, less surely.
pub(super) fn between(a: Learned, b: Learned) -> Learned {
    let mean = |x: f64, y: f64| 0.5 * (x + y);
    let sd = |(m, s): (f64, f64), (n, t): (f64, f64)| libm::hypot(mean(s, t), 0.5 * (m - n));
    Learned {
        set_ln_mean: mean(a.set_ln_mean, b.set_ln_mean),
        set_ln_sd: sd((a.set_ln_mean, a.set_ln_sd), (b.set_ln_mean, b.set_ln_sd)),
        strength_ln_mean: mean(a.strength_ln_mean, b.strength_ln_mean),
        strength_ln_sd: sd(
            (a.strength_ln_mean, a.strength_ln_sd),
            (b.strength_ln_mean, b.strength_ln_sd),
        ),
        sheen_ln_mean: mean(a.sheen_ln_mean, b.sheen_ln_mean),
        sheen_ln_sd: sd(
            (a.sheen_ln_mean, a.sheen_ln_sd),
            (b.sheen_ln_mean, b.sheen_ln_sd),
        ),
        ..b
    }
}

fn milestone(bright: &Milestone, dim: Milestone) -> Milestone {
    Milestone {
        opens: span(bright.opens, dim.opens),
        closes: match (bright.closes, dim.closes) {
            (Some(a), Some(b)) => Some(span(a, b)),
            (a, b) => a.or(b),
        },
        ..dim
    }
}

fn span(a: Span, b: Span) -> Span {
    let both = |x: Option<AtMs>, y: Option<AtMs>| x.zip(y);
    Span {
        early: a.early.into_iter().chain(b.early).min(),
        likely: both(a.likely, b.likely).map(|(x, y)| AtMs(x.0.midpoint(y.0))),
        late: both(a.late, b.late).map(|(x, y)| x.max(y)),
    }
}

fn point(a: &CurvePoint, b: &CurvePoint) -> CurvePoint {
    let mean = |x: f64, y: f64| 0.5 * (x + y);
    CurvePoint {
        at: b.at,
        low_mpa: a.low_mpa.min(b.low_mpa),
        mid_mpa: mean(a.mid_mpa, b.mid_mpa),
        high_mpa: a.high_mpa.max(b.high_mpa),
        concrete_c: mean(a.concrete_c, b.concrete_c),
        edge_c: a.edge_c.min(b.edge_c),
        air_c: mean(a.air_c, b.air_c),
        age_h: mean(a.age_h, b.age_h),
        degree_hours: mean(a.degree_hours, b.degree_hours),
    }
}

fn evaporation(a: Option<Evaporation>, b: Option<Evaporation>) -> Option<Evaporation> {
    let worst = |e: &Evaporation| e.worst();
    let greater = |x: Evaporation, y: Evaporation| {
        let first: KgM2H = worst(&x);
        if first.value() >= worst(&y).value() {
            x
        } else {
            y
        }
    };
    match (a, b) {
        (Some(x), Some(y)) => Some(greater(x, y)),
        (x, y) => x.or(y),
    }
}
