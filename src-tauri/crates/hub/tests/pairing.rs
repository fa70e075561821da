//! Pairing and trust, with a hub in a process of its own and phones that trust nothing but
//! its authority. Each test answers one threat of `tests/hub/THREATS.md`.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(unix)]

mod phone;
mod running;

use phone::{Offer, Phone, address, offer, trusting};
use running::{Hub, event, log, the_site};
use serde_json::{Value, json};
use slowstone_hub::trust::Role;
use slowstone_hub::trust::lan::Setup;
use slowstone_hub::{Clock, Config, Demo};
use std::io::Read;
use std::path::Path;
use std::time::Duration;

fn dir() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

fn with_lan(dir: &Path) -> Hub {
    Hub::start(dir, &["--empty", "--lan", "127.0.0.1:0"])
}

fn code(said: &phone::Answer) -> (u16, &str) {
    (
        said.status,
        said.json["error"]["code"].as_str().unwrap_or("-"),
    )
}

/// Promise: "The log lies on one computer, and nobody else reaches it until you say so."
/// Promise: "the hub listens on this computer only, until you switch on phones"
#[test]
fn off_by_default_and_a_switch_that_is_remembered() {
    let dir = dir();
    let hub = Hub::start(dir.path(), &["--empty"]);
    let lan = hub.get("/api/lan");
    assert_eq!(
        (&lan["on"], &lan["open"], &lan["guest"]),
        (&json!(false), &json!(false), &json!(false))
    );
    assert!(!dir.path().join("trust").exists());
    assert_eq!(hub.try_post("/api/pairing", b"{}").0, 409);
    let switch = |hub: &Hub, body: Value| -> Value {
        let sent = ureq::put(format!("{}/api/lan", hub.base))
            .header("authorization", format!("Bearer {}", hub.token))
            .send(body.to_string().as_bytes());
        sent.unwrap().body_mut().read_json().unwrap()
    };
    let lan = switch(&hub, json!({ "on": true, "at": "127.0.0.1:0" }));
    assert_eq!(
        (&lan["open"], &lan["trouble"]),
        (&json!(true), &Value::Null),
        "{lan}"
    );
    let phone = Phone::of(&hub, dir.path());
    assert_eq!(phone.get("/api/health").status, 200);
    hub.stop();
    // No word of it on the command line: the store remembers.
    let hub = Hub::start(dir.path(), &[]);
    let phone = Phone::of(&hub, dir.path());
    assert_eq!(phone.get("/api/health").status, 200);
    let lan = switch(&hub, json!({ "on": false }));
    assert_eq!(lan["open"], json!(false));
    assert!(
        phone
            .agent
            .get(format!("{}/api/health", phone.base))
            .call()
            .is_err()
    );
    let public = switch(&hub, json!({ "on": true, "at": "203.0.113.7:0" }));
    assert!(
        public["trouble"].as_str().unwrap().contains("public"),
        "{public}"
    );
    hub.stop();
}

/// Promise: "It stays that way over restarts"
#[test]
fn a_paired_phone_stays_paired_over_a_restart() {
    let dir = dir();
    let hub = with_lan(dir.path());
    log(&hub, json!([the_site()]));
    let phone = Phone::paired(&hub, dir.path(), "Tuva", "helper");
    let me = phone.get("/api/me").json;
    assert_eq!(
        (&me["name"], &me["role"], &me["via"]),
        (&json!("Tuva"), &json!("helper"), &json!("lan"))
    );
    let entry = event(
        "read-0001",
        "reading",
        json!({ "at_ms": 1_791_021_600_000_i64, "air_c": 9.0 }),
    );
    assert_eq!(
        phone
            .post("/api/events", &json!({ "events": [entry] }))
            .status,
        200
    );
    // Neither a backup nor a thief of the file gets a key.
    let key = phone.cookie.clone().unwrap();
    let key = key.split_once('=').unwrap().1.to_owned();
    hub.stop();
    for file in ["log.sqlite", "log.sqlite-wal"] {
        let bytes = std::fs::read(dir.path().join(file)).unwrap_or_default();
        assert!(
            !bytes.windows(key.len()).any(|w| w == key.as_bytes()),
            "{file}"
        );
    }
    let at = phone.base.strip_prefix("https://").unwrap();
    let hub = Hub::start(dir.path(), &["--lan", at]);
    assert_eq!(address(&hub), phone.base);
    // The certificate is another one, of the same authority.
    assert_eq!(phone.get("/api/sites").json[0]["id"], "site-0001");
    let devices = hub.get("/api/devices");
    assert_eq!(
        (&devices[0]["name"], &devices[0]["role"]),
        (&json!("Tuva"), &json!("helper"))
    );
    assert!(devices[0]["seen_ms"].as_i64() >= devices[0]["made_ms"].as_i64());
    hub.stop();
}

