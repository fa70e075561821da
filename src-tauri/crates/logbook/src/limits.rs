//! What can be: the range of every number that people type, in one table.
//!
//! The hub refuses what lies outside, and the web app gets the same table (generated), so
//! that a form can say it while typing. The ranges are wide: they stop slips (a comma in
//! the wrong place, °F typed as °C), not unusual work.

use crate::misfit::{Misfit, MisfitCode};
use serde::Serialize;
use serde_json::{Map, Number, Value};
use slowstone_curing::units::AtMs;

/// A value that cannot be.
#[derive(Clone, Debug, PartialEq)]
pub struct FieldError {
    /// Which field.
    pub field: String,
    /// What it was.
    pub value: String,
    /// Why it cannot be.
    pub reason: Box<Misfit>,
}

impl FieldError {
    /// A refusal of `value` in `field`.
    #[must_use]
    pub fn new(field: &str, value: &str, reason: impl Into<Misfit>) -> Self {
        Self {
            field: field.to_owned(),
            value: value.chars().take(80).collect(),
            reason: Box::new(reason.into()),
        }
    }
}

impl core::fmt::Display for FieldError {
    /// With the code of the reason: its English stays out of the core in the browser.
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let code = serde_json::to_string(&self.reason.code).unwrap_or_default();
        let code = code.trim_matches('"');
        write!(f, "{} = {}: {code}", self.field, self.value)
    }
}

/// The allowed range of one numeric field, in the unit that the field's name carries.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Limit {
    /// Field name.
    pub field: &'static str,
    /// Least allowed value.
    pub min: f64,
    /// Greatest allowed value.
    pub max: f64,
    /// Unit, for the message.
    pub unit: &'static str,
}

const fn limit(field: &'static str, min: f64, max: f64, unit: &'static str) -> Limit {
    Limit {
        field,
        min,
        max,
        unit,
    }
}

