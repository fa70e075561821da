//! Every kind is read as it is written, field by field.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

use serde_json::{Value, json};
use slowstone_logbook::facts::Fact;

/// A body of each kind with every field that it has, none at its default. The hub's tests and
/// the browser's put other values into the same ones.
fn full() -> Vec<(String, Value)> {
    serde_json::from_str(include_str!("../../../../tests/data/bodies.json")).unwrap()
}

fn written(fact: &Fact) -> Value {
    macro_rules! each {
        ($($kind:ident)+) => {
            match fact { $(Fact::$kind(x) => serde_json::to_value(x).unwrap(),)+ }
        };
    }
    each!(Archive Entered Copied Site Flight Step Mix Additive Form Liner Pour Batch Reading Forecast Hourly
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
    let full_kinds = full();
    let kinds: Vec<&str> = full_kinds.iter().map(|(kind, _)| kind.as_str()).collect();
    assert_eq!(kinds, Fact::KINDS);
    for (kind, body) in full() {
        assert_eq!(written(&parse(&kind, &body).unwrap()), body, "{kind}");
    }
}

#[test]
fn a_field_is_left_out_refused_or_named_and_never_guessed() {
    for (kind, body) in full() {
        for field in body.as_object().unwrap().keys() {
            // Without it: refused by its name, or the rest is kept.
            let mut less = body.clone();
            less.as_object_mut().unwrap().remove(field);
            match parse(&kind, &less) {
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
            let (at, why) = parse(&kind, &odd).unwrap_err();
            assert_eq!(at, *field, "{kind}: {why}");
            assert!(why.contains("must be"), "{kind}.{field}: {why}");
        }
        let mut more = body.clone();
        more["surprise"] = json!(1);
        let (at, why) = parse(&kind, &more).unwrap_err();
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
