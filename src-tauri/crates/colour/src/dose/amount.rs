//! Grams of pigment for a bag or a batch.
//!
//! A dose is a share of the cement, and a bag says what it weighs, not how much of it is
//! cement. Where that is not known, [`CEMENT_SHARE`] stands in.

use super::Aim;
use serde::Serialize;

/// Cement in bagged concrete mix, share of the mass: about 14 %, and more in mixes that
/// promise high early strength. From memory of data sheets.
pub const CEMENT_SHARE: f64 = 0.14;

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

/// Grams of each pigment for so much cement: that of one bag, or of a batch.
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
