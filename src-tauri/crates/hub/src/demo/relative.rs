//! Times relative to the present, as the demonstration site writes them.
//!
//! `now-2:05` is two hours and five minutes ago; `D-16 09:40` is 09:40 on the site's
//! clock, sixteen calendar days before today; a bare `D+1` is a date. In fields whose name
//! ends in `_ms` they become instants, in `date` a date; `@key` becomes the id of the
//! entry with that key.

use chrono::{
    DateTime, Days, LocalResult, NaiveDate, NaiveDateTime, NaiveTime, TimeDelta, TimeZone,
};
use chrono_tz::Tz;
use serde_json::{Map, Value};
use slowstone_curing::units::AtMs;
use std::collections::BTreeMap;

/// The present on the site's calendar.
#[derive(Clone, Copy, Debug)]
pub struct Today {
    now: AtMs,
    zone: Tz,
    date: NaiveDate,
}

impl Today {
    /// The day of `now` in `zone`.
    pub fn new(now: AtMs, zone: Tz) -> Self {
        let date = local(now, zone).date();
        Self { now, zone, date }
    }

    /// The site's time zone.
    pub fn zone(&self) -> Tz {
        self.zone
    }

    /// The present instant.
    pub fn now(&self) -> AtMs {
        self.now
    }

    /// The instant of `now-H:MM` or `D-N HH:MM`.
    pub fn instant(&self, text: &str) -> Result<AtMs, String> {
        let odd = || format!("{text:?} is neither now-H:MM nor D-N HH:MM");
        if let Some(back) = text.strip_prefix("now-") {
            let (h, m) = back.split_once(':').ok_or_else(odd)?;
            let (h, m): (i64, i64) = (h.parse().map_err(|_| odd())?, m.parse().map_err(|_| odd())?);
            return Ok(AtMs(self.now.0 - (h * 60 + m) * 60_000));
        }
        let (day, time) = text.split_once(' ').ok_or_else(odd)?;
        let time = NaiveTime::parse_from_str(time, "%H:%M").map_err(|_| odd())?;
        let local = self.day(day)?.and_time(time);
        let at = match self.zone.from_local_datetime(&local) {
            LocalResult::Single(t) | LocalResult::Ambiguous(t, _) => t.timestamp_millis(),
            // Clocks were put forward over it: an hour later there is a time again.
            LocalResult::None => {
                let later = self
                    .zone
                    .from_local_datetime(&(local + TimeDelta::hours(1)));
                later.earliest().ok_or_else(odd)?.timestamp_millis()
            }
        };
        Ok(AtMs(at))
    }

    /// The date of `D`, `D-N` or `D+N`.
    pub fn day(&self, text: &str) -> Result<NaiveDate, String> {
        let odd = || format!("{text:?} is not a day such as D-3");
        let rest = text.strip_prefix('D').ok_or_else(odd)?;
        let days = |n: &str| n.parse().map(Days::new).map_err(|_| odd());
        let day = match rest.split_at_checked(1) {
            None if rest.is_empty() => Some(self.date),
            Some(("-", n)) => self.date.checked_sub_days(days(n)?),
            Some(("+", n)) => self.date.checked_add_days(days(n)?),
            _ => None,
        };
        day.ok_or_else(odd)
    }

    /// An instant as a camera on the site writes it.
    pub fn exif(&self, at: AtMs) -> String {
        local(at, self.zone).format("%Y:%m:%d %H:%M:%S").to_string()
    }
}

fn local(at: AtMs, zone: Tz) -> NaiveDateTime {
    let utc = DateTime::from_timestamp_millis(at.0).unwrap_or_default();
    utc.with_timezone(&zone).naive_local()
}

/// Puts instants, dates and ids into a body, at any depth.
pub fn settle(
    value: Value,
    ids: &BTreeMap<String, String>,
    today: &Today,
) -> Result<Value, String> {
    match value {
        Value::Object(map) => {
            let mut out = Map::new();
            for (field, value) in map {
                let value = match value {
                    Value::String(text) if field.ends_with("_ms") => {
                        Value::from(today.instant(&text)?.0)
                    }
                    Value::String(text) if field == "date" => {
                        Value::from(today.day(&text)?.to_string())
                    }
                    other => settle(other, ids, today)?,
                };
                out.insert(field, value);
            }
            Ok(Value::Object(out))
        }
        Value::Array(items) => {
            let items: Result<Vec<Value>, String> =
                items.into_iter().map(|v| settle(v, ids, today)).collect();
            Ok(Value::Array(items?))
        }
        Value::String(text) => match text.strip_prefix('@') {
            Some(key) => ids
                .get(key)
                .map(|id| Value::from(id.clone()))
                .ok_or_else(|| format!("no entry has the key {key:?}")),
            None => Ok(Value::String(text)),
        },
        other => Ok(other),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn today() -> Today {
        // 2026-11-25T23:30:00Z, by `date -u`; in Oslo it is past midnight.
        Today::new(AtMs(1_795_649_400_000), chrono_tz::Europe::Oslo)
    }

    #[test]
    fn days_are_those_of_the_site() {
        assert_eq!(today().day("D").unwrap().to_string(), "2026-11-26");
        assert_eq!(today().day("D+7").unwrap().to_string(), "2026-12-03");
        // 2026-11-10T09:40 in Oslo (UTC+1) is 08:40Z: 1794300000 by `date -u`.
        assert_eq!(today().instant("D-16 09:40"), Ok(AtMs(1_794_300_000_000)));
        assert_eq!(
            today().instant("now-2:05"),
            Ok(AtMs(1_795_649_400_000 - 7_500_000))
        );
        assert_eq!(today().exif(AtMs(1_794_300_000_000)), "2026:11:10 09:40:00");
    }

    #[test]
    fn what_cannot_be_read_is_named() {
        for bad in [
            "now",
            "now-2",
            "D-3",
            "D-3 25:00",
            "D-x 10:00",
            "3 10:00",
            "",
            "Dø 10:00",
        ] {
            assert!(today().instant(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn ids_and_times_at_any_depth() {
        let ids = BTreeMap::from([("ochre".to_owned(), "01abc".to_owned())]);
        let body = json!({"additives": [{"additive": "@ochre", "amount": 2}], "date": "D-1"});
        let settled = settle(body, &ids, &today()).unwrap();
        assert_eq!(
            settled,
            json!({"additives": [{"additive": "01abc", "amount": 2}], "date": "2026-11-25"})
        );
        assert!(settle(json!({"pour": "@nobody"}), &ids, &today()).is_err());
    }
}
