//! Compressive strength against equivalent age: four published curves and their inverses.
//!
//! An age is an equivalent age at the curve's reference temperature (see
//! [`crate::maturity`]); which age belongs to which curve is said by [`Curve::age_by`].
//! Below about one day published curves differ threefold, so a single curve is no
//! permission to strip: ranges are in [`crate::predict`], fits to tests in [`crate::fit`].

use crate::maturity;
use crate::units::{Celsius, Days, Hours, Mpa};

/// A strength-age curve.
///
/// ```
/// use slowstone_curing::strength::Curve;
/// use slowstone_curing::units::{Days, Mpa};
/// let bagged = Curve::BAGGED;
/// // As commonly printed for a 4000 psi bag: 17.2 MPa at 7 days, 27.6 at 28.
/// assert!((bagged.at(Days(7.0)).value() - 17.2).abs() < 0.1);
/// assert!((bagged.at(Days(28.0)).value() - 27.6).abs() < 0.1);
/// // There and back, and no age for what is never reached.
/// let age = bagged.age_at(Mpa(7.0)).unwrap();
/// assert!((bagged.at(age).value() - 7.0).abs() < 1e-9);
/// assert_eq!(bagged.age_at(Mpa(40.0)), None);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Curve {
    /// `Su k (t - t0) / (1 + k (t - t0))`, 0 before `t0`.
    ///
    /// Source: Carino 1984, ASTM C1074 appendix X1 (from memory).
    Hyperbola {
        /// Limiting strength.
        su: Mpa,
        /// Rate constant at the reference temperature, 1/day.
        k_per_d: f64,
        /// Age at which strength gain starts.
        t0: Days,
    },
    /// `fcm exp(s (1 - sqrt(28 / t)))`.
    ///
    /// Source: EN 1992-1-1:2004 3.1.2(6), fib Model Code 2010 5.1-51; below 3 days it is
    /// extrapolated.
    En1992 {
        /// Mean strength at 28 days.
        fcm: Mpa,
        /// 0.20 for rapid, 0.25 for normal, 0.38 for slow cement.
        s: f64,
    },
    /// `f28 t / (a + b t)`; it gains from the first minute, so it must not be used before
    /// set.
    ///
    /// Source: ACI 209R-92 equation 2-1.
    Aci209 {
        /// Strength at 28 days (nearly: the published a and b miss it by up to 1.5 %).
        f28: Mpa,
        /// Days.
        a: f64,
        /// Without unit.
        b: f64,
    },
    /// `Su exp(-(tau / t)^a)`.
    ///
    /// Source: Freiesleben Hansen and Pedersen 1985 (from memory).
    Fhp {
        /// Limiting strength.
        su: Mpa,
        /// Age at 37 % of the limit.
        tau: Days,
        /// Shape.
        a: f64,
    },
}

/// Which equivalent age belongs to a curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AgeBy {
    /// Arrhenius, 5000 K, at 23 °C (ASTM C1074).
    Arrhenius,
    /// EN 1992-1-1 (B.10), about 20 °C.
    En1992,
    /// Freiesleben Hansen and Pedersen, 20 °C.
    Fhp,
}

impl AgeBy {
    /// The rate of this age.
    #[must_use]
    pub fn rate(self, temp: Celsius) -> f64 {
        match self {
            AgeBy::Arrhenius => maturity::rate_arrhenius(temp, maturity::Q_K, maturity::REFERENCE),
            AgeBy::En1992 => maturity::rate_en1992(temp),
            AgeBy::Fhp => maturity::rate_fhp(temp),
        }
    }

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            AgeBy::Arrhenius => "arrhenius",
            AgeBy::En1992 => "en1992",
            AgeBy::Fhp => "fhp",
        }
    }
}

/// The age at which strength is named.
pub const NAMED_AGE: Days = Days(28.0);

impl Curve {
    /// Plain bagged concrete: 17.2 MPa at 7 days, 27.6 at 28.
    ///
    /// Source: commonly printed for a 4000 psi bag (from memory); curve forced through.
    pub const BAGGED: Curve = Curve::Hyperbola {
        su: Mpa(34.1),
        k_per_d: 0.1525,
        t0: Days(0.3),
    };

