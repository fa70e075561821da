//! What a photo file says about itself: when, where, which way up, which camera.
//!
//! Plain data; every doubt is put in plain words under `problems`. It is read by
//! [`super::photo_facts`]; how a local time becomes an instant is in [`super::when`].

use chrono::NaiveDateTime;
use serde::{Serialize, Serializer};

use super::format::Format;

/// Something about the file that a person should know.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Stable word for programs, e.g. `date_blank`.
    pub code: &'static str,
    /// What, why, and what to do, in plain English.
    pub text: String,
}

impl Problem {
    /// A problem by its code and in words.
    pub fn new(code: &'static str, text: impl Into<String>) -> Self {
        Self {
            code,
            text: text.into(),
        }
    }
}

impl Serialize for Problem {
    /// As its text only, which is what `slowstone photo-facts` promises.
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&self.text)
    }
}

/// Which entry of the file gave the date.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DateSource {
    /// EXIF `DateTimeOriginal`: the shutter.
    ExifOriginal,
    /// EXIF `DateTimeDigitized`.
    ExifDigitized,
    /// EXIF `DateTime`: the last change of the file.
    ExifModified,
    /// XMP, any of its dates of making.
    Xmp,
}

/// What gave the offset from UTC.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OffsetSource {
    /// EXIF, the tag that belongs to the date.
    Exif,
    /// XMP.
    Xmp,
    /// The difference to the satellites' time.
    Satellites,
}

/// The facts of one file, in the order that `slowstone photo-facts` prints them.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct PhotoFacts {
    /// Name of the file as it came.
    pub file: String,
    /// Kind of file by its bytes; `None` if it is no photo.
    pub format: Option<Format>,
    /// Local date and time on the camera's clock, `YYYY-MM-DDTHH:MM:SS`.
    pub taken_local: Option<NaiveDateTime>,
    /// Offset of that clock from UTC in minutes.
    pub offset_min: Option<i32>,
    /// Milliseconds beyond the second.
    pub subsec_ms: Option<u32>,
    /// EXIF orientation, 1 to 8.
    pub orientation: Option<u8>,
    /// Latitude in degrees (WGS 84), north positive.
    pub lat: Option<f64>,
    /// Longitude in degrees (WGS 84), east positive.
    pub lon: Option<f64>,
    /// Maker of the camera.
    pub make: Option<String>,
    /// Model of the camera.
    pub model: Option<String>,
    /// Pixels across as stored, before turning.
    pub width: Option<u32>,
    /// Pixels down as stored, before turning.
    pub height: Option<u32>,
    /// What a person should know about the file.
    pub problems: Vec<Problem>,
    /// Where the date comes from. Not printed.
    #[serde(skip)]
    pub date_source: Option<DateSource>,
    /// Where the offset comes from. Not printed.
    #[serde(skip)]
    pub offset_source: Option<OffsetSource>,
}

impl PhotoFacts {
    pub(super) fn say(&mut self, code: &'static str, text: impl Into<String>) {
        self.problems.push(Problem::new(code, text));
    }
}
