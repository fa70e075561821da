//! Several pours on one step, pours that have not begun, and test patches beside steps.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

mod making;

use making::*;
use serde_json::{Value, json};
use slowstone_curing::predict::{MilestoneKind, NotYet};
use slowstone_curing::units::AtMs;
use slowstone_logbook::Event;
use slowstone_logbook::facts::SecondPour;
use slowstone_logbook::view::SiteView;

/// A pour of step 1, the `n`th of the log, with further fields.
fn on_step_1(n: u32, at: AtMs, more: Value) -> Event {
    let mut event = pour(n, at);
    event.body.insert("step".to_owned(), json!("step-0001"));
    event.body.extend(body(more));
    event
}

fn with(more: impl IntoIterator<Item = Event>) -> Vec<Event> {
    plan().into_iter().chain(more).collect()
}

fn seen(events: &[Event], now: AtMs) -> SiteView {
    book(events).site_view(SITE, now).unwrap()
}

#[test]
fn both_pours_of_a_step_are_shown_also_in_a_log_that_says_nothing_of_them() {
    for more in [
        json!({}),
        json!({"second_pour": "replaces"}),
        json!({"second_pour": "layer"}),
    ] {
        let events = with([
            on_step_1(1, MORNING, json!({})),
            on_step_1(2, hours(30.0), more.clone()),
        ]);
        let view = seen(&events, hours(40.0));
        let step = &view.steps[0];
        assert_eq!(step.pour.as_ref().unwrap().id, "pour-0002");
        let others: Vec<&str> = step.others.iter().map(|c| c.id.as_str()).collect();
        assert_eq!(others, ["pour-0001"], "{more}");
        assert_eq!(step.others[0].step_number, Some(1));
        let mut book = book(&events);
        for id in ["pour-0001", "pour-0002"] {
            let pour = book.pour_view(SITE, id, hours(40.0)).unwrap();
            assert!(!pour.milestones.is_empty());
        }
    }
}

#[test]
fn what_a_new_attempt_replaced_is_no_longer_due_and_a_layer_below_is() {
    // Within the week in which every pour is kept wet.
    let at = hours(100.0);
    let of = |what: Option<&str>| {
        let more = what.map_or(json!({}), |w| json!({"second_pour": w}));
        let events = with([
            on_step_1(1, MORNING, json!({})),
            on_step_1(2, hours(90.0), more),
        ]);
        let view = seen(&events, at);
        let first = view.steps[0].others[0].clone();
        let due = view
            .due
            .iter()
            .any(|d| d.pour == "pour-0001" && d.kind == MilestoneKind::FormOff);
        let curing = book(&events).to_remind(SITE, at).curing;
        (
            first.replaced,
            due,
            curing.iter().any(|c| c.pour == "pour-0001"),
        )
    };
    assert_eq!(of(None), (false, true, true));
    assert_eq!(of(Some("layer")), (false, true, true));
    assert_eq!(of(Some("replaces")), (true, false, false));
    // Before the new attempt has begun nothing is replaced.
    let planned = with([
        on_step_1(1, MORNING, json!({})),
        on_step_1(2, hours(300.0), json!({"second_pour": "replaces"})),
    ]);
    let view = seen(&planned, at);
    assert_eq!(view.steps[0].pour.as_ref().unwrap().id, "pour-0001");
    assert!(!view.steps[0].pour.as_ref().unwrap().replaced);
    let second = &view.steps[0].others[0];
    assert_eq!(second.second_pour, Some(SecondPour::Replaces));
}

