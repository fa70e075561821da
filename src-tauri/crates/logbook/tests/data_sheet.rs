//! What a maker states of a mix and of a pigment reaches the prediction.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

mod making;

use making::*;
use serde_json::{Value, json};
use slowstone_curing::predict::MilestoneKind;
use slowstone_logbook::Event;

/// Hours from the start to each milestone's likely time, with `changes` made to `record`.
fn likely(
    record: &str,
    changes: Value,
    more: impl IntoIterator<Item = Event>,
) -> impl Fn(MilestoneKind) -> f64 {
    let mut events = plan();
    if changes != json!({}) {
        events.push(correction("change-01", hours(-2.0), record, changes, &[]));
    }
    events.push(pour(1, MORNING));
    events.extend(more);
    let view = book(&events)
        .pour_view(SITE, "pour-0001", hours(1.0))
        .unwrap();
    move |kind| {
        let found = view.milestones.iter().find(|m| m.kind == kind).unwrap();
        found.opens.likely.unwrap().hours_since(MORNING).value()
    }
}

/// Promise: "Of a mix also what its data sheet states"
#[test]
fn a_stated_set_time_and_early_strengths_move_the_times() {
    let plain = likely("mix-00001", json!({}), []);
    let slow = likely("mix-00001", json!({"initial_set_h": 7.0}), []);
    let ratio = slow(MilestoneKind::InitialSet) / plain(MilestoneKind::InitialSet);
    // The plain mix sets at 4.6 h at 23 °C, so by half as long again, less what the day warms.
    assert!((1.15..1.65).contains(&ratio), "{ratio}");
    let strong = likely(
        "mix-00001",
        json!({"class_1d_mpa": 14.0, "class_3d_mpa": 20.0, "class_7d_mpa": 24.0, "strengths_are": "mean"}),
        [],
    );
    let (with, without) = (strong(MilestoneKind::Foot), plain(MilestoneKind::Foot));
    assert!(with < 0.85 * without, "{with} {without}");
}

#[test]
fn strengths_that_are_means_are_not_raised_once_more() {
    let minimum = likely("mix-00001", json!({"strengths_are": "minimum"}), []);
    let mean = likely("mix-00001", json!({"strengths_are": "mean"}), []);
    assert!(mean(MilestoneKind::Foot) > 1.05 * minimum(MilestoneKind::Foot));
}

#[test]
fn a_dark_pigment_in_the_sun_hurries_and_a_light_one_does_not() {
    let sunny = |tone: Value| {
        let batch = event(
            "batch-001",
            hours(0.1),
            "batch",
            json!({"pour": "pour-0001", "bags": 2.0, "additives": [{"additive": "ochre-001", "amount": 340.0}]}),
        );
        let sun = correction(
            "change-02",
            hours(0.2),
            "pour-0001",
            json!({"sky": "sun"}),
            &[],
        );
        likely("ochre-001", json!({"tone": tone}), [batch, sun])(MilestoneKind::FinalSet)
    };
    let (dark, light) = (sunny(json!("dark")), sunny(json!("light")));
    assert!(dark < light - 0.02, "{dark} {light}");
}

#[test]
fn an_early_strength_above_a_later_one_is_refused_with_the_later_one() {
    let mix = json!({"name": "M", "bag_kg": 30, "yield_l": 14, "water_min_l": 2, "water_max_l": 3,
        "cement_pct": 14, "class_mpa": 30, "class_3d_mpa": 15, "class_1d_mpa": 16});
    let refused = book(&plan())
        .check(&event("mix-00002", MORNING, "mix", mix))
        .unwrap_err();
    let text = format!("{refused:?}");
    assert!(
        text.contains("class_1d_mpa") && text.contains("class_3d_mpa"),
        "{text}"
    );
}
