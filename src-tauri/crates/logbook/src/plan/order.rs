//! How one thing waits for another: the steps that are left, one after the other.
//!
//! The next pour is the one that can begin soonest. It waits for its form (taken off,
//! washed, dried with the liner, set again), for the step below (to kneel on, then to carry
//! the next one) and for people ([`super::calendar`]). What is shown of it is in
//! [`super::schedule`].

use super::calendar::Calendar;
use super::schedule::{Asked, Slot, WaitsFor};
use super::{settings, steps_of};
use crate::facts::{Crew, Flight, Planned, Step};
use crate::view::{Ahead, Times};
use slowstone_curing::predict::NotYet;
use slowstone_curing::units::{AtMs, Hours};
use std::collections::BTreeMap;

/// Steps that are planned at most: a prediction each.
const MOST_STEPS: usize = 120;
/// Waiting longer than this for people to come back is said, hours.
const OVERNIGHT_H: f64 = 4.0;

/// A step that is left, and what it is cast on.
struct Left {
    id: String,
    step: Step,
    stacked: bool,
    /// Day that is wished, and by which record; none: asked just now.
    wish: Option<(AtMs, Option<String>)>,
}

struct Run<'c, 'a> {
    ahead: &'c mut Ahead<'a>,
    crew: &'c Crew,
    now: AtMs,
    turn: &'static str,
    /// When each form is washed and dry.
    clean: Vec<AtMs>,
    /// The newest pour of each flight.
    below: BTreeMap<String, Times>,
}

/// Plans every step that is left.
pub(super) fn run(
    ahead: &mut Ahead<'_>,
    crew: &Crew,
    now: AtMs,
    forms: u32,
    asked: Option<&Asked>,
    turn: &'static str,
) -> (Vec<Slot>, Option<NotYet>) {
    let mut run = Run {
        clean: Vec::new(),
        below: BTreeMap::new(),
        ahead,
        crew,
        now,
        turn,
    };
    let (mut slots, mut left) = run.sort_out(asked);
    run.take_forms(usize::try_from(forms).unwrap_or(1));
    for _ in 0..MOST_STEPS {
        let next = |(flight, steps): (&String, &Vec<Left>)| {
            let step = steps.last()?;
            Some((run.earliest(flight, step), flight.clone()))
        };
        let Some(((earliest, waits_for), flight)) = left
            .iter()
            .filter_map(next)
            .min_by_key(|((at, _), f)| (*at, f.clone()))
        else {
            break;
        };
        let Some(step) = left.get_mut(&flight).and_then(Vec::pop) else {
            break;
        };
        match run.pour(&flight, &step, earliest, waits_for) {
            Ok((slot, goes_on)) => {
                slots.push(slot);
                if !goes_on {
                    break;
                }
            }
            Err(why) => return (slots, Some(why)),
        }
    }
    (slots, None)
}

