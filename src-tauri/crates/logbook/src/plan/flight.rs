//! The geometry of a flight: risers, goings, overlap, fall, and what is wrong with them.
//!
//! A riser is what a foot climbs from nosing to nosing: the step as cast and the fall of
//! the tread below it. A going is what shows of a tread in front of the next step; the
//! topmost tread runs on into the path and has none. The limits are in
//! `slowstone_curing::stairs`; what the steps weigh and take is in [`super::need`].

use super::settings::{self, Standing};
use super::{poured, steps_of};
use crate::book::Folded;
use crate::facts::{Flight, Layout, Rules, Step};
use crate::view::Rec;
use serde::Serialize;
use slowstone_curing::stairs::{self, Fault, Limits, StepSize};
use slowstone_curing::units::Metres;

/// What can be wrong with a flight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Amiss {
    /// A riser is too high.
    Riser,
    /// A going is too short.
    Going,
    /// Risers differ too much.
    RiserVariation,
    /// Goings differ too much.
    GoingVariation,
    /// 2R + T is too short or too long.
    Stride,
    /// The fall is too little or too much.
    Fall,
    /// The steps do not add up to the measured bank.
    BankRise,
    /// The goings do not add up to the measured bank.
    BankRun,
    /// A step lies too little on the one below.
    Overlap,
}

/// Something that is wrong, with its figures.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Finding {
    /// What.
    pub what: Amiss,
    /// What it comes to: mm, or per cent for the fall.
    pub value: f64,
    /// What it is held against.
    pub limit: f64,
}

/// A step in its place.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct StepPlan {
    /// The step.
    pub step: String,
    /// Its number, 1 at the bottom.
    pub number: u32,
    /// Its name.
    pub name: String,
    /// It was poured.
    pub poured: bool,
    /// Along the front edge.
    pub width_m: f64,
    /// Front to back, as cast.
    pub depth_m: f64,
    /// Height as cast.
    pub cast_m: f64,
    /// From nosing to nosing.
    pub riser_m: f64,
    /// What shows of the tread; none for the topmost.
    pub going_m: Option<f64>,
    /// Twice the riser and the going, mm; none for the topmost.
    pub stride_mm: Option<f64>,
    /// How far it lies on the step below; nought for the lowest.
    pub overlap_m: f64,
    /// How much higher its back is than its front.
    pub fall_mm: f64,
}

/// A flight as planned.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct FlightPlan {
    /// The flight.
    pub flight: String,
    /// Its name.
    pub name: String,
    /// How it lies.
    pub layout: Standing<Layout>,
    /// Steps from the lowest up.
    pub steps: Vec<StepPlan>,
    /// Sum of the risers.
    pub rise_m: f64,
    /// From the lowest nosing to the topmost one.
    pub run_m: f64,
    /// From the lowest front to the back of the topmost step.
    pub length_m: f64,
    /// What is wrong.
    pub findings: Vec<Finding>,
}

/// A flight that would fit a bank.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Proposal {
    /// Number of steps.
    pub steps: u32,
    /// Riser of each.
    pub riser_m: f64,
    /// Going of each.
    pub going_m: f64,
    /// Twice the riser and the going, mm.
    pub stride_mm: f64,
    /// Height of the form: the riser less the fall of the tread below.
    pub cast_m: f64,
    /// Depth of the form: the going and the overlap.
    pub depth_m: f64,
    /// Each step rests mostly on the one below.
    pub on_step_below: bool,
    /// What is wrong.
    pub findings: Vec<Finding>,
    /// It is the one that fits best.
    pub best: bool,
}

/// What a bank asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bank {
    /// Height.
    pub rise: Metres,
    /// Level length, from the lowest nosing to the end of the topmost tread.
    pub run: Metres,
    /// How far each step lies on the one below.
    pub overlap: Metres,
    /// Fall of the treads, per cent.
    pub fall_pct: f64,
}

/// A sum that misses the bank by less than this per step is within what is set out by
/// string and level (common practice, no source), mm.
const SETTING_OUT_MM: f64 = 5.0;
/// Least overlap that bonds and seals the joint, mm (common practice: 150 to 180 mm).
const OVERLAP_LEAST_MM: f64 = 150.0;
/// Noise of arithmetic.
const NOISE: f64 = 1e-6;

/// A flight of the log.
pub(super) fn plan(sum: &Folded, flight: &Rec<Flight>, rules: &Rules) -> FlightPlan {
    let layout = settings::layout(sum, &flight.id);
    let recs = steps_of(sum, &flight.id);
    let mut steps: Vec<StepPlan> = Vec::with_capacity(recs.len());
    for (i, rec) in recs.iter().enumerate() {
        let above = recs.get(i + 1).map(|r| &r.fact);
        let below = steps.last();
        let plan = step(rec, below, above, &layout.fact, poured(sum, &rec.id));
        steps.push(plan);
    }
    let goings = || steps.iter().filter_map(|s| s.going_m);
    let run_m = goings().sum();
    let findings = judge(&steps, &layout.fact, rules);
    FlightPlan {
        flight: flight.id.clone(),
        name: flight.fact.name.clone(),
        layout,
        rise_m: steps.iter().map(|s| s.riser_m).sum(),
        run_m,
        length_m: run_m + steps.last().map_or(0.0, |s| s.depth_m),
        findings,
        steps,
    }
}

