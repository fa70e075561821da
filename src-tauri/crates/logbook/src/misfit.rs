//! Why a value cannot be: a code that stays, with the numbers that belong to it.
//!
//! Programs go by the code; the web app words it in the reader's language
//! (`ui/src/lib/refusal.ts`, words `misfit-CODE`). [`Misfit`] displays itself in English, for
//! programs and logs; the core in the browser never does, so that these texts stay out of it.
//! Codes at the end are given by the hub alone. Ranges are in [`crate::limits`].

use crate::limits::Shown;
use serde::Serialize;

/// What is wrong with a value. Codes are never renamed: programs go by them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum MisfitCode {
    /// Outside of `min` to `max`, in `unit`.
    OutOfRange,
    /// Not given, and needed.
    Missing,
    /// No field of this kind of entry; `allowed` are its fields.
    UnknownField,
    /// None of the words that there are; `allowed` says which.
    UnknownWord,
    /// No text.
    NotText,
    /// No number.
    NotANumber,
    /// No whole number.
    NotWhole,
    /// Neither true nor false.
    NotYesOrNo,
    /// No whole number of milliseconds since 1970.
    NotATime,
    /// No list.
    NotAList,
    /// No object.
    NotAnObject,
    /// Not three numbers, or no colour: L* 0 to 100, a* and b* -200 to 200.
    NotAColour,
    /// Not four whole numbers of pixels, the first corner before the second.
    NotARectangle,
    /// No date written YYYY-MM-DD.
    NotADate,
    /// Not 64 hexadecimal digits.
    NotAHash,
    /// Not 8 to 40 characters of 0-9, a-z and -.
    NotAnId,
    /// No time zone that is known.
    UnknownZone,
    /// Empty, or blanks only.
    Empty,
    /// More than `max` characters, or bytes of `unit`.
    TooLong,
    /// More than `max` of them.
    TooMany,
    /// More than `max` lists and objects in each other.
    TooDeep,
    /// Characters that no keyboard types.
    ControlCharacters,
    /// Below the field `than`, which is `min`.
    BelowOther,
    /// Not below the field `than`, which is `max`.
    NotBelowOther,
    /// The pour ends before it begins, or more than `max` hours after.
    PourLength,
    /// Yield and mass of the bag do not belong together: `min` to `max` kg to a litre.
    BagDensity,
    /// A working day of less than an hour.
    ShortDay,
    /// No day of the week is left.
    NoWorkday,
    /// A reading without any value.
    NothingRead,
    /// A temperature of concrete without its pour.
    PourNeeded,
    /// A strength test without its result.
    ResultNeeded,
    /// A snooze without its end.
    TimeNeeded,
    /// A correction that changes nothing.
    NothingChanged,
    /// Another entry has this id.
    IdTaken,
    /// The entry that makes a site has another id than it.
    SiteIsNotId,
    /// No site of this id is here.
    UnknownSite,
    /// Only keepers may log this kind.
    KeeperOnly,
    /// What came cannot be read; `allowed` says why.
    Unreadable,
    /// No address and port to listen on.
    NotASocket,
    /// No address of the web.
    NotAnAddress,
    /// A name or a password stands in the address.
    PasswordInAddress,
    /// The address lacks `{lat}` or `{lon}`.
    PlaceMissing,
    /// No time of day.
    NotATimeOfDay,
    /// A mail server on another computer, and no encryption.
    NotEncrypted,
    /// No mail address, or no list of them.
    NotAMailAddress,
}

/// Why a value cannot be.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Misfit {
    /// What is wrong.
    pub code: MisfitCode,
    /// Least allowed value, in `unit`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts", ts(optional))]
    pub min: Option<f64>,
    /// Greatest allowed value, in `unit`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts", ts(optional))]
    pub max: Option<f64>,
    /// Unit of both; empty for none.
    pub unit: &'static str,
    /// The field that it is held against; empty for none.
    pub than: &'static str,
    /// What is allowed, for programs; empty where the code says it.
    pub allowed: String,
}

impl From<MisfitCode> for Misfit {
    fn from(code: MisfitCode) -> Self {
        Self {
            code,
            min: None,
            max: None,
            unit: "",
            than: "",
            allowed: String::new(),
        }
    }
}

impl Misfit {
    /// Outside of `min` to `max`.
    #[must_use]
    pub fn range(min: f64, max: f64, unit: &'static str) -> Self {
        Self {
            min: Some(min),
            max: Some(max),
            unit,
            ..MisfitCode::OutOfRange.into()
        }
    }

    /// More than `max`.
    #[must_use]
    pub fn most(code: MisfitCode, max: f64, unit: &'static str) -> Self {
        Self {
            max: Some(max),
            unit,
            ..code.into()
        }
    }

