//! Equivalent age and degree-hours: how long concrete has hardened, reckoned with the
//! temperature that it had.
//!
//! A rate says how many hours at the reference temperature one hour counts. Ages are sums
//! of rate times time over intervals of constant temperature. What strength an age means
//! is in [`crate::strength`]; setting has its own rate in [`crate::setting`].

use crate::units::{Celsius, Hours, JPerMol};

/// Gas constant as the standards round it, J/(mol K): EN 1992-1-1's 4000 K is 33 256 J/mol.
pub const GAS_CONSTANT: f64 = 8.314;
/// Arrhenius constant E/R for ordinary portland cement without admixtures, K.
///
/// Source: ASTM C1074 appendix X2, from memory.
pub const Q_K: f64 = 5000.0;
/// Reference temperature of ASTM C1074 in North America.
pub const REFERENCE: Celsius = Celsius(23.0);
/// Reference temperature of Freiesleben Hansen and Pedersen, and of EN 1992-1-1.
pub const REFERENCE_EUROPE: Celsius = Celsius(20.0);
/// Datum of the temperature-time factor for portland cement without admixtures.
///
/// Source: ASTM C1074 appendix X2, from memory; Saul 1951 used -10 °C.
pub const DATUM: Celsius = Celsius(0.0);

/// A span of constant concrete temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// How long it lasted.
    pub hours: Hours,
    /// Mean concrete temperature in it.
    pub temp: Celsius,
}

/// Kelvin, kept above zero so that no finite input divides by it.
fn kelvin(t: Celsius) -> f64 {
    t.kelvin().max(1.0)
}

/// Rate after Arrhenius with a constant `q_k` (E/R, in K), 1 at `reference`.
///
/// Source: ASTM C1074: `exp(-Q (1/Ta - 1/Ts))`.
#[must_use]
pub fn rate_arrhenius(temp: Celsius, q_k: f64, reference: Celsius) -> f64 {
    libm::exp(q_k * (1.0 / kelvin(reference) - 1.0 / kelvin(temp)))
}

/// Apparent activation energy of Freiesleben Hansen and Pedersen 1977, rising in the cold.
///
/// Source: `33 500` from 20 °C up, `33 500 + 1470 (20 - T)` below, from memory.
#[must_use]
pub fn activation_energy_fhp(temp: Celsius) -> JPerMol {
    JPerMol(33_500.0 + 1470.0 * (REFERENCE_EUROPE.0 - temp.0).max(0.0))
}

/// Rate of Freiesleben Hansen and Pedersen 1977, 1 at 20 °C.
#[must_use]
pub fn rate_fhp(temp: Celsius) -> f64 {
    let e = activation_energy_fhp(temp).0;
    rate_arrhenius(temp, e / GAS_CONSTANT, REFERENCE_EUROPE)
}

/// Rate of EN 1992-1-1 (B.10) as printed, with 273 and 13.65: 0.998 at 20 °C.
///
/// Source: EN 1992-1-1:2004 annex B and fib Model Code 2010; they hold from 0 to 80 °C.
#[must_use]
pub fn rate_en1992(temp: Celsius) -> f64 {
    libm::exp(13.65 - 4000.0 / (273.0 + temp.0).max(1.0))
}

/// Rate of Nurse and Saul, 1 at `reference`; nothing at or below `datum`. A reference that
/// is not above the datum gives 0.
#[must_use]
pub fn rate_nurse_saul(temp: Celsius, datum: Celsius, reference: Celsius) -> f64 {
    let span = reference.0 - datum.0;
    if span > 0.0 {
        (temp.0 - datum.0).max(0.0) / span
    } else {
        0.0
    }
}

/// The rate that predictions use: Arrhenius with [`Q_K`] at 23 °C, and below 20 °C the
/// rising activation energy of Freiesleben Hansen and Pedersen, joined at 20 °C.
///
/// Below 10 °C published rates differ twofold; this follows the slowest.
#[must_use]
pub fn rate_default(temp: Celsius) -> f64 {
    if temp.0 >= REFERENCE_EUROPE.0 {
        rate_arrhenius(temp, Q_K, REFERENCE)
    } else {
        rate_arrhenius(REFERENCE_EUROPE, Q_K, REFERENCE) * rate_fhp(temp)
    }
}

/// Equivalent age of a history by any rate. Spans below zero count nothing.
///
/// ```
/// use slowstone_curing::maturity::{Interval, age, degree_hours, rate_default};
/// use slowstone_curing::units::{Celsius, Hours};
/// let hours = |hours: f64, temp: f64| Interval { hours: Hours(hours), temp: Celsius(temp) };
/// // A mild day and a cold night.
/// let history = [hours(12.0, 18.0), hours(12.0, 6.0)];
/// assert_eq!(degree_hours(&history, Celsius(0.0)), 288.0);
/// // At 23 °C an hour counts as one; in the cold a day counts much less than 24.
/// assert_eq!(rate_default(Celsius(23.0)), 1.0);
/// let age = age(&history, rate_default).value();
/// assert!(age > 10.0 && age < 14.0, "{age}");
/// ```
#[must_use]
pub fn age(history: &[Interval], rate: impl Fn(Celsius) -> f64) -> Hours {
    Hours(
        history
            .iter()
            .map(|i| i.hours.0.max(0.0) * rate(i.temp))
            .sum(),
    )
}

/// Temperature-time factor of Nurse and Saul in °C·h: what lies above the datum counts,
/// what lies below counts nothing (it is never taken off).
#[must_use]
pub fn degree_hours(history: &[Interval], datum: Celsius) -> f64 {
    history
        .iter()
        .map(|i| i.hours.0.max(0.0) * (i.temp.0 - datum.0).max(0.0))
        .sum()
}
