//! The colour of the paste in a patch of a photo, by reference cards of known colour.
//!
//! [`measure`] works in linear light: it drops clipped pixels, finds the paste among
//! shadow, stains, pores and specks (`robust`), takes out the light by the cards
//! (`light`) and says how sure it is (`spread`). What it doubts comes as [`Warning`],
//! what it does not measure at all as [`Refusal`] (`doubt`, `say`). It does not decode photos;
//! levels come upright and in the profile named beside them.

mod doubt;
mod light;
mod picture;
mod robust;
mod say;
mod spread;

pub use doubt::{Refusal, Warning};
use picture::is_clipped;
pub use picture::{Depth, Picture, Rect, Reference, Region};
pub(crate) use robust::median;
pub(crate) use spread::together;
pub use spread::{Parts, usual_card_sd};

use crate::space::{Lab, Triple, pairwise};
use light::{Card, Light};
use robust::Core;
use serde::Serialize;

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

#[cfg(test)]
mod tests;
