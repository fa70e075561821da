//! The place and what is to be built there: site, flight, step.
//!
//! Sizes are as cast; what a step weighs or needs is reckoned elsewhere. What it is made
//! with is in [`super::build`].

use super::Checked;
use crate::limits::{self, FieldError};
use crate::misfit::MisfitCode;
use crate::zones;
use serde::{Deserialize, Serialize};

/// How numbers are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Units {
    /// °C, mm, kg, L, MPa.
    #[default]
    Metric,
    /// °F, in, lb, qt, psi.
    Us,
}

/// A place where things are cast.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Site {
    /// What people call it.
    pub name: String,
    /// Where it is, in words.
    pub place: String,
    /// IANA time zone, e.g. `Europe/Oslo`.
    pub tz: String,
    /// How numbers are shown.
    pub units: Units,
    /// Latitude, degrees north.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lat: Option<f64>,
    /// Longitude, degrees east.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lon: Option<f64>,
    /// How latitude and longitude came about; none: typed, or an older log.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub located: Option<Located>,
}

/// How the coordinates of a site came about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Located {
    /// The position of a phone.
    Position,
    /// A town from the list.
    Town,
    /// Typed.
    Typed,
}

impl Site {
    /// The place as the engine takes it, to the whole degree.
    ///
    /// A degree is at most 111 km: 4 minutes of sun and a degree of its height, far below
    /// what clouds leave open. A site that was handed over without its position keeps this
    /// much, so that its times stay the same.
    #[must_use]
    pub fn degree(&self) -> Option<(f64, f64)> {
        Some((whole_degree(self.lat?), whole_degree(self.lon?)))
    }
}

/// A coordinate without what says where somebody lives; never -0.
#[must_use]
pub fn whole_degree(deg: f64) -> f64 {
    libm::round(deg) + 0.0
}

/// A flight of steps.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Flight {
    /// What people call it.
    pub name: String,
    /// Anything else.
    pub note: String,
}

/// One step to be cast.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Step {
    /// The flight that it belongs to.
    pub flight: String,
    /// Its number, 1 at the bottom.
    pub number: u32,
    /// A name, if it has one.
    pub name: String,
    /// Along the front edge.
    pub width_m: f64,
    /// Front to back.
    pub depth_m: f64,
    /// Height of the piece as cast.
    pub rise_m: f64,
    /// It rests mostly on the step below.
    pub on_step_below: bool,
}

reads! {
    Site { name, place = default, tz, units = default, lat, lon, located }
    Flight { name, note = default }
    Step { flight, number, name = default, width_m, depth_m, rise_m, on_step_below = default }
}

impl Checked for Site {
    fn check(&self) -> Result<(), FieldError> {
        limits::text("name", &self.name, 120)?;
        limits::note("place", &self.place, 200)?;
        if zones::is_name(&self.tz) {
            Ok(())
        } else {
            Err(unknown_zone(&self.tz))
        }
    }
}

/// The refusal of a time zone. Whether there is one of that name, [`crate::Book::check`]
/// asks the zones that it was given.
pub(crate) fn unknown_zone(tz: &str) -> FieldError {
    FieldError::new("tz", tz, MisfitCode::UnknownZone)
}

impl Checked for Flight {
    fn check(&self) -> Result<(), FieldError> {
        limits::text("name", &self.name, 120)?;
        limits::note("note", &self.note, 2000)
    }
}

impl Checked for Step {
    fn check(&self) -> Result<(), FieldError> {
        limits::id("flight", &self.flight)?;
        limits::note("name", &self.name, 120)
    }
}

impl Step {
    /// Volume of the piece in litres, as a box.
    #[must_use]
    pub fn volume_l(&self) -> f64 {
        self.width_m * self.depth_m * self.rise_m * 1000.0
    }
}
