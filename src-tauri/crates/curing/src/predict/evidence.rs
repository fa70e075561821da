//! What an observation says of set, sheen and strength.
//!
//! Likelihoods of the trade's signs. A sign that is found late tells less than one that is
//! caught in time. Every sign may also be a slip (a wrong button, step or hour), and then
//! says nothing: a mixture of both, so that one that does not fit moves little, by Bayes
//! and not by a rule, until a person confirms it. Which signs are asked about: [`super::odd`].
//! All spreads are judgement (common practice, no source) and are stated here.

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
const EASY_MPA: f64 = 12.0;
/// A nail cuts a groove below about the first, and leaves only a mark of metal above about
/// the second, MPa (judgement: grains hold as well as the edges of a fresh strip from 3.5
/// on; a nail is blunted before edges get too hard to dress).
const SCRATCH_MPA: (f64, f64) = (3.5, 10.0);
/// Of signs of strength, this share has another cause (no oil on the form, a knock).
const OTHER_CAUSE: f64 = 0.1;
/// Of signs of set, sheen and tests, this share is a slip.
const SLIP: f64 = 0.08;
/// A slip may fall on any time or strength over three powers of ten: its density by the
/// logarithm. That it does not depend on the mix is what keeps a slip from moving anything.
const SLIP_DENSITY: f64 = 1.0 / 6.9;
/// A slip that can only say yes or no says either as often.
const SLIP_SAYS: f64 = 0.5;
/// Where between initial and final set, by their logarithms, a print gets faint (ACI 302
/// has it late in the window of finishability; judgement).
const FAINT_SHARE: f64 = 0.7;

/// The strength at which a form may come off: 2 MPa behind a plain face, 5 MPa behind a
/// relief that locks in (Sadgrove, TRB 1975: traditionally 5, by research 2). A relief
/// locks by undercut or from [`DEEP_M`] on; a shallower one lies between. One that was not
/// measured counts as deep.
pub(crate) fn strip_mpa(facts: &PourFacts) -> f64 {
    let (plain, locked) = (2.0, 5.0);
    match facts.liner {
        None => plain,
        Some(l) if l.undercut || !(l.relief.value() > 0.0) => locked,
        Some(l) => plain + (locked - plain) * (l.relief.value() / DEEP_M).min(1.0),
    }
}

/// A relief as deep as this holds as an undercut does, m (judgement, no source).
const DEEP_M: f64 = 0.01;

/// The age at which a thumb leaves only a faint print, equivalent hours at 23 °C.
pub(crate) fn faint_age(mix: &Mix, set: f64) -> f64 {
    let (initial, last) = (mix.initial_h(set), mix.final_h(set));
    initial * libm::pow(last / initial, FAINT_SHARE)
}

fn ln(x: f64) -> f64 {
    libm::log(x.max(1e-6))
}

/// Density of a normal variable.
fn normal(x: f64, mean: f64, sd: f64) -> f64 {
    let z = (x - mean) / sd;
    libm::exp(-0.5 * z * z) / sd * 0.398_942_280_401_432_7
}

/// One observation, as a member takes it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sign {
    /// Its place in [`PourFacts::happened`].
    pub index: usize,
    /// Hours after the start.
    pub h: f64,
    /// Age of the concrete there and then, equivalent hours at 23 °C.
    pub age: f64,
    pub what: Seen,
    pub confirmed: bool,
}

/// How likely a sign is: as what it says, and as a slip. Both weighed by their share.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Likelihood {
    true_sign: f64,
    slip: f64,
}

impl Likelihood {
    fn of(sign: &Sign, share: f64, as_said: f64, as_slip: f64) -> Likelihood {
        let share = if sign.confirmed { 0.0 } else { share };
        Likelihood {
            true_sign: (1.0 - share) * as_said,
            slip: share * as_slip,
        }
    }

    /// How likely it is in all.
    pub(crate) fn chance(self) -> f64 {
        self.true_sign + self.slip
    }

    /// Its logarithm.
    pub(crate) fn logarithm(self) -> f64 {
        libm::log((self.true_sign + self.slip).max(1e-12))
    }

    /// The probability that it is a slip.
    pub(crate) fn slip(self) -> f64 {
        self.slip / (self.true_sign + self.slip).max(1e-12)
    }
}

/// Observations of a pour after its start, with hours; ages are to be filled in.
pub(crate) fn signs(facts: &PourFacts) -> impl Iterator<Item = Sign> + '_ {
    facts
        .happened
        .iter()
        .enumerate()
        .map(|(index, e)| Sign {
            index,
            h: e.at.hours_since(facts.started).value(),
            age: 0.0,
            what: e.what,
            confirmed: e.confirmed,
        })
        .filter(|s| s.h > 0.0 && s.h < 60.0 * 24.0)
}

/// Signs that depend on set alone.
pub(crate) fn tells_set(what: Seen) -> bool {
    matches!(
        what,
        Seen::ThumbDeep
            | Seen::ThumbMark
            | Seen::Thumb6mm
            | Seen::ThumbFaint
            | Seen::ThumbNone
            | Seen::Textured
    )
}

/// Signs that depend on strength.
pub(crate) fn tells_strength(what: Seen) -> bool {
    match what {
        Seen::Strength(mpa) => mpa.value() > 0.0,
        Seen::StrippedClean
        | Seen::StrippedStuck
        | Seen::ScratchDeep
        | Seen::ScratchFaint
        | Seen::ScratchNone
        | Seen::EdgeCrumbled
        | Seen::DressedEasily
        | Seen::DressedHard => true,
        _ => false,
    }
}

