//! Measured colours: which stands for a step, what is compared with what, and the dose
//! that matches a step. The colours are those of a straight invented trend.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

mod making;

use making::*;
use serde_json::{Value, json};
use slowstone_colour::compare::{Caution, Place, Word};
use slowstone_colour::dose::{CAP_PCT, NoCurve, Reach};
use slowstone_logbook::facts::Card;
use slowstone_logbook::view::colour::{Differed, Tend};
use slowstone_logbook::view::dose::{AskedDose, LeftOut, Teaches};
use slowstone_logbook::{Book, Event};

const CEMENT_PER_BAG_KG: f64 = 4.2;

fn card() -> Event {
    let value = json!({"name": "Grey", "kind": "grey_card", "lab_d65": [49.5, 0.0, 0.0]});
    event("card-0001", MORNING, "card", value)
}

/// Pour `n` of the mix with so much ochre, poured `n` days after the first, photographed
/// and measured at 30 days.
fn measured(n: u32, pct: f64, lab: [f64; 3]) -> Vec<Event> {
    let poured = hours(24.0 * f64::from(n));
    let (pour, photo) = (format!("pour-{n:04}"), format!("photo-{n:04}"));
    let grams = pct * 10.0 * CEMENT_PER_BAG_KG * 2.0;
    let taken = hours(24.0 * f64::from(n + 30));
    vec![
        event(
            &pour,
            poured,
            "pour",
            json!({"name": format!("patch {n}"), "mix": "mix-00001", "started_ms": poured, "air_c": 15.0}),
        ),
        event(
            &format!("batch-{n:04}"),
            poured,
            "batch",
            json!({"pour": pour, "bags": 2.0, "water_l": 5.0,
            "additives": [{"additive": "ochre-001", "amount": grams}]}),
        ),
        event(
            &photo,
            taken,
            "photo",
            json!({"pour": pour, "hash": format!("{n:064}"), "bytes": 9, "format": "jpeg",
            "camera": "C", "taken_ms": taken, "time_source": "exif_offset"}),
        ),
        colour(&format!("colour-{n:04}"), &photo, lab, "dry"),
    ]
}

fn colour(id: &str, photo: &str, lab: [f64; 3], state: &str) -> Event {
    let body = json!({"photo": photo, "patch": [0, 0, 50, 50],
        "references": [{"card": "card-0001", "rect": [60, 0, 90, 30], "lab_d65": [49.5, 0.0, 0.0]}],
        "lab_d65": lab, "sd_lab": [0.5, 0.4, 0.4], "own_sd_lab": [0.2, 0.2, 0.2], "state": state});
    event(id, hours(24.0 * 40.0), "colour", body)
}

fn trend(pct: f64) -> [f64; 3] {
    [66.0 - 3.0 * pct, 1.0 + 4.0 * pct, 5.0 + 2.0 * pct]
}

/// Four doses on the trend.
fn patches() -> Vec<Event> {
    let mut events = plan();
    events.push(card());
    for (n, pct) in [0.0, 2.0, 3.0, 5.0].into_iter().enumerate() {
        events.extend(measured(n as u32, pct, trend(pct)));
    }
    events
}

fn asked(matching: Option<&str>) -> AskedDose {
    AskedDose {
        additives: vec!["ochre-001".into()],
        mix: Some("mix-00001".into()),
        matching: matching.map(str::to_owned),
    }
}

fn with(mut events: Vec<Event>, more: Vec<Event>) -> Book {
    events.extend(more);
    book(&events)
}

#[test]
fn a_pour_is_shown_with_its_colour_and_what_made_it() {
    let grey = correction(
        "corr-0001",
        MORNING,
        "colour-0000",
        json!({"lab_d65": [53.585, 0.0, 0.0]}),
        &[],
    );
    let mut book = with(patches(), vec![grey]);
    let now = hours(24.0 * 50.0);
    let view = book.colours_view(SITE, None, now).unwrap();
    assert_eq!(view.pieces.len(), 4);
    let piece = &view.pieces[1];
    assert_eq!(piece.name, "patch 1");
    assert_eq!(piece.measured[0].age_d, Some(30.0));
    // Mid grey, level 128 of sRGB, is L* 53.585 (common practice, no source).
    assert_eq!(view.pieces[0].measured[0].swatch, "#808080");
    assert_eq!(piece.measured[0].give_or_take, [1.0, 0.8, 0.8]);
    assert!((piece.mixed.doses[0].pct_of_cement.unwrap() - 2.0).abs() < 1e-9);
    assert_eq!(piece.mixed.water_per_bag_l, Some(2.5));
    // Only the paper is still on offer.
    assert_eq!(view.presets, [Card::presets()[1].clone()]);
    assert_eq!(view.photos[0].measured, 1);
    assert_eq!(view.doses[0].trials, 4);
    assert!(book.colours_view("site-9999", None, now).is_none());
}

