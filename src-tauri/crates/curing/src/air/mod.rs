//! The air around a pour, from whatever is known of it.
//!
//! Rank: lines between logged readings at most [`CLOSE_H`] apart; an hourly forecast or
//! logger; typed minima and maxima; the last days' pattern carried on. Between readings
//! that are further apart the next rank is bent to pass through both. Every instant
//! knows its source and how sure it is. Nothing is measured or fetched here, and the
//! concrete is in [`crate::heat`].

mod cycle;
pub(crate) mod doubt;
mod nearest;
mod sky;

use crate::facts::{ConcretePlace, PourFacts, Seen, Sky};
use crate::prediction::{AirSource, NotYet, Odd};
use crate::sun;
use crate::units::{AtMs, Celsius, Hours, KmH, Percent};
use cycle::{Chain, Pattern, Site};
use doubt::{Beside, Read};
use nearest::Nearest;
pub(crate) use sky::SkyAt;

/// Wind beyond this is taken as this, km/h: the strongest gust measured outside a tornado
/// (Barrow Island 1996; WMO records, from memory).
const MOST_WIND: f64 = 408.0;

/// Of the wind at 10 m that forecasts state, what blows half a metre above short grass:
/// `ln(67.8 z - 5.42)` at 0.5 m over that at 10 m (FAO-56 eq. 47). A reading is taken at
/// the piece and stays as it is.
const FORECAST_WIND: f64 = 0.513;

/// Readings at most this many hours apart are joined by a line.
const CLOSE_H: f64 = 6.0;
/// Rows of an hourly file may miss this many hours.
const HOURLY_GAP_H: f64 = 3.5;
/// A reading bends what is known beside it for about this many hours.
const MEMORY_H: f64 = 12.0;
/// A reading of the concrete this near to the start says something of the air then.
const NEAR_START_H: f64 = 24.0;
/// Concrete is mixed with tap water and from bags that lay under a roof: it is warmer than
/// the air by about this, and the air may be off that guess by so much, K (judgement, no
/// source).
const COOLER_K: f64 = 6.0;
const GUESSED_K: f64 = 12.0;

/// Air at an instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct AirAt {
    /// Temperature.
    pub temp: Celsius,
    /// One standard deviation of it, K: how far it may be off (judgement, no source).
    pub sd_k: f64,
    /// Where the temperature comes from.
    pub source: AirSource,
    /// Relative humidity, if anything is known of the air's moisture.
    pub rh: Option<Percent>,
    /// Wind, if known at all.
    pub wind: Option<KmH>,
    /// Sky there and then, as noted or foretold; it fades from what it was.
    pub sky: SkyAt,
    /// Clear-sky irradiance of a level surface, W/m².
    pub clear_sky_w_m2: f64,
}

/// What is known of the air over the life of a pour.
#[derive(Clone, Debug)]
pub(crate) struct AirHistory {
    site: Site,
    readings: Vec<(f64, f64)>,
    hourly: Vec<(f64, f64)>,
    days: Chain,
    pattern: Pattern,
    vapour: Nearest<f64>,
    wind: Nearest<f64>,
    sky_noted: Nearest<Sky>,
    sky_foretold: Nearest<Sky>,
    shaded_from: f64,
    /// Nothing is known of its temperature: it is guessed from the fresh concrete.
    guessed: bool,
    odd: Vec<Odd>,
}

/// Saturation vapour pressure over water, kPa.
///
/// Source: Tetens 1930 as in FAO-56 eq. 11: 0.6108 exp(17.27 T / (T + 237.3)).
pub(crate) fn saturation_kpa(temp: Celsius) -> f64 {
    let t = temp.value().clamp(-60.0, 90.0);
    0.6108 * libm::exp(17.27 * t / (t + 237.3))
}

/// A line through sorted points, where its two neighbours are at most `gap` apart.
fn line(points: &[(f64, f64)], h: f64, gap: f64) -> Option<f64> {
    let i = points.partition_point(|p| p.0 <= h);
    let a = points.get(i.checked_sub(1)?)?;
    let Some(b) = points.get(i) else {
        return (h == a.0).then_some(a.1);
    };
    let span = b.0 - a.0;
    (span > 0.0 && span <= gap).then(|| a.1 + (b.1 - a.1) * (h - a.0) / span)
}

fn sorted(mut points: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    points.dedup_by(|b, a| a.0 == b.0);
    points
}

