//! What the screens show: what may be done now, reminders, and what is reckoned anew.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

mod making;

use making::*;
use serde_json::json;
use slowstone_curing::predict::MilestoneKind;
use slowstone_curing::units::AtMs;
use slowstone_logbook::Event;
use slowstone_logbook::view::{May, Phase};

fn poured() -> Vec<Event> {
    let mut events = plan();
    events.push(pour(1, MORNING));
    events
}

#[test]
fn a_pour_goes_through_its_phases_and_never_back() {
    let mut b = book(&poured());
    let mut last = Phase::Fresh;
    let mut met = vec![last];
    for h in 0..(40 * 24) {
        let card = b
            .pour_view(SITE, "pour-0001", hours(f64::from(h)))
            .unwrap()
            .card;
        // Around the safe part of the window a test decides, before it and after it.
        let phase = match card.phase {
            Phase::TextureByTouch => Phase::Texture,
            phase => phase,
        };
        if phase != last {
            assert!(phase > last, "{phase:?} after {last:?} at {h} h");
            last = phase;
            met.push(last);
        }
        // Nobody is told that they may do what they are told not to do.
        assert!(
            card.can.iter().all(|k| !card.not_yet.contains(k)),
            "{card:?}"
        );
    }
    // Until somebody logs that it was taken off, the form is still there to come off.
    assert!(
        met.contains(&Phase::Setting) && met.contains(&Phase::FormOff),
        "{met:?}"
    );
    assert_eq!(b.reckonings(), 1, "the clock alone needs no new reckoning");
}

#[test]
fn the_form_comes_off_only_at_the_cautious_end_of_the_range() {
    let mut b = book(&poured());
    let form = |b: &mut slowstone_logbook::Book, h| {
        let view = b.pour_view(SITE, "pour-0001", h).unwrap();
        let off = view
            .milestones
            .iter()
            .find(|m| m.kind == MilestoneKind::FormOff)
            .cloned();
        (off.unwrap(), view.card)
    };
    let (at_start, _) = form(&mut b, MORNING);
    let (likely, safe) = (at_start.opens.likely.unwrap(), at_start.opens.late.unwrap());
    assert!(likely < safe);
    let (m, card) = form(&mut b, likely);
    assert_eq!(m.state, May::Maybe);
    // "Perhaps" with its test; neither "now" nor "not yet" beside it.
    assert!(card.maybe.iter().any(|b| b.kind == MilestoneKind::FormOff));
    assert!(!card.not_yet.contains(&MilestoneKind::FormOff));
    assert!(!card.can.contains(&MilestoneKind::FormOff));
    let (m, card) = form(&mut b, safe);
    assert_eq!(m.state, May::Now);
    assert_eq!(card.can.first(), Some(&MilestoneKind::FormOff));
    assert_eq!(card.phase, Phase::FormOff);
}

#[test]
fn logging_that_the_form_came_off_makes_it_green() {
    let mut events = poured();
    events.push(observation(
        "strip-001",
        "pour-0001",
        hours(40.0),
        "stripped_clean",
    ));
    let view = book(&events)
        .pour_view(SITE, "pour-0001", hours(41.0))
        .unwrap();
    let off = view
        .milestones
        .iter()
        .find(|m| m.kind == MilestoneKind::FormOff)
        .unwrap();
    assert_eq!((off.state, off.seen), (May::Done, Some(hours(40.0))));
    assert_eq!(view.card.phase, Phase::Green);
    assert_eq!(
        view.card.act.map(|a| a.kind),
        Some(MilestoneKind::Dress),
        "{:?}",
        view.card
    );
}

#[test]
fn a_reminder_comes_waits_and_is_answered() {
    let kinds = |events: &[Event], h: f64| {
        let site = book(events).site_view(SITE, hours(h)).unwrap();
        let due: Vec<MilestoneKind> = site.due.iter().map(|r| r.kind).collect();
        let coming: Vec<MilestoneKind> = site.coming.iter().map(|r| r.kind).collect();
        (due, coming)
    };
    let mut events = poured();
    let (due, coming) = kinds(&events, 0.5);
    assert!(due.is_empty() && coming.contains(&MilestoneKind::FormOff));
    let (due, _) = kinds(&events, 60.0);
    assert!(due.contains(&MilestoneKind::FormOff), "{due:?}");
    events.push(event(
        "mark-0001",
        hours(60.0),
        "mark",
        json!({"pour": "pour-0001", "milestone": "form_off", "what": "snoozed",
            "until_ms": hours(70.0).0}),
    ));
    let (due, coming) = kinds(&events, 65.0);
    assert!(!due.contains(&MilestoneKind::FormOff) && coming.contains(&MilestoneKind::FormOff));
    let site = book(&events).site_view(SITE, hours(71.0)).unwrap();
    let asked = site
        .due
        .iter()
        .find(|r| r.kind == MilestoneKind::FormOff)
        .unwrap();
    assert!(asked.snoozed);
    events.push(observation(
        "strip-001",
        "pour-0001",
        hours(71.0),
        "stripped_clean",
    ));
    let (due, coming) = kinds(&events, 72.0);
    assert!(!due.contains(&MilestoneKind::FormOff) && !coming.contains(&MilestoneKind::FormOff));
}

