//! What to look at next: by how many hours each look would on average bring the safe end of
//! a wait nearer.
//!
//! A pre-posterior over the ensemble. For each look and hour every possible outcome weighs
//! the members by the likelihood that the engine would give it (`evidence`), and the safe
//! end that would then be told is averaged over the outcomes as often as the members expect
//! them. No wait ends before the look itself. Which wait matters at an instant is for
//! [`crate::answer`].

use super::evidence::{Sign, set_likelihood, strength_likelihood};
use super::member::{Ensemble, Member, quantiles};
use super::moments::Opening;
use super::weather::HORIZON_H;
use crate::facts::{PourFacts, Seen};
use crate::milestone::MilestoneKind;
use crate::prediction::{Look, LookAt};
use crate::units::Hours;

/// The waits that a look can shorten.
const WAITS: [MilestoneKind; 4] = [
    MilestoneKind::Texture,
    MilestoneKind::FormOff,
    MilestoneKind::NextStep,
    MilestoneKind::Foot,
];
/// Hours at which a look is weighed, as shares of the way from the earliest sensible one to
/// the safe end.
const SHARES: [f64; 6] = [0.0, 0.15, 0.3, 0.45, 0.6, 0.8];
/// A look that is worth less is not named, h.
const LEAST_H: f64 = 0.25;
/// Thermometers of the air and in the concrete are good to this, K; of what a reading says,
/// this share of the unknown holds for hours later too (judgement).
const READS_K: f64 = 0.7;
const PASSES: f64 = 0.7;
/// The model is good to this at a thermometer in the concrete, K (as in the course).
const MODEL_K: f64 = 3.0;
/// Of readings, this many outcomes are weighed.
const OUTCOMES: usize = 12;

const SCRATCHES: [Seen; 3] = [Seen::ScratchDeep, Seen::ScratchFaint, Seen::ScratchNone];
const THUMBS: [Seen; 4] = [
    Seen::ThumbDeep,
    Seen::Thumb6mm,
    Seen::ThumbFaint,
    Seen::ThumbNone,
];

/// One wait, as the members see it.
struct Wait<'a> {
    e: &'a Ensemble,
    kind: MilestoneKind,
    /// Hour at which it ends, and weight, of each member.
    ends: Vec<(f64, f64)>,
    early_h: f64,
    safe_h: f64,
}

impl Wait<'_> {
    /// The safe end that would be told with other weights; nobody waits beyond the horizon.
    fn safe_with(&self, weights: &[f64], look_h: f64) -> f64 {
        let sum: f64 = weights.iter().sum();
        let weighed = self.ends.iter().zip(weights);
        let mut all: Vec<(f64, f64)> = weighed.map(|(x, w)| (x.0, w / sum.max(1e-300))).collect();
        quantiles(&mut all)[2].min(HORIZON_H).max(look_h)
    }

    /// By how much a look at `h` brings the safe end nearer, with how likely each of its
    /// outcomes is in each member.
    fn worth(&self, h: f64, outcomes: &[Vec<f64>]) -> f64 {
        let mut expected = 0.0;
        for likely in outcomes {
            let weights: Vec<f64> = self.ends.iter().zip(likely).map(|(x, l)| x.1 * l).collect();
            let share: f64 = weights.iter().sum();
            if share > 1e-9 {
                expected += share * self.safe_with(&weights, h);
            }
        }
        self.safe_h.min(HORIZON_H) - expected
    }

    fn look(&self, what: LookAt, h: f64, narrows_h: f64) -> Option<Look> {
        (narrows_h >= LEAST_H).then(|| Look {
            what,
            at: self.e.weather.instant(h),
            narrows: Hours(narrows_h),
            milestone: self.kind,
        })
    }
}

/// How likely each outcome of a look is in each member; the outcomes of one member add to 1.
fn shares(e: &Ensemble, count: usize, of: impl Fn(&Member, usize) -> f64) -> Vec<Vec<f64>> {
    let sums = e
        .members
        .iter()
        .map(|m| (0..count).map(|o| of(m, o)).sum::<f64>());
    let sums: Vec<f64> = sums.collect();
    (0..count)
        .map(|o| {
            let members = e.members.iter().zip(&sums);
            members.map(|(m, sum)| of(m, o) / sum.max(1e-300)).collect()
        })
        .collect()
}

