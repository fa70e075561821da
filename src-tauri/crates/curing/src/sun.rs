//! Where the sun stands and what it gives a level surface under a clear sky.
//!
//! Position by the low-precision formulas of the Astronomical Almanac (good to about
//! 0.01° from 1950 to 2050), clear-sky irradiance by Haurwitz 1945. No refraction, no
//! horizon, no clouds: [`crate::air`] multiplies by what the sky lets through.
//! Checked against pvlib in `tests/reference/tests/sun.rs`.

use crate::units::AtMs;

const DEG: f64 = core::f64::consts::PI / 180.0;
/// 2000-01-01T12:00:00Z, the epoch of the formulas, in milliseconds since 1970.
const J2000_MS: f64 = 946_728_000_000.0;
const DAY_MS: f64 = 86_400_000.0;

/// The sun seen from a place at an instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunPosition {
    /// Degrees above the horizon (negative at night), without refraction.
    pub elevation_deg: f64,
    /// Degrees from north through east.
    pub azimuth_deg: f64,
}

struct Equatorial {
    right_ascension: f64,
    declination: f64,
    days: f64,
}

fn equatorial(at: AtMs) -> Equatorial {
    let days = (at.0 as f64 - J2000_MS) / DAY_MS;
    let mean_longitude = 280.460 + 0.985_647_4 * days;
    let anomaly = (357.528 + 0.985_600_3 * days) * DEG;
    let longitude =
        (mean_longitude + 1.915 * libm::sin(anomaly) + 0.020 * libm::sin(2.0 * anomaly)) * DEG;
    let tilt = (23.439 - 0.000_000_4 * days) * DEG;
    Equatorial {
        right_ascension: libm::atan2(libm::cos(tilt) * libm::sin(longitude), libm::cos(longitude)),
        declination: libm::asin((libm::sin(tilt) * libm::sin(longitude)).clamp(-1.0, 1.0)),
        days,
    }
}

/// Sidereal angle of the place, radians.
fn sidereal(days: f64, lon_deg: f64) -> f64 {
    // Days count from noon: the hours of UT are those since midnight.
    let ut_h = {
        let d = days + 0.5;
        (d - libm::floor(d)) * 24.0
    };
    let midnight = days - ut_h / 24.0;
    let hours = 6.697_374_56 + 0.065_709_824_419_08 * midnight + 1.002_737_909_35 * ut_h;
    (hours * 15.0 + lon_deg) * DEG
}

/// The sun's position. Latitude north and longitude east in degrees; latitudes beyond
/// the poles are taken as the pole.
///
/// Source: Astronomical Almanac, low-precision formulas for the sun (also Michalsky 1988).
#[must_use]
pub fn position(at: AtMs, lat_deg: f64, lon_deg: f64) -> SunPosition {
    let sun = equatorial(at);
    let hour_angle = sidereal(sun.days, lon_deg) - sun.right_ascension;
    let lat = lat_deg.clamp(-90.0, 90.0) * DEG;
    let up = libm::sin(lat) * libm::sin(sun.declination)
        + libm::cos(lat) * libm::cos(sun.declination) * libm::cos(hour_angle);
    let east = -libm::cos(sun.declination) * libm::sin(hour_angle);
    let north = libm::cos(lat) * libm::sin(sun.declination)
        - libm::sin(lat) * libm::cos(sun.declination) * libm::cos(hour_angle);
    let azimuth = libm::atan2(east, north) / DEG;
    SunPosition {
        elevation_deg: libm::asin(up.clamp(-1.0, 1.0)) / DEG,
        azimuth_deg: if azimuth < 0.0 {
            azimuth + 360.0
        } else {
            azimuth
        },
    }
}

/// Irradiance of a level surface under a clear sky, W/m²; 0 at night.
///
/// Source: Haurwitz 1945 (J. Meteorology 2, 154), constants as in pvlib.
#[must_use]
pub fn clear_sky_w_m2(elevation_deg: f64) -> f64 {
    let s = libm::sin(elevation_deg * DEG);
    if s > 0.0 {
        1098.0 * s * libm::exp(-0.059 / s)
    } else {
        0.0
    }
}

