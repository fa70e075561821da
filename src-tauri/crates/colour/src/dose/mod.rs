//! What a pigment did, and how much of it makes a wanted colour.
//!
//! [`fit`] draws a curve of colour over dose through the steps and test patches of one
//! cement: of several shapes (`shape`) the one that best foretells each trial from the
//! others. [`DoseCurve::aim`] finds the dose for a colour (`aim`), [`DoseCurve::next`]
//! where one more test patch would teach most (`teach`). Nothing is said beyond the doses
//! that were tried, the supplier's limit and [`CAP_PCT`]. Doses are mass of pigment in
//! per cent of mass of cement.

mod aim;
mod amount;
mod least;
mod shape;
mod teach;
mod trial;

pub use aim::{Aim, Reach, Wanted};
pub use amount::{Amount, amount};
pub use shape::Shape;
pub use teach::{NextPatch, Why};
pub use trial::Trial;

use crate::difference::de2000;
use crate::measure::together;
use crate::space::{Lab, Triple, pairwise};
use serde::{Deserialize, Serialize};
use shape::Fitted;

/// Most pigment, % of cement by mass. Source: ASTM C979/C979M, the limit of a prescribed
/// dose (from memory).
pub const CAP_PCT: f64 = 10.0;

/// Why there is a cap, for people.
pub const CAP_REASON: &str = "Pigment is limited to 10 % of the cement by mass (ASTM C979): more of this fine powder needs more water and weakens the concrete, and past 5 to 7 % it hardly changes the colour.";

/// Why there is no curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum NoCurve {
    /// Fewer trials than a curve needs: two, and one more for every further pigment.
    TooFewTrials,
    /// The doses do not differ, or two pigments were always used in the same ratio.
    DosesDoNotDiffer,
    /// None, or more than two pigments, or not the same number in each trial.
    Pigments,
    /// A dose or colour is no number, negative or over 100 %.
    NotANumber,
}

impl NoCurve {
    /// What is missing and what to do, for people.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            NoCurve::TooFewTrials => {
                "There are too few steps or test patches with this pigment and cement. Two different doses are the least; one may be none at all."
            }
            NoCurve::DosesDoNotDiffer => {
                "The doses do not differ, or the pigments were always mixed in one ratio. Cast a test patch with another dose."
            }
            NoCurve::Pigments => "Choose one or two pigments.",
            NoCurve::NotANumber => "A dose or a colour is not a number that can be.",
        }
    }
}

/// Colour over dose.
#[derive(Clone, Debug)]
pub struct DoseCurve {
    trials: Vec<Trial>,
    supplier_pct: Option<f64>,
    fitted: Fitted,
    /// How far a trial was from what the others foretold: root mean square of CIEDE2000.
    /// `None` with too few trials to leave one out.
    pub left_out: Option<f64>,
    /// The shapes that were tried and the same figure for each.
    pub tried: Vec<(Shape, f64)>,
    /// What the measurements do not explain: the concrete itself varies by it, one sd.
    pub scatter: Triple,
}

/// A colour that is foretold.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Foretold {
    /// The colour.
    pub lab: Lab,
    /// Standard uncertainty of L*, a*, b* of the next piece with this dose.
    pub sd: Triple,
}

/// Fits a curve to trials with one cement. Nothing is said above `supplier_pct`, the
/// supplier's greatest dose of all pigments together, % of cement.
///
/// ```
/// use slowstone_colour::Lab;
/// use slowstone_colour::dose::{Trial, Wanted, fit};
/// let trial = |dose: f64, l: f64, a: f64, b: f64| Trial {
///     dose_pct: vec![dose],
///     lab: Lab::new(l, a, b),
///     sd: [0.5; 3],
/// };
/// // Grey concrete, and two test patches with a red oxide.
/// let trials = [
///     trial(0.0, 62.0, 0.5, 4.0),
///     trial(2.0, 52.0, 12.0, 9.0),
///     trial(5.0, 46.0, 19.0, 12.0),
/// ];
/// let curve = fit(&trials, Some(6.0)).unwrap();
/// assert_eq!(curve.limits_pct(), [(0.0, 5.0)]);
/// assert!(curve.at(&[5.5]).is_none(), "beyond what was tried");
///
/// let wanted = Wanted { lab: Lab::new(49.0, 15.5, 10.5), sd: [0.5; 3] };
/// let aim = curve.aim(&wanted).unwrap();
/// assert!(aim.dose_pct[0] > 2.0 && aim.dose_pct[0] < 5.0);
/// ```
///
/// # Errors
/// Why there is none.
pub fn fit(trials: &[Trial], supplier_pct: Option<f64>) -> Result<DoseCurve, NoCurve> {
    let pigments = checked(trials)?;
    let mut best: Option<(Shape, f64)> = None;
    let mut tried = Vec::new();
    for shape in Shape::ALL {
        let Some(score) = left_out(shape, trials) else {
            continue;
        };
        tried.push((shape, score));
        // The earlier is the simpler; a later one must be better by a tenth.
        if best.is_none_or(|(_, least)| score < 0.9 * least) {
            best = Some((shape, score));
        }
    }
    let shape = best.map_or(Shape::KubelkaMunk, |b| b.0);
    let fitted = Fitted::of(shape, trials).ok_or(if trials.len() < pigments + 1 {
        NoCurve::TooFewTrials
    } else {
        NoCurve::DosesDoNotDiffer
    })?;
    Ok(DoseCurve {
        scatter: scatter(&fitted, trials),
        trials: trials.to_vec(),
        supplier_pct: supplier_pct.filter(|p| p.is_finite() && *p >= 0.0),
        fitted,
        left_out: best.map(|b| b.1),
        tried,
    })
}

