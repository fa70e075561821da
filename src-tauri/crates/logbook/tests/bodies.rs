//! Every kind is read as it is written, field by field.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

use serde_json::{Value, json};
use slowstone_logbook::facts::Fact;

/// A body of each kind with every field that it has, none at its default.
fn full() -> Vec<(&'static str, Value)> {
    let (t, id) = (1_781_074_800_000_i64, "entry-0001");
    vec![
        (
            "site",
            json!({"name": "Landing", "place": "By the boathouse", "tz": "Europe/Oslo", "units": "us",
            "lat": 59.9, "lon": 10.7, "located": "town"}),
        ),
        ("flight", json!({"name": "Down", "note": "nine steps"})),
        (
            "step",
            json!({"flight": id, "number": 3, "name": "third", "width_m": 1.2, "depth_m": 0.4,
            "rise_m": 0.15, "on_step_below": true}),
        ),
        (
            "mix",
            json!({"name": "Bag", "bag_kg": 30.0, "yield_l": 14.0, "water_min_l": 2.2, "water_max_l": 3.0,
            "cement_pct": 14.0, "class_mpa": 27.6, "class_7d_mpa": 17.2, "rapid": true, "note": "dry"}),
        ),
        (
            "additive",
            json!({"name": "Ochre", "kind": "improvised", "liquid": true, "min_pct": 1.0,
            "max_pct": 5.0, "note": "powder"}),
        ),
        (
            "form",
            json!({"name": "Box", "material": "steel", "board_mm": 3.0}),
        ),
        (
            "liner",
            json!({"name": "Slate", "relief_mm": 4.0, "undercut": true}),
        ),
        (
            "pour",
            json!({"step": id, "name": "sample", "mix": id, "form": id, "liner": id, "liner_side": "wavy", "started_ms": t,
            "finished_ms": t + 1, "air_c": 18.0, "concrete_c": 19.0, "rh_pct": 60.0, "wind_kmh": 8.0,
            "sky": "broken", "confirmed": true, "note": "calm"}),
        ),
        (
            "batch",
            json!({"pour": id, "bags": 2.0, "water_l": 5.0,
            "additives": [{"additive": id, "amount": 40.0}], "at_ms": t, "note": "stiff"}),
        ),
        (
            "reading",
            json!({"pour": id, "at_ms": t, "air_c": 1.0, "concrete_c": 2.0, "place": "surface",
            "rh_pct": 3.0, "wind_kmh": 4.0, "sky": "overcast", "confirmed": true, "note": "shade"}),
        ),
        (
            "forecast",
            json!({"date": "2026-06-12", "min_c": 1.0, "max_c": 2.0, "rh_pct": 3.0, "wind_kmh": 4.0,
            "sky": "overcast"}),
        ),
        (
            "hourly",
            json!({"source": "logger", "rows": [{"at_ms": t, "air_c": 1.0, "concrete_c": 4.0,
            "rh_pct": 2.0, "wind_kmh": 3.0, "rain_mm_h": 0.5}], "pour": id, "place": "edge"}),
        ),
        (
            "observation",
            json!({"pour": id, "at_ms": t, "what": "strength", "mpa": 5.0, "confirmed": true, "note": "core"}),
        ),
        (
            "photo",
            json!({"pour": id, "step": id, "stage": "texture", "filing": "stage", "hash": "ab".repeat(32), "bytes": 9, "name": "a.jpg",
            "format": "jpeg", "width_px": 4, "height_px": 3, "taken_ms": t, "time_source": "exif_offset",
            "camera": "C", "lat": 1.0, "lon": 2.0, "problems": ["blurred"], "note": "front"}),
        ),
        (
            "mark",
            json!({"pour": id, "milestone": "form_off", "what": "snoozed", "until_ms": t}),
        ),
        ("unlearn", json!({"mix": id, "before_ms": t})),
        (
            "layout",
            json!({"flight": id, "bank_rise_m": 1.5, "bank_run_m": 2.4, "overlap_m": 0.16,
            "fall_pct": 1.0, "base_m": 0.1, "drain_m": 0.05}),
        ),
        (
            "rules",
            json!({"name": "Town", "riser_max_mm": 190.0, "going_min_mm": 260.0, "variation_max_mm": 9.0,
            "two_r_plus_t_min_mm": 600.0, "two_r_plus_t_max_mm": 660.0, "fall_min_pct": 1.0,
            "fall_max_pct": 2.0}),
        ),
        (
            "materials",
            json!({"mix": id, "waste_pct": 5.0, "mixer_l": 60.0,
            "doses": [{"additive": id, "dose_pct": 3.0}], "mesh_gap_mm": 25.0, "rubber_mm": 12.0,
            "rubber_kg_l": 1.1, "rubber_waste_pct": 10.0}),
        ),
        (
            "crew",
            json!({"from_h": 8.0, "until_h": 20.0, "days_off": ["sun"], "forms": 2, "pour_h": 1.5,
            "wash_h": 1.0, "dry_h": 4.0, "reset_h": 2.0}),
        ),
        ("planned", json!({"step": id, "at_ms": t})),
        ("bought", json!({"item": "bags", "done": true})),
        ("checklist", json!({"points": ["base_level", "Call Jonas"]})),
        (
            "ticked",
            json!({"step": id, "point": "base_level", "done": true}),
        ),
        ("archive", json!({"done": true})),
        ("copied", json!({"record": id, "name": "The other bank"})),
        (
            "card",
            json!({"name": "Grey", "kind": "white_paper", "lab_d65": [49.5, 0.0, -0.5]}),
        ),
        (
            "colour",
            json!({"photo": id, "pour": id, "patch": [1, 2, 30, 40],
            "references": [{"card": id, "rect": [50, 2, 70, 30], "lab_d65": [49.5, 0.0, 0.0]}],
            "lab_d65": [58.5, 10.25, 8.0], "sd_lab": [0.5, 0.25, 0.25], "own_sd_lab": [0.25, 0.125, 0.125],
            "state": "damp", "warnings": ["light_changes"], "note": "left end"}),
        ),
        (
            "correction",
            json!({"target": id, "changes": {"air_c": null, "note": "x"}, "seen": [id]}),
        ),
        ("retraction", json!({"target": id, "why": "twice"})),
    ]
}

