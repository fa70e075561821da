//! Time of day on the site: named time zones, given from outside, and calendar days.
//!
//! The rules of the world's time zones weigh more than the rest of the core and change
//! every year, so they are not in it: the hub brings the IANA tables, the browser asks its
//! own (`Intl`). What both answer is the offset at an instant ([`Zones`]); everything else
//! is reckoned here, the same everywhere.

use slowstone_curing::units::{AtMs, Hours};

/// The offsets of named time zones.
pub trait Zones: core::fmt::Debug + Send + Sync {
    /// Minutes that the clocks of the zone `tz` (IANA name) are ahead of UTC at an
    /// instant; none if there is no such zone.
    fn offset_min(&self, tz: &str, at: AtMs) -> Option<i32>;
}

/// The only zone that is known without tables.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Utc;

impl Zones for Utc {
    fn offset_min(&self, tz: &str, _: AtMs) -> Option<i32> {
        (tz == "UTC").then_some(0)
    }
}

/// Whether `tz` is written as the names of zones are: `Europe/Oslo`, `Etc/GMT+5`, `UTC`.
#[must_use]
pub fn is_name(tz: &str) -> bool {
    let part = |p: &str| {
        p.bytes().next().is_some_and(|b| b.is_ascii_alphabetic())
            && p.bytes()
                .all(|b| b.is_ascii_alphanumeric() || matches!(b, b'_' | b'-' | b'+'))
    };
    tz.len() <= 50
        && tz.bytes().next().is_some_and(|b| b.is_ascii_uppercase())
        && tz.split('/').all(part)
}

/// Days from 1970-01-01 to a date written `YYYY-MM-DD` in the Gregorian calendar; none if
/// it is written otherwise or there is no such day.
#[must_use]
pub fn day_number(date: &str) -> Option<i64> {
    let digits = |from: usize, to: usize| {
        let part = date.get(from..to)?;
        let plain = part.bytes().all(|b| b.is_ascii_digit());
        plain.then(|| part.parse::<i64>().ok()).flatten()
    };
    let dashes = date.bytes().enumerate().filter(|(_, b)| *b == b'-');
    if date.len() != 10 || !dashes.map(|(i, _)| i).eq([4, 7]) {
        return None;
    }
    let (year, month, day) = (digits(0, 4)?, digits(5, 7)?, digits(8, 10)?);
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let length = match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 => 28 + i64::from(leap),
        _ => return None,
    };
    if !(1..=length).contains(&day) {
        return None;
    }
    // Years that begin in March end with the leap day; a March year has 153 days in each
    // five months from its start (common practice, no source).
    let march_year = if month > 2 { year } else { year - 1 };
    let before = (153 * ((month + 9) % 12) + 2) / 5 + day - 1;
    let leap_days =
        march_year.div_euclid(4) - march_year.div_euclid(100) + march_year.div_euclid(400);
    Some(march_year * 365 + leap_days + before - 719_468)
}

/// The instant at which a calendar day begins in a zone. Where clocks go forward over
/// midnight that is up to two hours later; none for a day that the zone left out, or a
/// date or zone that is none.
///
/// ```
/// use slowstone_curing::units::AtMs;
/// use slowstone_logbook::zones::{Utc, day_start};
/// assert_eq!(day_start(&Utc, "UTC", "1970-01-02"), Some(AtMs(86_400_000)));
/// assert_eq!(day_start(&Utc, "UTC", "1970-02-30"), None);
/// ```
#[must_use]
pub fn day_start(zones: &dyn Zones, tz: &str, date: &str) -> Option<AtMs> {
    start_of(zones, tz, day_number(date)?)
}

/// As [`day_start`], by the number of the day after 1970-01-01.
pub(crate) fn start_of(zones: &dyn Zones, tz: &str, day: i64) -> Option<AtMs> {
    let midnight = AtMs(day.saturating_mul(86_400_000));
    (0..3).find_map(|h| instant(zones, tz, midnight.plus(Hours(f64::from(h)))))
}

/// The first instant at which clocks of the zone show `local` (an instant as if in UTC).
pub(crate) fn instant(zones: &dyn Zones, tz: &str, local: AtMs) -> Option<AtMs> {
    // No zone is a day from UTC, so one of these offsets holds, or the clocks skip it.
    let offsets = [-24.0, 24.0].map(|h| zones.offset_min(tz, local.plus(Hours(h))));
    let fits = |offset: Option<i32>| {
        let at = AtMs(local.0.saturating_sub(i64::from(offset?) * 60_000));
        (zones.offset_min(tz, at) == offset).then_some(at)
    };
    offsets.into_iter().filter_map(fits).min()
}