    /// Below the field `than`, which is `least`.
    #[must_use]
    pub fn below(than: &'static str, least: f64) -> Self {
        Self {
            min: Some(least),
            than,
            ..MisfitCode::BelowOther.into()
        }
    }

    /// The same, with what is allowed in words for programs.
    #[must_use]
    pub fn allowing(code: MisfitCode, allowed: String) -> Self {
        Self {
            allowed,
            ..code.into()
        }
    }
}

impl core::fmt::Display for Misfit {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        use MisfitCode as Code;
        let number = |x: Option<f64>| Shown(x.unwrap_or_default());
        let (min, max) = (number(self.min), number(self.max));
        let (unit, than, allowed) = (self.unit, self.than, &self.allowed);
        let said = match self.code {
            Code::OutOfRange if unit.is_empty() => {
                return write!(f, "must be from {min} to {max}");
            }
            Code::OutOfRange => return write!(f, "must be from {min} to {max} {unit}"),
            Code::UnknownField => {
                return write!(f, "is an unknown field; those of this kind are {allowed}");
            }
            Code::UnknownWord => return f.write_str(allowed),
            Code::TooLong => {
                let unit = if unit.is_empty() { "characters" } else { unit };
                return write!(f, "must be at most {max} {unit}; shorten it");
            }
            Code::TooMany => return write!(f, "has too many; at most {max} are taken"),
            Code::TooDeep => {
                return write!(
                    f,
                    "holds lists and objects more than {max} deep in each other; write it flatter"
                );
            }
            Code::BelowOther => return write!(f, "must not be below {than} ({min})"),
            Code::NotBelowOther => {
                return write!(
                    f,
                    "must be below {than} ({max}); leave it empty if it is not known"
                );
            }
            Code::PourLength => {
                return write!(
                    f,
                    "must be 0 to {max} h after the start of the pour; check both times"
                );
            }
            Code::BagDensity => {
                return write!(
                    f,
                    "does not fit the bag's mass: a litre of fresh concrete takes {min} to {max} kg of dry mix"
                );
            }
            Code::Unreadable => return write!(f, "cannot be read: {allowed}"),
            Code::Missing => "is missing, and this kind of entry needs it",
            Code::NotText => "must be text",
            Code::NotANumber => "must be a number",
            Code::NotWhole => "must be a whole number",
            Code::NotYesOrNo => "must be true or false",
            Code::NotATime => "must be a whole number of milliseconds since 1970",
            Code::NotAList => "must be a list",
            Code::NotAnObject => "must be an object",
            Code::NotAColour => {
                "must be three numbers, L* from 0 to 100, a* and b* from -200 to 200"
            }
            Code::NotARectangle => {
                "must be four whole numbers x0, y0, x1, y1 in pixels with x0 < x1 and y0 < y1, at most 100000"
            }
            Code::NotADate => "must be a date written YYYY-MM-DD",
            Code::NotAHash => "must be 64 hexadecimal digits",
            Code::NotAnId => "must be 8 to 40 characters of 0-9, a-z and -",
            Code::UnknownZone => {
                "is not a known time zone; pick one such as Europe/Oslo or America/Denver"
            }
            Code::Empty => "must not be empty",
            Code::ControlCharacters => "holds control characters; type it again",
            Code::ShortDay => "must be at least an hour after work begins (from_h)",
            Code::NoWorkday => "must leave a day of the week to work on",
            Code::NothingRead => "a reading needs at least one value",
            Code::PourNeeded => "a concrete temperature needs the pour that it was taken in",
            Code::ResultNeeded => "a strength test needs its result",
            Code::TimeNeeded => "say when to ask again",
            Code::NothingChanged => "must change at least one field",
            Code::IdTaken => {
                "belongs to another entry already; nothing stored is ever changed, so send this one under a new id, or as a correction"
            }
            Code::SiteIsNotId => {
                "must be the same as id: the entry that makes a site gives it its id"
            }
            Code::UnknownSite => {
                "is not a site that this hub knows; send the entry that makes the site first"
            }
            Code::KeeperOnly => {
                "is for a keeper to log; ask one, or have this device's role changed"
            }
            Code::NotASocket => {
                "must have the form 0.0.0.0:8478 (any address of this computer) or 192.168.1.5:8478"
            }
            Code::NotAnAddress => {
                "is no address of the web; write it like https://example.org/hook"
            }
            Code::PasswordInAddress => {
                "holds a name or a password, which others would see; leave them out"
            }
            Code::PlaceMissing => "needs {lat} and {lon} where the place goes in",
            Code::NotATimeOfDay => "must be a time of day from 00:00 to 23:59",
            Code::NotEncrypted => {
                "without encryption the password and the mail could be read on the way; that is only possible to a server on this computer (localhost), so choose STARTTLS or TLS"
            }
            Code::NotAMailAddress => {
                "is no mail address; write it like site@example.org, several with commas between them"
            }
        };
        f.write_str(said)
    }
}