fn written(fact: &Fact) -> Value {
    macro_rules! each {
        ($($kind:ident)+) => {
            match fact { $(Fact::$kind(x) => serde_json::to_value(x).unwrap(),)+ }
        };
    }
    each!(Archive Copied Site Flight Step Mix Additive Form Liner Pour Batch Reading Forecast Hourly
        Observation Photo Mark Unlearn Layout Rules Materials Crew Planned Bought Checklist Ticked
        Card Colour Correction Retraction)
}

fn parse(kind: &str, body: &Value) -> Result<Fact, (String, String)> {
    match Fact::parse(kind, body.as_object().unwrap()) {
        Ok(fact) => Ok(fact.unwrap()),
        Err(e) => Err((e.field, e.reason.to_string())),
    }
}

#[test]
fn every_kind_is_read_as_it_is_written() {
    let kinds: Vec<&str> = full().iter().map(|(kind, _)| *kind).collect();
    assert_eq!(kinds, Fact::KINDS);
    for (kind, body) in full() {
        assert_eq!(written(&parse(kind, &body).unwrap()), body, "{kind}");
    }
}

#[test]
fn a_field_is_left_out_refused_or_named_and_never_guessed() {
    for (kind, body) in full() {
        for field in body.as_object().unwrap().keys() {
            // Without it: refused by its name, or the rest is kept.
            let mut less = body.clone();
            less.as_object_mut().unwrap().remove(field);
            match parse(kind, &less) {
                Ok(fact) => {
                    let mut back = written(&fact);
                    back.as_object_mut().unwrap().remove(field);
                    assert_eq!(back, less, "{kind}.{field}");
                }
                Err((at, _)) => assert_eq!(at, *field, "{kind}.{field}"),
            }
            // Of another kind: refused by its name.
            let mut odd = body.clone();
            odd[field] = json!([[1]]);
            let (at, why) = parse(kind, &odd).unwrap_err();
            assert_eq!(at, *field, "{kind}: {why}");
            assert!(why.contains("must be"), "{kind}.{field}: {why}");
        }
        let mut more = body.clone();
        more["surprise"] = json!(1);
        let (at, why) = parse(kind, &more).unwrap_err();
        assert_eq!(at, "surprise", "{kind}");
        assert!(why.contains("unknown field"), "{why}");
    }
}

#[test]
fn what_lies_inside_is_named_too() {
    let dose = |dose: Value| json!({"pour": "pour-0001", "bags": 1, "additives": [dose]});
    let at = |body: Value| parse("batch", &body).unwrap_err().0;
    assert_eq!(at(dose(json!({"additive": "ochre-001"}))), "amount");
    assert_eq!(
        at(dose(json!({"additive": "ochre-001", "amount": "much"}))),
        "amount"
    );
    assert_eq!(
        at(dose(json!({"additive": "ochre-001", "amount": 1, "x": 1}))),
        "x"
    );
    // A list is not an object, though its values would fit the fields in order.
    assert_eq!(at(dose(json!(["ochre-001", 40]))), "additives");
    // A word that there is not is answered with those that there are.
    let (field, why) = parse(
        "mark",
        &json!({"pour": "pour-0001", "milestone": "form_off", "what": "seen"}),
    )
    .unwrap_err();
    assert_eq!(field, "what");
    assert!(why.contains("snoozed"), "{why}");
}
