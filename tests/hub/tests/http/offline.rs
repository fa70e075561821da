//! What phones need that were without a signal: entries since a position, photos in
//! pieces, and the file that a phone saved when it could not send.

use crate::client::{
    HOUR, Hub, NOW, SITE, a_flight_with_two_steps, a_mix, a_pour, empty_dir, event, the_site,
};
use crate::picture::{jpeg, with_exif};
use serde_json::{Value, json};
use std::path::Path;

const PIECE: usize = 1 << 20;

fn hub_with_a_pour(dir: &Path) -> Hub {
    let hub = Hub::on(dir);
    hub.must(a_flight_with_two_steps());
    hub.must(json!([a_mix(), a_pour("pour-0001", 30)]));
    hub
}

/// Every entry of a site as a phone fetches them, page by page.
fn fetch(hub: &Hub, site: &str, mut after: u64) -> (Vec<String>, u64) {
    let mut ids = Vec::new();
    loop {
        let page = hub.get(&format!("/api/sites/{site}/events?after={after}"));
        assert_eq!(page.status, 200, "{}", page.json);
        let events = page.json["events"].as_array().unwrap();
        ids.extend(events.iter().map(|e| e["id"].as_str().unwrap().to_owned()));
        after = page.json["next"].as_u64().unwrap();
        if page.json["more"] == json!(false) {
            return (ids, after);
        }
    }
}

#[test]
fn a_phone_fetches_what_is_new_and_nothing_of_other_sites() {
    let dir = empty_dir();
    let hub = hub_with_a_pour(dir.path());
    let (ids, after) = fetch(&hub, SITE, 0);
    assert_eq!(
        ids,
        [
            SITE,
            "flight-01",
            "step-0001",
            "step-0002",
            "mix-00001",
            "pour-0001"
        ]
    );
    let mut other = the_site();
    other["id"] = json!("site-0002");
    other["site"] = json!("site-0002");
    hub.must(json!([other]));
    let reading = event(
        "read-0001",
        "reading",
        json!({ "at_ms": NOW, "air_c": 9.0 }),
    );
    hub.must(json!([reading]));
    let (new, end) = fetch(&hub, SITE, after);
    assert_eq!(new, ["read-0001"]);
    assert!(end > after);
    // What is fetched is what was sent, and may be sent again.
    let page = hub
        .get(&format!("/api/sites/{SITE}/events?after={after}"))
        .json;
    assert_eq!(page["events"][0], reading_as_sent());
    hub.must(page["events"].clone());
    assert_eq!(fetch(&hub, SITE, end), (vec![], end));
    // More than a page.
    let many: Vec<Value> = (0..2500)
        .map(|n| {
            event(
                &format!("read-m{n:04}"),
                "reading",
                json!({ "at_ms": NOW, "air_c": 9.0 }),
            )
        })
        .collect();
    hub.must(json!(many));
    let first = hub
        .get(&format!("/api/sites/{SITE}/events?after={end}"))
        .json;
    assert_eq!(first["more"], json!(true));
    assert_eq!(fetch(&hub, SITE, end).0.len(), 2500);
    assert_eq!(hub.get("/api/sites/site-9999/events").status, 404);
    assert_eq!(
        hub.get(&format!("/api/sites/{SITE}/events?after=x")).status,
        400
    );
    hub.stop();
}

fn reading_as_sent() -> Value {
    event(
        "read-0001",
        "reading",
        json!({ "at_ms": NOW, "air_c": 9.0 }),
    )
}

#[test]
fn a_hub_is_known_again_after_a_restart() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    let before = hub.get("/api/hub").json;
    assert_eq!(before["now_ms"].as_i64().unwrap() / HOUR, NOW / HOUR);
    hub.stop();
    let hub = Hub::on(dir.path());
    let after = hub.get("/api/hub").json;
    assert_eq!(
        (&before["hub"], &before["epoch"]),
        (&after["hub"], &after["epoch"])
    );
    hub.stop();
    let elsewhere = empty_dir();
    let other = Hub::on(elsewhere.path());
    assert_ne!(other.get("/api/hub").json["hub"], before["hub"]);
    other.stop();
}

