//! Dates and times as loggers write them, in the order that was said.
//!
//! 4 October and 10 April look alike where days and months are numbers: [`orders`] says every
//! order in which all times can be read, and who knows the logger chooses. Months by their
//! names, in three languages, are never in doubt. Clocks of zones are in [`crate::zones`].

use crate::zones::{self, Zones};
use serde::{Deserialize, Serialize};
use slowstone_curing::units::{AtMs, Hours};

/// How dates are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum DateOrder {
    /// Year, month, day (ISO 8601).
    Ymd,
    /// Day, month, year.
    Dmy,
    /// Month, day, year.
    Mdy,
    /// Seconds since 1970 (UTC).
    Seconds,
    /// Milliseconds since 1970 (UTC).
    Millis,
}

const ALL: [DateOrder; 5] = [
    DateOrder::Ymd,
    DateOrder::Dmy,
    DateOrder::Mdy,
    DateOrder::Seconds,
    DateOrder::Millis,
];

/// A time that was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stamp {
    /// An instant: it stated its distance from UTC.
    Instant(AtMs),
    /// What a clock on the wall showed, as if it were in UTC.
    Local(AtMs),
}

/// First letters of months in English, German and Spanish, by number.
const MONTHS: [(&str, i64); 19] = [
    ("jan", 1),
    ("ene", 1),
    ("jän", 1),
    ("feb", 2),
    ("mar", 3),
    ("mär", 3),
    ("mrz", 3),
    ("apr", 4),
    ("abr", 4),
    ("may", 5),
    ("mai", 5),
    ("jun", 6),
    ("jul", 7),
    ("aug", 8),
    ("ago", 8),
    ("sep", 9),
    ("oct", 10),
    ("okt", 10),
    ("nov", 11),
];
const DECEMBER: [&str; 3] = ["dec", "dez", "dic"];

/// Between 1990 and 2100, as seconds: a number of logger that is no reading.
const EPOCH_S: core::ops::Range<f64> = 631_152_000.0..4_102_444_800.0;

fn month_by_name(word: &str) -> Option<i64> {
    let word = word.to_lowercase();
    let by = MONTHS
        .iter()
        .find(|(m, _)| word.starts_with(m))
        .map(|(_, n)| *n);
    by.or_else(|| DECEMBER.iter().any(|m| word.starts_with(m)).then_some(12))
}

/// The date at the head of a text, in days since 1970, and what follows it.
fn date(text: &str, order: DateOrder) -> Option<(i64, &str)> {
    let mut parts: [(&str, bool); 3] = [("", false); 3];
    let mut rest = text.trim_start_matches(|c: char| !c.is_alphanumeric());
    for part in &mut parts {
        let first = rest.chars().next()?;
        let digits = first.is_ascii_digit();
        let same = |c: char| {
            if digits {
                c.is_ascii_digit()
            } else {
                c.is_alphabetic()
            }
        };
        let end = rest.find(|c: char| !same(c)).unwrap_or(rest.len());
        *part = (rest.get(..end)?, digits);
        let after = rest.get(end..)?;
        // What parts a date; a blank or a T behind its last part begins the time.
        rest = after.trim_start_matches(['-', '/', '.', ',', ' ']);
        if !digits && !first.is_alphabetic() {
            return None;
        }
    }
    let [a, b, c] = parts;
    let number = |(t, digits): (&str, bool)| if digits { t.parse::<i64>().ok() } else { None };
    let named = |(t, digits): (&str, bool)| if digits { None } else { month_by_name(t) };
    let (year, month, day) = match (named(a), named(b)) {
        // 14 Oct 2026; Oct 14, 2026: the order does not matter.
        (None, Some(m)) if a.0.len() == 4 => (number(a)?, m, number(c)?),
        (None, Some(m)) => (number(c)?, m, number(a)?),
        (Some(m), None) => (number(c)?, m, number(b)?),
        _ => match order {
            DateOrder::Ymd if a.0.len() == 4 => (number(a)?, number(b)?, number(c)?),
            DateOrder::Dmy if a.0.len() <= 2 => (number(c)?, number(b)?, number(a)?),
            DateOrder::Mdy if a.0.len() <= 2 => (number(c)?, number(a)?, number(b)?),
            _ => return None,
        },
    };
    let year = if (0..100).contains(&year) {
        year + 2000
    } else {
        year
    };
    let day = zones::day_number(&format!("{year:04}-{month:02}-{day:02}"))?;
    Some((day, rest))
}

/// The time of day at the head of a text, in milliseconds, and what follows it.
fn clock(text: &str) -> Option<(i64, &str)> {
    let text = text.trim_start_matches(['T', 't', ' ', ',']);
    let mut rest = text;
    let mut taken = [0_i64; 3];
    let mut count = 0;
    for (i, value) in taken.iter_mut().enumerate() {
        let end = rest
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(rest.len());
        if !(1..=2).contains(&end) {
            break;
        }
        *value = rest.get(..end)?.parse().ok()?;
        rest = rest.get(end..)?;
        count = i + 1;
        match rest.strip_prefix(':') {
            Some(after) if i < 2 => rest = after,
            _ => break,
        }
    }
    let [mut h, m, s] = taken;
    if count < 2 || m > 59 || s > 60 {
        return None;
    }
    let mut ms = 0;
    if let Some(part) = rest
        .strip_prefix(['.', ','])
        .filter(|p| p.starts_with(|c: char| c.is_ascii_digit()))
    {
        let end = part
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(part.len());
        let written = format!("{:0<3}", part.get(..end)?);
        ms = written.get(..3)?.parse().ok()?;
        rest = part.get(end..)?;
    }
    let half: String = rest
        .chars()
        .filter(|c| c.is_alphabetic())
        .take(2)
        .collect::<String>()
        .to_lowercase();
    if matches!(half.as_str(), "am" | "pm") {
        if !(1..=12).contains(&h) {
            return None;
        }
        h = h % 12 + if half == "pm" { 12 } else { 0 };
        rest = "";
    }
    // 24:00 ends a day (ISO 8601-1:2019, with a leap of a minute at most).
    if h > 24 || (h == 24 && m + s > 0) {
        return None;
    }
    Some((((h * 60 + m) * 60 + s) * 1000 + ms, rest))
}

