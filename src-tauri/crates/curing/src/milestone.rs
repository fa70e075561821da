//! The moments that people wait for, and what the trade does with each.
//!
//! Plain data: which observations say that it has come, whether people do it, are reminded
//! of it, whether it harms when done too early, which test decides while it is only likely,
//! and what is lighter. The order is that of the trade. When
//! one opens is in `predict::criteria`; words for each are in the Fluent files (`m-…`). How
//! to add one: DEVELOPERS.md.

use crate::facts::Seen;
use serde::{Deserialize, Serialize};

/// How a person finds out what the range leaves open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Test {
    /// Look along the surface: does water stand on it?
    Water,
    /// Press a thumb or a boot into it.
    Thumb,
    /// Scratch it with a nail.
    Scratch,
    /// A test of strength: cylinder, cube or rebound.
    Strength,
    /// Tape a sheet of plastic over it and look for water under it a day later.
    Sheet,
}

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
    /// Lighter ones on which it builds: it never opens before them.
    pub builds_on: &'static [MilestoneKind],
    /// It is a piece of work, not only a use that the step has from now on.
    pub work: bool,
    /// The test that decides between likely and safe.
    pub test: Test,
    /// Where this was done, these were done too, logged or not.
    pub shows: &'static [MilestoneKind],
    /// Its window is past once one of these was done, whatever the time.
    pub ended_by: &'static [MilestoneKind],
    /// So many hours after what it builds on was done, it is done without a test first: late
    /// in its window it is only harder work, and the attempt itself tells.
    pub tried_h: Option<f64>,
}

/// What a row that says nothing else is: work that a scratch tests.
const PLAIN: Row = Row {
    seen: &[],
    pressing: None,
    guarded: false,
    reminded_h: None,
    work: true,
    test: Test::Scratch,
    builds_on: &[],
    shows: &[],
    ended_by: &[],
    tried_h: None,
};

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
            #[allow(clippy::needless_update)]
            pub const fn row(self) -> Row {
                match self {
                    $(MilestoneKind::$kind => Row { $($field: $value,)* ..PLAIN },)*
                }
            }
        }
    };
}

milestones! {
    /// Bleed water no longer stands on the surface.
    SheenGone {
        seen: &[Seen::SheenGone], pressing: None, guarded: false, reminded_h: None,
        builds_on: &[],
        work: false, test: Test::Water,
    }
    /// The surface takes a texture (a window).
    Texture {
        seen: &[Seen::Textured], pressing: Some(0), guarded: false, reminded_h: Some(24.0),
        builds_on: &[MilestoneKind::SheenGone],
        test: Test::Thumb,
        shows: &[Self::SheenGone],
        ended_by: &[Self::FinalSet, Self::FormOff, Self::Dress, Self::NextStep, Self::Seal],
    }
    /// Initial set.
    InitialSet {
        seen: &[Seen::Thumb6mm], pressing: None, guarded: false, reminded_h: None,
        builds_on: &[MilestoneKind::SheenGone],
        work: false, test: Test::Thumb,
        shows: &[Self::SheenGone],
    }
    /// Final set.
    FinalSet {
        seen: &[Seen::ThumbNone], pressing: None, guarded: false, reminded_h: None,
        builds_on: &[MilestoneKind::InitialSet],
        work: false, test: Test::Thumb,
        shows: &[Self::SheenGone, Self::InitialSet],
    }
    /// The form may come off.
    FormOff {
        seen: &[Seen::StrippedClean, Seen::StrippedStuck],
        pressing: Some(1), guarded: true, reminded_h: Some(14.0 * 24.0),
        builds_on: &[MilestoneKind::FinalSet],
        shows: &[Self::SheenGone, Self::InitialSet, Self::FinalSet],
    }
    /// Edges may be dressed (a window).
    Dress {
        seen: &[Seen::DressedEasily, Seen::DressedHard],
        pressing: Some(2), guarded: false, reminded_h: Some(7.0 * 24.0),
        builds_on: &[MilestoneKind::FormOff],
        shows: &[Self::SheenGone, Self::InitialSet, Self::FinalSet, Self::FormOff],
        ended_by: &[Self::Seal],
        // The working day on which the form came off (judgement, no source).
        tried_h: Some(12.0),
    }
    /// The next step may be cast on top.
    NextStep {
        seen: &[], pressing: Some(3), guarded: true, reminded_h: Some(7.0 * 24.0),
        builds_on: &[MilestoneKind::FormOff, MilestoneKind::Foot],
        shows: &[Self::SheenGone, Self::InitialSet, Self::FinalSet],
    }
    /// Light foot traffic.
    Foot {
        seen: &[Seen::Walked], pressing: Some(7), guarded: true, reminded_h: Some(48.0),
        builds_on: &[MilestoneKind::FinalSet],
        work: false,
    }
    /// Full use.
    FullUse {
        seen: &[], pressing: Some(6), guarded: true, reminded_h: None,
        builds_on: &[MilestoneKind::FormOff, MilestoneKind::NextStep, MilestoneKind::Foot],
        work: false, test: Test::Strength,
        shows: &[Self::SheenGone, Self::InitialSet, Self::FinalSet, Self::Foot],
    }
    /// Curing may end.
    CuringEnds {
        seen: &[], pressing: Some(5), guarded: true, reminded_h: Some(7.0 * 24.0),
        builds_on: &[MilestoneKind::FormOff, MilestoneKind::Foot],
        test: Test::Strength,
        shows: &[Self::SheenGone, Self::InitialSet, Self::FinalSet],
    }
    /// Ready to stain or seal.
    Seal {
        seen: &[], pressing: Some(4), guarded: false, reminded_h: Some(60.0 * 24.0),
        builds_on: &[
            MilestoneKind::FormOff, MilestoneKind::Foot, MilestoneKind::CuringEnds,
        ],
        test: Test::Sheet,
        shows: &[Self::SheenGone, Self::InitialSet, Self::FinalSet, Self::CuringEnds],
    }
}

impl MilestoneKind {
    /// Every kind, each behind those on which it builds.
    pub fn by_weight() -> impl Iterator<Item = MilestoneKind> {
        let mut all: Vec<MilestoneKind> = Self::ALL.to_vec();
        all.sort_by_key(|k| k.height());
        all.into_iter()
    }

    /// The longest way down to one that builds on nothing.
    fn height(self) -> usize {
        let below = self.row().builds_on.iter().map(|k| k.height());
        below.max().map_or(0, |h| h.saturating_add(1))
    }

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
