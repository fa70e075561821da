//! Which steps of a flight stand out.
//!
//! Each step is held against the middle of the others that are alike, in state and age:
//! the median per channel, which one odd step does not move. How far steps of this flight
//! usually are from that middle is what they are judged by, but nothing stands out that
//! nobody can see.

use super::{Look, State, near_ages};
use crate::difference::de2000;
use crate::measure::median;
use crate::space::{Lab, Triple, pairwise};
use serde::Serialize;

/// A step and its colour.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its name or number; given back as it is.
    pub name: String,
    /// Its colour.
    pub look: Look,
}

/// How a step stands among the others.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS), ts(rename = "ColourPlace"))]
#[cfg_attr(
    feature = "schema",
    derive(schemars::JsonSchema),
    schemars(rename = "ColourPlace")
)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// Like the others.
    Fits,
    /// Surely further off than the others, and to be seen.
    StandsOut,
    /// Perhaps; it is not measured surely enough.
    CannotTell,
    /// There are not three others of like state and age.
    TooFewAlike,
}

/// A step with its distance from the middle of the others.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Standing {
    /// The name of the step.
    pub name: String,
    /// How it stands.
    pub place: Place,
    /// CIEDE2000 to the middle of the others, if there are enough.
    pub de2000: Option<f64>,
    /// Twice the standard uncertainty of it.
    pub give_or_take: Option<f64>,
    /// Lighter, redder, yellower than the middle: L*, a*, b* of the step minus its own.
    pub delta: Option<Triple>,
}

/// Fewest others that make a middle.
const FEWEST: usize = 3;
/// Times the usual distance that is still usual: 2.5 standard deviations if distances
/// were those of a normal distribution. Common practice, no source.
const USUAL: f64 = 2.5;
/// CIEDE2000 below which nothing stands out. See [`super::Word`].
const SEEN: f64 = 1.5;

/// Judges every step by the others.
#[must_use]
pub fn flight(steps: &[Step]) -> Vec<Standing> {
    steps
        .iter()
        .enumerate()
        .map(|(i, step)| {
            let others = steps.iter().enumerate().filter(|(j, _)| *j != i);
            let alike: Vec<&Look> = others
                .map(|(_, other)| &other.look)
                .filter(|other| are_alike(&step.look, other))
                .collect();
            judged(step, &alike)
        })
        .collect()
}

fn are_alike(a: &Look, b: &Look) -> bool {
    let state = |s: Option<State>| s.unwrap_or(State::Dry);
    let ages = match (a.age_d, b.age_d) {
        (Some(a), Some(b)) => near_ages(a, b),
        _ => true,
    };
    state(a.state) == state(b.state) && ages
}

fn judged(step: &Step, others: &[&Look]) -> Standing {
    let name = step.name.clone();
    if others.len() < FEWEST {
        return Standing {
            name,
            place: Place::TooFewAlike,
            de2000: None,
            give_or_take: None,
            delta: None,
        };
    }
    let middle = Lab::new(
        median(others.iter().map(|o| o.lab.l).collect()),
        median(others.iter().map(|o| o.lab.a).collect()),
        median(others.iter().map(|o| o.lab.b).collect()),
    );
    let distance = de2000(step.look.lab, middle);
    let usual = median(others.iter().map(|o| de2000(o.lab, middle)).collect());
    let doubt = 2.0 * doubt(step, others, middle);
    // Of distances in three directions the median is 1.54 sd (chi, 3 degrees of freedom).
    let limit = (USUAL / 1.54 * usual).max(SEEN);
    let place = if distance - doubt > limit {
        Place::StandsOut
    } else if distance > limit {
        Place::CannotTell
    } else {
        Place::Fits
    };
    Standing {
        name,
        place,
        de2000: Some(distance),
        give_or_take: Some(doubt),
        delta: Some(step.look.lab.minus(middle)),
    }
}

/// Standard uncertainty of the distance from the middle.
fn doubt(step: &Step, others: &[&Look], middle: Lab) -> f64 {
    let n = others.len() as f64;
    let sum = others
        .iter()
        .fold([0.0; 3], |s, o| pairwise(s, sd(o, step), |s, v| s + v * v));
    // A median is 1.25 times less sure than a mean.
    let of_middle = sum.map(|s| 1.25 * s.sqrt() / n);
    let all = pairwise(sd(&step.look, step), of_middle, libm::hypot);
    let [l, a, b] = all;
    let each = [[l, 0.0, 0.0], [0.0, a, 0.0], [0.0, 0.0, b]];
    // The change of the distance by each channel, or, close to the middle, where the
    // distance has no slope, half of the distance that the channel alone would make.
    let from = de2000(step.look.lab, middle);
    let square: f64 = each
        .iter()
        .map(|off| {
            let further = de2000(step.look.lab.plus(*off), middle);
            let closer = de2000(step.look.lab.plus(off.map(|v| -v)), middle);
            let change = (further - from).abs().max((closer - from).abs());
            change * change
        })
        .sum();
    square.sqrt()
}

/// What is not shared with the step.
fn sd(look: &Look, step: &Step) -> Triple {
    let same = look.by.is_some() && look.by == step.look.by;
    if same { look.own_sd } else { look.sd() }
}

#[cfg(test)]
#[allow(clippy::indexing_slicing)]
mod tests {
    use super::*;

    fn step(name: &str, l: f64, sd: f64) -> Step {
        Step {
            name: name.into(),
            look: Look {
                lab: Lab::new(l, 10.0, 8.0),
                own_sd: [sd; 3],
                shared_sd: [0.0; 3],
                state: Some(State::Dry),
                age_d: Some(40.0),
                by: None,
            },
        }
    }

    fn places(steps: &[Step]) -> Vec<Place> {
        flight(steps).iter().map(|s| s.place).collect()
    }

    #[test]
    fn the_odd_one_stands_out_and_the_others_do_not() {
        let mut steps: Vec<Step> = [50.0, 50.6, 49.7, 50.2, 55.5]
            .iter()
            .map(|l| step("s", *l, 0.3))
            .collect();
        steps[4].name = "odd".into();
        let found = flight(&steps);
        assert_eq!(found[4].place, Place::StandsOut, "{found:?}");
        assert!(found[4].delta.is_some_and(|d| d[0] > 5.0), "{found:?}");
        assert!(
            found[..4].iter().all(|s| s.place == Place::Fits),
            "{found:?}"
        );
        // The same, badly measured.
        steps[4].look.own_sd = [3.0; 3];
        assert_eq!(flight(&steps)[4].place, Place::CannotTell);
    }

    #[test]
    fn what_nobody_sees_does_not_stand_out() {
        let steps: Vec<Step> = [50.0, 50.01, 49.99, 50.0, 51.0]
            .iter()
            .map(|l| step("s", *l, 0.01))
            .collect();
        assert_eq!(places(&steps), [Place::Fits; 5]);
    }

    #[test]
    fn wet_steps_are_not_held_against_dry_ones() {
        let mut steps: Vec<Step> = [50.0, 50.1, 49.9, 50.0, 40.0]
            .iter()
            .map(|l| step("s", *l, 0.3))
            .collect();
        steps[4].look.state = Some(State::Wet);
        assert_eq!(places(&steps)[4], Place::TooFewAlike);
        assert_eq!(places(&steps)[0], Place::Fits);
    }
}