/// Touching it: what a thumb or a nail would find.
fn touch(facts: &PourFacts, wait: &Wait<'_>, h: f64, signs: &[Seen]) -> f64 {
    let e = wait.e;
    let outcomes = shares(e, signs.len(), |m, o| {
        let what = signs.get(o).copied().unwrap_or(Seen::ThumbMark);
        let sign = |series: &[f64]| Sign {
            index: 0,
            h,
            age: e.weather.read(series, h),
            what,
            confirmed: false,
        };
        if SCRATCHES.contains(&what) {
            let sign = sign(&m.aged.edge);
            strength_likelihood(facts, &sign, &m.mix, m.set, m.strength).chance()
        } else {
            set_likelihood(&sign(&m.aged.set), &m.mix, m.set).chance()
        }
    });
    wait.worth(h, &outcomes)
}

/// Reading a thermometer: what it would show by some of the members, spread evenly.
fn read(wait: &Wait<'_>, h: f64, sd_k: f64, value: impl Fn(&Member) -> f64) -> f64 {
    let e = wait.e;
    let values: Vec<f64> = e.members.iter().map(value).collect();
    let mut sorted = values.clone();
    sorted.sort_by(f64::total_cmp);
    let each = sorted.len().div_ceil(OUTCOMES).max(1);
    let shown: Vec<f64> = sorted
        .iter()
        .skip(each / 2)
        .step_by(each)
        .copied()
        .collect();
    let outcomes: Vec<Vec<f64>> = shown
        .iter()
        .map(|s| {
            let near = |v: &f64| libm::exp(-0.5 * ((s - v) / sd_k) * ((s - v) / sd_k));
            values.iter().map(near).collect()
        })
        .collect();
    let sums: Vec<f64> = (0..values.len())
        .map(|i| outcomes.iter().filter_map(|o| o.get(i)).sum())
        .collect();
    let normed: Vec<Vec<f64>> = outcomes
        .iter()
        .map(|o| {
            o.iter()
                .zip(&sums)
                .map(|(x, s)| x / s.max(1e-300))
                .collect()
        })
        .collect();
    wait.worth(h, &normed)
}

/// Every look that is worth something, for each wait at each hour.
pub(crate) fn looks(facts: &PourFacts, e: &Ensemble, all: &[(Vec<Opening>, f64)]) -> Vec<Look> {
    let hours = |kind: MilestoneKind| -> Vec<(f64, f64)> {
        let of = |(m, w): &(Vec<Opening>, f64)| Some((m.get(kind as usize)?.opens(), *w));
        all.iter().filter_map(of).collect()
    };
    let last = quantiles(&mut hours(MilestoneKind::FinalSet))[1];
    let initial = quantiles(&mut hours(MilestoneKind::InitialSet));
    let mut found = Vec::new();
    for kind in WAITS {
        let ends = hours(kind);
        let [early_h, _, safe_h] = quantiles(&mut ends.clone());
        if !early_h.is_finite() || safe_h - early_h < LEAST_H {
            continue;
        }
        let wait = Wait {
            e,
            kind,
            ends,
            early_h,
            safe_h,
        };
        if kind == MilestoneKind::Texture {
            found.extend(sheen(&wait));
            continue;
        }
        let until = safe_h.min(HORIZON_H);
        for share in SHARES {
            // A nail says something from final set on, a thumb until then.
            let h = last + share * (until - last).max(0.0);
            found.extend(wait.look(LookAt::Scratch, h, touch(facts, &wait, h, &SCRATCHES)));
            let h = initial[0] + share * (last - initial[0]).max(0.0);
            found.extend(wait.look(LookAt::Thumb, h, touch(facts, &wait, h, &THUMBS)));
            let h = share * until;
            let i = e.weather.locate(h).0;
            let unsure = e.weather.points.get(i).map_or(0.0, |p| p.sd_k);
            let air = read(&wait, h, libm::hypot(READS_K, PASSES * unsure), |m| {
                e.weather.read(&m.course.air, h)
            });
            found.extend(wait.look(LookAt::AirReading, h, air));
            let middle = read(&wait, h, MODEL_K, |m| e.weather.read(&m.course.middle, h));
            found.extend(wait.look(LookAt::ConcreteReading, h, middle));
        }
    }
    found
}

/// Watching the sheen from its earliest sensible hour: it is then over when it is over.
fn sheen(wait: &Wait<'_>) -> Option<Look> {
    let sum: f64 = wait.ends.iter().map(|x| x.1).sum();
    let mean: f64 = wait
        .ends
        .iter()
        .map(|x| x.0.min(HORIZON_H) * x.1)
        .sum::<f64>()
        / sum;
    wait.look(
        LookAt::Sheen,
        wait.early_h,
        wait.safe_h.min(HORIZON_H) - mean,
    )
}
