//! From bytes to cells: the alphabet of a file, its lines, what parts its cells, its headings.
//!
//! Loggers write what they are before the values and a summary behind them; both are left out
//! by looking for rows with a time and a number. What a cell means is in [`super::times`] and
//! [`super::units`].

use super::units::{self, Cell, Decimal};
use super::{MOST_BYTES, NoTable, times};

/// Headings stand in at most this many lines: names, units, and how a value was made.
const MOST_HEADS: usize = 3;

/// A file in cells.
#[derive(Clone, Debug)]
pub struct Cells {
    /// The headings, line by line.
    heads: Vec<Vec<String>>,
    /// Rows of values.
    pub rows: Vec<Row>,
    /// Columns of the widest row.
    pub width: usize,
    /// Where the time stands: date, and time of day if it stands apart.
    pub time: Option<(usize, Option<usize>)>,
    parted_by: char,
}

/// One line of values.
#[derive(Clone, Debug)]
pub struct Row {
    /// Its number in the file, from 1.
    pub line: u32,
    cells: Vec<String>,
}

impl Row {
    /// A cell; empty where the line has none.
    #[must_use]
    pub fn cell(&self, column: usize) -> &str {
        self.cells.get(column).map_or("", String::as_str)
    }

    /// The time as it is written: one cell, or two with a blank between.
    #[must_use]
    pub fn stamp(&self, date: usize, clock: Option<usize>) -> String {
        let clock = clock.map_or("", |c| self.cell(c));
        format!("{} {clock}", self.cell(date)).trim().to_owned()
    }
}

/// The text of a file: UTF-8 or UTF-16 by its byte order mark or its zeros, else Windows-1252
/// as far as it is Latin-1.
#[must_use]
pub fn text(bytes: &[u8]) -> String {
    let wide = |pairs: &[u8], whole: fn([u8; 2]) -> u16| {
        let units = pairs
            .chunks_exact(2)
            .filter_map(|p| Some(whole([*p.first()?, *p.get(1)?])));
        let read = char::decode_utf16(units);
        read.map(|c| c.unwrap_or(char::REPLACEMENT_CHARACTER))
            .collect()
    };
    match bytes {
        [0xff, 0xfe, rest @ ..] => wide(rest, u16::from_le_bytes),
        [0xfe, 0xff, rest @ ..] => wide(rest, u16::from_be_bytes),
        [0xef, 0xbb, 0xbf, rest @ ..] => String::from_utf8_lossy(rest).into_owned(),
        // Without a mark: plain letters in 16 bits have a zero at each second place.
        [a, 0, b, 0, ..] if *a != 0 && *b != 0 => wide(bytes, u16::from_le_bytes),
        [0, a, 0, b, ..] if *a != 0 && *b != 0 => wide(bytes, u16::from_be_bytes),
        _ => match str::from_utf8(bytes) {
            Ok(text) => text.to_owned(),
            Err(_) => bytes.iter().map(|b| char::from(*b)).collect(),
        },
    }
}

/// The lines of a text in cells.
fn split(text: &str, by: char) -> Vec<Row> {
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(by as u8)
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    reader
        .records()
        .filter_map(Result::ok)
        .map(|r| Row {
            line: r
                .position()
                .map_or(0, |p| u32::try_from(p.line()).unwrap_or(u32::MAX)),
            cells: r.iter().map(str::to_owned).collect(),
        })
        .collect()
}

/// Whether a cell is a number, with a point or a comma.
fn number(text: &str) -> bool {
    let read = |decimal| matches!(units::read(text, decimal), Cell::Number(_));
    !text.is_empty() && (read(Decimal::Point) || read(Decimal::Comma))
}

/// Where the time of a row stands: a cell that is a date and a time, or a date and, in a
/// further cell, a time of day. Numbers since 1970 count only in the first cells.
fn time_of(row: &Row) -> Option<(usize, Option<usize>)> {
    let cells = || row.cells.iter().enumerate();
    let whole = cells().find(|(i, c)| {
        let epoch = c.bytes().all(|b| b.is_ascii_digit() || b == b'.');
        times::is_time(c) && (!epoch || *i < 3)
    });
    if let Some((i, _)) = whole {
        return Some((i, None));
    }
    let (date, _) = cells().find(|(_, c)| times::is_date(c))?;
    let clock = cells().find(|(i, c)| *i != date && times::is_clock(c))?;
    Some((date, Some(clock.0)))
}

