//! Corrections, conflicts, retractions and the history of a record.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

mod making;

use making::*;
use serde_json::{Value, json};
use slowstone_logbook::Event;
use slowstone_logbook::view::PourView;

fn view(events: &[Event]) -> PourView {
    book(events)
        .pour_view(SITE, "pour-0001", hours(20.0))
        .unwrap()
}

fn poured() -> Vec<Event> {
    let mut events = plan();
    events.push(pour(1, MORNING));
    events
}

#[test]
fn a_correction_changes_the_record_and_not_the_event() {
    let mut events = poured();
    events.push(correction(
        "corr-0001",
        hours(1.0),
        "pour-0001",
        json!({"air_c": 25.0}),
        &[],
    ));
    let seen = view(&events);
    assert_eq!(seen.pour.fact.air_c, Some(25.0));
    assert!(seen.pour.edited);
    assert_eq!(book(&events).get("pour-0001").unwrap().body["air_c"], 18.0);
    // null empties a field that may be empty.
    events.push(correction(
        "corr-0002",
        hours(2.0),
        "pour-0001",
        json!({"air_c": null}),
        &["corr-0001"],
    ));
    assert_eq!(view(&events).pour.fact.air_c, None);
}

#[test]
fn a_later_temperature_reckons_everything_anew() {
    let mut events = poured();
    let before = view(&events);
    events.push(correction(
        "corr-0001",
        hours(1.0),
        "pour-0001",
        json!({"air_c": 8.0, "concrete_c": 9.0}),
        &[],
    ));
    let after = view(&events);
    for (warm, cool) in before.milestones.iter().zip(&after.milestones).take(5) {
        assert!(cool.opens.likely > warm.opens.likely, "{:?}", warm.kind);
    }
}

#[test]
fn two_that_did_not_see_each_other_are_both_kept() {
    let mut events = poured();
    events.push(correction(
        "corr-0001",
        hours(2.0),
        "pour-0001",
        json!({"air_c": 25.0}),
        &[],
    ));
    events.push(correction(
        "corr-0002",
        hours(1.0),
        "pour-0001",
        json!({"air_c": 12.0}),
        &[],
    ));
    let site = book(&events).site_view(SITE, hours(20.0)).unwrap();
    let conflict = &site.conflicts[0];
    assert_eq!(
        (conflict.target.as_str(), conflict.field.as_str()),
        ("pour-0001", "air_c")
    );
    let values: Vec<&Value> = conflict.versions.iter().map(|v| &v.value).collect();
    assert_eq!(values, [&json!(25.0), &json!(12.0)]);
    // Until somebody settles it, the later one by its device's clock is shown.
    assert_eq!(view(&events).pour.fact.air_c, Some(25.0));
    // A correction that saw both settles it, though its clock is ten years slow.
    events.push(correction(
        "corr-0003",
        hours(-87_600.0),
        "pour-0001",
        json!({"air_c": 12.0}),
        &["corr-0001", "corr-0002"],
    ));
    let site = book(&events).site_view(SITE, hours(20.0)).unwrap();
    assert!(site.conflicts.is_empty());
    assert_eq!(view(&events).pour.fact.air_c, Some(12.0));
}

#[test]
fn different_fields_do_not_conflict() {
    let mut events = poured();
    events.push(correction(
        "corr-0001",
        hours(2.0),
        "pour-0001",
        json!({"air_c": 25.0}),
        &[],
    ));
    events.push(correction(
        "corr-0002",
        hours(2.0),
        "pour-0001",
        json!({"note": "windy"}),
        &[],
    ));
    let seen = view(&events).pour.fact;
    assert_eq!((seen.air_c, seen.note.as_str()), (Some(25.0), "windy"));
    assert!(
        book(&events)
            .site_view(SITE, hours(20.0))
            .unwrap()
            .conflicts
            .is_empty()
    );
}

