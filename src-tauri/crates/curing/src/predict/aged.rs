//! How old a member's concrete is at each hour, by the temperatures it went through.
//!
//! Equivalent hours at 23 °C. Set is followed just below the top, where the texture goes;
//! strength at half depth and at the edge, where the younger of arris and face counts. The
//! temperatures are from [`super::course`].

use super::course::Course;
use super::weather::Weather;
use crate::heat::hydration::Table;

/// Air above this counts for the warm hours of a form, °C (ACI 347: 50 °F).
const WARM_C: f64 = 10.0;

/// Ages at every point of the [`Weather`], equivalent hours at 23 °C.
#[derive(Clone, Debug, Default)]
pub(crate) struct Aged {
    /// By the activation energy of setting, just below the top.
    pub set: Vec<f64>,
    pub top: Vec<f64>,
    pub middle: Vec<f64>,
    /// Of arris and face, whichever is behind.
    pub edge: Vec<f64>,
    /// Hours with the air above 10 °C, counted together.
    pub warm: Vec<f64>,
}

/// The running integral of a rate over the points.
fn integral(weather: &Weather, temps: &[f64], rates: &Table) -> Vec<f64> {
    let mut sum = 0.0;
    let mut last: Option<(f64, f64)> = None;
    weather
        .points
        .iter()
        .zip(temps)
        .map(|(p, t)| {
            let rate = rates.at(*t);
            if let Some((h, r)) = last {
                sum += (p.h - h) * 0.5 * (r + rate);
            }
            last = Some((p.h, rate));
            sum
        })
        .collect()
}

/// Hours above [`WARM_C`], with straight lines between the points.
fn warm_hours(weather: &Weather, air: &[f64]) -> Vec<f64> {
    let mut sum = 0.0;
    let mut last: Option<(f64, f64)> = None;
    weather
        .points
        .iter()
        .zip(air)
        .map(|(p, t)| {
            if let Some((h, was)) = last {
                let (low, high) = (was.min(*t), was.max(*t));
                let share = if low >= WARM_C {
                    1.0
                } else if high <= WARM_C {
                    0.0
                } else {
                    (high - WARM_C) / (high - low)
                };
                sum += (p.h - h) * share;
            }
            last = Some((p.h, *t));
            sum
        })
        .collect()
}

impl Aged {
    /// Ages by the tables of rates for strength and for set.
    pub(crate) fn of(weather: &Weather, course: &Course, strength: &Table, set: &Table) -> Aged {
        let by = |temps: &[f64]| integral(weather, temps, strength);
        let mut edge = by(&course.edge_top);
        for (e, face) in edge.iter_mut().zip(by(&course.edge_face)) {
            *e = e.min(face);
        }
        Aged {
            set: integral(weather, &course.worked, set),
            top: by(&course.top),
            middle: by(&course.middle),
            edge,
            warm: warm_hours(weather, &course.air),
        }
    }
}
