//! Topic `maturity`, and how the other topics read a temperature history.
//!
//! The formulas are in [`crate::maturity`].

use super::{DeskError, Fields};
use crate::limits::{CONCRETE_C, DATUM_C, HOURS, Q_K, REFERENCE_C};
use crate::maturity::{self, Interval};
use crate::units::{Celsius, Hours};
use serde_json::{Value, json};

/// Longest history: an hour each for 11 years.
const MOST_INTERVALS: usize = 100_000;

/// A history of intervals of constant temperature.
pub(super) fn history(input: &Fields<'_>) -> Result<Vec<Interval>, DeskError> {
    let history = input
        .list("history", MOST_INTERVALS)?
        .iter()
        .map(|i| {
            i.only(&["hours", "temp_c"])?;
            Ok(Interval {
                hours: Hours(i.number("hours", HOURS)?),
                temp: Celsius(i.number("temp_c", CONCRETE_C)?),
            })
        })
        .collect::<Result<Vec<Interval>, DeskError>>()?;
    let hours: f64 = history.iter().map(|i| i.hours.0).sum();
    if hours > HOURS.1 {
        let allowed = format!("at most {} hours in all", HOURS.1);
        return Err(input.refuse("history", format!("{hours} hours"), allowed));
    }
    Ok(history)
}

/// Arrhenius constant and reference temperature, with the defaults of ASTM C1074.
pub(super) fn arrhenius(input: &Fields<'_>) -> Result<(f64, Celsius), DeskError> {
    Ok((
        input.or("q_k", Q_K, maturity::Q_K)?,
        Celsius(input.or("reference_c", REFERENCE_C, maturity::REFERENCE.0)?),
    ))
}

pub(super) fn maturity(input: &Value) -> Result<Value, DeskError> {
    let input = Fields::of("", input)?;
    input.only(&["history", "datum_c", "reference_c", "q_k"])?;
    let history = history(&input)?;
    let datum = Celsius(input.or("datum_c", DATUM_C, maturity::DATUM.0)?);
    let (q_k, reference) = arrhenius(&input)?;
    let span = reference.0 - datum.0;
    if span < 1.0 {
        let allowed = "at least 1 °C above datum_c";
        return Err(input.refuse("reference_c", reference.0.to_string(), allowed));
    }
    let age = |rate: &dyn Fn(Celsius) -> f64| maturity::age(&history, rate).0;
    let degree_hours = maturity::degree_hours(&history, datum);
    Ok(json!({
        "degree_hours": degree_hours,
        "age_nurse_saul_h": degree_hours / span,
        "age_arrhenius_h": age(&|t| maturity::rate_arrhenius(t, q_k, reference)),
        "age_fhp_h": age(&maturity::rate_fhp),
        "age_en1992_h": age(&maturity::rate_en1992),
    }))
}