#[test]
fn two_pours_are_told_apart_in_words_and_with_causes() {
    let mut more = measured(7, 2.0, [57.0, 9.0, 9.0]);
    more[1].body.insert("water_l".into(), json!(7.0));
    more[0]
        .body
        .insert("liner_side".into(), json!("smooth side"));
    let mut book = with(patches(), more);
    let view = book.colours_view(SITE, Some("pour-0001"), MORNING).unwrap();
    assert_eq!(view.against.as_deref(), Some("pour-0001"));
    let pair = view.pairs.iter().find(|p| p.pour == "pour-0007").unwrap();
    assert_eq!(pair.apart.tends, [Tend::Darker]);
    assert_eq!(pair.apart.words.0, Word::Slight);
    assert_eq!(pair.apart.cautions, []);
    let side = ("".to_owned(), "smooth side".to_owned());
    assert_eq!(
        pair.differed,
        [
            Differed::Water { litres: (2.5, 3.5) },
            Differed::Liner { names: side }
        ]
    );
    let pair = view.pairs.iter().find(|p| p.pour == "pour-0003").unwrap();
    assert_eq!(pair.apart.words.0, Word::Plain);
    assert!(matches!(&pair.differed[0], Differed::Dose { name, .. } if name == "Ochre"));
}

#[test]
fn wet_is_not_held_against_dry_and_dry_stands_for_the_pour() {
    let more = vec![colour(
        "colour-9999",
        "photo-0001",
        [50.0, 10.0, 9.0],
        "wet",
    )];
    let mut book = with(patches(), more.clone());
    let view = book.colours_view(SITE, None, MORNING).unwrap();
    let piece = &view.pieces[1];
    assert_eq!((piece.measured.len(), piece.chosen), (2, Some(0)));
    assert_eq!(piece.since_first[0].cautions, [Caution::StateDiffers]);
    // Taken back, it is gone.
    let mut all = more;
    all.push(retraction("retr-0001", MORNING, "colour-9999"));
    let view = with(patches(), all).colours_view(SITE, None, MORNING);
    assert_eq!(view.unwrap().pieces[1].measured.len(), 1);
}

#[test]
fn a_step_stands_out_of_its_flight() {
    let mut events = plan();
    events.push(card());
    for n in 0..5 {
        let mut made = measured(n, 2.0, [if n == 2 { 50.0 } else { 60.0 }, 9.0, 9.0]);
        let step = json!({"flight": FLIGHT, "number": n + 11, "width_m": 1.2, "depth_m": 0.4, "rise_m": 0.15});
        events.push(event(&format!("stepx-{n:03}"), MORNING, "step", step));
        made[0]
            .body
            .insert("step".into(), json!(format!("stepx-{n:03}")));
        events.extend(made);
    }
    let view = book(&events).colours_view(SITE, None, MORNING).unwrap();
    let places: Vec<_> = view.pieces.iter().map(|p| p.place.unwrap()).collect();
    let fits = Place::Fits;
    assert_eq!(places, [fits, fits, Place::StandsOut, fits, fits]);
    assert!(view.pieces[2].from_middle.unwrap().0 > 5.0);
}

#[test]
fn the_dose_that_matches_is_found_in_grams() {
    // Half way between two doses of the trend.
    let target = measured(8, 9.0, trend(4.0));
    let mut target = target;
    // A batch for a step is what is mixed next, whatever the patches took.
    target[0].body.insert("step".into(), json!("step-0001"));
    // Another pigment made it, so it is not on the curve.
    let pigment = json!({"name": "Umber", "kind": "pigment"});
    target[1].body.insert(
        "additives".into(),
        json!([{"additive": "umber-001", "amount": 50.0}]),
    );
    target.push(event("umber-001", MORNING, "additive", pigment));
    let mut book = with(patches(), target);
    let view = book.dose_view(SITE, &asked(Some("pour-0008"))).unwrap();
    assert_eq!(view.no_curve, None);
    let left: Vec<_> = view.trials.iter().filter_map(|t| t.left_out).collect();
    assert_eq!(left, [LeftOut::OtherAdditive]);
    let aim = view.aim.unwrap();
    assert_eq!(aim.reach, Reach::Within);
    let (pct, low, high) = aim.amounts[0].pct;
    assert!(
        (pct - 4.0).abs() < 0.2 && low <= pct && pct <= high,
        "{aim:?}"
    );
    assert!((aim.amounts[0].per_bag_g.0 - pct * 10.0 * CEMENT_PER_BAG_KG).abs() < 1e-9);
    assert_eq!(aim.batch_bags, 2.0);
    assert_eq!(
        aim.amounts[0].per_batch_g.0,
        2.0 * aim.amounts[0].per_bag_g.0
    );
    assert_eq!(view.additives[0].tried_pct, Some((0.0, 5.0)));
    assert_eq!((view.most_pct, view.cap_pct), (6.0, CAP_PCT));
    assert!(view.next.is_some());
    assert_eq!(view.curve.first().unwrap().dose_pct, 0.0);
    assert_eq!(view.curve.last().unwrap().dose_pct, 5.0);
}

