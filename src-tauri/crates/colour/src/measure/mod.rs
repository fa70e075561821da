//! The colour of the paste in a patch of a photo, by reference cards of known colour.
//!
//! [`measure`] works in linear light: it drops clipped pixels, finds the paste among
//! shadow, stains, pores and specks (`robust`), takes out the light by the cards
//! (`light`) and says how sure it is (`spread`). What it doubts comes as [`Warning`],
//! what it does not measure at all as [`Refusal`] (`say`). It does not decode photos;
//! levels come upright and in the profile named beside them.

mod light;
mod robust;
mod say;
mod spread;

pub(crate) use robust::median;
pub use say::{Refusal, Warning};
pub(crate) use spread::together;
pub use spread::{Parts, usual_card_sd};

use crate::profile::Profile;
use crate::space::{Lab, Triple, linear, pairwise};
use light::{Card, Light};
use robust::Core;
use serde::{Deserialize, Serialize};

/// A rectangle of pixels, counted from the top left corner of the picture as displayed;
/// the last column and row are not part of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Rect {
    /// First column.
    pub x0: u32,
    /// First row.
    pub y0: u32,
    /// Column after the last.
    pub x1: u32,
    /// Row after the last.
    pub y1: u32,
}

impl Rect {
    /// Columns.
    #[must_use]
    pub const fn width(self) -> u32 {
        self.x1.saturating_sub(self.x0)
    }

    /// Rows.
    #[must_use]
    pub const fn height(self) -> u32 {
        self.y1.saturating_sub(self.y0)
    }

    /// Pixels.
    #[must_use]
    pub const fn pixels(self) -> usize {
        self.width() as usize * self.height() as usize
    }

    /// The middle, x and y.
    #[must_use]
    pub fn middle(self) -> (f64, f64) {
        let mid = |p: u32, q: u32| (f64::from(p) + f64::from(q)) / 2.0;
        (mid(self.x0, self.x1), mid(self.y0, self.y1))
    }

    /// True if the two have a pixel in common.
    #[must_use]
    pub const fn meets(self, other: Rect) -> bool {
        self.x0 < other.x1 && other.x0 < self.x1 && self.y0 < other.y1 && other.y0 < self.y1
    }
}

/// How finely the levels are known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Depth {
    /// Whole levels out of a decoder, as a browser gives them.
    #[default]
    Whole,
    /// Fractions of levels, computed from the coefficients of the JPEG.
    Fine,
}

/// What is common to all pixels of a photo.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Picture {
    /// Columns of the whole picture as displayed.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Which RGB.
    pub profile: Profile,
    /// How fine the levels are.
    pub depth: Depth,
}

/// The pixels of a rectangle.
#[derive(Clone, Copy, Debug)]
pub struct Region<'a> {
    /// Where.
    pub rect: Rect,
    /// Red, green and blue level, 0 to 255, row by row.
    pub levels: &'a [[f32; 3]],
}

/// A card of known colour in the photo.
#[derive(Clone, Copy, Debug)]
pub struct Reference<'a> {
    /// Its pixels.
    pub region: Region<'a>,
    /// Its colour, D65.
    pub lab: Lab,
    /// Standard uncertainty of its L*, a*, b*; [`usual_card_sd`] if not given.
    pub sd: Option<Triple>,
}

/// A colour that was measured.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Measured {
    /// The colour of the paste.
    pub lab: Lab,
    /// Standard uncertainty of L*, a*, b*: all parts together.
    pub sd: Triple,
    /// Where the uncertainty comes from.
    pub parts: Parts,
    /// Share of the pixels of the patch that are clipped and were dropped.
    pub clipped_share: f64,
    /// Share of the patch that was left out as shadow, stain, pore or speck.
    pub left_out_share: f64,
    /// Colour of the light and the camera's error together: red, green and blue of a
    /// white surface, green = 1.
    pub cast: Triple,
    /// What to think of.
    pub warnings: Vec<Warning>,
}

/// Share of clipped pixels above which a card is not believed. The rest of its pixels
/// would be the darker ones, and the gain wrong. Our judgement.
const CARD_CLIPPED: f64 = 0.05;
/// Share of clipped pixels above which a patch is not measured. Our judgement.
const PATCH_CLIPPED: f64 = 0.5;
/// Fewest pixels of a patch and of a card. Our judgement.
const FEWEST: usize = 100;

