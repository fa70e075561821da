//! What a person asks beside the time line: how to handle a green step, what protects it,
//! and which hour is best to pour the next one.
//!
//! Reckoned when asked for, not with every view: each trial is a prediction of its own.
//! The rules are in `slowstone_curing::{handling, protect, best_hour}`.

use super::inputs::{self, Weather, Where};
use super::told::Told;
use crate::book::{Book, Folded};
use crate::facts::{Pour, Site, Step};
use serde::Serialize;
use slowstone_curing::answer::May;
use slowstone_curing::best_hour::{self, Start};
use slowstone_curing::handling::{self, Moving, Stacking};
use slowstone_curing::placing;
use slowstone_curing::predict::{MilestoneKind, NotYet, PourFacts, SHORT_WINDOW_MIN, curve_at};
use slowstone_curing::protect::{self, FrostOutlook, ShadeHelps};
use slowstone_curing::units::{AtMs, Celsius, Hours, Metres, Mpa};
use std::sync::Arc;

/// Advice on a pour, reckoned when asked for.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Advice {
    /// Picking it up and moving it at its present strength (cautious).
    pub moving: Moving,
    /// Casting the next step on it now; none for the topmost and for samples.
    pub stacking: Option<Stacking>,
    /// How far apart the clamps of its form may stand.
    pub clamps: Option<Metres>,
    /// Frost against strength, while it is young.
    pub frost: Option<FrostOutlook>,
    /// Likely length of the texture window in minutes, before it sets, if it is short.
    pub short_window_min: Option<f64>,
    /// What shade and a windbreak would do, before it sets; none if they do not help.
    pub shade: Option<ShadeHelps>,
    /// Least and most temperature of the concrete as placed.
    pub placing: (Celsius, Celsius),
}

/// The hours of a day, ranked for pouring the next step.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct BestHours {
    /// The step that is next, if one is left.
    pub step: Option<String>,
    /// Its number.
    pub step_number: Option<u32>,
    /// Start hours, best first.
    pub starts: Vec<Start>,
    /// Why there are none.
    pub no_prediction: Option<NotYet>,
}

/// Frost and drying matter while a pour is young, hours.
const YOUNG_H: f64 = 14.0 * 24.0;
/// Mixing, filling and screeding of a small step, if none was logged, hours (common
/// practice, no source: six bags two at a time take about 45 minutes).
const USUAL_WORK_H: f64 = 0.75;

impl Book {
    /// Advice on one pour at `now`; none if it is not there or cannot be predicted.
    pub fn advice(&mut self, site: &str, pour: &str, now: AtMs) -> Option<Advice> {
        let told = self.tell(site, now);
        let sum = self.folded(site);
        let one = told.iter().find(|t| t.id == pour)?;
        let curve = &one.outcome.as_ref().ok()?.curve;
        let point = curve_at(curve, now)?;
        // The share of strength is read off one line: what is unsure of the mix cancels.
        let (mid, full) = (Mpa(point.mid_mpa), Mpa(curve.last()?.mid_mpa));
        let young = now.hours_since(one.facts.started).value() < YOUNG_H;
        let set = one
            .answer
            .window(MilestoneKind::InitialSet)
            .is_some_and(|w| w.state == May::Done || w.opens.early.is_some_and(|t| t <= now));
        let low = Mpa(point.low_mpa);
        Some(Advice {
            moving: handling::moving(&one.facts.piece, low),
            stacking: next_step(sum, &one.pour)
                .map(|s| handling::stacking(&inputs::piece(Some(s)), mid, full)),
            clamps: handling::clamp_spacing(one.facts.form, one.facts.piece.thickness),
            frost: young
                .then(|| protect::against_frost(&one.facts).ok())
                .flatten(),
            short_window_min: (!set).then(|| short_window(one)).flatten(),
            shade: (young && !set)
                .then(|| protect::for_the_window(&one.facts).ok().flatten())
                .flatten(),
            placing: placing::limits(one.facts.piece.thickness),
        })
    }