#[test]
fn what_is_not_known_is_not_drawn() {
    let mut events = plan();
    events.push(card());
    events.extend(measured(0, 2.0, trend(2.0)));
    let view = book(&events).dose_view(SITE, &asked(None)).unwrap();
    assert_eq!(view.no_curve, Some(NoCurve::TooFewTrials));
    assert!(view.curve.is_empty() && view.aim.is_none());
    // 2 % is known and the supplier allows 6: the furthest is tried first.
    let next = view.next.unwrap();
    assert_eq!((next.why, next.dose_pct), (Teaches::ToBegin, vec![6.0]));
    assert!((next.per_bag_g[0] - 6.0 * 10.0 * CEMENT_PER_BAG_KG).abs() < 1e-9);
    // What was not made for concrete is tried in little.
    let grout = correction(
        "corr-0001",
        MORNING,
        "ochre-001",
        json!({"kind": "improvised"}),
        &[],
    );
    events.push(grout);
    let view = book(&events).dose_view(SITE, &asked(None)).unwrap();
    assert!(view.additives[0].improvised);
    assert_eq!(view.next.unwrap().dose_pct, [0.0]);
    let mut other = asked(None);
    other.additives = vec!["nobody-01".into()];
    assert!(book(&events).dose_view(SITE, &other).is_none());
}

/// All that was tried is more than the supplier allows: nothing is said of what is allowed.
#[test]
fn nothing_is_said_below_what_was_tried() {
    let mut events = plan();
    events.push(card());
    for (n, pct) in [3.0, 4.0, 5.0].into_iter().enumerate() {
        events.extend(measured(n as u32, pct, trend(pct)));
    }
    let changes = json!({"max_pct": 2.0});
    events.push(correction("corr-0001", MORNING, "ochre-001", changes, &[]));
    let view = book(&events)
        .dose_view(SITE, &asked(Some("pour-0001")))
        .unwrap();
    assert_eq!((view.no_curve, view.most_pct), (None, 2.0));
    assert!(view.curve.is_empty() && view.aim.is_none() && view.next.is_none());
    assert_eq!(view.additives[0].tried_pct, None);
}

#[test]
fn a_card_that_was_corrected_is_said_beside_what_it_measured() {
    let change: Value = json!({"lab_d65": [52.0, 0.0, 0.0]});
    let more = vec![correction("corr-0001", MORNING, "card-0001", change, &[])];
    let view = with(patches(), more)
        .colours_view(SITE, None, MORNING)
        .unwrap();
    assert!(view.pieces[0].measured[0].card_changed);
}

#[test]
fn two_pigments_are_dosed_together_within_the_stricter_limit() {
    let mut events = plan();
    events.push(card());
    let umber = json!({"name": "Umber", "kind": "pigment", "max_pct": 5.0});
    events.push(event("umber-001", MORNING, "additive", umber));
    // Ochre makes yellower, umber darker, each on its own straight line.
    let mixed =
        |ochre: f64, umber: f64| [66.0 - ochre - 4.0 * umber, 2.0 + umber, 5.0 + 4.0 * ochre];
    let doses = [
        (0.0, 0.0),
        (2.0, 0.0),
        (0.0, 2.0),
        (2.0, 2.0),
        (3.0, 1.0),
        (1.0, 3.0),
    ];
    for (n, (ochre, umber)) in doses.into_iter().enumerate() {
        let mut made = measured(n as u32, ochre, mixed(ochre, umber));
        let grams = |pct: f64| pct * 10.0 * CEMENT_PER_BAG_KG * 2.0;
        made[1].body.insert(
            "additives".into(),
            json!([{"additive": "ochre-001", "amount": grams(ochre)}, {"additive": "umber-001", "amount": grams(umber)}]),
        );
        events.extend(made);
    }
    // Made of 1.5 % and 1 %, as if it were somebody else's: no batch is logged.
    let mut target = measured(9, 0.0, mixed(1.5, 1.0));
    target.remove(1);
    events.extend(target);
    let asked = AskedDose {
        additives: vec!["ochre-001".into(), "umber-001".into()],
        mix: Some("mix-00001".into()),
        matching: Some("pour-0009".into()),
    };
    let view = book(&events).dose_view(SITE, &asked).unwrap();
    assert_eq!((view.no_curve, view.most_pct), (None, 5.0));
    let aim = view.aim.unwrap();
    let (ochre, umber) = (aim.amounts[0].pct.0, aim.amounts[1].pct.0);
    assert!(
        (ochre - 1.5).abs() < 0.4 && (umber - 1.0).abs() < 0.4,
        "{aim:?}"
    );
    let left: Vec<_> = view.trials.iter().filter_map(|t| t.left_out).collect();
    assert_eq!(left, [LeftOut::DoseUnknown]);
}