fn a_large_photo() -> Vec<u8> {
    let mut bytes = with_exif(&jpeg(64, 48, 0), "2026:10:03 00:30:00", None, 1);
    // Behind the end of the picture anything may stand.
    bytes.resize(2 * PIECE + 12_345, 7);
    bytes
}

#[test]
fn a_photo_goes_on_where_it_broke_off_though_the_hub_was_stopped() {
    let dir = empty_dir();
    let hub = hub_with_a_pour(dir.path());
    let bytes = a_large_photo();
    let have = |hub: &Hub| hub.get("/api/uploads/photo-0001").json["bytes"].clone();
    assert_eq!(have(&hub), json!(0));
    let put = |hub: &Hub, offset: usize, piece: &[u8]| {
        hub.put(&format!("/api/uploads/photo-0001?offset={offset}"), piece)
    };
    let first = put(&hub, 0, &bytes[..PIECE]);
    assert_eq!((first.status, &first.json["bytes"]), (200, &json!(PIECE)));
    hub.stop();

    let hub = Hub::on(dir.path());
    assert_eq!(have(&hub), json!(PIECE));
    let wrong = put(&hub, 0, &bytes[..PIECE]);
    assert_eq!(
        (wrong.status, &wrong.json["error"]["value"]),
        (409, &json!(PIECE.to_string()))
    );
    assert_eq!(put(&hub, PIECE, &bytes[PIECE..2 * PIECE]).status, 200);
    let take = format!(
        "name=a.jpg&id=photo-0001&pour=pour-0001&from=photo-0001&bytes={}",
        bytes.len()
    );
    let early = hub.photo(&take, &[]);
    assert_eq!(early.status, 409, "{}", early.json);
    assert_eq!(put(&hub, 2 * PIECE, &bytes[2 * PIECE..]).status, 200);
    let said = hub.photo(&take, &[]);
    assert_eq!(
        (said.status, &said.json["known"]),
        (200, &json!(false)),
        "{}",
        said.json
    );
    let hash = said.json["photo"]["hash"].as_str().unwrap();
    assert_eq!(hash, slowstone_store::Hash32::of(&bytes).to_string());
    let back = hub.get(&format!("/api/photos/{hash}?size=original"));
    assert!(back.bytes == bytes, "the bytes are others");
    // Its pieces are gone, and the answer that was lost is given again.
    assert_eq!(have(&hub), json!(0));
    let again = hub.photo(&take, &[]);
    assert_eq!(
        (again.status, &again.json["known"], &again.json["event"]),
        (200, &json!(true), &json!("photo-0001"))
    );
    assert_eq!(hub.pour("pour-0001")["photos"].as_array().unwrap().len(), 1);
    hub.stop();
}

#[test]
fn pieces_are_bounded_and_their_names_lead_nowhere() {
    let dir = empty_dir();
    let hub = hub_with_a_pour(dir.path());
    let too_large = hub.put("/api/uploads/photo-0001?offset=0", &vec![0; PIECE + 1]);
    assert_eq!(too_large.status, 413, "{}", too_large.json);
    for name in ["..%2f..%2fetc", "UPPER-CASE", "short"] {
        let said = hub.put(&format!("/api/uploads/{name}?offset=0"), b"x");
        assert_eq!(said.status, 422, "{name}: {}", said.json);
    }
    assert_eq!(hub.put("/api/uploads/photo-0001", b"x").status, 400);
    // What is no photo is told, and its pieces are gone.
    assert_eq!(
        hub.put("/api/uploads/photo-0002?offset=0", b"PK\x03\x04zip")
            .status,
        200
    );
    let said = hub.photo("name=a.jpg&id=photo-0002&from=photo-0002&bytes=7", &[]);
    assert_eq!(said.status, 415, "{}", said.json);
    assert_eq!(hub.get("/api/uploads/photo-0002").json["bytes"], json!(0));
    assert_eq!(
        std::fs::read_dir(dir.path().join("uploads"))
            .unwrap()
            .count(),
        0
    );
    hub.stop();
}

