//! How old a member's concrete is at each hour, by the temperatures it went through.
//!
//! Equivalent hours at 23 °C. Set is followed just below the top, where the texture goes;
//! strength at half depth and at the edge, where the younger of arris and face counts. The
//! temperatures are from [`super::course`].

use super::course::Course;
use super::weather::Weather;
use crate::heat::hydration::Table;

/// At this and above an hour of air counts in full for a form, °C: BS 8110-1 table 6.2 has
/// 300/(t + 10) hours for vertical forms (from memory; CIRIA 136), which are the 12 hours of
/// ACI 347 at 15 °C, 15 at 10 °C, 20 at 5 °C.
const MILD_C: f64 = 15.0;

/// Ages at every point of the [`Weather`], equivalent hours at 23 °C.
#[derive(Clone, Debug, Default)]
pub(crate) struct Aged {
    /// By the activation energy of setting, just below the top.
    pub set: Vec<f64>,
    pub top: Vec<f64>,
    pub middle: Vec<f64>,
    /// Of arris and face, whichever is behind.
    pub edge: Vec<f64>,
    /// Hours of mild air, colder ones counting for less.
    pub mild: Vec<f64>,
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

/// Mild hours: an hour counts as the vertical forms of BS 8110 let it, at most once.
fn mild_hours(weather: &Weather, air: &[f64]) -> Vec<f64> {
    let counts = |t: f64| ((t + 10.0) / (MILD_C + 10.0)).clamp(0.0, 1.0);
    let mut sum = 0.0;
    let mut last: Option<(f64, f64)> = None;
    weather
        .points
        .iter()
        .zip(air)
        .map(|(p, t)| {
            let now = counts(*t);
            if let Some((h, was)) = last {
                sum += (p.h - h) * 0.5 * (was + now);
            }
            last = Some((p.h, now));
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
            mild: mild_hours(weather, &course.air),
        }
    }
}
