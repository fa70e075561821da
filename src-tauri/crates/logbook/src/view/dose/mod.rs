//! What an additive did to the colour of a mix, and how much of it matches a step.
//!
//! Chooses the pours that a curve may learn from and says of the others why not; the curve
//! itself is `slowstone_colour::dose`. Grams are for one bag and for a batch of the size
//! that was mixed last. What was not sold for concrete comes with a caution.

mod types;

pub use types::*;

use super::colour::{self, Found, swatch};
use super::inputs;
use super::pour::mixed;
use crate::book::{Book, Folded};
use crate::facts::{Additive, AdditiveKind, Mix, Wetness};
use slowstone_colour::Lab;
use slowstone_colour::compare::{Caution, Look, Word, between};
use slowstone_colour::dose::{
    Aim, Amount, CAP_PCT, DoseCurve, NextPatch, Trial, Wanted, Why, amount, fit,
};

/// Points of the curve as drawn.
const POINTS: u32 = 40;

impl Book {
    /// Colour over dose; none if there is no such site, additive or pair of them.
    pub fn dose_view(&mut self, site: &str, asked: &AskedDose) -> Option<DoseView> {
        let sum = self.folded(site);
        sum.entries.get(site)?;
        let additives: Option<Vec<&Additive>> =
            asked.additives.iter().map(|id| sum.fact(id)).collect();
        let additives = additives.filter(|a| (1..=2).contains(&a.len()))?;
        let mix = mix(sum, asked.mix.as_deref())?;
        let found = colour::found(sum);
        let all = measured(sum, &found, &asked.additives, asked.mix.as_deref());
        let used: Vec<&Measured> = all.iter().filter(|m| m.left_out.is_none()).collect();
        let same = used.first().map(|m| m.look.by.clone());
        // What one camera and card share moves all trials alike.
        let alike = same.is_some_and(|by| by.is_some() && used.iter().all(|m| m.look.by == by));
        let trials: Vec<Trial> = used.iter().map(|m| trial(m, alike)).collect();
        // A sum of two is held to the stricter of both.
        let supplier = additives.iter().filter_map(|a| a.max_pct).reduce(f64::min);
        let fitted = fit(&trials, supplier);
        let curve = fitted.as_ref().ok();
        let limits = curve.map(DoseCurve::limits_pct);
        let dosed = |(i, a): (usize, &&Additive)| DosedWith {
            id: asked.additives.get(i).cloned().unwrap_or_default(),
            name: a.name.clone(),
            improvised: a.kind == AdditiveKind::Improvised,
            liquid: a.liquid,
            supplier_pct: a.max_pct,
            tried_pct: limits
                .as_ref()
                .and_then(|l| l.get(i).copied())
                .filter(|(low, high)| low <= high),
        };
        let target = asked
            .matching
            .as_deref()
            .and_then(|id| target(sum, &found, id));
        let wanted = target.as_ref().map(|(_, look)| wanted(look, &used, alike));
        let asked_of = curve.zip(wanted.as_ref());
        let aim = asked_of.and_then(|(curve, wanted)| curve.aim(wanted));
        let next = asked_of.and_then(|(curve, wanted)| curve.next(wanted));
        let most = supplier.unwrap_or(CAP_PCT).min(CAP_PCT);
        let cement_kg = mix.cement_per_bag_kg();
        let bags = last_batch(sum, asked.mix.as_deref());
        Some(DoseView {
            additives: additives.iter().enumerate().map(dosed).collect(),
            mix_name: mix.name.clone(),
            no_curve: fitted.as_ref().err().copied(),
            curve: curve.map_or_else(Vec::new, drawn),
            left_out: curve.and_then(|c| c.left_out),
            most_pct: most,
            cap_pct: CAP_PCT,
            aim: aim
                .zip(target)
                .map(|(aim, (pour, look))| aimed(&aim, pour, look.lab, cement_kg, bags)),
            next: match (&next, curve) {
                (Some(next), _) => Some(next_view(next, cement_kg)),
                (None, None) => to_begin(&used, &additives, most, cement_kg),
                (None, Some(_)) => None,
            },
            cautions: cautions(&used),
            trials: all.iter().map(|m| shown(sum, m)).collect(),
        })
    }
}

fn mix(sum: &Folded, id: Option<&str>) -> Option<Mix> {
    let Some(id) = id else {
        return Some(inputs::assumed_mix());
    };
    sum.fact(id).cloned()
}

/// Whether an additive may change the colour.
fn colours(kind: AdditiveKind) -> bool {
    matches!(
        kind,
        AdditiveKind::Pigment | AdditiveKind::Improvised | AdditiveKind::Other
    )
}

/// A measured pour of the mix.
struct Measured {
    pour: String,
    dose_pct: Vec<f64>,
    look: Look,
    left_out: Option<LeftOut>,
}

