//! The JSON form of a heat case: what `slowstone calc heat` reads and prints.
//!
//! Every field is checked for presence and range before anything is solved; unknown
//! fields are refused, because a misspelt one would be ignored silently. The solving is
//! in [`super::case`].

use super::case::{Bottom, Case, CaseSun, Material, Solved};
use super::hydration::Hydration;
use crate::desk::{DeskError, Fields};
use crate::units::Celsius;
use serde_json::{Value, json};

/// Fields of a case object beside `parameters` that describe and are not computed with.
const DESCRIBING: [&str; 14] = [
    "case",
    "model",
    "units",
    "derived",
    "equations",
    "csv_columns",
    "expected",
    "accuracy_k",
    "suggested_tolerance_k",
    "suggested_tolerance",
    "check",
    "note",
    "generator",
    "settings",
];
const MOST_HOURS: f64 = 10_000.0;
const TEMPS: (f64, f64) = (-60.0, 100.0);

/// Solves one heat case.
///
/// Input: a case object as in the reference cases (`{parameters: {...}, report_hours:
/// [..]}`) or its `parameters` with `report_hours` beside them. Output: `rows` and
/// `peak_mid_depth_c`. Without `report_hours` every hour to `duration_h` is reported.
///
/// # Errors
/// Names the field that is missing, unknown or out of range, and what is allowed.
pub fn desk_case(input: &Value) -> Result<Value, DeskError> {
    let whole = Fields::of("", input)?;
    let wrapped = whole.part("parameters")?;
    if wrapped.is_some() {
        let known: Vec<&str> = DESCRIBING
            .into_iter()
            .chain(["parameters", "bottom", "report_hours", "report_depths_m"])
            .collect();
        whole.only(&known)?;
    }
    let p = wrapped.as_ref().unwrap_or(&whole);
    let linear = !p.has("mix");
    let mut case = if linear { slab(p)? } else { mixed(p)? };
    // A plain case names its underside beside the parameters.
    if linear
        && let Some(Value::String(kind)) = whole.raw("bottom")
        && !["insulated", "fixed", "periodic"].contains(&kind.as_str())
    {
        return Err(whole.refuse("bottom", kind, "insulated, fixed or periodic"));
    }
    if case.adiabatic {
        case.thickness_m = 0.1;
    }
    let duration = p.optional("duration_h", (0.0, MOST_HOURS))?.unwrap_or(24.0);
    let hours = match whole.numbers("report_hours", (0.0, MOST_HOURS))? {
        Some(h) => h,
        None => (0..=duration as u32).map(f64::from).collect(),
    };
    let depth_range = (0.0, case.thickness_m);
    let depths = match whole.numbers("report_depths_m", depth_range)? {
        Some(d) => d,
        None => p
            .numbers("report_depths_m", depth_range)?
            .unwrap_or_else(|| {
                [0.0, 0.25, 0.5, 0.75, 1.0]
                    .map(|f| f * case.thickness_m)
                    .to_vec()
            }),
    };
    let mut ascending = hours.clone();
    ascending.sort_by(f64::total_cmp);
    let solved = case.solve(&ascending, &depths);
    Ok(printed(&solved, &hours))
}

/// Rows in the order in which they were asked for.
fn printed(solved: &Solved, hours: &[f64]) -> Value {
    let row = |t: &f64| {
        let r = solved.rows.iter().find(|r| (r.t_h - t).abs() < 1e-6)?;
        let depths: Vec<Value> = r
            .depths
            .iter()
            .map(|d| json!({"x_m": d.x_m, "temp_c": d.temp_c, "age_h": d.age_h}))
            .collect();
        Some(json!({
            "t_h": t,
            "depths": depths,
            "mean_temp_c": r.mean_temp_c,
            "mean_alpha": r.mean_alpha,
        }))
    };
    json!({
        "rows": hours.iter().filter_map(row).collect::<Vec<Value>>(),
        "peak_mid_depth_c": solved.peak_mid_depth_c,
    })
}

