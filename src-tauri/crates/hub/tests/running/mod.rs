//! A hub as a process of its own, for the tests of the program.

#![allow(dead_code, reason = "each test file uses its own part")]

use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};

/// The program, without what the machine's environment would change.
pub fn slowstone() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_slowstone"));
    command
        .env_remove("SLOWSTONE_LOG")
        .env_remove("SLOWSTONE_DATA");
    command
}

/// The program with no more than `files` open at once.
pub fn with_files(files: u32) -> Command {
    let mut command = Command::new("sh");
    command
        .args(["-c", &format!("ulimit -n {files}; exec \"$0\" \"$@\"")])
        .arg(env!("CARGO_BIN_EXE_slowstone"))
        .env_remove("SLOWSTONE_LOG")
        .env_remove("SLOWSTONE_DATA");
    command
}

/// What a command that ended has said.
#[derive(Debug)]
pub struct Said {
    pub status: i32,
    pub out: String,
    pub err: String,
}

/// Runs the program to its end.
pub fn said(args: &[&str]) -> Said {
    let output = slowstone().args(args).output().unwrap();
    Said {
        status: output.status.code().unwrap(),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

/// A photo with a date in its EXIF.
pub const PICTURE: &[u8] = include_bytes!("../../../../../demo-data/photos/step1-fresh.jpg");

/// Sends the photo with one byte behind its end, by which each is another one.
pub fn send_photo(hub: &Hub, last: u8) -> Value {
    let path = format!("/api/sites/site-0001/photos?by=Jonas&name={last}.jpg");
    hub.post(&path, &[PICTURE, &[last]].concat())
}

/// A hub as a process of its own.
pub struct Hub {
    pub child: Child,
    out: BufReader<ChildStdout>,
    pub base: String,
    pub token: String,
}

impl Hub {
    /// Starts it on the data in `dir`.
    pub fn start(dir: &Path, more: &[&str]) -> Self {
        Self::launch(slowstone(), dir, more)
    }

    /// Starts it by a command that ends in the program.
    pub fn launch(mut command: Command, dir: &Path, more: &[&str]) -> Self {
        let port: &[&str] = if more.contains(&"--port") {
            &[]
        } else {
            &["--port", "0"]
        };
        let mut child = command
            .args([&["hub"], port].concat())
            .args(["--clock", "2026-10-03T10:00:00Z"])
            .arg("--data")
            .arg(dir)
            .args(more)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut out = BufReader::new(child.stdout.take().unwrap());
        let mut line = String::new();
        out.read_line(&mut line).unwrap();
        let url = line
            .trim()
            .strip_prefix("Slowstone is running at ")
            .unwrap();
        let (base, token) = url.split_once("/?t=").unwrap();
        let (base, token) = (base.to_owned(), token.to_owned());
        Self {
            child,
            out,
            base,
            token,
        }
    }

    pub fn get(&self, path: &str) -> Value {
        let mut answer = ureq::get(format!("{}{path}", self.base))
            .header("authorization", format!("Bearer {}", self.token))
            .call()
            .unwrap();
        answer.body_mut().read_json().unwrap()
    }

    pub fn post(&self, path: &str, body: &[u8]) -> Value {
        let (status, said) = self.try_post(path, body);
        assert_eq!(status, 200, "{said}");
        said
    }

    /// Status and answer, whatever they are.
    pub fn try_post(&self, path: &str, body: &[u8]) -> (u16, Value) {
        let mut answer = ureq::post(format!("{}{path}", self.base))
            .config()
            .http_status_as_error(false)
            .build()
            .header("authorization", format!("Bearer {}", self.token))
            .send(body)
            .unwrap();
        let said = answer.body_mut().read_json().unwrap();
        (answer.status().as_u16(), said)
    }

    pub fn signal(&self, name: &str) {
        let id = self.child.id().to_string();
        let sent = Command::new("kill").args(["-s", name, &id]).status();
        assert!(sent.unwrap().success());
    }

    /// Tells it to stop and waits for its end.
    pub fn stop(self) {
        self.signal("TERM");
        assert_eq!(self.end().0, Some(0));
    }

    /// Exit status and the rest of what it printed, when it has ended.
    pub fn end(mut self) -> (Option<i32>, String) {
        let mut rest = String::new();
        self.out.read_to_string(&mut rest).unwrap();
        (self.child.wait().unwrap().code(), rest)
    }
}

impl Drop for Hub {
    /// A test that fails leaves no hub behind.
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

pub fn event(id: &str, kind: &str, body: Value) -> Value {
    json!({ "id": id, "site": "site-0001", "by": "Jonas", "at_ms": 1_791_021_600_000_i64,
        "kind": kind, "body": body })
}

pub fn log(hub: &Hub, events: Value) {
    let body = json!({ "events": events }).to_string();
    assert_eq!(
        hub.post("/api/events", body.as_bytes())["refused"],
        json!([])
    );
}

pub fn the_site() -> Value {
    event(
        "site-0001",
        "site",
        json!({ "name": "Landing", "tz": "Europe/Oslo" }),
    )
}