/// Measures the colour of the paste in `patch` by one or two `references` in the same photo.
///
/// ```
/// use slowstone_colour::measure::{Depth, Picture, Rect, Reference, Region, measure};
/// use slowstone_colour::{Lab, Profile, de2000};
/// let picture = Picture { width: 80, height: 40, profile: Profile::Srgb, depth: Depth::Whole };
/// let square = |x0: u32| Rect { x0, y0: 10, x1: x0 + 20, y1: 30 };
/// // An 18 % grey card, and concrete that is darker, in light that turns both a little red.
/// let (card, concrete) = (vec![[126.0, 117.0, 112.0]; 400], vec![[110.0, 98.0, 90.0]; 400]);
/// let measured = measure(
///     &picture,
///     &Region { rect: square(40), levels: &concrete },
///     &[Reference {
///         region: Region { rect: square(10), levels: &card },
///         lab: Lab::new(49.5, 0.0, 0.0),
///         sd: None,
///     }],
/// )
/// .unwrap();
/// assert!(measured.lab.l < 49.5 && measured.cast[0] > 1.0);
/// // The card itself comes out as what it is known to be, but for the lens.
/// let bare = Region { rect: square(40), levels: &card };
/// let grey = Reference {
///     region: Region { rect: square(10), levels: &card },
///     lab: Lab::new(49.5, 0.0, 0.0),
///     sd: None,
/// };
/// let again = measure(&picture, &bare, &[grey]).unwrap();
/// assert!(de2000(again.lab, grey.lab) < 0.5);
/// ```
///
/// # Errors
/// Why there is no measurement that could be trusted: [`Refusal`].
pub fn measure(
    picture: &Picture,
    patch: &Region<'_>,
    references: &[Reference<'_>],
) -> Result<Measured, Refusal> {
    let mut warnings = Vec::new();
    let cards = cards(picture, references, &mut warnings)?;
    let light = Light::from_cards(picture, cards, patch.rect)?;
    sized(patch).ok_or(Refusal::PatchTooSmall)?;
    let (clipped_share, mean) = levels(patch);
    if clipped_share > PATCH_CLIPPED {
        return Err(Refusal::PatchClipped);
    }
    let core = Core::of(patch, |x, y| light.relative(x, y)).ok_or(Refusal::PatchClipped)?;

    let spread = spread::Spread {
        picture,
        light: &light,
        core: &core,
        level: mean,
        card_sd: card_sd(references),
    };
    let lab = light.colour(core.rgb);
    let parts = spread.parts();
    let doubts = say::Seen {
        clipped_share,
        left_out_share: core.left_out,
        pixels: patch.rect.pixels(),
        level: mean,
        gradient: spread.gradient(),
        lightness_apart: light.apart(core.rgb),
    };
    warnings.extend(doubts.warnings());
    warnings.extend(light.warnings());
    Ok(Measured {
        lab,
        sd: parts.total(),
        parts,
        clipped_share,
        left_out_share: core.left_out,
        cast: light.cast(),
        warnings,
    })
}

/// The cards, each with the light that it sends back.
fn cards(
    picture: &Picture,
    references: &[Reference<'_>],
    warnings: &mut Vec<Warning>,
) -> Result<Vec<Card>, Refusal> {
    if references.is_empty() || references.len() > 2 {
        return Err(Refusal::NotOneOrTwoReferences);
    }
    let mut cards = Vec::new();
    for reference in references {
        let region = &reference.region;
        sized(region).ok_or(Refusal::ReferenceTooSmall)?;
        let (clipped, mean) = levels(region);
        if clipped > CARD_CLIPPED {
            return Err(Refusal::ReferenceClipped);
        }
        let fall = |x, y| [light::falloff(picture, x, y); 3];
        let core = Core::of(region, fall).ok_or(Refusal::ReferenceClipped)?;
        let card = Card::new(picture, reference, core, mean)?;
        warnings.extend(say::of_card(&card, clipped));
        cards.push(card);
    }
    warnings.dedup();
    Ok(cards)
}

fn card_sd(references: &[Reference<'_>]) -> Triple {
    let all = references
        .iter()
        .map(|r| r.sd.unwrap_or_else(|| usual_card_sd(r.lab)));
    // Two cards of one kind may be wrong in the same way: the larger counts.
    all.fold([0.0; 3], |most, sd| pairwise(most, sd, f64::max))
}

fn sized(region: &Region<'_>) -> Option<()> {
    let pixels = region.rect.pixels();
    (pixels >= FEWEST && pixels == region.levels.len()).then_some(())
}

/// At or above this level, and at or below the other, a channel is clipped: it could as
/// well be any brighter or darker.
const CLIPPED_FROM: f32 = 253.5;
const CLIPPED_TO: f32 = 0.5;

pub(crate) fn is_clipped(levels: [f32; 3]) -> bool {
    // All black is dark, not clipped; one channel at the end spoils the ratio.
    levels.iter().any(|v| !(*v < CLIPPED_FROM)) || levels.iter().all(|v| *v <= CLIPPED_TO)
}

/// Share of clipped pixels and the mean level of each channel.
fn levels(region: &Region<'_>) -> (f64, Triple) {
    let mut sum = [0.0; 3];
    let mut clipped = 0_u32;
    for level in region.levels {
        clipped += u32::from(is_clipped(*level));
        sum = pairwise(sum, level.map(f64::from), |s, v| s + v);
    }
    let n = region.levels.len().max(1) as f64;
    (f64::from(clipped) / n, sum.map(|s| s / n))
}

/// Linear light of a pixel.
pub(crate) fn light_of(levels: [f32; 3]) -> Triple {
    levels.map(|v| linear(f64::from(v)))
}

#[cfg(test)]
mod tests;
