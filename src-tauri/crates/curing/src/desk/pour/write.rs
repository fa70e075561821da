//! The words of the topic `pour`: from a prediction and its answer to JSON.
//!
//! Times are those of the answer (what is heavier never before what is lighter), `null`
//! where one is never reached or not given. Nothing is rounded.

use super::read::Asked;
use crate::answer::{Answer, Window};
use crate::predict::{AirSource, Look, MilestoneKind, Missing, Odd, Prediction, curve_at};
use crate::units::AtMs;
use serde_json::{Value, json};

/// The whole answer.
pub(super) fn write(asked: &Asked, prediction: Option<&Prediction>, found: &Answer) -> Value {
    let milestones: Vec<Value> = MilestoneKind::ALL
        .into_iter()
        .map(|kind| milestone(kind, asked, prediction, found.window(kind)))
        .collect();
    let by_touch: Vec<MilestoneKind> = found.by_touch.iter().map(|b| b.kind).collect();
    let strength = prediction
        .filter(|_| asked.now >= asked.facts.started)
        .and_then(|p| curve_at(&p.curve, asked.now));
    json!({
        "milestones": milestones,
        "answer": {
            "state": found.state,
            "now": found.now,
            "by_touch": by_touch,
            "not_yet": found.not_yet,
            "done": found.done,
            "next": found.next.map(|n| n.kind),
            "do": found.act,
        },
        "warnings": found.warnings,
        "strength_now_mpa": {
            "cautious": strength.map(|p| p.low_mpa),
            "likely": strength.map(|p| p.mid_mpa),
        },
        "look_next": looks(found),
        "odd": odd(prediction),
        "missing": missing(asked, prediction),
        "reasons": {
            "place": asked.place_from,
            "air": air(prediction),
            "sky": asked.sky_from,
        },
    })
}

/// What to look at next, the best first.
fn looks(found: &Answer) -> Vec<Value> {
    let one = |l: &Look| {
        json!({
            "what": l.what,
            "at_ms": l.at,
            "narrows_h": l.narrows,
            "milestone": l.milestone,
        })
    };
    found.look_next.iter().map(one).collect()
}

/// What does not fit, each with the code of its reason and when it was.
fn odd(prediction: Option<&Prediction>) -> Vec<Value> {
    let all = prediction.map(|p| p.odd.as_slice()).unwrap_or(&[]);
    let one = |o: &Odd| {
        let why = json!(o.why);
        json!({
            "what": o.what,
            "at_ms": o.at,
            "field": o.field,
            "why": why.get("code").cloned(),
            "detail": why,
        })
    };
    all.iter().map(one).collect()
}

/// Fields that were not given, the ones without which no times are given first.
fn missing(asked: &Asked, prediction: Option<&Prediction>) -> Vec<&'static str> {
    let needed = prediction.map(|p| p.missing.as_slice()).unwrap_or(&[]);
    let mut all: Vec<&'static str> = needed
        .iter()
        .map(|m| match m {
            Missing::AirTemperature => "air",
        })
        .collect();
    for name in &asked.missing {
        if !all.contains(name) {
            all.push(name);
        }
    }
    all
}

fn milestone(
    kind: MilestoneKind,
    asked: &Asked,
    prediction: Option<&Prediction>,
    window: Option<&Window>,
) -> Value {
    let opens = window.map(|w| w.opens).unwrap_or_default();
    let closes = window.and_then(|w| w.closes).unwrap_or_default();
    let logged = asked.logged.done.iter().filter(|d| d.0 == kind);
    let seen: Option<AtMs> = window
        .and_then(|w| w.seen)
        .or_else(|| logged.map(|d| d.1).min());
    json!({
        "kind": kind,
        "early_ms": opens.early,
        "likely_ms": opens.likely,
        "safe_ms": opens.late,
        "closes_early_ms": closes.early,
        "closes_likely_ms": closes.likely,
        "governs": governs(kind, prediction, window),
        "seen_ms": seen,
    })
}

/// The criterion that is met last, by its name; or the lighter milestone that comes later.
fn governs(
    kind: MilestoneKind,
    prediction: Option<&Prediction>,
    window: Option<&Window>,
) -> Option<String> {
    let own = prediction?.milestones.iter().find(|m| m.kind == kind)?;
    let opens = window?.opens;
    let name = |value: Value| value.as_str().map(str::to_owned);
    if own.opens.likely != opens.likely {
        let holds = |k: &&MilestoneKind| {
            let all = &prediction?.milestones;
            let lighter = all.iter().find(|m| m.kind == **k)?;
            Some(lighter.opens.likely == opens.likely)
        };
        let after = kind.row().builds_on;
        let lighter = after.iter().find(|k| holds(k) == Some(true));
        return name(json!(lighter.or(after.first())?));
    }
    let last = own.reasons.iter().find(|r| r.governs)?;
    name(json!(last.criterion).get("what")?.clone())
}

/// Where the air came from, best source first.
fn air(prediction: Option<&Prediction>) -> String {
    let sources = prediction.map(|p| p.basis.air.as_slice()).unwrap_or(&[]);
    let name = |source: &AirSource| match source {
        AirSource::Readings => "readings",
        AirSource::Hourly => "hourly",
        AirSource::DayRange => "days",
        AirSource::CarriedOn => "carried_on",
    };
    let names: Vec<&str> = sources.iter().map(name).collect();
    if names.is_empty() {
        "none".to_owned()
    } else {
        names.join(", ")
    }
}
