//! Topics of the first hours and of curing: `evaporation`, `setting`, `curing-days`.
//!
//! The formulas are in [`crate::evaporation`], [`crate::setting`] and
//! [`crate::curing_time`].

use super::age::history;
use super::{DeskError, Fields};
use crate::curing_time::{Development, table_days};
use crate::evaporation::{self, DryingRisk};
use crate::limits::{AIR_C, CONCRETE_C, E_J_MOL, HOURS, RH_PCT, STANDSTILL_C, WIND_KM_H};
use crate::maturity::Interval;
use crate::setting;
use crate::units::{Celsius, Hours, JPerMol, KmH, Percent};
use serde_json::{Map, Value, json};

pub(super) fn evaporation(input: &Value) -> Result<Value, DeskError> {
    let input = Fields::of("", input)?;
    input.only(&["concrete_c", "air_c", "rh_pct", "wind_km_h"])?;
    let concrete = Celsius(input.number("concrete_c", CONCRETE_C)?);
    let air = Celsius(input.number("air_c", AIR_C)?);
    let rh = Percent(input.number("rh_pct", RH_PCT)?);
    let wind = KmH(input.number("wind_km_h", WIND_KM_H)?);
    let menzel = evaporation::menzel(concrete, air, rh, wind);
    let uno = evaporation::uno(concrete, air, rh, wind);
    let worse = if uno > menzel { uno } else { menzel };
    Ok(json!({
        "menzel_kg_m2_h": menzel,
        "uno_kg_m2_h": uno,
        "risk": DryingRisk::of(worse).word(),
    }))
}

pub(super) fn setting(input: &Value) -> Result<Value, DeskError> {
    let input = Fields::of("", input)?;
    input.only(&[
        "history",
        "temp_c",
        "initial_h_at_23",
        "e_j_mol",
        "final_over_initial",
    ])?;
    let given = input.one_of(&["history", "temp_c"])? == "history";
    let history = if given {
        history(&input)?
    } else {
        vec![Interval {
            hours: Hours(0.0),
            temp: Celsius(input.number("temp_c", CONCRETE_C)?),
        }]
    };
    let initial = input.or("initial_h_at_23", (0.05, 200.0), setting::INITIAL_H_AT_23)?;
    let e = JPerMol(input.or("e_j_mol", E_J_MOL, setting::E_J_MOL)?);
    let ratio = input.or(
        "final_over_initial",
        (1.0, 20.0),
        setting::FINAL_OVER_INITIAL,
    )?;
    let ends: f64 = history.iter().map(|i| i.hours.0).sum();
    let frozen = history.last().is_some_and(|i| i.temp.0 <= STANDSTILL_C);
    let reached = |age: f64| {
        setting::hours_to(Hours(age), &history, e)
            .filter(|h| h.0 <= ends || (!frozen && h.0 <= HOURS.1))
    };
    let mut answer = Map::new();
    let (initial, last) = (reached(initial), reached(initial * ratio));
    if let Some(initial) = initial {
        answer.insert("initial_h".to_owned(), json!(initial));
    }
    if let Some(last) = last {
        answer.insert("final_h".to_owned(), json!(last));
        if given {
            answer.insert("carried_on".to_owned(), json!(last.0 > ends));
        }
    } else {
        let why = "concrete does not set at the temperature that it ends with";
        answer.insert("never".to_owned(), json!(true));
        answer.insert("why".to_owned(), json!(why));
    }
    Ok(Value::Object(answer))
}

pub(super) fn curing_days(input: &Value) -> Result<Value, DeskError> {
    let input = Fields::of("", input)?;
    input.only(&["surface_c", "r", "wearing", "days_below_5c"])?;
    // Colder days have no row: they are counted and added.
    let surface_c = input.number("surface_c", (5.0, 80.0))?;
    let class = Development::of(input.number("r", (0.0, 1.0))?);
    let times = if input.flag("wearing", false)? {
        2.0
    } else {
        1.0
    };
    let below = input.or("days_below_5c", (0.0, 365.0), 0.0)?;
    Ok(json!({
        "days": table_days(surface_c, class) * times + below,
        "class": class.word(),
    }))
}
