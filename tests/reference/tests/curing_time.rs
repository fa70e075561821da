//! Curing days by DIN 1045-3 (four agreeing public copies; reference values, 7).

use serde_json::json;
use slowstone_curing::curing_time::{Development, days, table_days};
use slowstone_curing::desk::calc;
use slowstone_curing::strength::Curve;
use slowstone_curing::units::{Days, Mpa};

/// Surface °C from; days for r >= 0.50, >= 0.30, >= 0.15, < 0.15.
const DIN: [(f64, [f64; 4]); 4] = [
    (25.0, [1.0, 2.0, 2.0, 3.0]),
    (15.0, [1.0, 2.0, 4.0, 5.0]),
    (10.0, [2.0, 4.0, 7.0, 10.0]),
    (5.0, [3.0, 6.0, 10.0, 15.0]),
];

#[test]
fn every_cell_of_the_table_with_both_its_ends() {
    let classes = [(0.50, 0.9), (0.30, 0.4999), (0.15, 0.2999), (0.0, 0.1499)];
    for (i, (from, row)) in DIN.iter().enumerate() {
        let to = if i == 0 { 60.0 } else { DIN[i - 1].0 - 0.001 };
        for surface in [*from, to] {
            for ((least, most), expected) in classes.iter().zip(row) {
                for r in [*least, *most] {
                    let ask =
                        json!({"surface_c": surface, "r": r, "wearing": false, "days_below_5c": 0});
                    let answer = calc("curing-days", &ask).unwrap();
                    assert_eq!(answer["days"], json!(expected), "{surface} °C, r {r}");
                    assert_eq!(table_days(surface, Development::of(r)), *expected);
                }
            }
        }
    }
    let class =
        |r: f64| calc("curing-days", &json!({"surface_c": 20, "r": r})).unwrap()["class"].clone();
    assert_eq!(
        [0.5, 0.3, 0.15, 0.1].map(class),
        ["fast", "medium", "slow", "very slow"].map(|w| json!(w))
    );
}

/// Class by EN 1992's curve (arithmetic): R 0.578 fast, N 0.504 fast by a hair, S 0.353
/// medium; the bag's curve is slow: 4 days at 15 to 25 °C, 7 at 10 to 15.
#[test]
fn bagged_concrete_is_slow() {
    let r = |c: Curve| c.ratio_to_28(Days(2.0)).unwrap();
    let en = |s| Curve::En1992 { fcm: Mpa(30.0), s };
    for (s, ratio, class) in [
        (0.20, 0.578, Development::Fast),
        (0.25, 0.504, Development::Fast),
        (0.38, 0.353, Development::Medium),
    ] {
        assert!((r(en(s)) - ratio).abs() < 5e-4);
        assert_eq!(Development::of(r(en(s))), class);
    }
    assert!((0.25..0.28).contains(&r(Curve::BAGGED)));
    assert_eq!(Development::of(r(Curve::BAGGED)), Development::Slow);
    assert_eq!((days(20.0, true), days(12.0, true)), (4.0, 7.0));
}
