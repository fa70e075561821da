//! What happens on the site: pour, batch, reading, forecast, observation.
//!
//! Every field but the time may come later, by a correction. Photos and answers to
//! reminders are in [`super::beside`].

use super::Checked;
use super::work::ordered;
use crate::limits::{self, FieldError, Shown};
use crate::misfit::{Misfit, MisfitCode};
use crate::zones;
use serde::{Deserialize, Serialize};
use slowstone_curing::predict::{ConcretePlace, Sky};
use slowstone_curing::units::AtMs;

/// What a further pour on a step that was poured before is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum SecondPour {
    /// A new attempt: what was poured before came out.
    Replaces,
    /// A layer on top of what was poured before.
    Layer,
}

/// One pour. Every field but the time may come later.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Pour {
    /// The step, or none for a sample.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub step: Option<String>,
    /// What it is, where the step was poured before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub second_pour: Option<SecondPour>,
    /// Name of a sample.
    pub name: String,
    /// Mix used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mix: Option<String>,
    /// Form used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub form: Option<String>,
    /// Liner used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub liner: Option<String>,
    /// Which side or sheet of it, in a person's words; empty if nothing was said.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub liner_side: String,
    /// First concrete in the form.
    pub started_ms: AtMs,
    /// Surface screeded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub finished_ms: Option<AtMs>,
    /// Air temperature.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub air_c: Option<f64>,
    /// Temperature of the fresh concrete.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub concrete_c: Option<f64>,
    /// Relative humidity.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rh_pct: Option<f64>,
    /// Wind at the piece.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wind_kmh: Option<f64>,
    /// Sun or shade on the piece.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sky: Option<Sky>,
    /// Somebody was asked whether its temperatures are right, and they are.
    pub confirmed: bool,
    /// Anything else.
    pub note: String,
}

/// An amount of one additive.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Dose {
    /// Which additive.
    pub additive: String,
    /// Grams, or millilitres for a liquid.
    pub amount: f64,
}

/// One mixing.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Batch {
    /// The pour that it went into.
    pub pour: String,
    /// Bags in it.
    pub bags: f64,
    /// Water in it, all together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub water_l: Option<f64>,
    /// Additives in it.
    pub additives: Vec<Dose>,
    /// When it was mixed, if noted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_ms: Option<AtMs>,
    /// Anything else.
    pub note: String,
}

/// What instruments said at one instant.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Reading {
    /// The pour whose concrete was measured; none for weather alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pour: Option<String>,
    /// When.
    pub at_ms: AtMs,
    /// Air temperature.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub air_c: Option<f64>,
    /// Concrete temperature.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub concrete_c: Option<f64>,
    /// Where the concrete was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<ConcretePlace>,
    /// Relative humidity.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rh_pct: Option<f64>,
    /// Wind at the piece.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wind_kmh: Option<f64>,
    /// Sun or shade on the piece.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sky: Option<Sky>,
    /// Somebody was asked whether its temperatures are right, and they are.
    pub confirmed: bool,
    /// Anything else.
    pub note: String,
}

/// A typed forecast of one day.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Forecast {
    /// The day, `YYYY-MM-DD`, on the site's calendar.
    pub date: String,
    /// Lowest air temperature.
    pub min_c: f64,
    /// Highest air temperature.
    pub max_c: f64,
    /// Relative humidity at mid-day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rh_pct: Option<f64>,
    /// Wind at mid-day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wind_kmh: Option<f64>,
    /// Sky.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sky: Option<Sky>,
}

/// Values of a forecast or a logger, hour by hour or closer.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Hourly {
    /// Where they come from, in words.
    pub source: String,
    /// The values.
    pub rows: Vec<HourlyRow>,
    /// The pour in whose concrete a probe was; none for the air.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pour: Option<String>,
    /// Where in it the probe was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<ConcretePlace>,
}

/// The values of one instant.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct HourlyRow {
    /// When.
    pub at_ms: AtMs,
    /// Air temperature.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub air_c: Option<f64>,
    /// Concrete temperature.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub concrete_c: Option<f64>,
    /// Relative humidity.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rh_pct: Option<f64>,
    /// Wind.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wind_kmh: Option<f64>,
    /// Rain, as a rate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rain_mm_h: Option<f64>,
}

impl HourlyRow {
    /// Nothing yet of an instant.
    #[must_use]
    pub fn at(at_ms: AtMs) -> Self {
        HourlyRow {
            at_ms,
            air_c: None,
            concrete_c: None,
            rh_pct: None,
            wind_kmh: None,
            rain_mm_h: None,
        }
    }

    fn says_something(&self) -> bool {
        let values = [
            self.air_c,
            self.concrete_c,
            self.rh_pct,
            self.wind_kmh,
            self.rain_mm_h,
        ];
        values.iter().any(Option::is_some)
    }
}

