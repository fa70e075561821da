//! Hourly air from a CSV file: a forecast that somebody saved, or a logger's own table.
//!
//! Columns are found by their headings, whatever their order: a time, a temperature, and
//! if there are any, humidity and wind. What a row lacks is left out; a row that cannot be
//! read is counted and named, and the others are taken. Storing is in [`crate::api`].

use chrono::{DateTime, LocalResult, NaiveDateTime, TimeZone};
use chrono_tz::Tz;
use slowstone_curing::units::AtMs;
use slowstone_logbook::facts::HourlyRow;

/// Rows of one file at most: a year of hours.
pub const MOST_ROWS: usize = 9000;

/// What a file holds.
#[derive(Debug, Default)]
pub struct Table {
    /// The rows that could be read, by time, one to an instant.
    pub rows: Vec<HourlyRow>,
    /// What could not be read: line of the file and why; the first ten.
    pub odd: Vec<String>,
    /// How many rows could not be read.
    pub odd_rows: usize,
}

/// From the unit of a column to ours.
type Convert = fn(f64) -> f64;

/// Where each column is, and in which unit.
struct Columns {
    time: usize,
    air: (usize, Convert),
    rh: Option<usize>,
    wind: Option<(usize, Convert)>,
}

/// Reads a table; times without an offset are in `zone`.
///
/// # Errors
/// Says in plain words which column is missing, or that nothing could be read.
pub fn read(bytes: &[u8], zone: Tz) -> Result<Table, String> {
    let text = String::from_utf8_lossy(bytes);
    let text = text.trim_start_matches('\u{feff}');
    let first = text.lines().next().unwrap_or_default();
    let count = |c: char| first.matches(c).count();
    let by = [';', '\t', ','].into_iter().max_by_key(|c| count(*c));
    let by = by.filter(|c| count(*c) > 0).unwrap_or(',');
    let mut lines = csv::ReaderBuilder::new()
        .delimiter(by as u8)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let odd = |e: csv::Error| format!("This is no table that can be read: {e}.");
    let columns = columns(lines.headers().map_err(odd)?)?;
    let mut table = Table::default();
    for line in lines.records() {
        let line = match line {
            Ok(line) => line,
            Err(e) => {
                table.note(format!("{e}"));
                continue;
            }
        };
        let at = line.position().map_or(0, csv::Position::line);
        match row(&line, &columns, zone) {
            Ok(row) => table.rows.push(row),
            Err(why) => table.note(format!("line {at}: {why}")),
        }
        if table.rows.len() > MOST_ROWS {
            return Err(format!(
                "This table has more than {MOST_ROWS} rows. Cut it to the months that matter."
            ));
        }
    }
    table.rows.sort_by_key(|r| r.at_ms);
    table.rows.dedup_by_key(|r| r.at_ms);
    if table.rows.is_empty() {
        let why = table.odd.first().cloned().unwrap_or_default();
        return Err(format!(
            "No row of this table could be read. {why} A time such as 2026-10-14 13:00 and a number are needed."
        ));
    }
    Ok(table)
}

impl Table {
    fn note(&mut self, why: String) {
        self.odd_rows += 1;
        if self.odd.len() < 10 {
            self.odd.push(why);
        }
    }
}

/// Finds the columns by their headings.
fn columns(heads: &csv::StringRecord) -> Result<Columns, String> {
    let heads: Vec<String> = heads.iter().map(str::to_lowercase).collect();
    let find = |words: &[&str]| {
        heads
            .iter()
            .position(|h| words.iter().any(|w| h.contains(w)))
    };
    let missing = |what: &str| {
        format!(
            "No column for the {what} was found among: {}. Name one of them so.",
            heads.join(", ")
        )
    };
    let time = find(&["time", "date", "valid", "hour"]).ok_or_else(|| missing("time"))?;
    let air = find(&["temp", "air", "t2m", "°c", "°f"]).ok_or_else(|| missing("temperature"))?;
    let head = |i: usize| heads.get(i).map_or("", String::as_str);
    let fahrenheit = |h: &str| {
        let h = h.replace(['(', ')', '[', ']'], " ");
        h.contains("°f")
            || h.contains("fahr")
            || h.ends_with("_f")
            || h.split_whitespace().any(|w| w == "f")
    };
    let wind = find(&["wind"]).map(|i| {
        let to_km_h: Convert = match head(i) {
            h if h.contains("m/s") || h.contains("ms") || h.contains("mps") => |x| x * 3.6,
            h if h.contains("mph") || h.contains("mi/h") => |x| x * 1.609_344,
            h if h.contains("kn") || h.contains("kt") => |x| x * 1.852,
            _ => |x| x,
        };
        (i, to_km_h)
    });
    Ok(Columns {
        time,
        air: (
            air,
            if fahrenheit(head(air)) {
                |x| (x - 32.0) / 1.8
            } else {
                |x| x
            },
        ),
        rh: find(&["humid", "rh"]),
        wind,
    })
}