    /// The hours of the day `date` (`YYYY-MM-DD` on the site's calendar), ranked for
    /// pouring the next step as the last one was poured: 23, 24 or 25 of them, as clocks
    /// change. Hours before `now` are left out. None if there is no such site or day.
    pub fn best_hours(&mut self, site: &str, date: &str, now: AtMs) -> Option<BestHours> {
        let (told, lessons) = self.tell_and_learn(site, now);
        let zones = Arc::clone(&self.zones);
        let sum = self.folded(site);
        let place = Where::of(sum, site, &*zones);
        sum.fact::<Site>(site)?;
        let (begins, ends) = place.day(date)?;
        let from = begins.max(now);
        let next = unpoured(sum, &told);
        let like = told.last();
        let pour = Pour {
            step: next.map(|(id, _)| id.to_owned()),
            started_ms: from,
            finished_ms: Some(from.plus(Hours(work_h(&told)))),
            ..blank(like.map(|t| &t.pour))
        };
        let learned = lessons
            .get(pour.mix.as_deref().unwrap_or_default())
            .copied()
            .unwrap_or_default();
        let weather = Weather::of(sum, &place);
        let facts = PourFacts {
            dose: like.map(|t| t.facts.dose).unwrap_or_default(),
            ..inputs::pour_facts(sum, &place, "", &pour, &weather, learned)
        };
        let starts = best_hour::best_hours(&facts, from, AtMs(ends.0.saturating_sub(1)));
        let (starts, no_prediction) = match starts {
            Ok(starts) => (starts, None),
            Err(why) => (Vec::new(), Some(why)),
        };
        Some(BestHours {
            step: next.map(|(id, _)| id.to_owned()),
            step_number: next.map(|(_, s)| s.number),
            starts,
            no_prediction: no_prediction.filter(|why| *why != NotYet::Impossible),
        })
    }
}

/// The likely length of the texture window, minutes, if it is short.
fn short_window(told: &Told) -> Option<f64> {
    let texture = told.answer.window(MilestoneKind::Texture)?;
    let (opens, closes) = (texture.opens.likely?, texture.closes?.likely?);
    let minutes = closes.hours_since(opens).value() * 60.0;
    (minutes < SHORT_WINDOW_MIN).then_some(minutes)
}

/// The step that is cast on top of a pour's own.
fn next_step<'a>(sum: &'a Folded, pour: &Pour) -> Option<&'a Step> {
    inputs::step_above(sum, inputs::step_of(sum, pour)?)
}

/// The lowest step that was not poured.
fn unpoured<'a>(sum: &'a Folded, told: &[Told]) -> Option<(&'a str, &'a Step)> {
    let poured = |id: &str| told.iter().any(|t| t.pour.step.as_deref() == Some(id));
    let left = sum.facts::<Step>().filter(|(id, _)| !poured(id));
    left.min_by_key(|(id, s)| (&s.flight, s.number, *id))
}

/// The middle of how long earlier pours took from first concrete to screeding.
fn work_h(told: &[Told]) -> f64 {
    let mut all: Vec<f64> = told
        .iter()
        .filter_map(|t| {
            t.pour
                .finished_ms
                .map(|end| end.hours_since(t.pour.started_ms))
        })
        .map(Hours::value)
        .filter(|h| (0.1..=6.0).contains(h))
        .collect();
    all.sort_by(f64::total_cmp);
    all.get(all.len() / 2).copied().unwrap_or(USUAL_WORK_H)
}

/// A pour that uses what the last one used.
fn blank(like: Option<&Pour>) -> Pour {
    Pour {
        mix: like.and_then(|p| p.mix.clone()),
        form: like.and_then(|p| p.form.clone()),
        liner: like.and_then(|p| p.liner.clone()),
        ..Pour::default()
    }
}
