//! Topics of the piece itself: `bags`, `flight`, `lift`, `form-pressure`.
//!
//! The formulas are in [`crate::bags`], [`crate::stairs`], [`crate::lifting`] and
//! [`crate::form_pressure`].

use super::{DeskError, Fields};
use crate::bags;
use crate::form_pressure::{self, Aci347Wall, Ciria108, Governs};
use crate::lifting::Lift;
use crate::stairs::{self, Limits, MOST_STEPS, StepSize};
use crate::units::{Celsius, Kg, Litres, Metres, Percent};
use serde_json::{Value, json};

/// A length of a cast piece, m.
const LENGTH_M: (f64, f64) = (0.001, 100.0);

fn volume(input: &Fields<'_>) -> Result<Litres, DeskError> {
    const LITRES: (f64, f64) = (0.001, 1e6);
    if input.one_of(&["solid", "volume_l"])? == "volume_l" {
        return input.number("volume_l", LITRES).map(Litres);
    }
    let solid = input.needed("solid")?;
    if solid.has("volume_l") {
        solid.only(&["volume_l"])?;
        return solid.number("volume_l", LITRES).map(Litres);
    }
    solid.only(&["length_m", "width_m", "depth_m", "volume_l"])?;
    let side = |field: &str| solid.number(field, LENGTH_M).map(Metres);
    Ok(bags::box_volume(
        side("length_m")?,
        side("width_m")?,
        side("depth_m")?,
    ))
}

pub(super) fn bags(input: &Value) -> Result<Value, DeskError> {
    let input = Fields::of("", input)?;
    input.only(&["solid", "volume_l", "bag", "waste_pct"])?;
    let volume = volume(&input)?;
    let bag = input.needed("bag")?;
    bag.only(&["mass_kg", "yield_l"])?;
    let mass = Kg(bag.number("mass_kg", (0.1, 5000.0))?);
    // What a litre of dry mix may weigh tells kilograms and litres from other units.
    let can = (mass.0 / 3.5, mass.0 / 0.3);
    let yields = bag.optional("yield_l", can)?;
    let yields = yields.map_or_else(|| bags::usual_yield(mass), Litres);
    let waste = Percent(input.or("waste_pct", (0.0, 100.0), 0.0)?);
    let exact = bags::exact(volume, yields, waste);
    Ok(json!({
        "volume_l": volume,
        "bags_exact": exact,
        "bags": bags::whole(exact),
    }))
}

fn limits(input: &Fields<'_>) -> Result<Limits, DeskError> {
    let usual = Limits::default();
    let Some(l) = input.part("limits")? else {
        return Ok(usual);
    };
    l.only(&[
        "riser_max_mm",
        "going_min_mm",
        "variation_max_mm",
        "two_r_plus_t_min_mm",
        "two_r_plus_t_max_mm",
    ])?;
    let mm = |field: &str, usual: f64| l.or(field, (0.0, 5000.0), usual);
    Ok(Limits {
        riser_max_mm: mm("riser_max_mm", usual.riser_max_mm)?,
        going_min_mm: mm("going_min_mm", usual.going_min_mm)?,
        variation_max_mm: mm("variation_max_mm", usual.variation_max_mm)?,
        two_r_plus_t_min_mm: mm("two_r_plus_t_min_mm", usual.two_r_plus_t_min_mm)?,
        two_r_plus_t_max_mm: mm("two_r_plus_t_max_mm", usual.two_r_plus_t_max_mm)?,
    })
}

/// What shows of a tread that the next step overlaps.
fn going(input: &Fields<'_>, tread: f64) -> Result<f64, DeskError> {
    // A millimetre of tread must show.
    input
        .or("overlap_m", (0.0, (tread - 0.001).max(0.0)), 0.0)
        .map(|overlap| tread - overlap)
}

/// Steps as they are or are meant to be, from the lowest up.
fn steps(input: &Fields<'_>, limits: &Limits) -> Result<Vec<StepSize>, DeskError> {
    const STEP_M: (f64, f64) = (0.001, 10.0);
    if input.one_of(&["rise_m", "risers_m"])? == "risers_m" {
        input.only(&["risers_m", "goings_m", "tread_m", "overlap_m", "limits"])?;
        let risers = input.numbers("risers_m", STEP_M)?.unwrap_or_default();
        let goings = match input.one_of(&["goings_m", "tread_m"])? {
            "goings_m" => input.numbers("goings_m", STEP_M)?.unwrap_or_default(),
            _ => vec![going(input, input.number("tread_m", STEP_M)?)?; risers.len()],
        };
        if goings.len() != risers.len() {
            let allowed = format!("as many as risers_m: {}", risers.len());
            return Err(input.refuse("goings_m", goings.len().to_string(), allowed));
        }
        let pair = |(r, g): (&f64, &f64)| StepSize {
            riser: Metres(*r),
            going: Metres(*g),
        };
        return Ok(risers.iter().zip(&goings).map(pair).collect());
    }
    input.only(&["rise_m", "run_m", "steps", "tread_m", "overlap_m", "limits"])?;
    let rise = Metres(input.number("rise_m", LENGTH_M)?);
    let tread = input.optional("tread_m", STEP_M)?;
    let shows = tread.map(|t| going(input, t)).transpose()?;
    let (count, run) = match (input.one_of(&["run_m", "steps"])?, shows) {
        ("run_m", shows) => {
            let run = Metres(input.number("run_m", LENGTH_M)?);
            let count = match shows {
                Some(g) => (run.0 / g).round().clamp(1.0, f64::from(MOST_STEPS)) as u32,
                None => stairs::best_count(rise, run, limits),
            };
            (count, run)
        }
        (_, Some(g)) => {
            let count = input.count("steps", MOST_STEPS)?;
            (count, Metres(g * f64::from(count)))
        }
        (_, None) => return Err(input.refuse("tread_m", "missing", "0.001 to 10, with steps")),
    };
    let count_of = usize::try_from(count).unwrap_or(1);
    Ok(vec![stairs::even(rise, run, count); count_of])
}

