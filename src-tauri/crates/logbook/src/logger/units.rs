//! What a column measures, in which unit, and how its numbers are written.
//!
//! Everything is kept in the units that the names of fields carry; the factors are exact by
//! definition (international foot and mile of 1959, ISO 80000). What cannot be is judged by
//! [`crate::limits`].

use crate::limits::LIMITS;
use serde::{Deserialize, Serialize};
use slowstone_curing::predict::ConcretePlace;

/// What was measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    /// Temperature of the air.
    Air,
    /// Relative humidity of the air.
    Rh,
    /// Wind.
    Wind,
    /// Rain, as a rate.
    Rain,
    /// Concrete, as placed.
    Fresh,
    /// Concrete at an edge.
    Edge,
    /// Concrete at half depth.
    Middle,
    /// Concrete at its top.
    Top,
}

/// A unit of a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum LoggerUnit {
    /// °C.
    C,
    /// °F.
    F,
    /// K.
    K,
    /// Per cent.
    Pct,
    /// Kilometres an hour.
    KmH,
    /// Metres a second.
    MS,
    /// Miles an hour.
    Mph,
    /// Knots.
    Kn,
    /// Millimetres an hour.
    MmH,
    /// Inches an hour.
    InH,
}

/// What stands before the decimals of a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Decimal {
    /// 21.5
    Point,
    /// 21,5
    Comma,
}

/// What stands in a cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cell {
    /// A number.
    Number(f64),
    /// Nothing, or a sign of loggers for nothing.
    Missing,
    /// Something else.
    Odd,
}

impl Measure {
    /// Where in the concrete it was measured; none for the air.
    #[must_use]
    pub fn place(self) -> Option<ConcretePlace> {
        match self {
            Measure::Fresh => Some(ConcretePlace::Fresh),
            Measure::Edge => Some(ConcretePlace::Edge),
            Measure::Middle => Some(ConcretePlace::Middle),
            Measure::Top => Some(ConcretePlace::Top),
            Measure::Air | Measure::Rh | Measure::Wind | Measure::Rain => None,
        }
    }

    /// The units that it may have.
    #[must_use]
    pub fn units(self) -> &'static [LoggerUnit] {
        match self {
            Measure::Rh => &[LoggerUnit::Pct],
            Measure::Wind => &[
                LoggerUnit::KmH,
                LoggerUnit::MS,
                LoggerUnit::Mph,
                LoggerUnit::Kn,
            ],
            Measure::Rain => &[LoggerUnit::MmH, LoggerUnit::InH],
            _ => &[LoggerUnit::C, LoggerUnit::F, LoggerUnit::K],
        }
    }

    /// The field that it is kept in.
    #[must_use]
    pub fn field(self) -> &'static str {
        match self {
            Measure::Air => "air_c",
            Measure::Rh => "rh_pct",
            Measure::Wind => "wind_kmh",
            Measure::Rain => "rain_mm_h",
            _ => "concrete_c",
        }
    }

    /// Whether a value lies in the range of its field.
    #[must_use]
    pub fn can_be(self, value: f64) -> bool {
        let limit = LIMITS.iter().find(|l| l.field == self.field());
        limit.is_none_or(|l| (l.min..=l.max).contains(&value))
    }
}

impl LoggerUnit {
    /// To the unit that is kept: °C, %, km/h, mm/h.
    #[must_use]
    pub fn convert(self, x: f64) -> f64 {
        match self {
            LoggerUnit::C | LoggerUnit::Pct | LoggerUnit::KmH | LoggerUnit::MmH => x,
            LoggerUnit::F => (x - 32.0) / 1.8,
            LoggerUnit::K => x - 273.15,
            LoggerUnit::MS => x * 3.6,
            LoggerUnit::Mph => x * 1.609_344,
            LoggerUnit::Kn => x * 1.852,
            LoggerUnit::InH => x * 25.4,
        }
    }
}

/// What loggers write where they have no value (common practice of their makers, from memory):
/// words, and numbers that no sensor gives.
const NOTHING: [&str; 14] = [
    "-", "--", "---", "nan", "na", "n/a", "null", "none", "error", "err", "fault", "ol", "####",
    "*",
];
const NO_VALUE: [f64; 6] = [-9999.0, -999.0, -999.9, -99.9, -7999.0, -6999.0];

/// Reads a cell. A unit behind the number is passed over.
#[must_use]
pub fn read(text: &str, decimal: Decimal) -> Cell {
    let text = text.trim();
    if text.is_empty() || NOTHING.contains(&text.to_lowercase().as_str()) {
        return Cell::Missing;
    }
    let text = text.replace('−', "-");
    let digits = text.trim_end_matches(|c: char| !c.is_ascii_digit());
    let behind = text.get(digits.len()..).unwrap_or_default();
    let unit = |c: char| c.is_alphabetic() || " °%/.³²".contains(c);
    if behind.chars().count() > 6 || !behind.chars().all(unit) {
        return Cell::Odd;
    }
    let (point, other) = match decimal {
        Decimal::Point => ('.', ','),
        Decimal::Comma => (',', '.'),
    };
    let plain: String = digits
        .chars()
        .filter(|c| !matches!(c, ' ' | '\u{a0}' | '\''))
        .collect();
    // Thousands are parted in threes; anything else with the other sign is no number.
    let plain = match plain.split_once(other) {
        Some((_, rest)) => {
            let whole = rest.split(point).next().unwrap_or_default();
            if !whole.split(other).all(|group| group.len() == 3) || !plain.contains(point) {
                return Cell::Odd;
            }
            plain.replace(other, "")
        }
        None => plain,
    };
    let signs = |c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | 'e' | 'E');
    let plain = plain.replace(point, ".");
    if !plain.chars().all(signs) {
        return Cell::Odd;
    }
    match plain.parse::<f64>() {
        Ok(x) if NO_VALUE.contains(&x) => Cell::Missing,
        Ok(x) if x.is_finite() => Cell::Number(x),
        _ => Cell::Odd,
    }
}
