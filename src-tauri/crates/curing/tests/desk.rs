//! The desk refuses by name what cannot be, answers its own examples, and never panics.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

use proptest::prelude::*;
use serde_json::{Map, Value, json};
use slowstone_curing::desk::{TOPICS, calc, calc_text};

fn example(topic: &str) -> Value {
    let topic = TOPICS.iter().find(|t| t.name == topic).unwrap();
    serde_json::from_str(topic.example).unwrap()
}

/// `topic`'s example with one field set (or, by null, taken away).
fn with(topic: &str, field: &str, value: Value) -> Value {
    let mut input = example(topic);
    let map = input.as_object_mut().unwrap();
    match value {
        Value::Null => map.remove(field),
        value => map.insert(field.to_owned(), value),
    };
    input
}

fn holds_null(v: &Value) -> bool {
    match v {
        Value::Null => true,
        Value::Array(list) => list.iter().any(holds_null),
        Value::Object(map) => map.values().any(holds_null),
        _ => false,
    }
}

#[test]
fn every_topic_answers_its_example_and_says_what_it_takes() {
    for t in TOPICS {
        let answer = calc_text(t.name, t.example).unwrap_or_else(|e| panic!("{}: {e}", t.name));
        // A pour's times may never be reached: that is `null`.
        assert!(
            t.name == "pour" || !holds_null(&answer),
            "{}: {answer}",
            t.name
        );
        for part in ["Input", "Output", "Source"] {
            assert!(t.help.contains(part), "{} says no {part}", t.name);
        }
        // Every field of the example and of the answer is explained.
        let input = example(t.name);
        let fields = input
            .as_object()
            .unwrap()
            .keys()
            .chain(answer.as_object().unwrap().keys());
        for field in fields {
            assert!(t.help.contains(field.as_str()), "{}: {field}", t.name);
        }
    }
}

