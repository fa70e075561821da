//! What a milestone means at an instant: done, now, perhaps, later, passed.
//!
//! "Now" uses the cautious end of the range. Nothing is predicted here.

use super::types::{May, MilestoneView, NextUp, Phase};
use slowstone_curing::predict::{Milestone, MilestoneKind};
use slowstone_curing::units::AtMs;

/// The milestone as shown at `now`; `done` is what the log knows beside the engine.
pub(super) fn show(m: &Milestone, done: Option<AtMs>, now: AtMs) -> MilestoneView {
    let seen = m.seen.or(done);
    MilestoneView {
        kind: m.kind,
        state: state(m, seen, now),
        opens: m.opens,
        closes: m.closes,
        seen,
        reasons: m.reasons.clone(),
    }
}

fn state(m: &Milestone, seen: Option<AtMs>, now: AtMs) -> May {
    if seen.is_some_and(|t| t <= now) {
        return May::Done;
    }
    let reached = |t: Option<AtMs>| t.is_some_and(|t| t <= now);
    if let Some(closes) = &m.closes {
        if reached(closes.late) {
            return May::Passed;
        }
        // A texture pressed too late tears; dressing too late is only hard work.
        let closing = match m.kind {
            MilestoneKind::Dress => closes.likely,
            _ => closes.early,
        };
        if reached(closing) {
            return May::Maybe;
        }
    }
    if reached(m.opens.late) {
        May::Now
    } else if reached(m.opens.early) {
        May::Maybe
    } else if m.opens.likely.is_none() && m.opens.early.is_none() {
        May::Never
    } else {
        May::Later
    }
}

/// The state of one kind.
pub(super) fn of(all: &[MilestoneView], kind: MilestoneKind) -> May {
    all.iter()
        .find(|m| m.kind == kind)
        .map_or(May::Never, |m| m.state)
}

fn doings(all: &[MilestoneView], state: May) -> Vec<MilestoneKind> {
    MilestoneKind::doings()
        .filter(|k| of(all, *k) == state)
        .collect()
}

/// What may be done now.
pub(super) fn can(all: &[MilestoneView]) -> Vec<MilestoneKind> {
    let mut can = doings(all, May::Now);
    if can.contains(&MilestoneKind::FullUse) {
        can.retain(|k| *k != MilestoneKind::Foot);
    }
    can
}

/// What may perhaps be done.
pub(super) fn maybe(all: &[MilestoneView]) -> Vec<MilestoneKind> {
    doings(all, May::Maybe)
}

/// What must not be done yet.
pub(super) fn not_yet(all: &[MilestoneView]) -> Vec<MilestoneKind> {
    MilestoneKind::ALL
        .into_iter()
        .filter(|k| k.row().guarded)
        .filter(|k| matches!(of(all, *k), May::Later | May::Maybe | May::Never))
        .collect()
}

/// The next thing to wait for: the one that likely opens first among those that are not
/// surely open yet.
pub(super) fn next(all: &[MilestoneView], now: AtMs) -> Option<NextUp> {
    all.iter()
        .filter(|m| matches!(m.state, May::Later | May::Maybe))
        .filter(|m| m.kind.row().pressing.is_some() || m.kind == MilestoneKind::SheenGone)
        // A window that may be closing is not something to wait for.
        .filter(|m| m.opens.late.is_none_or(|t| t > now))
        .min_by_key(|m| m.opens.likely.or(m.opens.late).unwrap_or(AtMs(i64::MAX)))
        .map(|m| NextUp {
            kind: m.kind,
            likely: m.opens.likely,
            safe: m.opens.late,
        })
}

/// Where the pour is.
pub(super) fn phase(all: &[MilestoneView]) -> Phase {
    use MilestoneKind as K;
    let is = |k, states: &[May]| states.contains(&of(all, k));
    if all.is_empty() {
        Phase::Unknown
    } else if is(K::Seal, &[May::Done]) {
        Phase::Done
    } else if is(K::FullUse, &[May::Now, May::Done]) {
        Phase::Usable
    } else if is(K::FormOff, &[May::Done]) {
        if is(K::Dress, &[May::Now, May::Maybe]) {
            Phase::Green
        } else {
            Phase::Curing
        }
    } else if is(K::FormOff, &[May::Now]) {
        Phase::FormOff
    } else if is(K::Texture, &[May::Now, May::Maybe]) {
        Phase::Texture
    } else if is(K::SheenGone, &[May::Later, May::Maybe])
        && is(K::InitialSet, &[May::Later, May::Maybe])
    {
        Phase::Fresh
    } else {
        Phase::Setting
    }
}
