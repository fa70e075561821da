//! The order of work: what waits for what, working time, days that people choose, what a
//! second form buys, and how the plan follows what is logged.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

mod making;

use chrono::{DateTime, Datelike, Timelike, Weekday};
use chrono_tz::Europe::Oslo;
use making::*;
use serde_json::{Value, json};
use slowstone_curing::units::{AtMs, Hours};
use slowstone_logbook::Event;
use slowstone_logbook::plan::schedule::{Asked, ScheduleView, Slot, WaitsFor};

fn schedule(events: &[Event], now: AtMs, asked: Option<Asked>) -> ScheduleView {
    let view = book(events).schedule_view(SITE, now, asked.as_ref());
    view.unwrap()
}

/// Step 1 was poured on the morning; two are left.
fn one_poured() -> Vec<Event> {
    let mut events = plan();
    events.push(pour(1, MORNING));
    events
}

fn crew(off: Value, forms: u32) -> Event {
    let body = json!({"from_h": 8.0, "until_h": 20.0, "days_off": off, "forms": forms,
        "pour_h": 1.5, "wash_h": 1.0, "dry_h": 4.0, "reset_h": 2.0});
    event("crew-0001", hours(-1.0), "crew", body)
}

fn clock(at: AtMs) -> DateTime<chrono_tz::Tz> {
    DateTime::from_timestamp_millis(at.0)
        .unwrap()
        .with_timezone(&Oslo)
}

fn ahead(view: &ScheduleView) -> Vec<&Slot> {
    view.slots.iter().filter(|s| s.pour.is_none()).collect()
}

#[test]
fn each_step_waits_for_the_one_below_and_for_the_form() {
    let view = schedule(&one_poured(), hours(2.0), None);
    assert_eq!((view.slots.len(), view.no_times), (3, None));
    assert_eq!(view.slots[0].pour.as_deref(), Some("pour-0001"));
    let mut below = &view.slots[0];
    for slot in &view.slots[1..] {
        assert!(slot.start_ms >= below.next_step.late.unwrap(), "{slot:?}");
        assert!(
            slot.start_ms >= below.clean_ms.unwrap().plus(Hours(2.0)),
            "{slot:?}"
        );
        assert!(below.strip_ms.unwrap() >= below.form_off.late.unwrap());
        // A day of mild weather is not enough for 7 MPa, a fortnight is plenty.
        let days = slot.start_ms.hours_since(below.start_ms).days().value();
        assert!((1.0..14.0).contains(&days), "{days}");
        assert_eq!(slot.earliest_ms, Some(slot.start_ms));
        below = slot;
    }
    assert_eq!(view.last_ms, Some(view.slots[2].start_ms));
    assert!(view.curing_at_once >= 2);
}

#[test]
fn people_work_at_sociable_hours_and_not_on_their_days_off() {
    let mut events = one_poured();
    events.push(crew(json!(["sat", "sun", "mon"]), 1));
    let view = schedule(&events, hours(2.0), None);
    for slot in ahead(&view) {
        let strip = clock(slot.strip_ms.unwrap());
        let start = clock(slot.start_ms);
        for at in [start, strip] {
            let h = f64::from(at.hour()) + f64::from(at.minute()) / 60.0;
            assert!((8.0..20.0).contains(&h) && at.minute() % 30 == 0, "{at}");
            let off = [Weekday::Sat, Weekday::Sun, Weekday::Mon];
            assert!(!off.contains(&at.weekday()), "{at}");
        }
        // Mixing and screeding end in working time.
        assert!(
            start.hour() * 60 + start.minute() <= 18 * 60 + 30,
            "{start}"
        );
    }
    assert!(view.days.iter().any(|d| d.off) && view.days.iter().any(|d| !d.off));
    for d in &view.days {
        assert_eq!((clock(d.at_ms).hour(), clock(d.at_ms).minute()), (0, 0));
    }
}