#[test]
fn what_cannot_be_is_refused_by_name() {
    let nan = json!("NaN");
    let cases = [
        ("maturity", "history", Value::Null, "history: missing"),
        ("maturity", "history", json!([]), "history: an empty list"),
        (
            "maturity",
            "history",
            json!([{"hours": -1, "temp_c": 20}]),
            "history[0].hours: -1",
        ),
        (
            "maturity",
            "history",
            json!([{"hours": 1, "temp_c": 20}, {"hours": 1}]),
            "history[1].temp_c: missing",
        ),
        (
            "maturity",
            "history",
            json!([{"hours": 1, "temp_f": 70}]),
            "history[0].temp_f: unknown",
        ),
        (
            "maturity",
            "history",
            json!([{"hours": 1, "temp_c": -273}]),
            "history[0].temp_c: -273",
        ),
        (
            "maturity",
            "history",
            json!([{"hours": 9e5, "temp_c": 1}, {"hours": 9e5, "temp_c": 1}]),
            "history: 1800000",
        ),
        ("maturity", "history", json!("20 C"), "history: \"20 C\""),
        ("maturity", "datum_c", json!(25), "datum_c: 25"),
        ("maturity", "reference_c", json!(0.5), "reference_c: 0.5"),
        ("maturity", "q_k", json!(-5000), "q_k: -5000"),
        ("strength", "age_h", json!(-3), "age_h: -3"),
        ("strength", "age_h", Value::Null, "age_h: missing"),
        ("strength", "age_d", json!(3), "age_d: unknown"),
        (
            "strength",
            "history",
            json!([{"hours": 1, "temp_c": 2}]),
            "history: one too many",
        ),
        (
            "strength",
            "model",
            json!({"kind": "plowman"}),
            "model.kind: plowman",
        ),
        (
            "strength",
            "model",
            json!({"kind": "en1992", "fcm_mpa": 30}),
            "model.s: missing",
        ),
        (
            "strength",
            "model",
            json!({"kind": "en1992", "fcm_mpa": -30, "s": 0.2}),
            "model.fcm_mpa: -30",
        ),
        (
            "strength",
            "model",
            json!({"kind": "fhp", "su_mpa": 30, "tau_d": 1, "a": 1, "s": 1}),
            "model.s: unknown",
        ),
        ("time-to-strength", "target_mpa", json!(0), "target_mpa: 0"),
        ("time-to-strength", "temp_c", json!(200), "temp_c: 200"),
        ("evaporation", "rh_pct", json!(140), "rh_pct: 140"),
        ("evaporation", "wind_km_h", json!(-1), "wind_km_h: -1"),
        (
            "evaporation",
            "wind_km_h",
            Value::Null,
            "wind_km_h: missing",
        ),
        ("evaporation", "wind_mph", json!(4), "wind_mph: unknown"),
        ("evaporation", "air_c", nan.clone(), "air_c: \"NaN\""),
        ("setting", "temp_c", Value::Null, "history: missing"),
        (
            "setting",
            "final_over_initial",
            json!(0.5),
            "final_over_initial: 0.5",
        ),
        ("curing-days", "surface_c", json!(3), "surface_c: 3"),
        ("curing-days", "r", json!(1.2), "r: 1.2"),
        ("curing-days", "wearing", json!("yes"), "wearing: \"yes\""),
        (
            "curing-days",
            "days_below_5c",
            json!(-2),
            "days_below_5c: -2",
        ),
        ("bags", "waste_pct", json!(-5), "waste_pct: -5"),
        (
            "bags",
            "bag",
            json!({"mass_kg": 30, "yield_l": 0.014}),
            "bag.yield_l: 0.014",
        ),
        (
            "bags",
            "solid",
            json!({"length_m": 1, "width_m": 1}),
            "solid.depth_m: missing",
        ),
        (
            "bags",
            "solid",
            json!({"length_m": 1, "width_m": 0, "depth_m": 1}),
            "solid.width_m: 0",
        ),
        ("form-pressure", "rule", json!("magic"), "rule: magic"),
        ("form-pressure", "height_m", json!(-0.2), "height_m: -0.2"),
        ("form-pressure", "temp_c", json!(15), "temp_c: unknown"),
        ("lift", "h_cm", json!(90), "h_cm: 90"),
        ("lift", "fm", json!(1.2), "fm: 1.2"),
        ("flight", "steps", json!(2.5), "steps: 2.5"),
        ("flight", "steps", json!(0), "steps: 0"),
        ("flight", "run_m", json!(2), "steps: one too many"),
        ("flight", "tread_m", Value::Null, "tread_m: missing"),
        ("flight", "overlap_m", json!(0.6), "overlap_m: 0.6"),
        (
            "flight",
            "limits",
            json!({"riser": 200}),
            "limits.riser: unknown",
        ),
        ("fit", "model", json!("spline"), "model: spline"),
        (
            "fit",
            "points",
            json!([{"age_h": 24, "strength_mpa": 5}]),
            "points: 1; allowed: at least 4",
        ),
        (
            "fit",
            "points",
            json!([{"age_h": 0, "strength_mpa": 5}]),
            "points[0].age_h: 0",
        ),
        ("heat", "L_m", json!(-1), "L_m: -1"),
        ("heat", "report_hours", json!([-1]), "report_hours: -1"),
    ];
    for (topic, field, value, said) in cases {
        let input = with(topic, field, value);
        match calc(topic, &input) {
            Ok(answer) => panic!("{topic}.{field} was answered: {answer}"),
            Err(e) => {
                let e = e.to_string();
                assert!(e.starts_with(said), "{topic}.{field}: {e}");
                assert!(e.contains("allowed: ") && !e.contains('\n'), "{e}");
            }
        }
    }
}

#[test]
fn text_that_is_no_object_is_refused() {
    let long = format!("[{}", "\u{7}\n".repeat(500));
    for text in [
        "",
        "{",
        "NaN",
        "[1]",
        "null",
        "3",
        "\"a\"",
        "{} {}",
        "{\"concrete_c\": NaN}",
        "{\"concrete_c\": 1e999}",
        "{\"concrete_c\": Infinity}",
        &long,
    ] {
        let said = calc_text("evaporation", text).unwrap_err().to_string();
        assert!(said.starts_with("input: "), "{text}: {said}");
        assert!(said.chars().count() < 200 && !said.contains('\n'), "{said}");
    }
    assert!(
        calc_text("magic", "{}")
            .unwrap_err()
            .to_string()
            .starts_with("topic: magic; allowed: one of maturity, ")
    );
}

#[test]
fn a_refused_value_is_shown_short_and_on_one_line() {
    let input = with("form-pressure", "rule", json!("a\nb\u{1b}[31m".repeat(300)));
    let said = calc("form-pressure", &input).unwrap_err().to_string();
    assert!(
        said.chars().count() < 200 && !said.chars().any(char::is_control),
        "{said}"
    );
}

