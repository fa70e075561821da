//! Colour: the reference cards of a site, and what was measured in its photos.
//!
//! A measurement keeps what it was taken with, the rectangles and the colours of the
//! cards, so that it can be checked or done again. The measuring itself is in
//! `slowstone_colour`; what the measurements say about the steps is in
//! [`crate::view::colour`].

use super::Checked;
use crate::limits::{self, FieldError};
use crate::misfit::{Misfit, MisfitCode};
use serde::{Deserialize, Serialize};
use slowstone_colour::Lab;
use slowstone_colour::compare::State;

/// What a reference card is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum CardKind {
    /// A card made for photographers.
    #[default]
    GreyCard,
    /// A sheet of printer paper: weaker, since sheets differ.
    WhitePaper,
    /// Anything else of known colour.
    Other,
}

/// A surface of known colour that is put into photos.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Card {
    /// What people call it.
    pub name: String,
    /// What it is.
    pub kind: CardKind,
    /// Its L*, a*, b* under D65, 2 degree observer.
    pub lab_d65: [f64; 3],
}

/// How wet the concrete was in the photo.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Wetness {
    /// Water on it or just gone.
    Wet,
    /// Dark from moisture.
    Damp,
    /// As dry as it gets.
    Dry,
}

/// A card in a photo.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct CardSeen {
    /// Which card.
    pub card: String,
    /// Where: first column, first row, column and row after the last, in pixels of the
    /// photo as displayed.
    pub rect: [u32; 4],
    /// The colour of the card that was reckoned with.
    pub lab_d65: [f64; 3],
}

/// A measured colour.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Colour {
    /// The photo.
    pub photo: String,
    /// The pour, where it is not the one that the photo is filed under.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pour: Option<String>,
    /// The rectangle on the concrete, as [`CardSeen::rect`].
    pub patch: [u32; 4],
    /// One or two cards.
    pub references: Vec<CardSeen>,
    /// L*, a*, b* of the paste, D65.
    pub lab_d65: [f64; 3],
    /// Standard uncertainty of it, all parts together.
    pub sd_lab: [f64; 3],
    /// The part that is this photo's own; photos of one camera and card share the rest.
    pub own_sd_lab: [f64; 3],
    /// How wet it was, if noted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub state: Option<Wetness>,
    /// What was doubtful: codes of `slowstone_colour::measure::Warning`.
    pub warnings: Vec<String>,
    /// Anything else.
    pub note: String,
}

reads! {
    Card { name, kind = default, lab_d65 }
    CardSeen { card, rect, lab_d65 }
    Colour { photo, pour, patch, references, lab_d65, sd_lab, own_sd_lab, state, warnings = default, note = default }
}

impl Card {
    /// Cards that people have at hand, unnamed.
    ///
    /// Grey card: 18 % reflectance, L* 49.5 by CIE 15. White paper: copy paper without
    /// much brightener (common practice, no source); its spread is reckoned with.
    #[must_use]
    pub fn presets() -> [Card; 2] {
        let preset = |kind, lab_d65| Card {
            name: String::new(),
            kind,
            lab_d65,
        };
        [
            preset(CardKind::GreyCard, [49.5, 0.0, 0.0]),
            preset(CardKind::WhitePaper, [95.0, 0.5, -2.0]),
        ]
    }
}

impl Colour {
    /// The colour.
    #[must_use]
    pub fn lab(&self) -> Lab {
        Lab::from_array(self.lab_d65)
    }
}

impl From<Wetness> for State {
    fn from(wetness: Wetness) -> State {
        match wetness {
            Wetness::Wet => State::Wet,
            Wetness::Damp => State::Damp,
            Wetness::Dry => State::Dry,
        }
    }
}

impl Checked for Card {
    fn check(&self) -> Result<(), FieldError> {
        limits::text("name", &self.name, 120)?;
        limits::lab("lab_d65", self.lab_d65)
    }
}

impl Checked for Colour {
    fn check(&self) -> Result<(), FieldError> {
        limits::id("photo", &self.photo)?;
        if let Some(pour) = &self.pour {
            limits::id("pour", pour)?;
        }
        limits::rect("patch", self.patch)?;
        if !(1..=2).contains(&self.references.len()) {
            let n = self.references.len().to_string();
            return Err(FieldError::new(
                "references",
                &n,
                Misfit::range(1.0, 2.0, ""),
            ));
        }
        for seen in &self.references {
            limits::id("card", &seen.card)?;
            limits::rect("rect", seen.rect)?;
            limits::lab("lab_d65", seen.lab_d65)?;
        }
        limits::lab("lab_d65", self.lab_d65)?;
        limits::lab_sd("sd_lab", self.sd_lab)?;
        limits::lab_sd("own_sd_lab", self.own_sd_lab)?;
        if self.warnings.len() > 20 {
            let n = self.warnings.len().to_string();
            let why = Misfit::most(MisfitCode::TooMany, 20.0, "");
            return Err(FieldError::new("warnings", &n, why));
        }
        for code in &self.warnings {
            limits::text("warnings", code, 60)?;
        }
        limits::note("note", &self.note, 2000)
    }
}
