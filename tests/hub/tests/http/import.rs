//! Files that are taken in: every line is accounted for, and what any door takes can be handed
//! over and taken in again.

use crate::client::{Hub, NOW, SITE, empty_dir, event};
use crate::monsters::{honest, monsters_of_this_run, streamed};
use proptest::prelude::*;
use serde_json::{Value, json};

/// The lines of a site as the hub hands it over.
fn handed_over(hub: &Hub) -> String {
    let said = hub.get(&format!("/api/sites/{SITE}/record.jsonl?gps=1"));
    assert_eq!(said.status, 200);
    String::from_utf8(said.bytes).unwrap()
}

/// Takes a file in at an empty hub; its answer.
fn taken_in(file: &str) -> Value {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    let said = hub.post("/api/import", file.as_bytes());
    assert_eq!(said.status, 200, "{}", said.json);
    hub.stop();
    said.json
}

fn told(said: &Value) -> Vec<(u64, String)> {
    let missing = said["missing"].as_array().unwrap().iter();
    missing
        .map(|m| {
            (
                m["line"].as_u64().unwrap(),
                m["code"].as_str().unwrap().to_owned(),
            )
        })
        .collect()
}

fn a_file() -> String {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.must(json!(honest()));
    let file = handed_over(&hub);
    hub.stop();
    file
}

/// Promise: "A file that is damaged or cut short is never called whole: what is missing is said by line and reason."
#[test]
fn every_damage_to_a_file_is_told_by_its_line_and_whole_is_never_said_of_it() {
    let file = a_file();
    let said = taken_in(&file);
    assert_eq!(
        (&said["whole"], told(&said)),
        (&json!(true), vec![]),
        "{said}"
    );
    let lines: Vec<&str> = file.lines().collect();
    let last = lines.len() - 1;
    let with = |change: &dyn Fn(&mut Vec<String>)| {
        let mut all: Vec<String> = lines.iter().map(|l| (*l).to_owned()).collect();
        change(&mut all);
        let said = taken_in(&(all.join("\n") + "\n"));
        assert_eq!(said["whole"], json!(false), "{said}");
        told(&said)
    };
    let has = |told: &[(u64, String)], line: u64, code: &str| {
        assert!(
            told.contains(&(line, code.to_owned())),
            "{line} {code}: {told:?}"
        );
    };
    // Half of a line in the middle is gone: its line, the count and the hash.
    let cut = with(&|all| {
        let half = all[5].len() / 2;
        all[5].truncate(half);
    });
    has(&cut, 6, "damaged");
    has(&cut, 0, "entries");
    has(&cut, 0, "hash");
    // A whole line is gone, or one too many is there.
    has(&with(&|all| drop(all.remove(7))), 0, "entries");
    let twice = with(&|all| all.insert(7, all[6].clone()));
    has(&twice, 0, "entries");
    // One letter was changed: the counts are right, the hash is not.
    let changed = with(&|all| all[3] = all[3].replacen("Tuva", "Tuvb", 1));
    assert_eq!(changed, [(0, "hash".to_owned())]);
    // The end is missing, or something stands behind it.
    assert_eq!(with(&|all| drop(all.pop())), [(0, "no_end".to_owned())]);
    has(
        &with(&|all| all.push(all[6].clone())),
        last as u64 + 2,
        "after_end",
    );
    has(
        &with(&|all| all.insert(4, r#"{"surprise":1}"#.to_owned())),
        5,
        "unknown",
    );
    has(&with(&|all| all.insert(4, "[1]".to_owned())), 5, "damaged");
    // Cut short in the middle of a line.
    let said = taken_in(&file[..file.len() / 2]);
    assert_eq!(said["whole"], json!(false));
    assert!(
        told(&said).iter().any(|(_, code)| code == "no_end"),
        "{said}"
    );
    assert!(
        told(&said)
            .iter()
            .any(|(line, code)| code == "damaged" && *line > 1),
        "{said}"
    );
}

#[test]
fn an_entry_that_is_refused_is_told_with_its_line_and_why() {
    let mut lines: Vec<String> = a_file().lines().map(str::to_owned).collect();
    let deep = (0..60).fold(json!(1), |inner, _| json!([inner]));
    let warm = event(
        "read-0099",
        "reading",
        json!({ "at_ms": NOW, "air_c": 99.0 }),
    );
    lines.insert(
        9,
        json!({ "event": event("new-00001", "rebound", json!({ "n": deep })) }).to_string(),
    );
    lines.insert(12, json!({ "event": warm }).to_string());
    let said = taken_in(&(lines.join("\n") + "\n"));
    let missing = said["missing"].as_array().unwrap();
    let of = |line: u64| {
        missing
            .iter()
            .find(|m| m["line"] == line && m["code"] == "refused")
            .unwrap()
    };
    assert_eq!(of(10)["name"], "new-00001");
    assert!(
        of(10)["text"].as_str().unwrap().contains("32 deep"),
        "{said}"
    );
    assert!(
        of(13)["text"].as_str().unwrap().contains("air_c = 99"),
        "{said}"
    );
}

/// A time outside the calendar is no reason to lose what an older version kept.
#[test]
fn an_old_entry_of_an_absurd_clock_comes_through() {
    let mut lines: Vec<String> = a_file().lines().map(str::to_owned).collect();
    let mut odd = event(
        "read-0099",
        "reading",
        json!({ "at_ms": NOW, "air_c": 9.0 }),
    );
    odd["at_ms"] = json!(i64::MAX);
    let end = lines.len() - 1;
    lines[end] = json!({ "end": { "events": end, "photos": 0 } }).to_string();
    lines.insert(end, json!({ "event": odd }).to_string());
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    let said = hub.post("/api/import", (lines.join("\n") + "\n").as_bytes());
    assert_eq!(
        (&said.json["whole"], told(&said.json)),
        (&json!(true), vec![]),
        "{}",
        said.json
    );
    assert_eq!(hub.site()["problems"][0]["code"], "clock_outside");
    assert!(handed_over(&hub).contains(&i64::MAX.to_string()));
    hub.stop();
}

/// Takes the file in at an empty hub and hands it over again: it must be the same.
fn there_and_back(file: &str) {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    let said = hub.post("/api/import", file.as_bytes());
    assert_eq!(said.status, 200, "{}", said.json);
    assert_eq!(
        (&said.json["whole"], told(&said.json)),
        (&json!(true), vec![]),
        "{}",
        said.json
    );
    assert_eq!(said.json["refused"], json!([]));
    assert!(
        handed_over(&hub) == file,
        "handed over again it is another file"
    );
    hub.stop();
}

#[test]
fn whatever_was_taken_at_the_edges_is_handed_over_and_taken_in_again() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.must(json!(honest()));
    let of_site: Vec<Value> = monsters_of_this_run()
        .into_iter()
        .filter(|e| e["site"] == SITE)
        .collect();
    let mut taken = 0;
    for part in of_site.chunks(1500) {
        taken += hub.log(json!(part)).json["taken"].as_array().unwrap().len();
    }
    assert!(taken > 40, "{taken}");
    let file = handed_over(&hub);
    hub.stop();
    there_and_back(&file);
}

/// Any JSON: nested, with every character, every number.
fn any_value() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<u64>().prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        any::<String>().prop_map(Value::from),
    ];
    leaf.prop_recursive(40, 200, 6, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..6).prop_map(Value::from),
            prop::collection::btree_map(any::<String>(), inner, 0..6)
                .prop_map(|m| Value::Object(m.into_iter().collect())),
        ]
    })
}