/// The instant of sunrise on the day that begins at `midnight` (local); 6 h after it
/// where the sun does not rise or does not set.
#[must_use]
pub fn sunrise(midnight: AtMs, lat_deg: f64, lon_deg: f64) -> AtMs {
    let noon = midnight.plus(crate::units::Hours(12.0));
    let sun = equatorial(noon);
    let lat = lat_deg.clamp(-89.0, 89.0) * DEG;
    // 0.833° below the horizon: refraction and the sun's radius (common practice).
    let cos_h = (libm::sin(-0.833 * DEG) - libm::sin(lat) * libm::sin(sun.declination))
        / (libm::cos(lat) * libm::cos(sun.declination));
    if !(-1.0..1.0).contains(&cos_h) {
        return midnight.plus(crate::units::Hours(6.0));
    }
    let turn = 2.0 * core::f64::consts::PI;
    let mut past_noon = libm::fmod(sidereal(sun.days, lon_deg) - sun.right_ascension, turn);
    if past_noon > core::f64::consts::PI {
        past_noon -= turn;
    } else if past_noon < -core::f64::consts::PI {
        past_noon += turn;
    }
    let before_h = (past_noon + libm::acos(cos_h)) / turn * 24.0;
    noon.plus(crate::units::Hours(-before_h))
}

/// Parallels between which people cast concrete, degrees: Ushuaia lies at 55° south, Oslo
/// and Helsinki at 60° north (any atlas).
const PEOPLED: core::ops::RangeInclusive<i32> = -11..=12;
/// Degrees from one of them to the next that is tried.
const APART_DEG: f64 = 5.0;

/// The places with the most and with the least sun on a day, where nothing is known of the
/// place but a clock `offset_min` ahead of UTC: latitude north and longitude east.
///
/// A clock tells the longitude to some degrees. One that shows UTC tells nothing: it is
/// what a computer shows that was told no zone. Then the sun of the sunniest place stands
/// highest three hours after `at`, when fresh concrete takes in most of it.
#[must_use]
pub fn bounds(at: AtMs, offset_min: i32) -> [(f64, f64); 2] {
    let lon_deg = if offset_min == 0 {
        // Noon at longitude 0 is 12:00 UTC, and an hour earlier for each 15° east.
        let hour = (at.0.rem_euclid(86_400_000) as f64) / 3_600_000.0 + 3.0;
        let east = 15.0 * (12.0 - hour);
        if east <= -180.0 { east + 360.0 } else { east }
    } else {
        f64::from(offset_min) / 4.0
    };
    let day_sum = |lat_deg: f64| -> f64 {
        (-12_i32..12)
            .map(|h| position(at.plus(crate::units::Hours(f64::from(h))), lat_deg, lon_deg))
            .map(|sun| clear_sky_w_m2(sun.elevation_deg))
            .sum()
    };
    let mut most = (f64::NEG_INFINITY, 0.0);
    let mut least = (f64::INFINITY, 0.0);
    for step in PEOPLED {
        let lat_deg = f64::from(step) * APART_DEG;
        let sum = day_sum(lat_deg);
        if sum > most.0 {
            most = (sum, lat_deg);
        }
        if sum < least.0 {
            least = (sum, lat_deg);
        }
    }
    [(most.1, lon_deg), (least.1, lon_deg)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn far_away_dates_and_places_give_numbers() {
        for ms in [i64::MIN, -1, 0, i64::MAX] {
            for lat in [-1e9, -90.0, 0.0, 90.0, 1e9] {
                assert!(position(AtMs(ms), lat, 1e9).elevation_deg.is_finite());
                let _ = sunrise(AtMs(ms), lat, -1e9);
            }
        }
    }

    #[test]
    fn night_gives_nothing() {
        assert_eq!(clear_sky_w_m2(-3.0), 0.0);
        assert!(clear_sky_w_m2(1e-9) >= 0.0);
    }
}
