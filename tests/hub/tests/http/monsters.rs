//! Entries at the edges: a full body of each kind (`tests/data/bodies.json`), and each of its
//! fields in turn with values that nobody should send. No checks here.

use crate::client::{HOUR, NOW, SITE, event};
use serde_json::{Value, json};
use slowstone_logbook::limits::{LIMITS, Limit};
use slowstone_sync::{Outbox, StreamId};

/// A site on which every reference of the full bodies leads somewhere, as somebody logged it.
pub fn honest() -> Vec<Value> {
    let at = NOW - 7 * HOUR;
    let step = |n: u32| json!({ "flight": "flight-01", "number": n, "width_m": 1.2, "depth_m": 0.4, "rise_m": 0.17 });
    let mix = json!({ "name": "Bag", "bag_kg": 30.0, "yield_l": 14.0, "water_min_l": 2.4,
        "water_max_l": 3.0, "cement_pct": 14.0, "class_mpa": 27.6 });
    let photo = json!({ "pour": "pour-0001", "stage": "fresh", "hash": "cd".repeat(32), "bytes": 9,
        "name": "b.jpg", "format": "jpeg", "taken_ms": at, "time_source": "arrival" });
    vec![
        event(
            SITE,
            "site",
            json!({ "name": "Landing", "tz": "America/Denver" }),
        ),
        event(
            "flight-01",
            "flight",
            json!({ "name": "Down to the river" }),
        ),
        event("step-0001", "step", step(1)),
        event("step-0002", "step", step(2)),
        event("mix-00001", "mix", mix),
        event(
            "ochre-001",
            "additive",
            json!({ "name": "Ochre", "kind": "pigment" }),
        ),
        event(
            "form-0001",
            "form",
            json!({ "name": "Box", "material": "timber", "board_mm": 25.0 }),
        ),
        event(
            "liner-001",
            "liner",
            json!({ "name": "Slate", "relief_mm": 4.0 }),
        ),
        event(
            "pour-0001",
            "pour",
            json!({ "step": "step-0001", "mix": "mix-00001", "started_ms": at,
            "air_c": 12.0, "concrete_c": 14.0, "note": "as it was" }),
        ),
        event(
            "batch-001",
            "batch",
            json!({ "pour": "pour-0001", "bags": 2.0, "water_l": 5.0 }),
        ),
        event(
            "read-0001",
            "reading",
            json!({ "pour": "pour-0001", "at_ms": at, "air_c": 11.0 }),
        ),
        event(
            "read-0002",
            "reading",
            json!({ "at_ms": at, "air_c": 10.0 }),
        ),
        event(
            "fix-00001",
            "correction",
            json!({ "target": "read-0001", "changes": { "air_c": 11.5 } }),
        ),
        event("photo-001", "photo", photo),
        event(
            "card-0001",
            "card",
            json!({ "name": "Grey", "kind": "grey_card", "lab_d65": [50.0, 0.0, 0.0] }),
        ),
    ]
}

/// A batch of one record, in a stream of its own.
pub fn streamed(n: usize, body: &str) -> Value {
    let stream = StreamId::new("phonerebound", &format!("epoch{n:05}")).unwrap();
    let mut phone = Outbox::new(stream);
    phone.write(body.to_owned()).unwrap();
    serde_json::to_value(phone.batch(1).unwrap()).unwrap()
}

/// The full bodies of all kinds.
pub fn bodies() -> Vec<(String, Value)> {
    serde_json::from_str(include_str!("../../../data/bodies.json")).unwrap()
}

