//! When a photo was taken: from a local time on a camera's clock to an instant.
//!
//! The offset in the file counts most, then the time zone of the site, and without a
//! date that can be true the time of arrival. An hour that the change to summer time
//! skips or repeats is settled by a fixed rule, so that every device gets the same
//! instant. Correcting a wrong camera clock is an event in the log, not done here.

use chrono::{DateTime, Datelike, LocalResult, NaiveDateTime, TimeDelta, TimeZone};
use chrono_tz::Tz;

use super::facts::{DateSource, OffsetSource, PhotoFacts, Problem};

/// Digital cameras with EXIF are younger than this; earlier dates are unset clocks.
const FIRST_YEAR: i32 = 1990;
/// A clock may be ahead of the hub by a day: zones, and clocks set a little wrong.
const AHEAD_MS: i64 = 86_400_000;

/// How the instant is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// EXIF time with an offset from the file.
    ExifOffset,
    /// EXIF time read in the site's time zone.
    ExifSiteZone,
    /// XMP time with an offset from the file.
    XmpOffset,
    /// XMP time read in the site's time zone.
    XmpSiteZone,
    /// No usable date: the time at which it arrived.
    Arrival,
}

/// The instant of a photo.
#[derive(Clone, Debug, PartialEq)]
pub struct TakenAt {
    /// Milliseconds since 1970-01-01T00:00:00Z.
    pub at_ms: i64,
    /// How it is known.
    pub source: Source,
    /// The same in words, for the person.
    pub said: String,
    /// Doubts that come on top of those in the facts.
    pub problems: Vec<Problem>,
}

/// Works out when a photo was taken. `zone` is the site's time zone, `arrival_ms` the
/// instant at which the file came in (its own time, when a folder is watched).
#[must_use]
pub fn taken_at(facts: &PhotoFacts, zone: Tz, arrival_ms: i64) -> TakenAt {
    let Some(local) = facts.taken_local else {
        return arrival(arrival_ms, Vec::new());
    };
    let year = local.year();
    if year < FIRST_YEAR {
        return arrival(
            arrival_ms,
            vec![Problem::new(
                "date_too_old",
                format!(
                    "The camera says {year}, before there were such cameras: its clock was not set. The time of arrival is used; set the camera's clock, and correct this time if it matters."
                ),
            )],
        );
    }
    let mut problems = Vec::new();
    let xmp = facts.date_source == Some(DateSource::Xmp);
    let (utc, source, said) = if let Some(offset) = facts.offset_min {
        let utc = local - TimeDelta::minutes(i64::from(offset));
        let from = match facts.offset_source {
            Some(OffsetSource::Satellites) => "the offset worked out from satellite time",
            Some(OffsetSource::Xmp) => "the offset in XMP",
            _ => "the camera's own offset",
        };
        let said = format!(
            "{} by {from} ({})",
            local.format("%Y-%m-%d %H:%M"),
            signed(offset)
        );
        (
            utc,
            if xmp {
                Source::XmpOffset
            } else {
                Source::ExifOffset
            },
            said,
        )
    } else {
        let utc = in_zone(local, zone, &mut problems);
        let said = format!(
            "{} on the camera's clock, read in the site's time zone ({zone})",
            local.format("%Y-%m-%d %H:%M")
        );
        (
            utc,
            if xmp {
                Source::XmpSiteZone
            } else {
                Source::ExifSiteZone
            },
            said,
        )
    };
    let at_ms = utc
        .and_utc()
        .timestamp_millis()
        .saturating_add(i64::from(facts.subsec_ms.unwrap_or(0)));
    if at_ms > arrival_ms.saturating_add(AHEAD_MS) {
        problems.push(Problem::new("date_in_future", format!("The camera says {}, more than a day after the photo arrived: its clock is wrong. The time of arrival is used; set the camera's clock, and correct this time if it matters.", local.format("%Y-%m-%d %H:%M"))));
        return arrival(arrival_ms, problems);
    }
    TakenAt {
        at_ms,
        source,
        said,
        problems,
    }
}

fn arrival(at_ms: i64, problems: Vec<Problem>) -> TakenAt {
    TakenAt {
        at_ms,
        source: Source::Arrival,
        said: "no usable date in the file; the time at which it arrived".into(),
        problems,
    }
}

