//! The plan of a site: geometry, what to buy, what to check; against hand reckoning,
//! published limits and common practice, each named where it is used.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

mod making;

use making::*;
use serde_json::{Value, json};
use slowstone_curing::units::Metres;
use slowstone_logbook::Event;
use slowstone_logbook::facts::{Rules, Units};
use slowstone_logbook::plan::flight::{Amiss, Bank, propose};
use slowstone_logbook::plan::shopping::{self, Item};
use slowstone_logbook::plan::{PlanView, drawing};

fn close(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} is not {b}");
}

/// A site with one flight of `n` equal steps and the plain bag of 30 kg.
fn flight_of(n: u32, width: f64, depth: f64, rise: f64) -> Vec<Event> {
    let mut events: Vec<Event> = plan().into_iter().filter(|e| e.kind != "step").collect();
    for i in 1..=n {
        let step = json!({"flight": FLIGHT, "number": i, "width_m": width, "depth_m": depth,
            "rise_m": rise, "on_step_below": i > 1});
        events.push(event(&format!("step-{i:04}"), hours(-48.0), "step", step));
    }
    events
}

fn with(mut events: Vec<Event>, kind: &str, body: Value) -> Vec<Event> {
    let id = format!("{kind}-{:04}", events.len());
    events.push(event(&id, hours(-1.0), kind, body));
    events
}

fn layout(overlap: f64, fall: f64) -> Value {
    json!({"flight": FLIGHT, "overlap_m": overlap, "fall_pct": fall, "base_m": 0.1, "drain_m": 0.05})
}

fn materials(waste: f64, mixer: f64) -> Value {
    json!({"waste_pct": waste, "mixer_l": mixer, "mesh_gap_mm": 25.0, "rubber_mm": 15.0,
        "rubber_kg_l": 1.1, "rubber_waste_pct": 10.0})
}

fn view(events: &[Event]) -> PlanView {
    book(events).plan_view(SITE, MORNING).unwrap()
}

fn amiss(events: &[Event]) -> Vec<Amiss> {
    let view = view(events);
    view.flights[0].findings.iter().map(|f| f.what).collect()
}

fn item<'a>(view: &'a PlanView, code: &str) -> &'a Item {
    let found = view.list.iter().find(|i| i.item == code);
    found.expect(code)
}

#[test]
fn a_flight_lies_as_by_hand() {
    // 4 steps of 172 mm as cast, 430 mm deep, 150 mm on the one below, 1.5 % of fall.
    let events = with(flight_of(4, 1.2, 0.43, 0.172), "layout", layout(0.15, 1.5));
    let view = view(&events);
    let f = &view.flights[0];
    // Goings of 280; the nosing above is climbed from a tread that fell 4.2 mm to it.
    for s in &f.steps[..3] {
        close(s.going_m.unwrap(), 0.28, 1e-12);
        close(s.fall_mm, 6.45, 1e-9);
    }
    close(f.steps[0].riser_m, 0.172, 1e-12);
    close(f.steps[1].riser_m, 0.1762, 1e-12);
    close(f.steps[1].stride_mm.unwrap(), 2.0 * 176.2 + 280.0, 1e-9);
    assert_eq!((f.steps[0].overlap_m, f.steps[3].going_m), (0.0, None));
    close(f.rise_m, 0.172 + 3.0 * 0.1762, 1e-12);
    close(f.run_m, 0.84, 1e-12);
    close(f.length_m, 0.84 + 0.43, 1e-12);
    assert_eq!(f.findings, []);
}

