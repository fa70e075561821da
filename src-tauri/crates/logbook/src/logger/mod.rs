//! Tables of loggers and weather services: what is in a file, and what becomes of it.
//!
//! Two steps, so that nothing is taken in by a guess: [`look`] splits a file into columns and
//! says what each may be by its heading; a person confirms or changes that ([`Columns`]), and
//! [`take`] reads the rows by it. [`cells`] splits, [`times`] reads dates, [`units`] numbers,
//! [`guess`] headings. Pure: the hub and the phone read a file alike.

pub mod cells;
pub mod guess;
pub mod times;
pub mod units;

use crate::facts::HourlyRow;
use crate::zones::Zones;
use cells::Cells;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use slowstone_curing::predict::ConcretePlace;
use slowstone_curing::units::AtMs;
use std::collections::BTreeMap;
use times::{DateOrder, Stamp};
use units::{Cell, Decimal, LoggerUnit, Measure};

/// Most bytes of a file.
pub const MOST_BYTES: usize = 8 << 20;
/// Most rows of a series after thinning: a year of hours.
const MOST_ROWS: usize = 9000;
/// Rows in one entry of the log.
const PART: usize = 400;
/// Lines that are told one by one of those that cannot be read.
const TOLD: usize = 20;
/// Rows that stand in a preview.
const SHOWN: usize = 5;
/// Closer values are drawn together to their mean over as many minutes; where that leaves too
/// many rows, over the next.
const TOGETHER_MIN: [i64; 4] = [5, 15, 30, 60];

/// What is in a file, before anything is taken of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Preview {
    /// Its columns.
    pub columns: Vec<ColumnSeen>,
    /// The first rows of values.
    pub rows: Vec<Vec<String>>,
    /// How many rows of values there are.
    pub count: u32,
    /// What the file seems to hold: a proposal, to be confirmed.
    pub guess: Columns,
    /// Orders of the date that the times can be read in; with more than one a person must say.
    pub orders: Vec<DateOrder>,
    /// Times state their own distance from UTC, so that the zone of the site is not asked.
    pub own_offset: bool,
}

/// One column.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ColumnSeen {
    /// Its heading; empty if it has none.
    pub heading: String,
    /// How many of its cells are numbers.
    pub numbers: u32,
}

/// What the columns of a file are, as a person confirmed it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Columns {
    /// The column of the date, or of date and time; from 0.
    pub date: usize,
    /// The column of the time of day, if it stands apart.
    #[serde(default)]
    pub clock: Option<usize>,
    /// How dates are written; none: not known, which must be said before rows are taken.
    #[serde(default)]
    pub order: Option<DateOrder>,
    /// Minutes that the logger's clock is ahead of UTC, where it is not the site's.
    #[serde(default)]
    pub offset_min: Option<i32>,
    /// What stands before the decimals.
    pub decimal: Decimal,
    /// What each column of values is.
    pub values: Vec<ValueColumn>,
}

/// A column of values.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ValueColumn {
    /// Which; from 0.
    pub column: usize,
    /// What was measured.
    pub measure: Measure,
    /// In which unit.
    pub unit: LoggerUnit,
}

/// What was taken of a file.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Taken {
    /// Air, rain and wind, by time.
    pub air: Vec<HourlyRow>,
    /// Concrete, by the place of the probe.
    pub concrete: Vec<(ConcretePlace, Vec<HourlyRow>)>,
    /// Rows of the file that were read.
    pub read: u32,
    /// Values closer than this many minutes were drawn together; none: all stand as they were.
    pub together_min: Option<u32>,
    /// The first of the lines that could not be read.
    pub odd: Vec<OddLine>,
    /// How many could not be read.
    pub odd_count: u32,
}

/// A line that could not be read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct OddLine {
    /// Its number in the file, from 1.
    pub line: u32,
    /// What is wrong with it.
    pub why: LineWhy,
    /// The text that could not be read.
    pub text: String,
}

/// What is wrong with a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum LineWhy {
    /// No time in the order that was said.
    NoTime,
    /// The clocks of the zone skip this time.
    SkippedTime,
    /// No number where one was looked for.
    NoNumber,
    /// A value that cannot be.
    OutOfRange,
    /// The same time as an earlier line, with other values.
    SameTime,
}

/// Why nothing can be taken of a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum NoTable {
    /// More than [`MOST_BYTES`].
    TooLong,
    /// No rows with a time and a number.
    NoRows,
    /// It was not said how dates are written.
    OrderNeeded,
    /// It was not said what any column is, or a column that is not there, or one twice.
    ColumnsNeeded,
    /// A unit that does not belong to what was measured.
    WrongUnit,
    /// Not one line could be read as was said.
    NothingRead,
    /// Longer than a year of hours.
    TooManyRows,
}

