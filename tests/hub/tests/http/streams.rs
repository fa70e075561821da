//! Streams of phones over HTTP: appended without holes, answered the same however often they
//! come, gaps and forks named, nonsense refused in words.

use crate::client::{Hub, NOW, SITE, empty_dir, event, the_site};
use serde_json::{Value, json};
use slowstone_curing::units::AtMs;
use slowstone_hub::api::Refusal;
use slowstone_hub::api::streams::take;
use slowstone_hub::ledger::Ledger;
use slowstone_hub::trust::{Door, Role, Who};
use slowstone_store::{EventLog, SqliteLog};
use slowstone_sync::{Outbox, Receipt, StreamId};
use std::path::Path;

fn reading(id: &str) -> Value {
    event(id, "reading", json!({ "at_ms": NOW, "air_c": 9.0 }))
}

fn stream(epoch: &str) -> StreamId {
    StreamId::new("phone1", epoch).unwrap()
}

/// A phone that has written readings with these ids.
fn phone(epoch: &str, ids: &[&str]) -> Outbox {
    let mut phone = Outbox::new(stream(epoch));
    for id in ids {
        phone.write(reading(id).to_string()).unwrap();
    }
    phone
}

/// Sends one batch; the receipt and the whole answer.
fn send(hub: &Hub, phone: &Outbox) -> (Receipt, Value) {
    let batch = serde_json::to_value(phone.batch(100).unwrap()).unwrap();
    let said = hub.post_json("/api/streams", &batch);
    assert_eq!(said.status, 200, "{}", said.json);
    let mut plain = said.json.clone();
    plain.as_object_mut().unwrap().remove("why");
    (serde_json::from_value(plain).unwrap(), said.json)
}

/// Sends until nothing waits; what was refused.
fn drain(hub: &Hub, phone: &mut Outbox, fresh: &str) -> Vec<Value> {
    let mut refused = Vec::new();
    for n in 0..20 {
        let Some(batch) = phone.batch(100) else {
            return refused;
        };
        let (receipt, said) = send(hub, phone);
        let fresh = stream(&format!("{fresh}{n}"));
        if phone.hear(&batch, &receipt, &fresh).is_some() {
            refused.push(said["why"].clone());
        }
    }
    panic!("no end");
}

fn weather(hub: &Hub) -> usize {
    hub.site()["weather"].as_array().unwrap().len()
}

fn a_hub(dir: &Path) -> Hub {
    let hub = Hub::on(dir);
    hub.must(json!([the_site()]));
    hub
}

#[test]
fn a_batch_is_taken_once_and_answered_the_same_again() {
    let dir = empty_dir();
    let hub = a_hub(dir.path());
    let phone = phone("e1", &["read-0001", "read-0002"]);
    let first = send(&hub, &phone);
    assert_eq!(first.0.accepted, 2);
    assert_eq!(first.0.head.as_ref().unwrap().seq, 2);
    assert_eq!(send(&hub, &phone), first);
    assert_eq!(weather(&hub), 2);
    let told = hub.get("/api/streams?device=phone1");
    assert_eq!(told.json["heads"], json!([first.0.head]));
    assert_eq!(
        hub.get("/api/hub?device=phone1").json["heads"],
        json!([first.0.head])
    );
    assert_eq!(hub.get("/api/hub").json["heads"], json!([]));
    hub.stop();
    // The bytes are kept as they were sent.
    let log = SqliteLog::open_read_only(&dir.path().join("log.sqlite")).unwrap();
    let kept = log.read_stream(&stream("e1"), 1, 10).unwrap();
    assert!(kept.iter().eq(phone.waiting()), "{kept:?}");
}

#[test]
fn a_gap_names_the_number_that_is_wanted_and_is_filled() {
    let dir = empty_dir();
    let mut one = phone("e1", &["read-0001", "read-0002"]);
    let hub = a_hub(dir.path());
    drain(&hub, &mut one, "f");
    hub.stop();
    // Another hub that has nothing of the stream, as one set back to an old backup.
    let dir = empty_dir();
    let hub = a_hub(dir.path());
    one.write(reading("read-0003").to_string()).unwrap();
    let (receipt, _) = send(&hub, &one);
    assert_eq!(
        (receipt.accepted, receipt.gap, receipt.head),
        (0, Some(1), None)
    );
    drain(&hub, &mut one, "f");
    assert_eq!(weather(&hub), 3);
    assert_eq!(one.stream(), &stream("e1"), "no new epoch for that");
}

#[test]
fn a_cloned_phone_is_a_fork_and_both_lose_nothing() {
    let dir = empty_dir();
    let hub = a_hub(dir.path());
    let mut one = phone("e1", &["read-0001"]);
    drain(&hub, &mut one, "x");
    one.write(reading("read-0002").to_string()).unwrap();
    let mut two = one.clone();
    one.write(reading("read-one3").to_string()).unwrap();
    two.write(reading("read-two3").to_string()).unwrap();
    drain(&hub, &mut one, "f");
    let (receipt, _) = send(&hub, &two);
    assert_eq!((receipt.accepted, receipt.fork), (1, Some(3)));
    drain(&hub, &mut two, "g");
    assert_eq!(weather(&hub), 4);
    assert_ne!(one.stream(), two.stream());
}

