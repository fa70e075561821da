//! How far two measured colours are apart, and whether that can be seen.
//!
//! [`between`] gives the difference with its range and in words ([`Word`]); [`flight()`]
//! says which steps stand out. Only like goes with like: concrete that is wet is darker,
//! and young concrete lightens for weeks, whatever the pigment. What is not alike is still
//! compared, with a [`Caution`]. Where colours come from: [`crate::measure()`].

mod flight;

pub use flight::{Place, Standing, Step, flight};

use crate::difference::{de76, de2000};
use crate::measure::Parts;
use crate::sequence::Sequence;
use crate::space::{Lab, Triple, pairwise};
use serde::{Deserialize, Serialize};

/// How wet a surface is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum State {
    /// Water on it or just gone.
    Wet,
    /// Dark from moisture.
    Damp,
    /// As dry as it gets.
    Dry,
}

/// A colour and what it depends on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Look {
    /// The colour.
    pub lab: Lab,
    /// Standard uncertainty that is this photo's own: texture, rounding, light.
    pub own_sd: Triple,
    /// Standard uncertainty that photos of one camera and card share.
    pub shared_sd: Triple,
    /// How wet, if it was noted.
    pub state: Option<State>,
    /// Age since the pour, days.
    pub age_d: Option<f64>,
    /// Which camera and card, in any words; photos with the same share their errors.
    pub by: Option<String>,
}

impl Look {
    /// A measured colour without what was noted about it.
    #[must_use]
    pub fn measured(lab: Lab, parts: &Parts) -> Look {
        Look {
            lab,
            own_sd: parts.own(),
            shared_sd: pairwise(parts.camera, parts.card, libm::hypot),
            state: None,
            age_d: None,
            by: None,
        }
    }

    /// Standard uncertainty of L*, a*, b*: its own and what photos share, together.
    #[must_use]
    pub fn sd(&self) -> Triple {
        pairwise(self.own_sd, self.shared_sd, libm::hypot)
    }
}

/// What a difference is to the eye.
///
/// Steps are seen side by side but with a joint, texture and weather between them: below
/// 1 unit of CIEDE2000 hardly anybody sees a difference, above 3 everybody does. Common
/// practice for coloured products, no source for concrete.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS), ts(rename = "ColourWord"))]
#[cfg_attr(
    feature = "schema",
    derive(schemars::JsonSchema),
    schemars(rename = "ColourWord")
)]
#[serde(rename_all = "snake_case")]
pub enum Word {
    /// Below 1.
    CannotBeSeen,
    /// From 1 to 3.
    Slight,
    /// Above 3.
    Plain,
}

impl Word {
    /// The word for a difference by CIEDE2000.
    #[must_use]
    pub fn of(de2000: f64) -> Word {
        if de2000 < 1.0 {
            Word::CannotBeSeen
        } else if de2000 <= 3.0 {
            Word::Slight
        } else {
            Word::Plain
        }
    }

    /// In words.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Word::CannotBeSeen => "cannot be seen",
            Word::Slight => "slight",
            Word::Plain => "plain",
        }
    }
}

/// Why two colours should not be compared without a second thought.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS), ts(rename = "ColourCaution"))]
#[cfg_attr(
    feature = "schema",
    derive(schemars::JsonSchema),
    schemars(rename = "ColourCaution")
)]
#[serde(rename_all = "snake_case")]
pub enum Caution {
    /// One is wetter than the other.
    StateDiffers,
    /// Of at least one it was not noted how wet it is.
    StateUnknown,
    /// One is young and much younger than the other.
    AgeDiffers,
    /// Of at least one the age is not known.
    AgeUnknown,
}

impl Caution {
    /// What is wrong and what to do, for people.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Caution::StateDiffers => {
                "One surface is wetter than the other; wet concrete is darker. Compare dry with dry."
            }
            Caution::StateUnknown => {
                "It was not noted whether the surfaces were wet, damp or dry. Compare dry with dry."
            }
            Caution::AgeDiffers => {
                "The ages are far apart; concrete lightens in its first weeks. Compare again when both are 28 days old."
            }
            Caution::AgeUnknown => "The age of a surface is not known; young concrete is darker.",
        }
    }
}