#[test]
fn what_is_due_stands_in_the_order_of_the_trade() {
    // The form of an untouched pour comes before what is cast on it, whichever was due later.
    let site = book(&poured()).site_view(SITE, hours(100.0)).unwrap();
    let due: Vec<MilestoneKind> = site.due.iter().map(|r| r.kind).collect();
    assert_eq!(due.first(), Some(&MilestoneKind::FormOff), "{due:?}");
    assert!(due.contains(&MilestoneKind::NextStep), "{due:?}");
    // Edges are reached once it is off.
    assert!(!due.contains(&MilestoneKind::Dress), "{due:?}");
}

/// A crack has many causes (drying, settling, restraint, frost: ACI 224.1R), so it is kept and
/// shown and moves no time.
#[test]
fn a_crack_is_kept_and_moves_no_time() {
    let mut events = poured();
    let view = |events: &[Event]| {
        book(events)
            .pour_view(SITE, "pour-0001", hours(30.0))
            .unwrap()
    };
    let before = view(&events);
    events.push(observation(
        "crack-001",
        "pour-0001",
        hours(20.0),
        "cracked",
    ));
    let after = view(&events);
    assert_eq!(after.observations.len(), before.observations.len() + 1);
    assert_eq!(after.milestones, before.milestones);
    assert_eq!(after.odd, []);
}

#[test]
fn a_thermometer_in_concrete_is_no_weather() {
    let mut events = poured();
    let at = hours(5.0);
    let inside = json!({"pour": "pour-0001", "concrete_c": 24.0, "at_ms": at.0});
    events.push(event("read-0001", at, "reading", inside));
    events.push(event(
        "read-0002",
        at,
        "reading",
        json!({"air_c": 17.0, "at_ms": at.0}),
    ));
    let site = book(&events).site_view(SITE, hours(6.0)).unwrap();
    let shown: Vec<&str> = site.weather.iter().map(|r| r.id.as_str()).collect();
    assert_eq!(shown, ["read-0002"]);
}

#[test]
fn nobody_is_reminded_of_a_next_step_that_does_not_exist() {
    let mut events = plan();
    events.push(pour(3, MORNING));
    let site = book(&events).site_view(SITE, hours(24.0 * 8.0)).unwrap();
    assert!(
        site.due.iter().all(|r| r.kind != MilestoneKind::NextStep),
        "{:?}",
        site.due
    );
    let mut events = plan();
    events.push(pour(1, MORNING));
    let site = book(&events).site_view(SITE, hours(24.0 * 8.0)).unwrap();
    assert!(
        site.due.iter().any(|r| r.kind == MilestoneKind::NextStep),
        "{:?}",
        site.due
    );
}

#[test]
fn without_any_temperature_there_is_no_number() {
    let mut events = plan();
    events.push(event(
        "pour-0001",
        MORNING,
        "pour",
        json!({"step": "step-0001", "started_ms": MORNING.0}),
    ));
    let view = book(&events)
        .pour_view(SITE, "pour-0001", hours(1.0))
        .unwrap();
    assert_eq!(view.card.phase, Phase::Unknown);
    assert!(view.card.no_prediction.is_some());
    assert!(view.milestones.is_empty() && view.curve.is_empty());
    // One reading is enough.
    events.push(event(
        "read-0001",
        hours(1.0),
        "reading",
        json!({"air_c": 14.0, "at_ms": hours(1.0).0}),
    ));
    let view = book(&events)
        .pour_view(SITE, "pour-0001", hours(1.0))
        .unwrap();
    assert!(view.card.no_prediction.is_none() && !view.milestones.is_empty());
}

#[test]
fn batches_add_up_to_water_and_dose() {
    let mut events = poured();
    for n in 1..=3 {
        events.push(event(
            &format!("batch-{n:03}"),
            hours(0.1),
            "batch",
            json!({"pour": "pour-0001", "bags": 2.0, "water_l": 5.0,
                "additives": [{"additive": "ochre-001", "amount": 252.0}]}),
        ));
    }
    let mixed = book(&events)
        .pour_view(SITE, "pour-0001", hours(1.0))
        .unwrap()
        .mixed;
    assert_eq!((mixed.bags, mixed.water_l), (6.0, 15.0));
    assert_eq!(
        (mixed.water_per_bag_l, mixed.water_fits),
        (Some(2.5), Some(true))
    );
    // 6 bags of 30 kg with 14 % cement hold 25.2 kg of cement; 756 g are 3 % of it.
    let dose = &mixed.doses[0];
    assert!(
        (dose.pct_of_cement.unwrap() - 3.0).abs() < 1e-12,
        "{dose:?}"
    );
    assert_eq!((dose.per_bag, dose.fits), (126.0, Some(true)));
}

