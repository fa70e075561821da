//! Evaporation and vapour pressure: PsychroLib 2.5.0 for the grid, the PCA table of 1957
//! (Lerch), and worked rows (reference values, 6).

use crate::table::{number, rows};
use approx::{assert_abs_diff_eq, assert_relative_eq};
use slowstone_curing::desk::calc;
use slowstone_curing::evaporation::{self, menzel, saturation_pressure, uno};
use slowstone_curing::units::{Celsius, KgM2H, KmH, Percent};

/// kg/m²/h in a lb/ft²/h.
const PER_LB: f64 = 4.882_427_636_38;
const KM_PER_MILE: f64 = 1.609_344;

type Rate = fn(Celsius, Celsius, Percent, KmH) -> KgM2H;

fn at(rate: Rate, c: f64, a: f64, rh: f64, km_h: f64) -> f64 {
    rate(Celsius(c), Celsius(a), Percent(rh), KmH(km_h)).0
}

fn celsius(f: f64) -> f64 {
    (f - 32.0) / 1.8
}

#[test]
fn saturation_pressure_agrees_with_psychrolib() {
    let mut checked = 0;
    for r in rows(include_str!("../data/saturation-vapour-pressure.csv")) {
        let ours = saturation_pressure(Celsius(number(r[0]))).0;
        assert_relative_eq!(ours, number(r[1]), max_relative = 1e-7);
        checked += 1;
    }
    assert_eq!(checked, 71);
}

#[test]
fn vapour_pressure_and_dew_point_agree_with_psychrolib() {
    for r in rows(include_str!("../data/dew-point.csv")) {
        let ours = number(r[1]) / 100.0 * saturation_pressure(Celsius(number(r[0]))).0;
        assert_relative_eq!(ours, number(r[4]), max_relative = 1e-7);
        // At the dew point that vapour is saturated.
        let dew = saturation_pressure(Celsius(number(r[2]))).0;
        assert_relative_eq!(dew, number(r[4]), max_relative = 1e-4);
    }
}

#[test]
fn the_grid_agrees_with_psychrolib() {
    let mut checked = 0;
    for r in rows(include_str!("../data/evaporation-grid.csv")) {
        let f = |i: usize| number(r[i]);
        // The grid goes below 0 where water condenses; nothing evaporates then.
        let ours = [
            at(uno, f(0), f(1), f(2), f(3)),
            at(menzel, f(0), f(1), f(2), f(3)),
        ];
        for (ours, expected) in ours.iter().zip([f(4), f(5)]) {
            assert_abs_diff_eq!(*ours, expected.max(0.0), epsilon = 1e-7);
        }
        checked += 1;
    }
    assert_eq!(checked, 3024);
}

/// Concrete and air °C, RH %, km/h; Uno, Menzel (arithmetic; Menzel with Uno's saturation
/// pressure, which differs from ours by up to 0.2 %), FHWA's algebra for comparison. The
/// first is the example of ACI 305R's nomograph (input from memory), read as about 1.2.
const ROWS: [[f64; 7]; 8] = [
    [31.0, 27.0, 50.0, 19.0, 1.1517, 1.1920, 1.1174],
    [20.0, 20.0, 50.0, 10.0, 0.3115, 0.3145, 0.3150],
    [30.0, 20.0, 50.0, 20.0, 1.3814, 1.4104, 1.3106],
    [25.0, 25.0, 70.0, 0.0, 0.0727, 0.0759, 0.0738],
    [25.0, 15.0, 40.0, 15.0, 0.9141, 0.9044, 0.8576],
    [35.0, 35.0, 30.0, 25.0, 2.0757, 2.1789, 2.0465],
    [15.0, 5.0, 80.0, 10.0, 0.2958, 0.2711, 0.2571],
    [20.0, 25.0, 60.0, 5.0, 0.0732, 0.0761, 0.0869],
];