#[test]
fn time_to_strength_says_never_without_hours() {
    for (field, value) in [
        ("target_mpa", json!(34.1)),
        ("target_mpa", json!(50)),
        ("temp_c", json!(-10)),
        ("temp_c", json!(-30)),
    ] {
        let answer = calc("time-to-strength", &with("time-to-strength", field, value)).unwrap();
        assert_eq!(answer["never"], json!(true));
        assert!(
            answer.get("hours").is_none() && answer["why"].is_string(),
            "{answer}"
        );
    }
    let answer = calc("time-to-strength", &example("time-to-strength")).unwrap();
    assert!(answer["hours"].is_number() && answer.get("never").is_none());
}

/// Hours from `time-to-strength`, put back into `strength` as a history, give the target.
#[test]
fn time_to_strength_and_strength_agree_for_every_model() {
    for model in [
        json!({"kind": "hyperbola", "su_mpa": 34.1, "k_per_d": 0.1525, "t0_d": 0.3}),
        json!({"kind": "en1992", "fcm_mpa": 28, "s": 0.25}),
        json!({"kind": "aci209", "f28_mpa": 28, "a": 4.0, "b": 0.85}),
        json!({"kind": "fhp", "su_mpa": 40, "tau_d": 2, "a": 0.7}),
    ] {
        let ask = json!({"target_mpa": 9, "model": model, "temp_c": 12});
        let hours = calc("time-to-strength", &ask).unwrap()["hours"].clone();
        let ask = json!({"model": model, "history": [{"hours": hours, "temp_c": 12}]});
        let got = calc("strength", &ask).unwrap()["strength_mpa"]
            .as_f64()
            .unwrap();
        assert!((got - 9.0).abs() < 1e-9, "{model}: {got}");
    }
}

#[test]
fn set_in_a_history_goes_on_at_its_last_temperature() {
    let constant = calc("setting", &json!({"temp_c": 15})).unwrap();
    let hour = calc("setting", &json!({"history": [{"hours": 1, "temp_c": 15}]})).unwrap();
    let (a, b) = (
        constant["final_h"].as_f64().unwrap(),
        hour["final_h"].as_f64().unwrap(),
    );
    assert!((a - b).abs() < 1e-9);
    assert_eq!(hour["carried_on"], json!(true));
    let long = calc(
        "setting",
        &json!({"history": [{"hours": 100, "temp_c": 15}]}),
    )
    .unwrap();
    assert_eq!(long["carried_on"], json!(false));
    let frozen = calc("setting", &json!({"temp_c": -15})).unwrap();
    assert_eq!(frozen["never"], json!(true));
    assert!(frozen.get("initial_h").is_none() && frozen.get("final_h").is_none());
}

#[test]
fn curing_days_double_for_wear_and_add_the_cold() {
    let days = |input: Value| {
        calc("curing-days", &input).unwrap()["days"]
            .as_f64()
            .unwrap()
    };
    assert_eq!(days(json!({"surface_c": 12, "r": 0.2})), 7.0);
    assert_eq!(
        days(json!({"surface_c": 12, "r": 0.2, "wearing": true})),
        14.0
    );
    assert_eq!(
        days(json!({"surface_c": 12, "r": 0.2, "wearing": true, "days_below_5c": 3})),
        17.0
    );
}