fn material(p: &Fields<'_>) -> Result<(f64, f64, f64), DeskError> {
    Ok((
        p.number("k_w_mk", (0.01, 100.0))?,
        p.number("rho_kg_m3", (10.0, 10_000.0))?,
        p.number("cp_j_kgk", (10.0, 10_000.0))?,
    ))
}

/// A plain slab without heat of its own: constant air, or a daily cosine in its periodic
/// state.
fn slab(p: &Fields<'_>) -> Result<Case, DeskError> {
    p.only(&[
        "L_m",
        "k_w_mk",
        "rho_kg_m3",
        "cp_j_kgk",
        "h_w_m2k",
        "T_init_c",
        "T_air_c",
        "T_bottom_c",
        "T_air_mean_c",
        "T_air_amp_c",
        "peak_clock_h",
        "duration_h",
        "report_hours",
        "report_depths_m",
        "bottom",
    ])?;
    let thickness_m = p.number("L_m", (0.005, 10.0))?;
    let (k_w_mk, rho_kg_m3, cp_j_kgk) = material(p)?;
    let h = p.number("h_w_m2k", (0.0, 1000.0))?;
    let periodic = p.optional("T_air_mean_c", TEMPS)?;
    let (air, start_c, settle_days) = match periodic {
        Some(mean) => {
            let amp = p.number("T_air_amp_c", (0.0, 60.0))?;
            let peak = p.number("peak_clock_h", (0.0, 24.0))?;
            // Twelve time constants leave a few millionths of the start.
            let slow_s = rho_kg_m3
                * cp_j_kgk
                * thickness_m
                * (1.0 / h.max(0.01) + thickness_m / 2.0 / k_w_mk);
            let days = (12.0 * slow_s / 86_400.0).clamp(3.0, 2000.0) as u32;
            ((mean, amp, peak), mean, days)
        }
        None => (
            (p.number("T_air_c", TEMPS)?, 0.0, 0.0),
            p.number("T_init_c", TEMPS)?,
            0,
        ),
    };
    Ok(Case {
        thickness_m,
        material: Material {
            k_w_mk,
            rho_kg_m3,
            cp_j_kgk,
            heat_j_m3: 0.0,
            hydration: Hydration::portland(0.5),
        },
        start_c,
        clock_h: 0.0,
        air,
        sun: None,
        h_schedule: vec![(0.0, h)],
        bottom: match p.optional("T_bottom_c", TEMPS)? {
            Some(t) => Bottom::Fixed(t),
            None => Bottom::Insulated,
        },
        adiabatic: false,
        settle_days,
    })
}

fn mix(p: &Fields<'_>) -> Result<Material, DeskError> {
    let m = p.needed("mix")?;
    m.only(&[
        "cement_kg_m3",
        "H_u_j_kg",
        "alpha_u",
        "tau_h",
        "beta",
        "E_j_mol",
        "T_ref_c",
        "rho_kg_m3",
        "cp_j_kgk",
        "k_w_mk",
    ])?;
    let (k_w_mk, rho_kg_m3, cp_j_kgk) = material(&m)?;
    Ok(Material {
        k_w_mk,
        rho_kg_m3,
        cp_j_kgk,
        heat_j_m3: m.number("cement_kg_m3", (0.0, 1500.0))?
            * m.number("H_u_j_kg", (0.0, 2_000_000.0))?,
        hydration: Hydration {
            alpha_u: m.number("alpha_u", (0.0, 1.0))?,
            tau_h: m.number("tau_h", (0.01, 1000.0))?,
            beta: m.number("beta", (0.05, 5.0))?,
            e_j_mol: m.number("E_j_mol", (0.0, 150_000.0))?,
            reference: Celsius(m.number("T_ref_c", TEMPS)?),
        },
    })
}

