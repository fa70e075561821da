//! When the bleed sheen is gone: a film of water that has to dry.
//!
//! Water rises, fast at first and less and less, until the concrete sets or has given what
//! it can; what the air takes less than rises stands on the surface, and the sheen is gone
//! when that film has dried. An estimate: evaporation formulas are good to about 40 %, so
//! what was seen on earlier steps counts for more. The formulas of evaporation are in
//! [`crate::evaporation`].

use super::draw::Draw;
use super::mix::Mix;
use super::weather::{Point, USUAL_RH, USUAL_WIND, Weather, finished_h};
use crate::evaporation;
use crate::facts::PourFacts;
use crate::units::{Celsius, KmH};

/// Bleeding at the start of a plain mix, kg/m²/h (reference values, section 6: peak 0.5 to
/// 1.5; a bagged mix is at the dry end).
const BLEEDS: f64 = 0.8;
/// Of the mixing water, what rises in all (1 to 5 % by the test of ASTM C232 on plain
/// mixes; from memory). That the rate falls in proportion to what is left follows Powers
/// 1968, whose bleeding goes on at a constant rate and then dies away (from memory).
const RISES: f64 = 0.03;
/// The sheen stands at least this long, h (reference values, section 6: 20 min to 4 h).
const LEAST_H: f64 = 1.0 / 3.0;
/// A cover lets about this share of the water go.
const COVERED: f64 = 0.1;
/// A film that is thinner than this is not seen, kg/m²: 0.02 mm (judgement).
const SEEN_KG_M2: f64 = 0.02;

/// A formula of evaporation is within about 40 % (Hover, ACI SP-338, 2020): standard
/// deviation of the logarithm.
const DRIES_SD: f64 = 0.20;

/// Evaporation at a point from a surface at `top_c`, kg/m²/h by Menzel.
pub(crate) fn evaporation_at(p: &Point, top_c: f64, wind_factor: f64, draw: &Draw) -> f64 {
    let wind = p.wind_km_h.unwrap_or(USUAL_WIND.value()) * wind_factor;
    let rate = evaporation::menzel(
        Celsius(top_c),
        Celsius(p.air_c),
        p.rh_pct.map_or(USUAL_RH, crate::units::Percent),
        KmH(wind),
    );
    let off = libm::exp(DRIES_SD * draw.dries);
    rate.value() * off * if p.covered { COVERED } else { 1.0 }
}

/// Water on a surface.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Film {
    /// What stands, kg/m².
    stands: f64,
    /// What has not risen yet, and what could in all.
    left: f64,
    all: f64,
    /// At the start, kg/m²/h.
    rate: f64,
}

impl Film {
    /// Of fresh concrete: what rises in all grows with its depth and its water (Powers 1968).
    pub(crate) fn of(facts: &PourFacts, mix: &Mix) -> Film {
        let depth_m = facts.piece.thickness.value().clamp(0.02, 0.6);
        let all = RISES * mix.water_cement * facts.mix.cement_kg_m3.clamp(50.0, 800.0) * depth_m;
        Film {
            stands: 0.0,
            left: all,
            all,
            // Wetter mixes bleed faster, about in proportion to the water (judgement, no
            // source).
            rate: BLEEDS * (mix.water_cement / 0.6).clamp(0.5, 1.8),
        }
    }

    /// What dries in a time in which the air takes so much, kg/m².
    pub(crate) fn dry(&mut self, dt_h: f64, takes_kg_m2_h: f64, rises: bool) -> f64 {
        let mut up = 0.0;
        if rises {
            let still = self.left * libm::exp(-self.rate / self.all.max(1e-9) * dt_h);
            up = self.left - still;
            self.left = still;
        }
        let dried = (takes_kg_m2_h * dt_h).clamp(0.0, self.stands + up);
        self.stands = self.stands + up - dried;
        dried
    }
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

/// Hours from screeding until the film has dried, before anything learned; perhaps only
/// after initial set.
pub(crate) fn base_h(
    facts: &PourFacts,
    weather: &Weather,
    draw: &Draw,
    mix: &Mix,
    surface: &Surface<'_>,
) -> f64 {
    /// Between two points it is followed in so many parts.
    const PARTS: u32 = 5;
    let done = finished_h(facts);
    let wind = libm::exp(weather.wind_sd() * draw.wind);
    let mut film = Film::of(facts, mix);
    let mut last: Option<(f64, f64)> = None;
    for ((p, top), age) in weather.points.iter().zip(surface.top_c).zip(surface.ages) {
        let takes = evaporation_at(p, *top, wind, draw);
        if let Some((h, took)) = last {
            let dt_h = (p.h - h) / f64::from(PARTS);
            for part in 0..PARTS {
                let f = (f64::from(part) + 0.5) / f64::from(PARTS);
                let now = h + dt_h * f64::from(part + 1);
                // What rises before the surface is screeded is worked in again.
                if now <= done {
                    continue;
                }
                film.dry(dt_h, took + (takes - took) * f, *age < surface.initial_age);
                if film.stands < SEEN_KG_M2 && now - done >= LEAST_H {
                    return now - done;
                }
            }
        }
        last = Some((p.h, takes));
    }
    let horizon = weather.points.last().map_or(0.0, |p| p.h);
    (horizon - done).max(LEAST_H)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 0.9 kg/m² in all at 0.8 kg/m²/h under air that takes 0.3: after t hours
    /// 0.9 (1 - exp(-0.889 t)) has risen and 0.3 t dried; both are equal at t = 2.74.
    #[test]
    fn a_film_dries_when_the_air_has_taken_what_rose() {
        let mut film = Film {
            stands: 0.0,
            left: 0.9,
            all: 0.9,
            rate: 0.8,
        };
        let mut h = 0.0_f64;
        while film.stands > 0.0 || h < 0.1 {
            film.dry(0.01, 0.3, true);
            h += 0.01;
        }
        assert!((h - 2.74).abs() < 0.03, "{h}");
        // Nothing is lost on the way.
        assert!((0.9 - film.left - 0.3 * h).abs() < 0.01);
    }
}
