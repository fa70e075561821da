//! What is refused: slips with field and range, and whoever has no business here.

use crate::client::{
    Hub, NOW, SITE, a_flight_with_two_steps, a_mix, a_pour, empty_dir, event, the_site,
};
use serde_json::{Value, json};
use std::io::{Read, Write};
use std::net::TcpStream;

#[test]
fn a_slip_is_named_with_its_range_and_the_rest_is_stored() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.must(a_flight_with_two_steps());
    hub.must(json!([a_mix()]));
    let wet = json!({ "at_ms": NOW, "air_c": 9.0, "rh_pct": 140.0 });
    let said = hub.log(json!([
        event(
            "read-0001",
            "reading",
            json!({ "at_ms": NOW, "air_c": 9.0 })
        ),
        event("read-0002", "reading", wet),
        event(
            "read-0003",
            "reading",
            json!({ "at_ms": NOW, "air_c": 10.0 })
        ),
    ]));
    assert_eq!(said.status, 422);
    assert_eq!(said.json["taken"], json!(["read-0001", "read-0003"]));
    let no = &said.json["refused"][0];
    assert_eq!(
        (&no["event"], &no["field"], &no["value"]),
        (&json!("read-0002"), &json!("rh_pct"), &json!("140.0"))
    );
    assert!(
        no["why"].as_str().unwrap().contains("from 0 to 100"),
        "{no}"
    );
    let reason = json!({ "code": "out_of_range", "min": 0.0, "max": 100.0, "unit": "%",
        "than": "", "allowed": "" });
    assert_eq!(no["reason"], reason);
    assert_eq!(hub.site()["weather"].as_array().unwrap().len(), 2);
    hub.stop();
}

/// The app words these in the reader's language (`ui/test/refusal.test.ts`).
#[test]
fn every_refused_value_has_a_reason_for_programs() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.must(a_flight_with_two_steps());
    let bank = "bank_rise_m=900&bank_run_m=2&overlap_m=0&fall_pct=2";
    let asked = hub.get(&format!("/api/sites/{SITE}/plan/proposals?{bank}"));
    assert_eq!(asked.json["error"]["reason"]["code"], "out_of_range");
    assert_eq!(asked.json["error"]["reason"]["max"], json!(50.0));
    let hot = event(
        "hours-001",
        "hourly",
        json!({"source": "a", "rows": [{"at_ms": NOW, "air_c": 999}]}),
    );
    let too_hot = hub.log(json!([hot]));
    assert_eq!(
        too_hot.json["refused"][0]["field"], "air_c",
        "{}",
        too_hot.json
    );
    assert_eq!(too_hot.json["refused"][0]["reason"]["unit"], "°C");
    let long = hub.get(&format!("/api/search?q={}", "x".repeat(201)));
    assert_eq!(long.json["error"]["reason"]["code"], "too_long");
    hub.stop();
}

#[test]
fn entries_that_are_none_are_refused_one_by_one() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.must(json!([the_site()]));
    let mut elsewhere = event(
        "read-0001",
        "reading",
        json!({ "at_ms": NOW, "air_c": 9.0 }),
    );
    elsewhere["site"] = json!("site-9999");
    let mut twin = the_site();
    twin["id"] = json!("site-0002");
    let mut nobody = event(
        "read-0002",
        "reading",
        json!({ "at_ms": NOW, "air_c": 9.0 }),
    );
    nobody["by"] = json!("");
    let with = |field: &str, value: Value| {
        let mut entry = event(
            "read-0004",
            "reading",
            json!({ "at_ms": NOW, "air_c": 9.0 }),
        );
        entry[field] = value;
        entry
    };
    let cases: [(Value, &str); 13] = [
        (with("at_ms", json!("2026-10-03")), "at_ms"),
        (with("at_ms", json!(1.5)), "at_ms"),
        (with("body", json!([])), "body"),
        (with("kind", json!(null)), "kind"),
        (with("seq", json!(1)), "seq"),
        (json!(7), "event"),
        (json!({ "id": "read-0009" }), "site"),
        (elsewhere, "site"),
        (twin, "site"),
        (nobody, "by"),
        (event("no", "reading", json!({ "at_ms": NOW })), "id"),
        (
            event("read-0003", "reading", json!({ "at_ms": NOW, "air_f": 50 })),
            "air_f",
        ),
        (
            event("pour-0001", "pour", json!({ "started_ms": 1_791_021_600 })),
            "started_ms",
        ),
    ];
    for (entry, field) in cases {
        let said = hub.log(json!([entry.clone()]));
        assert_eq!(said.status, 422, "{entry}");
        assert_eq!(
            said.json["refused"][0]["field"],
            json!(field),
            "{}",
            said.json
        );
    }
    // A kind that a newer phone may know is kept.
    hub.must(json!([event("new-00001", "rebound", json!({ "n": 31 }))]));
    assert_eq!(hub.site()["problems"][0]["code"], "unknown_kind");
    hub.stop();
}