#[test]
fn a_browser_of_this_computer_stays_let_in_over_a_restart() {
    let dir = dir();
    let hub = Hub::start(dir.path(), &["--empty"]);
    let agent: ureq::Agent = ureq::Agent::config_builder()
        .http_status_as_error(false)
        .max_redirects(0)
        .max_redirects_will_error(false)
        .build()
        .into();
    let open = agent
        .get(format!("{}/?t={}", hub.base, hub.token))
        .call()
        .unwrap();
    assert_eq!(open.status().as_u16(), 303);
    let cookie = open.headers()["set-cookie"].to_str().unwrap().to_owned();
    for part in ["HttpOnly", "SameSite=Strict", "Path=/", "Max-Age="] {
        assert!(cookie.contains(part), "{cookie}");
    }
    assert!(
        !cookie.contains(&hub.token),
        "the token of a launch is no key"
    );
    let pair = cookie.split(';').next().unwrap().to_owned();
    let port = hub.base.rsplit(':').next().unwrap().to_owned();
    hub.stop();
    let hub = Hub::start(dir.path(), &["--port", &port]);
    let get = |base: &str| {
        agent
            .get(format!("{base}/api/me"))
            .header("cookie", &pair)
            .call()
            .unwrap()
    };
    let mut me = get(&hub.base);
    assert_eq!(me.status().as_u16(), 200);
    let me: Value = me.body_mut().read_json().unwrap();
    assert_eq!(
        (&me["role"], &me["via"]),
        (&json!("keeper"), &json!("here"))
    );
    // Opened again with the token of this launch: no second entry in the list.
    let again = format!("{}/?t={}", hub.base, hub.token);
    agent.get(again).header("cookie", &pair).call().unwrap();
    assert_eq!(hub.get("/api/devices").as_array().unwrap().len(), 1);
    hub.stop();
}

#[test]
fn a_wrong_certificate_is_refused() {
    let (dir, other) = (dir(), dir());
    let hub = with_lan(dir.path());
    let base = address(&hub);
    with_lan(other.path()).stop();
    let stranger = trusting(&std::fs::read(other.path().join("trust/ca.pem")).unwrap());
    let said = stranger
        .get(format!("{base}/api/health"))
        .call()
        .unwrap_err();
    assert!(
        said.to_string().to_lowercase().contains("certificate"),
        "{said}"
    );
    // And nothing but TLS is spoken there.
    let plain = base.replace("https", "http");
    assert!(ureq::get(format!("{plain}/api/health")).call().is_err());
    hub.stop();
}

#[test]
fn a_code_that_is_not_the_same_lets_nobody_in() {
    let dir = dir();
    let hub = with_lan(dir.path());
    let mut phone = Phone::of(&hub, dir.path());
    let (claim, right) = phone.begin(&offer(&hub), "Tuva").unwrap();
    let wrong = if right == "000000" {
        "000001"
    } else {
        "000000"
    };
    let answer = |code: &str, role: Value| {
        let body = json!({ "code": code, "role": role }).to_string();
        hub.try_post("/api/pairing/answer", body.as_bytes())
    };
    let (status, said) = answer(wrong, json!("keeper"));
    assert_eq!((status, &said["error"]["code"]), (409, &json!("code")));
    assert_eq!(phone.take(&claim).json["waiting"], json!(true));
    // The keeper sees that they differ.
    assert_eq!(answer(&right, Value::Null).0, 200);
    assert_eq!(code(&phone.take(&claim)), (410, "refused"));
    assert_eq!(answer(&right, json!("keeper")).0, 409);
    assert_eq!(
        (phone.cookie.as_ref(), phone.get("/api/me").status),
        (None, 401)
    );
    assert_eq!(hub.get("/api/devices"), json!([]));
    // Another certificate in between: the phone's code is another one.
    let mut seen = offer(&hub);
    seen.print = "A".repeat(43);
    let (_, theirs) = phone.begin(&seen, "Tuva").unwrap();
    assert_ne!(hub.get("/api/pairing")["code"], json!(theirs));
    hub.stop();
}