    /// Strength at an equivalent age; 0 at no age. Parameters are taken as not below zero.
    #[must_use]
    pub fn at(&self, age: Days) -> Mpa {
        let t = age.0.max(0.0);
        if t == 0.0 {
            return Mpa(0.0);
        }
        Mpa(match *self {
            Curve::Hyperbola { su, k_per_d, t0 } => {
                let x = k_per_d * (t - t0.0);
                if x.is_finite() && x > 0.0 {
                    su.0 * (x / (1.0 + x))
                } else if x > 0.0 {
                    su.0
                } else {
                    0.0
                }
            }
            Curve::En1992 { fcm, s } if s > 0.0 => {
                fcm.0 * libm::exp(s * (1.0 - (NAMED_AGE.0 / t).sqrt()))
            }
            Curve::En1992 { fcm, .. } => fcm.0,
            Curve::Aci209 { f28, a, b } => {
                let divisor = a.max(0.0) / t + b.max(0.0);
                if divisor > 0.0 { f28.0 / divisor } else { 0.0 }
            }
            Curve::Fhp { su, tau, a } => {
                su.0 * libm::exp(-libm::pow(tau.0.max(0.0) / t, a.max(0.0)))
            }
        })
    }

    /// The strength that is approached and never passed.
    #[must_use]
    pub fn limit(&self) -> Mpa {
        Mpa(match *self {
            Curve::Hyperbola { su, .. } | Curve::Fhp { su, .. } => su.0,
            Curve::En1992 { fcm, s } => fcm.0 * libm::exp(s.max(0.0)),
            Curve::Aci209 { f28, b, .. } if b > 0.0 => f28.0 / b,
            Curve::Aci209 { .. } => f64::INFINITY,
        })
    }

    /// The equivalent age at which a strength above zero is reached; `None` at or above
    /// the limit.
    #[must_use]
    pub fn age_at(&self, target: Mpa) -> Option<Days> {
        if !(target.0 > 0.0 && target < self.limit()) {
            return None;
        }
        let days = match *self {
            Curve::Hyperbola { su, k_per_d, t0 } => t0.0 + target.0 / (su.0 - target.0) / k_per_d,
            Curve::En1992 { fcm, s } => {
                let root = 1.0 - libm::log(target.0 / fcm.0) / s;
                NAMED_AGE.0 / (root * root)
            }
            Curve::Aci209 { f28, a, b } => {
                let ratio = target.0 / f28.0;
                a * ratio / (1.0 - b * ratio)
            }
            Curve::Fhp { su, tau, a } => tau.0 / libm::pow(-libm::log(target.0 / su.0), 1.0 / a),
        };
        (days.is_finite() && days >= 0.0).then_some(Days(days))
    }

    /// Strength over that at 28 days; `None` if there is none at 28 days.
    #[must_use]
    pub fn ratio_to_28(&self, age: Days) -> Option<f64> {
        let named = self.at(NAMED_AGE).0;
        let ratio = self.at(age).0 / named;
        (named > 0.0 && ratio.is_finite()).then_some(ratio)
    }

    /// The equivalent age that belongs to the curve: the one it was published with.
    #[must_use]
    pub const fn age_by(&self) -> AgeBy {
        match self {
            Curve::Hyperbola { .. } | Curve::Aci209 { .. } => AgeBy::Arrhenius,
            Curve::En1992 { .. } => AgeBy::En1992,
            Curve::Fhp { .. } => AgeBy::Fhp,
        }
    }

    /// Hours to a strength where each hour counts `rate`; `None` if it is not reached.
    #[must_use]
    pub fn hours_to(&self, target: Mpa, rate: f64) -> Option<Hours> {
        let hours = self.age_at(target)?.0 * 24.0 / rate;
        (rate > 0.0 && hours.is_finite()).then_some(Hours(hours))
    }
}