fn row(line: &csv::StringRecord, columns: &Columns, zone: Tz) -> Result<HourlyRow, String> {
    let cell = |i: usize| line.get(i).unwrap_or_default();
    let number = |i: usize| {
        cell(i)
            .replace(',', ".")
            .parse::<f64>()
            .ok()
            .filter(|x| x.is_finite())
    };
    let at_ms = instant(cell(columns.time), zone)
        .ok_or_else(|| format!("{:?} is no time", cell(columns.time)))?;
    let (air, to_c) = columns.air;
    let air_c = number(air).ok_or_else(|| format!("{:?} is no temperature", cell(air)))?;
    Ok(HourlyRow {
        at_ms,
        air_c: to_c(air_c),
        rh_pct: columns.rh.and_then(number),
        wind_kmh: columns.wind.and_then(|(i, to_km_h)| number(i).map(to_km_h)),
    })
}

/// An instant from the ways in which tables write it.
fn instant(text: &str, zone: Tz) -> Option<AtMs> {
    if let Ok(t) = DateTime::parse_from_rfc3339(text) {
        return Some(AtMs(t.timestamp_millis()));
    }
    if let Ok(s) = text.parse::<i64>() {
        // Seconds or milliseconds since 1970.
        return Some(AtMs(if s > 100_000_000_000 {
            s
        } else {
            s.checked_mul(1000)?
        }));
    }
    let ways = [
        "%Y-%m-%dT%H:%M",
        "%Y-%m-%dT%H:%M:%S",
        "%Y-%m-%d %H:%M",
        "%Y-%m-%d %H:%M:%S",
        "%d.%m.%Y %H:%M",
        "%d.%m.%Y %H:%M:%S",
        "%Y/%m/%d %H:%M",
        "%m/%d/%Y %H:%M",
    ];
    let local = ways
        .iter()
        .find_map(|w| NaiveDateTime::parse_from_str(text, w).ok())?;
    match zone.from_local_datetime(&local) {
        LocalResult::Single(t) | LocalResult::Ambiguous(t, _) => Some(AtMs(t.timestamp_millis())),
        // An hour that the clocks skip is no hour.
        LocalResult::None => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(text: &str) -> Result<Table, String> {
        read(text.as_bytes(), chrono_tz::Europe::Oslo)
    }

    #[test]
    fn tables_as_services_and_loggers_write_them() {
        let t = table("time,temperature_2m (°C),relative_humidity_2m (%),wind_speed_10m (km/h)\n2026-10-14T13:00,11.5,70,9\n2026-10-14T14:00,12.0,,8\n").unwrap();
        // 13:00 in Oslo in October is 11:00 UTC.
        assert_eq!(t.rows[0].at_ms, AtMs(1_791_975_600_000));
        assert_eq!(
            (t.rows[0].air_c, t.rows[0].rh_pct, t.rows[1].rh_pct),
            (11.5, Some(70.0), None)
        );
        let t = table("\u{feff}Date/Time;Temp [F];RH;Wind m/s\n14.10.2026 13:00;50,0;80;2,5\n")
            .unwrap();
        assert!((t.rows[0].air_c - 10.0).abs() < 1e-9);
        assert_eq!(
            (t.rows[0].wind_kmh, t.rows[0].rh_pct),
            (Some(9.0), Some(80.0))
        );
        let t = table("valid_utc\tair_c\n2026-10-14T11:00:00Z\t4\n1791979200\t5\n").unwrap();
        assert_eq!(t.rows[1].at_ms.0 - t.rows[0].at_ms.0, 3_600_000);
    }

    #[test]
    fn odd_rows_are_named_and_the_rest_is_taken() {
        let t = table("time,temp\n2026-10-14 13:00,8\nsoon,9\n2026-10-14 14:00,warm\n").unwrap();
        assert_eq!((t.rows.len(), t.odd_rows), (1, 2));
        assert!(
            t.odd[0].contains("line 3") && t.odd[0].contains("soon"),
            "{:?}",
            t.odd
        );
        // The night in which the clocks go forward has no 02:30.
        let t = table("time,temp\n2026-03-29 02:30,8\n2026-03-29 03:30,8\n").unwrap();
        assert_eq!(t.rows.len(), 1);
    }

    #[test]
    fn what_is_no_table_is_said() {
        for (text, says) in [
            ("", "time"),
            ("a,b\n1,2\n", "time"),
            ("time,rain\n2026-10-14 13:00,1\n", "temperature"),
            ("time,temp\nx,y\n", "No row"),
        ] {
            let why = table(text).unwrap_err();
            assert!(why.contains(says), "{text}: {why}");
        }
        assert!(read(&[0xff, 0xfe, 0, 1], Tz::UTC).is_err());
    }
}