fn measured(
    sum: &Folded,
    found: &[Found<'_>],
    additives: &[String],
    mix: Option<&str>,
) -> Vec<Measured> {
    let mut all = Vec::new();
    for (id, pour) in sum.pours().filter(|(_, p)| p.mix.as_deref() == mix) {
        let found = colour::of_pour(found, id);
        let Some(chosen) = colour::chosen(found).and_then(|i| found.get(i)) else {
            continue;
        };
        let went = mixed(sum, id, &inputs::mix_of(sum, pour).0);
        let pct = |a: &String| {
            let dose = went.doses.iter().find(|d| d.additive == *a);
            dose.and_then(|d| d.pct_of_cement).unwrap_or(0.0)
        };
        let other = went.doses.iter().any(|d| {
            let kind = sum.fact::<Additive>(&d.additive).map(|a| a.kind);
            d.amount > 0.0 && !additives.contains(&d.additive) && kind.is_some_and(colours)
        });
        let wet = matches!(chosen.colour.state, Some(Wetness::Wet | Wetness::Damp));
        let left_out = if went.cement_kg.is_none() {
            Some(LeftOut::DoseUnknown)
        } else if other {
            Some(LeftOut::OtherAdditive)
        } else {
            wet.then_some(LeftOut::NotDry)
        };
        all.push(Measured {
            pour: id.to_owned(),
            dose_pct: additives.iter().map(pct).collect(),
            look: chosen.look.clone(),
            left_out,
        });
    }
    // What is on the curve first, by dose.
    all.sort_by(|a, b| {
        let first = |m: &Measured| m.dose_pct.first().copied().unwrap_or(0.0);
        let beside = a.left_out.is_some().cmp(&b.left_out.is_some());
        let dose = first(a).total_cmp(&first(b));
        beside.then(dose).then(a.pour.cmp(&b.pour))
    });
    all
}

fn trial(m: &Measured, alike: bool) -> Trial {
    Trial {
        dose_pct: m.dose_pct.clone(),
        lab: m.look.lab,
        sd: if alike { m.look.own_sd } else { m.look.sd() },
    }
}

fn wanted(look: &Look, used: &[&Measured], alike: bool) -> Wanted {
    let shares = alike && used.first().is_some_and(|m| m.look.by == look.by);
    Wanted {
        lab: look.lab,
        sd: if shares { look.own_sd } else { look.sd() },
    }
}

/// The measured pour with this id, or the newest one of the step with it.
fn target(sum: &Folded, found: &[Found<'_>], id: &str) -> Option<(String, Look)> {
    let of = |pour: &str| {
        let found = colour::of_pour(found, pour);
        let chosen = found.get(colour::chosen(found)?)?;
        Some((pour.to_owned(), chosen.look.clone()))
    };
    let mut pours: Vec<_> = sum
        .pours()
        .filter(|(pour, p)| *pour == id || p.step.as_deref() == Some(id))
        .collect();
    pours.sort_by_key(|(_, p)| p.started_ms);
    pours.into_iter().rev().find_map(|(pour, _)| of(pour))
}

/// Bags of the batch of this mix that was mixed last for a step; one if none was logged. The
/// batches of patches are no measure for a step.
fn last_batch(sum: &Folded, mix: Option<&str>) -> f64 {
    let pours = sum.pours();
    let pours = pours.filter(|(_, p)| p.mix.as_deref() == mix && inputs::step_of(sum, p).is_some());
    let batches = pours.flat_map(|(id, p)| {
        let at = move |b: &crate::facts::Batch| b.at_ms.unwrap_or(p.started_ms);
        sum.batches(id).map(move |b| (at(b), b.bags))
    });
    batches
        .max_by_key(|(at, _)| *at)
        .map_or(1.0, |(_, bags)| bags)
}

fn drawn(curve: &DoseCurve) -> Vec<CurveColour> {
    let limits = curve.limits_pct();
    let [(low, high)] = limits.as_slice() else {
        return Vec::new();
    };
    let point = |i: u32| {
        let dose_pct = low + (high - low) * f64::from(i) / f64::from(POINTS);
        let at = curve.at(&[dose_pct])?;
        Some(CurveColour {
            dose_pct,
            lab: at.lab.to_array(),
            give_or_take: at.sd.map(|s| 2.0 * s),
            swatch: swatch(at.lab),
        })
    };
    (0..=POINTS).filter_map(point).collect()
}

fn aimed(aim: &Aim, pour: String, wanted: Lab, cement_kg: f64, bags: f64) -> AimView {
    let grams = |a: Amount| (a.g, a.low_g, a.high_g);
    let each = amount(aim, cement_kg)
        .into_iter()
        .zip(amount(aim, cement_kg * bags));
    let amounts = aim.dose_pct.iter().zip(&aim.range_pct).zip(each);
    AimView {
        pour,
        wanted: swatch(wanted),
        wanted_lab: wanted.to_array(),
        amounts: amounts
            .map(|((pct, (low, high)), (bag, batch))| HowMuch {
                pct: (*pct, *low, *high),
                per_bag_g: grams(bag),
                per_batch_g: grams(batch),
            })
            .collect(),
        batch_bags: bags,
        foretold: swatch(aim.foretold.lab),
        foretold_lab: aim.foretold.lab.to_array(),
        de2000: aim.de2000,
        word: Word::of(aim.de2000),
        reach: aim.reach,
    }
}

fn next_view(next: &NextPatch, cement_kg: f64) -> NextView {
    let width = |range: &Vec<(f64, f64)>| range.iter().map(|(low, high)| high - low).sum();
    NextView {
        dose_pct: next.dose_pct.clone(),
        per_bag_g: next.dose_pct.iter().map(|p| p * 10.0 * cement_kg).collect(),
        why: match next.why {
            Why::LeastSure => Teaches::LeastSure,
            Why::BeyondTried => Teaches::BeyondTried,
        },
        width_now_pct: Some(width(&next.range_now_pct)),
        width_then_pct: next.range_then_pct.as_ref().map(width),
    }
}

/// The first doses to try of one additive: none, some and much, whichever lies furthest
/// from what is known. Past 6 % little changes, and of what is not made for concrete 2 %
/// are much (common practice, no source).
fn to_begin(
    used: &[&Measured],
    additives: &[&Additive],
    most: f64,
    cement_kg: f64,
) -> Option<NextView> {
    let [additive] = additives else {
        return None;
    };
    let improvised = additive.kind == AdditiveKind::Improvised;
    let much = most.min(if improvised { 2.0 } else { 6.0 });
    let known = |dose: f64| {
        let tried = used.iter().filter_map(|m| m.dose_pct.first());
        tried
            .map(|d| (d - dose).abs())
            .fold(f64::INFINITY, f64::min)
    };
    let mut dose = much / 2.0;
    for other in [0.0, much] {
        if known(other) > known(dose) {
            dose = other;
        }
    }
    Some(NextView {
        dose_pct: vec![dose],
        per_bag_g: vec![dose * 10.0 * cement_kg],
        why: Teaches::ToBegin,
        width_now_pct: None,
        width_then_pct: None,
    })
}

/// Whether the trials are alike: each is held against the first.
fn cautions(used: &[&Measured]) -> Vec<Caution> {
    let mut all: Vec<Caution> = Vec::new();
    let Some((first, rest)) = used.split_first() else {
        return all;
    };
    for caution in rest
        .iter()
        .flat_map(|m| between(&first.look, &m.look).cautions)
    {
        if !all.contains(&caution) {
            all.push(caution);
        }
    }
    all
}

fn shown(sum: &Folded, m: &Measured) -> TrialView {
    let pour = sum.pours().find(|(id, _)| *id == m.pour).map(|(_, p)| p);
    let step = pour.and_then(|p| inputs::step_of(sum, p));
    let sample = || pour.map(|p| p.name.clone()).unwrap_or_default();
    TrialView {
        pour: m.pour.clone(),
        step_number: step.map(|s| s.number),
        name: step.map_or_else(sample, |s| s.name.clone()),
        dose_pct: m.dose_pct.clone(),
        lab: m.look.lab.to_array(),
        swatch: swatch(m.look.lab),
        left_out: m.left_out,
    }
}

/// Additives that colour, each with the mixes of the site's measured pours.
pub(super) fn can_dose(sum: &Folded, found: &[Found<'_>]) -> Vec<CanDose> {
    let mut mixes: Vec<Option<&str>> = Vec::new();
    for (_, pour) in sum.pours() {
        if !mixes.contains(&pour.mix.as_deref()) {
            mixes.push(pour.mix.as_deref());
        }
    }
    let mut all = Vec::new();
    for (id, a) in sum.facts::<Additive>().filter(|(_, a)| colours(a.kind)) {
        let id = id.to_owned();
        for asked in &mixes {
            let of_mix = measured(sum, found, core::slice::from_ref(&id), *asked);
            let trials = of_mix.iter().filter(|m| m.left_out.is_none()).count();
            let Some(known) = mix(sum, *asked) else {
                continue;
            };
            all.push(CanDose {
                additive: id.clone(),
                name: a.name.clone(),
                mix: asked.map(str::to_owned),
                mix_name: known.name,
                trials: u32::try_from(trials).unwrap_or(u32::MAX),
            });
        }
    }
    all.sort_by(|a, b| b.trials.cmp(&a.trials).then(a.name.cmp(&b.name)));
    all
}
