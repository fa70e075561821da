//! What does not fit, and what is missing, reaches the page of a pour with the entry that a
//! person is to be asked about; the answer is a correction of that entry.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

mod making;

use making::*;
use serde_json::json;
use slowstone_curing::predict::{MilestoneKind, Missing, OddEntry, OddWhy, Seen};
use slowstone_logbook::Event;
use slowstone_logbook::view::{OddView, PourView};

fn view(events: &[Event]) -> PourView {
    book(events)
        .pour_view(SITE, "pour-0001", hours(10.0))
        .unwrap()
}

fn strip(events: &[Event]) -> f64 {
    let view = view(events);
    let kind = MilestoneKind::FormOff;
    let m = view.milestones.iter().find(|m| m.kind == kind).unwrap();
    m.opens.late.unwrap().hours_since(MORNING).value()
}

fn reading(id: &str, h: f64, body: serde_json::Value) -> Event {
    let mut body = body;
    body["at_ms"] = json!(hours(h).0);
    event(id, hours(h), "reading", body)
}

/// Odd entries are asked about by their id, moves little until confirmed, and are not asked
/// about afterwards.
#[test]
fn an_entry_that_does_not_fit_is_asked_about_until_it_is_confirmed() {
    let mut events = plan();
    events.push(pour(1, MORNING));
    for (i, h) in [3.0, 6.0, 9.0].into_iter().enumerate() {
        events.push(reading(&format!("read-000{i}"), h, json!({"air_c": 20.0})));
    }
    assert_eq!(view(&events).odd, []);
    let before = strip(&events);
    events.push(reading("read-0009", 4.5, json!({"air_c": 45.0})));
    events.push(observation(
        "none-0001",
        "pour-0001",
        hours(1.6),
        "thumb_none",
    ));
    let odd = view(&events).odd;
    let of = |id: &str| -> &OddView { odd.iter().find(|o| o.event == id).unwrap() };
    assert_eq!(odd.len(), 2, "{odd:?}");
    assert_eq!(of("read-0009").kind, "reading");
    assert_eq!(of("read-0009").odd.what, OddEntry::Air);
    assert_eq!(of("none-0001").kind, "observation");
    let why = of("none-0001").odd.why;
    assert!(
        matches!(
            why,
            OddWhy::TooEarly {
                seen: Seen::ThumbNone,
                ..
            }
        ),
        "{why:?}"
    );
    assert!(
        (strip(&events) / before - 1.0).abs() < 0.03,
        "{before} {}",
        strip(&events)
    );
    for (id, target) in [("corr-0001", "read-0009"), ("corr-0002", "none-0001")] {
        let changes = json!({"confirmed": true});
        events.push(correction(id, hours(10.0), target, changes, &[]));
    }
    assert_eq!(view(&events).odd, []);
    assert!(
        strip(&events) < before * 0.97,
        "{before} {}",
        strip(&events)
    );
}

/// The first screen asks as well: an entry of the weather once, though two pours doubt it, and
/// a contradiction of each pour with the pour that it belongs to.
#[test]
fn the_site_asks_about_each_entry_once_and_names_the_pour() {
    let mut events = plan();
    events.push(pour(1, MORNING));
    events.push(pour(2, hours(1.0)));
    for (i, h) in [3.0, 6.0, 9.0].into_iter().enumerate() {
        events.push(reading(&format!("read-000{i}"), h, json!({"air_c": 20.0})));
    }
    let asked = |events: &[Event]| book(events).site_view(SITE, hours(10.0)).unwrap().odd;
    assert_eq!(asked(&events), []);
    events.push(reading("read-0009", 4.5, json!({"air_c": 45.0})));
    for n in [1, 2] {
        let both = book(&events).pour_view(SITE, &format!("pour-000{n}"), hours(10.0));
        assert_eq!(both.unwrap().odd.len(), 1, "pour {n} doubts it");
    }
    let one = asked(&events);
    assert_eq!(one.len(), 1, "{one:?}");
    assert_eq!(
        (one[0].entry.event.as_str(), one[0].pour.as_str()),
        ("read-0009", "pour-0002")
    );
    events.push(observation(
        "none-0001",
        "pour-0001",
        hours(1.6),
        "thumb_none",
    ));
    let two = asked(&events);
    assert_eq!(two.len(), 2, "{two:?}");
    // Newest first.
    let of_pour = &two[1];
    assert_eq!(
        (of_pour.entry.event.as_str(), of_pour.pour.as_str()),
        ("none-0001", "pour-0001")
    );
    assert_eq!(of_pour.step_number, Some(1));
}

/// A step with nothing but the temperature of its fresh concrete: times up to set, and a
/// question.
#[test]
fn without_air_the_page_asks_for_it() {
    let mut events = plan();
    let mut cast = pour(1, MORNING);
    cast.body.remove("air_c");
    cast.body.insert("concrete_c".to_owned(), json!(22.0));
    events.push(cast);
    let page = view(&events);
    assert_eq!(page.missing, [Missing::AirTemperature]);
    let last = page.milestones.last().unwrap().kind;
    assert_eq!(last, MilestoneKind::FinalSet);
    assert_eq!(page.now, None);
    events.push(reading("read-0001", 1.0, json!({"air_c": 12.0})));
    let page = view(&events);
    assert_eq!(page.missing, []);
    assert_eq!(page.milestones.len(), MilestoneKind::ALL.len());
}