/// What was seen or done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Observed {
    /// No water stands on the surface any more.
    SheenGone,
    /// A thumb sinks in.
    ThumbDeep,
    /// A thumb leaves a mark; how deep was not noted.
    ThumbMark,
    /// A thumb leaves a mark about 6 mm deep.
    #[serde(rename = "thumb_6mm")]
    Thumb6mm,
    /// A thumb leaves a faint print.
    ThumbFaint,
    /// A thumb leaves no mark.
    ThumbNone,
    /// The texture was pressed or brushed.
    Textured,
    /// The form came off clean.
    StrippedClean,
    /// The form stuck or tore the face.
    StrippedStuck,
    /// A nail or key cuts a groove and grains come loose.
    ScratchDeep,
    /// A nail or key leaves a line that can be felt.
    ScratchFaint,
    /// A nail or key leaves only a mark of metal.
    ScratchNone,
    /// An edge crumbled or chipped.
    EdgeDamage,
    /// A crack was found. It has many causes, so it says nothing of strength or set.
    Cracked,
    /// Edges dressed, easily.
    DressedEasily,
    /// Edges dressed, hard work.
    DressedHard,
    /// Wetted.
    Wetted,
    /// Covered.
    Covered,
    /// Cover taken off.
    Uncovered,
    /// Shade or windbreak put up.
    Shaded,
    /// Rain on it.
    Rain,
    /// Frost.
    Frost,
    /// Somebody walked on it.
    Walked,
    /// Curing was ended.
    CuringEnded,
    /// Stained or sealed.
    Sealed,
    /// A strength test; `mpa` says the result.
    Strength,
    /// Only a note.
    Note,
}

/// An observation on one pour.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Observation {
    /// Which pour.
    pub pour: String,
    /// When.
    pub at_ms: AtMs,
    /// What.
    pub what: Observed,
    /// Result of a strength test.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mpa: Option<f64>,
    /// Somebody was asked whether it is right, and it is.
    pub confirmed: bool,
    /// Anything else.
    pub note: String,
}

reads! {
    Pour { step, second_pour, name = default, mix, form, liner, liner_side = default, started_ms, finished_ms, air_c, concrete_c, rh_pct, wind_kmh, sky, confirmed = default, note = default }
    Dose { additive, amount }
    Batch { pour, bags, water_l, additives = default, at_ms, note = default }
    Reading { pour, at_ms, air_c, concrete_c, place, rh_pct, wind_kmh, sky, confirmed = default, note = default }
    Forecast { date, min_c, max_c, rh_pct, wind_kmh, sky }
    Hourly { source, rows, pour, place }
    HourlyRow { at_ms, air_c, concrete_c, rh_pct, wind_kmh, rain_mm_h }
    Observation { pour, at_ms, what, mpa, confirmed = default, note = default }
}

impl Checked for Pour {
    fn check(&self) -> Result<(), FieldError> {
        if let Some(end) = self.finished_ms {
            let hours = end.hours_since(self.started_ms).value();
            if !(0.0..=48.0).contains(&hours) {
                let off = Shown((hours * 10.0).round() / 10.0);
                let why = Misfit::most(MisfitCode::PourLength, 48.0, "h");
                return Err(FieldError::new("finished_ms", &format!("{off} h"), why));
            }
        }
        limits::note("name", &self.name, 120)?;
        limits::note("liner_side", &self.liner_side, 60)?;
        limits::note("note", &self.note, 4000)
    }
}

impl Checked for Batch {
    fn check(&self) -> Result<(), FieldError> {
        limits::id("pour", &self.pour)?;
        limits::note("note", &self.note, 2000)
    }
}

impl Checked for Reading {
    fn check(&self) -> Result<(), FieldError> {
        let empty = self.air_c.is_none()
            && self.concrete_c.is_none()
            && self.rh_pct.is_none()
            && self.wind_kmh.is_none()
            && self.sky.is_none();
        if empty {
            return Err(FieldError::new("air_c", "", MisfitCode::NothingRead));
        }
        if self.concrete_c.is_some() && self.pour.is_none() {
            return Err(FieldError::new("pour", "", MisfitCode::PourNeeded));
        }
        limits::note("note", &self.note, 2000)
    }
}

impl Checked for Forecast {
    fn check(&self) -> Result<(), FieldError> {
        if zones::day_number(&self.date).is_none() {
            return Err(FieldError::new("date", &self.date, MisfitCode::NotADate));
        }
        ordered(("max_c", self.max_c), ("min_c", self.min_c))
    }
}

impl Checked for Hourly {
    fn check(&self) -> Result<(), FieldError> {
        limits::text("source", &self.source, 200)?;
        if self.rows.is_empty() || self.rows.len() > 400 {
            let why = Misfit::range(1.0, 400.0, "h");
            return Err(FieldError::new("rows", &self.rows.len().to_string(), why));
        }
        if !self.rows.iter().all(HourlyRow::says_something) {
            return Err(FieldError::new("rows", "", MisfitCode::NothingRead));
        }
        if self.pour.is_none() && self.rows.iter().any(|r| r.concrete_c.is_some()) {
            return Err(FieldError::new("pour", "", MisfitCode::PourNeeded));
        }
        Ok(())
    }
}

impl Checked for Observation {
    fn check(&self) -> Result<(), FieldError> {
        limits::id("pour", &self.pour)?;
        if self.what == Observed::Strength && self.mpa.is_none() {
            return Err(FieldError::new("mpa", "", MisfitCode::ResultNeeded));
        }
        limits::note("note", &self.note, 2000)
    }
}
