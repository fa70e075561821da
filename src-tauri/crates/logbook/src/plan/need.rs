//! What one step takes: bags, batches, water, pigment, mesh, gravel; what it weighs.
//!
//! Every step is a pour of its own, so its bags are rounded up for themselves too: one
//! short and the pour is lost. Yield and count of bags are in `slowstone_curing::bags`,
//! mass and people in `slowstone_curing::handling`; the list for the shop is in
//! [`super::shopping`].

use super::flight::StepPlan;
use crate::book::Folded;
use crate::facts::{Additive, Materials, Mix, Pour, Step};
use crate::view::{assumed_mix, begun, mixed};
use serde::Serialize;
use slowstone_curing::bags;
use slowstone_curing::handling;
use slowstone_curing::predict::{Base, Piece};
use slowstone_curing::units::{AtMs, Litres, Metres, Mpa, Percent};

/// Gravel reaches this far beyond a step at its free sides, m (common practice, no source).
const BESIDE_M: f64 = 0.1;
/// Loose gravel for a compacted litre (common practice, no source).
const LOOSE: f64 = 1.25;

/// A dose of an additive, as reckoned.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct DosePlan {
    /// Which additive.
    pub additive: String,
    /// Its name.
    pub name: String,
    /// Millilitres, not grams.
    pub liquid: bool,
    /// Share of the cement by mass.
    pub dose_pct: f64,
    /// Amount for one bag, g or ml (a liquid is taken at 1 kg/L).
    pub per_bag: f64,
    /// Amount for one batch.
    pub per_batch: f64,
    /// Whether it lies in the supplier's range; none without a range.
    pub fits: Option<bool>,
}

/// By what everything is mixed.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Recipe {
    /// The mix; none: a plain bagged mix is assumed.
    pub mix: Option<String>,
    /// Its name.
    pub name: String,
    /// Mass of a bag.
    pub bag_kg: f64,
    /// Fresh concrete from a bag.
    pub yield_l: f64,
    /// Bags in a full batch.
    pub batch_bags: f64,
    /// Least and most water per bag.
    pub water_per_bag_l: (f64, f64),
    /// Least and most water for a full batch.
    pub water_per_batch_l: (f64, f64),
    /// What goes in beside.
    pub doses: Vec<DosePlan>,
    /// The doses are those of the last step; nobody chose any.
    pub as_last: bool,
    /// What one person may lift from the ground, against the mass of a bag.
    pub one_person_kg: f64,
}

/// What one step takes.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct StepNeed {
    /// The step.
    pub step: String,
    /// Its number.
    pub number: u32,
    /// It was poured: nothing of this is needed any more.
    pub poured: bool,
    /// Volume as a box.
    pub volume_l: f64,
    /// Mass when wet.
    pub mass_kg: f64,
    /// People who could lift it; none: more than three, so nobody lifts it.
    pub persons: Option<u32>,
    /// Bags with waste, not rounded.
    pub bags_exact: f64,
    /// Bags to open.
    pub bags: u32,
    /// Full batches, and what the last one takes (bags; nought if all are full).
    pub batches: u32,
    /// Bags of the last batch, if it is not full.
    pub last_batch_bags: f64,
    /// Least and most water.
    pub water_l: (f64, f64),
    /// Mesh: along the front.
    pub mesh_width_m: f64,
    /// Mesh: front to back.
    pub mesh_depth_m: f64,
    /// Mesh: above the bottom, half depth.
    pub mesh_up_m: f64,
    /// Compacted gravel beneath, delivered loose.
    pub gravel_l: f64,
    /// Clean stone beneath, delivered loose.
    pub stone_l: f64,
}

/// The pour of a step that began last, of those that `keep` takes. A test patch is none: it
/// is mixed to try a dose, in a quarter bag, and nothing of the steps follows it; nor is one
/// that has not begun.
pub(super) fn last_step(
    sum: &Folded,
    now: AtMs,
    keep: impl Fn(&Pour) -> bool,
) -> Option<(&str, &Pour)> {
    let is_step = |p: &Pour| {
        p.step
            .as_deref()
            .and_then(|s| sum.fact::<Step>(s))
            .is_some()
    };
    let steps = sum
        .pours()
        .filter(|(_, p)| is_step(p) && begun(p, now) && keep(p));
    steps.max_by_key(|(id, p)| (p.started_ms, *id))
}

/// The mix that is used: chosen, or of the last step, or the first.
pub(super) fn mix_id(sum: &Folded, materials: &Materials, now: AtMs) -> Option<String> {
    let is_mix = |id: &String| sum.fact::<Mix>(id).is_some();
    let chosen = materials.mix.clone().filter(is_mix);
    let used = || last_step(sum, now, |_| true).and_then(|(_, p)| p.mix.clone().filter(is_mix));
    let first = || sum.facts::<Mix>().next().map(|(id, _)| id.to_owned());
    chosen.or_else(used).or_else(first)
}

/// Bags of a full batch: whole bags, or half a bag where the barrow takes no whole one.
fn batch_bags(mixer_l: f64, yield_l: f64) -> f64 {
    let whole = (mixer_l / yield_l + 1e-9).floor();
    if whole >= 1.0 { whole } else { 0.5 }
}

