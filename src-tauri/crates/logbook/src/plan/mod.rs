//! The plan of a site: how a flight is laid out, what to buy, in which order and when to
//! pour, what to check before.
//!
//! [`flight`] has the geometry, [`need`] what one step takes, [`shopping`] the list,
//! [`schedule`] the order of work by predicted times, [`checks`] the list before a pour,
//! [`drawing`] section and plan to scale. What was said about all of that, or is usual, is
//! in [`settings`]. As everywhere here, `now` is an argument and texts are codes.

mod calendar;
pub mod checks;
pub mod drawing;
pub mod flight;
pub mod need;
mod order;
pub mod schedule;
pub mod settings;
pub mod shopping;

use crate::book::{Book, Folded};
use crate::facts::{Crew, Flight, Materials, Rules, Site, Step};
use crate::view::Rec;
use flight::FlightPlan;
use need::{Recipe, StepNeed};
use serde::Serialize;
use settings::Standing;
use shopping::{Item, Supply};
use slowstone_curing::units::AtMs;

/// Everything of the plan that needs no prediction. Times are in [`schedule`].
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PlanView {
    /// The instant that this view is for.
    pub now_ms: AtMs,
    /// What flights are held against.
    pub rules: Standing<Rules>,
    /// Material and waste.
    pub materials: Standing<Materials>,
    /// Hours, days and people.
    pub crew: Standing<Crew>,
    /// Flights, in the order in which they were made.
    pub flights: Vec<FlightPlan>,
    /// What each step takes, in the order of the flights.
    pub needs: Vec<StepNeed>,
    /// By what the steps are mixed.
    pub recipe: Recipe,
    /// Bags to open when every step that is left is mixed from fresh ones.
    pub bags_opened: u32,
    /// What to buy.
    pub list: Vec<Item>,
}

/// The steps of a flight by number.
pub(crate) fn steps_of(sum: &Folded, flight: &str) -> Vec<Rec<Step>> {
    let mut steps = sum.recs::<Step>();
    steps.retain(|s| s.fact.flight == flight);
    steps.sort_by(|a, b| (a.fact.number, &a.id).cmp(&(b.fact.number, &b.id)));
    steps
}

/// Whether a step was poured.
pub(crate) fn poured(sum: &Folded, step: &str) -> bool {
    sum.pours().any(|(_, p)| p.step.as_deref() == Some(step))
}

impl Book {
    /// The plan of a site at `now`; none if there is no such site.
    pub fn plan_view(&mut self, site: &str, now: AtMs) -> Option<PlanView> {
        let sum = self.folded(site);
        sum.fact::<Site>(site)?;
        let rules = settings::rules(sum);
        let materials = settings::materials(sum);
        let recipe = need::recipe(sum, &materials.fact, now);
        let flights: Vec<FlightPlan> = sum
            .recs::<Flight>()
            .into_iter()
            .map(|f| flight::plan(sum, &f, &rules.fact))
            .collect();
        let needs: Vec<StepNeed> = flights
            .iter()
            .flat_map(|f| f.steps.iter().map(|s| (s, &f.layout.fact)))
            .map(|(s, l)| need::of(s, (l.base_m, l.drain_m), &recipe, &materials.fact))
            .collect();
        let list = shopping::list(&Supply {
            sum,
            flights: &flights,
            needs: &needs,
            recipe: &recipe,
            materials: &materials.fact,
            now,
        });
        Some(PlanView {
            now_ms: now,
            crew: settings::crew(sum),
            rules,
            materials,
            flights,
            recipe,
            bags_opened: needs
                .iter()
                .filter(|n| !n.poured)
                .fold(0, |sum, n| n.bags.saturating_add(sum)),
            needs,
            list,
        })
    }
}
