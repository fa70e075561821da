//! What is added from beside the work: photos, answers to reminders, lessons forgotten.
//!
//! The bytes of a photo are not here; they rest in the photo store. What is logged while
//! people work is in [`super::field`].

use super::Checked;
use crate::limits::{self, FieldError};
use crate::misfit::MisfitCode;
use serde::{Deserialize, Serialize};
use slowstone_curing::predict::MilestoneKind;
use slowstone_curing::units::AtMs;

/// How the time of a photo is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum TimeSource {
    /// EXIF time with its own offset.
    ExifOffset,
    /// EXIF time without offset, read in the site's time zone.
    ExifSiteZone,
    /// Another date in the file (XMP), read as well as it goes.
    OtherDate,
    /// No usable date: the time at which it arrived.
    Arrival,
}

/// What of a photo's place the log finds by itself ([`crate::filing`]).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Filing {
    /// Which step, and which stage of its work.
    Time,
    /// Only the stage: somebody said which step, or took the photo on its screen.
    Stage,
    /// Nothing: both stand as they were said. So do those of entries without this field.
    Hand,
}

/// A photo; the bytes rest in the photo store under `hash`.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Photo {
    /// The pour that it shows, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pour: Option<String>,
    /// The step that it shows, poured yet or not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub step: Option<String>,
    /// Stage of work, e.g. `texture`.
    pub stage: String,
    /// What of these three the log finds where they are not said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub filing: Option<Filing>,
    /// BLAKE3 of the bytes, lower-case hex.
    pub hash: String,
    /// Size of the file.
    pub bytes: u32,
    /// File name as it came.
    pub name: String,
    /// `jpeg`, `png`, `webp`, `tiff`, `heic`, `avif`.
    pub format: String,
    /// Pixels across, upright, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width_px: Option<u32>,
    /// Pixels down, upright, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height_px: Option<u32>,
    /// When it was taken.
    pub taken_ms: AtMs,
    /// How that is known.
    pub time_source: TimeSource,
    /// Camera, in words.
    pub camera: String,
    /// Where it was taken, if the file says so. Never leaves the site unasked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lat: Option<f64>,
    /// See `lat`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lon: Option<f64>,
    /// What was odd about the file, in plain words.
    pub problems: Vec<String>,
    /// Anything else.
    pub note: String,
}

/// What was done with a reminder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum MarkKind {
    /// Seen and dealt with.
    Done,
    /// Ask again at `until_ms`.
    Snoozed,
}

/// An answer to a reminder.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Mark {
    /// Which pour.
    pub pour: String,
    /// Which milestone.
    pub milestone: MilestoneKind,
    /// What was done.
    pub what: MarkKind,
    /// When to ask again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until_ms: Option<AtMs>,
}

/// Forgets what a mix taught up to an instant: pours that began before it teach nothing.
/// Taken back like anything else, and then they teach again.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Unlearn {
    /// Which mix; none for pours whose mix was not said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mix: Option<String>,
    /// Pours that began before this teach nothing.
    pub before_ms: AtMs,
}

/// The site is put away, or fetched back; the newest one counts.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct Archive {
    /// It is put away: left out of the list of sites, but found by a search.
    pub done: bool,
}

/// Says from where a record of this site was copied.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct Copied {
    /// The record on this site.
    pub record: String,
    /// Name of the site that it was copied from.
    pub name: String,
}

/// Says whose device an entry came from that names another person: written by the hub, which
/// knows the device, beside the entry, which nobody may alter.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct Entered {
    /// The entry.
    pub entry: String,
    /// The person of the device.
    pub person: String,
}

reads! {
    Entered { entry, person }
    Archive { done }
    Copied { record, name }
    Unlearn { mix, before_ms }
    Photo { pour, step, stage = default, filing, hash, bytes, name = default, format, width_px, height_px, taken_ms, time_source, camera = default, lat, lon, problems = default, note = default }
    Mark { pour, milestone, what, until_ms }
}

impl Checked for Photo {
    fn check(&self) -> Result<(), FieldError> {
        if self.hash.len() != 64 || !self.hash.bytes().all(|b| b.is_ascii_hexdigit()) {
            return Err(FieldError::new("hash", &self.hash, MisfitCode::NotAHash));
        }
        limits::note("name", &self.name, 255)?;
        limits::note("stage", &self.stage, 40)?;
        limits::note("note", &self.note, 2000)
    }
}

impl Checked for Archive {
    fn check(&self) -> Result<(), FieldError> {
        Ok(())
    }
}

impl Checked for Entered {
    fn check(&self) -> Result<(), FieldError> {
        limits::id("entry", &self.entry)?;
        limits::text("person", &self.person, 80)
    }
}

impl Checked for Copied {
    fn check(&self) -> Result<(), FieldError> {
        limits::text("name", &self.name, 120)
    }
}

impl Checked for Unlearn {
    fn check(&self) -> Result<(), FieldError> {
        self.mix.as_ref().map_or(Ok(()), |m| limits::id("mix", m))
    }
}

impl Checked for Mark {
    fn check(&self) -> Result<(), FieldError> {
        limits::id("pour", &self.pour)?;
        if self.what == MarkKind::Snoozed && self.until_ms.is_none() {
            return Err(FieldError::new("until_ms", "", MisfitCode::TimeNeeded));
        }
        Ok(())
    }
}