/// Minutes ahead of UTC, as `Z`, `UTC`, `+02:00` or `-0530`; none where nothing is said.
fn offset(text: &str) -> Result<Option<i64>, ()> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    if matches!(text, "Z" | "z" | "UTC" | "GMT") {
        return Ok(Some(0));
    }
    let text = text.trim_start_matches("UTC").trim_start_matches("GMT");
    let sign = match text.chars().next() {
        Some('+') => 1,
        Some('-' | '−') => -1,
        _ => return Err(()),
    };
    let digits: String = text.chars().filter(char::is_ascii_digit).collect();
    let minutes = match digits.len() {
        1 | 2 => digits.parse::<i64>().map(|h| h * 60),
        4 => digits.parse::<i64>().map(|x| x / 100 * 60 + x % 100),
        _ => return Err(()),
    };
    let minutes = minutes.map_err(|_| ())?;
    // Zones reach from 12 hours behind UTC to 14 ahead (IANA tz database).
    if minutes > 14 * 60 {
        Err(())
    } else {
        Ok(Some(sign * minutes))
    }
}

/// Reads a time in an order.
#[must_use]
pub fn read(text: &str, order: DateOrder) -> Option<Stamp> {
    let text = text.trim();
    if matches!(order, DateOrder::Seconds | DateOrder::Millis) {
        let x: f64 = text.parse().ok()?;
        let seconds = if order == DateOrder::Millis {
            x / 1000.0
        } else {
            x
        };
        let ms = (seconds * 1000.0).round();
        return EPOCH_S
            .contains(&seconds)
            .then_some(Stamp::Instant(AtMs(ms as i64)));
    }
    let (day, rest) = date(text, order)?;
    let (ms, rest) = clock(rest)?;
    let local = AtMs(day.checked_mul(86_400_000)?.checked_add(ms)?);
    Some(match offset(rest).ok()? {
        Some(minutes) => Stamp::Instant(AtMs(local.0 - minutes * 60_000)),
        None => Stamp::Local(local),
    })
}

/// Whether a text is a date and a time in any order.
#[must_use]
pub fn is_time(text: &str) -> bool {
    ALL.iter().any(|order| read(text, *order).is_some())
}

/// Whether it is a date alone.
#[must_use]
pub fn is_date(text: &str) -> bool {
    let whole = |o: &DateOrder| date(text, *o).is_some_and(|(_, rest)| rest.is_empty());
    text.len() >= 6 && ALL.iter().any(whole)
}

/// Whether it is a time of day alone.
#[must_use]
pub fn is_clock(text: &str) -> bool {
    clock(text).is_some_and(|(_, rest)| rest.trim().is_empty())
}

/// Whether a time states its distance from UTC.
#[must_use]
pub fn has_offset(text: &str) -> bool {
    ALL.iter()
        .any(|o| matches!(read(text, *o), Some(Stamp::Instant(_))))
}

/// The orders in which most of these times can be read; more than one where they are in doubt.
#[must_use]
pub fn orders(times: impl Iterator<Item = String>) -> Vec<DateOrder> {
    let mut counts = ALL.map(|order| (order, 0_usize));
    let mut by_name = true;
    for text in times {
        let mut readings: Vec<Option<Stamp>> = Vec::new();
        for (order, n) in &mut counts {
            let stamp = read(&text, *order);
            *n += usize::from(stamp.is_some());
            readings.push(stamp);
        }
        let mut all = readings.into_iter().flatten();
        let first = all.next();
        by_name &= all.all(|s| Some(s) == first);
    }
    let most = counts.iter().map(|(_, n)| *n).max().unwrap_or(0);
    let best = counts.into_iter().filter(|(_, n)| *n == most && most > 0);
    // Where all orders give the same instants, by names of months, one is as good as another.
    best.map(|(order, _)| order)
        .take(if by_name { 1 } else { ALL.len() })
        .collect()
}

/// The instant at which clocks of a zone show a time. Where they show it twice, the later one
/// if an earlier row has passed the first already; none where they skip it.
#[must_use]
pub fn on_site(zones: &dyn Zones, tz: &str, local: AtMs, before: Option<AtMs>) -> Option<AtMs> {
    // No zone is a day from UTC, so one of these offsets holds, or the clocks skip it.
    let offsets = [-24.0, 24.0].map(|h| zones.offset_min(tz, local.plus(Hours(h))));
    let mut fits: Vec<AtMs> = offsets
        .into_iter()
        .flatten()
        .map(|m| (AtMs(local.0.saturating_sub(i64::from(m) * 60_000)), m))
        .filter(|(at, m)| zones.offset_min(tz, *at) == Some(*m))
        .map(|(at, _)| at)
        .collect();
    fits.sort_unstable();
    fits.dedup();
    let after = fits.iter().find(|at| before.is_none_or(|b| **at > b));
    after.or(fits.last()).copied()
}
