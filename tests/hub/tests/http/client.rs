//! A hub on any free port and a small client for it.

use serde_json::{Value, json};
use slowstone_hub::trust::lan::Setup;
use slowstone_hub::{Clock, Config, Demo, Running, start};
use std::path::Path;
use tempfile::TempDir;
use tokio::runtime::Runtime;
use ureq::Agent;

/// What the hubs of these tests take for the present: 2026-10-03T10:00:00Z.
pub const NOW: i64 = 1_791_021_600_000;
pub const HOUR: i64 = 3_600_000;

/// A running hub and who talks to it.
pub struct Hub {
    running: Option<Running>,
    runtime: Runtime,
    agent: Agent,
    pub base: String,
    pub token: String,
}

/// Status, and the answer as JSON (null if it is none).
pub struct Answer {
    pub status: u16,
    pub json: Value,
    pub headers: ureq::http::HeaderMap,
    pub bytes: Vec<u8>,
}

pub fn empty_dir() -> TempDir {
    tempfile::tempdir().unwrap()
}

impl Hub {
    pub fn on(dir: &Path) -> Self {
        Self::start(dir, Demo::Empty)
    }

    pub fn start(dir: &Path, demo: Demo) -> Self {
        let runtime = Runtime::new().unwrap();
        let running = runtime.block_on(start(config(dir, demo))).unwrap();
        let (base, token) = running.url().split_once("/?t=").unwrap();
        let (base, token) = (base.to_owned(), token.to_owned());
        let agent = Agent::config_builder()
            .http_status_as_error(false)
            .max_redirects(0)
            .max_redirects_will_error(false)
            .build()
            .into();
        Self {
            running: Some(running),
            runtime,
            agent,
            base,
            token,
        }
    }

    pub fn port(&self) -> u16 {
        self.running.as_ref().unwrap().addr().port()
    }

    pub fn stop(mut self) {
        let running = self.running.take().unwrap();
        self.runtime.block_on(running.stop());
    }

    pub fn get(&self, path: &str) -> Answer {
        let bearer = format!("Bearer {}", self.token);
        self.get_with(path, &[("authorization", &bearer)])
    }

    pub fn get_with(&self, path: &str, headers: &[(&str, &str)]) -> Answer {
        let mut request = self.agent.get(format!("{}{path}", self.base));
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        answer(request.call().unwrap())
    }

    pub fn post(&self, path: &str, body: &[u8]) -> Answer {
        let request = self
            .agent
            .post(format!("{}{path}", self.base))
            .header("authorization", format!("Bearer {}", self.token))
            .content_type("application/octet-stream");
        answer(request.send(body).unwrap())
    }

    pub fn post_json(&self, path: &str, body: &Value) -> Answer {
        let request = self
            .agent
            .post(format!("{}{path}", self.base))
            .header("authorization", format!("Bearer {}", self.token))
            .content_type("application/json");
        answer(request.send(body.to_string().as_bytes()).unwrap())
    }

    pub fn put(&self, path: &str, body: &[u8]) -> Answer {
        let request = self
            .agent
            .put(format!("{}{path}", self.base))
            .header("authorization", format!("Bearer {}", self.token))
            .content_type("application/octet-stream");
        answer(request.send(body).unwrap())
    }

    /// No quiet hours: at the hub's time it is four in the morning on the site.
    pub fn never_quiet(&self) {
        let path = "/api/settings/reminders";
        let mut settings = self.get(path).json["settings"].clone();
        settings["rules"]["quiet_min"] = Value::Null;
        let chosen = json!({ "settings": settings }).to_string();
        let said = self.put(path, chosen.as_bytes());
        assert_eq!(said.status, 200, "{}", said.json);
    }

    pub fn log(&self, events: Value) -> Answer {
        let body = json!({ "events": events }).to_string();
        self.post("/api/events", body.as_bytes())
    }

    /// Logs what must be taken.
    pub fn must(&self, events: Value) {
        let said = self.log(events);
        assert_eq!(said.status, 200, "{}", said.json);
    }

    pub fn site(&self) -> Value {
        let said = self.get(&format!("/api/sites/{SITE}"));
        assert_eq!(said.status, 200, "{}", said.json);
        said.json
    }

    pub fn pour(&self, pour: &str) -> Value {
        let said = self.get(&format!("/api/sites/{SITE}/pours/{pour}"));
        assert_eq!(said.status, 200, "{}", said.json);
        said.json
    }

    pub fn photo(&self, query: &str, bytes: &[u8]) -> Answer {
        self.post(&format!("/api/sites/{SITE}/photos?by=Tuva&{query}"), bytes)
    }
}

pub fn config(dir: &Path, demo: Demo) -> Config {
    Config {
        data_dir: dir.to_path_buf(),
        port: 0,
        demo,
        clock: Clock::parse("2026-10-03T10:00:00Z").unwrap(),
        lan: Setup::default(),
    }
}

fn answer(mut response: ureq::http::Response<ureq::Body>) -> Answer {
    let read = response
        .body_mut()
        .with_config()
        .limit(100 << 20)
        .read_to_vec();
    let bytes = read.unwrap();
    Answer {
        status: response.status().as_u16(),
        json: serde_json::from_slice(&bytes).unwrap_or(Value::Null),
        headers: response.headers().clone(),
        bytes,
    }
}

pub const SITE: &str = "site-0001";

/// An entry as a phone sends it.
pub fn event(id: &str, kind: &str, body: Value) -> Value {
    json!({ "id": id, "site": SITE, "by": "Tuva", "at_ms": NOW, "kind": kind, "body": body })
}

pub fn the_site() -> Value {
    let body =
        json!({ "name": "Landing", "place": "River", "tz": "America/Denver", "units": "us" });
    event(SITE, "site", body)
}

pub fn a_flight_with_two_steps() -> Value {
    let step = |n: u32| json!({ "flight": "flight-01", "number": n, "width_m": 1.2, "depth_m": 0.4, "rise_m": 0.17 });
    json!([
        the_site(),
        event(
            "flight-01",
            "flight",
            json!({ "name": "Down to the river" })
        ),
        event("step-0001", "step", step(1)),
        event("step-0002", "step", step(2)),
    ])
}

pub fn a_mix() -> Value {
    let body = json!({
        "name": "Bag", "bag_kg": 30.0, "yield_l": 14.0, "water_min_l": 2.4, "water_max_l": 3.0,
        "cement_pct": 14.0, "class_mpa": 27.6, "class_7d_mpa": 17.2,
    });
    event("mix-00001", "mix", body)
}

/// A pour of step 1 that began so many hours ago.
pub fn a_pour(id: &str, hours_ago: i64) -> Value {
    let body = json!({
        "step": "step-0001", "mix": "mix-00001", "started_ms": NOW - hours_ago * HOUR,
        "air_c": 18.0, "concrete_c": 20.0, "rh_pct": 60.0, "wind_kmh": 8.0, "sky": "broken",
    });
    event(id, "pour", body)
}