#[test]
fn the_same_entry_again_is_taken_and_another_under_its_id_is_not() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.must(a_flight_with_two_steps());
    let reading = event(
        "read-0001",
        "reading",
        json!({ "at_ms": NOW, "air_c": 9.1 }),
    );
    for _ in 0..3 {
        let said = hub.log(json!([reading.clone(), reading.clone()]));
        assert_eq!(
            (said.status, &said.json["taken"]),
            (200, &json!(["read-0001", "read-0001"]))
        );
    }
    let mut other = reading;
    other["body"]["air_c"] = json!(9.2);
    let said = hub.log(json!([other]));
    assert_eq!(
        (said.status, &said.json["refused"][0]["field"]),
        (422, &json!("id"))
    );
    assert_eq!(hub.site()["events"], json!(5));
    assert_eq!(hub.site()["weather"][0]["fact"]["air_c"], json!(9.1));
    hub.stop();
}

#[test]
fn what_is_not_json_and_what_is_not_there() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.must(a_flight_with_two_steps());
    hub.must(json!([a_mix(), a_pour("pour-0001", 3)]));
    let deep = "[".repeat(100_000);
    for bad in [
        "",
        "{",
        "[]",
        "null",
        "{\"events\": 1}",
        "{\"event\": []}",
        &deep,
        "{\"events\":[1e999]}",
    ] {
        let said = hub.post("/api/events", bad.as_bytes());
        assert_eq!(said.status, 400, "{bad:.40}");
        assert!(
            said.json["error"]["text"]
                .as_str()
                .is_some_and(|t| t.len() > 10),
            "{bad:.40}"
        );
    }
    assert_eq!(hub.post("/api/events", b"\xff\xfe").status, 400);
    let huge = vec![b' '; 9 << 20];
    let said = hub.post("/api/events", &huge);
    assert_eq!(
        (said.status, &said.json["error"]["code"]),
        (413, &json!("too_large"))
    );
    for path in [
        "/api/sites/site-9999".to_owned(),
        format!("/api/sites/{SITE}/pours/step-0001"),
        "/api/sites/site-9999/pours/pour-0001".to_owned(),
        format!("/api/sites/{SITE}/history/pour-9999"),
        "/api/photos/abc".to_owned(),
        format!("/api/photos/{}", "0".repeat(64)),
        "/api/nothing".to_owned(),
    ] {
        let said = hub.get(&path);
        assert_eq!(said.status, 404, "{path}");
        assert!(said.json["error"]["text"].is_string(), "{path}");
    }
    assert_eq!(hub.post("/api/sites", b"").status, 405);
    hub.stop();
}

