//! From the members' moments to milestones with a range and reasons.
//!
//! Ranges are the 5, 50 and 95 % points of the members by weight. What was seen on the
//! site beats the model. The criteria are in [`super::criteria`].

use super::criteria::moments;
use super::member::{Ensemble, quantiles};
use super::moments::Opening;
use super::odd::Doubts;
use super::weather::HORIZON_H;
use crate::facts::{PourFacts, Seen, Surface};
use crate::milestone::MilestoneKind;
use crate::prediction::{Criterion, Milestone, Reason, Span};
use crate::units::AtMs;

/// When something was seen that is a milestone, for the first time. What is done is done,
/// but a sign that does not fit is not taken at its word.
fn seen(facts: &PourFacts, kind: MilestoneKind, doubts: &Doubts) -> Option<AtMs> {
    let signs = kind.row().seen;
    let sign_only = kind.row().pressing.is_none();
    facts
        .happened
        .iter()
        .enumerate()
        .filter(|(_, h)| signs.contains(&h.what) && h.at >= facts.started)
        .filter(|(i, _)| !sign_only || doubts.trusts(*i))
        .map(|(_, h)| h.at)
        .min()
}

/// Every member's moments, with the member's weight.
pub(crate) fn all_moments(
    facts: &PourFacts,
    e: &Ensemble,
    doubts: &Doubts,
) -> Vec<(Vec<Opening>, f64)> {
    let seen = seen_hours(facts, doubts);
    e.members
        .iter()
        .map(|m| (moments(facts, &e.weather, m, &seen), m.weight))
        .collect()
}