/// Two colours against each other.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Difference {
    /// CIEDE2000.
    pub de2000: f64,
    /// Lower end of the 95 % range of CIEDE2000.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// CIE76.
    pub de76: f64,
    /// L*, a*, b* of the second minus the first.
    pub delta: Triple,
    /// Standard uncertainty of these.
    pub sd: Triple,
    /// The word for the difference as measured.
    pub word: Word,
    /// The words for the ends of the range.
    pub words: (Word, Word),
    /// What to think of.
    pub cautions: Vec<Caution>,
}

impl Difference {
    /// In words, with the range: `slight`, or `cannot be seen to slight`.
    #[must_use]
    pub fn text(&self) -> String {
        let (low, high) = self.words;
        if low == high {
            low.text().to_owned()
        } else {
            format!("{} to {}", low.text(), high.text())
        }
    }
}

/// Compares the second colour with the first.
///
/// ```
/// use slowstone_colour::Lab;
/// use slowstone_colour::compare::{Caution, Look, State, Word, between};
/// let step = |l: f64, age_d: f64| Look {
///     lab: Lab::new(l, 12.0, 9.0),
///     own_sd: [0.3; 3],
///     shared_sd: [0.0; 3],
///     state: Some(State::Dry),
///     age_d: Some(age_d),
///     by: None,
/// };
/// let apart = between(&step(50.0, 40.0), &step(58.0, 5.0));
/// assert_eq!(apart.word, Word::Plain);
/// assert!(apart.low < apart.de2000 && apart.de2000 < apart.high);
/// assert_eq!(apart.cautions, [Caution::AgeDiffers]);
/// ```
#[must_use]
pub fn between(first: &Look, second: &Look) -> Difference {
    let delta = second.lab.minus(first.lab);
    let sd = delta_sd(first, second);
    let (low, high) = range(first.lab, second.lab, sd);
    let seen = de2000(first.lab, second.lab);
    Difference {
        de2000: seen,
        low,
        high,
        de76: de76(first.lab, second.lab),
        delta,
        sd,
        word: Word::of(seen),
        words: (Word::of(low), Word::of(high)),
        cautions: cautions(first, second),
    }
}

/// Uncertainty of the difference of two colours.
///
/// What photos of one camera and card share is an error in scale: the same share of every
/// lightness and chroma. Of it, a difference keeps what its own size is to the colours.
fn delta_sd(first: &Look, second: &Look) -> Triple {
    let own = pairwise(first.own_sd, second.own_sd, libm::hypot);
    let same = first.by.is_some() && first.by == second.by;
    if !same {
        return pairwise(first.sd(), second.sd(), libm::hypot);
    }
    let apart = de76(first.lab, second.lab);
    let size = |lab: Lab| libm::hypot(lab.chroma(), 50.0 - lab.l).max(10.0);
    let keeps = (apart / size(first.lab).max(size(second.lab))).min(1.0);
    let shared = pairwise(first.shared_sd, second.shared_sd, f64::max);
    pairwise(own, shared, |o, s| libm::hypot(o, s * keeps))
}

/// Draws for a range; its ends are then good to about a tenth of a standard deviation.
const DRAWS: usize = 400;
/// Any number: it only has to be the same every time.
const SEED: u64 = 0xD1FF;
/// 95 % point of chi squared with three degrees of freedom (any table).
const CHI2: f64 = 7.815;

/// The range that holds the true difference in 95 of 100 cases.
///
/// A distance is never negative, so noise alone makes it look larger than it is: if the
/// colours may be equal, the range begins at 0.
fn range(first: Lab, second: Lab, sd: Triple) -> (f64, f64) {
    let delta = second.minus(first);
    let surely = pairwise(delta, sd, |d, s| if s > 0.0 { d / s } else { d * 1e9 });
    let may_be_equal = surely.iter().map(|v| v * v).sum::<f64>() <= CHI2;
    let mut sequence = Sequence::seeded(SEED);
    let mut all: Vec<f64> = (0..DRAWS)
        .map(|_| {
            let off = sd.map(|s| s * sequence.normal());
            de2000(first, second.plus(off))
        })
        .collect();
    all.sort_unstable_by(f64::total_cmp);
    let end = |share: f64| {
        let at = (share * DRAWS as f64) as usize;
        all.get(at.min(DRAWS - 1)).copied().unwrap_or(f64::NAN)
    };
    let seen = de2000(first, second);
    let low = if may_be_equal { 0.0 } else { end(0.025) };
    (low.min(seen), end(0.975).max(seen))
}

