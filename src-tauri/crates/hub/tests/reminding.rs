//! Reminders on their way out, with a real hub and real receivers on this computer: a webhook
//! that fails at first, a mail server, a push service, a calendar that is parsed, a forecast
//! that was recorded, and a hub that is killed in between.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(unix)]

mod running;

use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use ring::{hmac, signature};
use running::{Hub, event, log, the_site};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

const PATIENCE: Duration = Duration::from_secs(15);
/// 2026-10-03T10:00:00Z, at which the hub's clock starts.
const NOW: i64 = 1_791_021_600_000;

/// A request as it came in.
#[derive(Debug)]
struct Asked {
    line: String,
    headers: BTreeMap<String, String>,
    body: Vec<u8>,
}

fn request(stream: &TcpStream) -> Option<Asked> {
    let mut reader = BufReader::new(stream);
    let mut line = String::new();
    reader.read_line(&mut line).ok().filter(|n| *n > 0)?;
    let mut headers = BTreeMap::new();
    loop {
        let mut one = String::new();
        reader.read_line(&mut one).ok()?;
        let Some((name, value)) = one.trim().split_once(": ") else {
            break;
        };
        headers.insert(name.to_lowercase(), value.to_owned());
    }
    let length = headers
        .get("content-length")
        .and_then(|n| n.parse().ok())
        .unwrap_or(0);
    let mut body = vec![0; length];
    reader.read_exact(&mut body).ok()?;
    Some(Asked {
        line: line.trim().to_owned(),
        headers,
        body,
    })
}

/// A receiver that answers one after the other with these, then with the last of them.
fn receiver(answers: Vec<(u16, String)>) -> (String, Receiver<Asked>) {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let address = format!("http://{}", listener.local_addr().unwrap());
    let (heard, hears) = channel();
    std::thread::spawn(move || {
        for (i, stream) in listener.incoming().enumerate() {
            let mut stream = stream.unwrap();
            let Some(asked) = request(&stream) else {
                continue;
            };
            let (status, body) = answers.get(i).or(answers.last()).unwrap();
            let answer = format!(
                "HTTP/1.1 {status} x\r\ncontent-length: {}\r\nconnection: close\r\n\r\n{body}",
                body.len()
            );
            let _ = stream.write_all(answer.as_bytes());
            if heard.send(asked).is_err() {
                return;
            }
        }
    });
    (address, hears)
}

fn call(hub: &Hub, method: &str, path: &str, body: &Value) -> Value {
    let request = ureq::http::Request::builder()
        .method(method)
        .uri(format!("{}{path}", hub.base))
        .header("authorization", format!("Bearer {}", hub.token))
        .body(body.to_string())
        .unwrap();
    let agent: ureq::Agent = ureq::Agent::config_builder()
        .http_status_as_error(false)
        .build()
        .into();
    let mut answer = agent.run(request).unwrap();
    let status = answer.status();
    let said = answer.body_mut().read_to_string().unwrap();
    assert_eq!(status, 200, "{path}: {said}");
    serde_json::from_str(&said).unwrap()
}

/// Settings without quiet hours, daily reminders or looking ahead.
fn settings() -> Value {
    json!({ "on": true, "language": "en", "webhook_url": "", "email": {},
        "rules": { "quiet_min": null, "wake_for_window": false, "ahead_min": 0, "curing_min": null } })
}

fn set(hub: &Hub, settings: &Value) -> Value {
    call(
        hub,
        "PUT",
        "/api/settings/reminders",
        &json!({ "settings": settings }),
    )
}

/// A step that was cast two days ago at 20 °C: its form is due.
fn a_due_step(hub: &Hub) {
    let begun = NOW - 48 * 3_600_000;
    log(
        hub,
        json!([
            the_site(),
            event(
                "flight-001",
                "flight",
                json!({ "name": "Steps", "note": "" })
            ),
            event(
                "step-00001",
                "step",
                json!({ "flight": "flight-001", "number": 1, "name": "", "rise_m": 0.15, "depth_m": 0.4, "width_m": 1.0 })
            ),
            event(
                "read-00001",
                "reading",
                json!({ "at_ms": begun, "air_c": 20.0 })
            ),
            event(
                "read-00002",
                "reading",
                json!({ "at_ms": NOW, "air_c": 20.0 })
            ),
        ]),
    );
    log(
        hub,
        json!([event(
            "pour-00001",
            "pour",
            json!({ "step": "step-00001", "started_ms": begun })
        )]),
    );
}