impl Run<'_, '_> {
    fn calendar(&self) -> Calendar<'_> {
        Calendar {
            zones: self.ahead.zones,
            tz: self.ahead.tz,
            crew: self.crew,
        }
    }

    /// What was poured, as slots, and what is left of each flight, the lowest step last.
    fn sort_out(&mut self, asked: Option<&Asked>) -> (Vec<Slot>, BTreeMap<String, Vec<Left>>) {
        let mut slots = Vec::new();
        let mut left = BTreeMap::new();
        for flight in self.ahead.sum.recs::<Flight>() {
            let layout = settings::layout(self.ahead.sum, &flight.id).fact;
            let mut steps = Vec::new();
            let mut lowest = true;
            for rec in steps_of(self.ahead.sum, &flight.id) {
                let made = self
                    .ahead
                    .made
                    .iter()
                    .rev()
                    .find(|m| m.step == rec.id)
                    .cloned();
                let stacked = !lowest && (rec.fact.on_step_below || layout.overlap_m > 0.0);
                lowest = false;
                match made {
                    Some(made) => {
                        let times = made.times.unwrap_or_default();
                        self.below.insert(flight.id.clone(), times);
                        let mut slot =
                            self.slot(&flight.id, &rec.id, &rec.fact, made.started, &times);
                        slot.pour = Some(made.pour);
                        slots.push(slot);
                    }
                    None => steps.push(Left {
                        wish: self.wish(&rec.id, asked),
                        id: rec.id,
                        step: rec.fact,
                        stacked,
                    }),
                }
            }
            steps.reverse();
            left.insert(flight.id, steps);
        }
        (slots, left)
    }

    /// The day that is wished for a step: asked just now, or planned and not gone by.
    fn wish(&self, step: &str, asked: Option<&Asked>) -> Option<(AtMs, Option<String>)> {
        if let Some(asked) = asked.filter(|a| a.step == step) {
            return Some((asked.at, None));
        }
        let planned = settings::newest(self.ahead.sum, |p: &Planned| p.step == step);
        let (id, _, planned) = planned?;
        (planned.at_ms >= self.now).then_some((planned.at_ms, Some(id)))
    }

    /// When the newest pours give their forms back; forms beyond those stand ready.
    fn take_forms(&mut self, forms: usize) {
        let newest: Vec<_> = self.ahead.made.iter().rev().take(forms).cloned().collect();
        self.clean = newest
            .iter()
            .map(|m| {
                m.times
                    .map_or(self.now, |t| self.strip(&t).1.unwrap_or(self.now))
            })
            .collect();
        // Long ago: it may have stood ready since.
        self.clean.resize(forms, AtMs(0));
    }

    /// When the form comes off, and when it and the liner are washed and dry.
    fn strip(&self, times: &Times) -> (Option<AtMs>, Option<AtMs>) {
        let calendar = self.calendar();
        let planned = || {
            let late = times.form_off.late?;
            Some(calendar.next(late.max(self.now), self.crew.wash_h))
        };
        let off = times.stripped.or_else(planned);
        let dry_h = if self.ahead.with_liner() {
            self.crew.dry_h
        } else {
            0.0
        };
        let clean = off.map(|off| calendar.work(off, self.crew.wash_h).plus(Hours(dry_h)));
        (off, clean)
    }

    /// When a step can be poured at the earliest, and what that waits for.
    fn earliest(&self, flight: &str, left: &Left) -> (AtMs, WaitsFor) {
        let calendar = self.calendar();
        let below = self.below.get(flight).filter(|_| left.stacked);
        let form = self.clean.iter().min().copied().unwrap_or(self.now);
        // Setting the form means to kneel on the step below.
        let foot = below.and_then(|b| b.foot).unwrap_or(form);
        let set = calendar.work(form.max(foot), self.crew.reset_h);
        let on_top = below.and_then(|b| b.next_step.late).unwrap_or(set);
        let free = set.max(on_top);
        let from = free.max(self.now);
        let at = calendar.next(from, self.crew.pour_h);
        let waits_for = if at.hours_since(from).value() > OVERNIGHT_H {
            WaitsFor::WorkingTime
        } else if free <= self.now {
            WaitsFor::Nothing
        } else if on_top > set || foot > form {
            WaitsFor::StepBelow
        } else {
            WaitsFor::Form
        };
        (at, waits_for)
    }

    /// Pours a step in the plan; whether the plan can go on after it.
    fn pour(
        &mut self,
        flight: &str,
        left: &Left,
        earliest: AtMs,
        waits_for: WaitsFor,
    ) -> Result<(Slot, bool), NotYet> {
        let wish = left.wish.as_ref();
        let too_early = wish.is_some_and(|(at, _)| *at < earliest);
        let wished = wish.map(|(at, _)| *at).filter(|_| !too_early);
        let start = wished.unwrap_or(earliest);
        let times = self.ahead.predict(&left.id, start, self.turn)?;
        let mut slot = self.slot(flight, &left.id, &left.step, start, &times);
        slot.earliest_ms = Some(earliest);
        slot.too_early = too_early;
        slot.planned = wish.and_then(|(_, id)| id.clone());
        slot.waits_for = if wished.is_some() {
            WaitsFor::PlannedDay
        } else {
            waits_for
        };
        self.below.insert(flight.to_owned(), times);
        let goes_on = slot.clean_ms.is_some() && slot.next_step.late.is_some();
        if let (Some(free), Some(clean)) = (self.clean.iter_mut().min(), slot.clean_ms) {
            *free = clean;
        }
        Ok((slot, goes_on))
    }

    fn slot(&self, flight: &str, id: &str, step: &Step, start: AtMs, times: &Times) -> Slot {
        let (strip_ms, clean_ms) = self.strip(times);
        let until = times.texture.1;
        Slot {
            step: id.to_owned(),
            flight: flight.to_owned(),
            number: step.number,
            name: step.name.clone(),
            pour: None,
            start_ms: start,
            earliest_ms: None,
            waits_for: WaitsFor::Nothing,
            planned: None,
            too_early: false,
            texture_from_ms: times.texture.0,
            texture_until_ms: until,
            after_hours: until.is_some_and(|at| at > self.now && self.calendar().after_hours(at)),
            form_off: times.form_off,
            strip_ms,
            stripped: times.stripped.is_some(),
            clean_ms,
            next_step: times.next_step,
            curing_ends_ms: times.curing_ends,
        }
    }
}
