//! When the bleed sheen is gone: water that rises against water that the air takes.
//!
//! Bleeding falls to nothing at initial set; the sheen goes when the air takes more than
//! still rises. An estimate: evaporation formulas are good to about 40 %, so what was
//! seen on earlier steps counts for more. The formulas of evaporation are in
//! [`crate::evaporation`].

use super::draw::Draw;
use super::mix::Mix;
use super::weather::{Point, USUAL_WIND, Weather, finished_h};
use crate::evaporation;
use crate::facts::PourFacts;
use crate::units::{Celsius, KmH, Percent};

/// Bleeding at the start of a plain mix 0.15 m deep, kg/m²/h (reference values, section
/// 6: peak 0.5 to 1.5; a bagged mix is at the dry end).
pub(crate) const BLEEDS: f64 = 0.8;
/// The sheen stands at least this long, h (reference values, section 6: 20 min to 4 h).
const LEAST_H: f64 = 1.0 / 3.0;
/// Humidity where none is known, per cent (common practice, no source).
const USUAL_RH: f64 = 60.0;
/// A cover lets about this share of the water go.
const COVERED: f64 = 0.1;

/// Evaporation at a point from a surface at `top_c`, kg/m²/h by Menzel.
pub(crate) fn evaporation_at(p: &Point, top_c: f64, wind_factor: f64) -> f64 {
    let wind = p.wind_km_h.unwrap_or(USUAL_WIND.value()) * wind_factor;
    let rate = evaporation::menzel(
        Celsius(top_c),
        Celsius(p.air_c),
        Percent(p.rh_pct.unwrap_or(USUAL_RH)),
        KmH(wind),
    );
    rate.value() * if p.covered { COVERED } else { 1.0 }
}

/// The surface as it ages.
pub(crate) struct Surface<'a> {
    /// Its temperature at every point of the [`Weather`], °C.
    pub top_c: &'a [f64],
    /// Its age by setting, equivalent hours at 23 °C.
    pub ages: &'a [f64],
    /// The age of initial set.
    pub initial_age: f64,
}

/// Hours from screeding until the sheen is gone, before anything learned; not after
/// initial set.
pub(crate) fn base_h(
    facts: &PourFacts,
    weather: &Weather,
    draw: &Draw,
    mix: &Mix,
    surface: &Surface<'_>,
) -> f64 {
    let done = finished_h(facts);
    let wind = libm::exp(weather.wind_sd() * draw.wind);
    let depth = (facts.piece.thickness.value() / 0.15).clamp(0.4, 1.5);
    // Wetter mixes bleed more, about in proportion to the water (judgement, no source).
    let bleeds = BLEEDS * depth * (mix.water_cement / 0.6).clamp(0.5, 1.8);
    let mut last: Option<(f64, f64)> = None;
    for ((p, top), age) in weather.points.iter().zip(surface.top_c).zip(surface.ages) {
        let left = 1.0 - age / surface.initial_age;
        let surplus = evaporation_at(p, *top, wind) - bleeds * left;
        if p.h >= done && (surplus >= 0.0 || left <= 0.0) {
            let at = match last {
                // Where the line between the two points crosses zero.
                Some((h, s)) if s < 0.0 && surplus > s => {
                    h + (p.h - h) * (-s / (surplus - s)).min(1.0)
                }
                _ => p.h,
            };
            return (at - done).max(LEAST_H);
        }
        last = Some((p.h, surplus));
    }
    let horizon = weather.points.last().map_or(0.0, |p| p.h);
    (horizon - done).max(LEAST_H)
}