/// By what everything is mixed.
pub(super) fn recipe(sum: &Folded, materials: &Materials, now: AtMs) -> Recipe {
    let id = mix_id(sum, materials, now);
    let mix = id.as_ref().and_then(|id| sum.fact::<Mix>(id)).cloned();
    let mix = mix.unwrap_or_else(assumed_mix);
    let mut doses: Vec<(String, f64)> = materials
        .doses
        .iter()
        .map(|d| (d.additive.clone(), d.dose_pct))
        .collect();
    let as_last = doses.is_empty();
    // Of this mix; where no step was poured of it, the share of the cement in another one.
    let alike = || last_step(sum, now, |p| p.mix == id);
    if as_last && let Some((pour, p)) = alike().or_else(|| last_step(sum, now, |_| true)) {
        let own = p.mix.as_deref().and_then(|id| sum.fact::<Mix>(id));
        let used = mixed(sum, pour, own.unwrap_or(&mix)).doses;
        doses.extend(
            used.into_iter()
                .filter_map(|d| Some((d.additive, d.pct_of_cement?))),
        );
    }
    let batch_bags = batch_bags(materials.mixer_l, mix.yield_l);
    let per_bag = (mix.water_min_l, mix.water_max_l);
    let dose = |(id, pct): (String, f64)| {
        let a: &Additive = sum.fact(&id)?;
        let per_bag = mix.cement_per_bag_kg() * 1000.0 * pct / 100.0;
        Some(DosePlan {
            name: a.name.clone(),
            liquid: a.liquid,
            additive: id,
            dose_pct: pct,
            per_bag,
            per_batch: per_bag * batch_bags,
            fits: a.takes(pct),
        })
    };
    let nothing = piece(0.0, 0.0, 0.0);
    Recipe {
        mix: id,
        name: mix.name.clone(),
        bag_kg: mix.bag_kg,
        yield_l: mix.yield_l,
        batch_bags,
        water_per_bag_l: per_bag,
        water_per_batch_l: (per_bag.0 * batch_bags, per_bag.1 * batch_bags),
        doses: doses.into_iter().filter_map(dose).collect(),
        as_last,
        one_person_kg: handling::moving(&nothing, Mpa(0.0)).one_person.0,
    }
}

fn piece(width_m: f64, depth_m: f64, thickness_m: f64) -> Piece {
    Piece {
        thickness: Metres(thickness_m),
        width: Metres(width_m),
        depth: Metres(depth_m),
        base: Base::Gravel,
    }
}

/// A count that is not negative.
pub(super) fn count(x: f64) -> u32 {
    u32::try_from(bags::whole(x)).unwrap_or(u32::MAX)
}

/// Bags to open for a volume.
pub(super) fn bags_for(volume_l: f64, r: &Recipe, m: &Materials) -> u32 {
    let (volume, yields) = (Litres(volume_l), Litres(r.yield_l));
    count(bags::exact(volume, yields, Percent(m.waste_pct)))
}

/// Mesh along the front and front to back, m: short of the form all round.
pub(super) fn mesh_m(width_m: f64, depth_m: f64, m: &Materials) -> (f64, f64) {
    let gap = 2.0 * m.mesh_gap_mm / 1000.0;
    ((width_m - gap).max(0.0), (depth_m - gap).max(0.0))
}

/// What a step takes, with its gravel by `base_m` and `drain_m` in `ground`.
pub(super) fn of(s: &StepPlan, ground: (f64, f64), r: &Recipe, m: &Materials) -> StepNeed {
    let (width, depth, height) = (Metres(s.width_m), Metres(s.depth_m), Metres(s.cast_m));
    let volume = bags::box_volume(width, depth, height);
    let exact = bags::exact(volume, Litres(r.yield_l), Percent(m.waste_pct));
    let whole = bags::whole(exact) as f64;
    let full = (whole / r.batch_bags + 1e-9).floor();
    let rest = whole - full * r.batch_bags;
    let moving = handling::moving(&piece(s.width_m, s.depth_m, s.cast_m), Mpa(0.0));
    let (mesh_width_m, mesh_depth_m) = mesh_m(s.width_m, s.depth_m, m);
    // Ground is covered where the step does not lie on the one below; the front of the
    // lowest is free like the sides.
    let front = if s.overlap_m > 0.0 { 0.0 } else { BESIDE_M };
    let area = (s.width_m + 2.0 * BESIDE_M) * ((s.depth_m - s.overlap_m).max(0.0) + front);
    StepNeed {
        step: s.step.clone(),
        number: s.number,
        poured: s.poured,
        volume_l: volume.0,
        mass_kg: moving.mass.0,
        persons: moving.persons,
        bags_exact: exact,
        bags: count(exact),
        batches: count(full),
        last_batch_bags: if rest > 1e-9 { rest } else { 0.0 },
        water_l: (r.water_per_bag_l.0 * whole, r.water_per_bag_l.1 * whole),
        mesh_width_m,
        mesh_depth_m,
        mesh_up_m: s.cast_m / 2.0,
        gravel_l: area * ground.0 * LOOSE * 1000.0,
        stone_l: area * ground.1 * LOOSE * 1000.0,
    }
}
