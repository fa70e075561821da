//! Every pour of a site, reckoned in turn and answered.
//!
//! Pours are taken in the order in which they were poured, each with what the earlier ones
//! of its mix taught; what the log knows to be done goes with the prediction into the one
//! answer ([`slowstone_curing::answer`]). Screens and reminders are laid out from it.

use super::cache::Outcome;
use super::inputs::{self, Where};
use super::learned::{self, Lessons};
use super::types::MilestoneView;
use crate::book::{Book, Folded};
use crate::facts::{MarkKind, Observed, Pour, SecondPour};
use slowstone_curing::answer::{Answer, Logged, answer};
use slowstone_curing::predict::{MilestoneKind, Missing, NotYet, PourFacts};
use slowstone_curing::units::{AtMs, Hours};
use std::sync::Arc;

/// By so much the clock of a phone may be ahead: what it logged is done all the same.
const CLOCKS_APART_H: f64 = 1.0;

/// A pour as reckoned: its id, the record and what came of it.
pub(super) struct Told {
    pub id: String,
    pub pour: Pour,
    pub facts: PourFacts,
    pub outcome: Outcome,
    pub answer: Answer,
}

impl Told {
    /// What is asked for, because times are not given without it.
    pub(super) fn missing(&self) -> Vec<Missing> {
        match &self.outcome {
            Ok(p) => p.missing.clone(),
            Err(NotYet::NoTemperature) => vec![Missing::AirTemperature],
            Err(NotYet::Impossible | NotYet::StartsLater) => Vec::new(),
        }
    }

    /// The milestones as shown.
    pub(super) fn milestones(&self) -> Vec<MilestoneView> {
        let Ok(prediction) = &self.outcome else {
            return Vec::new();
        };
        let reasons = prediction.milestones.iter().map(|m| &m.reasons);
        let windows = self.answer.windows.iter().zip(reasons);
        windows
            .map(|(w, reasons)| {
                let ends = w.closes.and_then(|c| c.early);
                MilestoneView {
                    kind: w.kind,
                    state: w.state,
                    passive: w.kind.row().pressing.is_none(),
                    opens: w.opens,
                    safe: w.opens.late.filter(|t| ends.is_none_or(|end| *t < end)),
                    closes: w.closes,
                    until: w.until,
                    seen: w.seen,
                    reasons: reasons.clone(),
                }
            })
            .collect()
    }
}

impl Book {
    /// Reckons every pour of a site in the order in which they were poured, each with what
    /// the earlier ones of its mix taught.
    pub(super) fn tell(&mut self, site: &str, now: AtMs) -> Vec<Told> {
        self.tell_and_learn(site, now).0
    }

    /// As [`Book::tell`], and what is known of each mix in the end.
    pub(super) fn tell_and_learn(&mut self, site: &str, now: AtMs) -> (Vec<Told>, Lessons) {
        let mut reckoned = std::mem::take(&mut self.reckoned);
        let zones = Arc::clone(&self.zones);
        let sum = self.folded(site);
        let place = Where::of(sum, site, &*zones);
        let mut pours: Vec<(String, Pour)> = sum
            .pours()
            .map(|(id, p)| (id.to_owned(), p.clone()))
            .collect();
        pours.sort_by(|a, b| a.1.started_ms.cmp(&b.1.started_ms).then(a.0.cmp(&b.0)));
        let weather = inputs::Weather::of(sum, &place);
        let mut known = Lessons::default();
        let mut told = Vec::new();
        for (id, pour) in pours {
            let mix = pour.mix.as_deref().unwrap_or_default();
            let before = known.get(mix).copied().unwrap_or_default();
            let facts = inputs::pour_facts(sum, &place, &id, &pour, &weather, before);
            let (outcome, lesson) = if begun(&pour, now) {
                reckoned.predict(&id, &facts)
            } else {
                (Err(NotYet::StartsLater), before)
            };
            if outcome.is_ok() && !learned::forgotten(sum, &pour) {
                known.insert(mix.to_owned(), lesson);
            }
            let prediction = outcome.as_ref().ok().map(|p| &**p);
            let answer = answer(prediction, &logged(sum, &id, &pour, &facts, now), now);
            told.push(Told {
                id,
                pour,
                facts,
                outcome,
                answer,
            });
        }
        self.reckoned = reckoned;
        (told, known)
    }

