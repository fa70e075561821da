//! A hub as a process of its own, a connection to it, and what the system says it occupies.
//!
//! Also the entries that all measurements send. What is measured is beside this file.

use crate::Done;
use serde_json::{Value, json};
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// 2026-10-03T10:00Z, the hub's clock.
pub const NOW: i64 = 1_791_021_600_000;

/// A running hub; it is ended when this is dropped.
pub struct Hub {
    child: Child,
    base: String,
    token: String,
    /// From its start to its address.
    pub started: Duration,
}

impl Hub {
    /// Starts it on the data in `dir`.
    pub fn start(dir: &Path) -> Done<Self> {
        Self::start_with(dir, &["--empty"])
    }

    /// The same with more words on its command line.
    pub fn start_with(dir: &Path, words: &[&str]) -> Done<Self> {
        let begun = Instant::now();
        let mut child = Command::new(std::env::current_exe()?)
            .args(["hub", "--port", "0"])
            .args(words)
            .arg("--data")
            .arg(dir)
            .args(["--clock", "2026-10-03T10:00:00Z"])
            .env("SLOWSTONE_LOG", "warn")
            .stdout(Stdio::piped())
            .spawn()?;
        let line = first_line(&mut child)?;
        let address = line.trim().rsplit(' ').next().unwrap_or_default();
        let (base, token) = address
            .split_once("/?t=")
            .ok_or_else(|| format!("the hub did not start: {line}"))?;
        Ok(Self {
            child,
            base: base.to_owned(),
            token: token.to_owned(),
            started: begun.elapsed(),
        })
    }

    /// A connection of its own, as one phone has.
    pub fn connect(&self) -> Link {
        let config = ureq::Agent::config_builder()
            .timeout_global(Some(Duration::from_secs(300)))
            .http_status_as_error(false);
        Link {
            agent: config.build().into(),
            base: self.base.clone(),
            token: format!("Bearer {}", self.token),
        }
    }

    /// A line of what Linux says of the process, in MB: `VmRSS` now, `VmHWM` at most
    /// (proc_pid_status(5)). None on another system.
    pub fn megabytes(&self, name: &str) -> Option<f64> {
        let said = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).ok()?;
        let line = said.lines().find_map(|l| l.strip_prefix(name))?;
        let kb = line.trim_start_matches(':').split_whitespace().next()?;
        Some((kb.parse::<f64>().ok()? / 1024.0).round())
    }
}

impl Drop for Hub {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The first line that a program prints.
pub fn first_line(child: &mut Child) -> Done<String> {
    let mut line = String::new();
    if let Some(out) = child.stdout.take() {
        BufReader::new(out).read_line(&mut line)?;
    }
    Ok(line)
}

/// One connection.
pub struct Link {
    agent: ureq::Agent,
    base: String,
    token: String,
}

impl Link {
    /// Status and answer.
    pub fn ask(&self, method: &str, path: &str, body: &[u8]) -> Done<(u16, Vec<u8>)> {
        let request = ureq::http::Request::builder()
            .method(method)
            .uri(format!("{}{path}", self.base))
            .header("authorization", &self.token);
        let mut answer = if method == "GET" {
            self.agent.run(request.body(())?)?
        } else {
            self.agent.run(request.body(body)?)?
        };
        let status = answer.status().as_u16();
        let most = 256 << 20;
        let bytes = answer.body_mut().with_config().limit(most).read_to_vec()?;
        Ok((status, bytes))
    }

    /// The answer as JSON, if all went well.
    pub fn json(&self, method: &str, path: &str, body: &[u8]) -> Done<Value> {
        let (status, bytes) = self.ask(method, path, body)?;
        if status != 200 {
            let said = String::from_utf8_lossy(&bytes);
            return Err(format!("{method} {path}: {status} {said}").into());
        }
        Ok(serde_json::from_slice(&bytes)?)
    }

    /// Logs the entries that make these sites, which are then there for all.
    pub fn make_sites(&self, count: usize) -> Done<()> {
        let made: Vec<Value> = (0..count)
            .map(|n| {
                entry(
                    &site(n),
                    n,
                    "site",
                    &json!({"name": "A", "tz": "Europe/Oslo"}),
                )
            })
            .collect();
        let body = json!({ "events": made }).to_string();
        self.json("POST", "/api/events", body.as_bytes())?;
        Ok(())
    }
}

/// A number in an answer.
pub fn number(answer: &Value, field: &str) -> usize {
    let number = answer.get(field).and_then(Value::as_u64);
    number.map_or(0, |n| usize::try_from(n).unwrap_or(usize::MAX))
}

/// The id of a site.
pub fn site(n: usize) -> String {
    format!("site-{n:04}")
}

/// An entry on site `n`.
pub fn entry(id: &str, n: usize, kind: &str, body: &Value) -> Value {
    json!({ "id": id, "site": site(n), "by": "Ada", "at_ms": NOW, "kind": kind, "body": body })
}

/// A reading as a phone writes it, some 250 bytes.
pub fn reading(id: &str, n: usize, at: i64) -> String {
    let body = json!({ "at_ms": at, "air_c": 9.5, "rh_pct": 71.0, "wind_kmh": 6.0,
        "note": "by the stairs, in the shade" });
    entry(id, n, "reading", &body).to_string()
}