#[test]
fn a_correction_that_cannot_be_is_left_out_and_said() {
    let mut events = poured();
    events.push(correction(
        "corr-0001",
        hours(1.0),
        "pour-0001",
        json!({"note": "good"}),
        &[],
    ));
    // 0 to 48 h after the start is allowed.
    events.push(correction(
        "corr-0002",
        hours(2.0),
        "pour-0001",
        json!({"finished_ms": hours(-5.0).0}),
        &["corr-0001"],
    ));
    let site = book(&events).site_view(SITE, hours(20.0)).unwrap();
    let problem = &site.problems[0];
    assert_eq!(
        (problem.event.as_str(), problem.code.as_str()),
        ("corr-0002", "bad_correction")
    );
    assert!(problem.text.contains("finished_ms"), "{}", problem.text);
    assert_eq!(view(&events).pour.fact.note, "good");
}

#[test]
fn taken_back_and_restored() {
    let mut events = poured();
    events.push(observation(
        "strip-001",
        "pour-0001",
        hours(10.0),
        "stripped_clean",
    ));
    assert_eq!(view(&events).observations.len(), 1);
    events.push(retraction("undo-0001", hours(10.1), "strip-001"));
    assert!(view(&events).observations.is_empty());
    events.push(retraction("undo-0002", hours(10.2), "undo-0001"));
    assert_eq!(view(&events).observations.len(), 1);
    // A correction can be taken back too.
    events.push(correction(
        "corr-0001",
        hours(11.0),
        "pour-0001",
        json!({"air_c": 30.0}),
        &[],
    ));
    events.push(retraction("undo-0003", hours(11.1), "corr-0001"));
    assert_eq!(view(&events).pour.fact.air_c, Some(18.0));
}

#[test]
fn what_hangs_on_something_taken_back_is_named_and_comes_back_with_it() {
    let mut events = poured();
    events.push(observation(
        "sheen-001",
        "pour-0001",
        hours(2.0),
        "sheen_gone",
    ));
    events.push(retraction("undo-0001", hours(3.0), "pour-0001"));
    let mut b = book(&events);
    assert!(b.pour_view(SITE, "pour-0001", hours(4.0)).is_none());
    let site = b.site_view(SITE, hours(4.0)).unwrap();
    assert_eq!(site.problems[0].code, "missing_reference");
    events.push(retraction("undo-0002", hours(3.5), "undo-0001"));
    assert_eq!(view(&events).observations.len(), 1);
}

#[test]
fn the_history_says_who_changed_what_and_when() {
    let mut events = poured();
    let mut by_ole = correction(
        "corr-0001",
        hours(1.0),
        "pour-0001",
        json!({"air_c": 25.0}),
        &[],
    );
    by_ole.by = "Ole".to_owned();
    events.push(by_ole);
    events.push(correction(
        "corr-0002",
        hours(2.0),
        "pour-0001",
        json!({"air_c": 24.0}),
        &["corr-0001"],
    ));
    events.push(retraction("undo-0001", hours(3.0), "corr-0002"));
    events.push(retraction("undo-0002", hours(4.0), "pour-0001"));
    events.push(retraction("undo-0003", hours(5.0), "undo-0002"));
    let history = book(&events).history(SITE, "pour-0001");
    let lines: Vec<(&str, &str, bool)> = history
        .iter()
        .map(|c| (c.what.as_str(), c.by.as_str(), c.retracted))
        .collect();
    assert_eq!(
        lines,
        [
            ("created", "Ada", false),
            ("corrected", "Ole", false),
            ("corrected", "Ada", true),
            ("retracted", "Ada", false),
            ("retracted", "Ada", true),
            ("restored", "Ada", false),
        ]
    );
    assert_eq!(
        history[1].fields,
        [("air_c".to_owned(), json!(18.0), json!(25.0))]
    );
    assert_eq!(
        history[2].fields,
        [("air_c".to_owned(), json!(25.0), json!(24.0))]
    );
    assert!(history.windows(2).all(|w| w[0].at_ms <= w[1].at_ms));
    assert!(book(&events).history(SITE, "nowhere-1").is_empty());
    assert!(book(&events).history("another-1", "pour-0001").is_empty());
}
