//! When a measured colour is doubtful: of a card, of the patch, of both together.
//!
//! What each [`Warning`] says is in [`super::doubt`]. The limits are our judgement.

use super::doubt::Warning;
use super::light::Card;
use super::spread::PAPER_FROM;
use crate::space::Triple;

/// What was seen of the patch.
pub(super) struct Seen {
    pub clipped_share: f64,
    pub left_out_share: f64,
    pub pixels: usize,
    pub level: Triple,
    pub gradient: f64,
    pub lightness_apart: f64,
}

impl Seen {
    pub(super) fn warnings(&self) -> Vec<Warning> {
        let small = self.pixels < 2500;
        let doubts = [
            (self.clipped_share > 0.02, Warning::PatchPartlyClipped),
            (most(self.level) < 40.0, Warning::PatchDim),
            (self.left_out_share > 0.15, Warning::PatchUneven),
            (small, Warning::PatchSmall),
            // A slope over so few pixels means little.
            (self.gradient > 0.03 && !small, Warning::LightChanges),
            (
                self.lightness_apart.abs() > 1.5,
                Warning::ReferenceFarInLightness,
            ),
        ];
        true_ones(&doubts)
    }
}

pub(super) fn of_card(card: &Card, clipped_share: f64) -> Vec<Warning> {
    let doubts = [
        (clipped_share > 0.005, Warning::ReferencePartlyClipped),
        (most(card.level) > 245.0, Warning::ReferenceBright),
        (most(card.level) < 40.0, Warning::ReferenceDim),
        (
            card.core.rough > 0.04 || card.core.left_out > 0.2,
            Warning::ReferenceUneven,
        ),
        (card.lab.l >= PAPER_FROM, Warning::ReferenceIsPaper),
    ];
    true_ones(&doubts)
}

fn most([r, g, b]: Triple) -> f64 {
    r.max(g).max(b)
}

fn true_ones(doubts: &[(bool, Warning)]) -> Vec<Warning> {
    doubts.iter().filter(|d| d.0).map(|d| d.1).collect()
}
