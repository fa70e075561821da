//! What is shown of the colours of a site, as plain data.
//!
//! How it is found: [`super`]; what is shown of doses is in [`super::super::dose`].

use crate::facts::{Card, Observed, Wetness};
use crate::view::dose::CanDose;
use crate::view::types::{Mixed, Rec};
use serde::Serialize;
use slowstone_colour::compare::{Caution, Place, Word};
use slowstone_curing::units::AtMs;

/// The colours of a site.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ColoursView {
    /// The instant that this view is for.
    pub now_ms: AtMs,
    /// Reference cards.
    pub cards: Vec<Rec<Card>>,
    /// Cards that people have at hand and that are not set up yet.
    pub presets: Vec<Card>,
    /// Photos in which colour can be measured, newest first.
    pub photos: Vec<PhotoLine>,
    /// Every pour: steps by number, then samples by time.
    pub pieces: Vec<PieceColour>,
    /// The pour that the others are held against.
    pub against: Option<String>,
    /// Each other measured pour against it.
    pub pairs: Vec<Pair>,
    /// Additives and mixes of which something is known.
    pub doses: Vec<CanDose>,
}

/// A photo to measure in.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PhotoLine {
    /// Its id.
    pub id: String,
    /// Hash of the file.
    pub hash: String,
    /// The pour that it is filed under.
    pub pour: Option<String>,
    /// When it was taken.
    pub taken_ms: AtMs,
    /// Measurements in it.
    pub measured: u32,
}

/// A pour with its colours and what may have made them.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PieceColour {
    /// The pour.
    pub pour: String,
    /// Number of the step; none for a sample.
    pub step_number: Option<u32>,
    /// Name of the step or sample.
    pub name: String,
    /// Flight of the step.
    pub flight: Option<String>,
    /// When it was poured.
    pub started_ms: AtMs,
    /// Name of the mix, if it was said.
    pub mix: Option<String>,
    /// What the batches add up to: bags, water per bag, additives in per cent of cement.
    pub mixed: Mixed,
    /// Temperature of the concrete when it was placed, or of the air.
    pub placed_c: Option<f64>,
    /// Measurements by the time of the photo.
    pub measured: Vec<MeasuredColour>,
    /// Which of these stands for the pour: the newest dry one, else the newest.
    pub chosen: Option<usize>,
    /// How each measurement differs from the first.
    pub since_first: Vec<Apart>,
    /// How it stands among the steps of its flight.
    pub place: Option<Place>,
    /// CIEDE2000 to the middle of the others and what it may be off, if there are enough.
    pub from_middle: Option<(f64, f64)>,
}

/// A measured colour as shown.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct MeasuredColour {
    /// The record.
    pub id: String,
    /// Hash of the photo.
    pub hash: String,
    /// When the photo was taken.
    pub taken_ms: AtMs,
    /// Age of the concrete then, days; none if the photo is older than the pour.
    pub age_d: Option<f64>,
    /// How wet it was.
    pub state: Option<Wetness>,
    /// L*, a*, b*, D65.
    pub lab: [f64; 3],
    /// Half of the 95 % range of each: two standard uncertainties.
    pub give_or_take: [f64; 3],
    /// sRGB for a screen, `#rrggbb`.
    pub swatch: String,
    /// The same at the dark and at the light end of the range.
    pub swatch_range: (String, String),
    /// What was doubtful.
    #[cfg_attr(feature = "ts", ts(type = "ColourDoubt[]"))]
    pub warnings: Vec<String>,
    /// A card was given another colour since; measuring again would give another result.
    pub card_changed: bool,
}

/// Two colours against each other.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Apart {
    /// CIEDE2000, and the ends of its 95 % range.
    pub de2000: (f64, f64, f64),
    /// The word for it, and for the ends of the range.
    pub words: (Word, Word, Word),
    /// What the second is, surely: lighter, redder ...
    pub tends: Vec<Tend>,
    /// L*, a*, b* of the second minus the first.
    pub delta: [f64; 3],
    /// What to think of.
    pub cautions: Vec<Caution>,
}

/// A direction of colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Tend {
    /// More L*.
    Lighter,
    /// Less L*.
    Darker,
    /// More a*.
    Redder,
    /// Less a*.
    Greener,
    /// More b*.
    Yellower,
    /// Less b*.
    Bluer,
}

/// Two pours against each other.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Pair {
    /// The other pour.
    pub pour: String,
    /// Its colour against that of the chosen one.
    pub apart: Apart,
    /// What else differed, the likeliest cause first.
    pub differed: Vec<Differed>,
}

/// Something that differed between two pours: first the chosen one, then the other.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum Differed {
    /// Dose of an additive, % of cement.
    Dose {
        /// Its name.
        name: String,
        /// Of each pour.
        pct: (f64, f64),
    },
    /// The mix.
    Mix {
        /// Names.
        names: (String, String),
    },
    /// Water per bag, litres.
    Water {
        /// Of each pour.
        litres: (f64, f64),
    },
    /// Temperature at placing.
    Placed {
        /// Of each pour.
        temps_c: (f64, f64),
    },
    /// The liner or its side, as it is named.
    Liner {
        /// Names; empty for none.
        names: (String, String),
    },
    /// The form.
    Form {
        /// Names.
        names: (String, String),
    },
    /// What was done for curing.
    Cure {
        /// What was seen on each.
        seen: (Vec<Observed>, Vec<Observed>),
    },
    /// Number of batches.
    Batches {
        /// Of each pour.
        counts: (u32, u32),
    },
    /// What people noted: release powder, dust, rain.
    Note {
        /// Texts.
        texts: (String, String),
    },
}