#[test]
fn what_breaks_irc_r311_7_5_is_found_and_nothing_else() {
    // Riser 7 3/4 in (196.85 mm) at most, tread 10 in (254 mm) at least, 3/8 in (9.525 mm)
    // of difference: IRC R311.7.5, 2018 and 2021.
    let flat = |depth, rise| with(flight_of(3, 1.2, depth, rise), "layout", layout(0.16, 1.0));
    assert_eq!(amiss(&flat(0.16 + 0.28, 0.172)), []);
    assert_eq!(amiss(&flat(0.16 + 0.254, 0.1943)), []);
    assert_eq!(amiss(&flat(0.16 + 0.254, 0.1945)), [Amiss::Riser]);
    assert_eq!(amiss(&flat(0.16 + 0.253, 0.18)), [Amiss::Going]);
    assert_eq!(amiss(&flat(0.16 + 0.28, 0.15)), [Amiss::Stride]);
    let mut uneven = flat(0.16 + 0.28, 0.172);
    uneven.push(correction(
        "corr-0001",
        MORNING,
        "step-0002",
        json!({"rise_m": 0.180}),
        &[],
    ));
    assert_eq!(amiss(&uneven), [Amiss::RiserVariation]);
    // Fall: 1 % sheds water (common practice), 2 % is the most of R311.7.7 (from memory).
    let fall = |pct| {
        amiss(&with(
            flight_of(3, 1.2, 0.44, 0.172),
            "layout",
            layout(0.16, pct),
        ))
    };
    assert_eq!((fall(1.0), fall(2.0)), (vec![], vec![]));
    assert_eq!(
        (fall(0.5), fall(2.5)),
        (vec![Amiss::Fall], vec![Amiss::Fall])
    );
    // Common practice: 150 to 180 mm on the step below.
    let thin = with(flight_of(3, 1.2, 0.40, 0.172), "layout", layout(0.12, 1.0));
    assert_eq!(amiss(&thin), [Amiss::Overlap]);
}

#[test]
fn local_rules_replace_the_usual_ones() {
    let events = with(flight_of(3, 1.2, 0.44, 0.172), "layout", layout(0.16, 1.0));
    let strict = json!({"name": "Town", "riser_max_mm": 150.0, "going_min_mm": 300.0,
        "variation_max_mm": 10.0, "two_r_plus_t_min_mm": 600.0, "two_r_plus_t_max_mm": 660.0,
        "fall_min_pct": 0.0, "fall_max_pct": 2.0});
    let events = with(events, "rules", strict);
    assert_eq!(amiss(&events), [Amiss::Riser, Amiss::Going]);
    assert_eq!(view(&events).rules.fact.name, "Town");
}

#[test]
fn a_measured_bank_that_the_steps_miss_is_said() {
    let mut lies = layout(0.16, 1.0);
    lies["bank_rise_m"] = json!(0.53);
    lies["bank_run_m"] = json!(0.84);
    let fits = with(flight_of(3, 1.2, 0.44, 0.172), "layout", lies.clone());
    assert_eq!(amiss(&fits), []);
    lies["bank_rise_m"] = json!(0.60);
    lies["bank_run_m"] = json!(1.0);
    let misses = with(flight_of(3, 1.2, 0.44, 0.172), "layout", lies);
    assert_eq!(amiss(&misses), [Amiss::BankRise, Amiss::BankRun]);
}

#[test]
fn a_bank_gets_the_number_of_steps_that_a_builder_would_take() {
    let rules: Rules = view(&plan()).rules.fact;
    let bank = Bank {
        rise: Metres(1.575),
        run: Metres(2.52),
        overlap: Metres(0.165),
        fall_pct: 1.5,
    };
    let all = propose(&bank, &rules);
    let best: Vec<_> = all.iter().filter(|p| p.best).collect();
    // 9 risers of 175 with goings of 280: 630, the worked flight of the trade (the middle
    // of 24 to 26 in is 635).
    assert_eq!((best.len(), best[0].steps), (1, 9));
    close(best[0].riser_m, 0.175, 1e-12);
    close(best[0].going_m, 0.28, 1e-12);
    close(best[0].cast_m, 0.175 - 0.0042, 1e-12);
    close(best[0].depth_m, 0.445, 1e-12);
    assert_eq!(best[0].findings, []);
    assert!(all.iter().any(|p| p.steps == 8) && all.iter().any(|p| p.steps == 10));
    // One step fewer is above 196.85 mm.
    let fewer = all.iter().find(|p| p.steps == 7).unwrap();
    assert!(fewer.findings.iter().any(|f| f.what == Amiss::Riser));
}

