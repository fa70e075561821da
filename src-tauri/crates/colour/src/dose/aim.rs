//! The dose that comes closest to a wanted colour, and the range of doses that may.
//!
//! Looked for only where the curve may speak. A dose at the edge of that says so in
//! [`Reach`], since the right one may lie beyond.

use super::{CAP_PCT, DoseCurve, Foretold};
use crate::difference::de2000;
use crate::space::{Lab, Triple};
use serde::{Deserialize, Serialize};

/// A colour to match.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Wanted {
    /// The colour.
    pub lab: Lab,
    /// Standard uncertainty of it, as of a [`super::Trial`].
    pub sd: Triple,
}

/// Whether the wanted colour can be had.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Reach {
    /// Within what was tried.
    Within,
    /// At the least or most that was tried; perhaps beyond, which a test patch would show.
    EdgeOfTried,
    /// At the supplier's limit.
    SupplierLimit,
    /// At [`CAP_PCT`].
    Cap,
    /// No dose of these pigments comes near enough to look the same.
    OutOfReach,
}

impl Reach {
    /// For people.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Reach::Within => "The dose lies within what was tried.",
            Reach::EdgeOfTried => {
                "The dose lies at the edge of what was tried. A test patch a little beyond would show whether that is closer."
            }
            Reach::SupplierLimit => "The dose lies at the supplier's limit and must not be higher.",
            Reach::Cap => super::CAP_REASON,
            Reach::OutOfReach => {
                "No dose of these pigments makes this colour; the dose is the closest there is. Another pigment or cement is needed."
            }
        }
    }
}

/// What to dose.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Aim {
    /// Dose of each pigment, % of cement.
    pub dose_pct: Vec<f64>,
    /// Least and most of each that may be right, 95 in 100.
    pub range_pct: Vec<(f64, f64)>,
    /// The colour that is foretold.
    pub foretold: Foretold,
    /// CIEDE2000 between it and the wanted colour.
    pub de2000: f64,
    /// Whether the wanted colour can be had.
    pub reach: Reach,
}

/// 95 % points of chi squared with one and two degrees of freedom (any table).
const CHI2: [f64; 2] = [3.841, 5.991];

/// Steps of the search along each pigment.
const STEPS: [usize; 2] = [400, 48];

impl DoseCurve {
    /// Finds the dose for a colour; `None` if the curve says nothing at all.
    #[must_use]
    pub fn aim(&self, wanted: &Wanted) -> Option<Aim> {
        let limits = self.limits_pct();
        let mut best = self.best(&limits, wanted)?;
        // Closer and closer around the best.
        let mut window = limits.clone();
        for _ in 0..4 {
            window = window
                .iter()
                .zip(&limits)
                .zip(&best.0)
                .map(|((w, l), d)| {
                    let half = (w.1 - w.0) / 12.0;
                    ((d - half).max(l.0), (d + half).min(l.1))
                })
                .collect();
            if let Some(closer) = self.best(&window, wanted).filter(|c| c.2 < best.2) {
                best = closer;
            }
        }
        let (dose_pct, foretold, apart) = best;
        let range_pct = self.range(&limits, wanted, &dose_pct, &foretold);
        Some(Aim {
            reach: self.reach(&dose_pct, &foretold, wanted, apart),
            dose_pct,
            range_pct,
            foretold,
            de2000: apart,
        })
    }

    /// The closest on a grid.
    fn best(&self, window: &[(f64, f64)], wanted: &Wanted) -> Option<(Vec<f64>, Foretold, f64)> {
        let each = grid(window).into_iter().filter_map(|dose| {
            let foretold = self.at(&dose)?;
            let apart = de2000(foretold.lab, wanted.lab);
            Some((dose, foretold, apart))
        });
        each.min_by(|p, q| p.2.total_cmp(&q.2))
    }

    /// All doses that are not surely wrong.
    fn range(
        &self,
        limits: &[(f64, f64)],
        wanted: &Wanted,
        best: &[f64],
        at_best: &Foretold,
    ) -> Vec<(f64, f64)> {
        let allowed = CHI2.get(limits.len() - 1).copied().unwrap_or(5.991);
        let least = surprise(at_best, wanted);
        let mut range: Vec<(f64, f64)> = best.iter().map(|d| (*d, *d)).collect();
        for dose in grid(limits) {
            let Some(foretold) = self.at(&dose) else {
                continue;
            };
            if surprise(&foretold, wanted) <= least + allowed {
                for (range, d) in range.iter_mut().zip(&dose) {
                    *range = (range.0.min(*d), range.1.max(*d));
                }
            }
        }
        range
    }

    fn reach(&self, dose: &[f64], foretold: &Foretold, wanted: &Wanted, apart: f64) -> Reach {
        let total: f64 = dose.iter().sum();
        let most = self.most_pct();
        // What is left between the two is more than 3 units (see `compare::Word`), and
        // more than the uncertainty explains.
        let surely_off = surprise(foretold, wanted) > 11.345;
        if apart > 3.0 && surely_off {
            return Reach::OutOfReach;
        }
        if total >= most - 1e-6 {
            return if most < CAP_PCT {
                Reach::SupplierLimit
            } else {
                Reach::Cap
            };
        }
        let at_edge = dose.iter().zip(self.limits_pct()).any(|(d, (low, high))| {
            // None at all is an edge behind which there is nothing to try.
            *d >= high - 1e-6 || (*d <= low + 1e-6 && low > 0.0)
        });
        if at_edge {
            Reach::EdgeOfTried
        } else {
            Reach::Within
        }
    }
}

/// Chi squared of the difference. 11.345 is the 99 % point for three degrees of freedom.
fn surprise(foretold: &Foretold, wanted: &Wanted) -> f64 {
    let off = foretold.lab.minus(wanted.lab);
    let sd = foretold.sd.iter().zip(wanted.sd);
    off.iter()
        .zip(sd)
        .map(|(off, (a, b))| off * off / (a * a + b * b).max(1e-6))
        .sum()
}

/// All doses on a grid over one or two pigments, edges included.
pub(super) fn grid(window: &[(f64, f64)]) -> Vec<Vec<f64>> {
    let steps = STEPS.get(window.len() - 1).copied().unwrap_or(20);
    let along = |(low, high): (f64, f64)| {
        (0..=steps).map(move |i| low + (high - low) * i as f64 / steps as f64)
    };
    let mut all: Vec<Vec<f64>> = vec![Vec::new()];
    for range in window {
        all = all
            .iter()
            .flat_map(|begun| {
                along(*range).map(|d| {
                    let mut dose = begun.clone();
                    dose.push(d);
                    dose
                })
            })
            .collect();
    }
    all
}
