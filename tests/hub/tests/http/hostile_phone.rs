//! A paired phone that sends whatever it likes through its own stream: what others logged
//! stays, visible and unchanged, and everybody else goes on working.

use crate::client::{HOUR, Hub, NOW, SITE, empty_dir, event};
use crate::monsters::{honest, monsters_of_this_run};
use serde_json::{Value, json};
use slowstone_curing::units::AtMs;
use slowstone_hub::api::streams::take;
use slowstone_hub::ledger::Ledger;
use slowstone_hub::trust::{Door, Role, Who};
use slowstone_sync::{Outbox, StreamId};

/// A helper's phone that was paired under this name.
fn paired() -> Who {
    Who {
        device: "phonehostile".to_owned(),
        name: "Mallory's phone".to_owned(),
        role: Role::Helper,
        via: Door::Lan,
    }
}

/// Clocks that a phone may claim.
const CLOCKS: [i64; 6] = [i64::MAX, i64::MIN, 0, -1, 1 << 53, NOW + 100_000 * HOUR];

/// Everything at the edges, in the phone's stream; the record that is refused ends a batch,
/// and the phone goes on behind it in a new epoch, as the app does. How many were taken.
fn send_all(ledger: &mut Ledger, entries: &[Value]) -> (usize, usize) {
    let who = paired();
    let mut epoch = ledger.heads_of(&who.device).unwrap().len();
    let mut fresh = || {
        epoch += 1;
        StreamId::new("phonehostile", &format!("epoch{epoch}")).unwrap()
    };
    let (mut taken, mut refused) = (0, 0);
    for (n, part) in entries.chunks(10).enumerate() {
        let mut phone = Outbox::new(fresh());
        for (m, entry) in part.iter().enumerate() {
            let mut entry = entry.clone();
            // Some say that they were logged at no time at all.
            if m % 5 == 0 && entry["at_ms"].is_i64() {
                entry["at_ms"] = json!(CLOCKS[(n + m) % CLOCKS.len()]);
            }
            // What no record can hold is none.
            let text = entry.to_string();
            if text.len() < slowstone_sync::MAX_BODY_BYTES {
                phone.write(text).unwrap();
            }
        }
        while let Some(batch) = phone.batch(500) {
            let bytes = serde_json::to_vec(&batch).unwrap();
            let (said, _) = take(ledger, &bytes, &who, AtMs(NOW)).unwrap();
            taken += usize::try_from(said.receipt.accepted).unwrap();
            if phone.hear(&batch, &said.receipt, &fresh()).is_some() {
                assert!(said.why.is_some(), "{said:?}");
                refused += 1;
            }
        }
    }
    (taken, refused)
}

/// What views say of what others logged.
fn seen(hub: &Hub) -> Value {
    let pour = hub.pour("pour-0001");
    let view = hub.site();
    let steps = view["steps"].as_array().unwrap();
    let mine = |s: &&Value| {
        ["step-0001", "step-0002"]
            .iter()
            .any(|id| s["step"]["id"] == *id)
    };
    let steps: Vec<Value> = steps
        .iter()
        .filter(mine)
        .map(|s| s["step"].clone())
        .collect();
    let find = |list: &str, id: &str| {
        let all = view[list].as_array().unwrap();
        all.iter().find(|r| r["id"] == id).cloned().unwrap()
    };
    let batches = pour["batches"].as_array().unwrap();
    let batch = batches.iter().find(|b| b["id"] == "batch-001").unwrap();
    json!([
        view["site"],
        pour["pour"],
        steps,
        batch,
        find("mixes", "mix-00001"),
        find("forms", "form-0001"),
        find("flights", "flight-01"),
        find("additives", "ochre-001")
    ])
}

#[test]
fn a_hostile_phone_hides_and_changes_nothing_that_others_logged() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.must(json!(honest()));
    let before = seen(&hub);
    let history = hub
        .get(&format!("/api/sites/{SITE}/history/pour-0001"))
        .json;
    hub.stop();

    // Everything but what takes others' entries back or corrects them by right.
    let all: Vec<Value> = monsters_of_this_run()
        .into_iter()
        .filter(|e| !matches!(e["kind"].as_str(), Some("retraction" | "correction")))
        .collect();
    let mut ledger = Ledger::open(&dir.path().join("log.sqlite")).unwrap();
    let (taken, refused) = send_all(&mut ledger, &all);
    assert!(
        taken > 40 && refused > 150,
        "{taken} taken, {refused} refused"
    );
    // The same ids as others used, with other words: refused, and nothing is replaced.
    let mut stolen = honest();
    for entry in &mut stolen {
        entry["by"] = json!("Mallory");
    }
    assert_eq!(send_all(&mut ledger, &stolen).0, 0);
    drop(ledger);

    let hub = Hub::on(dir.path());
    assert_eq!(seen(&hub), before);
    assert_eq!(
        hub.get(&format!("/api/sites/{SITE}/history/pour-0001"))
            .json,
        history
    );
    let sites = hub.get("/api/sites").json;
    let site = sites
        .as_array()
        .unwrap()
        .iter()
        .find(|s| s["id"] == SITE)
        .unwrap();
    assert_eq!(
        (&site["name"], &site["archived"]),
        (&json!("Landing"), &json!(false))
    );
    // Everybody else goes on: logs, and sees it.
    hub.must(json!([event(
        "read-0050",
        "reading",
        json!({ "at_ms": NOW, "air_c": 8.5 })
    )]));
    let weather = hub.site()["weather"].clone();
    assert!(
        weather
            .as_array()
            .unwrap()
            .iter()
            .any(|r| r["id"] == "read-0050"),
        "{weather}"
    );
    for path in [
        "",
        "/plan",
        "/plan/schedule",
        "/plan/checks",
        "/colours",
        "/record.html",
        "/record.pdf",
        "/record.zip",
    ] {
        let said = hub.get(&format!("/api/sites/{SITE}{path}"));
        assert_eq!(said.status, 200, "{path}: {}", said.json);
    }
    hub.stop();
}
