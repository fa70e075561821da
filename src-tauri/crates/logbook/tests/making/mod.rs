//! Events for the tests, made the way a phone makes them. Invented data.

#![allow(dead_code, reason = "each test file uses its own part")]

use chrono::{DateTime, Offset, TimeZone};
use chrono_tz::Tz;
use serde_json::{Map, Value, json};
use slowstone_curing::units::AtMs;
use slowstone_logbook::{Book, Event, Zones};

pub const SITE: &str = "site-0001";
pub const FLIGHT: &str = "flight-01";
/// 2026-06-10T07:00Z.
pub const MORNING: AtMs = AtMs(1_781_074_800_000);

pub fn hours(h: f64) -> AtMs {
    AtMs(MORNING.0 + (h * 3_600_000.0) as i64)
}

pub fn body(value: Value) -> Map<String, Value> {
    value.as_object().cloned().unwrap()
}

/// An event of `Ada`'s phone, logged at `at`.
pub fn event(id: &str, at: AtMs, kind: &str, value: Value) -> Event {
    Event {
        id: id.to_owned(),
        site: SITE.to_owned(),
        by: "Ada".to_owned(),
        at_ms: at,
        kind: kind.to_owned(),
        body: body(value),
    }
}

pub fn correction(id: &str, at: AtMs, target: &str, changes: Value, seen: &[&str]) -> Event {
    let value = json!({"target": target, "changes": changes, "seen": seen});
    event(id, at, "correction", value)
}

pub fn retraction(id: &str, at: AtMs, target: &str) -> Event {
    event(id, at, "retraction", json!({"target": target}))
}

/// A site with a flight of three steps, a mix, a pigment, a form and a liner.
pub fn plan() -> Vec<Event> {
    let at = hours(-48.0);
    let mut events = vec![
        event(
            SITE,
            at,
            "site",
            json!({"name": "Landing", "tz": "Europe/Oslo"}),
        ),
        event(FLIGHT, at, "flight", json!({"name": "Down to the water"})),
        event(
            "mix-00001",
            at,
            "mix",
            json!({"name": "Plain bag", "bag_kg": 30.0, "yield_l": 14.0, "water_min_l": 2.2,
                "water_max_l": 3.0, "cement_pct": 14.0, "class_mpa": 27.6, "class_7d_mpa": 17.2}),
        ),
        event(
            "ochre-001",
            at,
            "additive",
            json!({"name": "Ochre", "kind": "pigment", "min_pct": 1.0, "max_pct": 6.0}),
        ),
        event(
            "form-0001",
            at,
            "form",
            json!({"name": "Box", "material": "timber", "board_mm": 25.0}),
        ),
        event(
            "liner-001",
            at,
            "liner",
            json!({"name": "Slate", "relief_mm": 4.0}),
        ),
    ];
    for n in 1..=3 {
        events.push(event(
            &format!("step-{n:04}"),
            at,
            "step",
            json!({"flight": FLIGHT, "number": n, "width_m": 1.2, "depth_m": 0.4,
                "rise_m": 0.15, "on_step_below": n > 1}),
        ));
    }
    events
}

/// A pour of step `n` at `at` in mild weather.
pub fn pour(n: u32, at: AtMs) -> Event {
    event(
        &format!("pour-{n:04}"),
        at,
        "pour",
        json!({"step": format!("step-{n:04}"), "mix": "mix-00001", "form": "form-0001",
            "started_ms": at.0, "air_c": 18.0, "concrete_c": 19.0, "rh_pct": 60.0,
            "wind_kmh": 8.0, "sky": "broken"}),
    )
}

pub fn observation(id: &str, pour: &str, at: AtMs, what: &str) -> Event {
    let value = json!({"pour": pour, "at_ms": at.0, "what": what});
    event(id, at, "observation", value)
}

/// The IANA tables, as the hub has them.
#[derive(Debug)]
pub struct Iana;

impl Zones for Iana {
    fn offset_min(&self, tz: &str, at: AtMs) -> Option<i32> {
        let zone: Tz = tz.parse().ok()?;
        let utc = DateTime::from_timestamp_millis(at.0)?.naive_utc();
        Some(zone.offset_from_utc_datetime(&utc).fix().local_minus_utc() / 60)
    }
}

pub fn book(events: &[Event]) -> Book {
    let mut book = Book::with_zones(Iana);
    for e in events {
        assert!(book.check(e).is_ok(), "{e:?}: {:?}", book.check(e));
        book.add(e.clone());
    }
    book
}