fn cautions(first: &Look, second: &Look) -> Vec<Caution> {
    let state = match (first.state, second.state) {
        (Some(a), Some(b)) => (a != b).then_some(Caution::StateDiffers),
        _ => Some(Caution::StateUnknown),
    };
    let age = match (first.age_d, second.age_d) {
        (Some(a), Some(b)) => (!near_ages(a, b)).then_some(Caution::AgeDiffers),
        _ => Some(Caution::AgeUnknown),
    };
    state.into_iter().chain(age).collect()
}

/// From 28 days concrete counts as grown up; before, a week makes a difference, and in
/// the first weeks less than a week. Common practice, no source.
fn near_ages(a: f64, b: f64) -> bool {
    let younger = a.min(b);
    younger >= 28.0 || (a - b).abs() <= (younger / 2.0).min(7.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn look(l: f64, a: f64, b: f64, sd: f64) -> Look {
        Look {
            lab: Lab::new(l, a, b),
            own_sd: [sd; 3],
            shared_sd: [1.0; 3],
            state: Some(State::Dry),
            age_d: Some(30.0),
            by: None,
        }
    }

    #[test]
    fn equal_colours_cannot_be_told_from_none() {
        let (mut a, mut b) = (look(50.0, 5.0, 5.0, 0.3), look(50.1, 5.1, 5.0, 0.3));
        (a.shared_sd, b.shared_sd) = ([0.0; 3], [0.0; 3]);
        let d = between(&a, &b);
        assert_eq!((d.low, d.word), (0.0, Word::CannotBeSeen));
        assert!(d.high > 1.0, "{d:?}");
        assert_eq!(d.text(), "cannot be seen to slight");
    }

    #[test]
    fn a_plain_difference_is_plain_at_both_ends() {
        let d = between(&look(50.0, 5.0, 5.0, 0.1), &look(62.0, 5.0, 5.0, 0.1));
        assert_eq!(d.words, (Word::Plain, Word::Plain));
        assert!(d.low < d.de2000 && d.de2000 < d.high, "{d:?}");
        assert!((d.delta[0] - 12.0).abs() < 1e-12, "{d:?}");
    }

    #[test]
    fn one_camera_and_card_tell_differences_more_surely() {
        let (mut a, mut b) = (look(50.0, 15.0, 9.0, 0.2), look(51.0, 16.0, 9.5, 0.2));
        let apart = between(&a, &b);
        a.by = Some("phone, grey card".into());
        b.by.clone_from(&a.by);
        let together = between(&a, &b);
        assert!(together.high < apart.high - 0.5, "{together:?} {apart:?}");
        assert_eq!(apart.low, 0.0);
        assert!(together.low > 0.2, "{together:?}");
    }

    #[test]
    fn only_like_goes_with_like() {
        let told = |change: fn(&mut Look)| {
            let (a, mut b) = (look(50.0, 5.0, 5.0, 0.3), look(50.0, 5.0, 5.0, 0.3));
            change(&mut b);
            between(&a, &b).cautions
        };
        assert_eq!(told(|_| ()), []);
        assert_eq!(
            told(|b| b.state = Some(State::Damp)),
            [Caution::StateDiffers]
        );
        assert_eq!(told(|b| b.state = None), [Caution::StateUnknown]);
        assert_eq!(told(|b| b.age_d = Some(200.0)), []);
        assert_eq!(told(|b| b.age_d = Some(20.0)), [Caution::AgeDiffers]);
        assert_eq!(told(|b| b.age_d = None), [Caution::AgeUnknown]);
        assert!(near_ages(4.0, 6.0) && !near_ages(2.0, 6.0) && near_ages(14.0, 20.0));
    }

    #[test]
    fn the_range_holds_the_truth_19_times_of_20() {
        let mut sequence = Sequence::seeded(7);
        let mut held = 0;
        for i in 0..400 {
            let truth = (
                Lab::new(50.0, 15.0, 10.0),
                Lab::new(50.0 + f64::from(i % 8), 15.5, 9.5),
            );
            let mut seen = |lab: Lab| {
                let lab = lab.plus([0.5, 0.4, 0.4].map(|sd| sd * sequence.normal()));
                Look {
                    lab,
                    own_sd: [0.5, 0.4, 0.4],
                    shared_sd: [0.0; 3],
                    ..look(0.0, 0.0, 0.0, 0.0)
                }
            };
            let d = between(&seen(truth.0), &seen(truth.1));
            let real = de2000(truth.0, truth.1);
            held += u32::from(d.low <= real && real <= d.high);
        }
        assert!((370..=400).contains(&held), "{held} of 400");
    }
}
