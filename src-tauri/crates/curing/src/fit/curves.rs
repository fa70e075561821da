//! The strength curves as models of the solver: values, derivatives, and where to start.
//!
//! Every curve has a factor on strength that can be solved directly, so starts are taken
//! from a grid over the other parameters and the best of them are refined. Nothing is
//! bounded: what the tests say is what is given, with its standard error.

use super::levenberg::{FitError, Fitted, Model, within};
use crate::strength::{Curve, NAMED_AGE};
use crate::units::{Days, Mpa};

/// A kind of strength curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// [`Curve::Hyperbola`].
    Hyperbola,
    /// [`Curve::En1992`].
    En1992,
    /// [`Curve::Aci209`], held to its named strength at 28 days: `b = 1 - a / 28`, because
    /// strengths alone cannot tell its three parameters apart.
    Aci209,
    /// [`Curve::Fhp`].
    Fhp,
}

/// A curve through strength tests.
#[derive(Clone, Debug, PartialEq)]
pub struct StrengthFit {
    /// The curve.
    pub curve: Curve,
    /// Name (with unit), value and standard error of every parameter.
    pub parameters: Vec<(&'static str, f64, f64)>,
    /// Standard deviation of what is left.
    pub residual_sd: Mpa,
    /// Tests less fitted parameters.
    pub degrees_of_freedom: usize,
}

/// Starts of the grid that are refined.
const REFINED: usize = 4;
/// Steps from each of them: they are near, or there is nothing to find.
const STEPS: usize = 300;
/// A standard error of this many times its parameter says that the tests do not know it.
const VAGUE: f64 = 10.0;

impl Kind {
    /// All kinds.
    pub const ALL: [Kind; 4] = [Kind::Hyperbola, Kind::En1992, Kind::Aci209, Kind::Fhp];

    /// The name in JSON.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Kind::Hyperbola => "hyperbola",
            Kind::En1992 => "en1992",
            Kind::Aci209 => "aci209",
            Kind::Fhp => "fhp",
        }
    }

    /// Tests that are needed: one more than fitted parameters.
    #[must_use]
    pub const fn least_tests(self) -> usize {
        match self {
            Kind::Hyperbola | Kind::Fhp => 4,
            Kind::En1992 | Kind::Aci209 => 3,
        }
    }

    /// Parameters other than the factor on strength, over the grid.
    fn grid(self, first: f64, last: f64) -> Vec<Vec<f64>> {
        let log = |from: f64, to: f64, n: u32| {
            let ratio = libm::log(to / from);
            (0..=n).map(move |i| from * libm::exp(ratio * f64::from(i) / f64::from(n)))
        };
        match self {
            Kind::En1992 => log(0.02, 3.0, 24).map(|s| vec![s]).collect(),
            Kind::Aci209 => log(0.05, 27.0, 24).map(|a| vec![a]).collect(),
            Kind::Hyperbola => log(0.05 / last, 20.0 / first, 24)
                .flat_map(|k| [0.0, 0.3, 0.6, 0.9, 0.98].map(|share| vec![k, share * first]))
                .collect(),
            Kind::Fhp => log(first / 20.0, last * 5.0, 16)
                .flat_map(|tau| log(0.15, 4.0, 10).map(move |a| vec![tau, a]))
                .collect(),
        }
    }

    fn curve(self, p: &[f64]) -> Option<Curve> {
        Some(match (self, p) {
            (Kind::Hyperbola, [su, k, t0]) => Curve::Hyperbola {
                su: Mpa(*su),
                k_per_d: *k,
                t0: Days(*t0),
            },
            (Kind::En1992, [fcm, s]) => Curve::En1992 {
                fcm: Mpa(*fcm),
                s: *s,
            },
            (Kind::Aci209, [f28, a]) => Curve::Aci209 {
                f28: Mpa(*f28),
                a: *a,
                b: 1.0 - a / NAMED_AGE.0,
            },
            (Kind::Fhp, [su, tau, a]) => Curve::Fhp {
                su: Mpa(*su),
                tau: Days(*tau),
                a: *a,
            },
            _ => return None,
        })
    }

    /// Names, values and standard errors.
    fn named(self, fitted: &Fitted) -> Vec<(&'static str, f64, f64)> {
        let names: &[&'static str] = match self {
            Kind::Hyperbola => &["su_mpa", "k_per_d", "t0_d"],
            Kind::En1992 => &["fcm_mpa", "s"],
            Kind::Aci209 => &["f28_mpa", "a"],
            Kind::Fhp => &["su_mpa", "tau_d", "a"],
        };
        let both = fitted.parameters.iter().zip(&fitted.standard_errors);
        let mut all: Vec<(&'static str, f64, f64)> = names
            .iter()
            .zip(both)
            .map(|(n, (p, e))| (*n, *p, *e))
            .collect();
        if let (Kind::Aci209, Some((_, a, error))) = (self, all.last().copied()) {
            all.push(("b", 1.0 - a / NAMED_AGE.0, error / NAMED_AGE.0));
        }
        all
    }
}

impl Model for Kind {
    fn parameters(&self) -> usize {
        self.least_tests() - 1
    }

