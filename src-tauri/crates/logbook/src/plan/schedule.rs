//! The order of work: when each step that is left may be cast, with the forms that there
//! are, in the hours that people work.
//!
//! Step by step: the form is taken off at the cautious end of its range, washed, dried
//! with its liner and set again; the step below must carry that, and the next pour. A day
//! that somebody planned is kept unless it is too early. Steps that were poured count as
//! they went, so the plan follows what is logged. Predictions come from
//! `view/ahead.rs`; how one thing waits for another is in [`super::order`].

use super::calendar::Calendar;
use super::order::run;
use super::settings::{self, Standing};
use crate::facts::{Crew, Form};
use crate::view::Ahead;
use serde::Serialize;
use slowstone_curing::predict::{NotYet, Span};
use slowstone_curing::units::AtMs;

/// What a pour waits for longest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct OneFormMore {
    /// Last pour with it.
    pub last_ms: AtMs,
    /// Days by which that is sooner.
    pub days_saved: f64,
}

/// A midnight of the site, for the picture.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct DayMark {
    /// When the day begins.
    pub at_ms: AtMs,
    /// Nobody works on it.
    pub off: bool,
}

/// The order of work.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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

/// What is asked of the plan: this step at this time.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// The step.
    pub step: String,
    /// When.
    pub at: AtMs,
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
        let mix = super::need::mix_id(sum, &materials, now);
        self.look_ahead(site, now, mix, |ahead| view(ahead, now, asked))
    }
}

fn view(ahead: &mut Ahead<'_>, now: AtMs, asked: Option<&Asked>) -> ScheduleView {
    let crew = settings::crew(ahead.sum);
    let set_up = ahead.sum.facts::<Form>().count();
    let set_up = u32::try_from(set_up.max(1)).unwrap_or(1);
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