/// Signs of set, with the age of what was touched.
pub(crate) fn of_set(facts: &PourFacts, weather: &Weather, aged: &Aged) -> Vec<Sign> {
    signs(facts)
        .filter(|s| tells_set(s.what))
        .map(|s| Sign {
            age: weather.read(&aged.set, s.h),
            ..s
        })
        .collect()
}

/// How likely a sign of set is, with `set` the logarithm of the factor on set times.
pub(crate) fn set_likelihood(sign: &Sign, mix: &Mix, set: f64) -> Likelihood {
    let (initial, last) = (ln(mix.initial_h(set)), ln(mix.final_h(set)));
    let age = ln(sign.age);
    let at = |mean: f64| Likelihood::of(sign, SLIP, normal(age, mean, THUMB), SLIP_DENSITY);
    let yes = |p: f64| Likelihood::of(sign, SLIP, p, SLIP_SAYS);
    match sign.what {
        Seen::Thumb6mm => at(initial),
        Seen::ThumbFaint => at(initial + FAINT_SHARE * (last - initial)),
        Seen::ThumbDeep => yes(normal_below((initial - age) / THUMB)),
        // Of what depth is not known: it has not set for good.
        Seen::ThumbMark => yes(normal_below((last - age) / THUMB)),
        Seen::ThumbNone => yes(normal_below((age - last) / THUMB)),
        // A texture goes in until a little after initial set.
        Seen::Textured => yes(normal_below((initial + 0.1 - age) / EYE)),
        _ => Likelihood {
            true_sign: 1.0,
            slip: 0.0,
        },
    }
}

/// The sighting of a surface without sheen that counts: the first; `age` is the hours since
/// screeding.
pub(crate) fn of_sheen(facts: &PourFacts) -> Option<Sign> {
    let done = finished_h(facts);
    signs(facts)
        .filter(|s| s.what == Seen::SheenGone)
        .map(|s| Sign {
            age: s.h - done,
            ..s
        })
        .filter(|s| s.age > 0.0)
        .min_by(|a, b| b.confirmed.cmp(&a.confirmed).then(a.h.total_cmp(&b.h)))
}

/// How likely it is, with `base` the hours that are reckoned before anything learned.
pub(crate) fn sheen_likelihood(sign: &Sign, base_h: f64, sheen: f64) -> Likelihood {
    let (found, due) = (ln(sign.age), ln(base_h) + sheen);
    Likelihood::of(sign, SLIP, normal(found, due, EYE), SLIP_DENSITY)
}

/// Signs of strength, with the age there.
pub(crate) fn of_strength(facts: &PourFacts, weather: &Weather, aged: &Aged) -> Vec<Sign> {
    signs(facts)
        .filter(|s| tells_strength(s.what))
        .map(|s| {
            let series = match s.what {
                Seen::Strength(_) => &aged.middle,
                _ => &aged.edge,
            };
            Sign {
                age: weather.read(series, s.h),
                ..s
            }
        })
        .collect()
}

/// How likely a sign of strength is.
pub(crate) fn strength_likelihood(
    facts: &PourFacts,
    sign: &Sign,
    mix: &Mix,
    set: f64,
    strength: f64,
) -> Likelihood {
    let mpa = ln(mix.edge_mpa(sign.age, set, strength));
    let above = |limit: f64| normal_below((mpa - ln(limit)) / EDGE);
    let yes = |p: f64| Likelihood::of(sign, 2.0 * OTHER_CAUSE, p, SLIP_SAYS);
    match sign.what {
        Seen::Strength(tested) => {
            let bulk = ln(mix.strength_mpa(sign.age, set, strength));
            let found = ln(tested.value());
            Likelihood::of(sign, SLIP, normal(found, bulk, TEST), SLIP_DENSITY)
        }
        Seen::StrippedClean => yes(above(strip_mpa(facts) * STICKS_SHARE)),
        Seen::StrippedStuck => yes(1.0 - above(strip_mpa(facts) * STICKS_SHARE)),
        Seen::ScratchDeep => yes(1.0 - above(SCRATCH_MPA.0)),
        Seen::ScratchFaint => yes((above(SCRATCH_MPA.0) - above(SCRATCH_MPA.1)).max(0.0)),
        Seen::ScratchNone => yes(above(SCRATCH_MPA.1)),
        Seen::EdgeCrumbled => yes(1.0 - above(CRUMBLES_MPA)),
        Seen::DressedEasily => yes(1.0 - above(EASY_MPA)),
        Seen::DressedHard => yes(above(EASY_MPA)),
        _ => Likelihood {
            true_sign: 1.0,
            slip: 0.0,
        },
    }
}

/// The strength around which a sign of an edge turns from likely to unlikely, MPa: below
/// the first it is too early for it, above the second too late.
pub(crate) fn turns_at(facts: &PourFacts, what: Seen) -> (Option<f64>, Option<f64>) {
    match what {
        Seen::StrippedClean => (Some(strip_mpa(facts) * STICKS_SHARE), None),
        Seen::StrippedStuck => (None, Some(strip_mpa(facts) * STICKS_SHARE)),
        Seen::ScratchDeep => (None, Some(SCRATCH_MPA.0)),
        Seen::ScratchFaint => (Some(SCRATCH_MPA.0), Some(SCRATCH_MPA.1)),
        Seen::ScratchNone => (Some(SCRATCH_MPA.1), None),
        Seen::EdgeCrumbled => (None, Some(CRUMBLES_MPA)),
        Seen::DressedEasily => (None, Some(EASY_MPA)),
        Seen::DressedHard => (Some(EASY_MPA), None),
        _ => (None, None),
    }
}

/// Whether an observation says something of the mix, that the next pour can learn. A mark
/// of a depth that was not noted says too little.
pub(crate) fn teaches(what: Seen) -> bool {
    what == Seen::SheenGone || tells_strength(what) || (tells_set(what) && what != Seen::ThumbMark)
}
