//! The clocks of the world's time zones, from the IANA tables that the hub was built with.
//!
//! What the log needs of them is one question; see `slowstone_logbook::zones`.

use chrono::{DateTime, Offset, TimeZone};
use chrono_tz::Tz;
use slowstone_curing::units::AtMs;
use slowstone_logbook::Zones;

/// The IANA tables.
#[derive(Clone, Copy, Debug)]
pub struct Iana;

impl Zones for Iana {
    fn offset_min(&self, tz: &str, at: AtMs) -> Option<i32> {
        let zone: Tz = tz.parse().ok()?;
        let utc = DateTime::from_timestamp_millis(at.0)?.naive_utc();
        Some(zone.offset_from_utc_datetime(&utc).fix().local_minus_utc() / 60)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clocks_go_as_published() {
        // `TZ=... date -d @1781074800 +%z` and the like (GNU date, tzdata 2025b).
        for (tz, at_s, minutes) in [
            ("Europe/Oslo", 1_781_074_800, 120),
            ("Europe/Oslo", 1_795_649_400, 60),
            ("America/Denver", 1_781_074_800, -360),
            ("Asia/Kathmandu", 1_781_074_800, 345),
            ("UTC", 0, 0),
        ] {
            assert_eq!(
                Iana.offset_min(tz, AtMs(at_s * 1000)),
                Some(minutes),
                "{tz}"
            );
        }
        assert_eq!(Iana.offset_min("Mars/Base", AtMs(0)), None);
        assert_eq!(Iana.offset_min("UTC", AtMs(i64::MAX)), None);
    }
}
