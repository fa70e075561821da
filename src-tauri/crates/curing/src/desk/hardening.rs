//! Topics `strength` and `time-to-strength`, and how a strength curve is read.
//!
//! The curves are in [`crate::strength`]. A strength without tests on the same concrete is
//! a guess; what is shown as "can" comes from the ranges in [`crate::predict`].

use super::age::{arrhenius, history};
use super::{DeskError, Fields};
use crate::limits::{CONCRETE_C, HOURS, STANDSTILL_C, STRENGTH_MPA};
use crate::maturity;
use crate::strength::Curve;
use crate::units::{Celsius, Days, Hours, Mpa};
use serde_json::{Value, json};

/// Kinds of curve, for messages.
pub(super) const KINDS: &str = "hyperbola, en1992, aci209 or fhp";

/// A strength curve with its parameters.
fn curve(input: &Fields<'_>) -> Result<Curve, DeskError> {
    let m = input.needed("model")?;
    let strength = |field: &str| m.number(field, STRENGTH_MPA).map(Mpa);
    Ok(match m.word("kind", KINDS)? {
        "hyperbola" => {
            m.only(&["kind", "su_mpa", "k_per_d", "t0_d"])?;
            Curve::Hyperbola {
                su: strength("su_mpa")?,
                k_per_d: m.number("k_per_d", (1e-4, 100.0))?,
                t0: Days(m.number("t0_d", (0.0, 27.0))?),
            }
        }
        "en1992" => {
            m.only(&["kind", "fcm_mpa", "s"])?;
            Curve::En1992 {
                fcm: strength("fcm_mpa")?,
                s: m.number("s", (0.01, 2.0))?,
            }
        }
        "aci209" => {
            m.only(&["kind", "f28_mpa", "a", "b"])?;
            Curve::Aci209 {
                f28: strength("f28_mpa")?,
                a: m.number("a", (0.01, 100.0))?,
                b: m.number("b", (0.01, 10.0))?,
            }
        }
        "fhp" => {
            m.only(&["kind", "su_mpa", "tau_d", "a"])?;
            Curve::Fhp {
                su: strength("su_mpa")?,
                tau: Days(m.number("tau_d", (0.001, 100.0))?),
                a: m.number("a", (0.05, 5.0))?,
            }
        }
        other => return Err(m.refuse("kind", other, KINDS)),
    })
}

pub(super) fn strength(input: &Value) -> Result<Value, DeskError> {
    let input = Fields::of("", input)?;
    input.only(&["age_h", "history", "model"])?;
    let curve = curve(&input)?;
    let by = curve.age_by();
    let (age, by) = match input.one_of(&["age_h", "history"])? {
        "age_h" => (Hours(input.number("age_h", HOURS)?), "given"),
        _ => {
            let age = maturity::age(&history(&input)?, |t| by.rate(t));
            (age, by.word())
        }
    };
    let ratio = curve
        .ratio_to_28(age.days())
        .ok_or_else(|| input.refuse("model", "no strength at 28 days", "a curve that has some"))?;
    Ok(json!({
        "strength_mpa": curve.at(age.days()),
        "ratio": ratio,
        "age_h": age,
        "age_by": by,
    }))
}

pub(super) fn time_to_strength(input: &Value) -> Result<Value, DeskError> {
    let input = Fields::of("", input)?;
    input.only(&["target_mpa", "model", "temp_c", "q_k", "reference_c"])?;
    let curve = curve(&input)?;
    let target = Mpa(input.number("target_mpa", STRENGTH_MPA)?);
    let temp = Celsius(input.number("temp_c", CONCRETE_C)?);
    let (q_k, reference) = arrhenius(&input)?;
    let (rate, by) = if input.has("q_k") || input.has("reference_c") {
        (maturity::rate_arrhenius(temp, q_k, reference), "arrhenius")
    } else {
        (curve.age_by().rate(temp), curve.age_by().word())
    };
    let never = |why: &str| Ok(json!({"never": true, "why": why}));
    if target >= curve.limit() {
        return never("the curve never gets there");
    }
    if temp.0 <= STANDSTILL_C {
        return never("concrete does not harden at this temperature");
    }
    match curve.hours_to(target, rate) {
        Some(hours) if hours.0 <= HOURS.1 => Ok(json!({"hours": hours, "age_by": by})),
        _ => never("it would take more than a hundred years"),
    }
}