#[test]
fn a_secret_is_used_once_and_wrong_ones_close_the_offer() {
    let dir = dir();
    let hub = with_lan(dir.path());
    let phone = Phone::of(&hub, dir.path());
    let first = offer(&hub);
    phone.begin(&first, "Tuva").unwrap();
    assert_eq!(
        code(&phone.begin(&first, "Eve").unwrap_err()),
        (409, "used")
    );
    // A new offer ends the old one.
    let second = offer(&hub);
    assert_eq!(
        code(&phone.begin(&first, "Eve").unwrap_err()),
        (403, "secret")
    );
    for _ in 0..4 {
        let wrong = Offer {
            secret: "0".repeat(26),
            print: String::new(),
        };
        assert_eq!(
            code(&phone.begin(&wrong, "Eve").unwrap_err()),
            (403, "secret")
        );
    }
    assert_eq!(
        code(&phone.begin(&second, "Tuva").unwrap_err()),
        (410, "expired")
    );
    // Too often by now: even the right one has to wait.
    let third = offer(&hub);
    let _ = phone.begin(&first, "Eve");
    let _ = phone.begin(&first, "Eve");
    let late = phone.begin(&third, "Tuva").unwrap_err();
    assert_eq!(code(&late), (429, "too_often"));
    assert!(
        late.headers["retry-after"]
            .to_str()
            .unwrap()
            .parse::<u32>()
            .unwrap()
            > 100
    );
    hub.stop();
}

#[test]
fn an_offer_runs_out() {
    let dir = dir();
    let runtime = tokio::runtime::Runtime::new().unwrap();
    let config = Config {
        data_dir: dir.path().to_path_buf(),
        port: 0,
        demo: Demo::Empty,
        clock: Clock::System,
        lan: Setup {
            at: Some("127.0.0.1:0".parse().unwrap()),
            offer_for: Duration::from_millis(700),
            ..Setup::default()
        },
    };
    let running = runtime.block_on(slowstone_hub::start(config)).unwrap();
    let (base, token) = running.url().split_once("/?t=").unwrap();
    let call = |path: &str| {
        let request =
            ureq::post(format!("{base}{path}")).header("authorization", format!("Bearer {token}"));
        request
            .send(b"{}")
            .unwrap()
            .body_mut()
            .read_json::<Value>()
            .unwrap()
    };
    let said = call("/api/pairing");
    let secret = said["url"].as_str().unwrap().split_once('#').unwrap().1;
    let (secret, print) = secret.split_once('.').unwrap();
    let page = said["certificate_page"].as_str().unwrap().to_owned();
    assert!(ureq::get(&page).call().is_ok());
    std::thread::sleep(Duration::from_millis(900));
    let pem = std::fs::read(dir.path().join("trust/ca.pem")).unwrap();
    let phone = Phone {
        agent: trusting(&pem),
        base: running.phones_url().unwrap(),
        cookie: None,
    };
    let offer = Offer {
        secret: secret.to_owned(),
        print: print.to_owned(),
    };
    assert_eq!(
        code(&phone.begin(&offer, "Tuva").unwrap_err()),
        (410, "expired")
    );
    // The plain door is closed with it.
    let closed = (0..40).any(|_| {
        std::thread::sleep(Duration::from_millis(50));
        ureq::get(&page)
            .call()
            .is_err_and(|e| !matches!(e, ureq::Error::StatusCode(_)))
    });
    assert!(closed, "{page} still answers");
    runtime.block_on(running.stop());
}

#[test]
fn revoking_ends_open_streams_at_once_and_is_said() {
    let dir = dir();
    let hub = with_lan(dir.path());
    let phone = Phone::paired(&hub, dir.path(), "Tuva", "viewer");
    let cookie = phone.cookie.clone().unwrap();
    let watching = phone
        .agent
        .get(format!("{}/api/watch", phone.base))
        .header("cookie", &cookie)
        .call()
        .unwrap();
    let stream = std::thread::spawn(move || {
        let mut text = String::new();
        watching
            .into_body()
            .into_reader()
            .read_to_string(&mut text)
            .map(|_| text)
    });
    let id = hub.get("/api/devices")[0]["id"]
        .as_str()
        .unwrap()
        .to_owned();
    assert!(!stream.is_finished());
    let gone = ureq::delete(format!("{}/api/devices/{id}", hub.base))
        .header("authorization", format!("Bearer {}", hub.token))
        .call();
    assert_eq!(gone.unwrap().status().as_u16(), 200);
    // It ends by itself: nothing is awaited from the hub any more.
    stream.join().unwrap().unwrap();
    assert_eq!(code(&phone.get("/api/sites")), (401, "revoked"));
    assert_eq!(code(&phone.get("/api/watch")), (401, "revoked"));
    assert_eq!(hub.get("/api/devices"), json!([]));
    let at = phone.base.strip_prefix("https://").unwrap().to_owned();
    hub.stop();
    let hub = Hub::start(dir.path(), &["--lan", &at]);
    assert_eq!(code(&phone.get("/api/sites")), (401, "revoked"));
    hub.stop();
}