#[test]
fn a_box_takes_the_bags_that_practice_says() {
    // Common practice, no source: 0.084 to 0.085 m³ take six bags of 30 kg. 14.0 L to a bag.
    let bags = |depth: f64, waste: f64| {
        let events = with(
            flight_of(1, 1.2, depth, 0.175),
            "materials",
            materials(waste, 30.0),
        );
        let v = view(&events);
        (
            v.needs[0].bags_exact,
            v.needs[0].bags,
            v.needs[0].batches,
            v.needs[0].last_batch_bags,
        )
    };
    let (exact, whole, batches, last) = bags(0.40, 0.0);
    close(exact, 6.0, 1e-9);
    assert_eq!((whole, batches, last), (6, 3, 0.0));
    // 0.085 m³ are 6.07 bags: a seventh is opened, because one short loses the pour.
    let (exact, whole, batches, last) = bags(0.0850 / 1.2 / 0.175, 0.0);
    close(exact, 6.0, 0.1);
    assert_eq!((whole, batches, last), (7, 3, 1.0));
    // With 5 % of waste: 6.3.
    let (exact, whole, ..) = bags(0.40, 5.0);
    close(exact, 6.3, 1e-9);
    assert_eq!(whole, 7);
}

#[test]
fn water_pigment_mesh_and_gravel_by_hand() {
    let mut material = materials(0.0, 60.0);
    material["doses"] = json!([{"additive": "ochre-001", "dose_pct": 3.0}]);
    let events = with(flight_of(2, 1.2, 0.40, 0.175), "materials", material);
    let events = with(events, "layout", layout(0.15, 1.5));
    let v = view(&events);
    let n = &v.needs[1];
    // 6 bags with 2.2 to 3.0 L each; four bags fit into 60 L.
    close(n.water_l.0, 13.2, 1e-9);
    close(n.water_l.1, 18.0, 1e-9);
    assert_eq!(
        (v.recipe.batch_bags, n.batches, n.last_batch_bags),
        (4.0, 1, 2.0)
    );
    // 30 kg with 14 % cement: 4.2 kg; 3 % of it 126 g to a bag, 504 g to a batch of four.
    close(v.recipe.doses[0].per_bag, 126.0, 1e-9);
    close(v.recipe.doses[0].per_batch, 504.0, 1e-9);
    assert_eq!(v.recipe.doses[0].fits, Some(true));
    close(item(&v, "additive:ochre-001").amount, 1.512, 1e-9);
    // 25 mm short all round, at half depth.
    close(n.mesh_width_m, 1.15, 1e-12);
    close(n.mesh_depth_m, 0.35, 1e-12);
    close(n.mesh_up_m, 0.0875, 1e-12);
    // 84 L of 2400 kg/m³ is nothing that people lift.
    close(n.mass_kg, 201.6, 1e-9);
    assert_eq!(n.persons, None);
    // Gravel: 1.4 m by 0.25 m (the rest lies on step 1), 0.1 m compacted, a quarter more.
    close(n.gravel_l, 1.4 * 0.25 * 0.1 * 1250.0, 1e-9);
    // The lowest: its whole depth and 0.1 m in front.
    close(v.needs[0].gravel_l, 1.4 * 0.5 * 0.1 * 1250.0, 1e-9);
    // A liner of 1.2 m by 0.17 m, 15 mm thick, a tenth of waste, 1.1 kg/L.
    close(
        item(&v, "rubber").amount,
        1.2 * 0.17 * 15.0 * 1.1 * 1.1,
        1e-9,
    );
}

#[test]
fn the_list_shrinks_with_each_pour_and_keeps_its_ticks() {
    let mut events = flight_of(3, 1.2, 0.40, 0.175);
    events.push(event(
        "bought-01",
        hours(-3.0),
        "bought",
        json!({"item": "bags", "done": true}),
    ));
    let before = view(&events);
    // 18.9 bags with waste for three steps together; 7 each when each is opened afresh.
    assert_eq!(
        (item(&before, "bags").amount, before.needs[0].bags),
        (19.0, 7)
    );
    assert!(item(&before, "bags").bought && !item(&before, "mesh").bought);
    events.push(pour(1, MORNING));
    events.push(event(
        "bought-02",
        hours(1.0),
        "bought",
        json!({"item": "bags", "done": false}),
    ));
    let after = view(&events);
    assert_eq!(item(&after, "bags").amount, 13.0);
    assert!(!item(&after, "bags").bought);
    assert!(after.needs[0].poured && !after.needs[1].poured);
    for n in 2..=3 {
        events.push(pour(n, hours(f64::from(n) * 200.0)));
    }
    assert_eq!(view(&events).list, []);
}

