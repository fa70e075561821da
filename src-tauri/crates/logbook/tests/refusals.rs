//! What cannot be is refused with its field, its value and what is allowed.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

mod making;

use making::*;
use serde_json::{Value, json};
use slowstone_logbook::Event;
use slowstone_logbook::limits::LIMITS;

fn check(kind: &str, value: Value) -> Result<(), (String, String)> {
    event("event-001", MORNING, kind, value)
        .check()
        .map_err(|e| (e.field, e.reason.to_string()))
}

fn refused(kind: &str, value: Value, field: &str, says: &str) {
    let (at, why) = check(kind, value.clone()).expect_err(&format!("{kind} {value} was taken"));
    assert_eq!(at, field, "{why}");
    assert!(why.contains(says), "{why}");
}

#[test]
fn slips_are_caught() {
    let pour = |extra: (&str, Value)| {
        let mut value = json!({"started_ms": MORNING.0});
        value[extra.0] = extra.1;
        value
    };
    assert_eq!(check("pour", json!({"started_ms": MORNING.0})), Ok(()));
    refused("pour", json!({}), "started_ms", "missing");
    // °F typed as °C.
    refused(
        "pour",
        pour(("air_c", json!(72.0))),
        "air_c",
        "from -40 to 60 °C",
    );
    refused(
        "pour",
        pour(("rh_pct", json!(140))),
        "rh_pct",
        "from 0 to 100 %",
    );
    refused(
        "pour",
        pour(("wind_kmh", json!(-3))),
        "wind_kmh",
        "from 0 to 200 km/h",
    );
    refused(
        "pour",
        pour(("air_c", json!("warm"))),
        "air_c",
        "must be a number",
    );
    refused(
        "pour",
        pour(("colour", json!("red"))),
        "colour",
        "unknown field",
    );
    refused(
        "pour",
        pour(("finished_ms", json!(hours(-1.0).0))),
        "finished_ms",
        "0 to 48 h",
    );
    // Seconds typed as milliseconds.
    refused(
        "pour",
        json!({"started_ms": MORNING.0 / 1000}),
        "started_ms",
        "must be from",
    );
    refused(
        "reading",
        json!({"at_ms": MORNING.0}),
        "air_c",
        "at least one value",
    );
    refused(
        "reading",
        json!({"at_ms": MORNING.0, "concrete_c": 20.0}),
        "pour",
        "needs the pour",
    );
    refused(
        "site",
        json!({"name": "A", "tz": "half past five"}),
        "tz",
        "not a known time zone",
    );
    refused(
        "site",
        json!({"name": " ", "tz": "UTC"}),
        "name",
        "must not be empty",
    );
    refused(
        "forecast",
        json!({"date": "12.6.2026", "min_c": 1, "max_c": 2}),
        "date",
        "YYYY-MM-DD",
    );
    refused(
        "forecast",
        json!({"date": "2026-06-12", "min_c": 9, "max_c": 2}),
        "max_c",
        "below",
    );
    refused(
        "batch",
        json!({"pour": "pour-0001", "bags": 0}),
        "bags",
        "from 0.05",
    );
    refused(
        "batch",
        json!({"pour": "pour-0001", "bags": 1, "additives": [{"additive": "ochre-001", "amount": -1}]}),
        "amount",
        "from 0",
    );
    refused(
        "observation",
        json!({"pour": "pour-0001", "at_ms": MORNING.0, "what": "strength"}),
        "mpa",
        "needs its result",
    );
    refused(
        "mark",
        json!({"pour": "pour-0001", "milestone": "form_off", "what": "snoozed"}),
        "until_ms",
        "when to ask again",
    );
    refused(
        "correction",
        json!({"target": "pour-0001", "changes": {}}),
        "changes",
        "at least one",
    );
    refused(
        "mix",
        json!({"name": "M", "bag_kg": 30, "yield_l": 1.4, "water_min_l": 2,
        "water_max_l": 3, "cement_pct": 14, "class_mpa": 27.6}),
        "yield_l",
        "1 to 3 kg",
    );
}