#[test]
fn a_bank_gets_a_number_of_steps() {
    let bank = calc("flight", &json!({"rise_m": 1.2, "run_m": 2.64})).unwrap();
    assert_eq!((&bank["steps"], &bank["findings"]), (&json!(8), &json!([])));
    let pieces = calc(
        "flight",
        &json!({"rise_m": 1.2, "run_m": 2.6, "tread_m": 0.48, "overlap_m": 0.15}),
    )
    .unwrap();
    assert_eq!(pieces["steps"], json!(8));
    assert!((pieces["going_m"].as_f64().unwrap() - 0.325).abs() < 1e-12);
    let steep = calc(
        "flight",
        &json!({"rise_m": 1.2, "steps": 4, "tread_m": 0.2}),
    )
    .unwrap();
    let what: Vec<&str> = steep["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| f["what"].as_str().unwrap())
        .collect();
    assert_eq!(what, ["riser", "going", "2R + T"]);
    let local = json!({"rise_m": 1.2, "steps": 4, "tread_m": 0.2, "limits": {
        "riser_max_mm": 300, "going_min_mm": 200, "two_r_plus_t_max_mm": 800}});
    assert_eq!(calc("flight", &local).unwrap()["findings"], json!([]));
}

#[test]
fn exact_tests_give_their_curve_back() {
    let models = [
        json!({"kind": "hyperbola", "su_mpa": 34.1, "k_per_d": 0.1525, "t0_d": 0.3}),
        json!({"kind": "en1992", "fcm_mpa": 28.0, "s": 0.25}),
        json!({"kind": "aci209", "f28_mpa": 28.0, "a": 5.6, "b": 0.8}),
        json!({"kind": "fhp", "su_mpa": 40.0, "tau_d": 2.0, "a": 0.7}),
    ];
    for model in models {
        let points: Vec<Value> = [12.0, 24.0, 48.0, 72.0, 168.0, 336.0, 672.0]
            .iter()
            .map(|h| {
                let s = calc("strength", &json!({"age_h": h, "model": model})).unwrap();
                json!({"age_h": h, "strength_mpa": s["strength_mpa"]})
            })
            .collect();
        let fit = calc("fit", &json!({"points": points, "model": model["kind"]})).unwrap();
        for (name, value) in fit["parameters"].as_object().unwrap() {
            let (ours, true_one) = (value.as_f64().unwrap(), model[name].as_f64().unwrap());
            assert!(
                (ours / true_one - 1.0).abs() < 1e-8,
                "{model} {name}: {ours}"
            );
        }
        assert!(fit["residual_sd_mpa"].as_f64().unwrap() < 1e-9);
    }
}

#[test]
fn tests_that_determine_no_curve_are_refused() {
    let flat: Vec<Value> = (1..7)
        .map(|d| json!({"age_h": d * 24, "strength_mpa": 20}))
        .collect();
    let falling: Vec<Value> = (1..7)
        .map(|d| json!({"age_h": d * 24, "strength_mpa": 30 - 4 * d}))
        .collect();
    for points in [flat, falling] {
        let said = calc("fit", &json!({"points": points, "model": "hyperbola"})).unwrap_err();
        assert_eq!(said.field, "points", "{said}");
    }
}

fn anything() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        (-50.0..150.0).prop_map(|x: f64| Value::from(x)),
        any::<i64>().prop_map(Value::from),
        "[a-z0-9_\\n\u{1b}]{0,12}".prop_map(Value::from),
        prop::sample::select(vec!["hyperbola", "en1992", "fluid", "ciria108", "layer"])
            .prop_map(Value::from),
    ];
    leaf.prop_recursive(3, 24, 6, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..6).prop_map(Value::from),
            prop::collection::btree_map("[a-z_]{1,8}", inner, 0..6)
                .prop_map(|m| Value::Object(m.into_iter().collect::<Map<String, Value>>())),
        ]
    })
}

/// Every place in a document, as a pointer.
fn places(v: &Value, at: String, all: &mut Vec<String>) {
    all.push(at.clone());
    match v {
        Value::Array(list) => {
            for (i, v) in list.iter().enumerate() {
                places(v, format!("{at}/{i}"), all);
            }
        }
        Value::Object(map) => {
            for (k, v) in map {
                places(v, format!("{at}/{k}"), all);
            }
        }
        _ => {}
    }
}

fn whole(topic: &str, input: &Value) -> Result<(), TestCaseError> {
    match calc(topic, input) {
        Ok(answer) => prop_assert!(
            topic == "pour" || !holds_null(&answer),
            "{topic} {input}: {answer}"
        ),
        Err(e) => {
            let said = e.to_string();
            prop_assert!(
                !said.chars().any(char::is_control) && said.contains("allowed"),
                "{said}"
            );
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn no_document_makes_it_panic(input in anything(), i in any::<prop::sample::Index>()) {
        whole(TOPICS[i.index(TOPICS.len())].name, &input)?;
    }

    #[test]
    fn no_change_of_an_example_makes_it_panic(
        value in anything(), topic in any::<prop::sample::Index>(), place in any::<prop::sample::Index>(),
    ) {
        let topic = TOPICS[topic.index(TOPICS.len())].name;
        let mut input = example(topic);
        let mut all = Vec::new();
        places(&input, String::new(), &mut all);
        let place = &all[place.index(all.len())];
        *input.pointer_mut(place).unwrap() = value;
        whole(topic, &input)?;
    }

    #[test]
    fn no_text_makes_it_panic(text in "\\PC{0,60}") {
        for t in TOPICS {
            prop_assert!(calc_text(t.name, &text).is_err());
        }
    }
}
