//! The hours at which a prediction looks, and the air at each: reckoned once, shared by
//! every member.
//!
//! Steps are short while things move fast and grow later. The air itself comes from
//! [`crate::air`]; what members make of it is in [`super::course`].

use crate::air::AirHistory;
use crate::facts::{PourFacts, Seen};
use crate::heat::sky::Above;
use crate::heat::surface;
use crate::prediction::AirSource;
use crate::units::{AtMs, Hours, KmH, Percent};
use core::f64::consts::TAU;

/// How far ahead a prediction looks, hours: 28 days.
pub(crate) const HORIZON_H: f64 = 28.0 * 24.0;
/// Until hour, in steps of hours.
const STEPS: [(f64, f64); 4] = [(12.0, 0.25), (48.0, 0.5), (168.0, 1.0), (HORIZON_H, 4.0)];
/// Wind that is taken where none is known (common practice, no source: a light breeze).
pub(crate) const USUAL_WIND: KmH = KmH(7.0);
/// Humidity where none is known (common practice, no source).
pub(crate) const USUAL_RH: Percent = Percent(60.0);
/// The air that is not known is off for days on end, not from hour to hour (judgement).
const SLOW_TURN_H: f64 = 6.0 * 24.0;
/// Until this hour a reading of fresh concrete is the temperature as placed.
pub(crate) const FRESH_H: f64 = 3.0;
/// Without word of it, a form is taken to stay this long, hours.
const FORM_STAYS_H: f64 = 72.0;
/// Without word of it, a cover is taken to stay this long, hours.
const COVER_STAYS_H: f64 = 168.0;

/// One instant.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Point {
    /// Hours since the start.
    pub h: f64,
    pub air_c: f64,
    pub sd_k: f64,
    pub source: AirSource,
    /// Of the sun, what the sky lets through, W/m².
    pub sun_w_m2: f64,
    /// Standard deviation of its logarithm.
    pub sun_sd: f64,
    /// What the surface looks up to.
    pub above: Above,
    /// W/(m² K) at the middle wind.
    pub convection: f64,
    pub wind_km_h: Option<f64>,
    pub rh_pct: Option<f64>,
    pub covered: bool,
    pub stripped: bool,
    /// Cosine and sine of a slow turn, by which members differ.
    pub wave: (f64, f64),
}

/// All instants of a prediction.
#[derive(Clone, Debug)]
pub(crate) struct Weather {
    pub started: AtMs,
    pub points: Vec<Point>,
    /// Daily mean about the start, °C.
    pub first_mean_c: f64,
    pub wind_known: bool,
    /// Nothing is known of the air's temperature.
    pub air_guessed: bool,
}

/// From and to which hours something lasted that was put on and taken off.
fn spans(facts: &PourFacts, on: Seen, off: Seen, stays_h: f64) -> Vec<(f64, f64)> {
    let hour = |at: AtMs| at.hours_since(facts.started).value();
    let mut turns: Vec<(f64, bool)> = facts
        .happened
        .iter()
        .filter(|h| h.what == on || h.what == off)
        .map(|h| (hour(h.at), h.what == on))
        .collect();
    turns.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut spans = Vec::new();
    let mut since = None;
    for (h, put_on) in turns {
        match (since, put_on) {
            (None, true) => since = Some(h),
            (Some(from), false) => {
                spans.push((from, h));
                since = None;
            }
            _ => {}
        }
    }
    if let Some(from) = since {
        spans.push((from, from + stays_h));
    }
    spans
}

/// Hours from the start to the end of screeding.
pub(crate) fn finished_h(facts: &PourFacts) -> f64 {
    facts
        .finished
        .hours_since(facts.started)
        .value()
        .clamp(0.0, 12.0)
}

/// When the form was logged as off, hours.
pub(crate) fn stripped_at(facts: &PourFacts) -> Option<f64> {
    facts
        .happened
        .iter()
        .filter(|h| matches!(h.what, Seen::StrippedClean | Seen::StrippedStuck))
        .map(|h| h.at.hours_since(facts.started).value())
        .filter(|h| *h > 0.0)
        .min_by(f64::total_cmp)
}