fn next(heard: &Receiver<Asked>) -> Asked {
    heard.recv_timeout(PATIENCE).expect("nobody called")
}

fn journal(hub: &Hub) -> Vec<Value> {
    hub.get("/api/settings/reminders")["journal"]
        .as_array()
        .unwrap()
        .clone()
}

#[test]
fn a_webhook_that_fails_is_tried_again_and_told_once_over_a_kill() {
    let dir = tempfile::tempdir().unwrap();
    let (url, heard) = receiver(vec![
        (500, String::new()),
        (500, String::new()),
        (204, String::new()),
    ]);
    let hub = Hub::start(dir.path(), &["--empty"]);
    let mut wish = settings();
    wish["webhook_url"] = url.clone().into();
    let key = set(&hub, &wish)["webhook_key"].as_str().unwrap().to_owned();
    a_due_step(&hub);
    let first = next(&heard);
    // Killed between telling and sending: the message waits in the store and is sent then.
    hub.signal("KILL");
    drop(hub);
    let hub = Hub::start(dir.path(), &["--empty"]);
    let mut last = next(&heard);
    while heard
        .recv_timeout(Duration::from_millis(10))
        .map(|a| last = a)
        .is_ok()
    {}
    // Tries wait 2 s and then 15 s.
    let until = std::time::Instant::now() + 3 * PATIENCE;
    let sent = loop {
        let sent = journal(&hub)
            .iter()
            .filter(|m| m["to"].to_string().contains("\"webhook\""))
            .flat_map(|m| m["to"].as_array().unwrap().clone())
            .filter(|d| d["channel"]["to"] == "webhook" && d["state"] == "sent")
            .count();
        if sent > 0 || std::time::Instant::now() > until {
            break sent;
        }
        std::thread::sleep(Duration::from_millis(100));
    };
    assert_eq!(sent, 1, "{:?}", journal(&hub));
    let again = heard.try_iter().last().unwrap_or(last);
    assert_eq!(first.headers["slowstone-id"], again.headers["slowstone-id"]);
    for asked in [&first, &again] {
        let signed = [
            asked.headers["slowstone-timestamp"].as_bytes(),
            b".",
            &asked.body,
        ]
        .concat();
        let hex = asked.headers["slowstone-signature"]
            .strip_prefix("v1=")
            .unwrap();
        let tag: Vec<u8> = (0..hex.len())
            .step_by(2)
            .map(|i| u8::from_str_radix(&hex[i..i + 2], 16).unwrap())
            .collect();
        hmac::verify(
            &hmac::Key::new(hmac::HMAC_SHA256, key.as_bytes()),
            &signed,
            &tag,
        )
        .unwrap();
        let body: Value = serde_json::from_slice(&asked.body).unwrap();
        assert_eq!(body["site"]["name"], "Landing");
        let items = body["items"].as_array().unwrap();
        assert!(
            items
                .iter()
                .any(|i| i["kind"] == "form_off" && i["stage"] == "due"),
            "{items:?}"
        );
        assert!(
            body["text"]
                .as_str()
                .unwrap()
                .contains("Step 1: take the form off, due since"),
            "{body}"
        );
    }
    // All is told: another restart says nothing more.
    hub.stop();
    let hub = Hub::start(dir.path(), &["--empty"]);
    assert!(
        heard.recv_timeout(Duration::from_secs(2)).is_err(),
        "told twice"
    );
    hub.stop();
}

/// A mail server that takes one message and gives what it heard.
fn mail_server() -> (u16, Receiver<String>) {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = listener.local_addr().unwrap().port();
    let (heard, hears) = channel();
    std::thread::spawn(move || {
        for stream in listener.incoming() {
            let mut out = stream.unwrap();
            let mut lines = BufReader::new(out.try_clone().unwrap()).lines();
            out.write_all(b"220 here\r\n").unwrap();
            let mut text = String::new();
            let mut data = false;
            while let Some(Ok(line)) = lines.next() {
                text.push_str(&line);
                text.push('\n');
                let answer: &[u8] = match line.as_str() {
                    "." if data => {
                        data = false;
                        b"250 taken\r\n"
                    }
                    _ if data => continue,
                    "DATA" => {
                        data = true;
                        b"354 go on\r\n"
                    }
                    "QUIT" => {
                        out.write_all(b"221 bye\r\n").unwrap();
                        break;
                    }
                    _ => b"250 ok\r\n",
                };
                out.write_all(answer).unwrap();
            }
            let _ = heard.send(text);
        }
    });
    (port, hears)
}

