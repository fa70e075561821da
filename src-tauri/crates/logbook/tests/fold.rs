//! `fold` is total, idempotent and independent of the order of arrival, whatever arrives.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

mod making;

use making::*;
use proptest::prelude::*;
use serde_json::{Value, json};
use slowstone_curing::units::AtMs;
use slowstone_logbook::{Event, fold};

/// Ids from a small pool, so that events meet, repeat and take back each other.
fn id() -> impl Strategy<Value = String> {
    prop_oneof![
        (0..24_u32).prop_map(|n| format!("event-{n:02}")),
        Just("pour-0001".to_owned()),
        Just("step-0001".to_owned()),
        Just(SITE.to_owned()),
    ]
}

fn value() -> impl Strategy<Value = Value> {
    prop_oneof![
        any::<f64>().prop_map(|x| json!(x)),
        (-50..120_i32).prop_map(|x| json!(x)),
        "[a-zæ\\u{202e} ]{0,8}".prop_map(Value::from),
        Just(Value::Null),
        Just(json!(hours(3.0).0)),
        Just(json!([{"additive": "ochre-001", "amount": 40.0}])),
    ]
}

fn fields() -> impl Strategy<Value = Value> {
    let names = prop_oneof![
        Just("air_c"),
        Just("note"),
        Just("step"),
        Just("started_ms"),
        Just("number"),
        Just("tz"),
        Just("water_l"),
        Just("surprise"),
    ];
    prop::collection::btree_map(names.prop_map(str::to_owned), value(), 1..4)
        .prop_map(|m| Value::Object(m.into_iter().collect()))
}

fn any_event() -> impl Strategy<Value = Event> {
    let kind = prop_oneof![
        (id(), fields(), prop::collection::vec(id(), 0..3)).prop_map(|(target, changes, seen)| {
            (
                "correction",
                json!({"target": target, "changes": changes, "seen": seen}),
            )
        }),
        id().prop_map(|target| ("retraction", json!({"target": target}))),
        (id(), 0..30_i64).prop_map(|(pour, h)| {
            let what = ["sheen_gone", "thumb_mark", "stripped_clean", "rain"];
            let what = what[usize::try_from(h).unwrap() % what.len()];
            (
                "observation",
                json!({"pour": pour, "at_ms": hours(h as f64).0, "what": what}),
            )
        }),
        (-5..35_i32, 0..200_i64)
            .prop_map(|(t, h)| ("reading", json!({"air_c": t, "at_ms": hours(h as f64).0}))),
        fields().prop_map(|f| ("pour", f)),
        fields().prop_map(|f| ("of-a-later-version", f)),
    ];
    (id(), any::<i32>(), kind).prop_map(|(id, skew, (kind, value))| {
        // Clocks may be years off.
        event(&id, AtMs(MORNING.0 + i64::from(skew) * 1000), kind, value)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn the_order_of_arrival_and_repeats_change_nothing(
        wild in prop::collection::vec(any_event(), 0..24),
        order in Just((0..60_usize).collect::<Vec<_>>()).prop_shuffle(),
        twice in any::<bool>(),
    ) {
        let mut events = plan();
        events.push(pour(1, MORNING));
        events.extend(wild);
        let now = hours(30.0);
        let first = fold(&events, SITE, now);

        let mut turned: Vec<(usize, &Event)> =
            events.iter().enumerate().map(|(i, e)| (order[i % order.len()], e)).collect();
        turned.sort_by_key(|(rank, _)| *rank);
        let mut shuffled: Vec<Event> = turned.into_iter().map(|(_, e)| e.clone()).collect();
        if twice {
            shuffled.extend(events.iter().rev().cloned());
        }
        let second = fold(&shuffled, SITE, now);
        prop_assert_eq!(
            serde_json::to_string(&first).unwrap(),
            serde_json::to_string(&second).unwrap()
        );
    }

    #[test]
    fn adding_one_by_one_gives_what_folding_at_once_gives(
        wild in prop::collection::vec(any_event(), 0..16),
    ) {
        let mut events = plan();
        events.push(pour(1, MORNING));
        events.extend(wild);
        let now = hours(5.0);
        let mut grown = slowstone_logbook::Book::new();
        let mut last = None;
        for e in &events {
            grown.add(e.clone());
            // Looking in between must not leave anything stale behind.
            last = grown.site_view(SITE, now);
        }
        prop_assert_eq!(last, fold(&events, SITE, now));
    }
}

#[test]
fn what_a_newer_version_logged_is_kept_and_named() {
    let mut events = plan();
    events.push(event("later-001", MORNING, "hologram", json!({"depth": 3})));
    let book = book(&events);
    assert_eq!(book.get("later-001").unwrap().body["depth"], 3);
    let view = fold(&events, SITE, MORNING).unwrap();
    let problem = view
        .problems
        .iter()
        .find(|p| p.event == "later-001")
        .unwrap();
    assert_eq!(problem.code, "unknown_kind");
}

/// Of two that say whether a site is put away the later one counts, by its clock and not by
/// its id: programs may make ids of any kind.
#[test]
fn what_was_said_last_of_putting_away_counts() {
    let said =
        |id: &str, at: f64, done: bool| event(id, hours(at), "archive", json!({"done": done}));
    for (first, last, archived) in [(true, false, false), (false, true, true)] {
        let mut events = plan();
        events.push(said("zz-early-01", 1.0, first));
        events.push(said("aa-late-001", 2.0, last));
        let card = &book(&events).sites()[0];
        assert_eq!(card.archived, archived);
    }
}

#[test]
fn nothing_gives_no_site() {
    assert!(fold(&[], SITE, MORNING).is_none());
    assert!(fold(&plan(), "another-1", MORNING).is_none());
}

#[test]
fn a_chain_of_any_length_is_followed_to_its_end() {
    let mut events = plan();
    events.push(pour(1, MORNING));
    let mut target = "pour-0001".to_owned();
    // An odd number: taken back, restored, ... taken back.
    for n in 0..50_001 {
        let id = format!("undo-{n:06}");
        events.push(retraction(&id, hours(1.0), &target));
        target = id;
    }
    let view = fold(&events, SITE, hours(2.0)).unwrap();
    assert!(view.steps[0].pour.is_none());
    events.push(retraction("last-0001", hours(1.5), &target));
    let view = fold(&events, SITE, hours(2.0)).unwrap();
    assert!(view.steps[0].pour.is_some());
}