fn step(
    rec: &Rec<Step>,
    below: Option<&StepPlan>,
    above: Option<&Step>,
    layout: &Layout,
    poured: bool,
) -> StepPlan {
    let s = &rec.fact;
    let fall = layout.fall_pct / 100.0;
    // No step can lie on more than there is below it.
    let overlap_m = below.map_or(0.0, |b| layout.overlap_m.min(b.depth_m));
    let going_m = above.map(|_| (s.depth_m - layout.overlap_m).max(0.0));
    let riser_m = s.rise_m + below.and_then(|b| b.going_m).unwrap_or(0.0) * fall;
    let size = going_m.map(|g| StepSize {
        riser: Metres(riser_m),
        going: Metres(g),
    });
    StepPlan {
        step: rec.id.clone(),
        number: s.number,
        name: s.name.clone(),
        poured,
        width_m: s.width_m,
        depth_m: s.depth_m,
        cast_m: s.rise_m,
        riser_m,
        going_m,
        stride_mm: size.map(|s| s.two_r_plus_t_mm()),
        overlap_m,
        fall_mm: s.depth_m * fall * 1000.0,
    }
}

fn judge(steps: &[StepPlan], layout: &Layout, rules: &Rules) -> Vec<Finding> {
    if steps.is_empty() {
        return Vec::new();
    }
    // The topmost tread runs on: its riser counts, with a going that others have.
    let usual = steps.iter().rev().find_map(|s| s.going_m);
    let sizes: Vec<StepSize> = steps
        .iter()
        .map(|s| StepSize {
            riser: Metres(s.riser_m),
            going: Metres(s.going_m.or(usual).unwrap_or(s.depth_m)),
        })
        .collect();
    let mut all = against(&sizes, layout.fall_pct, rules);
    let count = steps.len() as f64;
    let rise_m: f64 = steps.iter().map(|s| s.riser_m).sum();
    let goings = steps.iter().filter_map(|s| s.going_m);
    let run_m: f64 = goings.chain(usual).sum();
    let off = |what, bank: Option<f64>, is: f64| {
        let limit = bank? * 1000.0;
        let value = is * 1000.0;
        ((value - limit).abs() > SETTING_OUT_MM * count).then_some(Finding { what, value, limit })
    };
    all.extend(off(Amiss::BankRise, layout.bank_rise_m, rise_m));
    all.extend(off(Amiss::BankRun, layout.bank_run_m, run_m));
    let overlap = layout.overlap_m * 1000.0;
    // Steps that lie on nothing but their own base are not held against it.
    if steps.len() > 1 && overlap > 0.0 && overlap < OVERLAP_LEAST_MM - NOISE {
        all.push(Finding {
            what: Amiss::Overlap,
            value: overlap,
            limit: OVERLAP_LEAST_MM,
        });
    }
    all
}

/// Sizes and fall against the rules.
fn against(sizes: &[StepSize], fall_pct: f64, rules: &Rules) -> Vec<Finding> {
    let mut all: Vec<Finding> = stairs::findings(sizes, &Limits::from(rules))
        .into_iter()
        .map(|f| Finding {
            what: match f.fault {
                Fault::Riser => Amiss::Riser,
                Fault::Going => Amiss::Going,
                Fault::RiserVariation => Amiss::RiserVariation,
                Fault::GoingVariation => Amiss::GoingVariation,
                Fault::TwoRPlusT => Amiss::Stride,
            },
            value: f.value_mm,
            limit: f.limit_mm,
        })
        .collect();
    let limit = fall_pct.clamp(rules.fall_min_pct, rules.fall_max_pct);
    if (fall_pct - limit).abs() > NOISE {
        all.push(Finding {
            what: Amiss::Fall,
            value: fall_pct,
            limit,
        });
    }
    all
}

/// Numbers of steps that would fit a bank: the best one and its neighbours.
#[must_use]
pub fn propose(bank: &Bank, rules: &Rules) -> Vec<Proposal> {
    let best = stairs::best_count(bank.rise, bank.run, &Limits::from(rules));
    (best.saturating_sub(2).max(1)..=best.saturating_add(2))
        .map(|steps| {
            let size = stairs::even(bank.rise, bank.run, steps);
            Proposal {
                steps,
                riser_m: size.riser.0,
                going_m: size.going.0,
                stride_mm: size.two_r_plus_t_mm(),
                cast_m: size.riser.0 - size.going.0 * bank.fall_pct / 100.0,
                depth_m: size.going.0 + bank.overlap.0,
                on_step_below: bank.overlap.0 > size.going.0,
                findings: against(&[size], bank.fall_pct, rules),
                best: steps == best,
            }
        })
        .collect()
}