/// Hours at which the milestones were seen, in the order of [`MilestoneKind::ALL`].
fn seen_hours(facts: &PourFacts, doubts: &Doubts) -> Vec<Option<f64>> {
    let hour = |at: AtMs| at.hours_since(facts.started).value();
    let kinds = MilestoneKind::ALL.into_iter();
    kinds.map(|k| seen(facts, k, doubts).map(hour)).collect()
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

    /// What is told beside it, with the likely time. A heavier use is not before a lighter one.
    fn beside(&self, kind: usize, middle: &Opening, own: &mut Vec<Reason>) {
        if let Some((criterion, _)) = middle.beside {
            let of = |m: &Opening| m.beside.map_or(f64::INFINITY, |x| x.1.max(m.not_before));
            own.push(Reason {
                criterion,
                met: self.instant(self.hours(kind, of)[1]),
                governs: false,
            });
        }
    }

    /// What it waits for beyond its own criteria, where that is what decides.
    fn lighter(&self, kind: usize, own: &mut Vec<Reason>) {
        let likely = self.hours(kind, Opening::opens)[1];
        let met = self.hours(kind, |m| m.met.iter().map(|x| x.1).fold(0.0, f64::max))[1];
        let shares = |lighter: MilestoneKind| {
            let of = |(m, w): &(Vec<Opening>, f64)| {
                let waits = m.get(kind).is_some_and(|o| o.after == Some(lighter));
                if waits { *w } else { 0.0 }
            };
            self.all.iter().map(of).sum::<f64>()
        };
        let most = MilestoneKind::ALL
            .into_iter()
            .max_by(|a, b| shares(*a).total_cmp(&shares(*b)));
        if let Some(milestone) = most.filter(|_| likely > met + 0.05) {
            for r in own.iter_mut() {
                r.governs = false;
            }
            own.push(Reason {
                criterion: Criterion::After { milestone },
                met: self.instant(likely),
                governs: true,
            });
        }
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
    doubts: &Doubts,
) -> Vec<Milestone> {
    let teller = Teller { e, all };
    let middle = moments(facts, &e.weather, &e.middle, &seen_hours(facts, doubts));
    let mut milestones: Vec<Milestone> = MilestoneKind::ALL
        .into_iter()
        .zip(&middle)
        .enumerate()
        .map(|(i, (kind, moment))| {
            let seen = seen(facts, kind, doubts);
            let opens = teller.span(teller.hours(i, Opening::opens));
            let closes = moment
                .closes
                .map(|_| teller.span(teller.hours(i, |m| m.closes.unwrap_or(f64::INFINITY))));
            let (opens, closes) = as_seen(facts, kind, opens, closes, doubts);
            let mut reasons = teller.reasons(i, moment);
            teller.lighter(i, &mut reasons);
            teller.beside(i, moment, &mut reasons);
            add_notes(facts, kind, seen, &mut reasons);
            Milestone {
                kind,
                opens,
                closes,
                seen,
                reasons,
            }
        })
        .collect();
    in_order(&mut milestones);
    milestones
}

/// Holds what is shown to the order that holds in every member: quantiles of the members
/// and what was seen could leave a little of it.
fn in_order(milestones: &mut [Milestone]) {
    for kind in MilestoneKind::by_weight() {
        for lighter in kind.row().builds_on {
            let Some(l) = milestones.get(*lighter as usize) else {
                continue;
            };
            let least = l.seen.map_or(l.opens, at);
            if let Some(m) = milestones.get_mut(kind as usize) {
                m.opens = Span {
                    early: later(m.opens.early, least.early),
                    likely: later(m.opens.likely, least.likely),
                    late: later(m.opens.late, least.late),
                };
                m.closes = m.closes.map(|c| not_before(c, m.opens));
            }
        }
    }
}

/// When a sign was first seen that is taken at its word.
fn sighting(facts: &PourFacts, what: Seen, doubts: &Doubts) -> Option<AtMs> {
    let all = facts.happened.iter().enumerate();
    all.filter(|(i, h)| h.what == what && h.at >= facts.started && doubts.trusts(*i))
        .map(|(_, h)| h.at)
        .min()
}

/// The end of the sheen, which a mark of 6 mm is not before.
fn sheen_or(sheen: Span, mark: AtMs) -> Span {
    let or = |x: Option<AtMs>| Some(x.unwrap_or(mark));
    Span {
        early: or(sheen.early),
        likely: or(sheen.likely),
        late: or(sheen.late),
    }
}

/// A span that is one instant.
fn at(h: AtMs) -> Span {
    Span {
        early: Some(h),
        likely: Some(h),
        late: Some(h),
    }
}

/// A closing that is not before its opening.
fn not_before(closes: Span, opens: Span) -> Span {
    Span {
        early: later(closes.early, opens.early),
        likely: later(closes.likely, opens.likely),
        late: later(closes.late, opens.late),
    }
}

/// Spans with what was seen in their place: sheen gone, a mark (initial set), no mark
/// (final set is past).
fn as_seen(
    facts: &PourFacts,
    kind: MilestoneKind,
    opens: Span,
    closes: Option<Span>,
    doubts: &Doubts,
) -> (Span, Option<Span>) {
    let seen = |kind| seen(facts, kind, doubts);
    let mark = seen(MilestoneKind::InitialSet);
    // The sheen is gone before it sets.
    let sheen = match (seen(MilestoneKind::SheenGone), mark) {
        (Some(h), _) => at(h),
        (None, Some(h)) => not_after(opens, h),
        (None, None) => opens,
    };
    let (opens, closes) = match kind {
        MilestoneKind::SheenGone => (sheen, closes),
        MilestoneKind::Texture => match facts.surface {
            Surface::Dragged => (sheen, mark.map_or(closes, |h| Some(at(h)))),
            Surface::Pressed => {
                let opens = mark.map_or(opens, |h| not_before(at(h), sheen_or(sheen, h)));
                let faint = sighting(facts, Seen::ThumbFaint, doubts);
                (opens, faint.map_or(closes, |h| Some(at(h))))
            }
        },
        MilestoneKind::InitialSet => (mark.map_or(opens, at), closes),
        MilestoneKind::FinalSet => {
            let none = seen(MilestoneKind::FinalSet);
            (none.map_or(opens, |h| not_after(opens, h)), closes)
        }
        _ => (opens, closes),
    };
    // What is shown as "until" is not before what is shown as "from".
    let closes = closes.map(|c| not_before(c, opens));
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