    /// How many predictions were really made since the book was opened (the rest came
    /// from the cache).
    #[must_use]
    pub fn reckonings(&self) -> u64 {
        self.reckoned.reckonings
    }
}

/// How far ahead the start of a pour may lie: the clocks of a phone and of the hub differ by
/// minutes (common practice, no source). What begins later has not begun.
const AHEAD: Hours = Hours(0.25);

/// Whether a pour has begun at `now`.
pub(crate) fn begun(pour: &Pour, now: AtMs) -> bool {
    pour.started_ms <= now.plus(AHEAD)
}

/// Whether a new attempt on the same step has taken the place of a pour at `now`.
pub(super) fn replaced(sum: &Folded, id: &str, pour: &Pour, now: AtMs) -> bool {
    let after = |other: &str, p: &Pour| {
        (p.started_ms, other) > (pour.started_ms, id) && p.step == pour.step && begun(p, now)
    };
    let replaces = |p: &Pour| p.second_pour == Some(SecondPour::Replaces);
    pour.step.is_some() && sum.pours().any(|(other, p)| replaces(p) && after(other, p))
}

/// What the log itself knows to be done, beside what the engine reads from observations.
fn logged(sum: &Folded, id: &str, pour: &Pour, facts: &PourFacts, now: AtMs) -> Logged {
    let own = MilestoneKind::ALL
        .into_iter()
        .filter_map(|kind| Some((kind, done(sum, id, pour, kind)?)));
    let seen = facts.happened.iter().flat_map(|h| {
        let shows = |kind: &MilestoneKind| kind.row().seen.contains(&h.what);
        let kinds = MilestoneKind::ALL.into_iter().filter(shows);
        kinds.map(|kind| (kind, h.at))
    });
    let ahead = |at: AtMs| at.hours_since(now).value();
    // An entry that was made cannot have been made later than now.
    let clock_was_ahead = |at: AtMs| ahead(at) > 0.0 && ahead(at) <= CLOCKS_APART_H;
    let seen = seen.filter(|(_, at)| clock_was_ahead(*at));
    let sample = inputs::step_of(sum, pour).is_none();
    Logged {
        done: own
            .chain(seen)
            .map(|(kind, at)| (kind, if clock_was_ahead(at) { now } else { at }))
            .collect(),
        // Nothing is cast on top of a sample.
        without: if sample {
            vec![MilestoneKind::NextStep]
        } else {
            Vec::new()
        },
    }
}

/// When a milestone was done by the log.
fn done(sum: &Folded, id: &str, pour: &Pour, kind: MilestoneKind) -> Option<AtMs> {
    let seen = |what: Observed| {
        sum.observations(id)
            .filter(|o| o.what == what)
            .map(|o| o.at_ms)
            .min()
    };
    match kind {
        MilestoneKind::CuringEnds => seen(Observed::CuringEnded),
        MilestoneKind::Seal => seen(Observed::Sealed),
        MilestoneKind::NextStep => {
            let step = inputs::step_of(sum, pour)?;
            sum.pours()
                .filter(|(_, p)| inputs::step_of(sum, p).is_some_and(|s| inputs::rests_on(s, step)))
                .map(|(_, p)| p.started_ms)
                .filter(|t| *t >= pour.started_ms)
                .min()
        }
        _ => None,
    }
    .or_else(|| {
        // "Done" from a reminder counts as done where the engine has no sign of its own.
        sum.marks(id)
            .filter(|(m, _)| m.milestone == kind && m.what == MarkKind::Done)
            .map(|(_, at)| at)
            .min()
    })
}
