//! Who may change what others wrote, and under whose name: a hub in a process of its own, real
//! paired phones of each role, and every way in (entries, streams, saved copies).

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(unix)]

mod phone;
mod running;

use phone::{Answer, Phone};
use running::{Hub, event, log, the_site};
use serde_json::{Value, json};
use slowstone_sync::{Outbox, StreamId};
use std::path::Path;

fn a_hub(dir: &Path) -> Hub {
    let hub = Hub::start(dir, &["--empty", "--lan", "127.0.0.1:0"]);
    log(&hub, json!([the_site()]));
    hub
}

fn by(name: &str, mut entry: Value) -> Value {
    entry["by"] = json!(name);
    entry
}

fn send(phone: &Phone, entries: &[Value]) -> Answer {
    phone.post("/api/events", &json!({ "events": entries }))
}

/// Sends entries in a stream of the phone's own.
fn stream(phone: &Phone, epoch: &str, entries: &[Value]) -> Value {
    let device = phone.get("/api/hub").json["device"]
        .as_str()
        .unwrap()
        .to_owned();
    let mut outbox = Outbox::new(StreamId::new(&device, epoch).unwrap());
    for entry in entries {
        outbox.write(entry.to_string()).unwrap();
    }
    let batch = serde_json::to_value(outbox.batch(100).unwrap()).unwrap();
    let said = phone.post("/api/streams", &batch);
    assert_eq!(said.status, 200, "{}", said.json);
    said.json
}

fn saved_copy(entries: &[Value]) -> String {
    let mut lines = vec![json!({"slowstone": "copy", "form": 1})];
    lines.extend(entries.iter().map(|e| json!({ "event": e })));
    lines.push(json!({"end": {"events": entries.len(), "photos": 0}}));
    lines.iter().map(|l| format!("{l}\n")).collect()
}

fn touch(id: &str, kind: &str, target: &str) -> Value {
    let body = match kind {
        "retraction" => json!({ "target": target }),
        _ => json!({ "target": target, "changes": { "done": false }, "seen": [] }),
    };
    event(id, kind, body)
}

fn archived(hub: &Hub) -> Vec<bool> {
    let sites = hub.get("/api/sites");
    sites
        .as_array()
        .unwrap()
        .iter()
        .map(|s| s["archived"] == json!(true))
        .collect()
}

#[test]
fn a_helper_touches_nothing_that_only_a_keeper_may_write() {
    let dir = tempfile::tempdir().unwrap();
    let hub = a_hub(dir.path());
    let keeper = Phone::paired(&hub, dir.path(), "Kari", "keeper");
    let helper = Phone::paired(&hub, dir.path(), "Hanne", "helper");
    let away = event("away-0001", "archive", json!({ "done": true }));
    assert_eq!(send(&keeper, &[away]).status, 200);
    // A retraction of the keeper, and one of that: all of it hangs on the archive.
    assert_eq!(
        send(&keeper, &[touch("back-0001", "retraction", "away-0001")]).status,
        200
    );
    assert_eq!(
        send(&keeper, &[touch("back-0002", "retraction", "back-0001")]).status,
        200
    );
    assert_eq!(archived(&hub), [true]);
    let mut n = 0;
    for (kind, target) in [
        ("retraction", "away-0001"),
        ("correction", "away-0001"),
        ("retraction", "back-0001"),
        ("retraction", "back-0002"),
        ("retraction", "site-0001"),
    ] {
        n += 1;
        let entry = touch(&format!("touch-{n:04}"), kind, target);
        let said = send(&helper, std::slice::from_ref(&entry));
        assert_eq!(
            (said.status, &said.json["error"]["code"]),
            (403, &json!("role")),
            "{kind} {target}"
        );
        let said = stream(&helper, &format!("epoch{n}"), std::slice::from_ref(&entry));
        assert_eq!(
            (&said["accepted"], &said["refused"]),
            (&json!(0), &json!(true)),
            "{said}"
        );
        assert_eq!(said["why"]["reason"]["code"], "keeper_only", "{said}");
        // A chain within one batch is followed as well.
        let two = [
            touch(&format!("chain-{n:03}a"), kind, target),
            touch(
                &format!("chain-{n:03}b"),
                "retraction",
                &format!("chain-{n:03}a"),
            ),
        ];
        let said = stream(&helper, &format!("chain{n}"), &two);
        assert_eq!(said["accepted"], json!(0), "{said}");
        let said = helper.ask("POST", "/api/import", &[], saved_copy(&[entry]).as_bytes());
        assert_eq!(
            (said.status, &said.json["error"]["code"]),
            (403, &json!("role")),
            "{}",
            said.json
        );
        assert_eq!(archived(&hub), [true], "{kind} {target}");
    }
    // What others logged of the work, a helper corrects; and a site's name, with a way back.
    let name = json!({ "target": "site-0001", "changes": { "name": "Landing 2" }, "seen": [] });
    assert_eq!(
        send(&helper, &[event("named-0001", "correction", name)]).status,
        200
    );
    assert_eq!(
        send(&helper, &[touch("back-0003", "retraction", "named-0001")]).status,
        200
    );
    assert_eq!(
        send(&keeper, &[touch("back-0004", "retraction", "site-0001")]).status,
        200
    );
    assert_eq!(archived(&hub), Vec::<bool>::new());
    hub.stop();
}

