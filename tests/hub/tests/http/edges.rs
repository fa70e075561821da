//! Whatever is sent, the hub answers with a reason and goes on; what it takes breaks no view,
//! no record and no calendar, and changes nothing that others logged.

use crate::client::{HOUR, Hub, NOW, SITE, empty_dir, event};
use crate::monsters::{honest, monsters_of_this_run, streamed};
use serde_json::{Value, json};
use slowstone_store::{OpenOptions, SqliteLog};
use std::collections::BTreeSet;

/// Every address under which something of a site is shown.
fn everything(hub: &Hub, site: &str) -> Vec<String> {
    let view = hub.get(&format!("/api/sites/{site}")).json;
    let at = format!("/api/sites/{site}");
    let mut all: Vec<String> = [
        "",
        "/plan",
        "/plan/list.csv",
        "/plan/schedule",
        "/plan/checks",
        "/events",
        "/colours",
        "/dose?additive=ochre-001&mix=mix-00001",
        "/handover",
        "/record.html?lang=de",
        "/record.pdf",
        "/record.csv.zip",
        "/record.jsonl",
        "/record.zip",
        "/photos.zip",
        "/best-hours/2026-10-03",
        "/plan/schedule?step=step-0002&at_ms=1791021600000",
        "/history/pour-0001",
    ]
    .map(|path| format!("{at}{path}"))
    .to_vec();
    for s in view["steps"].as_array().into_iter().flatten() {
        let own = s["pour"]["id"].as_str().into_iter();
        let others = s["others"].as_array().into_iter().flatten();
        // A few of them: all are reckoned for the list of the site already.
        for id in own.chain(others.filter_map(|c| c["id"].as_str())).take(3) {
            all.push(format!("{at}/pours/{id}"));
            all.push(format!("{at}/pours/{id}/advice"));
        }
    }
    for f in view["flights"].as_array().into_iter().flatten() {
        all.push(format!("{at}/plan/drawing/{}", f["id"].as_str().unwrap()));
    }
    all
}

/// Asks for everything; nothing may fail, and what must be there is.
fn shown(hub: &Hub, site: &str) {
    for path in everything(hub, site) {
        let said = hub.get(&path);
        assert!(said.status < 500, "{path}: {} {}", said.status, said.json);
        let may_lack =
            path.contains("/dose") || path.contains("/drawing/") || path.contains("best-hours");
        assert!(
            said.status == 200 || may_lack,
            "{path}: {} {}",
            said.status,
            said.json
        );
    }
    for path in [
        "/api/sites",
        "/api/search?q=a",
        "/api/search?kind=pour",
        "/api/settings/reminders",
        "/api/openapi.json",
    ] {
        assert_eq!(hub.get(path).status, 200, "{path}");
    }
}

/// What the honest entries of the site say, as views show it.
fn honest_words(hub: &Hub) -> Value {
    let pour = hub.pour("pour-0001");
    let view = hub.site();
    let by_id = |list: &str, id: &str| {
        let all = view[list].as_array().unwrap();
        all.iter().find(|r| r["id"] == id).cloned()
    };
    let steps = view["steps"].as_array().unwrap();
    let step = |id: &str| {
        steps
            .iter()
            .find(|s| s["step"]["id"] == id)
            .map(|s| s["step"].clone())
    };
    json!({
        "pour": pour["pour"], "site": view["site"], "steps": [step("step-0001"), step("step-0002")],
        "batch": pour["batches"].as_array().unwrap().iter().find(|b| b["id"] == "batch-001"),
        "mix": by_id("mixes", "mix-00001"), "form": by_id("forms", "form-0001"),
        "history": hub.get(&format!("/api/sites/{SITE}/history/pour-0001")).json,
    })
}