impl AirHistory {
    /// Gathers what the facts say of the air.
    ///
    /// # Errors
    /// [`NotYet::NoTemperature`] when no temperature at all is known (not even of the
    /// fresh concrete), [`NotYet::Impossible`] when a temperature is not a number.
    pub(crate) fn of(facts: &PourFacts) -> Result<AirHistory, NotYet> {
        // Where nothing is known, warmth that is not there must not make concrete look
        // strong; what the sun may do at most is in `predict::anywhere`.
        let (lat, lon) = facts.place.unwrap_or_else(|| {
            let [_, least] = sun::bounds(facts.started, facts.utc_offset_min);
            least
        });
        let site = Site {
            started: facts.started,
            offset_h: f64::from(facts.utc_offset_min) / 60.0,
            lat_deg: lat,
            lon_deg: lon,
        };
        let hour = |at: AtMs| at.hours_since(facts.started).value();
        let hourly = sorted(
            facts
                .hourly
                .iter()
                .filter_map(|r| Some((hour(r.at), r.temp?.value())))
                .collect(),
        );
        let days = Chain::of(&facts.days, site);
        let fresh = facts
            .concrete
            .iter()
            .filter(|c| hour(c.at).abs() < NEAR_START_H)
            .min_by_key(|c| (c.place != ConcretePlace::Fresh, c.at))
            .map(|c| (hour(c.at), c.temp.value()));
        let mut reads: Vec<Read> = facts
            .air
            .iter()
            .filter_map(|r| {
                Some(Read {
                    h: hour(r.at),
                    temp_c: r.temp?.value(),
                    confirmed: r.confirmed,
                })
            })
            .collect();
        if reads
            .iter()
            .any(|r| !r.temp_c.is_finite() || r.temp_c.abs() > 90.0)
        {
            return Err(NotYet::Impossible);
        }
        reads.sort_by(|a, b| a.h.total_cmp(&b.h).then(b.confirmed.cmp(&a.confirmed)));
        reads.dedup_by(|b, a| a.h == b.h);
        let beside = Beside {
            site,
            hourly: &hourly,
            days: &days,
            fresh,
        };
        let (readings, odd) = doubt::weigh(&reads, &beside);
        let mut known: Vec<(f64, f64)> = [&readings, &hourly]
            .into_iter()
            .flatten()
            .chain(days.samples())
            .copied()
            .collect();
        // Only a thermometer in the concrete: fresh concrete is not the air, which may be
        // anything about it; so no time past set is given.
        let guessed = known.is_empty();
        if guessed {
            known.extend(fresh.map(|(h, t)| (h, t - COOLER_K)));
        }
        if known.iter().any(|k| !k.1.is_finite() || k.1.abs() > 90.0) {
            return Err(NotYet::Impossible);
        }
        let pattern = Pattern::fit(&known, site).ok_or(NotYet::NoTemperature)?;
        let shaded_from = facts
            .happened
            .iter()
            .filter(|h| h.what == Seen::Shaded)
            .map(|h| hour(h.at))
            .fold(f64::INFINITY, f64::min);
        let mut air = AirHistory {
            site,
            readings,
            hourly,
            days,
            pattern,
            vapour: Nearest::default(),
            wind: Nearest::default(),
            sky_noted: Nearest::default(),
            sky_foretold: Nearest::default(),
            shaded_from,
            guessed,
            odd,
        };
        air.fill(facts);
        Ok(air)
    }

    /// Moisture, wind and sky: each taken from where it is known nearest in time.
    fn fill(&mut self, facts: &PourFacts) {
        let mut vapour = Vec::new();
        let (mut wind, mut noted, mut foretold) = (Vec::new(), Vec::new(), Vec::new());
        let hour = |at: AtMs| at.hours_since(facts.started).value();
        let by_hand = facts.air.iter().map(|r| (r, true));
        for (r, by_hand) in by_hand.chain(facts.hourly.iter().map(|r| (r, false))) {
            let h = hour(r.at);
            let temp = r.temp.map_or_else(|| self.temperature(h).0, Celsius::value);
            vapour.extend(r.rh.map(|x| (h, x.value() / 100.0 * saturation_kpa(Celsius(temp)))));
            let at_the_piece = if by_hand { 1.0 } else { FORECAST_WIND };
            wind.extend(r.wind.map(|w| (h, at_the_piece * w.value())));
            let skies = if by_hand { &mut noted } else { &mut foretold };
            skies.extend(r.sky.map(|s| (h, s)));
        }
        let measured: Vec<f64> = vapour.iter().map(|v| v.0).collect();
        for d in &facts.days {
            let noon = hour(d.day_start) + 12.0;
            let at_noon = Celsius(self.temperature(noon).0);
            match d.rh {
                Some(rh) => vapour.push((noon, rh.value() / 100.0 * saturation_kpa(at_noon))),
                // Nothing said or measured that day: dew falls near the night's minimum
                // (FAO-56 eq. 48).
                None if !measured.iter().any(|m| (m - noon).abs() < 18.0) => {
                    vapour.push((noon, saturation_kpa(d.min)));
                }
                None => {}
            }
            wind.extend(d.wind.map(|w| (noon, FORECAST_WIND * w.value())));
            foretold.extend(d.sky.map(|s| (noon, s)));
        }
        self.vapour = Nearest::of(vapour);
        self.wind = Nearest::of(wind);
        self.sky_noted = Nearest::of(noted);
        self.sky_foretold = Nearest::of(foretold);
    }

