//! What each milestone waits for in one member: the criteria of the trade, one row a kind.
//!
//! Thresholds stand here with their source; how a criterion is reckoned is in
//! [`super::moments`], what else is particular to a milestone in [`crate::milestone`].

use super::member::Member;
use super::moments::{Opening, Waits};
use super::weather::Weather;
use crate::facts::{NextStepRule, PourFacts, Surface};
use crate::milestone::MilestoneKind;
use crate::prediction::{Criterion, Place};
use crate::units::Mpa;

/// Strength at the top for feet in soft soles that keep off the edges, and for free use on
/// foot, MPa (design defaults; the first is what stands a frost, PCA).
const SOFT_SOLES_MPA: f64 = 3.5;
const FREELY_MPA: f64 = 7.0;
/// The next step by the handbook: 4 days at 20 °C (NHBC standards 3.1.15, of walls on
/// foundations) as hours at 23 °C by the default rate at 20 °C, and a strength, MPa (design
/// default).
const HANDBOOK_DAYS: f64 = 4.0;
const HANDBOOK_AGE_H: f64 = HANDBOOK_DAYS * 24.0 * 0.8413;
const HANDBOOK_MPA: f64 = 7.0;
/// Strength at which edges are too hard to dress by hand: about the third day of a warm
/// pour (common practice, no source).
const TOO_HARD_MPA: f64 = 14.0;
/// Share of the specified 28-day strength for full use and for the end of curing, per cent.
const SHARE_PCT: f64 = 70.0;
/// Least days before full use and of curing (ACI 308).
const LEAST_DAYS: f64 = 7.0;
/// Calendar days before a stain or a sealer: drying is not maturity (trade pages).
const SEAL_DAYS: f64 = 28.0;

/// All milestones of a member, in the order of [`MilestoneKind::ALL`]. What was `seen`
/// stands for what was expected where something heavier builds on it.
pub(crate) fn moments(
    facts: &PourFacts,
    weather: &Weather,
    m: &Member,
    seen: &[Option<f64>],
) -> Vec<Opening> {
    let waits = Waits::new(facts, weather, m);
    let opening = |kind: MilestoneKind| opening(kind, &waits);
    let mut all: Vec<Opening> = MilestoneKind::ALL.into_iter().map(opening).collect();
    for kind in MilestoneKind::by_weight() {
        for lighter in kind.row().builds_on {
            let hour = match seen.get(*lighter as usize).copied().flatten() {
                Some(hour) => Some(hour),
                None => all.get(*lighter as usize).map(Opening::opens),
            };
            if let (Some(hour), Some(opening)) = (hour, all.get_mut(kind as usize)) {
                opening.build_on(*lighter, hour);
            }
        }
    }
    all
}

/// When it opens in one member, for itself.
fn opening(kind: MilestoneKind, w: &Waits<'_>) -> Opening {
    use MilestoneKind as K;
    match kind {
        K::SheenGone => Opening::when([w.bleed()]),
        K::Texture => match w.surface {
            Surface::Dragged => Opening::when([w.bleed()]).until(w.initial),
            // From a mark of 6 mm with no water standing, until a faint print.
            Surface::Pressed => Opening::when([w.bleed(), w.initial_set()]).until(w.faint),
        },
        K::InitialSet => Opening::when([w.initial_set()]),
        K::FinalSet => Opening::when([w.final_set()]),
        K::FormOff => Opening::when(w.strip()),
        K::Dress => Opening::when(w.edges_free()).until(w.strong(Place::Edge, TOO_HARD_MPA).1),
        K::NextStep => {
            let by_load = Opening::when([w.carries()]);
            let by_handbook = Opening::when([
                w.aged(Place::Middle, HANDBOOK_AGE_H),
                w.strong(Place::Middle, HANDBOOK_MPA),
            ]);
            // The other rule is told beside the one that was chosen.
            match w.next_step {
                NextStepRule::Load => {
                    let days = HANDBOOK_DAYS;
                    by_load.beside((Criterion::Handbook { days }, by_handbook.opens()))
                }
                NextStepRule::Handbook => {
                    let mpa = w.carrying();
                    by_handbook.beside((Criterion::Load { mpa }, by_load.opens()))
                }
            }
        }
        K::Foot => {
            let mpa = Mpa(FREELY_MPA);
            let (_, freely) = w.strong(Place::Top, FREELY_MPA);
            Opening::when([w.strong(Place::Top, SOFT_SOLES_MPA)])
                .beside((Criterion::Freely { mpa }, freely))
        }
        K::FullUse => Opening::when([w.days(LEAST_DAYS), w.share(Place::Middle, SHARE_PCT)]),
        K::CuringEnds => Opening::when([
            w.curing_table(),
            w.days(LEAST_DAYS),
            w.share(Place::Top, SHARE_PCT),
        ]),
        K::Seal => Opening::when([w.days(SEAL_DAYS)]),
    }
}
