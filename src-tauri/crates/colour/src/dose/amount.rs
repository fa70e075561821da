//! Grams of pigment for a bag or a batch.
//!
//! A dose is a share of the cement, and a bag says what it weighs, not how much of it is
//! cement: that comes from the mix, which is not known here. What dose is best is in
//! [`super::Aim`].

use super::Aim;
use serde::Serialize;

/// Grams of one pigment.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Amount {
    /// The best.
    pub g: f64,
    /// Least that may be right.
    pub low_g: f64,
    /// Most that may be right.
    pub high_g: f64,
}

/// Grams of each pigment for so much cement, kg: that of one bag, or of a batch.
#[must_use]
pub fn amount(aim: &Aim, cement_kg: f64) -> Vec<Amount> {
    let grams = |pct: f64| pct / 100.0 * cement_kg * 1000.0;
    aim.dose_pct
        .iter()
        .zip(&aim.range_pct)
        .map(|(dose, (low, high))| Amount {
            g: grams(*dose),
            low_g: grams(*low),
            high_g: grams(*high),
        })
        .collect()
}