#[test]
fn what_comes_before_the_entry_that_it_touches_is_judged_when_that_comes() {
    let dir = tempfile::tempdir().unwrap();
    let hub = a_hub(dir.path());
    let keeper = Phone::paired(&hub, dir.path(), "Kari", "keeper");
    let helper = Phone::paired(&hub, dir.path(), "Hanne", "helper");
    let early = [
        touch("early-0001", "retraction", "away-0001"),
        touch("early-0002", "retraction", "early-0003"),
    ];
    assert_eq!(send(&helper, &early[..1]).status, 200);
    assert_eq!(stream(&helper, "early", &early[1..])["accepted"], json!(1));
    assert_eq!(
        send(&helper, &[touch("early-0004", "retraction", "reading-01")]).status,
        200
    );
    let away = event("away-0001", "archive", json!({ "done": true }));
    assert_eq!(send(&keeper, &[away]).status, 200);
    assert_eq!(archived(&hub), [true]);
    // Said in the log, where all see it.
    let history = hub.get("/api/sites/site-0001/history/away-0001");
    let back: Vec<&Value> = history
        .as_array()
        .unwrap()
        .iter()
        .filter(|c| c["by"] == "Slowstone")
        .collect();
    assert_eq!(
        (back.len(), &back[0]["what"]),
        (1, &json!("restored")),
        "{history}"
    );
    // A helper does not take that back; what they may touch stays touched.
    let id = back[0]["event"].as_str().unwrap();
    assert_eq!(
        send(&helper, &[touch("again-0001", "retraction", id)]).status,
        403
    );
    log(
        &hub,
        json!([event(
            "reading-01",
            "reading",
            json!({"at_ms": 1_791_021_600_000_i64, "air_c": 9})
        )]),
    );
    assert_eq!(hub.get("/api/sites/site-0001")["weather"], json!([]));
    hub.stop();
}

