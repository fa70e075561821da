//! Invented weather, hour by hour: a season, a daily course that is no sine, days that
//! drift, gusts, and clouds that change from day to day.
//!
//! Numbers are those of a mild maritime to continental climate (judgement, no source).

use crate::chance::Chance;
use slowstone_curing::predict::Sky;
use slowstone_curing::sun;
use slowstone_curing::units::{AtMs, Hours};

/// Hours before the start at which the weather begins (a midnight), and its length.
pub const BEFORE_H: usize = 31;
const LENGTH_H: usize = BEFORE_H + 24 * 16;
/// The place: 48° north on the meridian, clock in UTC.
pub const PLACE: (f64, f64) = (48.0, 0.0);

/// What the air really did.
#[derive(Clone, Debug)]
pub struct Weather {
    /// When the pour begins: 07:00.
    pub start: AtMs,
    air: Vec<f64>,
    rh: Vec<f64>,
    wind: Vec<f64>,
    sun: Vec<f64>,
    sky: Vec<Sky>,
}

impl Weather {
    /// Weather about a day between spring and autumn.
    #[must_use]
    pub fn new(c: &mut Chance) -> Weather {
        // 2026-04-01T07:00Z and up to 200 days later.
        let day = c.between(0.0, 200.0).floor();
        let start = AtMs(1_775_026_800_000).plus(Hours(24.0 * day));
        let season = (std::f64::consts::PI * day / 200.0).sin();
        let mean = 9.0 + 11.0 * season + c.normal(0.0, 2.5);
        let swing = c.between(2.0, 6.5);
        let windy = 9.0 * c.factor(0.4);
        let shaded = c.happens(0.25);
        let mut w = Weather {
            start,
            air: Vec::new(),
            rh: Vec::new(),
            wind: Vec::new(),
            sun: Vec::new(),
            sky: Vec::new(),
        };
        let (mut drift, mut gust, mut clouds, mut cover) = (0.0, 0.0, 0, 1.0);
        let mut dew = mean - c.between(3.0, 9.0);
        for i in 0..LENGTH_H {
            let clock = (i % 24) as f64;
            if clock == 0.0 {
                if i == 0 || c.happens(0.4) {
                    clouds = c.one_of(3);
                }
                cover = c.factor(0.15);
            }
            let (sky, share) = match (shaded, clouds) {
                (true, _) => (Sky::Shade, 0.15),
                (_, 0) => (Sky::Sun, 0.95),
                (_, 1) => (Sky::Broken, 0.6),
                _ => (Sky::Overcast, 0.25),
            };
            drift = drift * 0.985 + c.normal(0.0, 0.45);
            gust = gust * 0.85 + c.normal(0.0, 0.22);
            dew += c.normal(0.0, 0.25) - 0.02 * (dew - mean + 6.0);
            // Warmest at about half past three; the morning rises faster than the
            // evening falls.
            let turn = (clock - 9.5) / 24.0 * std::f64::consts::TAU;
            let course = turn.sin() + 0.2 * (2.0 * turn + 0.5).sin();
            let air = mean + drift + swing * course;
            let at = start.plus(Hours(i as f64 - BEFORE_H as f64));
            let up = sun::position(at, PLACE.0, PLACE.1).elevation_deg;
            w.air.push(air);
            w.rh.push((100.0 * pressure(dew) / pressure(air)).clamp(15.0, 100.0));
            w.wind.push((windy * gust.exp()).min(60.0));
            w.sun
                .push(sun::clear_sky_w_m2(up) * (share * cover).min(1.0));
            w.sky.push(sky);
        }
        w
    }

    fn at(series: &[f64], h: f64) -> f64 {
        let x = (h + BEFORE_H as f64).clamp(0.0, (LENGTH_H - 2) as f64);
        let i = x as usize;
        match (series.get(i), series.get(i + 1)) {
            (Some(a), Some(b)) => a + (b - a) * (x - i as f64),
            _ => f64::NAN,
        }
    }

    /// Air temperature, °C, `h` hours after the start.
    #[must_use]
    pub fn air_c(&self, h: f64) -> f64 {
        Weather::at(&self.air, h)
    }

    /// Relative humidity, per cent.
    #[must_use]
    pub fn rh_pct(&self, h: f64) -> f64 {
        Weather::at(&self.rh, h)
    }

    /// Wind, km/h.
    #[must_use]
    pub fn wind_km_h(&self, h: f64) -> f64 {
        Weather::at(&self.wind, h)
    }

    /// Sun on a level surface, W/m².
    #[must_use]
    pub fn sun_w_m2(&self, h: f64) -> f64 {
        Weather::at(&self.sun, h)
    }

    /// What somebody would call the sky.
    #[must_use]
    pub fn sky(&self, h: f64) -> Sky {
        let i = (h + BEFORE_H as f64).clamp(0.0, (LENGTH_H - 1) as f64) as usize;
        self.sky.get(i).copied().unwrap_or(Sky::Broken)
    }
}

/// Vapour pressure of saturated air, kPa (Magnus form, WMO).
fn pressure(dew_c: f64) -> f64 {
    0.6112 * (17.62 * dew_c / (243.12 + dew_c)).exp()
}
