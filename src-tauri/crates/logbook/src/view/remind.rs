//! Everything of a site that somebody may have to be told of, for the hub's reminders.
//!
//! What is due and what comes is the same as on the first screen ([`super::site`]); beside
//! it stand windows that have closed and pours that still cure. When who is told is not
//! decided here but in the hub; the browser never asks for this.

use super::due::{marks, reminders};
use super::told::replaced;
use super::types::{May, Reminder};
use crate::book::Book;
use slowstone_curing::predict::{MilestoneKind, Span};
use slowstone_curing::units::{AtMs, Hours};

/// What there is to tell of one site at an instant.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ToRemind {
    /// Due and not answered.
    pub due: Vec<Reminder>,
    /// Due later, soonest first.
    pub coming: Vec<Reminder>,
    /// Windows that have closed without a sign that they were used.
    pub closed: Vec<Reminder>,
    /// Pours that are to be kept wet and covered.
    pub curing: Vec<Curing>,
}

/// A pour that still cures.
#[derive(Clone, Debug, PartialEq)]
pub struct Curing {
    /// Which pour.
    pub pour: String,
    /// Number of the step.
    pub step_number: Option<u32>,
    /// Name of the step or sample.
    pub name: String,
    /// First concrete in the form.
    pub since_ms: AtMs,
    /// Until when it is to be kept wet, at the cautious end.
    pub until_ms: AtMs,
}

/// Until when a pour is kept wet and covered: the safe end; where one pour in twenty does not
/// get there in the time that is predicted, all of that time. None without any times.
fn kept_wet_until(started: AtMs, ends: &Span) -> Option<AtMs> {
    let all = started.plus(Hours(PREDICTED_DAYS * 24.0));
    ends.late.or(ends.early.map(|_| all))
}

/// Days that a prediction looks ahead.
const PREDICTED_DAYS: f64 = 28.0;

impl Book {
    /// What there is to tell of a site at `now`.
    pub fn to_remind(&mut self, site: &str, now: AtMs) -> ToRemind {
        let (told, _) = self.tell_and_learn(site, now);
        let sum = self.folded(site);
        let (due, coming) = reminders(sum, &told, now);
        let mut out = ToRemind {
            due,
            coming,
            ..ToRemind::default()
        };
        for t in &told {
            if replaced(sum, &t.id, &t.pour, now) {
                continue;
            }
            let step = super::inputs::step_of(sum, &t.pour);
            let step_number = step.map(|s| s.number);
            let name = step.map_or_else(|| t.pour.name.clone(), |s| s.name.clone());
            for m in &t.answer.windows {
                if m.kind == MilestoneKind::Texture
                    && m.state == May::Passed
                    && !marks(sum, &t.id, m.kind).0
                    && let (Some(from_ms), Some(until_ms)) =
                        (m.opens.likely, m.closes.and_then(|c| c.likely))
                    // Ended early by other work, it has not closed before its time.
                    && until_ms <= now
                {
                    out.closed.push(Reminder {
                        pour: t.id.clone(),
                        step_number,
                        name: name.clone(),
                        kind: m.kind,
                        from_ms,
                        until_ms: Some(until_ms),
                        snoozed: false,
                        test: None,
                    });
                }
                if m.kind == MilestoneKind::CuringEnds
                    && m.state != May::Done
                    && let Some(until_ms) = kept_wet_until(t.pour.started_ms, &m.opens)
                    && until_ms > now
                {
                    out.curing.push(Curing {
                        pour: t.id.clone(),
                        step_number,
                        name: name.clone(),
                        since_ms: t.pour.started_ms,
                        until_ms,
                    });
                }
            }
        }
        out
    }
}
