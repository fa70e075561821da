//! The shapes that a curve of colour over dose may have.
//!
//! Kubelka and Munk: absorption over scattering, K/S = (1 - R)² / 2R, of paste and
//! pigments adds up, here per channel of linear sRGB with one constant for each pigment.
//! It may end in a plateau, since past some dose more pigment finds no more cement to
//! cover. Against it stand plain trends of L*, a* and b*: straight or bent once. Which
//! shape is used is decided by [`super::fit`].

use super::Trial;
use super::least::{Solved, solve};
use crate::profile::Profile;
use crate::space::{Lab, SRGB_TO_XYZ, Triple, inverse, lab_to_xyz, pairwise, times, xyz_to_lab};
use serde::{Deserialize, Serialize};

/// A shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Shape {
    /// K/S grows with the dose. Source: Kubelka and Munk 1931, Zeitschrift für technische
    /// Physik 12, 593-601; one constant per pigment, after Duncan 1940, Proceedings of
    /// the Physical Society 52, 390-401.
    KubelkaMunk,
    /// The same up to a dose, constant above it.
    KubelkaMunkPlateau,
    /// L*, a*, b* change evenly with the dose.
    Straight,
    /// L*, a*, b* follow a parabola.
    Bent,
}

impl Shape {
    /// From the simplest.
    pub const ALL: [Shape; 4] = [
        Shape::KubelkaMunk,
        Shape::Straight,
        Shape::KubelkaMunkPlateau,
        Shape::Bent,
    ];

    const fn is_kubelka_munk(self) -> bool {
        matches!(self, Shape::KubelkaMunk | Shape::KubelkaMunkPlateau)
    }
}

/// A shape with its parameters.
#[derive(Clone, Debug)]
pub(super) struct Fitted {
    pub shape: Shape,
    /// Sum of doses from which more changes nothing, %.
    plateau_pct: f64,
    /// For each channel of linear sRGB, or L*, a*, b*.
    channels: [Solved; 3],
}

/// Least uncertainty of L*, a*, b* of a trial: no pour is like the next. Our judgement.
const LEAST_SD: f64 = 0.2;

impl Fitted {
    /// Fits a shape. `None` if the trials do not determine it.
    pub(super) fn of(shape: Shape, trials: &[Trial]) -> Option<Fitted> {
        if shape != Shape::KubelkaMunkPlateau {
            return Fitted::with(shape, f64::INFINITY, trials).map(|f| f.0);
        }
        let total = |t: &Trial| t.dose_pct.iter().sum::<f64>();
        let most = trials.iter().map(total).fold(0.0, f64::max);
        // Two trials at least must lie on the plateau, or it would only bend to one.
        let on = |p: f64| trials.iter().filter(|t| total(t) > p).count() >= 2;
        let steps = (1..200).map(|i| f64::from(i) * 0.25);
        steps
            .take_while(|p| *p < most)
            .filter(|p| on(*p))
            .filter_map(|p| Fitted::with(shape, p, trials))
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|f| f.0)
    }

    /// The fit and its sum of weighted squares.
    fn with(shape: Shape, plateau_pct: f64, trials: &[Trial]) -> Option<(Fitted, f64)> {
        let rows: Vec<Vec<f64>> = trials
            .iter()
            .map(|t| row(shape, plateau_pct, &t.dose_pct))
            .collect();
        let seen: Vec<(Triple, Triple)> = trials.iter().map(|t| values(shape, t)).collect();
        let mut squares = 0.0;
        let mut channel = |pick: fn(&Triple) -> f64| -> Option<Solved> {
            let y: Vec<f64> = seen.iter().map(|s| pick(&s.0)).collect();
            let w: Vec<f64> = seen
                .iter()
                .map(|s| 1.0 / (pick(&s.1) * pick(&s.1)))
                .collect();
            let mut solved = solve(&rows, &y, &w)?;
            let each = rows.iter().zip(&y).zip(&w);
            let chi2: f64 = each
                .map(|((r, y), w)| {
                    let off = y - solved.at(r);
                    off * off * w
                })
                .sum();
            squares += chi2;
            let free = trials.len().saturating_sub(solved.values.len());
            if free > 0 {
                solved.widen((chi2 / free as f64).max(1.0));
            }
            Some(solved)
        };
        let channels = [
            channel(|[x, _, _]| *x)?,
            channel(|[_, y, _]| *y)?,
            channel(|[_, _, z]| *z)?,
        ];
        let fitted = Fitted {
            shape,
            plateau_pct,
            channels,
        };
        squares.is_finite().then_some((fitted, squares))
    }

    /// Parameters of each channel.
    pub(super) fn parameters(&self) -> usize {
        let [first, ..] = &self.channels;
        first.values.len() + usize::from(self.shape == Shape::KubelkaMunkPlateau)
    }

    /// Colour and uncertainty of the curve itself.
    pub(super) fn at(&self, dose_pct: &[f64]) -> Option<(Lab, Triple)> {
        let row = row(self.shape, self.plateau_pct, dose_pct);
        let [first, ..] = &self.channels;
        if row.len() != first.values.len() {
            return None;
        }
        let value = self.channels.each_ref().map(|c| c.at(&row));
        let [s0, s1, s2] = self.channels.each_ref().map(|c| c.variance(&row).sqrt());
        let lab = self.lab(value);
        let moved = [[s0, 0.0, 0.0], [0.0, s1, 0.0], [0.0, 0.0, s2]].map(|by| {
            // Half of there and back: K/S bends.
            let up = self.lab(pairwise(value, by, |v, b| v + b));
            let down = self.lab(pairwise(value, by, |v, b| v - b));
            up.minus(down).map(|d| d / 2.0)
        });
        lab.is_finite()
            .then(|| (lab, crate::measure::together(&moved)))
    }

    fn lab(&self, value: Triple) -> Lab {
        if self.shape.is_kubelka_munk() {
            xyz_to_lab(times(&SRGB_TO_XYZ, value.map(reflectance)))
        } else {
            Lab::from_array(value)
        }
    }
}

