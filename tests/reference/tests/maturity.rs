//! Degree-hours and equivalent ages: EN 1992-1-1 (B.10) by structuralcodes 0.7.2, the rest
//! by the published formulas worked with independent code (reference values, 1 and 2).

use crate::table::{number, rows};
use approx::assert_abs_diff_eq;
use serde_json::{Value, json};
use slowstone_curing::desk::calc;
use slowstone_curing::maturity::{self, Interval};
use slowstone_curing::units::{Celsius, Hours};

fn intervals(all: &[(f64, f64)]) -> Vec<Interval> {
    all.iter()
        .map(|(h, t)| Interval {
            hours: Hours(*h),
            temp: Celsius(*t),
        })
        .collect()
}

/// History A of the reference values, 72 h.
fn history_a() -> Vec<Interval> {
    intervals(&[
        (6.0, 20.0),
        (6.0, 24.0),
        (12.0, 28.0),
        (12.0, 22.0),
        (12.0, 16.0),
        (24.0, 12.0),
    ])
}

/// 15 °C with a daily swing of 8 K, 72 h, by the middle of each hour.
fn diurnal() -> Vec<Interval> {
    (0..72)
        .map(|h| {
            let t = f64::from(h) + 0.5;
            let swing = (2.0 * std::f64::consts::PI * (t - 9.0) / 24.0).sin();
            Interval {
                hours: Hours(1.0),
                temp: Celsius(15.0 + 8.0 * swing),
            }
        })
        .collect()
}

fn degree_hours(h: &[Interval], datum: f64) -> f64 {
    maturity::degree_hours(h, Celsius(datum))
}

#[test]
fn degree_hours_agree_with_textbooks() {
    // 1.a: Shetty, Concrete Technology (from memory): 12 h at 20 and 12 h at 10 °C a day for
    // a week, datum -11: 4368 °C h; Plowman's 32 + 54 log10(M/1000) makes that 66.58 %.
    let day = [(12.0, 20.0), (12.0, 10.0)];
    let week = intervals(&day.repeat(7));
    let m = degree_hours(&week, -11.0);
    assert_abs_diff_eq!(m, 4368.0, epsilon = 1e-9);
    assert_abs_diff_eq!(32.0 + 54.0 * (m / 1000.0).log10(), 66.58, epsilon = 0.005);
    // 1.b: 28 days at 18 °C, datum -11 (textbooks round it to 19 800).
    let month = intervals(&[(28.0 * 24.0, 18.0)]);
    assert_abs_diff_eq!(degree_hours(&month, -11.0), 19_488.0, epsilon = 1e-9);
    // 1.c: ACI 306R's layout (from memory), °F: 12 h steps, datum 23 °F.
    let fahrenheit = [50.0, 50.0, 49.0, 47.0, 45.0, 43.0];
    let sums = [324.0, 648.0, 960.0, 1248.0, 1512.0, 1752.0];
    let celsius: Vec<(f64, f64)> = fahrenheit
        .iter()
        .map(|f| (12.0, (f - 32.0) / 1.8))
        .collect();
    for (i, sum) in sums.iter().enumerate() {
        let m = degree_hours(&intervals(&celsius[..=i]), (23.0 - 32.0) / 1.8);
        assert_abs_diff_eq!(m * 1.8, *sum, epsilon = 1e-9);
    }
    // GB 50204: 600 °C·d is about 28 days of standard curing: 30 days at 20 °C.
    let standard = intervals(&[(30.0 * 24.0, 20.0)]);
    assert_abs_diff_eq!(degree_hours(&standard, 0.0) / 24.0, 600.0, epsilon = 1e-9);
}

#[test]
fn degree_hours_agree_with_arithmetic() {
    // 1.d, 1.e
    for (datum, sum) in [
        (0.0, 1344.0),
        (-5.0, 1704.0),
        (-10.0, 2064.0),
        (-11.0, 2136.0),
    ] {
        assert_abs_diff_eq!(degree_hours(&history_a(), datum), sum, epsilon = 1e-9);
    }
    for (datum, age) in [(0.0, 67.20), (-10.0, 68.80)] {
        let rate = |t| maturity::rate_nurse_saul(t, Celsius(datum), Celsius(20.0));
        assert_abs_diff_eq!(maturity::age(&history_a(), rate).0, age, epsilon = 1e-9);
    }
    // 1.f: what is below the datum is not taken off.
    let frost = intervals(&[(12.0, 5.0), (12.0, -5.0), (24.0, 2.0)]);
    assert_abs_diff_eq!(degree_hours(&frost, 0.0), 108.0, epsilon = 1e-9);
    assert_abs_diff_eq!(degree_hours(&frost, -10.0), 528.0, epsilon = 1e-9);
    // 1.g: a linear rate does not see a swing.
    assert_abs_diff_eq!(degree_hours(&diurnal(), 0.0), 1080.0, epsilon = 1e-6);
    assert_abs_diff_eq!(degree_hours(&diurnal(), -10.0), 1800.0, epsilon = 1e-6);
}

