//! What is due on the pours of a site and what comes due, from the one answer.
//!
//! A thing is due while the answer has it among what may be done now, or, where people must
//! look in time (the texture window), among what a test decides; not any more once it was
//! done or its reminder answered. Who is told, and when, is decided in the hub.

use super::inputs;
use super::told::{Told, replaced};
use super::types::{May, Reminder};
use crate::book::Folded;
use crate::facts::{MarkKind, Step};
use core::cmp::Reverse;
use slowstone_curing::answer::Window;
use slowstone_curing::predict::MilestoneKind;
use slowstone_curing::units::{AtMs, Hours};

/// What is due and everything that comes next, of all pours.
pub(super) fn reminders(sum: &Folded, told: &[Told], now: AtMs) -> (Vec<Reminder>, Vec<Reminder>) {
    let (mut due, mut coming) = (Vec::new(), Vec::new());
    for t in told {
        let (now_due, later) = of(sum, t, now);
        due.extend(now_due);
        coming.extend(later);
    }
    // Windows that close first, then in the order of the trade, the newest first.
    due.sort_by_key(|r| {
        (
            r.until_ms.unwrap_or(AtMs(i64::MAX)),
            r.kind,
            Reverse(r.from_ms),
        )
    });
    coming.sort_by_key(|r| r.from_ms);
    (due, coming)
}

/// What of one pour is due, and what comes.
pub(super) fn of(sum: &Folded, told: &Told, now: AtMs) -> (Vec<Reminder>, Vec<Reminder>) {
    let (mut due, mut coming) = (Vec::new(), Vec::new());
    // What came out again needs nobody.
    if replaced(sum, &told.id, &told.pour, now) {
        return (due, coming);
    }
    let step = inputs::step_of(sum, &told.pour);
    for w in &told.answer.windows {
        let Some(stays) = w.kind.row().reminded_h else {
            continue;
        };
        let (answered, snoozed_until) = marks(sum, &told.id, w.kind);
        if answered || matches!(w.state, May::Done | May::Passed | May::Never) {
            continue;
        }
        if !fits(sum, told, step, w.kind) {
            continue;
        }
        let Some(from_ms) = from(w) else { continue };
        let reminder = Reminder {
            pour: told.id.clone(),
            step_number: step.map(|s| s.number),
            name: step.map_or_else(|| told.pour.name.clone(), |s| s.name.clone()),
            kind: w.kind,
            from_ms: snoozed_until.unwrap_or(from_ms).max(from_ms),
            until_ms: w.until,
            snoozed: snoozed_until.is_some(),
            test: (w.state != May::Now).then(|| w.kind.row().test),
        };
        // What is asked again only after its window has ended comes no more.
        if w.until.is_some_and(|until| until <= reminder.from_ms) {
            continue;
        }
        if reminder.from_ms > now {
            let ends = w.closes.and_then(|c| c.early);
            let open = safe(w).is_some_and(|t| t <= reminder.from_ms)
                && ends.is_none_or(|end| end > reminder.from_ms);
            coming.push(Reminder {
                test: (!open).then(|| w.kind.row().test),
                ..reminder
            });
        } else if now <= from_ms.plus(Hours(stays)) {
            due.push(reminder);
        }
    }
    (due, coming)
}

/// Whether it concerns this pour as it stands.
fn fits(sum: &Folded, told: &Told, step: Option<&Step>, kind: MilestoneKind) -> bool {
    match kind {
        MilestoneKind::NextStep => step.is_some_and(|s| inputs::step_above(sum, s).is_some()),
        // Edges are reached once the form is off.
        MilestoneKind::Dress => told.answer.of(MilestoneKind::FormOff) == May::Done,
        _ => true,
    }
}

/// From when people are asked: from when it is safe. A window that closes must not be
/// missed: it is looked at from when it is likely.
fn from(w: &Window) -> Option<AtMs> {
    match w.kind {
        MilestoneKind::Texture => w.opens.likely,
        _ if w.closes.is_some() => safe(w).or(w.opens.likely),
        _ => w.opens.late,
    }
}

/// From when it is safe, if its window has not closed by then.
fn safe(w: &Window) -> Option<AtMs> {
    let ends = w.closes.and_then(|c| c.early);
    w.opens.late.filter(|t| ends.is_none_or(|end| *t < end))
}

/// Whether a reminder was answered, and until when it sleeps.
pub(super) fn marks(sum: &Folded, pour: &str, kind: MilestoneKind) -> (bool, Option<AtMs>) {
    let mut answered = false;
    let mut until = None;
    for (m, _) in sum.marks(pour).filter(|(m, _)| m.milestone == kind) {
        match m.what {
            MarkKind::Done => answered = true,
            MarkKind::Snoozed => until = until.max(m.until_ms),
        }
    }
    (answered, until)
}
