//! Doubts and refusals, as codes for programs and as sentences for people.
//!
//! A [`Refusal`] says why there is no colour, a [`Warning`] what may be wrong with the
//! one there is; both say what to do. When something is doubtful is in [`super::say`].

use core::fmt;
use serde::{Deserialize, Serialize};

/// Why a colour is not measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Refusal {
    /// No card, or more than two.
    NotOneOrTwoReferences,
    /// A card is over-exposed.
    ReferenceClipped,
    /// A card is almost black.
    ReferenceDark,
    /// A card has too few pixels.
    ReferenceTooSmall,
    /// The stated colour of a card cannot be used.
    ReferenceColour,
    /// The patch is over-exposed or black.
    PatchClipped,
    /// The patch has too few pixels.
    PatchTooSmall,
}

impl Refusal {
    /// For programs; stays the same.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Refusal::NotOneOrTwoReferences => "not_one_or_two_references",
            Refusal::ReferenceClipped => "reference_clipped",
            Refusal::ReferenceDark => "reference_dark",
            Refusal::ReferenceTooSmall => "reference_too_small",
            Refusal::ReferenceColour => "reference_colour",
            Refusal::PatchClipped => "patch_clipped",
            Refusal::PatchTooSmall => "patch_too_small",
        }
    }

    /// What is wrong and what to do, for people.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Refusal::NotOneOrTwoReferences => "Mark one or two reference cards.",
            Refusal::ReferenceClipped => {
                "The reference card is over-exposed, so its colour in the photo is not known. Take the photo again, darker: tap on the card before you shoot."
            }
            Refusal::ReferenceDark => {
                "The reference card is too dark to measure by. Take the photo again in more light."
            }
            Refusal::ReferenceTooSmall => {
                "The rectangle on the reference card is too small: at least 10 by 10 pixels. Go closer or mark more of the card."
            }
            Refusal::ReferenceColour => {
                "The colour of the reference card cannot be used: it must be a light or grey surface whose red, green and blue are all known. Check its L*, a*, b*."
            }
            Refusal::PatchClipped => {
                "Half of the patch or more is over-exposed or black. Take the photo again with the concrete well exposed."
            }
            Refusal::PatchTooSmall => {
                "The patch is too small: at least 10 by 10 pixels. Go closer or mark more of the concrete."
            }
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.text())
    }
}

impl core::error::Error for Refusal {}

/// What may be wrong with a measured colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS), ts(rename = "ColourDoubt"))]
#[cfg_attr(
    feature = "schema",
    derive(schemars::JsonSchema),
    schemars(rename = "ColourDoubt")
)]
#[serde(rename_all = "snake_case")]
pub enum Warning {
    /// A small part of a card is over-exposed.
    ReferencePartlyClipped,
    /// A card is nearly over-exposed.
    ReferenceBright,
    /// A card is dark.
    ReferenceDim,
    /// There is shadow, dirt or another surface on a card.
    ReferenceUneven,
    /// White paper is the reference.
    ReferenceIsPaper,
    /// Card and concrete are far apart in lightness.
    ReferenceFarInLightness,
    /// The two cards see light of different colour.
    CardsDisagree,
    /// The patch does not lie between the two cards.
    NotBetweenCards,
    /// The light changes across the patch, and one card cannot tell how much.
    LightChanges,
    /// The light or the camera has a strong colour.
    StrongCast,
    /// Part of the patch is over-exposed.
    PatchPartlyClipped,
    /// The patch is dark.
    PatchDim,
    /// Much of the patch is shadow or stain.
    PatchUneven,
    /// The patch has few pixels.
    PatchSmall,
    /// The photo has a colour profile that is not known here.
    ProfileUnknown,
    /// Only a small preview of the photo could be read.
    PreviewOnly,
}

impl Warning {
    /// What is doubtful and what to do, for people.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Warning::ReferencePartlyClipped => {
                "Part of the reference card is over-exposed and was left out; a darker photo is safer."
            }
            Warning::ReferenceBright => {
                "The reference card is nearly over-exposed, where cameras bend colours; a darker photo is safer."
            }
            Warning::ReferenceDim => {
                "The reference card is dark in the photo; more light is safer."
            }
            Warning::ReferenceUneven => {
                "The reference card is unevenly lit or dirty. Keep shadows off it and mark only the card."
            }
            Warning::ReferenceIsPaper => {
                "White paper is a weak reference: sheets differ and many hold brightener. A grey card is better."
            }
            Warning::ReferenceFarInLightness => {
                "The card is much lighter or darker than the concrete, so the camera's tone curve counts. A grey card close to the concrete in lightness is better."
            }
            Warning::CardsDisagree => {
                "The two cards see light of different colour, as sun and sky give it. Take the photo in open shade."
            }
            Warning::NotBetweenCards => {
                "The patch does not lie between the two cards. Put one card on each side."
            }
            Warning::LightChanges => {
                "The light changes across the patch. Put the card closer, or one on each side."
            }
            Warning::StrongCast => {
                "The light has a strong colour, which makes the result less sure. Take the photo in daylight, in open shade, without flash."
            }
            Warning::PatchPartlyClipped => {
                "Part of the patch is over-exposed and was left out; a darker photo is safer."
            }
            Warning::PatchDim => "The patch is dark in the photo; more light is safer.",
            Warning::PatchUneven => {
                "Much of the patch is shadow, stain or another surface and was left out. Mark a cleaner patch if there is one."
            }
            Warning::PatchSmall => "The patch has few pixels; go closer or mark more of it.",
            Warning::ProfileUnknown => {
                "The colour profile of this photo is not known here; it was read as sRGB, and the colour may be off."
            }
            Warning::PreviewOnly => {
                "Only the small preview inside the file could be read; send the photo as JPEG for a better measurement."
            }
        }
    }
}
