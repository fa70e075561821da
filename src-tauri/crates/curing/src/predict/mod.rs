//! From what is known of a pour to what may be done with it, and when.
//!
//! [`predict`] solves an ensemble: many evenly spread guesses at what is unknown (air
//! between readings, wind, sun, water, cement, activation energy, set, strength), each
//! through heat conduction, equivalent age and the criteria of the design. The times are
//! the members' 5, 50 and 95 % points. Follow it through `weather`, `course`, `aged`,
//! `member`, `moments`, `criteria`, `tell`. What a pour teaches the next one is in [`learn`].
//!
//! A prediction is no permission: the bag's data sheet, local codes and, for anything
//! structural, a licensed engineer come first.

mod aged;
mod anywhere;
mod belief;
mod course;
mod criteria;
mod curve;
mod draw;
mod evidence;
pub mod learn;
mod look;
mod member;
mod mix;
mod moments;
mod odd;
mod readings;
mod sensible;
mod sheen;
mod tell;
mod warn;
mod weather;

pub use crate::facts::*;
pub use crate::milestone::{MilestoneKind, Row, Test};
pub use crate::plain::plain_step;
pub use crate::prediction::*;
pub use curve::curve_at;
pub use member::MEMBERS;
pub use warn::SHORT_WINDOW_MIN;

use crate::units::AtMs;
use member::Ensemble;
pub(crate) use moments::FROST_MPA;
use odd::Doubts;

/// Predicts a pour with [`MEMBERS`] members.
///
/// ```
/// use slowstone_curing::predict::{DayRange, MilestoneKind, NotYet, plain_step, predict};
/// use slowstone_curing::units::{AtMs, Celsius, Hours};
/// // A step cast on 10 June 2026 at 07:00; as long as no temperature is known, no times.
/// let start = AtMs(1_781_074_800_000);
/// let mut step = plain_step(start);
/// assert_eq!(predict(&step).unwrap_err(), NotYet::NoTemperature);
///
/// step.days = vec![DayRange {
///     day_start: start.plus(Hours(-7.0)),
///     min: Celsius(12.0),
///     max: Celsius(20.0),
///     rh: None,
///     wind: None,
///     sky: None,
/// }];
/// let told = predict(&step).unwrap();
/// let off = told.milestones.iter().find(|m| m.kind == MilestoneKind::FormOff).unwrap();
/// // What is shown as "can" is the cautious end of the range.
/// let (early, late) = (off.opens.early.unwrap(), off.opens.late.unwrap());
/// assert!(early < late && late > start.plus(Hours(12.0)));
/// assert!(off.reasons.iter().any(|r| r.governs));
/// ```
///
/// # Errors
/// [`NotYet::NoTemperature`] when no temperature is known, [`NotYet::Impossible`] when a
/// value is not a number or a size is not above zero.
pub fn predict(facts: &PourFacts) -> Result<Prediction, NotYet> {
    predict_with(facts, MEMBERS)
}

/// Predicts a pour with 1 to 2000 members; the same facts give the same bytes.
///
/// # Errors
/// As [`predict`].
pub fn predict_with(facts: &PourFacts, members: usize) -> Result<Prediction, NotYet> {
    let once = |facts: &PourFacts| {
        let e = Ensemble::of(facts, members)?;
        Ok(told(facts, &e, &Doubts::of(facts, &e)))
    };
    match anywhere::bounds(facts) {
        None => once(facts),
        Some([most, least]) => Ok(anywhere::over(once(&most)?, once(&least)?)),
    }
}

/// A prediction and what the next pour of this mix learns from it, for the work of one:
/// the same as [`predict`] and [`learn::learn`] with `facts.learned`.
///
/// # Errors
/// As [`predict`].
pub fn predict_and_learn(facts: &PourFacts) -> Result<(Prediction, Learned), NotYet> {
    let once = |facts: &PourFacts| {
        let e = Ensemble::of(facts, MEMBERS)?;
        let doubts = Doubts::of(facts, &e);
        let next = learn::from_ensemble(facts, &e, &doubts);
        Ok((told(facts, &e, &doubts), next))
    };
    match anywhere::bounds(facts) {
        None => once(facts),
        Some([most, least]) => {
            let ((most, a), (least, b)) = (once(&most)?, once(&least)?);
            Ok((anywhere::over(most, least), anywhere::between(a, b)))
        }
    }
}

fn told(facts: &PourFacts, e: &Ensemble, doubts: &Doubts) -> Prediction {
    let all = tell::all_moments(facts, e, doubts);
    let mut milestones = tell::milestones(facts, e, &all, doubts);
    let mut missing = Vec::new();
    let mut drying = warn::evaporation(e);
    let mut curve = curve::curve(e);
    if e.weather.air_guessed {
        // What comes after set hangs on air that nobody measured.
        missing.push(Missing::AirTemperature);
        milestones.retain(|m| m.kind <= MilestoneKind::FinalSet);
        curve.clear();
        drying = None;
    }
    let looks = if e.weather.air_guessed {
        Vec::new()
    } else {
        look::looks(facts, e, &all)
    };
    Prediction {
        warnings: warn::warnings(facts, e, &milestones, drying),
        curve,
        evaporation: drying,
        basis: basis(facts, e),
        odd: doubts.odd.clone(),
        missing,
        looks,
        milestones,
    }
}

fn basis(facts: &PourFacts, e: &Ensemble) -> Basis {
    let mut air: Vec<AirSource> = Vec::new();
    for rank in [
        AirSource::Readings,
        AirSource::Hourly,
        AirSource::DayRange,
        AirSource::CarriedOn,
    ] {
        let from = |p: &weather::Point| p.source == rank && !e.weather.air_guessed;
        if e.weather.points.iter().any(from) {
            air.push(rank);
        }
    }
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    Basis {
        air,
        air_readings: count(facts.air.iter().filter(|a| a.temp.is_some()).count()),
        concrete_readings: count(facts.concrete.len()),
        readings_until: last_reading(facts, e),
        observations: facts.learned.observations,
        place: facts.place_from,
    }
}

fn last_reading(facts: &PourFacts, e: &Ensemble) -> Option<AtMs> {
    let concrete = facts.concrete.iter().map(|c| c.at).max();
    e.air.readings_until().max(concrete)
}
