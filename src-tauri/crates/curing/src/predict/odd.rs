//! Which entries do not fit, so that a person is asked about them.
//!
//! Temperatures were held against the others and against physics where they came in
//! ([`crate::air`], [`super::readings`]). Observations are judged by the ensemble: one is
//! odd when it is likelier a slip than a true sign ([`super::evidence`]), or when another
//! one says the opposite. Nothing is thrown away here: how little an odd entry counts
//! follows from its likelihood; only what would stand in place of the range (a sighting)
//! is taken from entries that are not odd.

use super::evidence::{self, Sign};
use super::member::{Ensemble, Member};
use crate::facts::{PourFacts, Seen};
use crate::prediction::{Odd, OddEntry, OddField, OddWhy};
use crate::units::{Hours, Mpa};

/// A sign of set is odd when it is a slip with more than this probability.
const SET_SLIP: f64 = 0.5;
/// The same of a sign of strength, which more often has another cause than a slip.
const STRENGTH_SLIP: f64 = 0.85;
/// When one of two signs that contradict each other is a slip with more than the first and
/// the other with less than the second probability, only the one is asked about.
const CLEAR: (f64, f64) = (0.8, 0.2);
/// Two looks within this time may go either way, hours.
const SAME_LOOK_H: f64 = 0.25;

/// Entries that do not fit.
#[derive(Clone, Debug, Default)]
pub(crate) struct Doubts {
    /// As they are told.
    pub odd: Vec<Odd>,
    /// Places in [`PourFacts::happened`] of what is not taken at its word.
    distrusted: Vec<usize>,
}

impl Doubts {
    /// Finds what does not fit.
    pub(crate) fn of(facts: &PourFacts, e: &Ensemble) -> Doubts {
        let mut found = Doubts::default();
        found.odd.extend(e.air.odd());
        found.odd.extend(e.odd_readings.iter().copied());
        let signs: Vec<(Sign, f64)> = evidence::signs(facts)
            .filter(|s| evidence::teaches(s.what) || s.what == Seen::ThumbMark)
            .map(|s| (s, e.slip(s.index)))
            .collect();
        for (i, (sign, slip)) in signs.iter().enumerate() {
            if sign.confirmed {
                continue;
            }
            let others = signs.iter().enumerate().filter(|(j, _)| *j != i);
            let against = others
                .map(|(_, other)| other)
                .find(|(other, _)| contradict(sign, other));
            let why = match against {
                // The other one is clearly the slip.
                Some((other, of_other))
                    if !other.confirmed && *of_other > CLEAR.0 && *slip < CLEAR.1 =>
                {
                    None
                }
                Some((other, _)) => facts
                    .happened
                    .get(other.index)
                    .map(|h| OddWhy::Contradicts {
                        seen: sign.what,
                        other: other.what,
                        other_at: h.at,
                    }),
                None => None,
            };
            let limit = if evidence::tells_strength(sign.what) && !tested(sign.what) {
                STRENGTH_SLIP
            } else {
                SET_SLIP
            };
            let why = why.or_else(|| (*slip > limit).then(|| out_of_time(facts, e, sign)));
            let (Some(why), Some(entry)) = (why, facts.happened.get(sign.index)) else {
                continue;
            };
            found.distrusted.push(sign.index);
            found.odd.push(Odd {
                what: OddEntry::Observation,
                at: entry.at,
                field: if tested(sign.what) {
                    OddField::Mpa
                } else {
                    OddField::What
                },
                why,
            });
        }
        found
    }

    /// Whether an entry of [`PourFacts::happened`] is taken at its word.
    pub(crate) fn trusts(&self, index: usize) -> bool {
        !self.distrusted.contains(&index)
    }
}

fn tested(what: Seen) -> bool {
    matches!(what, Seen::Strength(_))
}

/// How far on a sign says that the concrete is, among signs of its kind.
fn rank(what: Seen) -> Option<(u8, u8)> {
    Some(match what {
        Seen::ThumbDeep => (0, 0),
        Seen::Thumb6mm => (0, 1),
        Seen::ThumbFaint => (0, 2),
        Seen::ThumbNone => (0, 3),
        Seen::ScratchDeep => (1, 0),
        Seen::ScratchFaint => (1, 1),
        Seen::ScratchNone => (1, 2),
        _ => return None,
    })
}

/// Whether two signs cannot both be true: concrete does not get softer.
fn contradict(a: &Sign, b: &Sign) -> bool {
    let (Some(of_a), Some(of_b)) = (rank(a.what), rank(b.what)) else {
        return false;
    };
    if of_a.0 != of_b.0 {
        return false;
    }
    let backwards = |first: (&Sign, u8), then: (&Sign, u8)| {
        let apart = then.0.h - first.0.h;
        first.1 > then.1 && apart >= 0.0 && (apart > SAME_LOOK_H || first.1 > then.1 + 1)
    };
    backwards((a, of_a.1), (b, of_b.1)) || backwards((b, of_b.1), (a, of_a.1))
}

/// When a member comes to an age of set, hours.
fn set_hour(e: &Ensemble, m: &Member, share: f64) -> f64 {
    let (initial, last) = (m.mix.initial_h(m.set), m.mix.final_h(m.set));
    let age = initial * libm::pow(last / initial, share);
    e.weather.reaches(&m.aged.set, age)
}

/// Why a sign by itself does not fit: it comes too early or too late.
fn out_of_time(facts: &PourFacts, e: &Ensemble, sign: &Sign) -> OddWhy {
    if let Seen::Strength(value) = sign.what {
        let mpa = |m: &Member| {
            let age = e.weather.read(&m.aged.middle, sign.h);
            m.mix.strength_mpa(age, m.set, m.strength)
        };
        let [_, expected, _] = e.quantiles(mpa);
        return OddWhy::FarFromStrength {
            value,
            expected: Mpa(expected),
        };
    }
    let edge = |mpa: Option<f64>| {
        mpa.map(|mpa| {
            e.quantiles(|m| {
                let age = m.mix.edge_age_at(mpa, m.set, m.strength);
                e.weather.reaches(&m.aged.edge, age)
            })
        })
    };
    let set = |share: f64| Some(e.quantiles(|m| set_hour(e, m, share)));
    let (from, until) = match sign.what {
        Seen::SheenGone => {
            let sheen = Some(e.quantiles(|m| m.sheen_h));
            (sheen, sheen)
        }
        Seen::ThumbDeep | Seen::Textured => (None, set(0.0)),
        Seen::Thumb6mm => (set(0.0), set(0.0)),
        Seen::ThumbFaint => (set(0.0), set(1.0)),
        Seen::ThumbMark => (None, set(1.0)),
        Seen::ThumbNone => (set(1.0), None),
        other => {
            let (from, until) = evidence::turns_at(facts, other);
            (edge(from), edge(until))
        }
    };
    let (seen, after) = (sign.what, Hours(sign.h));
    let horizon = |h: f64| Hours(h.min(super::weather::HORIZON_H));
    let late = |[_, _, late]: [f64; 3]| OddWhy::TooLate {
        seen,
        after,
        latest: horizon(late),
    };
    match (from, until) {
        (Some([early, likely, _]), _) if until.is_none() || sign.h < likely => OddWhy::TooEarly {
            seen,
            after,
            earliest: horizon(early),
        },
        (_, Some(until)) => late(until),
        (from, None) => late(from.unwrap_or([0.0; 3])),
    }
}
