//! The record as tables: a zip of CSV files, one for each kind, for a spreadsheet.
//!
//! Records as they stand after corrections. Columns are the fields of the log with their
//! units in the name; times are ISO 8601 in the site's time zone. What begins like a formula
//! gets an apostrophe before it (OWASP, "CSV injection"). RFC 4180.

use super::ways::Ways;
use super::{Gathered, Wanted, places};
use serde::Serialize;
use serde_json::{Map, Value};
use slowstone_curing::units::AtMs;
use slowstone_logbook::facts::Fact;
use slowstone_logbook::view::Rec;
use std::io::{self, Write};
use zip::write::{SimpleFileOptions, ZipWriter};

/// A row: fields in order.
type Row = Vec<(String, String)>;

/// Writes the zip.
///
/// # Errors
/// If the reader went away, or a record cannot be written as a row.
pub fn write<W: Write>(of: &Gathered, wanted: &Wanted, ways: &Ways, to: W) -> io::Result<()> {
    let mut zip = ZipWriter::new_stream(to);
    let options = SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    for (name, rows) in tables(of, wanted, ways)? {
        zip.start_file(format!("{name}.csv"), options)?;
        zip.write_all(&csv(&rows)?)?;
    }
    // Not before this is everything written: a full disk may show only here.
    zip.finish()?.flush()
}

/// Every table with its name.
fn tables(
    of: &Gathered,
    wanted: &Wanted,
    ways: &Ways,
) -> io::Result<Vec<(&'static str, Vec<Row>)>> {
    let make = Make {
        gps: wanted.gps,
        ways,
    };
    let s = &of.site;
    let mut milestones = Vec::new();
    for pour in &of.pours {
        for m in &pour.milestones {
            let mut row = vec![("pour".to_owned(), pour.pour.id.clone())];
            row.push((
                "name".to_owned(),
                ways.name_of(pour.card.step_number, &pour.card.name),
            ));
            make.fields(&mut row, serde_json::to_value(m)?);
            row.retain(|(key, _)| key != "reasons");
            milestones.push(row);
        }
    }
    let photos = of.pours.iter().flat_map(|p| &p.photos);
    let photos = photos.chain(s.steps.iter().flat_map(|x| &x.photos));
    let photos = make.all(photos.chain(&s.loose_photos))?;
    let mut colours = Vec::new();
    for piece in of.colours.iter().flat_map(|c| &c.pieces) {
        for measured in &piece.measured {
            let mut row = vec![("pour".to_owned(), piece.pour.clone())];
            make.fields(&mut row, serde_json::to_value(measured)?);
            colours.push(row);
        }
    }
    let batches = of.pours.iter().flat_map(|p| &p.batches);
    let observations = of.pours.iter().flat_map(|p| &p.observations);
    Ok(vec![
        ("site", vec![make.row(&s.site)?]),
        ("flights", make.all(&s.flights)?),
        ("steps", make.all(s.steps.iter().map(|x| &x.step))?),
        ("mixes", make.all(&s.mixes)?),
        ("additives", make.all(&s.additives)?),
        ("forms", make.all(&s.forms)?),
        ("liners", make.all(&s.liners)?),
        ("pours", make.all(of.pours.iter().map(|p| &p.pour))?),
        ("batches", make.all(batches)?),
        ("readings", readings(of, &make)?),
        ("observations", make.all(observations)?),
        ("milestones", milestones),
        ("photos", photos),
        ("colours", colours),
    ])
}

/// Every reading of the site once, by its time: those of pours and those of the weather.
fn readings(of: &Gathered, make: &Make<'_>) -> io::Result<Vec<Row>> {
    let mut all: Vec<(AtMs, Row)> = Vec::new();
    let mut seen = std::collections::BTreeSet::new();
    let of_pours = of.pours.iter().flat_map(|p| &p.readings);
    for reading in of_pours.chain(&of.site.weather) {
        if seen.insert(reading.id.as_str()) {
            all.push((reading.fact.at_ms, make.row(reading)?));
        }
    }
    // The view of a site holds its newest weather only; what is older stands in the entries.
    let touched = |id: &str| {
        let targets = of
            .events
            .iter()
            .filter_map(|e| e.body.get("target")?.as_str());
        targets.into_iter().any(|t| t == id)
    };
    for event in of
        .events
        .iter()
        .filter(|e| e.kind == "reading" && !seen.contains(e.id.as_str()))
    {
        if let Ok(Some(Fact::Reading(fact))) = Fact::parse(&event.kind, &event.body)
            && !touched(&event.id)
        {
            let rec = Rec {
                id: event.id.clone(),
                fact,
                by: event.by.clone(),
                at_ms: event.logged(),
                edited: false,
                entered_by: None,
            };
            all.push((rec.fact.at_ms, make.row(&rec)?));
        }
    }
    all.sort_by_key(|(at, _)| *at);
    Ok(all.into_iter().map(|(_, row)| row).collect())
}

struct Make<'a> {
    gps: bool,
    ways: &'a Ways,
}