#[test]
fn every_range_is_kept_at_both_ends_in_a_correction_too() {
    for l in LIMITS {
        let try_it = |x: f64| {
            let mut changes = json!({});
            changes[l.field] = json!(x);
            check(
                "correction",
                json!({"target": "pour-0001", "changes": changes}),
            )
        };
        assert_eq!(try_it(l.min), Ok(()), "{l:?}");
        assert_eq!(try_it(l.max), Ok(()), "{l:?}");
        let past = (l.max - l.min) * 0.01 + 1.0;
        for x in [l.min - past, l.max + past] {
            assert_eq!(try_it(x).unwrap_err().0, l.field, "{l:?} took {x}");
        }
    }
}

#[test]
fn envelopes_are_checked_and_unknown_kinds_pass() {
    let with = |change: fn(&mut Event)| {
        let mut e = event(
            "event-001",
            MORNING,
            "hologram",
            json!({"any": [1, {"thing": null}]}),
        );
        change(&mut e);
        e.check().map_err(|e| e.field)
    };
    assert_eq!(with(|_| {}), Ok(()));
    assert_eq!(with(|e| e.id = "UPPER-001".into()), Err("id".into()));
    assert_eq!(with(|e| e.id = "../../etc".into()), Err("id".into()));
    assert_eq!(with(|e| e.site = "x".into()), Err("site".into()));
    assert_eq!(with(|e| e.by = String::new()), Err("by".into()));
    assert_eq!(with(|e| e.by = "a\u{7}b".into()), Err("by".into()));
    assert_eq!(
        with(|e| {
            e.body.insert("long".into(), "x".repeat(50_000).into());
        }),
        Err("body".into())
    );
}

#[test]
fn a_time_zone_that_there_is_not_is_refused_in_a_correction_too() {
    let book = book(&plan());
    let site = |tz: &str| event("site-0002", MORNING, "site", json!({"name": "A", "tz": tz}));
    let moved = |tz: &str| correction("corr-0001", MORNING, SITE, json!({"tz": tz}), &[]);
    for make in [&site as &dyn Fn(&str) -> Event, &moved] {
        assert_eq!(book.check(&make("America/Denver")), Ok(()));
        let refused = book.check(&make("Mars/Base")).unwrap_err();
        assert_eq!(
            (refused.field.as_str(), refused.value.as_str()),
            ("tz", "Mars/Base")
        );
        assert!(
            refused.reason.to_string().contains("not a known time zone"),
            "{}",
            refused.reason
        );
    }
    // What the envelope refuses, the book refuses.
    let mut bad = site("America/Denver");
    bad.by = String::new();
    assert_eq!(book.check(&bad).unwrap_err().field, "by");
}

#[test]
fn colours_that_cannot_be_are_refused() {
    let card = |lab: Value| json!({"name": "Grey", "lab_d65": lab});
    assert_eq!(check("card", card(json!([49.5, 0.0, 0.0]))), Ok(()));
    refused("card", card(json!([120, 0, 0])), "lab_d65", "L* from 0");
    refused("card", card(json!([50, 0])), "lab_d65", "three numbers");
    let colour = |field: &str, value: Value| {
        let seen = json!({"card": "card-0001", "rect": [1, 1, 20, 20], "lab_d65": [49.5, 0, 0]});
        let mut body = json!({"photo": "photo-001", "patch": [1, 1, 20, 20], "references": [seen],
            "lab_d65": [50, 1, 2], "sd_lab": [1, 1, 1], "own_sd_lab": [1, 1, 1]});
        body[field] = value;
        body
    };
    assert_eq!(check("colour", colour("note", json!("x"))), Ok(()));
    refused(
        "colour",
        colour("patch", json!([20, 1, 20, 20])),
        "patch",
        "x0 < x1",
    );
    refused(
        "colour",
        colour("patch", json!([1, 1, -2, 4])),
        "patch",
        "whole numbers",
    );
    refused(
        "colour",
        colour("references", json!([])),
        "references",
        "from 1 to 2",
    );
    refused(
        "colour",
        colour("sd_lab", json!([-1, 0, 0])),
        "sd_lab",
        "0 to 100",
    );
    refused("colour", colour("state", json!("moist")), "state", "`wet`");
}
