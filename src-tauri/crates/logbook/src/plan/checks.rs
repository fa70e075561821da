//! The check before a pour: points that are usual or a person's own, and which are open.
//!
//! A tick belongs to a step and holds for its next pour: once the step was poured, ticks
//! from before say nothing about pouring it again. Ticks are data, never a gate: whoever
//! pours with open points is shown them, not stopped.

use super::settings::Standing;
use super::{need, settings, steps_of};
use crate::book::{Book, Folded};
use crate::facts::{Checklist, Flight, Kind, Site, Ticked};
use serde::Serialize;
use slowstone_curing::units::AtMs;

/// What is usually checked (common practice, no source).
pub const USUAL: [&str; 10] = [
    "base_level",
    "form_level",
    "gaps_closed",
    "mesh_cut",
    "liner_clamped",
    "bags_enough",
    "release_agent",
    "water_ready",
    "cover_ready",
    "gloves_eyes",
];

/// One point of the check of a step.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Point {
    /// Code of a usual point, or a person's words.
    pub point: String,
    /// It is in order.
    pub done: bool,
    /// Who said so.
    pub by: String,
}

/// The check of one step.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct StepCheck {
    /// The step.
    pub step: String,
    /// Its number.
    pub number: u32,
    /// Its name.
    pub name: String,
    /// Points in their order.
    pub points: Vec<Point>,
    /// How many are open.
    pub open: u32,
    /// Bags to open for it.
    pub bags: u32,
    /// Mesh along the front and front to back.
    pub mesh_m: (f64, f64),
}

/// The checks of the steps that are still to be poured.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ChecksView {
    /// The instant that this view is for.
    pub now_ms: AtMs,
    /// The list.
    pub list: Standing<Checklist>,
    /// Steps in the order of the flights.
    pub steps: Vec<StepCheck>,
}

fn list(sum: &Folded) -> Standing<Checklist> {
    let usual = || Checklist {
        points: USUAL.map(str::to_owned).to_vec(),
    };
    settings::standing(sum, |_| true, usual)
}

fn point(sum: &Folded, step: &str, point: &str) -> Point {
    let ticks = sum.entries.iter().filter_map(|(id, e)| {
        let tick = Ticked::of(&e.fact).filter(|t| t.step == step && t.point == point)?;
        Some((e.at_ms, id, tick.done, &e.by))
    });
    let last = ticks.max_by_key(|(at, id, ..)| (*at, *id));
    let by = last.filter(|(.., done, _)| *done).map(|(.., by)| by);
    Point {
        point: point.to_owned(),
        done: by.is_some(),
        by: by.cloned().unwrap_or_default(),
    }
}

impl Book {
    /// The checks of a site at `now`; none if there is no such site.
    pub fn checks_view(&mut self, site: &str, now: AtMs) -> Option<ChecksView> {
        let sum = self.folded(site);
        sum.fact::<Site>(site)?;
        let list = list(sum);
        let materials = settings::materials(sum).fact;
        let recipe = need::recipe(sum, &materials, now);
        let mut steps = Vec::new();
        for flight in sum.recs::<Flight>() {
            for rec in steps_of(sum, &flight.id) {
                if super::poured(sum, &rec.id) {
                    continue;
                }
                let points: Vec<Point> = list
                    .fact
                    .points
                    .iter()
                    .map(|p| point(sum, &rec.id, p))
                    .collect();
                let open = points.iter().filter(|p| !p.done).count();
                steps.push(StepCheck {
                    number: rec.fact.number,
                    name: rec.fact.name.clone(),
                    open: u32::try_from(open).unwrap_or(u32::MAX),
                    bags: need::bags_for(rec.fact.volume_l(), &recipe, &materials),
                    mesh_m: need::mesh_m(rec.fact.width_m, rec.fact.depth_m, &materials),
                    step: rec.id,
                    points,
                });
            }
        }
        Some(ChecksView {
            now_ms: now,
            list,
            steps,
        })
    }
}