    /// At an age in days. Parameters outside the curve's meaning have no value.
    fn value(&self, t: f64, parameters: &[f64], gradient: &mut [f64]) -> f64 {
        match (self, parameters, gradient) {
            (Kind::Hyperbola, [su, k, t0], [d_su, d_k, d_t0]) => {
                if *k <= 0.0 {
                    return f64::NAN;
                }
                let u = (t - t0).max(0.0);
                let below = 1.0 + k * u;
                *d_su = k * u / below;
                *d_k = su * u / (below * below);
                *d_t0 = if u > 0.0 {
                    -su * k / (below * below)
                } else {
                    0.0
                };
                su * *d_su
            }
            (Kind::En1992, [fcm, s], [d_fcm, d_s]) => {
                let lag = 1.0 - (NAMED_AGE.0 / t).sqrt();
                *d_fcm = libm::exp(s * lag);
                *d_s = fcm * *d_fcm * lag;
                fcm * *d_fcm
            }
            (Kind::Aci209, [f28, a], [d_f28, d_a]) => {
                let lead = 1.0 - t / NAMED_AGE.0;
                let below = t + a * lead;
                if *a <= 0.0 || *a >= NAMED_AGE.0 || below <= 0.0 {
                    return f64::NAN;
                }
                *d_f28 = t / below;
                *d_a = -f28 * t * lead / (below * below);
                f28 * *d_f28
            }
            (Kind::Fhp, [su, tau, a], [d_su, d_tau, d_a]) => {
                if *tau <= 0.0 || *a <= 0.0 {
                    return f64::NAN;
                }
                let w = libm::pow(tau / t, *a);
                *d_su = libm::exp(-w);
                *d_tau = -su * *d_su * w * a / tau;
                *d_a = -su * *d_su * w * libm::log(tau / t);
                su * *d_su
            }
            _ => f64::NAN,
        }
    }
}

/// The best factor on strength for the other parameters, and the sum of squares with it.
fn scaled(kind: Kind, tests: &[(f64, f64)], others: &[f64]) -> Option<(f64, Vec<f64>)> {
    let mut start = vec![1.0];
    start.extend_from_slice(others);
    let mut gradient = vec![0.0; start.len()];
    let shape: Vec<f64> = tests
        .iter()
        .map(|(t, _)| kind.value(*t, &start, &mut gradient))
        .collect();
    let (mut own, mut shared) = (0.0, 0.0);
    for ((_, y), s) in tests.iter().zip(&shape) {
        own += s * s;
        shared += s * y;
    }
    let factor = shared / own;
    let squares = |((_, y), s): (&(f64, f64), &f64)| (y - factor * s) * (y - factor * s);
    let sum: f64 = tests.iter().zip(&shape).map(squares).sum();
    if let Some(first) = start.first_mut() {
        *first = factor;
    }
    sum.is_finite().then_some((sum, start))
}

/// Fits a curve to strength tests at equivalent ages, all with the same weight.
///
/// ```
/// use slowstone_curing::fit::{FitError, Kind, strength_curve};
/// use slowstone_curing::units::{Days, Mpa};
/// let tests = [(1.0, 4.1), (3.0, 10.2), (7.0, 17.0), (14.0, 22.8), (28.0, 27.3)]
///     .map(|(d, mpa)| (Days(d), Mpa(mpa)));
/// let fit = strength_curve(Kind::Hyperbola, &tests).unwrap();
/// assert!((fit.curve.at(Days(28.0)).value() - 27.3).abs() < 0.5);
/// assert_eq!(fit.degrees_of_freedom, 2);
/// let few = strength_curve(Kind::Hyperbola, &tests[..3]);
/// assert_eq!(few.unwrap_err(), FitError::TooFewPoints);
/// ```
///
/// # Errors
/// [`FitError::TooFewPoints`] unless there are [`Kind::least_tests`] tests with as many
/// different ages as parameters; [`FitError::NotConverged`] or [`FitError::Undetermined`]
/// when they do not determine the curve.
pub fn strength_curve(kind: Kind, tests: &[(Days, Mpa)]) -> Result<StrengthFit, FitError> {
    let points: Vec<(f64, f64)> = tests.iter().map(|(t, s)| (t.0, s.0)).collect();
    let mut ages: Vec<f64> = points.iter().map(|p| p.0).collect();
    ages.sort_by(f64::total_cmp);
    ages.dedup();
    let (Some(first), Some(last)) = (ages.first(), ages.last()) else {
        return Err(FitError::TooFewPoints);
    };
    let usable = points.iter().all(|(t, s)| *t > 0.0 && s.is_finite());
    if points.len() < kind.least_tests() || ages.len() < kind.parameters() || !usable {
        return Err(FitError::TooFewPoints);
    }
    let mut starts: Vec<(f64, Vec<f64>)> = kind
        .grid(*first, *last)
        .iter()
        .filter_map(|others| scaled(kind, &points, others))
        .collect();
    starts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let fitted = starts
        .iter()
        .take(REFINED)
        .filter_map(|(_, start)| within(&kind, &points, start, STEPS).ok())
        .min_by(|a, b| a.sum_of_squares.total_cmp(&b.sum_of_squares))
        .ok_or(FitError::NotConverged)?;
    let parameters = kind.named(&fitted);
    // Only the start of strength gain may be anywhere, also before the mixing.
    let vague = |(name, p, error): &(&'static str, f64, f64)| {
        *name != "t0_d" && !(*p > 0.0 && *error <= VAGUE * p)
    };
    if parameters.iter().any(vague) {
        return Err(FitError::Undetermined);
    }
    Ok(StrengthFit {
        curve: kind
            .curve(&fitted.parameters)
            .ok_or(FitError::NotConverged)?,
        parameters,
        residual_sd: Mpa(fitted.residual_sd),
        degrees_of_freedom: fitted.degrees_of_freedom,
    })
}