/// Deep or large bodies, around the limits of both.
fn any_body() -> impl Strategy<Value = Value> {
    let deep = (1_usize..60).prop_map(|n| {
        (0..n).fold(json!("x"), |inner, i| {
            if i % 2 == 0 {
                json!([inner])
            } else {
                json!({ "a": inner })
            }
        })
    });
    let large = (47_000_usize..50_000)
        .prop_map(|n| json!("ß\"\\".chars().cycle().take(n / 2).collect::<String>()));
    prop_oneof![4 => any_value(), 1 => deep, 1 => large].prop_map(|v| json!({ "n": v }))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, max_shrink_iters: 20, ..ProptestConfig::default() })]

    /// At any door: `POST /api/events`, a phone's stream, an import.
    #[test]
    fn what_is_taken_anywhere_survives_being_handed_over(bodies in prop::collection::vec((any_body(), 0_u8..2), 40)) {
        let dir = empty_dir();
        let hub = Hub::on(dir.path());
        hub.must(json!(honest()));
        let mut taken = 0;
        for (n, (body, door)) in bodies.into_iter().enumerate() {
            let entry = event(&format!("rebound-{n:04}"), "rebound", body);
            if door == 0 {
                let said = hub.log(json!([entry]));
                prop_assert!(matches!(said.status, 200 | 400 | 422), "{}", said.json);
                taken += usize::from(said.status == 200);
            } else {
                let said = hub.post_json("/api/streams", &streamed(n, &entry.to_string()));
                prop_assert_eq!(said.status, 200);
                taken += usize::from(said.json["accepted"] == json!(1));
            }
        }
        prop_assert!(taken > 0);
        let file = handed_over(&hub);
        hub.stop();
        there_and_back(&file);
    }
}