/// What is in a file.
///
/// # Errors
/// [`NoTable::TooLong`] and [`NoTable::NoRows`].
pub fn look(bytes: &[u8]) -> Result<Preview, NoTable> {
    let cells = Cells::of(bytes)?;
    let (date, clock) = cells.time.ok_or(NoTable::NoRows)?;
    let decimal = cells.decimal();
    let stamps = || cells.rows.iter().map(|r| r.stamp(date, clock));
    let orders = times::orders(stamps());
    let columns: Vec<ColumnSeen> = (0..cells.width)
        .map(|c| ColumnSeen {
            heading: cells.heading(c),
            numbers: count(
                cells
                    .rows
                    .iter()
                    .filter(|r| matches!(units::read(r.cell(c), decimal), Cell::Number(_))),
            ),
        })
        .collect();
    let values = columns
        .iter()
        .enumerate()
        .filter(|(c, seen)| *c != date && Some(*c) != clock && seen.numbers > 0);
    let values = values.filter_map(|(column, seen)| {
        let (measure, unit) = guess::by_heading(&seen.heading)?;
        Some(ValueColumn {
            column,
            measure,
            unit,
        })
    });
    let mut guess = Columns {
        date,
        clock,
        order: match orders.as_slice() {
            [one] => Some(*one),
            _ => None,
        },
        offset_min: None,
        decimal,
        values: Vec::new(),
    };
    for v in values {
        // Of two columns for one thing the first is proposed.
        if guess.values.iter().all(|g| g.measure != v.measure) {
            guess.values.push(v);
        }
    }
    Ok(Preview {
        rows: cells
            .rows
            .iter()
            .take(SHOWN)
            .map(|r| (0..cells.width).map(|c| r.cell(c).to_owned()).collect())
            .collect(),
        count: count(cells.rows.iter()),
        own_offset: stamps().any(|s| times::has_offset(&s)),
        columns,
        orders,
        guess,
    })
}

fn count<T>(of: impl Iterator<Item = T>) -> u32 {
    u32::try_from(of.count()).unwrap_or(u32::MAX)
}

/// Reads the rows of a file as was confirmed; `tz` is the zone of the site.
///
/// # Errors
/// Says what is missing in `columns`, or that no line fits it.
pub fn take(
    bytes: &[u8],
    columns: &Columns,
    zones: &dyn Zones,
    tz: &str,
) -> Result<Taken, NoTable> {
    let cells = Cells::of(bytes)?;
    let order = columns.order.ok_or(NoTable::OrderNeeded)?;
    check(columns, cells.width)?;
    let mut taken = Taken::default();
    let mut series: BTreeMap<Measure, BTreeMap<i64, f64>> = BTreeMap::new();
    let mut before: Option<AtMs> = None;
    for row in &cells.rows {
        let written = row.stamp(columns.date, columns.clock);
        if written.is_empty() {
            // A footer, or a line of nothing.
            continue;
        }
        let at = match times::read(&written, order) {
            None => Err(LineWhy::NoTime),
            Some(Stamp::Instant(at)) => Ok(at),
            Some(Stamp::Local(local)) => match columns.offset_min {
                Some(m) => Ok(AtMs(local.0.saturating_sub(i64::from(m) * 60_000))),
                None => times::on_site(zones, tz, local, before).ok_or(LineWhy::SkippedTime),
            },
        };
        let at = match at {
            Ok(at) => at,
            Err(why) => {
                taken.note(row.line, why, &written);
                continue;
            }
        };
        before = Some(at);
        let mut any = false;
        for v in &columns.values {
            let text = row.cell(v.column);
            match units::read(text, columns.decimal) {
                Cell::Missing => {}
                Cell::Odd => taken.note(row.line, LineWhy::NoNumber, text),
                Cell::Number(x) => {
                    let kept = v.unit.convert(x);
                    if !v.measure.can_be(kept) {
                        taken.note(row.line, LineWhy::OutOfRange, text);
                        continue;
                    }
                    any = true;
                    let values = series.entry(v.measure).or_default();
                    match values.get(&at.0) {
                        Some(was) if (was - kept).abs() > 1e-9 => {
                            taken.note(row.line, LineWhy::SameTime, &written);
                        }
                        Some(_) => {}
                        None => {
                            values.insert(at.0, kept);
                        }
                    }
                }
            }
        }
        taken.read += u32::from(any);
    }
    if series.values().all(BTreeMap::is_empty) {
        return Err(NoTable::NothingRead);
    }
    taken.fill(series)?;
    Ok(taken)
}