/// Section 2: equivalent hours in an hour. Columns: temperature; Nurse-Saul datum -10 and 0,
/// E 40 kJ/mol, Q 5000, FHP (all at 20 °C); B.10 by structuralcodes; Q 5000 at 23 °C.
const RATES: [[f64; 8]; 10] = [
    [0.0, 0.3333, 0.0, 0.3007, 0.2868, 0.1511, 0.36714, 0.2413],
    [5.0, 0.5, 0.25, 0.4127, 0.3986, 0.2925, 0.47784, 0.3354],
    [10.0, 0.6667, 0.5, 0.5601, 0.5475, 0.4974, 0.61614, 0.4606],
    [15.0, 0.8333, 0.75, 0.7522, 0.7438, 0.7476, 0.78750, 0.6258],
    [20.0, 1.0, 1.0, 1.0, 1.0, 1.0, 0.99812, 0.8413],
    [23.0, 1.1, 1.15, 1.1809, 1.1886, 1.1494, 1.14624, 1.0],
    [25.0, 1.1667, 1.25, 1.3168, 1.3311, 1.2592, 1.25506, 1.1199],
    [30.0, 1.3333, 1.5, 1.7184, 1.7553, 1.5737, 1.56624, 1.4768],
    [35.0, 1.5, 1.75, 2.2231, 2.2939, 1.9524, 1.94058, 1.9299],
    [40.0, 1.6667, 2.0, 2.8525, 2.9723, 2.4057, 2.38798, 2.5006],
];

#[test]
fn rates_agree_with_the_table() {
    let at_20 = Celsius(20.0);
    for row in RATES {
        let t = Celsius(row[0]);
        let ours = [
            maturity::rate_nurse_saul(t, Celsius(-10.0), at_20),
            maturity::rate_nurse_saul(t, Celsius(0.0), at_20),
            maturity::rate_arrhenius(t, 40_000.0 / maturity::GAS_CONSTANT, at_20),
            maturity::rate_arrhenius(t, 5000.0, at_20),
            maturity::rate_fhp(t),
            maturity::rate_en1992(t),
            maturity::rate_arrhenius(t, 5000.0, Celsius(23.0)),
        ];
        for (ours, expected) in ours.iter().zip(&row[1..]) {
            assert_abs_diff_eq!(ours, expected, epsilon = 0.0005);
        }
        // The default: the last column from 20 °C up, below by the FHP column's slope.
        let default = if row[0] >= 20.0 {
            row[7]
        } else {
            0.8413 * row[5]
        };
        assert_abs_diff_eq!(maturity::rate_default(t), default, epsilon = 0.0005);
    }
}

#[test]
fn ages_agree_with_arithmetic() {
    let arrhenius = |h: &[Interval], q, tr: f64| {
        maturity::age(h, |t| maturity::rate_arrhenius(t, q, Celsius(tr))).0
    };
    let a = history_a();
    // 2.a, 2.b
    for (q, at_20, at_23) in [
        (4000.0, 69.917, 60.891),
        (5000.0, 70.248, 59.101),
        (5500.0, 70.539, 58.329),
    ] {
        assert_abs_diff_eq!(arrhenius(&a, q, 20.0), at_20, epsilon = 0.01);
        assert_abs_diff_eq!(arrhenius(&a, q, 23.0), at_23, epsilon = 0.01);
    }
    for (e, at_23) in [(40_000.0, 59.413), (45_000.0, 58.459)] {
        let q = e / maturity::GAS_CONSTANT;
        assert_abs_diff_eq!(arrhenius(&a, q, 23.0), at_23, epsilon = 0.01);
    }
    // 2.c: B.10 by structuralcodes.
    assert_abs_diff_eq!(
        maturity::age(&a, maturity::rate_en1992).0,
        69.787,
        epsilon = 0.001
    );
    assert_abs_diff_eq!(
        maturity::age(&a, maturity::rate_fhp).0,
        67.530,
        epsilon = 0.01
    );
    // 2.d, 2.e: a swing of ±8 K adds 5.2 %.
    let d = diurnal();
    assert_abs_diff_eq!(arrhenius(&d, 5000.0, 23.0), 47.386, epsilon = 0.01);
    assert_abs_diff_eq!(arrhenius(&d, 5000.0, 20.0), 56.323, epsilon = 0.01);
    assert_abs_diff_eq!(
        maturity::age(&d, maturity::rate_en1992).0,
        58.512,
        epsilon = 0.01
    );
    assert_abs_diff_eq!(
        maturity::age(&d, maturity::rate_fhp).0,
        54.095,
        epsilon = 0.01
    );
    let steady = intervals(&[(72.0, 15.0)]);
    assert_abs_diff_eq!(arrhenius(&steady, 5000.0, 23.0), 45.057, epsilon = 0.01);
    assert_abs_diff_eq!(arrhenius(&steady, 5000.0, 20.0), 53.555, epsilon = 0.01);
}

#[test]
fn temperature_adjusted_age_agrees_with_structuralcodes() {
    let mut checked = 0;
    for r in rows(include_str!("../data/temperature-adjusted-age-checks.csv")) {
        let list = |i: usize| r[i].split(' ').map(number).collect::<Vec<f64>>();
        let spans = list(2).into_iter().map(|d| d * 24.0).zip(list(1));
        let history = intervals(&spans.collect::<Vec<_>>());
        let days = maturity::age(&history, maturity::rate_en1992).0 / 24.0;
        // Ten printed digits.
        assert_abs_diff_eq!(days / number(r[3]), 1.0, epsilon = 1e-8);
        checked += 1;
    }
    assert_eq!(checked, 26);
}

#[test]
fn the_desk_gives_the_same() {
    let history: Vec<Value> = history_a()
        .iter()
        .map(|i| json!({"hours": i.hours, "temp_c": i.temp}))
        .collect();
    let answer = calc("maturity", &json!({"history": history})).unwrap();
    // 1.d and 2.a to 2.c at the defaults: datum 0, 23 °C, 5000 K.
    for (field, expected) in [
        ("degree_hours", 1344.0),
        ("age_nurse_saul_h", 1344.0 / 23.0),
        ("age_arrhenius_h", 59.101),
        ("age_fhp_h", 67.530),
        ("age_en1992_h", 69.787),
    ] {
        assert_abs_diff_eq!(answer[field].as_f64().unwrap(), expected, epsilon = 0.001);
    }
}
