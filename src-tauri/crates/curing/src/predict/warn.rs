//! What somebody should know now, most serious first.
//!
//! Only what follows from facts and the ensemble; the words are the screens'. Thresholds
//! that are not criteria of a milestone stand here with their source.

use super::curve::strength;
use super::evidence::strip_mpa;
use super::member::Ensemble;
use super::mix::{hot_loss, lost_by_water};
use super::moments::FROST_MPA;
use crate::evaporation;
use crate::facts::{ConcretePlace, PourFacts, Seen};
use crate::milestone::MilestoneKind;
use crate::placing;
use crate::prediction::{AirSource, DryingRisk, Evaporation, Milestone, Warning};
use crate::units::{AtMs, Celsius, KgM2H, KmH, Mpa, Percent};

/// A texture window shorter than this is short, minutes (judgement, no source).
pub const SHORT_WINDOW_MIN: f64 = 45.0;
/// A mean of the first day above this costs final strength, °C.
const HOT_DAY_C: f64 = 30.0;
/// A mean below this makes cold weather of the days after a pour, and concrete below it is
/// too cold whatever comes, °C (ACI 306R: 40 °F, from memory).
const COLD_C: f64 = 5.0;
/// Pigment at most, per cent of cement (ASTM C979).
const PIGMENT_MOST: f64 = 10.0;

/// Highest evaporation before initial set; none without humidity or wind.
pub(crate) fn evaporation(e: &Ensemble) -> Option<Evaporation> {
    let m = &e.middle;
    let set = e.weather.reaches(&m.aged.set, m.mix.initial_h(m.set));
    let mut most: Option<(f64, f64)> = None;
    for (p, top) in e.weather.points.iter().zip(&m.course.top) {
        if p.h > set {
            break;
        }
        let (Some(rh), Some(wind)) = (p.rh_pct, p.wind_km_h) else {
            continue;
        };
        if p.covered {
            continue;
        }
        let with = |f: fn(Celsius, Celsius, Percent, KmH) -> KgM2H| {
            f(Celsius(*top), Celsius(p.air_c), Percent(rh), KmH(wind)).value()
        };
        let (a, b) = most.unwrap_or((0.0, 0.0));
        most = Some((
            a.max(with(evaporation::menzel)),
            b.max(with(evaporation::uno)),
        ));
    }
    most.map(|(menzel, uno)| Evaporation {
        menzel: KgM2H(menzel),
        uno: KgM2H(uno),
        risk: DryingRisk::of(KgM2H(menzel.max(uno))),
    })
}

/// The first frost that comes before the edge can stand it.
fn frost(facts: &PourFacts, e: &Ensemble) -> Option<Warning> {
    let hour = |at: AtMs| at.hours_since(facts.started).value();
    let sighted = facts
        .happened
        .iter()
        .filter(|h| h.what == Seen::Frost)
        .map(|h| hour(h.at));
    let read = facts
        .air
        .iter()
        .filter(|a| a.temp.is_some_and(|t| t.value() <= 0.0))
        .map(|a| hour(a.at));
    let in_concrete = facts
        .concrete
        .iter()
        .filter(|c| c.temp.value() <= 0.0)
        .map(|c| hour(c.at));
    let expected = e
        .weather
        .points
        .iter()
        .filter(|p| p.air_c < 0.0 && p.source != AirSource::Readings)
        .map(|p| p.h);
    let mut all: Vec<(f64, bool)> = sighted
        .chain(read)
        .chain(in_concrete)
        .map(|h| (h, true))
        .chain(expected.map(|h| (h, false)))
        .filter(|(h, _)| *h >= 0.0)
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
    // What happened outranks what is only expected.
    let weak = |h: f64| strength(e, h, true)[0];
    let first = |seen: bool| all.iter().find(|x| x.1 == seen && weak(x.0) < FROST_MPA);
    let (h, seen) = *first(true).or(first(false))?;
    Some(Warning::FrostBeforeStrength {
        at: e.weather.instant(h),
        mpa: Mpa(weak(h)),
        seen,
    })
}

/// The highest temperature of the first three days at half depth.
fn peak_c(e: &Ensemble) -> f64 {
    let points = e.weather.points.iter().zip(&e.middle.course.middle);
    points
        .filter(|(p, _)| p.h <= 72.0)
        .map(|(_, t)| *t)
        .fold(f64::NEG_INFINITY, f64::max)
}

