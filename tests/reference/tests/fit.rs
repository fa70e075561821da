//! Curves through strength tests against scipy 1.17.1 (`curve_fit`, tolerances 1e-14): the
//! same invented tests, the same least squares, another solver.

use approx::assert_relative_eq;
use serde_json::{Value, json};
use slowstone_curing::desk::calc;

/// Six tests; age in hours and MPa.
const TESTS: [(f64, f64); 6] = [
    (24.0, 3.4),
    (48.0, 7.1),
    (72.0, 9.7),
    (168.0, 17.5),
    (336.0, 22.8),
    (672.0, 27.7),
];

fn check(kind: &str, parameters: &[(&str, f64, f64)], residual_sd: f64) {
    let points: Vec<Value> = TESTS
        .iter()
        .map(|(h, s)| json!({"age_h": h, "strength_mpa": s}))
        .collect();
    let fit = calc("fit", &json!({"points": points, "model": kind})).unwrap();
    let number = |v: &Value| v.as_f64().unwrap();
    for (name, value, error) in parameters {
        assert_relative_eq!(
            number(&fit["parameters"][name]),
            *value,
            max_relative = 1e-7
        );
        assert_relative_eq!(
            number(&fit["standard_errors"][name]),
            *error,
            max_relative = 1e-5
        );
    }
    assert_relative_eq!(
        number(&fit["residual_sd_mpa"]),
        residual_sd,
        max_relative = 1e-7
    );
}

#[test]
fn curves_agree_with_scipy() {
    check(
        "hyperbola",
        &[
            ("su_mpa", 34.288431, 0.627431),
            ("k_per_d", 0.14938748, 0.0090467),
            ("t0_d", 0.27061925, 0.0783732),
        ],
        0.27285709,
    );
    check(
        "en1992",
        &[
            ("fcm_mpa", 27.898541, 0.273712),
            ("s", 0.49472153, 0.0109591),
        ],
        0.33535229,
    );
    check(
        "aci209",
        &[("f28_mpa", 27.854999, 0.422773), ("a", 6.1133102, 0.324979)],
        0.4853358,
    );
    check(
        "fhp",
        &[
            ("su_mpa", 42.653817, 3.09423),
            ("tau_d", 5.8774231, 0.913147),
            ("a", 0.54112034, 0.0446078),
        ],
        0.34125079,
    );
}