impl Weather {
    /// How far the wind at the piece may be off: standard deviation of the logarithm. It
    /// is noted once or twice a day and changes by the hour (judgement, no source).
    pub(crate) fn wind_sd(&self) -> f64 {
        if self.wind_known { 0.35 } else { 0.5 }
    }

    /// The air of `facts` at every hour of the horizon.
    pub(crate) fn of(facts: &PourFacts, air: &AirHistory) -> Weather {
        let covers = spans(facts, Seen::Covered, Seen::Uncovered, COVER_STAYS_H);
        let off = stripped_at(facts).unwrap_or(FORM_STAYS_H);
        let point = |h: f64| {
            let a = air.at(facts.started.plus(Hours(h)));
            let wind = a.wind.unwrap_or(USUAL_WIND);
            Point {
                h,
                air_c: a.temp.value(),
                sd_k: a.sd_k,
                source: a.source,
                sun_w_m2: a.clear_sky_w_m2 * a.sky.sun,
                sun_sd: a.sky.sun_sd,
                above: Above {
                    air: a.temp,
                    rh: a.rh.unwrap_or(USUAL_RH),
                    cloud: a.sky.cloud,
                    view: a.sky.view,
                },
                convection: surface::convection(wind),
                wind_km_h: a.wind.map(KmH::value),
                rh_pct: a.rh.map(|r| r.value()),
                covered: covers.iter().any(|c| h >= c.0 && h < c.1),
                stripped: h >= off,
                wave: (
                    libm::cos(h * TAU / SLOW_TURN_H),
                    libm::sin(h * TAU / SLOW_TURN_H),
                ),
            }
        };
        let mut points = vec![point(0.0)];
        let mut h = 0.0;
        for (end, step) in STEPS {
            while h < end - 1e-9 {
                h += step;
                points.push(point(h));
            }
        }
        let first = air.at(facts.started);
        Weather {
            started: facts.started,
            points,
            first_mean_c: air.daily_mean(facts.started).value(),
            wind_known: first.wind.is_some(),
            air_guessed: air.guessed(),
        }
    }

    /// The instant `h` hours after the start.
    pub(crate) fn instant(&self, h: f64) -> AtMs {
        self.started.plus(Hours(h))
    }

    /// Where `h` lies: the point before it and the share of the way to the next one.
    pub(crate) fn locate(&self, h: f64) -> (usize, f64) {
        let last = self.points.len().saturating_sub(2);
        let i = self
            .points
            .partition_point(|p| p.h <= h)
            .saturating_sub(1)
            .min(last);
        let (a, b) = (self.hour(i), self.hour(i + 1));
        (i, ((h - a) / (b - a).max(1e-9)).clamp(0.0, 1.0))
    }

    fn hour(&self, i: usize) -> f64 {
        self.points.get(i).map_or(HORIZON_H, |p| p.h)
    }

    /// A series over the points, read at `h`.
    pub(crate) fn read(&self, series: &[f64], h: f64) -> f64 {
        let (i, f) = self.locate(h);
        match (series.get(i), series.get(i + 1)) {
            (Some(a), Some(b)) => a + (b - a) * f,
            (Some(a), None) => *a,
            _ => 0.0,
        }
    }

    /// The first hour at which a growing series reaches `target`; infinite if it does not.
    pub(crate) fn reaches(&self, series: &[f64], target: f64) -> f64 {
        let i = series.partition_point(|v| *v < target);
        let Some(after) = series.get(i) else {
            return f64::INFINITY;
        };
        let Some(before) = i.checked_sub(1).and_then(|j| series.get(j)) else {
            return 0.0;
        };
        let (a, b) = (self.hour(i - 1), self.hour(i));
        a + (b - a) * (target - before) / (after - before).max(1e-12)
    }
}
