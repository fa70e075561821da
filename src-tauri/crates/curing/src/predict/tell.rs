//! From the members' moments to milestones with a range and reasons.
//!
//! Ranges are the 5, 50 and 95 % points of the members by weight. What was seen on the
//! site beats the model. The criteria are in [`super::criteria`].

use super::criteria::moments;
use super::member::{Ensemble, quantiles};
use super::moments::Opening;
use super::weather::HORIZON_H;
use crate::facts::PourFacts;
use crate::milestone::MilestoneKind;
use crate::prediction::{Criterion, Milestone, Reason, Span};
use crate::units::AtMs;

/// When something was seen that is a milestone, for the first time.
fn seen(facts: &PourFacts, kind: MilestoneKind) -> Option<AtMs> {
    let said_by = kind.row().seen;
    facts
        .happened
        .iter()
        .filter(|h| said_by.contains(&h.what) && h.at >= facts.started)
        .map(|h| h.at)
        .min()
}

/// Every member's moments, with the member's weight.
pub(crate) fn all_moments(facts: &PourFacts, e: &Ensemble) -> Vec<(Vec<Opening>, f64)> {
    e.members
        .iter()
        .map(|m| (moments(facts, &e.weather, m), m.weight))
        .collect()
}

struct Teller<'a> {
    e: &'a Ensemble,
    all: &'a [(Vec<Opening>, f64)],
}

impl Teller<'_> {
    fn hours(&self, kind: usize, value: impl Fn(&Opening) -> f64) -> [f64; 3] {
        let mut v: Vec<(f64, f64)> = self
            .all
            .iter()
            .filter_map(|(m, w)| Some((value(m.get(kind)?), *w)))
            .collect();
        quantiles(&mut v)
    }

    fn instant(&self, h: f64) -> Option<AtMs> {
        (h <= HORIZON_H + 1e-6).then(|| self.e.weather.instant(h))
    }

    fn span(&self, hours: [f64; 3]) -> Span {
        let [early, likely, late] = hours.map(|h| self.instant(h));
        Span {
            early,
            likely,
            late,
        }
    }

    fn reasons(&self, kind: usize, middle: &Opening) -> Vec<Reason> {
        let hours: Vec<(Criterion, f64)> = middle
            .met
            .iter()
            .enumerate()
            .map(|(i, (criterion, _))| {
                let h = self.hours(kind, |m| m.met.get(i).map_or(f64::INFINITY, |x| x.1));
                (self.typical(kind, i, *criterion), h[1])
            })
            .collect();
        let last = hours.iter().map(|x| x.1).fold(0.0, f64::max);
        let mut governed = false;
        hours
            .into_iter()
            .map(|(criterion, h)| {
                let governs = !governed && h >= last;
                governed |= governs;
                Reason {
                    criterion,
                    met: self.instant(h),
                    governs,
                }
            })
            .collect()
    }

    /// Of thresholds that differ between members (set ages, table days), the middle.
    fn typical(&self, kind: usize, i: usize, criterion: Criterion) -> Criterion {
        let middle = |value: &dyn Fn(Criterion) -> f64| {
            self.hours(kind, |m| m.met.get(i).map_or(0.0, |x| value(x.0)))[1]
        };
        match criterion {
            Criterion::Age { .. } => Criterion::Age {
                hours: crate::units::Hours(middle(&|c| match c {
                    Criterion::Age { hours } => hours.value(),
                    _ => 0.0,
                })),
            },
            Criterion::CuringTable { .. } => Criterion::CuringTable {
                days: middle(&|c| match c {
                    Criterion::CuringTable { days } => days,
                    _ => 0.0,
                }),
            },
            other => other,
        }
    }
}

/// The milestones of a pour.
pub(crate) fn milestones(
    facts: &PourFacts,
    e: &Ensemble,
    all: &[(Vec<Opening>, f64)],
) -> Vec<Milestone> {
    let teller = Teller { e, all };
    let middle = moments(facts, &e.weather, &e.middle);
    MilestoneKind::ALL
        .into_iter()
        .zip(&middle)
        .enumerate()
        .map(|(i, (kind, moment))| {
            let seen = seen(facts, kind);
            let opens = teller.span(teller.hours(i, Opening::opens));
            let closes = moment
                .closes
                .map(|_| teller.span(teller.hours(i, |m| m.closes.unwrap_or(f64::INFINITY))));
            let (opens, closes) = as_seen(facts, kind, opens, closes);
            let mut reasons = teller.reasons(i, moment);
            add_notes(facts, kind, seen, &mut reasons);
            Milestone {
                kind,
                opens,
                closes,
                seen,
                reasons,
            }
        })
        .collect()
}

/// Spans with what was seen in their place: sheen gone, a mark (initial set), no mark
/// (final set is past).
fn as_seen(
    facts: &PourFacts,
    kind: MilestoneKind,
    opens: Span,
    closes: Option<Span>,
) -> (Span, Option<Span>) {
    let at = |h: AtMs| Span {
        early: Some(h),
        likely: Some(h),
        late: Some(h),
    };
    let mark = seen(facts, MilestoneKind::InitialSet);
    // The sheen is gone before it sets.
    let sheen = match (seen(facts, MilestoneKind::SheenGone), mark) {
        (Some(h), _) => at(h),
        (None, Some(h)) => not_after(opens, h),
        (None, None) => opens,
    };
    let (opens, closes) = match kind {
        MilestoneKind::SheenGone => (sheen, closes),
        MilestoneKind::Texture => (sheen, mark.map_or(closes, |h| Some(at(h)))),
        MilestoneKind::InitialSet => (mark.map_or(opens, at), closes),
        MilestoneKind::FinalSet => {
            let none = seen(facts, MilestoneKind::FinalSet);
            (none.map_or(opens, |h| not_after(opens, h)), closes)
        }
        _ => (opens, closes),
    };
    // What is shown as "until" is not before what is shown as "from".
    let closes = closes.map(|c| Span {
        early: later(c.early, opens.early),
        likely: later(c.likely, opens.likely),
        late: later(c.late, opens.late),
    });
    (opens, closes)
}

/// The later of two instants, of which none lies beyond the horizon.
fn later(a: Option<AtMs>, b: Option<AtMs>) -> Option<AtMs> {
    Some(a?.max(b?))
}

fn not_after(span: Span, h: AtMs) -> Span {
    let cap = |x: Option<AtMs>| Some(x.map_or(h, |x| x.min(h)));
    Span {
        early: cap(span.early),
        likely: cap(span.likely),
        late: cap(span.late),
    }
}

/// What stands behind the criteria: a sighting, earlier pours, a test that only a person
/// can make.
fn add_notes(
    facts: &PourFacts,
    kind: MilestoneKind,
    seen: Option<AtMs>,
    reasons: &mut Vec<Reason>,
) {
    let note = |criterion, met| Reason {
        criterion,
        met,
        governs: false,
    };
    if seen.is_some() && !reasons.iter().any(|r| r.criterion == Criterion::Observed) {
        reasons.push(note(Criterion::Observed, seen));
    }
    if kind == MilestoneKind::Seal {
        reasons.push(note(Criterion::SheetTest, None));
    }
    let by_calendar = kind == MilestoneKind::Seal;
    if facts.learned.observations > 0 && !by_calendar {
        reasons.push(note(Criterion::LearnedHere, None));
    }
}