/// The instant of a local time. Of an hour that comes twice the first is taken; an hour
/// that is skipped is read with the offset that held before, as a clock that was not put
/// forward shows it.
fn in_zone(local: NaiveDateTime, zone: Tz, problems: &mut Vec<Problem>) -> NaiveDateTime {
    match zone.from_local_datetime(&local) {
        LocalResult::Single(t) => t.naive_utc(),
        LocalResult::Ambiguous(first, second) => {
            problems.push(Problem::new("time_twice", format!("That hour came twice, as clocks were put back ({zone}); the first of the two is used. Correct it by an hour if it was the second.")));
            first.naive_utc().min(second.naive_utc())
        }
        LocalResult::None => {
            problems.push(Problem::new("time_skipped", format!("That hour did not exist, as clocks were put forward ({zone}); the camera's clock was probably still on winter time and was read so. Set the camera's clock.")));
            // Some hours earlier the old offset certainly held; no change skips a day but
            // that of the date line, for which a day is tried too.
            [3, 25]
                .into_iter()
                .map(TimeDelta::hours)
                .find_map(|back| {
                    let before: DateTime<Tz> =
                        zone.from_local_datetime(&(local - back)).earliest()?;
                    Some(before.naive_utc() + back)
                })
                .unwrap_or(local)
        }
    }
}

/// `+02:00`.
fn signed(minutes: i32) -> String {
    let sign = if minutes < 0 { '-' } else { '+' };
    let n = minutes.unsigned_abs();
    format!("{sign}{:02}:{:02}", n / 60, n % 60)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 2026-11-25T12:00:00Z, by `date -d`.
    const NOW: i64 = 1_795_608_000_000;

    fn facts(local: &str, offset_min: Option<i32>) -> PhotoFacts {
        PhotoFacts {
            taken_local: Some(local.parse().unwrap()),
            offset_min,
            date_source: Some(DateSource::ExifOriginal),
            offset_source: offset_min.map(|_| OffsetSource::Exif),
            ..PhotoFacts::default()
        }
    }

    fn at(local: &str, offset: Option<i32>, zone: Tz) -> (String, Source, Vec<&'static str>) {
        let t = taken_at(&facts(local, offset), zone, NOW);
        let utc = DateTime::from_timestamp_millis(t.at_ms)
            .unwrap()
            .to_rfc3339();
        (utc, t.source, t.problems.iter().map(|p| p.code).collect())
    }

    #[test]
    fn the_files_offset_beats_the_sites_zone() {
        let zone = chrono_tz::America::Santiago;
        let got = at("2024-05-03T07:12:00", Some(120), zone);
        assert_eq!(
            got,
            (
                "2024-05-03T05:12:00+00:00".into(),
                Source::ExifOffset,
                vec![]
            )
        );
        // Chile is at UTC-4 in May (IANA tz database).
        let got = at("2024-05-03T07:12:00", None, zone);
        assert_eq!(
            got,
            (
                "2024-05-03T11:12:00+00:00".into(),
                Source::ExifSiteZone,
                vec![]
            )
        );
    }

    #[test]
    fn hours_that_are_skipped_or_come_twice() {
        // European Union: 2024-03-31 02:00 to 03:00 skipped, 2024-10-27 02:00 to 03:00 twice.
        let zone = chrono_tz::Europe::Rome;
        let got = at("2024-03-31T02:30:00", None, zone);
        assert_eq!(
            (got.0.as_str(), got.2),
            ("2024-03-31T01:30:00+00:00", vec!["time_skipped"])
        );
        let got = at("2024-10-27T02:30:00", None, zone);
        assert_eq!(
            (got.0.as_str(), got.2),
            ("2024-10-27T00:30:00+00:00", vec!["time_twice"])
        );
        // Samoa crossed the date line: 2011-12-30 did not exist.
        let got = at("2011-12-30T12:00:00", None, chrono_tz::Pacific::Apia);
        assert_eq!(
            (got.0.as_str(), got.2),
            ("2011-12-30T22:00:00+00:00", vec!["time_skipped"])
        );
    }

    #[test]
    fn dates_that_cannot_be_true_give_way_to_the_arrival() {
        for (local, code) in [
            ("1980-01-01T00:00:00", "date_too_old"),
            ("2026-11-27T12:00:00", "date_in_future"),
            ("9999-12-31T23:59:59", "date_in_future"),
        ] {
            let t = taken_at(&facts(local, None), chrono_tz::UTC, NOW);
            assert_eq!(
                (t.at_ms, t.source, t.problems[0].code),
                (NOW, Source::Arrival, code)
            );
        }
        let t = taken_at(&facts("2026-11-26T11:00:00", None), chrono_tz::UTC, NOW);
        assert_eq!(t.source, Source::ExifSiteZone);
        let t = taken_at(&PhotoFacts::default(), chrono_tz::UTC, NOW);
        assert_eq!((t.at_ms, t.source), (NOW, Source::Arrival));
    }

    #[test]
    fn milliseconds_and_xmp_are_kept() {
        let mut f = facts("2024-05-03T07:12:00", Some(120));
        (f.subsec_ms, f.date_source) = (Some(123), Some(DateSource::Xmp));
        let t = taken_at(&f, chrono_tz::UTC, NOW);
        assert_eq!((t.at_ms % 1000, t.source), (123, Source::XmpOffset));
        assert!(t.said.contains("+02:00"), "{}", t.said);
    }
}