/// Every limited field; a name means the same thing in every kind of event.
pub const LIMITS: &[Limit] = &[
    limit("lat", -90.0, 90.0, "°"),
    limit("lon", -180.0, 180.0, "°"),
    limit("number", 1.0, 9999.0, ""),
    limit("width_m", 0.05, 20.0, "m"),
    limit("depth_m", 0.05, 20.0, "m"),
    limit("rise_m", 0.02, 2.0, "m"),
    limit("thickness_m", 0.02, 2.0, "m"),
    limit("overlap_m", 0.0, 2.0, "m"),
    limit("bank_rise_m", 0.05, 50.0, "m"),
    limit("bank_run_m", 0.05, 100.0, "m"),
    limit("fall_pct", 0.0, 10.0, "%"),
    limit("fall_min_pct", 0.0, 10.0, "%"),
    limit("fall_max_pct", 0.0, 10.0, "%"),
    limit("base_m", 0.0, 1.0, "m"),
    limit("drain_m", 0.0, 1.0, "m"),
    limit("riser_max_mm", 50.0, 500.0, "mm"),
    limit("going_min_mm", 50.0, 1000.0, "mm"),
    limit("variation_max_mm", 0.5, 100.0, "mm"),
    limit("two_r_plus_t_min_mm", 200.0, 2000.0, "mm"),
    limit("two_r_plus_t_max_mm", 200.0, 2000.0, "mm"),
    limit("waste_pct", 0.0, 50.0, "%"),
    limit("mixer_l", 2.0, 2000.0, "L"),
    limit("dose_pct", 0.0, 20.0, "%"),
    limit("mesh_gap_mm", 0.0, 200.0, "mm"),
    limit("rubber_mm", 2.0, 200.0, "mm"),
    limit("rubber_kg_l", 0.5, 3.0, "kg/L"),
    limit("rubber_waste_pct", 0.0, 100.0, "%"),
    limit("from_h", 0.0, 23.0, "h"),
    limit("until_h", 1.0, 24.0, "h"),
    limit("forms", 1.0, 50.0, ""),
    limit("pour_h", 0.25, 12.0, "h"),
    limit("wash_h", 0.0, 12.0, "h"),
    limit("dry_h", 0.0, 240.0, "h"),
    limit("reset_h", 0.0, 12.0, "h"),
    limit("bag_kg", 1.0, 2000.0, "kg"),
    limit("yield_l", 0.5, 1200.0, "L"),
    limit("water_min_l", 0.1, 300.0, "L"),
    limit("water_max_l", 0.1, 300.0, "L"),
    limit("cement_pct", 3.0, 60.0, "%"),
    limit("class_mpa", 5.0, 120.0, "MPa"),
    limit("class_1d_mpa", 0.5, 110.0, "MPa"),
    limit("class_3d_mpa", 1.0, 110.0, "MPa"),
    limit("class_7d_mpa", 2.0, 110.0, "MPa"),
    limit("initial_set_h", 0.25, 48.0, "h"),
    limit("min_pct", 0.0, 100.0, "%"),
    limit("max_pct", 0.0, 100.0, "%"),
    limit("board_mm", 1.0, 200.0, "mm"),
    limit("relief_mm", 0.0, 100.0, "mm"),
    limit("air_c", -40.0, 60.0, "°C"),
    limit("concrete_c", -20.0, 95.0, "°C"),
    limit("min_c", -40.0, 60.0, "°C"),
    limit("max_c", -40.0, 60.0, "°C"),
    limit("rh_pct", 0.0, 100.0, "%"),
    limit("wind_kmh", 0.0, 200.0, "km/h"),
    limit("rain_mm_h", 0.0, 400.0, "mm/h"),
    limit("bags", 0.05, 200.0, "bags"),
    limit("water_l", 0.0, 2000.0, "L"),
    limit("amount", 0.0, 100_000.0, "g or ml"),
    limit("mpa", 0.0, 200.0, "MPa"),
    limit("bytes", 1.0, 1e9, "bytes"),
    limit("width_px", 1.0, 100_000.0, "px"),
    limit("height_px", 1.0, 100_000.0, "px"),
    // 2000-01-01 to 2100-01-01: a wrong device clock passes, a wrong unit does not.
    limit("started_ms", 946_684_800_000.0, 4_102_444_800_000.0, "ms"),
    limit("finished_ms", 946_684_800_000.0, 4_102_444_800_000.0, "ms"),
    limit("taken_ms", 0.0, 4_102_444_800_000.0, "ms"),
    limit("before_ms", 946_684_800_000.0, 4_102_444_800_000.0, "ms"),
    limit("at_ms", 946_684_800_000.0, 4_102_444_800_000.0, "ms"),
    limit("until_ms", 946_684_800_000.0, 4_102_444_800_000.0, "ms"),
    // 1900-01-01 to 2200-01-01: what any clock shows, also one that was never set.
    limit("logged_ms", AtMs::FIRST.0 as f64, AtMs::LAST.0 as f64, "ms"),
];

/// Why the time at which an entry was logged cannot be: it lies outside the calendar.
pub(crate) fn calendar() -> Misfit {
    Misfit::range(AtMs::FIRST.0 as f64, AtMs::LAST.0 as f64, "ms")
}

/// A number in a message, written as in JSON but `20` for `20.0`: another way of writing
/// numbers would weigh as much in the core as all the messages.
pub(crate) struct Shown(pub f64);

impl core::fmt::Display for Shown {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let text = Number::from_f64(self.0).map_or("no number".to_owned(), |n| n.to_string());
        f.write_str(text.strip_suffix(".0").unwrap_or(&text))
    }
}

