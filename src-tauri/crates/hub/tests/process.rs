//! The program itself, as a person starts it: its output, its exit status, Ctrl-C, and a
//! sudden end. What the hub answers over HTTP in detail is in `tests/hub`.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(unix)]

mod running;

use running::{Hub, event, log, slowstone, the_site};
use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Output, Stdio};

fn fed(args: &[&str], input: &[u8]) -> Output {
    let mut child = slowstone()
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // Whoever refuses without reading closes the pipe.
    let _ = child.stdin.take().unwrap().write_all(input);
    child.wait_with_output().unwrap()
}

/// Promise: "the hub without building anything"
#[test]
fn one_line_with_the_address_and_a_clean_end() {
    for signal in ["INT", "TERM"] {
        let dir = tempfile::tempdir().unwrap();
        let hub = Hub::start(dir.path(), &["--empty"]);
        assert!(hub.base.starts_with("http://127.0.0.1:"));
        log(&hub, json!([the_site()]));
        // A watcher that stays must not keep it from ending.
        let watching = ureq::get(format!("{}/api/watch", hub.base))
            .header("authorization", format!("Bearer {}", hub.token))
            .call()
            .unwrap();
        hub.signal(signal);
        let (code, rest) = hub.end();
        let words = "Slowstone has stopped. Everything that was logged is stored.\n";
        assert_eq!((code, rest.as_str()), (Some(0), words));
        drop(watching);
    }
}

#[test]
fn a_second_hub_is_told_about_the_first() {
    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &["--empty"]);
    let second = slowstone()
        .args(["hub", "--port", "0", "--data"])
        .arg(dir.path())
        .output()
        .unwrap();
    assert_eq!((second.status.code(), second.stdout.len()), (Some(3), 0));
    let said = String::from_utf8(second.stderr).unwrap();
    let which = dir.path().display().to_string();
    assert!(
        said.contains("already running") && said.contains(&which),
        "{said}"
    );
    assert_eq!(said.lines().count(), 1, "{said}");
    hub.signal("TERM");
    assert_eq!(hub.end().0, Some(0));
}

#[test]
fn a_taken_port_gives_way_to_a_free_one_and_is_said() {
    let taken = std::net::TcpListener::bind(("127.0.0.1", 0)).unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    let dir = tempfile::tempdir().unwrap();
    let mut child = slowstone()
        .args(["hub", "--empty", "--port", &port, "--data"])
        .arg(dir.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    let mut out = BufReader::new(child.stdout.take().unwrap());
    out.read_line(&mut line).unwrap();
    assert!(line.contains("http://127.0.0.1:"), "{line}");
    assert!(!line.contains(&format!(":{port}/")), "{line}");
    child.kill().unwrap();
    let said = child.wait_with_output().unwrap().stderr;
    let said = String::from_utf8_lossy(&said);
    assert!(said.contains(&format!("port {port} is taken")), "{said}");
}

#[test]
fn what_was_acknowledged_survives_a_kill() {
    const STEP: &[u8] = include_bytes!("../../../../demo-data/photos/step1-fresh.jpg");
    let dir = tempfile::tempdir().unwrap();
    let mut acknowledged = Vec::new();
    for round in 0..5u8 {
        let hub = Hub::start(dir.path(), &["--empty"]);
        if round == 0 {
            log(&hub, json!([the_site()]));
        }
        for id in &acknowledged {
            let known = hub.get(&format!("/api/sites/site-0001/history/{id}"));
            assert_eq!(known[0]["what"], "created", "{id}");
        }
        for i in 0..20 {
            let id = format!("read-{round}-{i:03}");
            let body = json!({ "at_ms": 1_791_021_600_000_i64, "air_c": 9.0 });
            log(&hub, json!([event(&id, "reading", body)]));
            acknowledged.push(id);
        }
        let id = format!("photo-{round:03}");
        let bytes = [STEP, &[round]].concat();
        let path = format!("/api/sites/site-0001/photos?by=Jonas&name=a.jpg&id={id}");
        let said = hub.post(&path, &bytes);
        hub.signal("KILL");
        let hash = said["photo"]["hash"].as_str().unwrap();
        let kept = dir.path().join("photos").join(&hash[..2]).join(&hash[2..]);
        assert_eq!(std::fs::read(kept).unwrap(), bytes);
        acknowledged.push(id);
        assert_eq!(hub.end().0, None, "ended by the signal");
    }
    let hub = Hub::start(dir.path(), &["--empty"]);
    assert_eq!(hub.get("/api/sites/site-0001")["events"], json!(1 + 5 * 21));
    hub.signal("TERM");
    hub.end();
}

#[test]
fn the_demonstration_site_stands_where_the_scenario_wants_it() {
    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &[]);
    let sites = hub.get("/api/sites");
    let site = hub.get(&format!("/api/sites/{}", sites[0]["id"].as_str().unwrap()));
    assert_eq!(site["problems"], json!([]));
    let steps = site["steps"].as_array().unwrap();
    let phase = |n: usize| steps[n - 1]["pour"]["phase"].as_str();
    assert!(
        matches!(phase(1), Some("curing" | "usable")),
        "{:?}",
        phase(1)
    );
    assert_eq!(phase(4), Some("curing"));
    assert_eq!(phase(5), Some("form_off"));
    assert_eq!([phase(6), phase(7), phase(8), phase(9)], [None; 4]);
    let patch = site["samples"][0]["phase"].as_str();
    assert!(
        matches!(patch, Some("fresh" | "texture_by_touch" | "texture")),
        "{patch:?}"
    );
    hub.signal("TERM");
    hub.end();
}