/// What was typed at the very ends of a range lies in it, however it is divided: 6.6 L to
/// three bags are 2.2 L each, of which binary fractions fall short by a bit.
#[test]
fn the_ends_of_a_range_belong_to_it() {
    for (water, fits) in [(6.6, true), (9.0, true), (6.5, false), (9.1, false)] {
        let mut events = poured();
        let batch = json!({"pour": "pour-0001", "bags": 3.0, "water_l": water});
        events.push(event("batch-001", hours(0.1), "batch", batch));
        let view = book(&events).pour_view(SITE, "pour-0001", hours(1.0));
        assert_eq!(view.unwrap().mixed.water_fits, Some(fits), "{water} L");
    }
    for grams in 1..=60 {
        // Six per cent at most: so many bags of 4.2 kg of cement.
        let bags = f64::from(grams) * 0.25;
        let mut events = poured();
        let most = bags * 4.2 * 1000.0 * 0.06;
        let dose = json!([{"additive": "ochre-001", "amount": most}]);
        let batch = json!({"pour": "pour-0001", "bags": bags, "additives": dose});
        events.push(event("batch-001", hours(0.1), "batch", batch));
        let view = book(&events).pour_view(SITE, "pour-0001", hours(1.0));
        let dose = &view.unwrap().mixed.doses[0];
        assert_eq!(dose.fits, Some(true), "{dose:?}");
    }
}

#[test]
fn only_pours_that_a_reading_touches_are_reckoned_again() {
    let mut events = plan();
    for n in 1..=3 {
        events.push(pour(n, hours(f64::from(n) * 24.0 * 60.0)));
    }
    let mut b = book(&events);
    let now = hours(24.0 * 181.0);
    b.site_view(SITE, now);
    assert_eq!(b.reckonings(), 3);
    b.site_view(SITE, hours(24.0 * 181.5));
    assert_eq!(b.reckonings(), 3);
    // A reading within a month of the last pour alone.
    b.add(event(
        "read-0001",
        now,
        "reading",
        json!({"air_c": 9.0, "at_ms": now.0}),
    ));
    b.site_view(SITE, now);
    assert_eq!(b.reckonings(), 4);
}

#[test]
fn a_step_teaches_the_next_one_and_can_be_made_to_forget() {
    let mut events = plan();
    events.push(pour(1, MORNING));
    // The bag says about 5 h at this temperature; this mix takes much longer.
    events.push(observation(
        "deep-0001",
        "pour-0001",
        hours(7.0),
        "thumb_deep",
    ));
    events.push(observation(
        "mark-0001",
        "pour-0001",
        hours(9.0),
        "thumb_6mm",
    ));
    events.push(pour(2, hours(24.0 * 8.0)));
    let set = |events: &[Event]| {
        let view = book(events)
            .pour_view(SITE, "pour-0002", hours(24.0 * 8.0))
            .unwrap();
        let m = view
            .milestones
            .iter()
            .find(|m| m.kind == MilestoneKind::InitialSet);
        m.unwrap().opens.likely.unwrap()
    };
    let site = |events: &[Event]| book(events).site_view(SITE, hours(200.0)).unwrap().learned;
    let taught = set(&events);
    let lesson = &site(&events)[0];
    assert_eq!(
        (lesson.name.as_str(), lesson.observations),
        ("Plain bag", 2)
    );
    let (likely, low, high) = lesson.set_later_min;
    assert!(likely > 30.0 && low < likely && likely < high, "{lesson:?}");
    let value = json!({"mix": "mix-00001", "before_ms": hours(24.0).0});
    events.push(event("forget-01", hours(25.0), "unlearn", value));
    let untaught = set(&events);
    assert!(untaught < taught);
    let lesson = &site(&events)[0];
    assert_eq!((lesson.observations, lesson.forgotten.len()), (0, 1));
    events.push(retraction("undo-0001", hours(26.0), "forget-01"));
    assert_eq!(set(&events), taught);
}

