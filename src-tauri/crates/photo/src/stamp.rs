//! Dates, offsets and fractions of seconds as they are written in photo files.
//!
//! Reads text only; which of several dates counts is decided in `facts`. EXIF writes
//! `YYYY:MM:DD HH:MM:SS` (EXIF 2.32, 4.6.5), XMP ISO 8601 with an optional offset.

use chrono::{NaiveDate, NaiveDateTime};

/// A date as it was written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Stamp {
    /// Local date and time.
    pub local: NaiveDateTime,
    /// Offset from UTC in minutes, if written.
    pub offset_min: Option<i32>,
    /// Milliseconds, if written.
    pub subsec_ms: Option<u32>,
    /// Written otherwise than EXIF asks (dashes for colons).
    pub odd: bool,
}

/// Why a date cannot be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum BadStamp {
    /// Spaces or zeros: the camera's clock was never set.
    Blank,
    /// A day without a time of day.
    DayOnly,
    /// Not a date, or one that no calendar has.
    NotADate,
}

/// Reads a date as EXIF or XMP writes it.
pub(crate) fn stamp(text: &str) -> Result<Stamp, BadStamp> {
    let text = text.trim_matches(|c: char| c == '\0' || c.is_whitespace());
    let digits = text.chars().filter(char::is_ascii_digit);
    if digits.clone().all(|c| c == '0')
        && text
            .chars()
            .all(|c| matches!(c, '0' | ':' | '-' | ' ' | '/' | 'T'))
    {
        return Err(BadStamp::Blank);
    }
    let b = text.as_bytes();
    if b.len() == 10 && day_of(b).is_some() {
        return Err(BadStamp::DayOnly);
    }
    let (Some(day), Some(time)) = (b.get(..10), b.get(11..)) else {
        return Err(BadStamp::NotADate);
    };
    if !matches!(b.get(10), Some(b' ' | b'T' | b't')) {
        return Err(BadStamp::NotADate);
    }
    let date = day_of(day).ok_or(BadStamp::NotADate)?;
    let (hour, minute) = (two(time, 0), two(time, 3));
    if time.get(2) != Some(&b':') {
        return Err(BadStamp::NotADate);
    }
    // XMP may leave the seconds out; EXIF never does.
    let (second, rest) = if time.get(5) == Some(&b':') {
        (two(time, 6), time.get(8..).unwrap_or_default())
    } else {
        (Some(0), time.get(5..).unwrap_or_default())
    };
    let (Some(hour), Some(minute), Some(second)) = (hour, minute, second) else {
        return Err(BadStamp::NotADate);
    };
    let local = date
        .and_hms_opt(hour, minute, second)
        .ok_or(BadStamp::NotADate)?;
    let rest = std::str::from_utf8(rest).unwrap_or_default();
    let (fraction, zone) = match rest.strip_prefix('.') {
        Some(tail) => tail.split_at(
            tail.find(|c: char| !c.is_ascii_digit())
                .unwrap_or(tail.len()),
        ),
        None => ("", rest),
    };
    Ok(Stamp {
        local,
        offset_min: offset(zone).unwrap_or(None),
        subsec_ms: subsec_ms(fraction).unwrap_or(None),
        odd: day.get(4) != Some(&b':'),
    })
}

/// A day written with any of the usual separators.
fn day_of(day: &[u8]) -> Option<NaiveDate> {
    let separator = |at: usize| matches!(day.get(at), Some(b':' | b'-' | b'/' | b'.'));
    if !separator(4) || !separator(7) {
        return None;
    }
    let year = two(day, 0)? * 100 + two(day, 2)?;
    if year == 0 {
        return None;
    }
    NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, two(day, 5)?, two(day, 8)?)
}

/// Two decimal digits.
fn two(b: &[u8], at: usize) -> Option<u32> {
    let (a, c) = (*b.get(at)?, *b.get(at + 1)?);
    (a.is_ascii_digit() && c.is_ascii_digit())
        .then(|| u32::from(a - b'0') * 10 + u32::from(c - b'0'))
}

