//! The course of a day: coldest near sunrise, warmest in mid-afternoon.
//!
//! Two uses: a chain through the typed minimum and maximum of known days, and a pattern
//! (mean and swing) fitted to what is known, to carry on where nothing is. Hours are
//! counted from the pour's start. How these rank against readings is in [`super`].

use crate::facts::DayRange;
use crate::sun;
use crate::units::{AtMs, Hours};

/// Local hour of the day's maximum (common practice: mid-afternoon).
const WARMEST_H: f64 = 15.0;
/// Half the swing of a day of which only a mean is known, K (common practice, no source).
const DEFAULT_HALF_SWING_K: f64 = 4.0;

/// Where and when a pour is, as far as the course of its days needs it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Site {
    pub started: AtMs,
    pub offset_h: f64,
    pub lat_deg: f64,
    pub lon_deg: f64,
}

impl Site {
    /// Hours of the local clock (0 to 24) at `h` hours after the start.
    pub(crate) fn clock(self, h: f64) -> f64 {
        let hours = self.started.0 as f64 / 3_600_000.0 + self.offset_h + h;
        hours - libm::floor(hours / 24.0) * 24.0
    }

    /// Hours from the start to sunrise of the day that begins `midnight_h` after it.
    fn sunrise(self, midnight_h: f64) -> f64 {
        let midnight = self.started.plus(Hours(midnight_h));
        sun::sunrise(midnight, self.lat_deg, self.lon_deg)
            .hours_since(self.started)
            .value()
    }

    /// Clock hour of sunrise on the first day, kept before the warmest hour.
    pub(crate) fn sunrise_clock(self) -> f64 {
        let midnight = -self.clock(0.0);
        (self.sunrise(midnight) - midnight).clamp(2.0, 11.0)
    }
}

/// Half a cosine from `a` at 0 to `b` at 1.
fn ease(a: f64, b: f64, f: f64) -> f64 {
    a + (b - a) * 0.5 * (1.0 - libm::cos(core::f64::consts::PI * f))
}

/// Minima and maxima in time, joined by half cosines.
#[derive(Clone, Debug, Default)]
pub(crate) struct Chain {
    turns: Vec<(f64, f64)>,
}

impl Chain {
    /// The turns of the typed days; the evening before and the morning after a run of
    /// days repeat its outer values.
    pub(crate) fn of(days: &[DayRange], site: Site) -> Chain {
        let mut turns = Vec::new();
        let mut sorted: Vec<&DayRange> = days.iter().collect();
        sorted.sort_by_key(|d| d.day_start);
        let starts: Vec<i64> = sorted.iter().map(|d| d.day_start.0).collect();
        let near = |ms: i64| starts.iter().any(|s| s.abs_diff(ms) < 7_200_000);
        for d in &sorted {
            let m = d.day_start.hours_since(site.started).value();
            let (low, high) = (
                d.min.value().min(d.max.value()),
                d.max.value().max(d.min.value()),
            );
            let rise = (site.sunrise(m) - m).clamp(2.0, 11.0);
            if !near(d.day_start.0.saturating_sub(86_400_000)) {
                turns.push((m + WARMEST_H - 24.0, high));
            }
            turns.push((m + rise, low));
            turns.push((m + WARMEST_H, high));
            if !near(d.day_start.0.saturating_add(86_400_000)) {
                turns.push((m + 24.0 + rise, low));
            }
        }
        turns.sort_by(|a, b| a.0.total_cmp(&b.0));
        Chain { turns }
    }

    /// Temperature at `h`, where two turns are at most a day apart around it.
    pub(crate) fn at(&self, h: f64) -> Option<f64> {
        let i = self.turns.partition_point(|t| t.0 <= h);
        let a = self.turns.get(i.checked_sub(1)?)?;
        let b = self.turns.get(i)?;
        let span = b.0 - a.0;
        (span > 0.0 && span <= 24.0).then(|| ease(a.1, b.1, (h - a.0) / span))
    }

    /// The turns themselves, as samples for [`Pattern::fit`].
    pub(crate) fn samples(&self) -> &[(f64, f64)] {
        &self.turns
    }
}