pub(super) fn flight(input: &Value) -> Result<Value, DeskError> {
    let input = Fields::of("", input)?;
    let limits = limits(&input)?;
    let steps = steps(&input, &limits)?;
    let count = steps.len() as f64;
    let rise: f64 = steps.iter().map(|s| s.riser.0).sum();
    let run: f64 = steps.iter().map(|s| s.going.0).sum();
    let mean = StepSize {
        riser: Metres(rise / count),
        going: Metres(run / count),
    };
    let each: Vec<Value> = steps
        .iter()
        .enumerate()
        .map(|(i, s)| json!({"step": i + 1, "riser_m": s.riser, "going_m": s.going}))
        .collect();
    let findings: Vec<Value> = stairs::findings(&steps, &limits)
        .iter()
        .map(|f| {
            json!({
                "what": f.fault.word(),
                "value_mm": f.value_mm,
                "limit_mm": f.limit_mm,
                "text": f.to_string(),
            })
        })
        .collect();
    Ok(json!({
        "steps": steps.len(),
        "riser_m": mean.riser,
        "going_m": mean.going,
        "two_r_plus_t_mm": mean.two_r_plus_t_mm(),
        "rise_m": rise,
        "run_m": run,
        "each": each,
        "findings": findings,
    }))
}

pub(super) fn lift(input: &Value) -> Result<Value, DeskError> {
    let input = Fields::of("", input)?;
    input.only(&["mass_kg", "h_cm", "v_cm", "d_cm", "a_deg", "fm", "cm"])?;
    let mass = input.number("mass_kg", (0.01, 10_000.0))?;
    let m = Lift {
        h_cm: input.number("h_cm", (0.0, 63.0))?,
        v_cm: input.number("v_cm", (0.0, 175.0))?,
        d_cm: input.number("d_cm", (0.0, 175.0))?,
        a_deg: input.number("a_deg", (0.0, 135.0))?,
        fm: input.or("fm", (0.01, 1.0), 1.0)?,
        cm: input.or("cm", (0.5, 1.0), 1.0)?,
    }
    .multipliers();
    let limit = m.weight_limit();
    Ok(json!({
        "rwl_kg": limit,
        "li": mass / limit.0,
        "multipliers": {
            "hm": m.hm, "vm": m.vm, "dm": m.dm, "am": m.am, "fm": m.fm, "cm": m.cm,
        },
    }))
}

pub(super) fn form_pressure(input: &Value) -> Result<Value, DeskError> {
    const RULES: &str = "fluid, ciria108 or aci347_wall";
    let input = Fields::of("", input)?;
    let rule = input.word("rule", RULES)?;
    let (pressure, governs) = match rule {
        "fluid" => {
            input.only(&["rule", "density_kg_m3", "height_m"])?;
            let density = input.number("density_kg_m3", (500.0, 6000.0))?;
            let height = Metres(input.number("height_m", (0.001, 30.0))?);
            (form_pressure::fluid(density, height), Governs::Fluid)
        }
        "ciria108" => {
            input.only(&["rule", "d_kn_m3", "c1", "c2", "r_m_h", "h_m", "temp_c"])?;
            Ciria108 {
                d_kn_m3: input.number("d_kn_m3", (5.0, 60.0))?,
                c1: input.number("c1", (0.5, 2.0))?,
                c2: input.number("c2", (0.1, 1.0))?,
                r_m_h: input.number("r_m_h", (0.0, 100.0))?,
                height: Metres(input.number("h_m", (0.001, 30.0))?),
                temp: Celsius(input.number("temp_c", (0.0, 40.0))?),
            }
            .pressure()
        }
        "aci347_wall" => {
            input.only(&[
                "rule",
                "r_ft_h",
                "temp_f",
                "height_ft",
                "unit_weight_pcf",
                "cc",
                "cw",
            ])?;
            let unit_weight_pcf = input.number("unit_weight_pcf", (30.0, 400.0))?;
            let usual = form_pressure::weight_coefficient(unit_weight_pcf);
            Aci347Wall {
                r_ft_h: input.number("r_ft_h", (0.0, 300.0))?,
                temp_f: input.number("temp_f", (32.0, 110.0))?,
                height_ft: input.number("height_ft", (0.01, 100.0))?,
                unit_weight_pcf,
                cc: input.or("cc", (1.0, 2.0), 1.0)?,
                cw: input.or("cw", (0.5, 3.0), usual)?,
            }
            .pressure()
        }
        other => return Err(input.refuse("rule", other, RULES)),
    };
    let governs = match governs {
        Governs::Fluid => "fluid",
        Governs::Rule => rule,
        Governs::Minimum => "minimum",
    };
    Ok(json!({"pressure_kpa": pressure, "governs": governs}))
}
