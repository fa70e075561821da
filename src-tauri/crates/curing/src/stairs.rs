//! The shape of a flight: how many steps, their riser and going, and whether they are
//! even and within limits.
//!
//! The limits are those of a dwelling's stair (IRC) unless others are given; the local
//! code decides. The drawing, the bags and the order of work are elsewhere; structural
//! sizes are for a licensed engineer.

use crate::units::Metres;
use core::fmt;

/// Riser and going of one step: the going is the tread that shows, from nosing to nosing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StepSize {
    /// Height.
    pub riser: Metres,
    /// Depth that shows.
    pub going: Metres,
}

impl StepSize {
    /// Twice the riser and the going, mm: what a stride takes.
    #[must_use]
    pub fn two_r_plus_t_mm(&self) -> f64 {
        (2.0 * self.riser.0 + self.going.0) * 1000.0
    }
}

/// What a flight is held against, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Highest riser.
    pub riser_max_mm: f64,
    /// Shortest going.
    pub going_min_mm: f64,
    /// Greatest riser less least, and the same for goings.
    pub variation_max_mm: f64,
    /// Shortest comfortable 2R + T.
    pub two_r_plus_t_min_mm: f64,
    /// Longest comfortable 2R + T.
    pub two_r_plus_t_max_mm: f64,
}

impl Default for Limits {
    /// Riser 7 3/4 in, tread 10 in, variation 3/8 in (IRC R311.7.5, 2018 and 2021, which
    /// prints 196, 254 and 9.5 mm; the inch rules); 2R + T 24 to 26 in (landscape
    /// practice).
    fn default() -> Limits {
        Limits {
            riser_max_mm: 196.85,
            going_min_mm: 254.0,
            variation_max_mm: 9.525,
            two_r_plus_t_min_mm: 609.6,
            two_r_plus_t_max_mm: 660.4,
        }
    }
}

/// What is wrong with a flight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// A riser is too high.
    Riser,
    /// A going is too short.
    Going,
    /// Risers differ too much.
    RiserVariation,
    /// Goings differ too much.
    GoingVariation,
    /// 2R + T is too short or too long.
    TwoRPlusT,
}

impl Fault {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Fault::Riser => "riser",
            Fault::Going => "going",
            Fault::RiserVariation => "riser variation",
            Fault::GoingVariation => "going variation",
            Fault::TwoRPlusT => "2R + T",
        }
    }
}

/// A fault with its figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Finding {
    /// What.
    pub fault: Fault,
    /// What it comes to, mm.
    pub value_mm: f64,
    /// What it is held against, mm.
    pub limit_mm: f64,
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let side = if self.value_mm > self.limit_mm {
            "above"
        } else {
            "below"
        };
        let (what, value, limit) = (self.fault.word(), self.value_mm, self.limit_mm);
        write!(f, "{what} of {value:.1} mm is {side} {limit:.1} mm")
    }
}

/// Lengths closer than this are the same: metres are typed, inches are meant.
const NOISE_MM: f64 = 1e-6;

/// Everything that is wrong with a flight, the worst place of each kind.
#[must_use]
pub fn findings(steps: &[StepSize], limits: &Limits) -> Vec<Finding> {
    let mm = |of: fn(&StepSize) -> f64| {
        let all = steps.iter().map(of);
        let least = all.clone().fold(f64::INFINITY, f64::min);
        (least * 1000.0, all.fold(0.0, f64::max) * 1000.0)
    };
    if steps.is_empty() {
        return Vec::new();
    }
    let (riser_least, riser_most) = mm(|s| s.riser.0);
    let (going_least, going_most) = mm(|s| s.going.0);
    let (stride_least, stride_most) = mm(|s| s.two_r_plus_t_mm() / 1000.0);
    let above = |fault, value_mm: f64, limit_mm: f64| {
        (value_mm > limit_mm + NOISE_MM).then_some(Finding {
            fault,
            value_mm,
            limit_mm,
        })
    };
    let below = |fault, value_mm: f64, limit_mm: f64| {
        (value_mm < limit_mm - NOISE_MM).then_some(Finding {
            fault,
            value_mm,
            limit_mm,
        })
    };
    let variation = limits.variation_max_mm;
    [
        above(Fault::Riser, riser_most, limits.riser_max_mm),
        below(Fault::Going, going_least, limits.going_min_mm),
        above(Fault::RiserVariation, riser_most - riser_least, variation),
        above(Fault::GoingVariation, going_most - going_least, variation),
        below(Fault::TwoRPlusT, stride_least, limits.two_r_plus_t_min_mm),
        above(Fault::TwoRPlusT, stride_most, limits.two_r_plus_t_max_mm),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// A flight of even steps.
#[must_use]
pub fn even(rise: Metres, run: Metres, steps: u32) -> StepSize {
    let n = f64::from(steps.max(1));
    StepSize {
        riser: Metres(rise.0 / n),
        going: Metres(run.0 / n),
    }
}

/// Most steps that are considered.
pub const MOST_STEPS: u32 = 500;

/// The number of even steps for a bank, at most [`MOST_STEPS`]: fewest faults, then the
/// stride nearest to the middle of its limits.
///
/// ```
/// use slowstone_curing::stairs::{Limits, best_count, even, findings};
/// use slowstone_curing::units::Metres;
/// // A bank 1.5 m high and 2.8 m long.
/// let (rise, run) = (Metres(1.5), Metres(2.8));
/// let steps = best_count(rise, run, &Limits::default());
/// assert_eq!(steps, 9);
/// let each = even(rise, run, steps);
/// assert!((each.riser.value() - 1.5 / 9.0).abs() < 1e-12);
/// assert_eq!(findings(&[each], &Limits::default()), []);
/// ```
#[must_use]
pub fn best_count(rise: Metres, run: Metres, limits: &Limits) -> u32 {
    let middle = (limits.two_r_plus_t_min_mm + limits.two_r_plus_t_max_mm) / 2.0;
    let cost = |n: u32| {
        let step = even(rise, run, n);
        let faults = findings(&[step], limits).len();
        (faults, (step.two_r_plus_t_mm() - middle).abs())
    };
    let mut best = (1, cost(1));
    for n in 2..=MOST_STEPS {
        let c = cost(n);
        if (c.0, c.1) < best.1 {
            best = (n, c);
        }
    }
    best.0
}
