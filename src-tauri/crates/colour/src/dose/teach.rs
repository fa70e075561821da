//! Where one more test patch would teach most.
//!
//! Among the doses that may be right for the wanted colour, and a little around them, the
//! one whose colour is foretold least surely. What it would teach is found by adding it,
//! as foretold, and aiming again.

use super::aim::grid;
use super::{DoseCurve, Reach, Trial, Wanted, fit};
use crate::space::{Triple, pairwise};
use serde::Serialize;

/// Why this dose.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Why {
    /// Its colour is least sure among those near the wanted one.
    LeastSure,
    /// The right dose may lie beyond what was tried.
    BeyondTried,
}

/// A test patch to cast.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NextPatch {
    /// Dose of each pigment, % of cement.
    pub dose_pct: Vec<f64>,
    /// Why this dose.
    pub why: Why,
    /// Standard uncertainty of its colour now; none beyond what was tried.
    pub sd_now: Option<Triple>,
    /// The range of doses now.
    pub range_now_pct: Vec<(f64, f64)>,
    /// The range to expect after it; none beyond what was tried.
    pub range_then_pct: Option<Vec<(f64, f64)>>,
}

/// How far a test patch may go beyond what was tried, % of cement. Our judgement.
const BEYOND_PCT: f64 = 1.0;

impl DoseCurve {
    /// The next test patch for a wanted colour; `None` if the curve says nothing at all.
    #[must_use]
    pub fn next(&self, wanted: &Wanted) -> Option<NextPatch> {
        let aim = self.aim(wanted)?;
        if aim.reach == Reach::EdgeOfTried
            && let Some(dose_pct) = self.beyond(&aim.dose_pct)
        {
            return Some(NextPatch {
                dose_pct,
                why: Why::BeyondTried,
                sd_now: None,
                range_now_pct: aim.range_pct,
                range_then_pct: None,
            });
        }
        let near: Vec<(f64, f64)> = aim
            .range_pct
            .iter()
            .zip(self.limits_pct())
            .map(|((low, high), limit)| {
                let more = (high - low) / 4.0;
                ((low - more).max(limit.0), (high + more).min(limit.1))
            })
            .collect();
        let least_sure = grid(&near)
            .into_iter()
            .filter_map(|dose| self.at(&dose).map(|f| (dose, f)))
            .max_by(|p, q| size(p.1.sd).total_cmp(&size(q.1.sd)))?;
        let (dose_pct, foretold) = least_sure;
        let mut trials = self.trials.clone();
        trials.push(Trial {
            dose_pct: dose_pct.clone(),
            lab: foretold.lab,
            sd: self.usual_sd(),
        });
        let then = fit(&trials, self.supplier_pct).ok()?.aim(wanted)?;
        Some(NextPatch {
            dose_pct,
            why: Why::LeastSure,
            sd_now: Some(foretold.sd),
            range_now_pct: aim.range_pct,
            range_then_pct: Some(then.range_pct),
        })
    }

    /// A little further than what was tried, where that is allowed.
    fn beyond(&self, dose: &[f64]) -> Option<Vec<f64>> {
        let limits = self.limits_pct();
        let further: Vec<f64> = dose
            .iter()
            .zip(limits)
            .map(|(d, (low, high))| {
                if *d >= high - 1e-6 {
                    d + BEYOND_PCT
                } else if *d <= low + 1e-6 {
                    (d - BEYOND_PCT).max(0.0)
                } else {
                    *d
                }
            })
            .collect();
        let total: f64 = further.iter().sum();
        let most = self.most_pct();
        if total <= most {
            return Some(further);
        }
        let less = most / total;
        let cut: Vec<f64> = further.iter().map(|d| d * less).collect();
        // At the limit there is nothing left to try.
        (!self.covers(&cut)).then_some(cut)
    }

    /// Mean uncertainty of the trials.
    fn usual_sd(&self) -> Triple {
        let n = self.trials.len().max(1) as f64;
        self.trials
            .iter()
            .fold([0.0; 3], |s, t| pairwise(s, t.sd, |s, v| s + v / n))
    }
}

fn size(sd: Triple) -> f64 {
    sd.iter().map(|s| s * s).sum()
}
