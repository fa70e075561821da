//! What stands of the plan's settings: the newest record of a kind, or what is usual.
//!
//! Usual values are common practice without a source unless one is named; every one of
//! them can be changed on the site. Nothing is reckoned here.

use crate::book::Folded;
use crate::facts::{Crew, Kind, Layout, Materials, Rules};
use serde::Serialize;
use slowstone_curing::stairs::Limits;
use slowstone_curing::units::AtMs;

/// A setting as it stands.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(rename = "{T}Standing"))]
pub struct Standing<T> {
    /// The record that says so; none: nobody did, it is what is usual.
    pub id: Option<String>,
    /// What it says.
    pub fact: T,
}

/// How far a step lies on the one below, m (common practice: 150 to 180 mm).
pub const USUAL_OVERLAP_M: f64 = 0.165;
/// Fall of a tread that sheds water and does not trip, per cent.
pub const USUAL_FALL_PCT: f64 = 1.5;

/// The newest record of a kind among those that `keep` takes, by its device's clock, then by
/// id: which, since when, and what it says.
pub(crate) fn newest<T: Kind>(
    sum: &Folded,
    keep: impl Fn(&T) -> bool,
) -> Option<(String, AtMs, T)> {
    sum.entries
        .iter()
        .filter_map(|(id, e)| Some((e.at_ms, id, T::of(&e.fact)?)))
        .filter(|(_, _, fact)| keep(fact))
        .max_by_key(|(at, id, _)| (*at, *id))
        .map(|(at, id, fact)| (id.clone(), at, fact.clone()))
}

/// The newest record of a kind, or what is usual.
pub(super) fn standing<T: Kind>(
    sum: &Folded,
    keep: impl Fn(&T) -> bool,
    usual: impl FnOnce() -> T,
) -> Standing<T> {
    match newest(sum, keep) {
        Some((id, _, fact)) => Standing { id: Some(id), fact },
        None => Standing {
            id: None,
            fact: usual(),
        },
    }
}

/// How a flight lies.
pub(super) fn layout(sum: &Folded, flight: &str) -> Standing<Layout> {
    standing(
        sum,
        |l: &Layout| l.flight == flight,
        || usual_layout(flight),
    )
}

fn usual_layout(flight: &str) -> Layout {
    Layout {
        flight: flight.to_owned(),
        bank_rise_m: None,
        bank_run_m: None,
        overlap_m: USUAL_OVERLAP_M,
        fall_pct: USUAL_FALL_PCT,
        base_m: 0.1,
        drain_m: 0.05,
    }
}

/// What flights are held against.
pub(super) fn rules(sum: &Folded) -> Standing<Rules> {
    standing(sum, |_| true, usual_rules)
}

/// IRC R311.7.5 with 2R + T of landscape practice: [`Limits::default`]. Fall: 1 % sheds
/// water (common practice), 2 % (1 in 48) is the most of R311.7.7 (from memory).
fn usual_rules() -> Rules {
    let l = Limits::default();
    Rules {
        name: "IRC R311.7.5".to_owned(),
        riser_max_mm: l.riser_max_mm,
        going_min_mm: l.going_min_mm,
        variation_max_mm: l.variation_max_mm,
        two_r_plus_t_min_mm: l.two_r_plus_t_min_mm,
        two_r_plus_t_max_mm: l.two_r_plus_t_max_mm,
        fall_min_pct: 1.0,
        fall_max_pct: 2.0,
    }
}

impl From<&Rules> for Limits {
    fn from(r: &Rules) -> Limits {
        Limits {
            riser_max_mm: r.riser_max_mm,
            going_min_mm: r.going_min_mm,
            variation_max_mm: r.variation_max_mm,
            two_r_plus_t_min_mm: r.two_r_plus_t_min_mm,
            two_r_plus_t_max_mm: r.two_r_plus_t_max_mm,
        }
    }
}

/// Material and waste.
pub(super) fn materials(sum: &Folded) -> Standing<Materials> {
    standing(sum, |_| true, usual_materials)
}

/// A wheelbarrow that mixes two bags of 30 kg, 5 % of waste, mesh 25 mm short all round,
/// a liner 15 mm thick on average of a rubber of 1.1 kg/L.
fn usual_materials() -> Materials {
    Materials {
        mix: None,
        waste_pct: 5.0,
        mixer_l: 30.0,
        doses: Vec::new(),
        mesh_gap_mm: 25.0,
        rubber_mm: 15.0,
        rubber_kg_l: 1.1,
        rubber_waste_pct: 10.0,
    }
}

/// Hours, days and people.
pub(super) fn crew(sum: &Folded) -> Standing<Crew> {
    standing(sum, |_| true, usual_crew)
}

fn usual_crew() -> Crew {
    Crew {
        from_h: 8.0,
        until_h: 20.0,
        days_off: Vec::new(),
        forms: None,
        pour_h: 1.5,
        wash_h: 1.0,
        dry_h: 4.0,
        reset_h: 2.0,
    }
}