#[test]
fn doses_that_nobody_chose_are_those_of_the_last_pour() {
    let mut events = flight_of(3, 1.2, 0.40, 0.175);
    events.push(pour(1, MORNING));
    let batch = json!({"pour": "pour-0001", "bags": 2.0, "water_l": 5.0,
        "additives": [{"additive": "ochre-001", "amount": 168.0}]});
    events.push(event("batch-001", MORNING, "batch", batch));
    let v = view(&events);
    // 168 g on 8.4 kg of cement.
    close(v.recipe.doses[0].dose_pct, 2.0, 1e-9);
    assert!(v.recipe.as_last);
}

#[test]
fn the_table_survives_odd_names() {
    let mut v = view(&flight_of(1, 1.2, 0.40, 0.175));
    v.list[0].name = "=1+1 \"fine\",\r\nmix".to_owned();
    let say = |key: &str| key.to_owned();
    let text = shopping::csv(&v.list, Units::Metric, &say);
    let lines: Vec<&str> = text.split("\r\n").collect();
    assert_eq!(lines.len(), v.list.len() + 2);
    // RFC 4180: quotes doubled; and no spreadsheet reads it as a formula.
    assert!(
        lines[1].starts_with("\"item-bags\",\"'=1+1 \"\"fine\"\",  mix\",7,\"list-bags\",6.3,"),
        "{}",
        lines[1]
    );
    // A US site reads its own units: 25.4 mm are an inch, 0.3048 m a foot.
    let us = shopping::csv(&v.list, Units::Us, &say);
    let metric = [" mm\"", "\"m\"", "\"m²\"", "\"kg\"", "\"L\""];
    for sign in metric {
        assert!(!us.contains(sign), "{sign}: {us}");
    }
    assert!(us.contains("\"ft²\"") && us.contains("\"qt\""), "{us}");
}

#[test]
fn points_of_the_check_are_open_until_ticked_and_the_list_is_the_persons_own() {
    let mut events = plan();
    let checks = |events: &[Event]| book(events).checks_view(SITE, MORNING).unwrap();
    let first = checks(&events);
    assert_eq!(first.steps.len(), 3);
    assert_eq!(first.steps[0].open as usize, first.list.fact.points.len());
    assert_eq!(first.steps[0].bags, 6, "72 L with 5 % of waste: 5.4 bags");
    let tick = |id: &str, h: f64, done: bool| {
        let body = json!({"step": "step-0001", "point": "gaps_closed", "done": done});
        event(id, hours(h), "ticked", body)
    };
    events.push(tick("tick-0001", -2.0, true));
    let ticked = checks(&events);
    let point = ticked.steps[0].points.iter().find(|p| p.done).unwrap();
    assert_eq!(
        (point.point.as_str(), point.by.as_str()),
        ("gaps_closed", "Ada")
    );
    assert_eq!(ticked.steps[1].open, ticked.steps[0].open + 1);
    events.push(tick("tick-0002", -1.0, false));
    assert_eq!(checks(&events).steps[0].open, first.steps[0].open);
    let mine = json!({"points": ["gaps_closed", "Tell the neighbours"]});
    events.push(event("list-0001", hours(-1.0), "checklist", mine));
    let own = checks(&events);
    assert_eq!(own.steps[0].points[1].point, "Tell the neighbours");
    // A step that was poured is not asked about any more.
    events.push(pour(1, MORNING));
    assert_eq!(checks(&events).steps[0].number, 2);
}

