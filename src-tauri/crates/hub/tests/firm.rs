//! Two hub processes on one PostgreSQL database, and the way there from a data folder.
//!
//! The server is the test's own (see `store/tests/database`); where there is no PostgreSQL
//! it is said loudly that nothing was tried.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]
#![cfg(unix)]

#[path = "../../store/tests/database/mod.rs"]
mod database;
mod phone;
mod running;

use phone::Phone;
use running::{Hub, event, log, said, send_photo, the_site};
use serde_json::json;
use slowstone_store::{EventLog, HubEpoch, PostgresLog, verify};
use std::time::{Duration, Instant};

fn reading(id: &str) -> serde_json::Value {
    event(
        id,
        "reading",
        json!({ "at_ms": 1_791_021_600_000_i64, "air_c": 9.0 }),
    )
}

/// Promise: "A firm with several hubs, or with a database that is looked after anyway, moves once:"
/// Promise: "slowstone move-store --from ~/site --to postgres://"
/// Promise: "slowstone hub --data ~/hub-1 --store postgres://"
/// Promise: "All hubs then show the same log, and one may fail."
/// Promise: "It copies, reads everything again, says what it did, and may be repeated after an interruption"
#[test]
fn a_folder_moves_and_two_hubs_go_on_as_one() {
    let Some(server) = database::Server::start() else {
        return;
    };
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name);
    let text = |name: &str| at(name).display().to_string();
    let hub = Hub::start(&at("old"), &["--empty"]);
    log(&hub, json!([the_site(), reading("read-old")]));
    send_photo(&hub, 1);
    let epoch = hub.get("/api/hub")["epoch"].clone();
    hub.signal("TERM");
    assert_eq!(hub.end().0, Some(0));

    let (url, photos) = (
        server.database("firm"),
        format!("file://{}", text("shared")),
    );
    let places = ["--store", &url, "--photos", &photos, "--empty"];
    let old = text("old");
    let moving = [
        "move-store",
        "--from",
        &old,
        "--to",
        &url,
        "--photos",
        &photos,
    ];
    let moved = said(&moving);
    assert_eq!(moved.status, 0, "{}", moved.err);
    assert!(
        moved
            .out
            .contains("Moved 3 entries and 1 photo now; 3 entries and 1 photo are there"),
        "{}",
        moved.out
    );
    let again = said(&moving);
    assert!(
        again
            .out
            .contains("Moved 0 entries and 0 photos now; 3 entries"),
        "{}",
        again.out
    );
    // The folder says where its log is now, whoever asks.
    for args in [
        ["hub", "--port", "0", "--data", &old],
        ["backup", "--data", &old, "x", "--recheck"],
    ] {
        let refused = said(&args);
        assert_eq!(refused.status, 1);
        assert!(
            refused.err.contains("PostgreSQL database firm"),
            "{}",
            refused.err
        );
    }

    let one = Hub::start(&at("one"), &places);
    let two = Hub::start(&at("two"), &places);
    assert_eq!(
        one.get("/api/hub")["epoch"],
        epoch,
        "phones go on with the same log"
    );
    assert_eq!(one.get("/api/hub")["hub"], two.get("/api/hub")["hub"]);
    for i in 0..10 {
        log(&one, json!([reading(&format!("read-one-{i}"))]));
        log(&two, json!([reading(&format!("read-two-{i}"))]));
    }
    send_photo(&two, 2);
    let seen = one.get("/api/sites/site-0001");
    assert_eq!(seen["events"], json!(3 + 20 + 1));
    assert_eq!(seen["events"], two.get("/api/sites/site-0001")["events"]);
    one.signal("KILL");
    one.end();
    log(&two, json!([reading("read-alone")]));
    let one = Hub::start(&at("one"), &places);
    log(&one, json!([reading("read-back")]));
    assert_eq!(two.get("/api/sites/site-0001")["events"], json!(26));
    for hub in [one, two] {
        hub.signal("TERM");
        assert_eq!(hub.end().0, Some(0));
    }
    let log = PostgresLog::open(&url, &HubEpoch::new("x").unwrap()).unwrap();
    assert_eq!(log.len().unwrap(), 26);
    assert!(verify(&log).unwrap().is_clean());

    // Hubs went on there: what the folder holds is only its beginning, another run keeps off.
    let late = said(&moving);
    assert_eq!(late.status, 1, "{}", late.out);
    assert!(late.err.contains("Nothing was moved"), "{}", late.err);
}

/// Asks until the answer is there; another hub looks once in a second.
fn soon(what: &str, mut there: impl FnMut() -> bool) {
    let begun = Instant::now();
    while !there() {
        assert!(begun.elapsed() < Duration::from_secs(30), "{what}");
        std::thread::sleep(Duration::from_millis(100));
    }
}

/// Promise: "A phone that one hub lets in or sends away is known to the others within seconds"
#[test]
fn a_phone_paired_at_one_hub_is_known_at_the_other_and_sent_away_there() {
    let Some(server) = database::Server::start() else {
        return;
    };
    let dir = tempfile::tempdir().unwrap();
    let (url, photos) = (
        server.database("phones"),
        format!("file://{}", dir.path().join("shared").display()),
    );
    let start = |name: &str| {
        let places = ["--store", &url, "--photos", &photos, "--empty"];
        let lan = ["--lan", "127.0.0.1:0"];
        Hub::start(&dir.path().join(name), &[&places[..], &lan[..]].concat())
    };
    let (one, two) = (start("one"), start("two"));
    let ada = Phone::paired(&one, &dir.path().join("one"), "Ada", "helper");
    assert_eq!(ada.get("/api/sites").status, 200);
    let mut id = String::new();
    soon("the other hub has the phone", || {
        let all = two.get("/api/devices");
        let mut known = all.as_array().unwrap().iter();
        let ada = known.find(|d| d["name"] == json!("Ada"));
        id = ada.map_or_else(String::new, |d| d["id"].as_str().unwrap().to_owned());
        !id.is_empty()
    });
    let gone = ureq::delete(format!("{}/api/devices/{id}", two.base))
        .header("authorization", format!("Bearer {}", two.token))
        .call();
    assert_eq!(gone.unwrap().status().as_u16(), 200);
    soon("the phone is sent away at both", || {
        ada.get("/api/sites").status == 401
    });
}
