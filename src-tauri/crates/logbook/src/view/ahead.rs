//! Looking ahead: what was poured, as the plan needs it, and what a pour that is not made
//! yet would come to.
//!
//! A planned pour is predicted like a real one, from the mix, form and liner of the last
//! step (a test patch is no step) and from the weather that is known; where none is known for its day, the last days
//! are carried on. The order of work is in [`crate::plan::schedule`].

use super::cache::Reckoned;
use super::inputs::{self, Weather, Where};
use super::learned::Lessons;
use super::told::{Told, begun};
use crate::book::{Book, Folded};
use crate::facts::{Form, Liner, Pour, Site};
use crate::zones::Zones;
use slowstone_curing::answer::{Logged, spans};
use slowstone_curing::predict::{AirReading, DoseFacts, MilestoneKind, NotYet, Span};
use slowstone_curing::units::AtMs;
use std::sync::Arc;

/// The times of a pour, made or planned, that decide what comes after it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Times {
    /// Surface takes a texture: from and until, likely.
    pub texture: (Option<AtMs>, Option<AtMs>),
    pub form_off: Span,
    /// When the form did come off, if it did.
    pub stripped: Option<AtMs>,
    pub foot: Option<AtMs>,
    pub next_step: Span,
    pub curing_ends: Option<AtMs>,
}

/// A pour of a step that was made.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Made {
    pub pour: String,
    pub step: String,
    pub started: AtMs,
    pub times: Result<Times, NotYet>,
}

/// What can be asked about the time to come.
pub(crate) struct Ahead<'a> {
    pub sum: &'a Folded,
    pub zones: &'a dyn Zones,
    pub tz: &'a str,
    /// Pours of steps, oldest first.
    pub made: Vec<Made>,
    place: Where<'a>,
    weather: Weather,
    lessons: Lessons,
    like: Pour,
    dose: DoseFacts,
    reckoned: &'a mut Reckoned,
}

impl Book {
    /// Does `work` with what can be asked about the time to come; none if there is no such
    /// site.
    pub(crate) fn look_ahead<R>(
        &mut self,
        site: &str,
        now: AtMs,
        mix: Option<String>,
        work: impl FnOnce(&mut Ahead<'_>) -> R,
    ) -> Option<R> {
        let (told, lessons) = self.tell_and_learn(site, now);
        let mut reckoned = std::mem::take(&mut self.reckoned);
        let zones = Arc::clone(&self.zones);
        let sum = self.folded(site);
        let place = Where::of(sum, site, &*zones);
        let steps = || {
            let all = told.iter().rev();
            all.filter(|t| inputs::step_of(sum, &t.pour).is_some() && begun(&t.pour, now))
        };
        let alike = steps().find(|t| t.pour.mix == mix);
        let last = alike.or_else(|| steps().next());
        let done = sum.fact::<Site>(site).map(|s| {
            work(&mut Ahead {
                sum,
                zones: &*zones,
                tz: &s.tz,
                made: told.iter().filter_map(made).collect(),
                weather: Weather::of(sum, &place),
                place,
                lessons,
                dose: last.map(|t| t.facts.dose).unwrap_or_default(),
                like: like(sum, last.map(|t| &t.pour), mix),
                reckoned: &mut reckoned,
            })
        });
        self.reckoned = reckoned;
        done
    }
}

impl Times {
    /// From the spans in which milestones open and the texture window closes.
    fn of(opens: impl Fn(MilestoneKind) -> Span, texture_closes: Span) -> Times {
        Times {
            texture: (opens(MilestoneKind::Texture).likely, texture_closes.likely),
            form_off: opens(MilestoneKind::FormOff),
            stripped: None,
            foot: opens(MilestoneKind::Foot).late,
            next_step: opens(MilestoneKind::NextStep),
            curing_ends: opens(MilestoneKind::CuringEnds).late,
        }
    }
}

fn made(t: &Told) -> Option<Made> {
    let of = |kind| t.answer.window(kind);
    let opens = |kind| of(kind).map(|m| m.opens).unwrap_or_default();
    let closes = of(MilestoneKind::Texture).and_then(|m| m.closes);
    let seen = |kind| of(kind).and_then(|m| m.seen);
    let times = || {
        let foreseen = Times::of(opens, closes.unwrap_or_default());
        Times {
            stripped: seen(MilestoneKind::FormOff),
            curing_ends: seen(MilestoneKind::CuringEnds).or(foreseen.curing_ends),
            ..foreseen
        }
    };
    Some(Made {
        pour: t.id.clone(),
        step: t.pour.step.clone()?,
        started: t.pour.started_ms,
        times: t.outcome.as_ref().map(|_| times()).map_err(|e| *e),
    })
}

/// A pour that uses what the last step used, or the first that is set up.
fn like(sum: &Folded, last: Option<&Pour>, mix: Option<String>) -> Pour {
    let form = || sum.facts::<Form>().next().map(|(id, _)| id.to_owned());
    let liner = || sum.facts::<Liner>().next().map(|(id, _)| id.to_owned());
    Pour {
        mix,
        form: last.and_then(|p| p.form.clone()).or_else(form),
        liner: match last {
            Some(p) => p.liner.clone(),
            None => liner(),
        },
        ..Pour::default()
    }
}

impl Ahead<'_> {
    /// Whether planned pours use a liner.
    pub(crate) fn with_liner(&self) -> bool {
        self.like.liner.is_some()
    }

    /// What pouring `step` at `start` would come to. `turn` tells predictions of one step
    /// in different plans apart, so that each is kept as long as nothing changes.
    pub(crate) fn predict(&mut self, step: &str, start: AtMs, turn: &str) -> Result<Times, NotYet> {
        let pour = Pour {
            step: Some(step.to_owned()),
            started_ms: start,
            ..self.like.clone()
        };
        let learned = self
            .lessons
            .get(pour.mix.as_deref().unwrap_or_default())
            .copied()
            .unwrap_or_default();
        let mut facts =
            inputs::pour_facts(self.sum, &self.place, "", &pour, &self.weather, learned);
        facts.dose = self.dose;
        let known = facts
            .air
            .iter()
            .chain(&facts.hourly)
            .any(|a| a.temp.is_some());
        if !known && facts.days.is_empty() {
            facts.air = last_days(&self.weather, start);
        }
        let outcome = self
            .reckoned
            .predict(&format!("plan/{turn}/{step}"), &facts)
            .0?;
        let spans = spans(&outcome, &Logged::default());
        let of = |kind| spans.iter().find(|s| s.0 == kind);
        let opens = |kind| of(kind).map(|s| s.1).unwrap_or_default();
        let closes = of(MilestoneKind::Texture).and_then(|s| s.2);
        Ok(Times::of(opens, closes.unwrap_or_default()))
    }
}

/// The readings of the last days before `started` on which there are any, however long
/// ago: what a planned pour carries on.
fn last_days(weather: &Weather, started: AtMs) -> Vec<AirReading> {
    const DAYS_H: f64 = 72.0;
    let before = |all: &[AirReading]| {
        let until = all.partition_point(|a| a.at <= started);
        let past = all.get(..until).unwrap_or_default();
        let last = past.iter().rev().find(|a| a.temp.is_some()).map(|a| a.at);
        let near = |a: &&AirReading| last.is_some_and(|l| l.hours_since(a.at).value() <= DAYS_H);
        past.iter().filter(near).copied().collect::<Vec<_>>()
    };
    let air = before(&weather.air);
    if air.is_empty() {
        before(&weather.hourly)
    } else {
        air
    }
}