/// Promise: "to a mail address"
#[test]
fn mail_says_what_is_due_and_a_closed_server_is_said() {
    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &["--empty"]);
    let (port, heard) = mail_server();
    let mut wish = settings();
    wish["email"] = json!({ "host": "127.0.0.1", "port": port, "security": "none", "user": "", "from": "site@example.org", "to": "a@example.org, b@example.org" });
    set(&hub, &wish);
    a_due_step(&hub);
    let mail = heard.recv_timeout(PATIENCE).unwrap();
    for part in [
        "RCPT TO:<a@example.org>",
        "RCPT TO:<b@example.org>",
        "Step 1: take the form off",
        "Content-Type: text/plain",
        "Message-ID: <",
    ] {
        assert!(mail.contains(part), "{part} is not in\n{mail}");
    }
    wish["email"]["port"] = 1.into();
    set(&hub, &wish);
    let said = call(&hub, "POST", "/api/settings/reminders/test", &json!({}));
    assert_eq!(said[0]["ok"], false);
    assert!(
        said[0]["why"].as_str().unwrap().contains("127.0.0.1"),
        "{said}"
    );
    hub.stop();
}

/// Promise: "to this device when the app is closed (web push)"
#[test]
fn a_push_message_is_sealed_for_the_device_and_signed_by_the_hub() {
    use web_push_native::p256::SecretKey;
    use web_push_native::p256::elliptic_curve::sec1::ToEncodedPoint;
    use web_push_native::{Auth, decrypt};
    let b64 = |text: &str| URL_SAFE_NO_PAD.decode(text).unwrap();
    // RFC 8291, appendix A: keys of the receiver, the message as it was sent, its text.
    let device =
        SecretKey::from_slice(&b64("q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94")).unwrap();
    let auth = Auth::clone_from_slice(&b64("BTBZMqHH6r4Tts7J_aSIgg"));
    let sealed = b64(
        "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN",
    );
    assert_eq!(
        decrypt(sealed, &device, &auth).unwrap(),
        b"When I grow up, I want to be a watermelon"
    );

    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &["--empty"]);
    set(&hub, &settings());
    let (url, heard) = receiver(vec![(201, String::new()), (410, String::new())]);
    let public = device.public_key().to_encoded_point(false);
    call(
        &hub,
        "POST",
        "/api/push",
        &json!({ "endpoint": format!("{url}/p/1"), "language": "en", "by": "Jonas",
        "keys": { "p256dh": URL_SAFE_NO_PAD.encode(public.as_bytes()), "auth": "BTBZMqHH6r4Tts7J_aSIgg" } }),
    );
    a_due_step(&hub);
    let asked = next(&heard);
    assert_eq!(
        (
            asked.line.as_str(),
            asked.headers["content-encoding"].as_str()
        ),
        ("POST /p/1 HTTP/1.1", "aes128gcm")
    );
    let text: Value =
        serde_json::from_slice(&decrypt(asked.body, &device, &auth).unwrap()).unwrap();
    assert_eq!(
        (text["by"].as_str(), text["site"].as_str()),
        (Some("Jonas"), Some("site-0001"))
    );
    assert!(
        text["marks"]
            .as_array()
            .unwrap()
            .contains(&json!({ "pour": "pour-00001", "milestone": "form_off" })),
        "{text}"
    );
    // RFC 8292: the token is signed by the key beside it, which is the one that devices got.
    let shown = asked.headers["authorization"]
        .strip_prefix("vapid t=")
        .unwrap();
    let (token, key) = shown.split_once(", k=").unwrap();
    assert_eq!(hub.get("/api/push")["key"], key);
    let (signed, tag) = token.rsplit_once('.').unwrap();
    signature::UnparsedPublicKey::new(&signature::ECDSA_P256_SHA256_FIXED, b64(key))
        .verify(signed.as_bytes(), &b64(tag))
        .unwrap();
    let claims: Value = serde_json::from_slice(&b64(signed.split_once('.').unwrap().1)).unwrap();
    assert_eq!(claims["aud"], url);
    // A device that is gone is said in the test; it may subscribe again.
    let said = call(&hub, "POST", "/api/settings/reminders/test", &json!({}));
    assert!(
        said[0]["why"].as_str().unwrap().contains("no longer takes"),
        "{said}"
    );
    hub.stop();
}