/// The number of pigments.
fn checked(trials: &[Trial]) -> Result<usize, NoCurve> {
    let pigments = trials.first().ok_or(NoCurve::TooFewTrials)?.dose_pct.len();
    let same = trials.iter().all(|t| t.dose_pct.len() == pigments);
    if !same || !(1..=2).contains(&pigments) {
        return Err(NoCurve::Pigments);
    }
    let can_be = |t: &Trial| {
        let doses = t.dose_pct.iter().all(|d| (0.0..=100.0).contains(d));
        doses && t.lab.is_finite() && t.sd.iter().all(|s| s.is_finite())
    };
    if !trials.iter().all(can_be) {
        return Err(NoCurve::NotANumber);
    }
    Ok(pigments)
}

/// Root mean square of the distance between each trial and what the others foretell.
fn left_out(shape: Shape, trials: &[Trial]) -> Option<f64> {
    let mut sum = 0.0;
    for (i, left) in trials.iter().enumerate() {
        let others = trials.iter().enumerate().filter(|(j, _)| *j != i);
        let others: Vec<Trial> = others.map(|(_, t)| t.clone()).collect();
        let (lab, _) = Fitted::of(shape, &others)?.at(&left.dose_pct)?;
        let off = de2000(lab, left.lab);
        sum += off * off;
    }
    let score = (sum / trials.len() as f64).sqrt();
    score.is_finite().then_some(score)
}

/// What is left of the residuals when the uncertainty of the measurements is taken out.
fn scatter(fitted: &Fitted, trials: &[Trial]) -> Triple {
    let n = trials.len() as f64;
    let free = n - fitted.parameters() as f64;
    if free < 1.0 {
        return [0.0; 3];
    }
    let mut excess = [0.0; 3];
    for trial in trials {
        if let Some((lab, _)) = fitted.at(&trial.dose_pct) {
            let off = pairwise(trial.lab.minus(lab), trial.sd, |o, s| {
                o * o * n / free - s * s
            });
            excess = pairwise(excess, off, |e, o| e + o / n);
        }
    }
    excess.map(|e| e.max(0.0).sqrt())
}

impl DoseCurve {
    /// Which shape the curve has.
    #[must_use]
    pub fn shape(&self) -> Shape {
        self.fitted.shape
    }

    /// Least and most of each pigment about which the curve may speak, %: what was tried, and
    /// no more than the supplier and [`CAP_PCT`] allow. Where less is allowed than was tried,
    /// the least is above the most, and the curve says nothing.
    #[must_use]
    pub fn limits_pct(&self) -> Vec<(f64, f64)> {
        let pigments = self.trials.first().map_or(0, |t| t.dose_pct.len());
        let most = self.most_pct();
        (0..pigments)
            .map(|i| {
                let doses = self.trials.iter().filter_map(|t| t.dose_pct.get(i));
                let (low, high) = doses.fold((f64::INFINITY, 0.0_f64), |(low, high), d| {
                    (low.min(*d), high.max(*d))
                });
                (low, high.min(most))
            })
            .collect()
    }

    /// Most of all pigments together that the supplier and [`CAP_PCT`] allow.
    #[must_use]
    pub fn most_pct(&self) -> f64 {
        self.supplier_pct.unwrap_or(CAP_PCT).min(CAP_PCT)
    }

    /// True if the curve may speak about these doses.
    #[must_use]
    pub fn covers(&self, dose_pct: &[f64]) -> bool {
        // Room for the last digit of a sum.
        const ROOM: f64 = 1e-9;
        let limits = self.limits_pct();
        limits.len() == dose_pct.len()
            && dose_pct.iter().sum::<f64>() <= self.most_pct() + ROOM
            && dose_pct
                .iter()
                .zip(limits)
                .all(|(d, (low, high))| *d >= low - ROOM && *d <= high + ROOM)
    }

    /// The colour at these doses; `None` where the curve has nothing to say.
    #[must_use]
    pub fn at(&self, dose_pct: &[f64]) -> Option<Foretold> {
        if !self.covers(dose_pct) {
            return None;
        }
        let (lab, sd) = self.fitted.at(dose_pct)?;
        Some(Foretold {
            lab,
            sd: together(&[sd, self.scatter]),
        })
    }
}

#[cfg(test)]
mod tests;