/// An offset from UTC in minutes: `+02:00`, `-0330`, `Z`. `Ok(None)` if it was left
/// blank, `Err` if it is none that a place on Earth has (-12:00 to +14:00).
pub(crate) fn offset(text: &str) -> Result<Option<i32>, ()> {
    let text = text.trim_matches(|c: char| c == '\0' || c.is_whitespace());
    if text.chars().all(|c| matches!(c, ' ' | ':')) {
        return Ok(None);
    }
    if text.eq_ignore_ascii_case("z") {
        return Ok(Some(0));
    }
    let b = text.as_bytes();
    let sign = match b.first() {
        Some(b'+') => 1,
        Some(b'-') => -1,
        _ => return Err(()),
    };
    let minutes_at = match (b.len(), b.get(3)) {
        (6, Some(b':')) => 4,
        (5, _) => 3,
        _ => return Err(()),
    };
    let (Some(h), Some(m)) = (two(b, 1), two(b, minutes_at)) else {
        return Err(());
    };
    let total = sign * i32::try_from(h * 60 + m).map_err(|_| ())?;
    if m > 59 || !(-720..=840).contains(&total) {
        return Err(());
    }
    Ok(Some(total))
}

/// Digits after the decimal point as whole milliseconds, rounded down. `Ok(None)` if
/// blank.
pub(crate) fn subsec_ms(text: &str) -> Result<Option<u32>, ()> {
    let text = text.trim_matches(|c: char| c == '\0' || c.is_whitespace());
    if text.is_empty() {
        return Ok(None);
    }
    if !text.bytes().all(|c| c.is_ascii_digit()) {
        return Err(());
    }
    let ms = text
        .bytes()
        .chain(std::iter::repeat(b'0'))
        .take(3)
        .fold(0, |n, c| n * 10 + u32::from(c - b'0'));
    Ok(Some(ms))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn local(text: &str) -> String {
        stamp(text).unwrap().local.to_string()
    }

    #[test]
    fn exif_and_xmp_dates() {
        assert_eq!(local("2024:05:03 07:12:00"), "2024-05-03 07:12:00");
        assert!(stamp("2024-05-03 07:12:00").unwrap().odd);
        let x = stamp("2008-03-14T20:59:26.535Z").unwrap();
        assert_eq!((x.offset_min, x.subsec_ms), (Some(0), Some(535)));
        let x = stamp("2024-05-03T07:12-03:30").unwrap();
        assert_eq!(
            (x.local.to_string().as_str(), x.offset_min),
            ("2024-05-03 07:12:00", Some(-210))
        );
        assert_eq!(local("2024:02:29 23:59:59\0"), "2024-02-29 23:59:59");
    }

    #[test]
    fn bad_dates_say_why() {
        assert_eq!(stamp("    :  :     :  :  "), Err(BadStamp::Blank));
        assert_eq!(stamp("0000:00:00 00:00:00"), Err(BadStamp::Blank));
        assert_eq!(stamp(""), Err(BadStamp::Blank));
        assert_eq!(stamp("2024:05:03"), Err(BadStamp::DayOnly));
        assert_eq!(stamp("2024:13:03 07:12:00"), Err(BadStamp::NotADate));
        assert_eq!(stamp("2023:02:29 07:12:00"), Err(BadStamp::NotADate));
        assert_eq!(stamp("2024:05:03 24:12:00"), Err(BadStamp::NotADate));
        assert_eq!(stamp("yesterday at noon, or so"), Err(BadStamp::NotADate));
        assert_eq!(
            stamp("\u{1F600}\u{1F600}\u{1F600}\u{1F600}\u{1F600}"),
            Err(BadStamp::NotADate)
        );
    }

    #[test]
    fn offsets() {
        assert_eq!(offset("+05:45"), Ok(Some(345)));
        assert_eq!(offset("-03:30"), Ok(Some(-210)));
        assert_eq!(offset("Z"), Ok(Some(0)));
        assert_eq!(offset("   :  "), Ok(None));
        assert_eq!(offset("+15:00"), Err(()));
        assert_eq!(offset("+02:75"), Err(()));
        assert_eq!(offset("CEST"), Err(()));
    }

    #[test]
    fn fractions_are_decimals_not_integers() {
        assert_eq!(subsec_ms("123456"), Ok(Some(123)));
        assert_eq!(subsec_ms("7  "), Ok(Some(700)));
        assert_eq!(subsec_ms("08"), Ok(Some(80)));
        assert_eq!(subsec_ms("   "), Ok(None));
        assert_eq!(subsec_ms("x"), Err(()));
    }
}
