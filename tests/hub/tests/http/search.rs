//! Searching every site over HTTP, and what a site that was put away still gives.

use crate::client::{Hub, NOW, SITE, a_flight_with_two_steps, a_mix, a_pour, empty_dir, event};
use serde_json::{Value, json};

fn hub_with_words(dir: &std::path::Path) -> Hub {
    let hub = Hub::on(dir);
    hub.must(a_flight_with_two_steps());
    hub.must(json!([a_mix(), a_pour("pour-0001", 48)]));
    let seen = |id: &str, by: &str, note: &str| {
        let body = json!({ "pour": "pour-0001", "at_ms": NOW, "what": "note", "note": note });
        let mut one = event(id, "observation", body);
        one["by"] = json!(by);
        one
    };
    hub.must(json!([
        seen("seen-0001", "Tuva", "Peldaño ÅPENT i hjørnet"),
        seen("seen-0002", "Jonas", "corner honeycombed"),
    ]));
    let other = json!({ "name": "Garden", "place": "Hill", "tz": "Europe/Oslo" });
    let mut other = event("site-0002", "site", other);
    other["site"] = json!("site-0002");
    hub.must(json!([other]));
    hub
}

/// Ids that a question finds, in order.
fn found(hub: &Hub, question: &str) -> Vec<String> {
    let said = hub.get(&format!("/api/search?{question}"));
    assert_eq!(said.status, 200, "{question}: {}", said.json);
    let hits = said.json["hits"].as_array().unwrap();
    let ids = hits
        .iter()
        .map(|hit| hit["id"].as_str().unwrap().to_owned());
    ids.collect()
}

#[test]
fn words_are_found_whatever_their_accents_capitals_and_order() {
    let dir = empty_dir();
    let hub = hub_with_words(dir.path());
    for (question, ids) in [
        ("q=peldano", vec!["seen-0001"]),
        ("q=PELDA%C3%91O", vec!["seen-0001"]),
        ("q=hjornet%20apent", vec!["seen-0001"]),
        ("q=apent%20corner", vec![]),
        ("q=honeycomb", vec!["seen-0002"]),
        ("q=honeycomb&by=Tuva", vec![]),
        ("q=garden", vec!["site-0002"]),
        ("q=bag&kind=mix", vec!["mix-00001"]),
        ("q=bag&kind=mix&site=site-0002", vec![]),
        // An id that a record names is no word that somebody wrote.
        ("q=pour-0001", vec![]),
        ("q=mix-00001", vec![]),
    ] {
        assert_eq!(found(&hub, question), ids, "{question}");
    }
    let hit = hub.get("/api/search?q=honeycomb").json["hits"][0].clone();
    assert_eq!(
        (&hit["pour"], &hit["step_number"], &hit["text"], &hit["by"]),
        (
            &json!("pour-0001"),
            &json!(1),
            &json!("corner honeycombed"),
            &json!("Jonas")
        )
    );
    let people = hub.get("/api/search?kind=observation").json["people"].clone();
    assert_eq!(people, json!([["Jonas", 1], ["Tuva", 1]]));
    let long = hub.get(&format!("/api/search?q={}", "a".repeat(201)));
    assert_eq!(
        (long.status, &long.json["error"]["field"]),
        (422, &json!("q"))
    );
    hub.stop();
}

#[test]
fn a_site_that_was_put_away_is_found_and_can_be_fetched_back() {
    let dir = empty_dir();
    let hub = hub_with_words(dir.path());
    let away = |hub: &Hub, id: &str| {
        let sites = hub.get("/api/sites").json;
        let card = sites.as_array().unwrap().iter().find(|s| s["id"] == id);
        card.unwrap()["archived"].clone()
    };
    assert_eq!(away(&hub, SITE), Value::Bool(false));
    for (id, done) in [
        ("put-00001", true),
        ("put-00002", false),
        ("put-00003", true),
    ] {
        hub.must(json!([event(id, "archive", json!({ "done": done }))]));
        assert_eq!(away(&hub, SITE), Value::Bool(done));
    }
    assert_eq!(away(&hub, "site-0002"), Value::Bool(false));
    let said = hub.get("/api/search?q=honeycomb").json;
    assert_eq!(said["hits"][0]["archived"], json!(true), "{said}");
    hub.stop();
}

#[test]
fn files_that_are_no_site_leave_nothing() {
    let dir = empty_dir();
    let hub = hub_with_words(dir.path());
    let zip = hub.get(&format!("/api/sites/{SITE}/record.zip"));
    assert_eq!(
        (zip.status, &zip.bytes[..4]),
        (200, b"PK\x03\x04".as_slice())
    );
    let lines = hub.get(&format!("/api/sites/{SITE}/record.jsonl")).bytes;
    let there = empty_dir();
    let other = Hub::on(there.path());
    let mut damaged = zip.bytes.clone();
    let at = damaged.len() / 2;
    damaged[at..at + 20].fill(0);
    let half = &zip.bytes[..zip.bytes.len() / 2];
    for (bytes, what) in [
        (half, "half a zip"),
        (&damaged, "a damaged zip"),
        (b"PK\x03\x04", "the beginning of a zip"),
        (b"name,place\n", "a table"),
        (b"{\"slowstone\":\"site\",\"form\":99}\n", "a newer form"),
    ] {
        let said = other.post("/api/import", bytes);
        assert_eq!(
            (said.status, &said.json["error"]["code"]),
            (422, &json!("not_a_copy")),
            "{what}: {}",
            said.json
        );
        assert_eq!(other.get("/api/sites").json, json!([]), "{what}");
    }
    // Twice the same is once, whichever of the two files it is.
    for bytes in [&zip.bytes, &lines, &zip.bytes] {
        let said = other.post("/api/import", bytes);
        assert_eq!((said.status, &said.json["whole"]), (200, &json!(true)));
        assert_eq!(said.json["refused"], json!([]));
        let again = other.get(&format!("/api/sites/{SITE}/record.zip")).bytes;
        assert!(again == zip.bytes, "the copy of the copy differs");
    }
    hub.stop();
    other.stop();
}
