//! Working time on a site: sociable hours on the days of the week that people work.
//!
//! By the clock of the site, through [`crate::zones`]; where clocks change, a day is an
//! hour longer or shorter and nothing else happens. Nothing is predicted here.

use crate::facts::{Crew, Weekday};
use crate::zones::{self, Zones};
use slowstone_curing::units::{AtMs, Hours};

const DAY_MS: i64 = 86_400_000;
const HOUR_MS: f64 = 3_600_000.0;
/// Times of the plan are given to the half hour: more would be false precision.
const STEP_MS: i64 = 1_800_000;
/// Days that are looked through for one with work.
const LOOK_DAYS: i64 = 14;

/// 1970-01-01 was a Thursday.
const WEEK: [Weekday; 7] = [
    Weekday::Thu,
    Weekday::Fri,
    Weekday::Sat,
    Weekday::Sun,
    Weekday::Mon,
    Weekday::Tue,
    Weekday::Wed,
];

/// The working time of a crew on a site.
pub(super) struct Calendar<'a> {
    pub zones: &'a dyn Zones,
    pub tz: &'a str,
    pub crew: &'a Crew,
}

impl Calendar<'_> {
    /// The clock of the site at an instant, as if it were UTC.
    fn local(&self, at: AtMs) -> i64 {
        let offset = self.zones.offset_min(self.tz, at).unwrap_or(0);
        at.0.saturating_add(i64::from(offset) * 60_000)
    }

    /// The instant at which the clock of the site shows `local`; where it skips that, the
    /// clock of a day before is taken.
    fn instant(&self, local: i64) -> AtMs {
        let shown = zones::instant(self.zones, self.tz, AtMs(local));
        let offset = || {
            let before = AtMs(local.saturating_sub(DAY_MS));
            self.zones.offset_min(self.tz, before).unwrap_or(0)
        };
        shown.unwrap_or_else(|| AtMs(local.saturating_sub(i64::from(offset()) * 60_000)))
    }

    fn off(&self, day: i64) -> bool {
        let weekday = usize::try_from(day.rem_euclid(7)).ok();
        let weekday = weekday.and_then(|i| WEEK.get(i));
        weekday.is_some_and(|w| self.crew.days_off.contains(w))
    }

    /// The first instant from `at` on, to the half hour, from which `hours` of work fit
    /// into working time. More than a day has begin with the day.
    pub(super) fn next(&self, at: AtMs, hours: f64) -> AtMs {
        let local = self.local(at);
        let local = local.div_euclid(STEP_MS) * STEP_MS
            + if local.rem_euclid(STEP_MS) > 0 {
                STEP_MS
            } else {
                0
            };
        let first = local.div_euclid(DAY_MS);
        for day in first..first + LOOK_DAYS {
            if self.off(day) {
                continue;
            }
            let midnight = day * DAY_MS;
            let opens = midnight + (self.crew.from_h * HOUR_MS) as i64;
            let closes = midnight + (self.crew.until_h * HOUR_MS) as i64;
            let begin = local.max(opens);
            let fits = begin + (hours * HOUR_MS) as i64 <= closes;
            if fits || begin == opens {
                return self.instant(begin);
            }
        }
        at
    }

    /// The end of `hours` of work that begin as soon as they can from `at` on.
    pub(super) fn work(&self, at: AtMs, hours: f64) -> AtMs {
        if hours <= 0.0 {
            return at;
        }
        self.next(at, hours).plus(Hours(hours))
    }

    /// Whether an instant lies after working time of its day.
    pub(super) fn after_hours(&self, at: AtMs) -> bool {
        let local = self.local(at);
        let h = local.rem_euclid(DAY_MS) as f64 / HOUR_MS;
        h > self.crew.until_h || h < self.crew.from_h
    }

    /// Midnights between two instants, at most `most`, and whether the day that begins is
    /// one without work.
    pub(super) fn days(&self, from: AtMs, until: AtMs, most: usize) -> Vec<(AtMs, bool)> {
        let first = self.local(from).div_euclid(DAY_MS);
        let last = self.local(until).div_euclid(DAY_MS);
        (first..=last.saturating_add(1))
            .take(most)
            .map(|day| (self.instant(day * DAY_MS), self.off(day)))
            .collect()
    }
}
