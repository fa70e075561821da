//! The milestones: one row each, with everything that is particular to it.
//!
//! A row says what opens the milestone, what a person sees when it has come, whether people
//! do it, wait for it, are reminded of it, and whether it harms when done too early. The
//! order is that of the trade. Words for each are in the Fluent files (`m-…`); how a
//! criterion is reckoned is in [`super::moments`]. How to add a row: DEVELOPERS.md.

use super::moments::{Opening, Waits};
use super::{Place, Seen};
use serde::{Deserialize, Serialize};

/// Strength for the next step and for feet, MPa (design default).
const CARRIES_MPA: f64 = 7.0;
/// Hours at 23 °C before the next step: 4 days at 20 °C (NHBC standards 3.1.15), by the
/// default rate at 20 °C.
const STACK_AGE_H: f64 = 4.0 * 24.0 * 0.8413;
/// Strength at which edges are too hard to dress by hand: about the third day of a warm
/// pour (common practice, no source).
pub(crate) const TOO_HARD_MPA: f64 = 10.0;
/// Share of the 28-day strength for full use and for the end of curing, per cent.
const SHARE_PCT: f64 = 70.0;
/// Least days before full use and of curing (ACI 308).
const LEAST_DAYS: f64 = 7.0;
/// Calendar days before a stain or a sealer: drying is not maturity (trade pages).
const SEAL_DAYS: f64 = 28.0;

/// What the trade does with a milestone.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    /// Observations that say it has come.
    pub seen: &'static [Seen],
    /// People do it: the smaller, the more pressing. None for what is only waited for.
    pub pressing: Option<u8>,
    /// Done too early it can do harm, so "not yet" is said.
    pub guarded: bool,
    /// People are reminded of it; the reminder stays so many hours.
    pub reminded_h: Option<f64>,
    /// When it opens in one member.
    pub(crate) opens: fn(&Waits<'_>) -> Opening,
}

macro_rules! milestones {
    ($($(#[$doc:meta])* $kind:ident { $($field:ident: $value:expr),* $(,)? })*) => {
        /// The moments that people wait for.
        #[derive(
            Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
        )]
        #[cfg_attr(feature = "ts", derive(ts_rs::TS))]
        #[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
        #[serde(rename_all = "snake_case")]
        pub enum MilestoneKind {
            $($(#[$doc])* $kind,)*
        }

        impl MilestoneKind {
            /// Every kind, in the order in which they usually come.
            pub const ALL: [MilestoneKind; [$(stringify!($kind)),*].len()] =
                [$(MilestoneKind::$kind),*];

            /// What is particular to it.
            #[must_use]
            pub const fn row(self) -> Row {
                match self {
                    $(MilestoneKind::$kind => Row { $($field: $value),* },)*
                }
            }
        }
    };
}

milestones! {
    /// Bleed water no longer stands on the surface.
    SheenGone {
        seen: &[Seen::SheenGone], pressing: None, guarded: false, reminded_h: None,
        opens: |w| Opening::when([w.bleed()]),
    }
    /// The surface takes a texture (a window).
    Texture {
        seen: &[Seen::Textured], pressing: Some(0), guarded: false, reminded_h: Some(24.0),
        opens: |w| Opening::when([w.bleed()]).until(w.initial),
    }
    /// Initial set.
    InitialSet {
        seen: &[Seen::ThumbMark], pressing: None, guarded: false, reminded_h: None,
        opens: |w| Opening::when([w.initial_set()]).after(w.sheen),
    }
    /// Final set.
    FinalSet {
        seen: &[Seen::ThumbNone], pressing: None, guarded: false, reminded_h: None,
        opens: |w| Opening::when([w.final_set()]).after(w.initial),
    }
    /// The form may come off.
    FormOff {
        seen: &[Seen::StrippedClean, Seen::StrippedStuck],
        pressing: Some(1), guarded: true, reminded_h: Some(14.0 * 24.0),
        opens: |w| Opening::when(w.strip()).after(w.last),
    }
    /// Edges may be dressed (a window).
    Dress {
        seen: &[Seen::DressedEasily, Seen::DressedHard],
        pressing: Some(2), guarded: false, reminded_h: Some(7.0 * 24.0),
        opens: |w| Opening::when(w.edges_free()).after(w.last)
            .until(w.strong(Place::Edge, TOO_HARD_MPA).1),
    }
    /// The next step may be cast on top.
    NextStep {
        seen: &[], pressing: Some(3), guarded: true, reminded_h: Some(7.0 * 24.0),
        opens: |w| Opening::when([
            w.aged(Place::Middle, STACK_AGE_H),
            w.strong(Place::Middle, CARRIES_MPA),
        ]).after(w.last),
    }
    /// Light foot traffic.
    Foot {
        seen: &[Seen::Walked], pressing: Some(7), guarded: true, reminded_h: Some(48.0),
        opens: |w| Opening::when([w.strong(Place::Top, CARRIES_MPA)]).after(w.last),
    }
    /// Full use.
    FullUse {
        seen: &[], pressing: Some(6), guarded: true, reminded_h: None,
        opens: |w| Opening::when([w.days(LEAST_DAYS), w.share(Place::Middle, SHARE_PCT)])
            .after(w.last),
    }
    /// Curing may end.
    CuringEnds {
        seen: &[], pressing: Some(5), guarded: true, reminded_h: Some(7.0 * 24.0),
        opens: |w| Opening::when([
            w.curing_table(),
            w.days(LEAST_DAYS),
            w.share(Place::Top, SHARE_PCT),
        ]).after(w.last),
    }
    /// Ready to stain or seal.
    Seal {
        seen: &[], pressing: Some(4), guarded: false, reminded_h: Some(60.0 * 24.0),
        opens: |w| Opening::when([w.days(SEAL_DAYS)]).after(w.last),
    }
}

impl MilestoneKind {
    /// What people do, the most pressing first.
    pub fn doings() -> impl Iterator<Item = MilestoneKind> {
        let mut all: Vec<MilestoneKind> = Self::ALL
            .into_iter()
            .filter(|k| k.row().pressing.is_some())
            .collect();
        all.sort_by_key(|k| k.row().pressing);
        all.into_iter()
    }
}