/// Checks every limited number of a body, also inside lists of objects.
///
/// # Errors
/// Names the first field outside its range.
pub(crate) fn numbers(body: &Map<String, Value>) -> Result<(), FieldError> {
    for (field, value) in body {
        match value {
            Value::Number(n) => {
                let Some(l) = LIMITS.iter().find(|l| l.field == field) else {
                    continue;
                };
                let x = n.as_f64().unwrap_or(f64::NAN);
                if !(x >= l.min && x <= l.max) {
                    let range = Misfit::range(l.min, l.max, l.unit);
                    return Err(FieldError::new(field, &n.to_string(), range));
                }
            }
            Value::Array(items) => {
                for item in items {
                    if let Value::Object(inner) = item {
                        numbers(inner)?;
                    }
                }
            }
            _ => {}
        }
    }
    Ok(())
}

/// Checks an identifier.
///
/// # Errors
/// When it is not 8 to 40 characters of `0-9a-z-`.
pub fn id(field: &str, value: &str) -> Result<(), FieldError> {
    let good = (8..=40).contains(&value.len())
        && value
            .bytes()
            .all(|b| b.is_ascii_digit() || b.is_ascii_lowercase() || b == b'-');
    if good {
        Ok(())
    } else {
        Err(FieldError::new(field, value, MisfitCode::NotAnId))
    }
}

/// Checks a text that must not be empty.
///
/// # Errors
/// When it is blank, longer than `max` characters, or holds control characters.
pub fn text(field: &str, value: &str, max: usize) -> Result<(), FieldError> {
    if value.trim().is_empty() {
        return Err(FieldError::new(field, value, MisfitCode::Empty));
    }
    note(field, value, max)
}

/// Checks a text that may be empty.
///
/// # Errors
/// When it is longer than `max` characters or holds control characters.
pub(crate) fn note(field: &str, value: &str, max: usize) -> Result<(), FieldError> {
    if value.chars().count() > max {
        let why = Misfit::most(MisfitCode::TooLong, max as f64, "");
        return Err(FieldError::new(field, value, why));
    }
    if value
        .chars()
        .any(|c| c.is_control() && c != '\n' && c != '\t')
    {
        return Err(FieldError::new(field, value, MisfitCode::ControlCharacters));
    }
    Ok(())
}

/// Checks a colour in L*, a*, b*: any surface, with room for what a measurement is off.
///
/// # Errors
/// When L* is not 0 to 100, or a* or b* not -200 to 200.
pub(crate) fn lab(field: &str, value: [f64; 3]) -> Result<(), FieldError> {
    let [l, a, b] = value;
    let chroma = -200.0..=200.0;
    if (0.0..=100.0).contains(&l) && chroma.contains(&a) && chroma.contains(&b) {
        return Ok(());
    }
    let why = MisfitCode::NotAColour;
    let (l, a, b) = (Shown(l), Shown(a), Shown(b));
    Err(FieldError::new(field, &format!("{l} {a} {b}"), why))
}

/// Checks a standard uncertainty of L*, a*, b*.
///
/// # Errors
/// When one is not 0 to 100.
pub(crate) fn lab_sd(field: &str, value: [f64; 3]) -> Result<(), FieldError> {
    if value.iter().all(|v| (0.0..=100.0).contains(v)) {
        return Ok(());
    }
    let [l, a, b] = value;
    let why = Misfit::range(0.0, 100.0, "");
    let (l, a, b) = (Shown(l), Shown(a), Shown(b));
    Err(FieldError::new(field, &format!("{l} {a} {b}"), why))
}

/// Checks a rectangle of pixels: first column and row, column and row after the last.
///
/// # Errors
/// When it is empty or reaches beyond any photo.
pub(crate) fn rect(field: &str, value: [u32; 4]) -> Result<(), FieldError> {
    let [x0, y0, x1, y1] = value;
    if x0 < x1 && y0 < y1 && x1 <= 100_000 && y1 <= 100_000 {
        return Ok(());
    }
    let why = MisfitCode::NotARectangle;
    Err(FieldError::new(field, &format!("{x0} {y0} {x1} {y1}"), why))
}
