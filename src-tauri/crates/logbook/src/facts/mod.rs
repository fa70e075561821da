//! What can be logged: one type per kind of event body.
//!
//! To add a kind: a struct here with its checks, a line in `reads!` ([`mod@read`]) and in
//! `kinds!`, and its meaning in [`crate::book`] or [`crate::view`]. Field names carry units.
//! Times are milliseconds since 1970 (UTC).

#[macro_use]
mod read;
mod beside;
mod build;
mod colour;
mod field;
mod plan;
mod work;

pub use beside::{Archive, Copied, Entered, Filing, Mark, MarkKind, Photo, TimeSource, Unlearn};
pub use build::{Additive, AdditiveKind, Form, Liner, Mix};
pub use colour::{Card, CardKind, CardSeen, Colour, Wetness};
pub use field::{
    Batch, Dose, Forecast, Hourly, HourlyRow, Observation, Observed, Pour, Reading, SecondPour,
};
pub(crate) use plan::unknown_zone;
pub use plan::{Flight, Located, Site, Step, Units, whole_degree};
pub(crate) use read::typed;
pub use work::{
    Bought, Checklist, Crew, Layout, Materials, Planned, PlannedDose, Rules, Ticked, Weekday,
};

use crate::limits::{self, FieldError};
use crate::misfit::MisfitCode;
use read::Read;
use serde::Serialize;
use serde_json::{Map, Value};
use slowstone_curing::units::AtMs;

/// Changes some fields of an earlier record. Nothing stored is altered.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Correction {
    /// The record that is corrected.
    pub target: String,
    /// New values by field; `null` empties an optional field.
    #[cfg_attr(feature = "ts", ts(type = "Record<string, unknown>"))]
    pub changes: Map<String, Value>,
    /// Corrections and retractions of the target that the author had seen.
    pub seen: Vec<String>,
    /// When the record was logged, where the clock of its device showed no time.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub logged_ms: Option<AtMs>,
}

/// Takes back a record, a correction or a retraction. Nothing stored is deleted.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Retraction {
    /// The event that is taken back.
    pub target: String,
    /// Why, if given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
}

reads! {
    Correction { target, changes, seen = default, logged_ms }
    Retraction { target, why }
}

/// One kind of fact, as it is found among all of them.
pub(crate) trait Kind: Clone + 'static {
    /// The fact, if it is of this kind.
    fn of(fact: &Fact) -> Option<&Self>;
}

/// A body that can check itself.
pub(crate) trait Checked {
    /// Refuses what cannot be; single numbers were checked before by [`limits::numbers`].
    fn check(&self) -> Result<(), FieldError>;
}

macro_rules! kinds {
    ($($kind:literal => $name:ident),+ $(,)?) => {
        /// A parsed event body.
        #[derive(Clone, Debug, PartialEq)]
        pub enum Fact {
            $(
                #[doc = concat!("Kind `", $kind, "`.")]
                $name($name),
            )+
        }

        impl Fact {
            /// Every kind that this version knows.
            pub const KINDS: &'static [&'static str] = &[$($kind),+];

            /// What its kind is called.
            #[must_use]
            pub fn kind(&self) -> &'static str {
                match self {
                    $(Fact::$name(_) => $kind,)+
                }
            }

            /// Reads a body; `None` for a kind that this version does not know.
            ///
            /// # Errors
            /// Names the field that is missing, unknown or cannot be.
            pub fn parse(kind: &str, body: &Map<String, Value>) -> Result<Option<Fact>, FieldError> {
                match kind {
                    $($kind => read::<$name>(body).map(|x| Some(Fact::$name(x))),)+
                    _ => Ok(None),
                }
            }
        }

        $(
            impl Kind for $name {
                fn of(fact: &Fact) -> Option<&Self> {
                    match fact {
                        Fact::$name(x) => Some(x),
                        _ => None,
                    }
                }
            }
        )+
    };
}

kinds! {
    "site" => Site,
    "flight" => Flight,
    "step" => Step,
    "mix" => Mix,
    "additive" => Additive,
    "form" => Form,
    "liner" => Liner,
    "pour" => Pour,
    "batch" => Batch,
    "reading" => Reading,
    "forecast" => Forecast,
    "hourly" => Hourly,
    "observation" => Observation,
    "photo" => Photo,
    "mark" => Mark,
    "unlearn" => Unlearn,
    "layout" => Layout,
    "rules" => Rules,
    "materials" => Materials,
    "crew" => Crew,
    "planned" => Planned,
    "bought" => Bought,
    "checklist" => Checklist,
    "ticked" => Ticked,
    "archive" => Archive,
    "entered" => Entered,
    "copied" => Copied,
    "card" => Card,
    "colour" => Colour,
    "correction" => Correction,
    "retraction" => Retraction,
}

fn read<T: Checked + Read>(map: &Map<String, Value>) -> Result<T, FieldError> {
    limits::numbers(map)?;
    let fact: T = read::object(map)?;
    fact.check()?;
    Ok(fact)
}

impl Checked for Correction {
    fn check(&self) -> Result<(), FieldError> {
        limits::id("target", &self.target)?;
        limits::numbers(&self.changes)?;
        if self.changes.is_empty() && self.logged_ms.is_none() {
            return Err(FieldError::new("changes", "{}", MisfitCode::NothingChanged));
        }
        Ok(())
    }
}

impl Checked for Retraction {
    fn check(&self) -> Result<(), FieldError> {
        limits::id("target", &self.target)?;
        limits::note("why", self.why.as_deref().unwrap_or(""), 500)
    }
}
