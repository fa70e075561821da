//! `slowstone calc` as a person or a script meets it: a process, its two streams and its
//! exit status. What the answers must be is in `tests/reference`; what is refused and how
//! in the crate `curing`. It lies here because Cargo says only here where the program is.

#![allow(clippy::unwrap_used)]

use serde_json::{Value, json};
use std::io::Write;
use std::process::{Command, Output, Stdio};

const TOPICS: [&str; 15] = [
    "pour",
    "maturity",
    "strength",
    "time-to-strength",
    "evaporation",
    "setting",
    "curing-days",
    "bags",
    "heat",
    "form-pressure",
    "lift",
    "flight",
    "fit",
    "colour",
    "colour-difference",
];

fn run(args: &[&str], input: &[u8]) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_slowstone"))
        .arg("calc")
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // It may have answered already and read nothing.
    child.stdin.take().unwrap().write_all(input).ok();
    child.wait_with_output().unwrap()
}

fn text(bytes: &[u8]) -> &str {
    std::str::from_utf8(bytes).unwrap()
}

/// Status 2, nothing on standard output, one line on standard error; the line.
fn refused(args: &[&str], input: &[u8]) -> String {
    let out = run(args, input);
    let said = text(&out.stderr).to_owned();
    assert_eq!(out.status.code(), Some(2), "{args:?}: {said}");
    assert_eq!(text(&out.stdout), "", "{args:?}");
    assert!(
        said.ends_with('\n') && said.lines().count() == 1,
        "{said:?}"
    );
    said
}

fn answered(args: &[&str], input: &str) -> String {
    let out = run(args, input.as_bytes());
    assert_eq!(
        out.status.code(),
        Some(0),
        "{args:?}: {}",
        text(&out.stderr)
    );
    assert_eq!(text(&out.stderr), "", "{args:?}");
    text(&out.stdout).to_owned()
}

/// Promise: "what it can reckon; --help and --example to each"
#[test]
fn the_list_names_the_topics_with_a_line_each() {
    let list = answered(&["--list"], "");
    let names: Vec<&str> = list.lines().filter_map(|l| l.split(' ').next()).collect();
    for topic in TOPICS {
        assert!(names.contains(&topic), "{topic} is missing in {list}");
    }
    assert!(
        list.lines().all(|l| l.split_whitespace().count() > 2),
        "{list}"
    );
}

/// Promise: "slowstone calc evaporation"
#[test]
fn every_topic_explains_itself_and_answers_its_own_example() {
    for topic in TOPICS {
        for flag in ["--help", "-h"] {
            let help = answered(&[topic, flag], "");
            for part in ["Input", "Output", "Source", "Example"] {
                assert!(help.contains(part), "{topic}: {help}");
            }
        }
        let example = answered(&[topic, "--example"], "");
        let answer: Value = serde_json::from_str(&answered(&[topic], &example)).unwrap();
        assert!(
            answer.as_object().is_some_and(|a| !a.is_empty()),
            "{topic}: {answer}"
        );
    }
    let general = answered(&["--help"], "");
    assert!(TOPICS.iter().all(|t| general.contains(t)), "{general}");
}

#[test]
fn numbers_come_unrounded() {
    let answer: Value = serde_json::from_str(&answered(
        &["form-pressure"],
        r#"{"rule": "fluid", "density_kg_m3": 2400, "height_m": 0.18}"#,
    ))
    .unwrap();
    // 2400 kg/m³ of 0.18 m by 9.81 m/s².
    assert_eq!(
        answer,
        json!({"governs": "fluid", "pressure_kpa": 2400.0 * 9.81 * 0.18 / 1000.0})
    );
}

#[test]
fn what_cannot_be_exits_with_2_and_one_line() {
    let cases: [(&[&str], &[u8], &str); 14] = [
        (&[], b"{}", "topic: missing; allowed: one of maturity"),
        (&["magic"], b"{}", "topic: magic; allowed: one of maturity"),
        (&["magic", "--help"], b"", "topic: magic"),
        (&["bags"], b"", "input: "),
        (&["bags"], b"not json", "input: "),
        (&["bags"], b"[]", "input: []; allowed: a JSON object"),
        (
            &["bags"],
            b"{\"volume_l\": NaN, \"bag\": {\"mass_kg\": 30}}",
            "input: ",
        ),
        (
            &["bags"],
            b"{\"volume_l\": 1e999, \"bag\": {\"mass_kg\": 30}}",
            "input: ",
        ),
        (
            &["bags"],
            b"{\"volume_l\": -1, \"bag\": {\"mass_kg\": 30}}",
            "volume_l: -1",
        ),
        (&["bags"], b"\xff\xfe{}", "input: "),
        (&["bags"], b"{} {}", "input: "),
        (
            &["evaporation"],
            b"{\"concrete_c\": 20, \"air_c\": 20, \"rh_pct\": 140, \"wind_km_h\": 5}",
            "rh_pct: 140; allowed: a number from 0 to 100",
        ),
        (
            &["maturity"],
            b"{\"history\": [{\"hours\": -1, \"temp_c\": 20}]}",
            "history[0].hours: -1",
        ),
        (&["heat"], b"{\"parameters\": {}}", "L_m: missing"),
    ];
    for (args, input, said) in cases {
        let line = refused(args, input);
        assert!(line.starts_with("slowstone: "), "{line}");
        assert!(line.contains(said), "{args:?}: {line}");
    }
}

#[test]
fn a_flood_is_refused_and_not_kept() {
    let flood = vec![b' '; 17 << 20];
    assert!(refused(&["bags"], &flood).contains("longer than 16 MB"));
}