impl Cells {
    /// Splits a file.
    ///
    /// # Errors
    /// If it is too long, or has no row with a time and a number.
    pub fn of(bytes: &[u8]) -> Result<Cells, NoTable> {
        if bytes.len() > MOST_BYTES {
            return Err(NoTable::TooLong);
        }
        let text = text(bytes);
        let text = text.trim_start_matches('\u{feff}');
        // What parts the cells is what gives the most rows with a time and numbers; of two
        // alike the one that is seldom used otherwise.
        let best = [';', '\t', ',']
            .into_iter()
            .map(|by| Self::parted(text, by));
        let best = best.reduce(|a, b| if b.score() > a.score() { b } else { a });
        best.filter(|c| !c.rows.is_empty()).ok_or(NoTable::NoRows)
    }

    fn score(&self) -> usize {
        self.rows.len()
    }

    fn parted(text: &str, by: char) -> Cells {
        let all = split(text, by);
        let mut places: Vec<((usize, Option<usize>), usize)> = Vec::new();
        for row in &all {
            let Some(place) = time_of(row) else { continue };
            match places.iter_mut().find(|(p, _)| *p == place) {
                Some((_, n)) => *n += 1,
                None => places.push((place, 1)),
            }
        }
        let time = places.iter().max_by_key(|(_, n)| *n).map(|(p, _)| *p);
        let of_values = |row: &Row| {
            let Some((date, clock)) = time else {
                return false;
            };
            let value = |(i, c): (usize, &String)| i != date && Some(i) != clock && number(c);
            time_of(row) == time && row.cells.iter().enumerate().any(value)
        };
        let first = all.iter().position(of_values).unwrap_or(all.len());
        let width = all
            .iter()
            .skip(first)
            .map(|r| r.cells.len())
            .max()
            .unwrap_or(0);
        let mut heads: Vec<Vec<String>> = all
            .iter()
            .take(first)
            .rev()
            .take(MOST_HEADS)
            .take_while(|r| {
                r.cells.len() + 1 >= width && width > 1 && !r.cells.iter().any(|c| number(c))
            })
            .map(|r| r.cells.clone())
            .collect();
        heads.reverse();
        // Behind the first row all that could be values is kept, so that a line that cannot be
        // read is told by its number; a footer has no cell where the time stands, or but one.
        let rows = all
            .into_iter()
            .skip(first)
            .filter(|r| r.cells.iter().filter(|c| !c.is_empty()).count() > 1);
        Cells {
            heads,
            rows: rows.collect(),
            width,
            time,
            parted_by: by,
        }
    }

    /// The heading of a column: its name, unit and the like, one behind the other.
    #[must_use]
    pub fn heading(&self, column: usize) -> String {
        let cells = self.heads.iter().filter_map(|h| h.get(column));
        let filled: Vec<&str> = cells
            .map(String::as_str)
            .filter(|c| !c.is_empty())
            .collect();
        filled.join(" ")
    }

    /// What stands before the decimals: the comma if numbers have it and cells are not parted
    /// by it.
    #[must_use]
    pub fn decimal(&self) -> Decimal {
        if self.parted_by == ',' && !self.rows.iter().any(|r| r.cells.iter().any(|c| comma(c))) {
            return Decimal::Point;
        }
        let (date, clock) = self.time.unwrap_or((usize::MAX, None));
        let values = self.rows.iter().flat_map(|r| r.cells.iter().enumerate());
        let values = values.filter(|(i, _)| *i != date && Some(*i) != clock);
        let commas = values.filter(|(_, c)| comma(c)).count();
        if commas > 0 {
            Decimal::Comma
        } else {
            Decimal::Point
        }
    }
}

/// Digits, one comma, digits.
fn comma(text: &str) -> bool {
    let (before, after) = text.split_once(',').unwrap_or_default();
    let digits = |t: &str| !t.is_empty() && t.bytes().all(|b| b.is_ascii_digit());
    digits(before.trim_start_matches(['-', '+']))
        && digits(after.trim_end_matches(|c: char| !c.is_ascii_digit()))
}
