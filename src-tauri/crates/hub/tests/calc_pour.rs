//! `slowstone calc pour` as a script meets it: a process, its streams, its exit status. What
//! the times must be is in `tests/reference` and `curing/tests`; here the names of fields,
//! what may be missing, what is refused, and many lines at once.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use serde_json::{Value, json};
use std::io::Write;
use std::process::{Command, Output, Stdio};

/// 10 June 2026, 07:00 UTC.
const START: i64 = 1_781_074_800_000;
const HOUR: i64 = 3_600_000;

fn run(args: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_slowstone"))
        .args(["calc", "pour"])
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let input = input.to_owned();
    let writer = std::thread::spawn(move || stdin.write_all(input.as_bytes()).ok());
    let out = child.wait_with_output().unwrap();
    writer.join().unwrap();
    out
}

fn answer(input: &Value) -> Value {
    let out = run(&[], &input.to_string());
    let why = String::from_utf8(out.stderr).unwrap();
    assert_eq!(out.status.code(), Some(0), "{input}: {why}");
    serde_json::from_slice(&out.stdout).unwrap()
}

fn refusal(input: &Value) -> String {
    let out = run(&[], &input.to_string());
    let why = String::from_utf8(out.stderr).unwrap();
    assert_eq!(out.status.code(), Some(2), "{input}: {why}");
    assert!(out.stdout.is_empty(), "{input}");
    assert_eq!(why.lines().count(), 1, "{why}");
    why
}

fn mild() -> Value {
    json!({
        "started_ms": START,
        "days": [{"date": "2026-06-10", "min_c": 12, "max_c": 20}],
    })
}

fn with(field: &str, value: Value) -> Value {
    let mut input = mild();
    input[field] = value;
    input
}

fn milestone<'a>(answer: &'a Value, kind: &str) -> &'a Value {
    let all = answer["milestones"].as_array().unwrap();
    all.iter().find(|m| m["kind"] == kind).unwrap()
}

fn kinds(answer: &Value, list: &str) -> Vec<String> {
    let all = answer["answer"][list].as_array().unwrap();
    all.iter().map(|k| k.as_str().unwrap().to_owned()).collect()
}

/// Promise: "slowstone calc pour < pour.json"
#[test]
fn the_output_has_the_names_of_the_contract() {
    let found = answer(&mild());
    for field in [
        "milestones",
        "answer",
        "strength_now_mpa",
        "look_next",
        "odd",
        "missing",
        "reasons",
    ] {
        assert!(found.get(field).is_some(), "{field}: {found}");
    }
    let named: Vec<&str> = found["milestones"]
        .as_array()
        .unwrap()
        .iter()
        .map(|m| m["kind"].as_str().unwrap())
        .collect();
    for kind in [
        "sheen_gone",
        "texture",
        "initial_set",
        "final_set",
        "form_off",
        "dress",
        "next_step",
        "foot",
        "full_use",
        "curing_ends",
        "seal",
    ] {
        assert!(named.contains(&kind), "{kind}");
    }
    for m in found["milestones"].as_array().unwrap() {
        let times = ["early_ms", "likely_ms", "safe_ms"].map(|f| m[f].as_i64());
        assert!(times.iter().flatten().is_sorted(), "{m}");
        for field in ["closes_early_ms", "closes_likely_ms", "governs", "seen_ms"] {
            assert!(m.get(field).is_some(), "{field}: {m}");
        }
    }
    assert!(milestone(&found, "texture")["closes_likely_ms"].is_i64());
    assert!(milestone(&found, "foot")["closes_likely_ms"].is_null());
    assert_eq!(milestone(&found, "foot")["governs"], "strength");
    assert!(kinds(&found, "now").is_empty());
    assert!(kinds(&found, "not_yet").contains(&"form_off".to_owned()));
    assert_eq!(found["answer"]["state"], "fresh");
    assert_eq!(found["answer"]["next"], "sheen_gone");
    assert_eq!(
        found["strength_now_mpa"],
        json!({"cautious": 0.0, "likely": 0.0})
    );
    for part in ["place", "air", "sky"] {
        assert!(found["reasons"][part].is_string(), "{found}");
    }
    let missing = &found["missing"];
    for field in ["place", "piece", "mix", "dose.water_l_per_bag"] {
        assert!(
            missing.as_array().unwrap().contains(&json!(field)),
            "{missing}"
        );
    }
}

