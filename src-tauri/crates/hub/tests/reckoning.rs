//! While one site is reckoned anew, everybody else goes on: writes are answered, to that site
//! too, and so is who looks at another.
//!
//! No clock decides: the hub is held in the midst of its reckoning. One of the files in which
//! it keeps predictions is a named pipe (fifo(7)), which a reader waits for until the writer
//! has closed it.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]
#![cfg(target_os = "linux")]

mod running;

use running::Hub;
use serde_json::{Value, json};
use std::fs::{self, File, OpenOptions};
use std::os::unix::fs::OpenOptionsExt;
use std::path::Path;
use std::process::Command;
use std::time::Duration;

/// Whoever hangs so long hangs for ever; far beyond what any answer takes.
const HANGS: Duration = Duration::from_secs(120);
/// The instant at which the hub stands.
const NOW: i64 = 1_791_021_600_000;
const POURS: usize = 200;

/// Opens without waiting, as open(2) has it on Linux.
const NONBLOCK: i32 = 0o4000;

fn entry(id: &str, site: &str, kind: &str, body: Value) -> Value {
    json!({ "id": id, "site": site, "by": "Jonas", "at_ms": NOW, "kind": kind, "body": body })
}

fn site(id: &str) -> Value {
    entry(id, id, "site", json!({ "name": id, "tz": "Europe/Oslo" }))
}

fn pour(n: usize, site: &str) -> Value {
    let started = NOW - 3_600_000 * i64::try_from(n + 1).unwrap();
    let body = json!({ "started_ms": started, "air_c": 14.3, "concrete_c": 17.9 });
    entry(&format!("pour-{n:04}"), site, "pour", body)
}

/// Asks the hub; whatever hangs is a failure.
fn ask(base: &str, token: &str, path: &str, body: Option<Value>) -> Value {
    let config = ureq::Agent::config_builder().timeout_global(Some(HANGS));
    let agent: ureq::Agent = config.build().into();
    let (url, key) = (format!("{base}{path}"), format!("Bearer {token}"));
    let answer = match body {
        Some(body) => {
            let request = agent.post(url).header("authorization", key);
            request.send(body.to_string().as_bytes())
        }
        None => agent.get(url).header("authorization", key).call(),
    };
    let mut answer = answer.unwrap_or_else(|e| panic!("{path} was not answered: {e}"));
    answer.body_mut().read_json().unwrap()
}

/// Opens the pipe as soon as the hub waits at its other end.
fn held(pipe: &Path) -> File {
    loop {
        let opened = OpenOptions::new()
            .write(true)
            .custom_flags(NONBLOCK)
            .open(pipe);
        match opened {
            Ok(file) => return file,
            // ENXIO: nobody reads yet (open(2)).
            Err(e) if e.raw_os_error() == Some(6) => {
                std::thread::sleep(Duration::from_millis(20));
            }
            Err(e) => panic!("{}: {e}", pipe.display()),
        }
    }
}

#[test]
fn a_site_that_is_reckoned_anew_keeps_nobody_else_waiting() {
    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &["--empty"]);
    let (base, token) = (hub.base.clone(), hub.token.clone());
    let log = |entries: Vec<Value>| {
        let said = ask(
            &base,
            &token,
            "/api/events",
            Some(json!({ "events": entries })),
        );
        assert_eq!(said["refused"], json!([]));
    };
    let small = entry(
        "pour-small",
        "site-0002",
        "pour",
        json!({ "started_ms": NOW - 7_200_000, "air_c": 12.0 }),
    );
    log(vec![site("site-0002"), small]);
    let name = blake3::hash(b"pour-0100").to_hex().to_string();
    let pipe = dir.path().join("reckoned").join(name);
    assert!(
        Command::new("mkfifo")
            .arg(&pipe)
            .status()
            .unwrap()
            .success()
    );
    let mut all = vec![site("site-0001")];
    all.extend((0..POURS).map(|n| pour(n, "site-0001")));
    log(all);
    let large = {
        let (base, token) = (base.clone(), token.clone());
        std::thread::spawn(move || ask(&base, &token, "/api/sites/site-0001", None))
    };
    let end = held(&pipe);

    let reading = |id: &str, site: &str| {
        entry(
            id,
            site,
            "reading",
            json!({ "at_ms": NOW - 60_000, "air_c": 11.0 }),
        )
    };
    log(vec![reading("read-0001", "site-0001")]);
    log(vec![reading("read-0002", "site-0002")]);
    let other = ask(&base, &token, "/api/sites/site-0002", None);
    assert_eq!(other["site"]["id"], "site-0002");
    let list = ask(&base, &token, "/api/sites", None);
    assert_eq!(list.as_array().unwrap().len(), 2);
    assert!(!large.is_finished(), "the large site is still held");

    // From now on a file lies there, as always.
    fs::remove_file(&pipe).unwrap();
    drop(end);
    large.join().unwrap();
    let view = ask(&base, &token, "/api/sites/site-0001", None);
    let cards = view["samples"].as_array().map_or(0, Vec::len);
    assert_eq!(cards, POURS, "{:?}", view.as_object().unwrap().keys());
    hub.stop();
}