#[test]
fn advice_on_a_green_step_knows_its_mass_and_what_comes_on_top() {
    let mut b = book(&poured());
    let advice = b.advice(SITE, "pour-0001", hours(30.0)).unwrap();
    // Reference values, section 9: 1.2 x 0.40 x 0.15 m weighs 172.8 kg at 2400 kg/m³.
    assert!((advice.moving.mass.0 - 172.8).abs() < 1e-9);
    assert_eq!(advice.moving.persons, None, "no team of three lifts that");
    assert!(!advice.stacking.unwrap().carries, "not at 30 h");
    let late = b.advice(SITE, "pour-0001", hours(24.0 * 25.0)).unwrap();
    assert!(late.stacking.unwrap().carries && late.frost.is_none());
    let mut events = plan();
    events.push(pour(3, MORNING));
    let top = book(&events)
        .advice(SITE, "pour-0003", hours(30.0))
        .unwrap();
    assert!(top.stacking.is_none(), "nothing comes on the topmost step");
    assert!(
        book(&events)
            .advice(SITE, "pour-0001", hours(30.0))
            .is_none()
    );
}

#[test]
fn the_best_hours_of_tomorrow_are_for_the_next_step() {
    let mut events = poured();
    for (date, min, max) in [
        ("2026-06-10", 12.0, 24.0),
        ("2026-06-11", 19.0, 33.0),
        ("2026-06-12", 14.0, 25.0),
    ] {
        let value = json!({"date": date, "min_c": min, "max_c": max, "rh_pct": 40.0,
            "wind_kmh": 15.0, "sky": "sun"});
        events.push(event(&format!("cast-{date}"), MORNING, "forecast", value));
    }
    let best = book(&events)
        .best_hours(SITE, "2026-06-11", hours(2.0))
        .unwrap();
    assert_eq!(
        (best.step.as_deref(), best.step_number),
        (Some("step-0002"), Some(2))
    );
    assert_eq!(best.starts.len(), 24);
    // Hot and dry: not at noon (ACI 305; common practice). Oslo is two hours ahead.
    let clock = |at: slowstone_curing::units::AtMs| (at.0 / 3_600_000 + 2).rem_euclid(24);
    assert!(
        !(10..16).contains(&clock(best.starts[0].at)),
        "{:?}",
        best.starts[0]
    );
    // Of today only what is left.
    let today = book(&events)
        .best_hours(SITE, "2026-06-10", hours(2.0))
        .unwrap();
    assert!(today.starts.iter().all(|s| s.at >= hours(2.0)));
    assert!(
        book(&events)
            .best_hours(SITE, "tomorrow", hours(2.0))
            .is_none()
    );
    assert!(
        book(&events)
            .best_hours("another-1", "2026-06-11", hours(2.0))
            .is_none()
    );
}

/// In Oslo clocks go forward on 29 March 2026 and back on 25 October, in Apia there was no
/// 30 December 2011 (IANA tz database): a day has 23, 24 or 25 hours, and none of the next.
#[test]
fn a_day_on_which_clocks_change_has_its_own_hours() {
    use slowstone_logbook::Zones;
    for (tz, date, count) in [
        ("Europe/Oslo", "2026-03-29", 23),
        ("Europe/Oslo", "2026-10-25", 25),
        ("Europe/Oslo", "2026-10-26", 24),
        ("Pacific/Apia", "2011-12-29", 24),
    ] {
        let mut events = poured();
        events[0].body["tz"] = json!(tz);
        let value = json!({"date": date, "min_c": 6.0, "max_c": 14.0});
        events.push(event("cast-0001", MORNING, "forecast", value));
        let long_ago = hours(-24.0 * 365.0 * 20.0);
        let best = book(&events).best_hours(SITE, date, long_ago).unwrap();
        let mut starts: Vec<_> = best.starts.iter().map(|s| s.at).collect();
        starts.sort();
        let shown = |at: AtMs| {
            let local = at.0 + i64::from(Iana.offset_min(tz, at).unwrap()) * 60_000;
            local.rem_euclid(86_400_000)
        };
        assert_eq!(starts.len(), count, "{date}");
        assert_eq!(shown(starts[0]), 0, "{date}");
        assert_eq!(shown(starts[count - 1]), 23 * 3_600_000, "{date}");
    }
}

#[test]
fn a_wrong_clock_of_a_phone_hides_nothing() {
    let mut events = poured();
    // Ten years slow: the envelope's time is data, the observation's own time counts.
    let mut seen = observation("sheen-001", "pour-0001", hours(2.5), "sheen_gone");
    seen.at_ms = hours(-87_600.0);
    events.push(seen);
    let view = book(&events)
        .pour_view(SITE, "pour-0001", hours(3.0))
        .unwrap();
    assert_eq!(view.observations.len(), 1);
    let sheen = view
        .milestones
        .iter()
        .find(|m| m.kind == MilestoneKind::SheenGone)
        .unwrap();
    assert_eq!(sheen.seen, Some(hours(2.5)));
}