#[test]
fn the_start_alone_is_a_question_and_air_is_asked_for() {
    let found = answer(&json!({"started_ms": START}));
    assert!(found["missing"].as_array().unwrap().contains(&json!("air")));
    assert!(milestone(&found, "form_off")["safe_ms"].is_null());
    assert_eq!(found["reasons"]["air"], "none");
    assert_eq!(found["answer"]["state"], "unknown");
    assert!(found["answer"]["next"].is_null());
    assert!(found["strength_now_mpa"]["cautious"].is_null());
}

#[test]
fn null_means_unknown_everywhere() {
    let example = run(&["--example"], "");
    let whole: Value = serde_json::from_slice(&example.stdout).unwrap();
    for field in whole
        .as_object()
        .unwrap()
        .keys()
        .filter(|k| *k != "started_ms")
    {
        let mut input = whole.clone();
        input[field] = Value::Null;
        answer(&input);
        // And inside of it.
        if let Some(parts) = whole[field].as_object() {
            for part in parts.keys().filter(|_| field != "place") {
                let mut input = whole.clone();
                input[field][part] = Value::Null;
                answer(&input);
            }
        }
    }
}

#[test]
fn what_was_seen_is_answered_and_moves_the_times() {
    let before = answer(&mild());
    let seen = with(
        "observed",
        json!([{"at_ms": START + 10 * HOUR, "what": "thumb_6mm", "confirmed": true}]),
    );
    let after = answer(&seen);
    assert_eq!(
        milestone(&after, "initial_set")["seen_ms"],
        START + 10 * HOUR
    );
    let safe = |found: &Value| milestone(found, "form_off")["safe_ms"].as_i64().unwrap();
    assert!(safe(&after) > safe(&before));
    // And what was learned from an earlier pour of the mix moves the next.
    let mut next = mild();
    next["earlier"] = json!([seen]);
    assert!(safe(&answer(&next)) > safe(&before));
}

#[test]
fn what_was_done_is_nowhere_due() {
    let mut input = mild();
    input["now_ms"] = json!(START + 90 * HOUR);
    input["observed"] = json!([
        {"at_ms": START + 5 * HOUR, "what": "textured"},
        {"at_ms": START + 60 * HOUR, "what": "dressed_hard"},
    ]);
    let found = answer(&input);
    for list in ["now", "by_touch", "not_yet"] {
        for done in ["texture", "dress", "form_off"] {
            assert!(
                !kinds(&found, list).contains(&done.to_owned()),
                "{list}: {found}"
            );
        }
    }
    assert!(kinds(&found, "done").contains(&"form_off".to_owned()));
}

#[test]
fn what_cannot_be_is_refused_by_field_value_and_range() {
    let cases = [
        (json!({}), "started_ms: missing"),
        (
            json!({"started_ms": START / 1000}),
            "started_ms: 1781074800",
        ),
        (with("colour", json!(1)), "colour: unknown field"),
        (with("finished_ms", json!(START - HOUR)), "finished_ms"),
        (with("place", json!({"lat": 91, "lon": 0})), "place.lat: 91"),
        (with("place", json!({"lat": 50})), "place.lon: missing"),
        (
            with("piece", json!({"thickness_mm": 0.17})),
            "piece.thickness_mm: 0.17",
        ),
        (with("piece", json!({"base": "sand"})), "piece.base: sand"),
        (
            with("mix", json!({"class_28d_mpa": 4000})),
            "mix.class_28d_mpa: 4000",
        ),
        (
            with("mix", json!({"class_28d_mpa": 20, "class_7d_mpa": 25})),
            "mix.class_7d_mpa: 25",
        ),
        (
            with("mix", json!({"water_l_per_bag": [3.0, 2.0]})),
            "mix.water_l_per_bag: [3.0,2.0]",
        ),
        (
            with("dose", json!({"retarder": "yes"})),
            "dose.retarder: \"yes\"",
        ),
        (
            with("form", json!({"material": "gold"})),
            "form.material: gold",
        ),
        (with("surface", json!("brushed")), "surface: brushed"),
        (
            with(
                "air",
                json!([{"at_ms": START, "temp_c": 20, "rh_pct": 140}]),
            ),
            "air[0].rh_pct: 140; allowed: a number from 0 to 100",
        ),
        (
            with("air", json!([{"temp_c": 20}])),
            "air[0].at_ms: missing",
        ),
        (
            with("air", json!([{"at_ms": START, "temp_f": 70}])),
            "air[0].temp_f: unknown field",
        ),
        (
            with(
                "days",
                json!([{"date": "2026-02-30", "min_c": 1, "max_c": 2}]),
            ),
            "days[0].date: 2026-02-30",
        ),
        (
            with(
                "days",
                json!([{"date": "2026-06-10", "min_c": 20, "max_c": 12}]),
            ),
            "days[0].max_c: 12",
        ),
        (
            with("observed", json!([{"at_ms": START, "what": "exploded"}])),
            "observed[0].what: exploded",
        ),
        (
            with("strength_tests", json!([{"at_ms": START, "mpa": -1}])),
            "strength_tests[0].mpa: -1",
        ),
        (
            with("earlier", json!([{"finished_ms": START}])),
            "earlier[0].started_ms: missing",
        ),
    ];
    for (input, said) in cases {
        let line = refusal(&input);
        assert!(
            line.contains(said) && line.contains("allowed: "),
            "{said}: {line}"
        );
    }
}