#[test]
fn a_pour_that_has_not_begun_is_shown_and_not_reckoned() {
    let events = with([on_step_1(1, hours(48.0), json!({}))]);
    // A clock that is some minutes off is no reason.
    for (now, begun) in [(0.0, false), (47.7, false), (47.8, true), (49.0, true)] {
        let view = seen(&events, hours(now));
        let card = view.steps[0].pour.clone().unwrap();
        let said = (!begun).then_some(NotYet::StartsLater);
        assert_eq!(card.no_prediction, said, "{now}");
        assert_eq!(card.next.is_some(), begun, "{now}");
        if !begun {
            assert!(view.due.is_empty() && view.coming.is_empty(), "{now}");
            assert!(card.can.is_empty() && card.maybe.is_empty(), "{now}");
        }
    }
}

/// A step of a bag with 2 % ochre in the box, then a patch of a quarter bag with 6 % in
/// another form.
fn a_step_and_a_patch() -> Vec<Event> {
    let batch = |id: &str, pour: &str, bags: f64, grams: f64| {
        let body = json!({"pour": pour, "bags": bags, "water_l": 2.6 * bags,
            "additives": [{"additive": "ochre-001", "amount": grams}]});
        event(id, hours(1.0), "batch", body)
    };
    let mut patch = pour(2, hours(24.0));
    // Its weather is left out, or the steps would be reckoned by that as well.
    for field in ["step", "air_c", "concrete_c", "rh_pct", "wind_kmh", "sky"] {
        patch.body.remove(field);
    }
    patch.body.insert("name".to_owned(), json!("patch"));
    patch.body.insert("form".to_owned(), json!("form-0002"));
    with([
        event(
            "form-0002",
            MORNING,
            "form",
            json!({"name": "Tray", "material": "plastic", "board_mm": 3.0}),
        ),
        on_step_1(1, MORNING, json!({})),
        // 30 kg with 14 % cement: 4.2 kg to the bag, 84 g are 2 %.
        batch("batch-001", "pour-0001", 2.0, 168.0),
        patch,
        batch("batch-002", "pour-0002", 0.25, 63.0),
    ])
}

#[test]
fn the_next_step_follows_the_last_step_and_never_a_patch() {
    let mut book = book(&a_step_and_a_patch());
    let plan = book.plan_view(SITE, hours(30.0)).unwrap();
    assert!(plan.recipe.as_last);
    let doses: Vec<f64> = plan.recipe.doses.iter().map(|d| d.dose_pct).collect();
    assert_eq!(doses.len(), 1);
    assert!((doses[0] - 2.0).abs() < 1e-9, "{doses:?}");
    // Nor does a pour that has not begun.
    let mut planned = a_step_and_a_patch();
    planned.push(pour(3, hours(90.0)));
    let ahead = making::book(&planned).plan_view(SITE, hours(30.0)).unwrap();
    assert_eq!(ahead.recipe, plan.recipe);
    // What is bought of it: 84 g for each bag, not the patch's 252.
    let ochre = plan.list.iter().find(|i| i.name == "Ochre").unwrap();
    assert!(
        ochre.amount < 150.0 * f64::from(plan.bags_opened),
        "{ochre:?}"
    );
    // The order of work goes by the form of the last step as well.
    let card = book.site_view(SITE, hours(30.0)).unwrap();
    assert_eq!(card.samples[0].mix.as_deref(), Some("mix-00001"));
    let schedule = book.schedule_view(SITE, hours(30.0), None).unwrap();
    let mut without = a_step_and_a_patch();
    without.retain(|e| !e.id.ends_with("0002") || e.kind == "step" || e.kind == "form");
    without.retain(|e| e.id != "batch-002");
    let mut lone = making::book(&without);
    assert_eq!(
        serde_json::to_value(&schedule.slots).unwrap(),
        serde_json::to_value(lone.schedule_view(SITE, hours(30.0), None).unwrap().slots).unwrap()
    );
}

#[test]
fn where_only_patches_were_poured_no_step_follows_them() {
    let mut events = a_step_and_a_patch();
    events.retain(|e| e.id != "pour-0001" && e.id != "batch-001");
    let plan = book(&events).plan_view(SITE, hours(30.0)).unwrap();
    assert_eq!(plan.recipe.doses, []);
}
