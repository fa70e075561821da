//! How long a prediction takes: one pour, 28 days, 200 members; for `cargo xtask bench`.
//!
//! Prints rows of its table. With `--course` it prints instead, as JSON, the same times and
//! the course of one heat problem for `tests/bench/heat_scipy.py`, which solves it as
//! exactly, takes turns with this program and prints the rows. Asserts nothing, because
//! machines differ.

use core::f64::consts::TAU;
use slowstone_curing::heat::hydration::{Hydration, PORTLAND_J_KG, Table, Tabled};
use slowstone_curing::heat::slab::{Drive, Layer, Sides, Slab, Underside};
use slowstone_curing::predict::{self, DayRange, PourFacts, Sky, plain_step};
use slowstone_curing::units::{AtMs, Celsius, Hours, KmH, Percent};
use std::time::Instant;

fn pour() -> PourFacts {
    let start = AtMs(1_781_074_800_000);
    let mut f = plain_step(start);
    f.place = Some((45.0, 0.0));
    f.days = (-1..30)
        .map(|d| DayRange {
            day_start: start.plus(Hours(f64::from(d) * 24.0 - 7.0)),
            min: Celsius(12.0),
            max: Celsius(20.0),
            rh: Some(Percent(60.0)),
            wind: Some(KmH(7.0)),
            sky: Some(Sky::Broken),
        })
        .collect();
    f
}

/// The median of several runs, ms.
fn median_ms(runs: usize, mut run: impl FnMut()) -> f64 {
    let mut times: Vec<f64> = (0..runs)
        .map(|_| {
            let t = Instant::now();
            run();
            t.elapsed().as_secs_f64() * 1000.0
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times.get(runs / 2).copied().unwrap_or(f64::NAN)
}

/// Weather that another solver can be given: hours to °C, W/(m² K) and W/m².
fn air(h: f64) -> f64 {
    16.0 + 4.0 * libm::sin((h - 9.0) / 24.0 * TAU) + 2.0 * libm::sin(h / 100.0 * TAU)
}
fn h_top(h: f64) -> f64 {
    14.0 + 5.0 * libm::sin(h / 31.0 * TAU)
}
fn sun(h: f64) -> f64 {
    (300.0 * libm::sin((h - 6.0) / 24.0 * TAU)).max(0.0)
}
/// Through form boards of 25 mm, bare after three days.
fn u_side(h: f64) -> f64 {
    let boards = if h < 72.0 { 0.025 / 0.12 } else { 0.0 };
    1.0 / (1.0 / h_top(h) + boards)
}

const UNDER: Underside = Underside::Held { temp_c: 16.0 };
const EDGE_M: f64 = 0.025;
const EDGE_TO_CORE: f64 = 2.0 / 0.15;

/// The heat of one member alone, as the engine solves it: a column of 0.15 m over gravel
/// and one at its edge, 28 days. Hour, half depth, half depth of the edge.
fn columns(tables: &(Table, Table)) -> Vec<(f64, f64, f64)> {
    let hydration = Hydration::portland(0.6);
    let reaction = Tabled {
        course: &tables.0,
        rates: &tables.1,
        alpha_u: hydration.alpha_u,
        tau_h: hydration.tau_h,
    };
    let piece = Layer {
        thickness_m: 0.15,
        k_w_mk: 2.0,
        capacity_j_m3k: 2.35e6,
        heat_j_m3: 0.875 * 300.0 * PORTLAND_J_KG,
        temp_c: 21.0,
        age_h: 0.0,
        cells: 6,
        growth: 1.0,
    };
    let gravel = Layer {
        thickness_m: 0.5,
        k_w_mk: 1.2,
        capacity_j_m3k: 1.62e6,
        heat_j_m3: 0.0,
        temp_c: 16.0,
        cells: 3,
        growth: 2.0,
        ..piece
    };
    let mut core = Slab::new(&[piece, gravel], &reaction);
    let mut edge = Slab::new(&[piece], &reaction);
    let (mut before, mut after): (Vec<f64>, Vec<f64>) = (core.temps().collect(), Vec::new());
    let mut rows = Vec::with_capacity(400);
    let mut h = 0.0;
    // The steps of a prediction.
    for (end, step) in [(12.0, 0.25), (48.0, 0.5), (168.0, 1.0), (672.0, 4.0)] {
        while h < end - 1e-9 {
            let drive = Drive {
                dt_s: step * 3600.0,
                air_c: (air(h), air(h + step)),
                sun_w_m2: (sun(h), sun(h + step)),
                h_top: h_top(h + 0.5 * step),
                under: UNDER,
            };
            core.step(&reaction, &drive, None);
            after.clear();
            after.extend(core.temps());
            let sides = Sides {
                width_m: EDGE_M,
                u_air: u_side(h + 0.5 * step),
                sun_w_m2: 0.0,
                u_core: EDGE_TO_CORE,
                core: (&before, &after),
            };
            edge.step(&reaction, &drive, Some(&sides));
            std::mem::swap(&mut before, &mut after);
            h += step;
            rows.push((h, core.between_c(2, UNDER), edge.between_c(2, UNDER)));
        }
    }
    rows
}

fn main() {
    const MEMBERS: u32 = 200;
    let facts = pour();
    let member = median_ms(7, || {
        std::hint::black_box(predict::predict_with(&facts, MEMBERS as usize).ok());
    }) / f64::from(MEMBERS);
    let usual = median_ms(15, || {
        std::hint::black_box(predict::predict(&facts).ok());
    });
    let hydration = Hydration::portland(0.6);
    let tables = (Tabled::course(hydration.beta), Tabled::rates(&hydration));
    let heat = median_ms(100, || {
        std::hint::black_box(columns(&tables));
    });
    if std::env::args().nth(1).as_deref() != Some("--course") {
        println!("engine: prediction, per member\t{member:.5}\tms\t\t\t28 days, 200 members");
        println!("engine: prediction as shown\t{usual:.4}\tms\t\t\t28 days, 64 members");
        println!("engine: heat of one member alone\t{heat:.5}\tms\t\t\t28 days");
        return;
    }
    let rows: Vec<String> = columns(&tables)
        .iter()
        .map(|(h, core, edge)| format!("[{h},{core},{edge}]"))
        .collect();
    println!(
        "{{\"member_ms\":{member:.5},\"prediction_ms\":{usual:.4},\"heat_ms\":{heat:.5},\
         \"rows\":[{}]}}",
        rows.join(",")
    );
}