fn check(columns: &Columns, width: usize) -> Result<(), NoTable> {
    let time = |c: usize| c == columns.date || Some(c) == columns.clock;
    let times_there = columns.date < width && columns.clock.is_none_or(|c| c < width);
    if columns.values.is_empty() || !times_there {
        return Err(NoTable::ColumnsNeeded);
    }
    for (i, v) in columns.values.iter().enumerate() {
        let twice = columns.values.iter().take(i);
        let twice = twice
            .clone()
            .any(|w| w.measure == v.measure || w.column == v.column);
        if v.column >= width || time(v.column) || twice {
            return Err(NoTable::ColumnsNeeded);
        }
        if !v.measure.units().contains(&v.unit) {
            return Err(NoTable::WrongUnit);
        }
    }
    Ok(())
}

impl Taken {
    fn note(&mut self, line: u32, why: LineWhy, text: &str) {
        self.odd_count += 1;
        if self.odd.len() < TOLD {
            self.odd.push(OddLine {
                line,
                why,
                text: text.chars().take(60).collect(),
            });
        }
    }

    /// Puts the series together to rows, thinned where they are close.
    fn fill(&mut self, series: BTreeMap<Measure, BTreeMap<i64, f64>>) -> Result<(), NoTable> {
        let mut longest = series.values().map(BTreeMap::len).max().unwrap_or(0);
        let close = series
            .values()
            .any(|s| least_gap_ms(s) < TOGETHER_MIN[0] * 60_000);
        let mut thinned = series;
        if close || longest > MOST_ROWS {
            for minutes in TOGETHER_MIN {
                self.together_min = u32::try_from(minutes).ok();
                for values in thinned.values_mut() {
                    *values = together(values, minutes * 60_000);
                }
                longest = thinned.values().map(BTreeMap::len).max().unwrap_or(0);
                if longest <= MOST_ROWS {
                    break;
                }
            }
        }
        if longest > MOST_ROWS {
            return Err(NoTable::TooManyRows);
        }
        let mut air: BTreeMap<i64, HourlyRow> = BTreeMap::new();
        for (measure, values) in thinned {
            if let Some(place) = measure.place() {
                let rows = values.into_iter().map(|(at, x)| HourlyRow {
                    concrete_c: Some(x),
                    ..HourlyRow::at(AtMs(at))
                });
                self.concrete.push((place, rows.collect()));
                continue;
            }
            for (at, x) in values {
                let row = air.entry(at).or_insert_with(|| HourlyRow::at(AtMs(at)));
                match measure {
                    Measure::Air => row.air_c = Some(x),
                    Measure::Rh => row.rh_pct = Some(x),
                    Measure::Wind => row.wind_kmh = Some(x),
                    _ => row.rain_mm_h = Some(x),
                }
            }
        }
        self.air = air.into_values().collect();
        Ok(())
    }

    /// The entries of the log that hold what was taken: their bodies, of kind `hourly`. What was
    /// measured in concrete needs `pour`.
    #[must_use]
    pub fn bodies(&self, source: &str, pour: Option<&str>) -> Vec<Value> {
        let air = self.air.chunks(PART);
        let air = air.map(|rows| json!({"source": source, "rows": rows}));
        let concrete = self.concrete.iter().flat_map(|(place, rows)| {
            rows.chunks(PART).map(
                move |rows| json!({"source": source, "rows": rows, "pour": pour, "place": place}),
            )
        });
        air.chain(concrete).collect()
    }
}

/// The least distance from one value to the next. A part of a file that is closer than the rest
/// would weigh more in what is carried on from it, so that one close pair is enough.
fn least_gap_ms(values: &BTreeMap<i64, f64>) -> i64 {
    let times = || values.keys().copied();
    let gaps = times()
        .zip(times().skip(1))
        .map(|(a, b)| b.saturating_sub(a));
    gaps.min().unwrap_or(i64::MAX)
}

/// Means over spans of `span_ms`: of the values and of their times, so that a line through them
/// is where the line through all of them was. What stands alone in its span stays as it is.
fn together(values: &BTreeMap<i64, f64>, span_ms: i64) -> BTreeMap<i64, f64> {
    let mut spans: BTreeMap<i64, (i64, i64, f64)> = BTreeMap::new();
    for (at, x) in values {
        let span = at.div_euclid(span_ms);
        let (n, after, sum) = spans.entry(span).or_default();
        *n += 1;
        *after += at.rem_euclid(span_ms);
        *sum += x;
    }
    spans
        .into_iter()
        .map(|(span, (n, after, sum))| {
            let at = span
                .saturating_mul(span_ms)
                .saturating_add(after / n.max(1));
            // As a logger writes it: the mean of several is no surer than a thousandth.
            (at, libm::round(sum / n.max(1) as f64 * 1000.0) / 1000.0)
        })
        .collect()
}