/// A slab that hydrates; without a thickness, all of it is adiabatic.
fn mixed(p: &Fields<'_>) -> Result<Case, DeskError> {
    p.only(&[
        "L_m",
        "mix",
        "T_init_c",
        "pour_clock_h",
        "duration_h",
        "report_depths_m",
        "report_hours",
        "air",
        "solar",
        "h_schedule",
        "bottom",
    ])?;
    let mut case = Case {
        thickness_m: 0.1,
        material: mix(p)?,
        start_c: p.number("T_init_c", TEMPS)?,
        clock_h: 0.0,
        air: (0.0, 0.0, 0.0),
        sun: None,
        h_schedule: Vec::new(),
        bottom: Bottom::Insulated,
        adiabatic: true,
        settle_days: 0,
    };
    let Some(thickness_m) = p.optional("L_m", (0.005, 10.0))? else {
        return Ok(case);
    };
    case.adiabatic = false;
    case.thickness_m = thickness_m;
    case.clock_h = p.optional("pour_clock_h", (0.0, 24.0))?.unwrap_or(0.0);
    let air = p.needed("air")?;
    air.only(&["mean_c", "amp_c", "peak_clock_h"])?;
    case.air = (
        air.number("mean_c", TEMPS)?,
        air.optional("amp_c", (0.0, 60.0))?.unwrap_or(0.0),
        air.optional("peak_clock_h", (0.0, 24.0))?.unwrap_or(15.0),
    );
    if let Some(s) = p.part("solar")? {
        s.only(&["absorptivity", "peak_w_m2", "rise_clock_h", "set_clock_h"])?;
        let rise_h = s.number("rise_clock_h", (0.0, 24.0))?;
        case.sun = Some(CaseSun {
            peak_w_m2: s.number("absorptivity", (0.0, 1.0))?
                * s.number("peak_w_m2", (0.0, 1500.0))?,
            rise_h,
            set_h: s.number("set_clock_h", (rise_h + 0.01, 24.0))?,
        });
    }
    case.h_schedule = schedule(p)?;
    case.bottom = bottom(p)?;
    Ok(case)
}

fn schedule(p: &Fields<'_>) -> Result<Vec<(f64, f64)>, DeskError> {
    let name = p.path("h_schedule");
    let allowed = "a list of {from_h, h_w_m2k} that begins at hour 0";
    let list = p.raw("h_schedule").and_then(Value::as_array);
    let list = list.ok_or_else(|| DeskError::new(&name, "missing or no list", allowed))?;
    let mut steps = Vec::new();
    for entry in list {
        let s = Fields::of(&name, entry)?;
        s.only(&["from_h", "h_w_m2k"])?;
        steps.push((
            s.number("from_h", (0.0, MOST_HOURS))?,
            s.number("h_w_m2k", (0.0, 1000.0))?,
        ));
    }
    steps.sort_by(|a, b| a.0.total_cmp(&b.0));
    match steps.first() {
        Some((from, _)) if *from == 0.0 => Ok(steps),
        _ => Err(DeskError::new(&name, "no entry at hour 0", allowed)),
    }
}

fn bottom(p: &Fields<'_>) -> Result<Bottom, DeskError> {
    let b = p.needed("bottom")?;
    let kind = b.raw("kind").and_then(Value::as_str).unwrap_or("missing");
    match kind {
        "insulated" => b.only(&["kind"]).map(|()| Bottom::Insulated),
        "fixed" => {
            b.only(&["kind", "T_c"])?;
            Ok(Bottom::Fixed(b.number("T_c", TEMPS)?))
        }
        "layer" => {
            b.only(&[
                "kind",
                "thickness_m",
                "k_w_mk",
                "rho_kg_m3",
                "cp_j_kgk",
                "T_init_c",
                "T_c",
            ])?;
            let (k_w_mk, rho, cp) = material(&b)?;
            Ok(Bottom::Layer {
                thickness_m: b.number("thickness_m", (0.01, 20.0))?,
                k_w_mk,
                capacity_j_m3k: rho * cp,
                start_c: b.number("T_init_c", TEMPS)?,
                deep_c: b.number("T_c", TEMPS)?,
            })
        }
        other => Err(b.refuse("kind", other, "insulated, fixed or layer")),
    }
}