#[test]
fn another_name_is_shown_as_entered_by_the_person_of_the_device() {
    let dir = tempfile::tempdir().unwrap();
    let hub = a_hub(dir.path());
    let helper = Phone::paired(&hub, dir.path(), "Hanne\u{2019}s phone", "helper");
    let reading = |id: &str, name: &str| {
        by(
            name,
            event(
                id,
                "reading",
                json!({"at_ms": 1_791_021_600_000_i64, "air_c": 9}),
            ),
        )
    };
    assert_eq!(
        send(
            &helper,
            &[
                reading("reading-01", "Hanne"),
                reading("reading-02", "Kari")
            ]
        )
        .status,
        200
    );
    assert_eq!(
        stream(
            &helper,
            "one",
            &[
                reading("reading-03", "Hanne"),
                reading("reading-04", "Kari")
            ]
        )["accepted"],
        json!(2)
    );
    let made = |id: &str| hub.get(&format!("/api/sites/site-0001/history/{id}"))[0].clone();
    for (id, name, entered_by) in [
        ("reading-01", "Hanne", json!(null)),
        ("reading-02", "Kari", json!("Hanne")),
        ("reading-03", "Hanne", json!(null)),
        ("reading-04", "Kari", json!("Hanne")),
    ] {
        assert_eq!(
            (&made(id)["by"], &made(id)["entered_by"]),
            (&json!(name), &entered_by),
            "{id}"
        );
    }
    // Corrections, photos and a saved copy alike; the same again changes nothing.
    let change = json!({"target": "reading-01", "changes": {"air_c": 8}, "seen": []});
    assert_eq!(
        send(
            &helper,
            &[by("Kari", event("change-001", "correction", change))]
        )
        .status,
        200
    );
    assert_eq!(
        hub.get("/api/sites/site-0001/history/reading-01")[1]["entered_by"],
        "Hanne"
    );
    let picture = running::PICTURE;
    let sent = helper.ask(
        "POST",
        "/api/sites/site-0001/photos?by=Kari&name=a.jpg&id=photo-0001",
        &[],
        picture,
    );
    assert_eq!(sent.status, 200, "{}", sent.json);
    assert_eq!(made("photo-0001")["entered_by"], "Hanne");
    let copy = saved_copy(&[reading("reading-05", "Ole")]);
    for _ in 0..2 {
        assert_eq!(
            helper
                .ask("POST", "/api/import", &[], copy.as_bytes())
                .status,
            200
        );
        assert_eq!(made("reading-05")["entered_by"], "Hanne");
    }
    let site = hub.get("/api/sites/site-0001");
    assert_eq!(site["loose_photos"][0]["entered_by"], "Hanne", "{site}");
    // It goes along with a copy of the site, and on into the tables.
    let lines = hub.get("/api/sites/site-0001/events");
    let notes = lines["events"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|e| e["kind"] == "entered");
    assert_eq!(notes.count(), 5);
    // Notes are the hub's: a helper neither writes one nor takes one back.
    let forged = event(
        "forged-001",
        "entered",
        json!({"entry": "reading-01", "person": "Kari"}),
    );
    assert_eq!(send(&helper, &[forged]).status, 403);
    let note = lines["events"]
        .as_array()
        .unwrap()
        .iter()
        .find(|e| e["kind"] == "entered")
        .unwrap()["id"]
        .as_str()
        .unwrap()
        .to_owned();
    assert_eq!(
        send(&helper, &[touch("touch-0001", "retraction", &note)]).status,
        403
    );
    // Whoever runs this computer enters for whom they like, as before.
    assert_eq!(made("site-0001")["entered_by"], json!(null));
    hub.stop();
}

#[test]
fn nobody_becomes_another_person_by_entering_first_under_their_name() {
    let dir = tempfile::tempdir().unwrap();
    let hub = a_hub(dir.path());
    let helper = Phone::paired(&hub, dir.path(), "Hanne\u{2019}s phone", "helper");
    let reading = event(
        "reading-01",
        "reading",
        json!({"at_ms": 1_791_021_600_000_i64, "air_c": 9}),
    );
    // "Jonas" has entered the site.
    assert_eq!(send(&helper, &[reading]).status, 200);
    let history = hub.get("/api/sites/site-0001/history/reading-01");
    assert_eq!(
        history[0]["entered_by"], "Hanne\u{2019}s phone",
        "{history}"
    );
    // The keeper sees under whose name a device enters, and says who it is.
    let devices = hub.get("/api/devices");
    let device = devices
        .as_array()
        .unwrap()
        .iter()
        .find(|d| d["via"] == "lan")
        .unwrap();
    assert_eq!(device["person"], "Hanne\u{2019}s phone");
    let keeper = Phone::paired(&hub, dir.path(), "Kari", "keeper");
    let path = format!("/api/devices/{}", device["id"].as_str().unwrap());
    let set = keeper.ask("PUT", &path, &[], br#"{"person":"Hanne"}"#);
    assert_eq!(set.status, 200, "{}", set.json);
    let later = by(
        "Hanne",
        event(
            "reading-02",
            "reading",
            json!({"at_ms": 1_791_021_600_000_i64, "air_c": 9}),
        ),
    );
    assert_eq!(send(&helper, &[later]).status, 200);
    assert_eq!(
        hub.get("/api/sites/site-0001/history/reading-02")[0]["entered_by"],
        json!(null)
    );
    hub.stop();
}