#[test]
fn what_cannot_be_ends_the_batch_and_is_named() {
    let dir = empty_dir();
    let hub = a_hub(dir.path());
    let mut one = phone("e1", &["read-0001"]);
    let mut hot = reading("read-0002");
    hot["body"]["air_c"] = json!(900.0);
    one.write(hot.to_string()).unwrap();
    one.write("no JSON").unwrap();
    one.write(reading("read-0003").to_string()).unwrap();
    let (receipt, said) = send(&hub, &one);
    assert!(receipt.refused && receipt.accepted == 1, "{said}");
    assert_eq!(said["why"]["field"], "air_c");
    let refused = drain(&hub, &mut one, "f");
    assert_eq!(refused.len(), 2, "{refused:?}");
    assert_eq!(refused[1]["field"], "body");
    assert_eq!(weather(&hub), 2);
}

#[test]
fn an_entry_that_came_another_way_is_counted_once() {
    let dir = empty_dir();
    let hub = a_hub(dir.path());
    hub.must(json!([reading("read-0001")]));
    let mut one = phone("e1", &["read-0001", "read-0002"]);
    assert_eq!(drain(&hub, &mut one, "f"), Vec::<Value>::new());
    hub.must(json!([reading("read-0002")]));
    assert_eq!((weather(&hub), one.sent().count()), (2, 2));
    hub.stop();
    let hub = Hub::on(dir.path());
    assert_eq!(weather(&hub), 2, "also after a start anew");
}

#[test]
fn what_is_no_batch_or_a_hubs_stream_is_refused_in_words() {
    let dir = empty_dir();
    let hub = a_hub(dir.path());
    let zero = "0".repeat(64);
    let good = json!({ "stream": { "device": "phone1", "epoch": "e1" }, "from": 1,
        "prev": zero, "bodies": [] });
    assert_eq!(hub.post_json("/api/streams", &good).status, 200);
    let with = |field: &str, value: Value| {
        let mut batch = good.clone();
        batch[field] = value;
        batch
    };
    for (batch, status, word) in [
        (json!([]), 400, "no batch"),
        (with("from", json!(-1)), 400, "no batch"),
        (with("more", json!(1)), 400, "more"),
        (with("prev", json!("abc")), 400, "64 digits"),
        (
            with("stream", json!({ "device": "Phone 1", "epoch": "e" })),
            400,
            "0-9 and a-z",
        ),
        (with("bodies", json!(vec!["{}"; 501])), 400, "Send fewer"),
        (with("bodies", json!([""])), 400, "empty"),
        (with("from", json!(0)), 400, "seq = 0"),
        (
            with("stream", json!({ "device": "hub1", "epoch": "e" })),
            403,
            "another device",
        ),
    ] {
        let said = hub.post_json("/api/streams", &batch);
        assert_eq!(said.status, status, "{batch}");
        let text = said.json["error"]["text"].as_str().unwrap();
        assert!(text.contains(word), "{text}");
    }
    assert_eq!(hub.site()["events"], json!(1));
    assert_eq!(hub.get(&format!("/api/sites/{SITE}")).status, 200);
}

#[test]
fn a_paired_device_writes_into_its_own_streams_and_by_its_role() {
    let dir = empty_dir();
    let mut ledger = Ledger::open(&dir.path().join("log.sqlite")).unwrap();
    ledger.take(&[the_site()], AtMs(NOW)).unwrap();
    let who = |device: &str, role| Who {
        device: device.to_owned(),
        name: "Phone".to_owned(),
        role,
        via: Door::Lan,
    };
    let mut one = phone("e1", &["read-0001"]);
    let archive = event("arch-0001", "archive", json!({ "done": true }));
    one.write(archive.to_string()).unwrap();
    let bytes = serde_json::to_vec(&one.batch(9).unwrap()).unwrap();
    let mut send = |who: &Who| {
        let (said, touched) = take(&mut ledger, &bytes, who, AtMs(NOW))?;
        Ok::<_, Refusal>((serde_json::to_value(&said).unwrap(), touched))
    };
    let other = send(&who("tablet1", Role::Keeper)).unwrap_err();
    assert_eq!(
        (other.status().as_u16(), other.code()),
        (403, "other_device")
    );
    let (helper, _) = send(&who("phone1", Role::Helper)).unwrap();
    assert_eq!(
        (
            &helper["accepted"],
            &helper["refused"],
            &helper["why"]["field"]
        ),
        (&json!(1), &json!(true), &json!("kind"))
    );
    // What is in the log already is not judged again.
    let (again, touched) = send(&who("phone1", Role::Helper)).unwrap();
    assert_eq!((again, touched.len()), (helper, 0));
}