/// Values that a field of this name may be sent with.
fn odd(field: &str) -> Vec<Value> {
    let mut all = vec![
        json!(null),
        json!(true),
        json!(false),
        json!([]),
        json!({}),
        json!([[[["deep"]]]]),
        (0..40).fold(json!(1), |inner, _| json!({ "a": inner })),
        json!([null, 1, "x", {}]),
        json!(vec!["same"; 3]),
        json!(vec![1; 1000]),
    ];
    for n in [
        0.0,
        -0.0,
        1.0,
        -1.0,
        0.5,
        1e-9,
        5e-324,
        1e21,
        1e308,
        -1e308,
        0.1 + 0.2,
    ] {
        all.push(json!(n));
    }
    for n in [
        0,
        1,
        -1,
        1 << 53,
        i64::MAX,
        i64::MIN,
        NOW,
        NOW + 400 * 24 * HOUR,
    ] {
        all.push(json!(n));
    }
    all.push(json!(u64::MAX));
    // The ends of its range are taken, what lies beyond is not.
    for l in LIMITS.iter().filter(|l| l.field == field) {
        for n in [l.min, l.max, l.min - 1.0, l.max + 1.0] {
            all.push(json!(n));
            if n.fract() == 0.0 {
                all.push(json!(n as i64));
            }
        }
    }
    let texts = [
        "",
        " ",
        "\n",
        "\u{0}",
        "a\u{0}b",
        "\u{202e}txet\u{202c}\u{2066}",
        "\u{200b}",
        "\u{feff}x",
        "Z\u{334}\u{335}\u{336}a\u{30d}\u{30e}lgo\u{489}",
        "👩\u{200d}👩\u{200d}👧\u{200d}👦🇳🇴",
        "<img src=x onerror=alert(1)>",
        "{ $x } { -y }",
        "%s%n%00",
        "../../etc/passwd",
        "javascript:alert(1)",
        "0000-01-01",
        "9999-12-31",
        "UTC",
        "Factory",
        "Etc/GMT+12",
        "entry-9999",
        "__proto__",
        "constructor",
        "\"quoted\" 'text' \\ & <",
    ];
    all.extend(texts.map(|t| json!(t)));
    for length in [40, 60, 80, 120, 200, 500, 2000, 4000] {
        all.push(json!("ß".repeat(length)));
    }
    all.push(json!("W".repeat(20_000)));
    all
}

/// Every kind with each of its fields, also of the objects in its lists, at every odd value;
/// and with fields left out and added. Ids are their own; a site is its own site.
pub fn monsters() -> Vec<Value> {
    let mut bodies_of: Vec<(String, Value)> = Vec::new();
    for (kind, full) in bodies() {
        let fields: Vec<String> = full.as_object().unwrap().keys().cloned().collect();
        for field in &fields {
            for value in odd(field) {
                let mut body = full.clone();
                body[field] = value;
                bodies_of.push((kind.clone(), body));
            }
            let mut less = full.clone();
            less.as_object_mut().unwrap().remove(field);
            bodies_of.push((kind.clone(), less));
            if let Some(first) = full[field].get(0) {
                let mut twice = full.clone();
                twice[field] = json!([first, first]);
                bodies_of.push((kind.clone(), twice));
            }
            let inner = full[field].get(0).and_then(Value::as_object).cloned();
            for (name, _) in inner.into_iter().flatten() {
                for value in odd(&name) {
                    let mut body = full.clone();
                    body[field][0][&name] = value;
                    bodies_of.push((kind.clone(), body));
                }
            }
        }
        // All numbers at one end at once.
        let ends: [fn(&Limit) -> f64; 2] = [|l| l.min, |l| l.max];
        for end in ends {
            let mut body = full.clone();
            for l in LIMITS {
                if body.get(l.field).is_some_and(Value::is_f64) {
                    body[l.field] = json!(end(l));
                }
            }
            bodies_of.push((kind.clone(), body));
        }
        let mut more = full.clone();
        more["surprise"] = json!({ "x": [1, 2] });
        bodies_of.push((kind.clone(), more));
    }
    for value in odd("n") {
        bodies_of.push(("rebound".to_owned(), json!({ "n": value })));
    }
    let named = |(n, (kind, body)): (usize, (String, Value))| {
        let id = format!("monster-{n:06}");
        let mut event = event(&id, &kind, body);
        if kind == "site" {
            event["site"] = json!(id);
        }
        event
    };
    let mut all: Vec<Value> = bodies_of.into_iter().enumerate().map(named).collect();
    // The envelope.
    for field in ["id", "site", "by", "at_ms", "kind", "body"] {
        for value in odd(if field == "at_ms" { "logged_ms" } else { field }) {
            let reading = json!({ "at_ms": NOW, "air_c": 9.0 });
            let mut event = event(&format!("envelope-{:05}", all.len()), "reading", reading);
            event[field] = value;
            all.push(event);
        }
    }
    all
}

/// Every seventh of them, which an ordinary run has time for: hundreds of odd pours on one
/// site are predicted in it. With `SLOWSTONE_LONG=1` in the environment all of them.
pub fn monsters_of_this_run() -> Vec<Value> {
    let step = if std::env::var_os("SLOWSTONE_LONG").is_some() {
        1
    } else {
        7
    };
    monsters().into_iter().step_by(step).collect()
}
