//! What time it is for the hub: the system's clock, or one that was set for a trial.
//!
//! The hub's clock says which reminders are due and when a photo without a date arrived;
//! it never decides whether an entry is taken. The core crates are given `now` from here.

use chrono::{DateTime, Utc};
use slowstone_curing::units::AtMs;
use std::sync::atomic::{AtomicI64, Ordering};
use std::time::{Instant, SystemTime, UNIX_EPOCH};

/// A clock.
#[derive(Clone, Copy, Debug, Default)]
pub enum Clock {
    /// The system's.
    #[default]
    System,
    /// One that showed `shown` at the instant `set` and runs on from there.
    Set {
        /// What it showed.
        shown: AtMs,
        /// When it showed that.
        set: Instant,
    },
    /// The system's, set forward or back while the hub runs: for tests of what a clock that
    /// jumps does.
    Moved {
        /// By how many milliseconds it is ahead.
        by_ms: &'static AtomicI64,
    },
}

impl Clock {
    /// A clock that shows `shown` now and runs on.
    #[must_use]
    pub fn starting_at(shown: AtMs) -> Self {
        Self::Set {
            shown,
            set: Instant::now(),
        }
    }

    /// A clock that shows now what `text` says, e.g. `2026-10-03T10:00:00Z`.
    ///
    /// # Errors
    /// If it is not a date and time with an offset, as in RFC 3339.
    pub fn parse(text: &str) -> Result<Self, String> {
        let at: DateTime<Utc> = text.parse().map_err(|e| {
            format!("{text:?} is not a time ({e}); write it like 2026-10-03T10:00:00Z")
        })?;
        Ok(Self::starting_at(AtMs(at.timestamp_millis())))
    }

    /// The present instant.
    #[must_use]
    pub fn now(&self) -> AtMs {
        match self {
            Self::System => {
                let since = SystemTime::now().duration_since(UNIX_EPOCH);
                AtMs(since.map_or(0, |d| i64::try_from(d.as_millis()).unwrap_or(i64::MAX)))
            }
            Self::Moved { by_ms } => {
                let by = by_ms.load(Ordering::SeqCst);
                AtMs(Self::System.now().0.saturating_add(by))
            }
            Self::Set { shown, set } => {
                let gone = i64::try_from(set.elapsed().as_millis()).unwrap_or(i64::MAX);
                AtMs(shown.0.saturating_add(gone))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_clock_starts_where_it_was_set() {
        // 2026-10-03T10:00:00Z by `date -u -d ... +%s`.
        let clock = Clock::parse("2026-10-03T12:00:00+02:00").unwrap();
        let late = clock.now().0 - 1_791_021_600_000;
        assert!((0..60_000).contains(&late), "{late}");
    }

    #[test]
    fn what_is_no_time_is_refused_with_an_example() {
        for bad in [
            "",
            "tomorrow",
            "2026-10-03",
            "2026-10-03T10:00:00",
            "2026-13-03T10:00:00Z",
        ] {
            assert!(
                Clock::parse(bad)
                    .unwrap_err()
                    .contains("2026-10-03T10:00:00Z"),
                "{bad}"
            );
        }
    }
}