/// Mesh that stays short of the form by more than a small piece is wide is none.
#[test]
fn a_piece_too_small_for_mesh_has_none() {
    let mut most = materials(5.0, 30.0);
    most["mesh_gap_mm"] = json!(150.0);
    let events = with(flight_of(1, 1.2, 0.25, 0.15), "materials", most);
    let mesh = book(&events).checks_view(SITE, MORNING).unwrap().steps[0].mesh_m;
    close(mesh.0, 0.9, 1e-9);
    assert_eq!(mesh.1, 0.0);
    let need = &view(&events).needs[0];
    assert_eq!((need.mesh_width_m, need.mesh_depth_m), mesh);
}

#[test]
fn settings_that_cannot_be_are_refused_and_orphans_are_left_out() {
    let refused =
        |kind: &str, body: Value| event("event-001", MORNING, kind, body).check().unwrap_err();
    let crew = |from: f64, until: f64, off: Value| {
        json!({"from_h": from, "until_h": until, "days_off": off, "pour_h": 1.0, "wash_h": 1.0,
            "dry_h": 1.0, "reset_h": 1.0})
    };
    assert_eq!(refused("crew", crew(20.0, 8.0, json!([]))).field, "until_h");
    let week = json!(["mon", "tue", "wed", "thu", "fri", "sat", "sun"]);
    assert_eq!(refused("crew", crew(8.0, 20.0, week)).field, "days_off");
    assert_eq!(
        refused("crew", crew(8.0, 20.0, json!(["someday"]))).field,
        "days_off"
    );
    let many = json!({"points": vec!["x"; 41]});
    assert_eq!(refused("checklist", many).field, "points");
    let mut lost = layout(0.15, 1.0);
    lost["flight"] = json!("flight-99");
    let b = book(&with(plan(), "layout", lost))
        .site_view(SITE, MORNING)
        .unwrap();
    assert_eq!(b.problems[0].code, "missing_reference");
    assert_eq!(book(&plan()).plan_view("nowhere-1", MORNING), None);
}

#[test]
fn the_drawing_is_to_scale_and_says_its_sizes() {
    let mut events = with(flight_of(4, 1.2, 0.43, 0.172), "layout", layout(0.15, 1.5));
    events.push(correction(
        "corr-0001",
        MORNING,
        FLIGHT,
        json!({"name": "Up & <away>"}),
        &[],
    ));
    let flight = view(&events).flights.remove(0);
    let svg = drawing::svg(&flight, 25.0, Units::Metric).unwrap();
    // 1.27 m long, 0.85 and 1.2 m high together: 1:20 is the largest that fits the sheet.
    assert!(svg.contains("data-scale=\"20\"") && svg.contains("Up &amp; &lt;away&gt;  1:20"));
    // Paper millimetres of the first cut: 430 mm deep and 172 mm high at 1:20.
    let cut = svg.split("class=\"cut\" points=\"").nth(1).unwrap();
    let points: Vec<(f64, f64)> = cut
        .split('"')
        .next()
        .unwrap()
        .split(' ')
        .map(|p| p.split_once(',').unwrap())
        .map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap()))
        .collect();
    close(points[3].0 - points[0].0, 430.0 / 20.0, 0.011);
    close(points[0].1 - points[1].1, 172.0 / 20.0, 0.011);
    // The back is 6.45 mm higher.
    close(points[1].1 - points[2].1, 6.45 / 20.0, 0.011);
    assert_eq!(svg.matches("class=\"cut\"").count(), 4);
    for said in [">280<", ">172<", ">176<", ">150<", ">1200<", ">1270<"] {
        assert!(svg.contains(said), "{said}");
    }
    let us = drawing::svg(&flight, 25.0, Units::Us).unwrap();
    // 280 mm are 11.024 in.
    assert!(
        us.contains(">11&quot;<") && us.contains("data-scale=\"24\""),
        "{us}"
    );
    assert_eq!(drawing::length(0.5 * 0.0254, Units::Us), "1/2\"");
    assert_eq!(drawing::length(5.5 * 0.0254, Units::Us), "5 1/2\"");
    let empty: Vec<Event> = plan().into_iter().filter(|e| e.kind != "step").collect();
    assert_eq!(
        drawing::svg(&view(&empty).flights[0], 25.0, Units::Metric),
        None
    );
}