#[test]
fn a_step_poured_on_saturday_says_when_the_next_one_can_be() {
    let free = schedule(&one_poured(), hours(2.0), None);
    let earliest = free.slots[1].start_ms;
    // The Saturday after that, nine o'clock on the site.
    let mut day = clock(earliest).date_naive().succ_opt().unwrap();
    while day.weekday() != Weekday::Sat {
        day = day.succ_opt().unwrap();
    }
    let nine = day
        .and_hms_opt(9, 0, 0)
        .unwrap()
        .and_local_timezone(Oslo)
        .unwrap();
    let at = AtMs(nine.timestamp_millis());
    let ask = |step: &str, at| {
        let asked = Asked {
            step: step.to_owned(),
            at,
        };
        schedule(&one_poured(), hours(2.0), Some(asked))
    };
    let asked = ask("step-0002", at);
    assert_eq!(
        (asked.slots[1].start_ms, asked.slots[1].too_early),
        (at, false)
    );
    assert_eq!(asked.slots[1].waits_for, WaitsFor::PlannedDay);
    assert_eq!(asked.slots[1].earliest_ms, Some(earliest));
    assert!(asked.slots[2].start_ms >= asked.slots[1].next_step.late.unwrap());
    assert!(asked.slots[2].start_ms > free.slots[2].start_ms);
    // Tomorrow is too early: said, and the earliest is kept.
    let hasty = ask("step-0002", hours(20.0));
    assert_eq!(
        (hasty.slots[1].start_ms, hasty.slots[1].too_early),
        (earliest, true)
    );
    // The same, kept in the log.
    let mut events = one_poured();
    let body = json!({"step": "step-0002", "at_ms": at.0});
    events.push(event("planned-1", hours(1.0), "planned", body));
    let kept = schedule(&events, hours(2.0), None);
    assert_eq!(kept.slots[1].start_ms, at);
    assert_eq!(kept.slots[1].planned.as_deref(), Some("planned-1"));
    // Once the day has gone by it holds nobody.
    let later = schedule(&events, at.plus(Hours(30.0)), None);
    assert!(later.slots[1].planned.is_none() && later.slots[1].start_ms > at);
}

#[test]
fn the_plan_follows_what_is_logged() {
    let now = hours(30.0);
    let before = schedule(&one_poured(), now, None);
    let mut events = one_poured();
    events.push(observation(
        "strip-001",
        "pour-0001",
        hours(26.0),
        "stripped_clean",
    ));
    let after = schedule(&events, now, None);
    assert!(after.slots[0].stripped && !before.slots[0].stripped);
    assert_eq!(after.slots[0].strip_ms, Some(hours(26.0)));
    assert!(before.slots[0].strip_ms.unwrap() >= now);
    assert!(after.slots[0].clean_ms < before.slots[0].clean_ms);
    // A cold week makes it later.
    let cold = |c: f64| {
        let mut events = one_poured();
        for n in 0..12 {
            let at = hours(3.0 + 12.0 * f64::from(n));
            let body = json!({"air_c": c, "at_ms": at.0});
            events.push(event(&format!("read-{n:04}"), at, "reading", body));
        }
        schedule(&events, hours(145.0), None).slots[2].start_ms
    };
    assert!(cold(4.0) > cold(20.0));
}

#[test]
fn a_second_form_buys_days_where_there_are_two_flights_and_little_where_steps_are_stacked() {
    let stacked = schedule(&one_poured(), hours(2.0), None);
    let buys = stacked.one_form_more.unwrap().days_saved;
    assert!((0.0..1.0).contains(&buys), "{buys}");
    // Six flags beside each other, each on its own base.
    let mut events: Vec<Event> = plan().into_iter().filter(|e| e.kind != "step").collect();
    let lies =
        json!({"flight": FLIGHT, "overlap_m": 0.0, "fall_pct": 1.0, "base_m": 0.1, "drain_m": 0.0});
    events.push(event("layout-01", hours(-2.0), "layout", lies));
    for n in 1..=6 {
        let body =
            json!({"flight": FLIGHT, "number": n, "width_m": 1.2, "depth_m": 0.4, "rise_m": 0.15});
        events.push(event(&format!("step-{n:04}"), hours(-48.0), "step", body));
    }
    events.push(pour(1, MORNING));
    events.push(crew(json!([]), 1));
    let view = schedule(&events, hours(2.0), None);
    let more = view.one_form_more.unwrap();
    assert!(more.days_saved > 2.0, "{more:?}");
    assert_eq!(
        view.last_ms
            .unwrap()
            .hours_since(more.last_ms)
            .days()
            .value(),
        more.days_saved
    );
    assert!(
        ahead(&view)
            .iter()
            .all(|s| s.waits_for != WaitsFor::StepBelow)
    );
    // With both forms from the start the plan is the promised one.
    let mut both = events.clone();
    both.pop();
    both.push(crew(json!([]), 2));
    assert_eq!(
        schedule(&both, hours(2.0), None).last_ms,
        Some(more.last_ms)
    );
}

#[test]
fn weather_of_last_week_carries_on_and_none_gives_no_times() {
    // A month later nothing was read since: the last days are carried on.
    let view = schedule(&one_poured(), hours(24.0 * 40.0), None);
    assert_eq!((ahead(&view).len(), view.no_times), (2, None));
    let bare = schedule(&plan(), MORNING, None);
    assert!(bare.no_times.is_some() && bare.slots.is_empty(), "{bare:?}");
    assert_eq!(
        book(&plan()).schedule_view("nowhere-1", MORNING, None),
        None
    );
}

#[test]
fn the_plan_is_not_reckoned_again_while_nothing_changes() {
    let mut b = book(&one_poured());
    b.schedule_view(SITE, hours(2.0), None);
    let once = b.reckonings();
    b.schedule_view(SITE, hours(2.2), None);
    assert_eq!(b.reckonings(), once);
}