impl Make<'_> {
    fn all<'r, T: Serialize + 'r>(
        &self,
        records: impl IntoIterator<Item = &'r Rec<T>>,
    ) -> io::Result<Vec<Row>> {
        records.into_iter().map(|r| self.row(r)).collect()
    }

    fn row<T: Serialize>(&self, rec: &Rec<T>) -> io::Result<Row> {
        let mut row = vec![("id".to_owned(), rec.id.clone())];
        let mut fact = serde_json::to_value(&rec.fact)?;
        if !self.gps {
            places::take_out(&mut fact);
        }
        self.fields(&mut row, fact);
        row.push(("logged_by".to_owned(), rec.by.clone()));
        let entered_by = rec.entered_by.clone().unwrap_or_default();
        row.push(("entered_by".to_owned(), entered_by));
        row.push(("logged".to_owned(), self.time(rec.at_ms.0)));
        row.push(("corrected".to_owned(), rec.edited.to_string()));
        Ok(row)
    }

    fn fields(&self, row: &mut Row, value: Value) {
        let Value::Object(map) = value else { return };
        for (key, value) in map {
            self.field(row, &key, value);
        }
    }

    fn field(&self, row: &mut Row, key: &str, value: Value) {
        match value {
            Value::Object(inner) if is_span(&inner) => {
                for (end, at) in inner {
                    let at = at.as_i64().map_or_else(String::new, |ms| self.time(ms));
                    row.push((format!("{key}_{end}"), at));
                }
            }
            Value::Number(n) if is_time(key) => {
                let at = n.as_i64().map_or_else(String::new, |ms| self.time(ms));
                row.push((key.trim_end_matches("_ms").to_owned(), at));
            }
            Value::Null => row.push((key.trim_end_matches("_ms").to_owned(), String::new())),
            Value::String(text) => row.push((key.to_owned(), text)),
            other => row.push((key.to_owned(), other.to_string())),
        }
    }

    fn time(&self, ms: i64) -> String {
        self.ways.time(AtMs(ms), "%Y-%m-%dT%H:%M:%S%:z")
    }
}

fn is_time(key: &str) -> bool {
    key.ends_with("_ms") || key == "seen"
}

/// Early, likely and late.
fn is_span(map: &Map<String, Value>) -> bool {
    map.len() == 3
        && ["early", "likely", "late"]
            .iter()
            .all(|k| map.contains_key(*k))
}

/// Rows as CSV under the columns that any of them has.
fn csv(rows: &[Row]) -> io::Result<Vec<u8>> {
    let mut head: Vec<&str> = Vec::new();
    for (key, _) in rows.iter().flatten() {
        if !head.contains(&key.as_str()) {
            head.push(key);
        }
    }
    let mut out = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    if !head.is_empty() {
        out.write_record(&head)?;
    }
    for row in rows {
        let cell = |column: &&str| {
            let found = row.iter().find(|(key, _)| key == column);
            found.map_or_else(String::new, |(_, value)| harmless(value))
        };
        out.write_record(head.iter().map(cell))?;
    }
    out.into_inner()
        .map_err(|e| io::Error::other(e.to_string()))
}

/// A text that no spreadsheet takes for a formula; numbers stay numbers.
fn harmless(value: &str) -> String {
    let formula =
        value.starts_with(['=', '+', '-', '@', '\t', '\r']) && value.parse::<f64>().is_err();
    if formula {
        format!("'{value}")
    } else {
        value.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_gathered_and_formulas_are_harmless() {
        let row = |pairs: &[(&str, &str)]| {
            pairs
                .iter()
                .map(|(k, v)| ((*k).to_owned(), (*v).to_owned()))
                .collect::<Row>()
        };
        let rows = [
            row(&[("id", "a"), ("note", "=1+1")]),
            row(&[("id", "b"), ("air_c", "-2.5")]),
        ];
        let text = String::from_utf8(csv(&rows).unwrap()).unwrap();
        assert_eq!(text, "id,note,air_c\r\na,'=1+1,\r\nb,,-2.5\r\n");
    }

    #[test]
    fn a_record_that_cannot_be_written_is_said_and_no_empty_row() {
        struct Unwritable;
        impl Serialize for Unwritable {
            fn serialize<S: serde::Serializer>(&self, _: S) -> Result<S::Ok, S::Error> {
                Err(serde::ser::Error::custom("no such number in JSON"))
            }
        }
        let ways = Ways {
            words: slowstone_wording::words::Words::of("en"),
            units: slowstone_logbook::facts::Units::Metric,
            tz: chrono_tz::Tz::UTC,
        };
        let make = Make {
            gps: false,
            ways: &ways,
        };
        let rec = Rec {
            id: "mix-00001".to_owned(),
            fact: Unwritable,
            by: "Hanne".to_owned(),
            at_ms: AtMs(0),
            edited: false,
            entered_by: None,
        };
        let no = make.all([&rec]).unwrap_err();
        assert!(no.to_string().contains("no such number"), "{no}");
    }
}