#[test]
fn without_the_token_there_is_only_health() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    let health = hub.get_with("/api/health", &[]);
    assert_eq!((health.status, &health.json["ok"]), (200, &json!(true)));
    let wrong = format!("Bearer {}", "0".repeat(32));
    for headers in [
        &[][..],
        &[("authorization", wrong.as_str())],
        &[("cookie", "slowstone=1")],
    ] {
        for path in [
            "/api/sites",
            "/api/watch",
            "/api/photos/x",
            "/api/nothing",
            "/api",
        ] {
            let said = hub.get_with(path, headers);
            assert_eq!(
                (said.status, &said.json["error"]["code"]),
                (401, &json!("locked")),
                "{path}"
            );
        }
    }
    // The printed address gives a cookie, and the cookie opens.
    let first = hub.get_with(&format!("/steps?a=1&t={}", hub.token), &[]);
    assert_eq!(
        (first.status, first.headers["location"].to_str().unwrap()),
        (303, "/steps?a=1")
    );
    let cookie = first.headers["set-cookie"].to_str().unwrap();
    for part in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(cookie.contains(part), "{cookie}");
    }
    let pair = cookie.split(';').next().unwrap();
    let both = format!("other=1; {pair}");
    assert_eq!(hub.get_with("/api/sites", &[("cookie", &both)]).status, 200);
    assert_eq!(hub.get_with("/?t=wrong", &[]).status, 401);
    hub.stop();
}

#[test]
fn pages_of_other_sites_reach_nothing() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    let ask = |host: &str, more: &str| {
        let mut stream = TcpStream::connect(("127.0.0.1", hub.port())).unwrap();
        let text = format!(
            "GET /api/sites HTTP/1.1\r\n{host}Authorization: Bearer {}\r\n{more}Connection: close\r\n\r\n",
            hub.token
        );
        stream.write_all(text.as_bytes()).unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        answer.split_whitespace().nth(1).unwrap().to_owned()
    };
    let port = hub.port();
    for name in ["127.0.0.1", "localhost", "[::1]"] {
        assert_eq!(ask(&format!("Host: {name}:{port}\r\n"), ""), "200");
        let own = format!("Origin: http://{name}:{port}\r\n");
        assert_eq!(ask(&format!("Host: {name}:{port}\r\n"), &own), "200");
    }
    for host in [
        "Host: example.org\r\n",
        "Host: 127.0.0.1\r\n",
        "Host: 127.0.0.1:1\r\n",
        "Host: \r\n",
    ] {
        assert_eq!(ask(host, ""), "403", "{host}");
    }
    assert!(["400", "403"].contains(&ask("", "").as_str()));
    for origin in [
        "http://example.org",
        "null",
        "https://127.0.0.1",
        "http://127.0.0.1:1",
    ] {
        let line = format!("Origin: {origin}\r\n");
        assert_eq!(
            ask(&format!("Host: 127.0.0.1:{port}\r\n"), &line),
            "403",
            "{origin}"
        );
    }
    hub.stop();
}

#[test]
fn the_page_is_served_with_its_rules() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    let page = hub.get_with("/", &[]);
    assert_eq!(page.status, 200);
    assert!(String::from_utf8_lossy(&page.bytes).contains("<title>"));
    let csp = page.headers["content-security-policy"].to_str().unwrap();
    for rule in [
        "default-src 'self'",
        "frame-ancestors 'none'",
        "script-src 'self' 'wasm-unsafe-eval'",
    ] {
        assert!(csp.contains(rule), "{csp}");
    }
    assert_eq!(page.headers["x-content-type-options"], "nosniff");
    assert_eq!(page.headers["referrer-policy"], "no-referrer");
    assert_eq!(page.headers["cache-control"], "no-cache");
    let tag = page.headers["etag"].to_str().unwrap();
    assert_eq!(hub.get_with("/", &[("if-none-match", tag)]).status, 304);
    // A screen of the app gets the page; a file that is not there does not.
    assert_eq!(hub.get_with("/site/x/pour/y", &[]).bytes, page.bytes);
    for missing in [
        "/assets/none.js",
        "/../Cargo.toml",
        "/%2e%2e/Cargo.toml",
        "/.env",
    ] {
        assert_eq!(hub.get_with(missing, &[]).status, 404, "{missing}");
    }
    hub.stop();
}