    /// What would be taken without readings, its source and its standard deviation.
    fn beneath(&self, h: f64) -> (f64, AirSource, f64) {
        if self.guessed {
            return (self.pattern.at(h), AirSource::CarriedOn, GUESSED_K);
        }
        if let Some(t) = line(&self.hourly, h, HOURLY_GAP_H) {
            return (t, AirSource::Hourly, 1.5);
        }
        if let Some(t) = self.days.at(h) {
            return (t, AirSource::DayRange, 2.0);
        }
        (self.pattern.at(h), AirSource::CarriedOn, 4.2)
    }

    /// Temperature in °C, source, standard deviation in K at `h` hours after the start.
    fn temperature(&self, h: f64) -> (f64, AirSource, f64) {
        const AT_READING_K: f64 = 0.7;
        if let Some(t) = line(&self.readings, h, CLOSE_H) {
            return (t, AirSource::Readings, AT_READING_K);
        }
        let (base, source, base_sd) = self.beneath(h);
        let i = self.readings.partition_point(|p| p.0 <= h);
        let before = i.checked_sub(1).and_then(|j| self.readings.get(j));
        let after = self.readings.get(i);
        let off = |p: &(f64, f64)| p.1 - self.beneath(p.0).0;
        let (bend, away) = match (before, after) {
            (Some(a), Some(b)) if b.0 - a.0 <= 2.0 * MEMORY_H => {
                let f = (h - a.0) / (b.0 - a.0);
                (off(a) * (1.0 - f) + off(b) * f, (h - a.0).min(b.0 - h))
            }
            (a, b) => {
                let fade = |p: &(f64, f64)| libm::exp(-(p.0 - h).abs() / MEMORY_H);
                let part = |p: Option<&(f64, f64)>| p.map_or(0.0, |p| off(p) * fade(p));
                let away = |p: Option<&(f64, f64)>| p.map_or(1e9, |p| (p.0 - h).abs());
                (part(a) + part(b), away(a).min(away(b)))
            }
        };
        let unsure = base_sd * (1.0 - libm::exp(-away / MEMORY_H * 2.0));
        let sd = libm::sqrt(AT_READING_K * AT_READING_K + unsure * unsure);
        (base + bend, source, sd)
    }

    /// Air at an instant; extrapolates as far as asked.
    pub(crate) fn at(&self, at: AtMs) -> AirAt {
        let h = at.hours_since(self.site.started).value();
        let (temp, source, sd_k) = self.temperature(h);
        let temp = Celsius(temp.clamp(-60.0, 70.0));
        let rh = self
            .vapour
            .at(h)
            .map(|e| Percent((e / saturation_kpa(temp) * 100.0).clamp(3.0, 100.0)));
        let shaded = h >= self.shaded_from;
        // A screen takes about a third of the wind (common practice, no source).
        let calm = if shaded { 0.6 } else { 1.0 };
        let sky = if shaded {
            SkyAt::of(Sky::Shade)
        } else {
            sky::at(h, &self.sky_noted, &self.sky_foretold)
        };
        let sun = sun::position(at, self.site.lat_deg, self.site.lon_deg);
        AirAt {
            temp,
            sd_k,
            source,
            rh,
            wind: self.wind.at(h).map(|w| KmH(w.clamp(0.0, MOST_WIND) * calm)),
            sky,
            clear_sky_w_m2: sun::clear_sky_w_m2(sun.elevation_deg),
        }
    }

    /// Mean temperature of the day before and after an instant.
    pub(crate) fn daily_mean(&self, at: AtMs) -> Celsius {
        let h = at.hours_since(self.site.started).value();
        let hours = (-12_i32..12).map(|i| self.temperature(h + f64::from(i) + 0.5).0);
        Celsius((hours.sum::<f64>() / 24.0).clamp(-60.0, 70.0))
    }

    /// Nothing is known of its temperature.
    pub(crate) fn guessed(&self) -> bool {
        self.guessed
    }

    /// Readings that do not fit.
    pub(crate) fn odd(&self) -> impl Iterator<Item = Odd> + '_ {
        self.odd.iter().copied()
    }

    /// The last logged reading of temperature.
    pub(crate) fn readings_until(&self) -> Option<AtMs> {
        let last = self.readings.last()?;
        Some(self.site.started.plus(Hours(last.0)))
    }
}

#[cfg(test)]
mod tests;