#[test]
fn worked_rows_agree() {
    for [c, a, rh, v, by_uno, by_menzel, by_fhwa] in ROWS {
        assert_abs_diff_eq!(at(uno, c, a, rh, v), by_uno, epsilon = 1e-4);
        assert_relative_eq!(at(menzel, c, a, rh, v), by_menzel, max_relative = 0.003);
        // Three ways to reckon one thing: within the ±40 % that any of them is good for.
        for ours in [at(uno, c, a, rh, v), at(menzel, c, a, rh, v)] {
            assert_relative_eq!(ours, by_fhwa, max_relative = 0.2);
        }
    }
    // 87 °F over 80 °F, 50 %, 12 mph: 0.2330 lb/ft²/h by the SI form; the US form, a rounding
    // of its own, says 0.2435.
    let us = at(uno, celsius(87.0), celsius(80.0), 50.0, 12.0 * KM_PER_MILE) / PER_LB;
    assert_abs_diff_eq!(us, 0.2330, epsilon = 1e-4);
    assert_relative_eq!(us, 0.2435, max_relative = 0.05);
}

/// PCA / Lerch 1957 (from memory): concrete and air °F, RH %, mph, lb/ft²/h.
const PCA: [[f64; 5]; 27] = [
    [70.0, 70.0, 70.0, 0.0, 0.015],
    [70.0, 70.0, 70.0, 5.0, 0.038],
    [70.0, 70.0, 70.0, 10.0, 0.062],
    [70.0, 70.0, 70.0, 15.0, 0.085],
    [70.0, 70.0, 70.0, 20.0, 0.110],
    [70.0, 70.0, 70.0, 25.0, 0.135],
    [70.0, 70.0, 90.0, 10.0, 0.020],
    [70.0, 70.0, 50.0, 10.0, 0.100],
    [70.0, 70.0, 30.0, 10.0, 0.135],
    [70.0, 70.0, 10.0, 10.0, 0.175],
    [50.0, 50.0, 70.0, 10.0, 0.026],
    [60.0, 60.0, 70.0, 10.0, 0.043],
    [80.0, 80.0, 70.0, 10.0, 0.077],
    [90.0, 90.0, 70.0, 10.0, 0.110],
    [100.0, 100.0, 70.0, 10.0, 0.180],
    [70.0, 80.0, 70.0, 10.0, 0.000],
    [70.0, 50.0, 70.0, 10.0, 0.125],
    [70.0, 30.0, 70.0, 10.0, 0.165],
    [80.0, 40.0, 100.0, 10.0, 0.205],
    [70.0, 40.0, 100.0, 10.0, 0.130],
    [60.0, 40.0, 100.0, 10.0, 0.075],
    [70.0, 40.0, 50.0, 0.0, 0.035],
    [70.0, 40.0, 50.0, 10.0, 0.162],
    [70.0, 40.0, 50.0, 25.0, 0.357],
    [70.0, 70.0, 70.0, 10.0, 0.062],
    [80.0, 80.0, 70.0, 10.0, 0.077],
    [60.0, 60.0, 70.0, 10.0, 0.043],
];

#[test]
fn menzel_agrees_with_the_pca_table() {
    for [c, a, rh, mph, lb] in PCA {
        let ours = at(menzel, celsius(c), celsius(a), rh, mph * KM_PER_MILE) / PER_LB;
        // The row of 100 °F lies apart in the table itself.
        let tolerance = if c == 100.0 { 0.03 } else { 0.008 };
        assert_abs_diff_eq!(ours, lb, epsilon = tolerance);
    }
}

#[test]
fn words_follow_the_thresholds() {
    // FHWA-HRT-05-038 chapter 5: 0.2 lb/ft²/h, about 1.0 kg/m²/h.
    assert_relative_eq!(evaporation::ACT.0, 0.2 * PER_LB, max_relative = 0.03);
    let risk = |c: f64, a: f64, rh: f64, v: f64| {
        let ask = serde_json::json!({"concrete_c": c, "air_c": a, "rh_pct": rh, "wind_km_h": v});
        calc("evaporation", &ask).unwrap()["risk"].clone()
    };
    assert_eq!(risk(31.0, 27.0, 50.0, 19.0), "act");
    assert_eq!(risk(25.0, 15.0, 40.0, 15.0), "caution");
    assert_eq!(risk(20.0, 20.0, 50.0, 10.0), "low");
    assert_eq!(risk(10.0, 30.0, 90.0, 20.0), "low");
}