/// Hot and cold.
fn temperatures(facts: &PourFacts, e: &Ensemble, warnings: &mut Vec<Warning>) {
    let (mean, peak) = (e.middle.course.first_day_c(&e.weather), peak_c(e));
    let fresh = facts
        .concrete
        .iter()
        .find(|c| c.place == ConcretePlace::Fresh);
    let (least, most) = placing::limits(facts.piece.thickness);
    let known = !e.weather.air_guessed;
    if (known && mean > HOT_DAY_C) || fresh.is_some_and(|c| c.temp > most) {
        warnings.push(Warning::Hot {
            peak: Celsius(peak),
            loss_pct: Percent(100.0 * hot_loss(mean)),
        });
    }
    let days: Vec<f64> = e
        .weather
        .points
        .iter()
        .filter(|p| p.h <= 72.0 && (p.h / 6.0).fract() == 0.0)
        .map(|p| p.air_c)
        .collect();
    let cold = known && days.iter().sum::<f64>() / (days.len().max(1) as f64) < COLD_C;
    if let Some(c) = fresh
        && (c.temp.value() < COLD_C || (cold && c.temp < least))
    {
        warnings.push(Warning::ColdPlacing { temp: c.temp });
    }
}

/// Everything that follows, most serious first.
pub(crate) fn warnings(
    facts: &PourFacts,
    e: &Ensemble,
    milestones: &[Milestone],
    drying: Option<Evaporation>,
) -> Vec<Warning> {
    let mut all = Vec::new();
    let of = |kind| milestones.iter().find(|m| m.kind == kind);
    let hour = |at: AtMs| at.hours_since(facts.started).value();
    if !e.weather.air_guessed {
        all.extend(frost(facts, e));
    }
    if let Some(off) = of(MilestoneKind::FormOff)
        && let Some(at) = off.seen
    {
        let low = strength(e, hour(at), true)[0];
        if off.opens.likely.is_none_or(|due| at < due) && low < strip_mpa(facts) {
            all.push(Warning::StrippedEarly { mpa: Mpa(low) });
        }
    }
    if of(MilestoneKind::Foot).is_some_and(|m| {
        m.seen
            .is_some_and(|at| m.opens.likely.is_none_or(|due| at < due))
    }) {
        all.push(Warning::WalkedEarly);
    }
    if let Some(d) = drying.filter(|d| d.risk > DryingRisk::Low) {
        all.push(Warning::DriesFast {
            rate: d.worst(),
            risk: d.risk,
        });
    }
    if let Some(lost) = lost_by_water(facts) {
        all.push(Warning::TooMuchWater {
            loss_pct: Percent(100.0 * lost),
        });
    }
    temperatures(facts, e, &mut all);
    let set = of(MilestoneKind::FinalSet).and_then(|m| m.opens.late);
    let rain = facts.happened.iter().filter(|h| h.what == Seen::Rain);
    if let Some(at) = rain.map(|h| h.at).min()
        && at >= facts.started
        && set.is_none_or(|s| at < s)
    {
        all.push(Warning::RainBeforeSet { at });
    }
    if let Some(t) = of(MilestoneKind::Texture)
        && t.seen.is_none()
        && let (Some(from), Some(to)) = (t.opens.likely, t.closes.and_then(|c| c.likely))
    {
        let minutes = to.hours_since(from).value() * 60.0;
        if minutes < SHORT_WINDOW_MIN {
            all.push(Warning::ShortWindow { minutes });
        }
    }
    doses(facts, &mut all);
    all
}

fn doses(facts: &PourFacts, all: &mut Vec<Warning>) {
    let d = &facts.dose;
    if d.pigment_pct > PIGMENT_MOST {
        all.push(Warning::PigmentHigh {
            pct: Percent(d.pigment_pct),
        });
    }
    if d.improvised {
        all.push(Warning::Improvised);
    }
    if d.retarder || d.accelerator {
        all.push(Warning::SetChanged);
    }
    let (low, high) = facts.mix.water_range_l;
    if d.water_per_bag_l.is_some_and(|w| w < low.min(high) * 0.999) {
        all.push(Warning::TooLittleWater);
    }
}