/// Two changes at once: neither is lost, and above all not the one that takes a device off.
#[test]
fn a_device_that_is_taken_off_stays_off_and_hears_nothing_more() {
    let dir = dir();
    let hub = with_lan(dir.path());
    let phone = Phone::paired(&hub, dir.path(), "Tuva", "helper");
    let id = hub.get("/api/devices")[0]["id"]
        .as_str()
        .unwrap()
        .to_owned();
    // RFC 8291, section 5: a key of a device and its secret.
    let subscription = json!({ "endpoint": "https://push.example.org/p/1", "language": "en",
        "by": "Tuva", "keys": { "auth": "BTBZMqHH6r4Tts7J_aSIgg",
        "p256dh": "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4" } });
    let told = |hub: &Hub| hub.get("/api/settings/reminders")["push_devices"].clone();
    let subscribe = |phone: &Phone| {
        let body = subscription.to_string();
        phone.ask("POST", "/api/push", &[], body.as_bytes()).status
    };
    assert_eq!((subscribe(&phone), told(&hub)), (200, json!(1)));
    let path = format!("{}/api/devices/{id}", hub.base);
    let bearer = format!("Bearer {}", hub.token);
    std::thread::scope(|scope| {
        for n in 0..8 {
            let (path, bearer) = (&path, &bearer);
            scope.spawn(move || {
                let name = json!({ "name": format!("Phone {n}") }).to_string();
                // 200, or 404 once it is off.
                let _ = ureq::put(path)
                    .header("authorization", bearer)
                    .send(name.as_bytes());
            });
        }
        let gone = ureq::delete(&path).header("authorization", &bearer).call();
        assert_eq!(gone.unwrap().status().as_u16(), 200);
    });
    assert_eq!(code(&phone.get("/api/sites")), (401, "revoked"));
    assert_eq!(hub.get("/api/devices"), json!([]));
    assert_eq!(told(&hub), json!(0), "its subscription is gone with it");
    assert_eq!(subscribe(&phone), 401);
    // Whoever may only read from now on is told nothing either.
    let other = Phone::paired(&hub, dir.path(), "Jonas", "helper");
    assert_eq!((subscribe(&other), told(&hub)), (200, json!(1)));
    let id = hub.get("/api/devices")[0]["id"]
        .as_str()
        .unwrap()
        .to_owned();
    let lower = json!({ "role": "viewer" }).to_string();
    let sent = ureq::put(format!("{}/api/devices/{id}", hub.base))
        .header("authorization", &bearer)
        .send(lower.as_bytes());
    assert_eq!(sent.unwrap().status().as_u16(), 200);
    assert_eq!(told(&hub), json!(0));
    hub.stop();
}

#[test]
fn another_role_holds_at_once() {
    let dir = dir();
    let hub = with_lan(dir.path());
    let phone = Phone::paired(&hub, dir.path(), "Tuva", "keeper");
    let mine = phone.get("/api/devices").json[0].clone();
    assert_eq!(mine["me"], json!(true));
    let path = format!("/api/devices/{}", mine["id"].as_str().unwrap());
    // Nobody shuts themselves out by mistake.
    assert_eq!(code(&phone.ask("DELETE", &path, &[], b"")), (409, "own"));
    let lower = json!({ "role": "viewer" }).to_string();
    assert_eq!(
        code(&phone.ask("PUT", &path, &[], lower.as_bytes())),
        (409, "own")
    );
    let sent = ureq::put(format!("{}{path}", hub.base))
        .header("authorization", format!("Bearer {}", hub.token))
        .send(lower.as_bytes());
    assert_eq!(sent.unwrap().status().as_u16(), 200);
    assert_eq!(code(&phone.get("/api/devices")), (403, "role"));
    assert_eq!(
        serde_json::from_value::<Role>(phone.get("/api/me").json["role"].clone()).unwrap(),
        Role::Viewer
    );
    hub.stop();
}