#[test]
fn a_photo_without_a_date_keeps_the_hour_at_which_the_phone_took_it() {
    let dir = empty_dir();
    let hub = hub_with_a_pour(dir.path());
    let taken = NOW - 26 * HOUR;
    let said = hub.photo(
        &format!("name=a.jpg&id=photo-0001&at_ms={taken}"),
        &jpeg(64, 48, 0),
    );
    assert_eq!(
        said.json["photo"]["taken_ms"],
        json!(taken),
        "{}",
        said.json
    );
    assert_eq!(said.json["photo"]["pour"], json!("pour-0001"));
    // A phone ten years ahead is not believed.
    let ahead = NOW + 10 * 365 * 24 * HOUR;
    let said = hub.photo(
        &format!("name=b.jpg&id=photo-0002&at_ms={ahead}"),
        &jpeg(48, 64, 1),
    );
    let hour = said.json["photo"]["taken_ms"].as_i64().unwrap() / HOUR;
    assert_eq!(hour, NOW / HOUR, "{}", said.json);
    hub.stop();
}

/// The same as base 64 (RFC 4648), written out anew so that the test has its own.
fn base64(bytes: &[u8]) -> String {
    const DIGITS: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    bytes
        .chunks(3)
        .map(|three| {
            let at = |n: usize| u32::from(*three.get(n).unwrap_or(&0));
            let all = at(0) << 16 | at(1) << 8 | at(2);
            (0..4)
                .map(|n| match n > three.len() {
                    true => '=',
                    false => DIGITS[(all >> (18 - 6 * n)) as usize & 63] as char,
                })
                .collect::<String>()
        })
        .collect()
}

#[test]
fn a_saved_copy_is_taken_in_once_however_often_it_comes() {
    // RFC 4648, section 10.
    assert_eq!(
        (base64(b"fooba"), base64(b"foob")),
        ("Zm9vYmE=".into(), "Zm9vYg==".into())
    );
    let dir = empty_dir();
    let hub = hub_with_a_pour(dir.path());
    let photo = with_exif(&jpeg(64, 48, 0), "2026:10:03 00:30:00", None, 1);
    let wet = event(
        "read-0002",
        "reading",
        json!({ "at_ms": NOW, "rh_pct": 140.0 }),
    );
    let saved = |id: &str, bytes: &[u8]| {
        json!({ "photo": {
            "id": id, "site": SITE, "pour": "pour-0002", "name": "a.jpg", "by": "Tuva",
            "at_ms": NOW, "type": "image/jpeg", "base64": base64(bytes),
        } })
    };
    let lines = [
        json!({ "slowstone": "copy", "form": 1, "saved_ms": NOW }),
        json!({ "event": a_pour("pour-0002", 2) }),
        json!({ "event": wet }),
        saved("photo-0001", &photo),
        saved("photo-0002", b"no photo"),
        json!({ "end": { "events": 2, "photos": 2 } }),
    ];
    let file: String = lines.iter().map(|line| format!("{line}\n")).collect();
    for round in 0..2 {
        let said = hub.post("/api/import", file.as_bytes());
        assert_eq!(said.status, 200, "{}", said.json);
        assert_eq!(
            (
                &said.json["events"],
                &said.json["photos"],
                &said.json["whole"]
            ),
            (&json!(1), &json!(1), &json!(true)),
            "round {round}: {}",
            said.json
        );
        assert_eq!(said.json["refused"][0]["field"], json!("rh_pct"));
        assert_eq!(said.json["failed"][0][0], json!("a.jpg"));
    }
    let pour = hub.pour("pour-0002");
    assert_eq!(pour["photos"][0]["id"], json!("photo-0001"));
    assert_eq!(pour["photos"].as_array().unwrap().len(), 1);
    // Cut short: what is there is taken, and that it is not all is said.
    let cut = &file[..file.len() - 60];
    let said = hub.post("/api/import", cut.as_bytes());
    assert_eq!((said.status, &said.json["whole"]), (200, &json!(false)));
    for other in [
        "",
        "{}",
        "PK\x03\x04",
        "{\"events\": []}\n",
        "{\"slowstone\":\"copy\",\"form\":2}",
    ] {
        let said = hub.post("/api/import", other.as_bytes());
        assert_eq!(
            (said.status, &said.json["error"]["code"]),
            (422, &json!("not_a_copy")),
            "{other}"
        );
    }
    hub.stop();
}
