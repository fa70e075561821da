//! Topic `fit`: a strength curve through tests.
//!
//! The solver and the curves are in [`crate::fit`].

use super::hardening::KINDS;
use super::{DeskError, Fields};
use crate::fit::{FitError, Kind, strength_curve};
use crate::limits::STRENGTH_MPA;
use crate::units::{Days, Hours, Mpa};
use serde_json::{Map, Value, json};

/// Most tests in one fit.
const MOST_TESTS: usize = 1000;
/// Age of a test, h.
const AGE_H: (f64, f64) = (0.01, 1_000_000.0);

fn kind(input: &Fields<'_>) -> Result<Kind, DeskError> {
    let name = match input.raw("model") {
        Some(Value::Object(_)) => {
            let model = input.needed("model")?;
            model.only(&["kind"])?;
            model.word("kind", KINDS)?
        }
        _ => input.word("model", KINDS)?,
    };
    Kind::ALL
        .into_iter()
        .find(|k| k.name() == name)
        .ok_or_else(|| input.refuse("model", name, KINDS))
}

pub(super) fn fit(input: &Value) -> Result<Value, DeskError> {
    let input = Fields::of("", input)?;
    input.only(&["points", "model"])?;
    let kind = kind(&input)?;
    let tests = input
        .list("points", MOST_TESTS)?
        .iter()
        .map(|p| {
            p.only(&["age_h", "strength_mpa"])?;
            let age: Days = Hours(p.number("age_h", AGE_H)?).days();
            Ok((age, Mpa(p.number("strength_mpa", (0.0, STRENGTH_MPA.1))?)))
        })
        .collect::<Result<Vec<(Days, Mpa)>, DeskError>>()?;
    let fit = strength_curve(kind, &tests).map_err(|why| match why {
        FitError::TooFewPoints => input.refuse(
            "points",
            tests.len().to_string(),
            format!(
                "at least {} tests at {} different ages for {}",
                kind.least_tests(),
                kind.least_tests() - 1,
                kind.name()
            ),
        ),
        FitError::NotConverged | FitError::Undetermined => input.refuse(
            "points",
            format!("no {} fits", kind.name()),
            "tests that rise with age and bend, from early and late ages",
        ),
    })?;
    let mut parameters = Map::new();
    let mut errors = Map::new();
    for (name, value, error) in &fit.parameters {
        parameters.insert((*name).to_owned(), json!(value));
        errors.insert((*name).to_owned(), json!(error));
    }
    Ok(json!({
        "parameters": parameters,
        "standard_errors": errors,
        "residual_sd_mpa": fit.residual_sd,
        "degrees_of_freedom": fit.degrees_of_freedom,
    }))
}
