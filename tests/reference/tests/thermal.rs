//! The nine heat cases of `data/thermal` against our solver: closed forms (Carslaw and
//! Jaeger) for the plain slabs, scipy LSODA with Richardson extrapolation for those that
//! hydrate. Tolerances are the ones that each case suggests.

use serde_json::{Value, json};
use slowstone_curing::heat::desk_case;

fn table(text: &str) -> Vec<Vec<f64>> {
    text.lines()
        .skip(1)
        .map(|l| l.split(',').map(|x| x.parse().unwrap()).collect())
        .collect()
}

/// The answer to a case at the hours of its table.
fn solve(case: &str, rows: &[Vec<f64>]) -> (Value, Value) {
    let mut input: Value = serde_json::from_str(case).unwrap();
    input["report_hours"] = rows.iter().map(|r| r[0]).collect();
    let answer = desk_case(&input).unwrap();
    assert_eq!(answer["rows"].as_array().unwrap().len(), rows.len());
    (input, answer)
}

fn number(v: &Value) -> f64 {
    v.as_f64().unwrap()
}

fn plain(case: &str, csv: &str) {
    let rows = table(csv);
    let (input, answer) = solve(case, &rows);
    let tolerance = number(&input["suggested_tolerance_k"]);
    for (row, ours) in rows.iter().zip(answer["rows"].as_array().unwrap()) {
        for (i, expected) in row[1..].iter().enumerate() {
            let t = number(&ours["depths"][i]["temp_c"]);
            assert!(
                (t - expected).abs() <= tolerance,
                "{} h, depth {i}: {t}, {expected}",
                row[0]
            );
        }
    }
}

fn adiabatic(case: &str, csv: &str) {
    let rows = table(csv);
    let (input, answer) = solve(case, &rows);
    let tolerance = number(&input["suggested_tolerance_k"]);
    for (row, ours) in rows.iter().zip(answer["rows"].as_array().unwrap()) {
        let t = number(&ours["mean_temp_c"]);
        assert!((t - row[1]).abs() <= tolerance, "{row:?} {t}");
        let age = number(&ours["depths"][2]["age_h"]);
        assert!((age - row[2]).abs() <= 0.1, "{row:?} {age}");
        assert!(
            (number(&ours["mean_alpha"]) - row[3]).abs() <= 0.002,
            "{row:?}"
        );
    }
}

fn hydrating(case: &str, csv: &str) {
    let rows = table(csv);
    let (input, answer) = solve(case, &rows);
    let tolerance = |key: &str| number(&input["suggested_tolerance"][key]);
    let (k, h, a) = (tolerance("T_k"), tolerance("te_h"), tolerance("alpha"));
    for (row, ours) in rows.iter().zip(answer["rows"].as_array().unwrap()) {
        // Row 0 is the state before the boundary acts.
        let start = row[0] == 0.0;
        for i in 0..7 {
            let (t, te) = (row[3 + i], row[11 + i]);
            let depth = &ours["depths"][i];
            let temp = number(&depth["temp_c"]);
            assert!(
                start || (temp - t).abs() <= k,
                "{} h, depth {i}: {temp}, {t}",
                row[0]
            );
            let age = number(&depth["age_h"]);
            assert!(
                (age - te).abs() <= h,
                "{} h, depth {i}: {age}, {te}",
                row[0]
            );
        }
        assert!((number(&ours["mean_temp_c"]) - row[10]).abs() <= k);
        assert!((number(&ours["mean_alpha"]) - row[18]).abs() <= a);
    }
    let peak = number(&answer["peak_mid_depth_c"]);
    let expected = number(&input["expected"]["peak_mid_depth_c"]);
    assert!((peak - expected).abs() <= k, "{peak} {expected}");
}

macro_rules! case {
    ($test:ident, $how:ident, $file:literal) => {
        #[test]
        fn $test() {
            $how(
                include_str!(concat!("../data/thermal/", $file, ".json")),
                include_str!(concat!("../data/thermal/", $file, ".csv")),
            );
        }
    };
}

case!(slab_insulated, plain, "a1-slab-insulated");
case!(slab_fixed_bottom, plain, "a2-slab-fixed-bottom");
case!(slab_periodic, plain, "a3-slab-periodic");
case!(adiabatic_from_20, adiabatic, "b1-adiabatic-20c");
case!(adiabatic_from_8, adiabatic, "b2-adiabatic-8c");
case!(warm_insulated, hydrating, "c1-warm-insulated");
case!(cold_fixed_ground, hydrating, "c2-cold-fixed-ground");
case!(gravel_layer, hydrating, "c3-gravel-layer");
case!(blanket_and_sun, hydrating, "c4-blanket-and-sun");

#[test]
fn parameters_alone_are_enough() {
    let case: Value =
        serde_json::from_str(include_str!("../data/thermal/c1-warm-insulated.json")).unwrap();
    let mut alone = case["parameters"].clone();
    alone["report_hours"] = json!([24.0]);
    let answer = desk_case(&alone).unwrap();
    // The case's own value: 33.65 h at the top after 24 h.
    let top = number(&answer["rows"][0]["depths"][0]["age_h"]);
    assert!((top - number(&case["expected"]["te_top_24h_h"])).abs() < 0.1);
}

#[test]
fn what_cannot_be_is_refused_by_name() {
    let good: Value =
        serde_json::from_str(include_str!("../data/thermal/c4-blanket-and-sun.json")).unwrap();
    type Spoil = fn(&mut Value);
    let spoilt: [(&str, Spoil); 7] = [
        ("L_m", |c| c["parameters"]["L_m"] = json!(-1)),
        ("alpha_u", |c| {
            c["parameters"]["mix"]["alpha_u"] = json!(1.4)
        }),
        ("mix.tau_h", |c| {
            c["parameters"]["mix"]["tau_h"] = Value::Null
        }),
        ("colour", |c| c["parameters"]["colour"] = json!("red")),
        ("kind", |c| {
            c["parameters"]["bottom"]["kind"] = json!("magic")
        }),
        ("h_schedule", |c| c["parameters"]["h_schedule"] = json!([])),
        ("report_hours", |c| c["report_hours"] = json!([-2.0])),
    ];
    for (field, spoil) in spoilt {
        let mut case = good.clone();
        spoil(&mut case);
        let said = format!("{:?}", desk_case(&case).unwrap_err());
        assert!(said.contains(field), "{field}: {said}");
    }
    assert!(desk_case(&json!([1, 2])).is_err());
}