/// Promise: "One entry with an absurd time or value stands as a line under *More* with what to do about it, and never in the way of the others."
#[test]
fn every_field_of_every_kind_at_its_edges_is_answered_and_breaks_nothing() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.must(json!(honest()));
    let before = honest_words(&hub);
    let all = monsters_of_this_run();
    let (mut taken, mut refused) = (BTreeSet::new(), 0);
    for part in all.chunks(1500) {
        let said = hub.log(json!(part));
        assert!(
            matches!(said.status, 200 | 422),
            "{} {}",
            said.status,
            said.json
        );
        for no in said.json["refused"].as_array().unwrap() {
            assert!(!no["field"].as_str().unwrap().is_empty(), "{no}");
            assert!(!no["why"].as_str().unwrap().is_empty(), "{no}");
            refused += 1;
        }
        let ids = said.json["taken"].as_array().unwrap().iter();
        taken.extend(ids.map(|id| id.as_str().unwrap().to_owned()));
    }
    // Both answers were given often, or this tests nothing.
    assert!(
        taken.len() > 40 && refused > 400,
        "{} taken, {refused} refused",
        taken.len()
    );
    assert_eq!(honest_words(&hub), before);
    shown(&hub, SITE);
    // What was taken goes out to phones, all of it.
    let (mut out, mut after) = (BTreeSet::new(), 0);
    loop {
        let page = hub
            .get(&format!("/api/sites/{SITE}/events?after={after}"))
            .json;
        let ids = page["events"].as_array().unwrap().iter();
        out.extend(ids.map(|e| e["id"].as_str().unwrap().to_owned()));
        after = page["next"].as_u64().unwrap();
        if page["more"] != json!(true) {
            break;
        }
    }
    let of_site = |id: &&String| !all.iter().any(|e| e["id"] == **id && e["site"] != SITE);
    let lost: Vec<&String> = taken
        .iter()
        .filter(of_site)
        .filter(|id| !out.contains(*id))
        .collect();
    assert_eq!(lost, Vec::<&String>::new());
    hub.stop();
    // The same after a restart, from the log on the disk.
    let hub = Hub::on(dir.path());
    assert_eq!(honest_words(&hub), before);
    hub.stop();
}

#[test]
fn a_clock_outside_the_calendar_is_refused_with_the_years_that_there_are() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.must(json!(honest()));
    for odd in [
        i64::MAX,
        i64::MIN,
        i64::MAX - 1_000,
        1 << 53,
        7_258_118_400_000,
    ] {
        let mut entry = event(
            "read-0009",
            "reading",
            json!({ "at_ms": NOW, "air_c": 9.0 }),
        );
        entry["at_ms"] = json!(odd);
        let said = hub.log(json!([entry]));
        assert_eq!(said.status, 422, "{odd}");
        let no = &said.json["refused"][0];
        assert_eq!(
            (&no["field"], &no["reason"]["code"]),
            (&json!("at_ms"), &json!("out_of_range"))
        );
    }
    let tried = format!(
        "/api/sites/{SITE}/plan/schedule?step=step-0002&at_ms={}",
        i64::MAX
    );
    assert_eq!(hub.get(&tried).status, 422);
    assert_eq!(hub.site()["problems"], json!([]));
    hub.stop();
}