#[test]
fn without_a_command_it_says_what_there_is() {
    let said = slowstone().output().unwrap();
    assert_eq!(said.status.code(), Some(0));
    let text = String::from_utf8(said.stdout).unwrap();
    for word in ["hub", "calc", "photo-facts", "licensed engineer"] {
        assert!(text.contains(word), "{text}");
    }
    for bad in [
        "hub --port 70000",
        "hub --clock noon",
        "pour",
        "photo-facts",
    ] {
        let said = slowstone().args(bad.split(' ')).output().unwrap();
        assert_eq!(said.status.code(), Some(2), "{bad}");
    }
}

#[test]
fn photo_facts_answers_for_every_file() {
    let dir = tempfile::tempdir().unwrap();
    let list = dir.path().join("list.jpg");
    std::fs::write(&list, "two bags of cement\n").unwrap();
    let photo =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../demo-data/photos/step2-fresh.jpg");
    let said = slowstone()
        .arg("photo-facts")
        .arg(&photo)
        .arg(&list)
        .output()
        .unwrap();
    assert_eq!(said.status.code(), Some(0));
    let facts: Value = serde_json::from_slice(&said.stdout).unwrap();
    let one = &facts[0];
    assert_eq!([&one["width"], &one["height"]], [&json!(1200), &json!(900)]);
    assert_eq!(
        (&one["format"], &one["make"]),
        (&json!("jpeg"), &json!("Slowstone"))
    );
    assert_eq!(one["taken_local"], "2000-01-01T00:00:00");
    assert_eq!(
        (&one["offset_min"], &one["problems"]),
        (&json!(null), &json!([]))
    );
    assert_eq!(facts[1]["format"], json!(null));
    assert!(
        facts[1]["problems"][0]
            .as_str()
            .unwrap()
            .contains("a text file"),
        "{facts}"
    );
    let none = dir.path().join("none.jpg");
    let missing = slowstone().arg("photo-facts").arg(none).output().unwrap();
    assert_eq!(missing.status.code(), Some(0));
    let facts: Value = serde_json::from_slice(&missing.stdout).unwrap();
    assert!(
        facts[0]["problems"][0]
            .as_str()
            .unwrap()
            .contains("cannot be read"),
        "{facts}"
    );
}

#[test]
fn calc_answers_its_own_examples() {
    let list = fed(&["calc", "--list"], b"");
    assert_eq!(list.status.code(), Some(0));
    let list = String::from_utf8(list.stdout).unwrap();
    let topics: Vec<&str> = list
        .lines()
        .filter_map(|l| l.split_whitespace().next())
        .collect();
    // The topics of the calculation contract that the main job needs.
    for topic in [
        "maturity",
        "strength",
        "time-to-strength",
        "evaporation",
        "setting",
        "curing-days",
        "bags",
    ] {
        assert!(topics.contains(&topic), "{topic}: {list}");
    }
    for topic in topics {
        let example = fed(&["calc", topic, "--example"], b"");
        assert_eq!(example.status.code(), Some(0), "{topic}");
        let answer = fed(&["calc", topic], &example.stdout);
        let said = String::from_utf8_lossy(&answer.stderr);
        assert_eq!(answer.status.code(), Some(0), "{topic}: {said}");
        let answer: Value = serde_json::from_slice(&answer.stdout).unwrap();
        assert!(answer.is_object(), "{topic}");
        let help = fed(&["calc", topic, "--help"], b"");
        assert_eq!(help.status.code(), Some(0));
        assert!(help.stdout.len() > 100, "{topic}");
    }
}

#[test]
fn calc_refuses_in_one_line_and_prints_nothing() {
    let drying = ["calc", "evaporation"];
    let bad: [(&[&str], &[u8], &str); 8] = [
        (
            &drying,
            br#"{"concrete_c":20,"air_c":20,"rh_pct":140,"wind_km_h":10}"#,
            "rh_pct",
        ),
        (
            &drying,
            br#"{"concrete_c":20,"air_c":20,"wind_km_h":10}"#,
            "rh_pct",
        ),
        (
            &drying,
            br#"{"concrete_c":20,"air_c":20,"rh_pct":50,"wind_km_h":10,"sun":1}"#,
            "sun",
        ),
        (&drying, b"{", ""),
        (&drying, b"\xff\xfe", ""),
        (&drying, b"", ""),
        (&["calc", "gravity"], b"{}", "gravity"),
        (&["calc"], b"{}", "one of maturity"),
    ];
    for (args, input, word) in bad {
        let said = fed(args, input);
        let text = String::from_utf8(said.stderr).unwrap();
        assert_eq!(
            (said.status.code(), said.stdout.len()),
            (Some(2), 0),
            "{args:?} {text}"
        );
        assert_eq!(text.lines().count(), 1, "{text}");
        assert!(text.contains(word), "{text}");
    }
}
