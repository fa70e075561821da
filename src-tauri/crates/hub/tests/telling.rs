//! What a hub tells about itself: its messages, as text and as JSON, and its health.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(unix)]

mod running;

use running::{Hub, log, slowstone, the_site};
use serde_json::{Value, json};
use std::fs;
use std::path::Path;
use std::process::Stdio;

/// The messages of a hub from its start to its end.
fn messages(level: Option<&str>, form: &[&str]) -> (String, String) {
    let dir = tempfile::tempdir().unwrap();
    let (data, words) = (dir.path().join("data"), dir.path().join("words"));
    let mut command = slowstone();
    if let Some(level) = level {
        command.env("SLOWSTONE_LOG", level);
    }
    command.stderr(Stdio::from(fs::File::create(&words).unwrap()));
    let hub = Hub::launch(command, &data, &[&["--empty"], form].concat());
    let token = hub.token.clone();
    hub.stop();
    (fs::read_to_string(words).unwrap(), token)
}

/// Promise: "Messages go to standard error (`SLOWSTONE_LOG=info`, `--log json`)"
#[test]
fn messages_as_text_and_as_json() {
    let (quiet, _) = messages(None, &[]);
    assert_eq!(quiet, "", "all is well, so nothing is said");
    let (text, token) = messages(Some("info"), &[]);
    assert!(text.contains("INFO") && text.contains("serving"), "{text}");
    assert!(!text.contains('\u{1b}'), "no colours in a file: {text}");
    let (lines, other) = messages(Some("info"), &["--log", "json"]);
    let all: Vec<Value> = lines
        .lines()
        .map(|l| serde_json::from_str(l).expect(l))
        .collect();
    assert_eq!(all[0]["message"], "serving");
    assert_eq!(all[0]["level"], "INFO");
    assert!(
        all[0]["address"]
            .as_str()
            .unwrap()
            .starts_with("127.0.0.1:")
    );
    assert!(all[0]["timestamp"].is_string() && all[0]["target"].is_string());
    assert_eq!(all.last().unwrap()["message"], "stopped");
    // Not even at the most talkative does the token get among the messages.
    let (chatter, third) = messages(Some("trace"), &["--log", "json"]);
    for (text, token) in [(&text, token), (&lines, other), (&chatter, third)] {
        assert!(!text.contains(&token), "{text}");
    }
}

#[test]
fn a_level_that_is_none_is_said_and_not_obeyed() {
    let (text, _) = messages(Some("loud=very"), &[]);
    assert_eq!(text.lines().count(), 1, "{text}");
    assert!(
        text.contains("SLOWSTONE_LOG") && text.contains("info or debug"),
        "{text}"
    );
}

/// Promise: "`GET /api/health` answers without a token."
#[test]
fn health_tells_the_stranger_little() {
    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &["--empty"]);
    log(&hub, json!([the_site()]));
    let version = env!("CARGO_PKG_VERSION");
    assert_eq!(
        hub.get("/api/health"),
        json!({ "ok": true, "version": version, "events": 1 })
    );
    let mut answer = ureq::get(format!("{}/api/health", hub.base))
        .call()
        .unwrap();
    let said: Value = answer.body_mut().read_json().unwrap();
    assert_eq!(said, json!({ "ok": true, "version": version }));
    // A page of another site in the same browser, and a foreign name that was pointed here.
    for (header, value) in [("origin", "http://example.org"), ("host", "example.org:80")] {
        let answer = ureq::get(format!("{}/api/health", hub.base))
            .config()
            .http_status_as_error(false)
            .build()
            .header(header, value)
            .call()
            .unwrap();
        assert_eq!(answer.status().as_u16(), 403, "{header}");
    }
    assert!(Path::new(dir.path()).join("hub.json").exists());
    hub.stop();
    assert!(
        !dir.path().join("hub.json").exists(),
        "taken away at the end"
    );
}