/// A day that repeats itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pattern {
    pub mean_c: f64,
    pub half_swing_k: f64,
    sunrise_clock: f64,
    site: Site,
}

impl PartialEq for Site {
    fn eq(&self, other: &Self) -> bool {
        self.started == other.started && self.offset_h == other.offset_h
    }
}

/// From -1 at sunrise to +1 in mid-afternoon and back, by the local clock.
fn shape(clock: f64, sunrise: f64) -> f64 {
    let day = WARMEST_H - sunrise;
    if (sunrise..WARMEST_H).contains(&clock) {
        return ease(-1.0, 1.0, (clock - sunrise) / day);
    }
    let since = if clock >= WARMEST_H {
        clock - WARMEST_H
    } else {
        clock + 24.0 - WARMEST_H
    };
    ease(1.0, -1.0, since / (24.0 - day))
}

impl Pattern {
    /// Mean and swing that fit the samples (hours, °C) of the three days up to the last
    /// one best; the swing leans on the default as far as the samples do not show it.
    pub(crate) fn fit(samples: &[(f64, f64)], site: Site) -> Option<Pattern> {
        let last = samples
            .iter()
            .map(|s| s.0)
            .fold(f64::NEG_INFINITY, f64::max);
        let recent: Vec<(f64, f64)> = samples
            .iter()
            .copied()
            .filter(|x| x.0 >= last - 72.0)
            .collect();
        Pattern::around(&recent, site)
    }

    /// Mean and swing that fit all of the samples.
    pub(crate) fn around(samples: &[(f64, f64)], site: Site) -> Option<Pattern> {
        let sunrise_clock = site.sunrise_clock();
        // Ridge regression: the default swing counts like one sample.
        let (mut n, mut s, mut ss, mut t, mut st) = (0.0, 0.0, 1.0, 0.0, DEFAULT_HALF_SWING_K);
        for (h, c) in samples {
            let x = shape(site.clock(*h), sunrise_clock);
            n += 1.0;
            s += x;
            ss += x * x;
            t += c;
            st += x * c;
        }
        let det = n * ss - s * s;
        (n > 0.0 && det > 0.0).then(|| Pattern {
            mean_c: (ss * t - s * st) / det,
            half_swing_k: ((n * st - s * t) / det).clamp(0.0, 15.0),
            sunrise_clock,
            site,
        })
    }

    pub(crate) fn at(&self, h: f64) -> f64 {
        self.mean_c + self.half_swing_k * shape(self.site.clock(h), self.sunrise_clock)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn site() -> Site {
        Site {
            started: AtMs(1_780_000_000_000),
            offset_h: 2.0,
            lat_deg: 50.0,
            lon_deg: 10.0,
        }
    }

    #[test]
    fn one_sample_gives_the_default_swing() {
        let p = Pattern::fit(&[(0.0, 18.0)], site()).unwrap();
        assert!((p.at(0.0) - 18.0).abs() < 1e-9);
        assert!((p.half_swing_k - DEFAULT_HALF_SWING_K).abs() < 1e-9);
    }

    #[test]
    fn a_real_swing_is_found_again() {
        let truth = |h: f64| 12.0 + 7.0 * shape(site().clock(h), site().sunrise_clock());
        let samples: Vec<_> = (0..48)
            .map(|h| (f64::from(h), truth(f64::from(h))))
            .collect();
        let p = Pattern::fit(&samples, site()).unwrap();
        assert!((p.half_swing_k - 7.0).abs() < 0.2 && (p.mean_c - 12.0).abs() < 0.1);
    }

    #[test]
    fn the_chain_goes_through_its_turns() {
        let day = DayRange {
            day_start: AtMs(1_780_000_000_000),
            min: crate::units::Celsius(4.0),
            max: crate::units::Celsius(19.0),
            rh: None,
            wind: None,
            sky: None,
        };
        let chain = Chain::of(&[day], site());
        assert!((chain.at(15.0).unwrap() - 19.0).abs() < 1e-9);
        let least = (0..240)
            .filter_map(|i| chain.at(f64::from(i) / 10.0))
            .fold(99.0, f64::min);
        assert!((least - 4.0).abs() < 0.05);
        assert!(chain.at(60.0).is_none());
    }
}
