//! The order of work: when each step that is left may be cast, with the forms that there
//! are, in the hours that people work.
//!
//! Step by step: the form is taken off at the cautious end of its range, washed, dried
//! with its liner and set again; the step below must carry that, and the next pour. A day
//! that somebody planned is kept unless it is too early. Steps that were poured count as
//! they went, so the plan follows what is logged. Predictions come from
//! `view/ahead.rs`; working time from [`super::calendar`].

use super::calendar::Calendar;
use super::settings::{self, Standing};
use super::{flights, steps_of};
use crate::facts::{Crew, Fact, Step};
use crate::view::{Ahead, Times};
use serde::Serialize;
use slowstone_curing::predict::{NotYet, Span};
use slowstone_curing::units::{AtMs, Hours};
use std::collections::BTreeMap;

/// What a pour waits for longest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[serde(rename_all = "snake_case")]
pub enum WaitsFor {
    /// Nothing: it can be poured as soon as people are there.
    Nothing,
    /// The form: taken off, washed, dried and set again.
    Form,
    /// The step below, which must carry people, form and fresh concrete.
    StepBelow,
    /// The next morning or working day.
    WorkingTime,
    /// The day that was planned.
    PlannedDay,
}

/// A step in the order of work.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct Slot {
    /// The step.
    pub step: String,
    /// Its flight.
    pub flight: String,
    /// Its number.
    pub number: u32,
    /// Its name.
    pub name: String,
    /// Its pour, if it was poured.
    pub pour: Option<String>,
    /// First concrete: as logged, or as planned.
    pub start_ms: AtMs,
    /// The earliest that is possible; none for a pour that was made.
    pub earliest_ms: Option<AtMs>,
    /// What it waits for.
    pub waits_for: WaitsFor,
    /// The record that plans its day.
    pub planned: Option<String>,
    /// The day that was planned or asked for is too early.
    pub too_early: bool,
    /// The surface takes a texture: likely from.
    pub texture_from_ms: Option<AtMs>,
    /// Likely until.
    pub texture_until_ms: Option<AtMs>,
    /// The surface likely wants a hand after working time.
    pub after_hours: bool,
    /// The form may come off.
    pub form_off: Span,
    /// When it did, or is planned to.
    pub strip_ms: Option<AtMs>,
    /// The form did come off.
    pub stripped: bool,
    /// Form and liner are washed and dry.
    pub clean_ms: Option<AtMs>,
    /// The next step may be cast on top.
    pub next_step: Span,
    /// Curing may end, by the cautious end.
    pub curing_ends_ms: Option<AtMs>,
}

/// What one form more would buy.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct OneFormMore {
    /// Last pour with it.
    pub last_ms: AtMs,
    /// Days by which that is sooner.
    pub days_saved: f64,
}

/// A midnight of the site, for the picture.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct DayMark {
    /// When the day begins.
    pub at_ms: AtMs,
    /// Nobody works on it.
    pub off: bool,
}

/// The order of work.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct ScheduleView {
    /// The instant that this view is for.
    pub now_ms: AtMs,
    /// Hours, days and people.
    pub crew: Standing<Crew>,
    /// Forms in use.
    pub forms: u32,
    /// Steps: those that were poured as they went, then the others in order of pouring.
    pub slots: Vec<Slot>,
    /// Last pour.
    pub last_ms: Option<AtMs>,
    /// What one form more would buy; none where too little is left to tell.
    pub one_form_more: Option<OneFormMore>,
    /// Most steps that are kept wet and covered at once.
    pub curing_at_once: u32,
    /// Why there is no further time.
    pub no_times: Option<NotYet>,
    /// Midnights from the first start to the last end.
    pub days: Vec<DayMark>,
}

/// Days that are marked at most.
const MOST_DAYS: usize = 400;
/// Steps that are planned at most: a prediction each.
const MOST_STEPS: usize = 120;
/// Waiting longer than this for people to come back is said, hours.
const OVERNIGHT_H: f64 = 4.0;

/// What is asked of the plan: this step at this time.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// The step.
    pub step: String,
    /// When.
    pub at: AtMs,
}

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

impl crate::Book {
    /// The order of work on a site at `now`, with `asked` tried out; none if there is no
    /// such site.
    pub fn schedule_view(
        &mut self,
        site: &str,
        now: AtMs,
        asked: Option<&Asked>,
    ) -> Option<ScheduleView> {
        let sum = self.folded(site);
        let materials = settings::materials(sum).fact;
        let mix = super::need::mix_id(sum, &materials);
        self.look_ahead(site, now, mix, |ahead| view(ahead, now, asked))
    }
}

fn view(ahead: &mut Ahead<'_>, now: AtMs, asked: Option<&Asked>) -> ScheduleView {
    let crew = settings::crew(ahead.sum);
    let set_up = ahead.sum.recs(|f| match f {
        Fact::Form(x) => Some(x),
        _ => None,
    });
    let set_up = u32::try_from(set_up.len().max(1)).unwrap_or(1);
    let forms = crew.fact.forms.unwrap_or(set_up).clamp(1, 50);
    let turn = if asked.is_some() { "asked" } else { "plan" };
    let (mut slots, no_times) = run(ahead, &crew.fact, now, forms, asked, turn);
    let last = |slots: &[Slot]| {
        let planned = slots.iter().filter(|s| s.pour.is_none());
        planned.map(|s| s.start_ms).max()
    };
    let left = slots.iter().filter(|s| s.pour.is_none()).count();
    let one_form_more = (no_times.is_none() && left > 1).then(|| {
        let (more, _) = run(ahead, &crew.fact, now, forms + 1, asked, "more");
        let (then, sooner) = (last(&slots)?, last(&more)?);
        Some(OneFormMore {
            last_ms: sooner,
            days_saved: then.hours_since(sooner).days().value(),
        })
    });
    slots.sort_by(|a, b| (a.start_ms, &a.step).cmp(&(b.start_ms, &b.step)));
    let ends = |s: &Slot| s.curing_ends_ms.or(s.strip_ms).unwrap_or(s.start_ms);
    let until = slots.iter().map(ends).max().unwrap_or(now);
    let from = slots.iter().map(|s| s.start_ms).min().unwrap_or(now);
    let calendar = Calendar {
        zones: ahead.zones,
        tz: ahead.tz,
        crew: &crew.fact,
    };
    ScheduleView {
        now_ms: now,
        forms,
        last_ms: last(&slots),
        one_form_more: one_form_more.flatten(),
        curing_at_once: at_once(&slots),
        no_times,
        days: calendar
            .days(from.min(now), until.max(now), MOST_DAYS)
            .into_iter()
            .map(|(at_ms, off)| DayMark { at_ms, off })
            .collect(),
        slots,
        crew,
    }
}

/// Most steps that cure at the same instant: looked at where one begins.
fn at_once(slots: &[Slot]) -> u32 {
    let wet = |at: AtMs| {
        let over = |s: &&Slot| s.start_ms <= at && s.curing_ends_ms.is_none_or(|e| e > at);
        slots.iter().filter(over).count()
    };
    let most = slots.iter().map(|s| wet(s.start_ms)).max().unwrap_or(0);
    u32::try_from(most).unwrap_or(u32::MAX)
}

/// Plans every step that is left.
fn run(
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
        for flight in flights(self.ahead.sum) {
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
        let planned = settings::newest(self.ahead.sum, |f| match f {
            Fact::Planned(p) if p.step == step => Some(p),
            _ => None,
        });
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