#[test]
fn the_calendar_is_read_by_a_parser_and_its_address_is_its_key() {
    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &["--empty"]);
    a_due_step(&hub);
    let fetch = |path: &str| {
        let mut answer = ureq::get(format!("{}{path}", hub.base))
            .config()
            .http_status_as_error(false)
            .build()
            .call()
            .unwrap();
        (
            answer.status().as_u16(),
            answer.body_mut().read_to_string().unwrap(),
        )
    };
    assert_eq!(fetch("/calendar/.ics").0, 404);
    let path = call(&hub, "POST", "/api/settings/reminders/calendar", &json!({}))["path"]
        .as_str()
        .unwrap()
        .to_owned();
    let (status, text) = fetch(&path);
    assert_eq!(status, 200);
    assert!(
        text.lines().all(|l| l.trim_end_matches('\r').len() <= 75),
        "{text}"
    );
    assert!(
        text.split("\r\n").count() > 10,
        "lines end as RFC 5545, 3.1 says"
    );
    let unfolded = icalendar::parser::unfold(&text);
    let parsed = icalendar::parser::read_calendar(&unfolded).unwrap();
    let form = |text: &str| {
        let part = text
            .split("BEGIN:VEVENT")
            .find(|e| e.contains("UID:pour-00001-form_off@"))
            .unwrap()
            .to_owned();
        part.split("END:VEVENT").next().unwrap().to_owned()
    };
    assert!(parsed.components.len() >= 2, "{text}");
    for part in [
        "SEQUENCE:0",
        "STATUS:CONFIRMED",
        "DTSTAMP:20261003T",
        "BEGIN:VALARM",
        "SUMMARY:Step 1: take the form off",
    ] {
        assert!(
            form(&text).contains(part),
            "{part} is not in {}",
            form(&text)
        );
    }
    assert_eq!(
        form(&fetch(&path).1),
        form(&text),
        "nothing changed, so nothing changes"
    );
    log(
        &hub,
        json!([event(
            "mark-00001",
            "mark",
            json!({ "pour": "pour-00001", "milestone": "form_off", "what": "done" })
        )]),
    );
    let gone = form(&fetch(&path).1);
    assert!(
        gone.contains("SEQUENCE:1") && gone.contains("STATUS:CANCELLED"),
        "{gone}"
    );
    let fresh = call(&hub, "POST", "/api/settings/reminders/calendar", &json!({}))["path"]
        .as_str()
        .unwrap()
        .to_owned();
    assert_eq!((fetch(&path).0, fetch(&fresh).0), (404, 200));
    hub.stop();
}

#[test]
fn a_forecast_is_fetched_only_when_switched_on_and_a_failure_is_said() {
    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &["--empty"]);
    log(&hub, json!([the_site()]));
    let recorded = json!({ "utc_offset_seconds": 0, "hourly_units": { "temperature_2m": "°C", "wind_speed_10m": "km/h" },
        "hourly": { "time": ["2026-10-03T10:00", "2026-10-03T11:00"], "temperature_2m": [9.5, 10.0],
        "relative_humidity_2m": [80, 78], "wind_speed_10m": [11.0, 12.0] } });
    let (url, heard) = receiver(vec![(200, recorded.to_string()), (503, String::new())]);
    let mut wish = json!({ "on": false, "address": format!("{url}/f?lat={{lat}}&lon={{lon}}"), "places": { "site-0001": [59.913_868, 10.752_245] } });
    call(&hub, "PUT", "/api/settings/weather", &wish);
    call(&hub, "POST", "/api/settings/weather/fetch", &json!({}));
    assert!(heard.try_recv().is_err(), "off, and yet it asked");
    wish["on"] = true.into();
    call(&hub, "PUT", "/api/settings/weather", &wish);
    let seen = call(&hub, "POST", "/api/settings/weather/fetch", &json!({}));
    assert_eq!(next(&heard).line, "GET /f?lat=59.91&lon=10.75 HTTP/1.1");
    assert_eq!(
        (
            &seen["sites"][0]["status"]["hours"],
            &seen["sites"][0]["status"]["why"]
        ),
        (&json!(2), &json!(""))
    );
    let events = hub.get("/api/sites/site-0001/events");
    let hourly = events["events"]
        .as_array()
        .unwrap()
        .iter()
        .find(|e| e["kind"] == "hourly")
        .expect("no hours were stored");
    assert_eq!(hourly["body"]["rows"][1]["air_c"], 10.0);
    let seen = call(&hub, "POST", "/api/settings/weather/fetch", &json!({}));
    let status = &seen["sites"][0]["status"];
    assert!(
        status["why"].as_str().unwrap().contains("503") && status["came_ms"].as_i64().unwrap() > 0,
        "{status}"
    );
    hub.stop();
}