/// One row of the design.
fn row(shape: Shape, plateau_pct: f64, dose_pct: &[f64]) -> Vec<f64> {
    let total: f64 = dose_pct.iter().sum();
    let counts = if total > plateau_pct {
        plateau_pct / total
    } else {
        1.0
    };
    let mut out = vec![1.0];
    for dose in dose_pct {
        // Scaled so that all entries are about 1.
        let d = dose * counts / 5.0;
        out.push(d);
        if shape == Shape::Bent {
            out.push(d * d);
        }
    }
    out
}

/// What is fitted of a trial, and its standard uncertainty.
fn values(shape: Shape, trial: &Trial) -> (Triple, Triple) {
    let [l, a, b] = trial.sd.map(|s| s.max(LEAST_SD));
    if !shape.is_kubelka_munk() {
        return (trial.lab.to_array(), [l, a, b]);
    }
    let ks = |lab: Lab| linear_srgb(lab).map(absorption);
    let here = ks(trial.lab);
    let moved = [[l, 0.0, 0.0], [0.0, a, 0.0], [0.0, 0.0, b]].map(|by| {
        let there = ks(trial.lab.plus(by));
        pairwise(there, here, |t, h| t - h)
    });
    let sd = crate::measure::together(&moved);
    // No weight without bound.
    (here, pairwise(sd, here, |s, v| s.max(1e-3 * v).max(1e-6)))
}

fn linear_srgb(lab: Lab) -> Triple {
    times(&inverse(&Profile::Srgb.to_xyz()), lab_to_xyz(lab))
}

/// K/S of a reflectance, which is held within what paste can have.
fn absorption(r: f64) -> f64 {
    let r = r.clamp(0.002, 0.99);
    (1.0 - r) * (1.0 - r) / (2.0 * r)
}

/// The reflectance of a K/S.
fn reflectance(ks: f64) -> f64 {
    let ks = ks.max(0.0);
    1.0 + ks - (ks * (ks + 2.0)).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reflectance_and_absorption_are_inverse() {
        for r in [0.01, 0.1, 0.5, 0.9] {
            assert!((reflectance(absorption(r)) - r).abs() < 1e-12, "{r}");
        }
        // K/S of 1/2 by hand: (1/2)² / 1.
        assert!((absorption(0.5) - 0.25).abs() < 1e-15);
    }
}