/// A date is a local one: the same day with a clock ten hours ahead begins ten hours earlier.
#[test]
fn dates_are_those_of_the_site() {
    let mut input = json!({
        "started_ms": START,
        "utc_offset_min": 600,
        "days": [
            {"date": "2026-06-10", "min_c": 5, "max_c": 6},
            {"date": "2026-06-11", "min_c": 25, "max_c": 35},
        ],
    });
    let safe = |input: &Value| {
        let found = answer(input);
        milestone(&found, "form_off")["safe_ms"].as_i64().unwrap()
    };
    let ahead = safe(&input);
    input["utc_offset_min"] = json!(0);
    assert!(ahead < safe(&input), "the warm day comes sooner");
}

/// Promise: "slowstone calc pour --lines"
#[test]
fn many_lines_are_answered_in_their_order() {
    let line = |n: i64| {
        let mut input = mild();
        input["started_ms"] = json!(START + n * HOUR);
        input["now_ms"] = json!(START + (n + 20) * HOUR);
        input
    };
    let mut text = String::new();
    for n in 0..12 {
        text += &format!("{}\n", line(n));
        if n % 5 == 0 {
            text.push('\n');
        }
    }
    let out = run(&["--lines"], &text);
    assert_eq!(out.status.code(), Some(0), "{out:?}");
    let answers: Vec<Value> = String::from_utf8(out.stdout)
        .unwrap()
        .lines()
        .map(|l| serde_json::from_str(l).unwrap())
        .collect();
    assert_eq!(answers.len(), 12);
    for (n, found) in (0..).zip(&answers) {
        assert_eq!(*found, answer(&line(n)), "line {n}");
    }
}

#[test]
fn a_bad_line_spoils_no_other() {
    let good = mild().to_string();
    let text = format!("{good}\nnot json\n{{\"started_ms\": 1}}\n{good}");
    let out = run(&["--lines"], &text);
    assert_eq!(out.status.code(), Some(2));
    let lines: Vec<Value> = String::from_utf8(out.stdout)
        .unwrap()
        .lines()
        .map(|l| serde_json::from_str(l).unwrap())
        .collect();
    assert_eq!(lines.len(), 4);
    assert_eq!(lines[0], lines[3]);
    assert!(lines[0].get("error").is_none());
    assert_eq!(lines[1]["error"]["line"], 2);
    assert_eq!(lines[2]["error"]["field"], "started_ms");
    assert_eq!(lines[2]["error"]["line"], 3);
    let said = String::from_utf8(out.stderr).unwrap();
    assert!(said.contains("2 of 4 lines were refused"), "{said}");
}

#[test]
fn the_help_says_what_a_bad_line_does() {
    let help = run(&["--help"], "");
    let help = String::from_utf8(help.stdout).unwrap();
    assert!(
        help.contains("--lines") && help.contains("{\"error\": {line, field"),
        "{help}"
    );
}
