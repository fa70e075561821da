//! When concrete sets: initial and final set by ASTM C403's penetration resistance
//! (3.5 and 27.6 MPa), reckoned by maturity.
//!
//! Setting follows the temperature with its own activation energy. It is no strength, and
//! what a person sees on the site overrides it: see [`crate::learn`]. Bleeding and the
//! texture window are in [`crate::predict`].

use crate::maturity::{self, Interval};
use crate::units::{Celsius, Hours, JPerMol};

/// Hours to initial set at 23 °C.
///
/// Source: fit to the widely copied table 100/80/70/60/40/30 °F = 1.67/4/6/8/14/19 h.
pub const INITIAL_H_AT_23: f64 = 4.6;
/// Activation energy of setting, J/mol.
///
/// Source: the same fit; Pinto and Hover 1999 name 30 to 45 kJ/mol (from memory).
pub const E_J_MOL: f64 = 42_500.0;
/// Final set over initial set.
///
/// Source: typical plain concrete at 23 °C, initial 4 to 6 h, final 5.5 to 8 h, from memory.
pub const FINAL_OVER_INITIAL: f64 = 1.6;
/// Below this rate nothing sets within a year.
const SLOWEST: f64 = 1e-9;

/// Rate of setting, 1 at 23 °C, by [`E_J_MOL`].
#[must_use]
pub fn rate(temp: Celsius) -> f64 {
    rate_with(temp, JPerMol(E_J_MOL))
}

/// Rate of setting, 1 at 23 °C, by a given activation energy.
#[must_use]
pub fn rate_with(temp: Celsius, e: JPerMol) -> f64 {
    maturity::rate_arrhenius(temp, e.0 / maturity::GAS_CONSTANT, maturity::REFERENCE)
}

/// Hours after mixing at which a setting age is reached. The last temperature carries on
/// when the history ends earlier. `None` without a history, or if it never sets.
#[must_use]
pub fn hours_to(age: Hours, history: &[Interval], e: JPerMol) -> Option<Hours> {
    let mut left = age.0;
    let mut passed = 0.0;
    for i in history {
        let rate = rate_with(i.temp, e);
        let hours = i.hours.0.max(0.0);
        if rate * hours >= left && rate > 0.0 {
            return Some(Hours(passed + left / rate));
        }
        left -= rate * hours;
        passed += hours;
    }
    let rate = rate_with(history.last()?.temp, e);
    (rate > SLOWEST).then(|| Hours(passed + left / rate))
}
