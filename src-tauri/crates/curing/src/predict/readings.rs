//! Which readings of a thermometer in or on the concrete are taken as they are.
//!
//! A reading is right, give or take what model and thermometer are off, or a slip (°F for
//! °C, a digit, the wrong step), and then says nothing: a mixture, as for the air
//! ([`crate::air`]). It is held against the reckoned temperature, and against the other
//! readings carried over by the model, and the nearer of the two counts: a model that is
//! off is no reason to doubt readings that agree. What is read off a course is in
//! [`super::course`].

use super::course::Course;
use super::weather::{FRESH_H, Weather};
use crate::air::doubt::slip;
use crate::facts::{ConcretePlace, ConcreteReading, PourFacts};
use crate::prediction::{Odd, OddEntry, OddField, OddWhy};
use crate::units::Celsius;

/// How far the model may be off inside and on the surface, K: sun and wind are guessed
/// there (judgement, no source).
const MODEL_K: (f64, f64) = (5.0, 7.0);
/// How far fresh concrete may be from the air that its sand and water lay in, K: hot water,
/// ice, a cold store (judgement, no source).
const FRESH_K: f64 = 8.0;
/// Two readings that the model has carried over to each other differ by the first, and
/// with each hour between them by the second, K.
const BETWEEN_K: (f64, f64) = (2.5, 0.7);
/// Beyond this they say nothing of each other, hours.
const APART_H: f64 = 12.0;
/// So many readings before and after one are looked at.
const NEAREST: usize = 8;

/// Which readings are taken as they are, in the order of [`PourFacts::concrete`], and which are odd.
#[derive(Clone, Debug, Default)]
pub(crate) struct Counts {
    pub taken: Vec<bool>,
    pub odd: Vec<Odd>,
}

/// What the course has where and when a reading was taken.
fn reckoned(weather: &Weather, course: &Course, r: &ConcreteReading, h: f64) -> f64 {
    match r.place {
        ConcretePlace::Edge => weather.read(&course.edge_face, h),
        place if place.is_outside() => weather.read(&course.top, h),
        _ => weather.read(&course.middle, h),
    }
}

/// Judges the readings against a course that none of them has corrected; `placed_c` is how
/// warm it would have been placed without a reading.
pub(crate) fn judge(
    facts: &PourFacts,
    weather: &Weather,
    course: &Course,
    placed_c: f64,
) -> Counts {
    let hour = |r: &ConcreteReading| r.at.hours_since(facts.started).value();
    let placed = |r: &ConcreteReading, h: f64| r.place == ConcretePlace::Fresh && h < FRESH_H;
    let off: Vec<(f64, f64)> = facts
        .concrete
        .iter()
        .map(|r| (r, hour(r)))
        .map(|(r, h)| {
            let expected = if placed(r, h) {
                placed_c
            } else {
                reckoned(weather, course, r, h)
            };
            (h, r.temp.value() - expected)
        })
        .collect();
    let mut by_hour: Vec<(f64, usize, f64)> =
        off.iter().enumerate().map(|(i, o)| (o.0, i, o.1)).collect();
    by_hour.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut counts = Counts::default();
    for (i, (r, (h, d))) in facts.concrete.iter().zip(&off).enumerate() {
        let fresh = placed(r, *h);
        let sd = match r.place {
            _ if fresh => FRESH_K,
            place if place.is_outside() => MODEL_K.1,
            _ => MODEL_K.0,
        };
        let place = by_hour.partition_point(|o| o.0 < *h);
        let near = by_hour
            .get(place.saturating_sub(NEAREST)..)
            .unwrap_or_default();
        let beside = near
            .iter()
            .take(2 * NEAREST)
            .filter(|(_, j, _)| *j != i)
            .map(|(other_h, _, other)| {
                let apart = (other_h - h).abs();
                (apart, d - other, BETWEEN_K.0 + BETWEEN_K.1 * apart)
            })
            .filter(|(apart, _, _)| !fresh && *apart < APART_H)
            .map(|(_, d, sd)| (d, sd))
            .min_by(|a, b| (a.0 / a.1).abs().total_cmp(&(b.0 / b.1).abs()));
        let (d, sd) = match beside {
            Some(b) if (b.0 / b.1).abs() < (d / sd).abs() => b,
            _ => (*d, sd),
        };
        let known = r.confirmed || (fresh && weather.air_guessed);
        let slip = if known { 0.0 } else { slip(d, sd) };
        counts.taken.push(slip <= 0.5);
        if slip > 0.5 {
            counts.odd.push(Odd {
                what: OddEntry::Concrete,
                at: r.at,
                field: OddField::ConcreteC,
                why: OddWhy::FarFromPhysics {
                    value: r.temp,
                    expected: Celsius(r.temp.value() - d),
                },
            });
        }
    }
    counts
}