/// As it was with an older version, or comes from another hub on the same log.
#[test]
fn such_a_clock_in_an_old_log_is_a_problem_line_and_everything_else_works() {
    for odd in [i64::MAX, i64::MIN, -1_000_000_000_000_000] {
        let dir = empty_dir();
        let hub = Hub::on(dir.path());
        hub.must(json!(honest()));
        hub.stop();
        {
            let path = dir.path().join("log.sqlite");
            let epoch = slowstone_store::HubEpoch::new("anotherepoch0001").unwrap();
            let mut log = SqliteLog::open(&path, &OpenOptions::new(epoch)).unwrap();
            let stream = slowstone_store::StreamId::new("phoneold001", "epoch0001").unwrap();
            let mut chain = slowstone_sync::Chain::start(stream);
            let mut records = Vec::new();
            for (id, kind, body) in [
                (
                    "read-0009",
                    "reading",
                    json!({ "pour": "pour-0001", "at_ms": NOW - HOUR, "air_c": 9.0 }),
                ),
                (
                    "mark-0009",
                    "mark",
                    json!({ "pour": "pour-0001", "milestone": "texture", "what": "snoozed", "until_ms": odd }),
                ),
                ("flight-09", "flight", json!({ "name": "Second" })),
                ("arch-0009", "archive", json!({ "done": true })),
            ] {
                let mut entry = event(id, kind, body);
                entry["at_ms"] = json!(odd);
                records.push(chain.next(entry.to_string()).unwrap());
            }
            use slowstone_store::EventLog;
            log.append(&records, NOW).unwrap();
        }
        let hub = Hub::on(dir.path());
        shown(&hub, SITE);
        let sites = hub.get("/api/sites").json;
        assert_eq!(sites[0]["last_ms"], json!(NOW), "{sites}");
        let codes = |hub: &Hub| -> BTreeSet<(String, String)> {
            let view = hub.site();
            let problems = view["problems"].as_array().unwrap().iter();
            let text = |v: &Value| v.as_str().unwrap().to_owned();
            problems
                .map(|p| (text(&p["event"]), text(&p["code"])))
                .collect()
        };
        let line = |id: &str, code: &str| (id.to_owned(), code.to_owned());
        let wrong = [
            line("arch-0009", "clock_outside"),
            line("flight-09", "clock_outside"),
            line("mark-0009", "time_outside"),
            line("read-0009", "clock_outside"),
        ];
        assert_eq!(codes(&hub), BTreeSet::from(wrong), "{odd}");
        // Put right: one by saying when it was logged, others by taking them back.
        let logged =
            json!({ "target": "read-0009", "changes": {}, "seen": [], "logged_ms": NOW - HOUR });
        hub.must(json!([
            event("corr-0009", "correction", logged),
            event("back-0009", "retraction", json!({ "target": "mark-0009" })),
            event("back-0010", "retraction", json!({ "target": "flight-09" })),
            event("back-0011", "retraction", json!({ "target": "arch-0009" })),
        ]));
        assert_eq!(codes(&hub), BTreeSet::new());
        let read = hub.pour("pour-0001")["readings"].clone();
        let read = read
            .as_array()
            .unwrap()
            .iter()
            .find(|r| r["id"] == "read-0009")
            .unwrap()
            .clone();
        assert_eq!(read["at_ms"], json!(NOW - HOUR));
        hub.stop();
    }
}

#[test]
fn deep_nesting_is_refused_at_every_door_with_its_reason() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.must(json!(honest()));
    let nested = |levels: usize| {
        let list = format!("{}{}", "[".repeat(levels), "]".repeat(levels));
        format!(
            r#"{{"id":"new-{levels:05}","site":"{SITE}","by":"Tuva","at_ms":{NOW},"kind":"rebound","body":{{"n":{list}}}}}"#
        )
    };
    for levels in [33, 100, 124, 126, 200, 20_000] {
        let said = hub.post(
            "/api/events",
            format!("{{\"events\":[{}]}}", nested(levels)).as_bytes(),
        );
        assert!(
            matches!(said.status, 400 | 422),
            "{levels}: {}",
            said.status
        );
        let why = said.json.to_string();
        assert!(
            why.contains("deep") || why.contains("32 levels"),
            "{levels}: {why}"
        );
        let said = hub.post_json("/api/streams", &streamed(levels, &nested(levels)));
        assert_eq!(
            (said.status, &said.json["refused"]),
            (200, &json!(true)),
            "{levels}: {}",
            said.json
        );
        assert_eq!(
            said.json["why"]["reason"]["code"], "too_deep",
            "{levels}: {}",
            said.json
        );
    }
    let said = hub.post(
        "/api/events",
        format!("{{\"events\":[{}]}}", nested(32)).as_bytes(),
    );
    assert_eq!(said.status, 200, "{}", said.json);
    hub.stop();
}
