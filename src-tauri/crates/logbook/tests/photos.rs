//! Where photos belong: by their time, by the step that is open, by what was said; and that
//! a stage follows the log until a person sets it. Invented data.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

mod making;

use making::*;
use serde_json::{Value, json};
use slowstone_curing::units::AtMs;
use slowstone_logbook::Event;
use slowstone_logbook::facts::{Filing, Photo};

/// A photo taken `h` hours after the first pour began, entered at once.
fn photo(n: u32, h: f64, more: Value) -> Event {
    let mut value = json!({"hash": format!("{n:064}"), "bytes": 1, "format": "jpeg", "name": format!("{n}.jpg"),
        "taken_ms": hours(h).0, "time_source": "exif_offset", "filing": "time"});
    for (field, to) in more.as_object().unwrap() {
        value[field] = to.clone();
    }
    event(&format!("photo-{n:03}"), hours(h), "photo", value)
}

/// The place of a photo as a screen shows it: step, pour, stage, and what the log found.
fn place(events: &[Event], n: u32, now: AtMs) -> (String, String, String, Option<Filing>) {
    let id = format!("photo-{n:03}");
    let mut book = book(events);
    let view = book.site_view(SITE, now).unwrap();
    let mut found: Vec<Photo> = Vec::new();
    let mut add = |all: &[slowstone_logbook::view::Rec<Photo>]| {
        found.extend(all.iter().filter(|p| p.id == id).map(|p| p.fact.clone()));
    };
    add(&view.loose_photos);
    for step in &view.steps {
        add(&step.photos);
    }
    let pours = view.steps.iter().filter_map(|s| s.pour.as_ref());
    for card in pours.chain(&view.samples) {
        add(&book.pour_view(SITE, &card.id, now).unwrap().photos);
    }
    assert_eq!(found.len(), 1, "{id} is shown in one place: {found:?}");
    let photo = found.remove(0);
    (
        photo.step.unwrap_or_default(),
        photo.pour.unwrap_or_default(),
        photo.stage,
        photo.filing,
    )
}

fn at(
    step: &str,
    pour: &str,
    stage: &str,
    filing: Filing,
) -> (String, String, String, Option<Filing>) {
    (step.into(), pour.into(), stage.into(), Some(filing))
}

/// Step 1 poured, its form off after 22 h and its edges dressed at 24 h.
fn one_poured() -> Vec<Event> {
    let mut events = plan();
    events.push(pour(1, MORNING));
    events.push(observation(
        "strip-001",
        "pour-0001",
        hours(22.0),
        "stripped_clean",
    ));
    events.push(observation(
        "dress-001",
        "pour-0001",
        hours(24.0),
        "dressed_easily",
    ));
    events
}

#[test]
fn the_next_step_has_photos_before_it_is_poured_and_keeps_them() {
    let mut events = one_poured();
    events.push(photo(1, 23.0, json!({})));
    events.push(photo(2, 30.0, json!({})));
    let now = hours(31.0);
    assert_eq!(
        place(&events, 1, now),
        at("step-0001", "pour-0001", "form_off", Filing::Time)
    );
    assert_eq!(
        place(&events, 2, now),
        at("step-0002", "", "form", Filing::Time)
    );
    // Weeks later, with nothing poured on, people look at what they have.
    events.push(photo(3, 30.0 * 24.0, json!({})));
    assert_eq!(
        place(&events, 3, hours(720.0)),
        at("step-0001", "pour-0001", "usable", Filing::Time)
    );
    // Once it is poured they are photos of its pour.
    events.push(pour(2, hours(48.0)));
    assert_eq!(
        place(&events, 2, hours(50.0)),
        at("step-0002", "pour-0002", "form", Filing::Time)
    );
}

#[test]
fn before_the_first_pour_the_first_step_is_open() {
    let mut events = plan();
    events.push(photo(1, -30.0, json!({})));
    assert_eq!(
        place(&events, 1, hours(0.0)),
        at("step-0001", "", "form", Filing::Time)
    );
    // What the check says tells base, form and mesh apart.
    let tick = |id: &str, h: f64, point: &str| {
        let body = json!({"step": "step-0001", "point": point, "done": true});
        event(id, hours(h), "ticked", body)
    };
    events.extend([
        tick("tick-0001", -29.0, "base_level"),
        tick("tick-0002", -2.0, "mesh_cut"),
    ]);
    events.extend([photo(2, -10.0, json!({})), photo(3, -1.0, json!({}))]);
    let stages = [1, 2, 3].map(|n| place(&events, n, hours(0.0)).2);
    assert_eq!(stages, ["base", "form", "mesh"]);
    // A year before anybody thought of the site it shows nothing of it.
    events.push(photo(4, -365.0 * 24.0, json!({})));
    assert_eq!(
        place(&events, 4, hours(0.0)),
        (
            String::new(),
            String::new(),
            String::new(),
            Some(Filing::Time)
        )
    );
}

#[test]
fn a_sample_does_not_open_the_next_step() {
    let mut events = one_poured();
    let sample = json!({"name": "Patch", "started_ms": hours(26.0).0, "air_c": 18.0});
    events.push(event("pour-0009", hours(26.0), "pour", sample));
    events.push(photo(1, 26.5, json!({})));
    assert_eq!(
        place(&events, 1, hours(27.0)),
        at("", "pour-0009", "fresh", Filing::Time)
    );
    events.push(observation(
        "strip-009",
        "pour-0009",
        hours(40.0),
        "stripped_clean",
    ));
    events.push(observation(
        "dress-009",
        "pour-0009",
        hours(41.0),
        "dressed_easily",
    ));
    events.push(photo(2, 42.0, json!({})));
    assert_eq!(place(&events, 2, hours(43.0)).0, "step-0002");
}

#[test]
fn a_stage_follows_the_log_until_a_person_sets_it() {
    let mut events = plan();
    events.push(pour(1, MORNING));
    events.push(photo(
        1,
        20.0,
        json!({"pour": "pour-0001", "filing": "stage"}),
    ));
    events.push(photo(2, 20.0, json!({})));
    events.push(photo(
        3,
        20.0,
        json!({"step": "step-0001", "stage": "texture", "filing": "hand"}),
    ));
    let now = hours(24.0);
    for n in [1, 2] {
        assert_eq!(place(&events, n, now).2, "setting");
    }
    // In the evening somebody enters when the form came off.
    events.push(observation(
        "strip-001",
        "pour-0001",
        hours(19.0),
        "stripped_clean",
    ));
    assert_eq!(
        place(&events, 1, now),
        at("step-0001", "pour-0001", "form_off", Filing::Stage)
    );
    assert_eq!(
        place(&events, 2, now),
        at("step-0001", "pour-0001", "form_off", Filing::Time)
    );
    assert_eq!(
        place(&events, 3, now),
        at("step-0001", "pour-0001", "texture", Filing::Hand)
    );
    // A stage that was set stays, whatever is entered later.
    events.push(correction(
        "fix-00001",
        now,
        "photo-001",
        json!({"stage": "setting"}),
        &[],
    ));
    events.push(correction(
        "fix-00002",
        now,
        "photo-002",
        json!({"step": "step-0002"}),
        &[],
    ));
    assert_eq!(
        place(&events, 1, now),
        at("step-0001", "pour-0001", "setting", Filing::Hand)
    );
    assert_eq!(
        place(&events, 2, now),
        at("step-0002", "", "form", Filing::Stage)
    );
    events.push(correction(
        "fix-00003",
        hours(25.0),
        "photo-002",
        json!({"step": null, "filing": "hand"}),
        &["fix-00002"],
    ));
    let nowhere = (
        String::new(),
        String::new(),
        String::new(),
        Some(Filing::Hand),
    );
    assert_eq!(place(&events, 2, now), nowhere);
    // Taken back, the log decides again.
    events.push(retraction("back-0001", hours(26.0), "fix-00001"));
    assert_eq!(
        place(&events, 1, now),
        at("step-0001", "pour-0001", "form_off", Filing::Stage)
    );
}

#[test]
fn entries_of_earlier_versions_keep_what_they_say() {
    let mut events = one_poured();
    let old = |n: u32, more: Value| {
        let mut e = photo(n, 30.0, more);
        e.body.remove("filing");
        e
    };
    events.push(old(1, json!({"pour": "pour-0001", "stage": "setting"})));
    events.push(old(2, json!({})));
    let now = hours(31.0);
    let kept = (
        "step-0001".to_owned(),
        "pour-0001".to_owned(),
        "setting".to_owned(),
        None,
    );
    assert_eq!(place(&events, 1, now), kept);
    assert_eq!(
        place(&events, 2, now),
        (String::new(), String::new(), String::new(), None)
    );
}

#[test]
fn a_photo_of_a_step_that_was_taken_back_is_still_shown() {
    let mut events = one_poured();
    events.push(photo(
        1,
        30.0,
        json!({"step": "step-0003", "filing": "stage"}),
    ));
    assert_eq!(place(&events, 1, hours(31.0)).0, "step-0003");
    events.push(retraction("back-0001", hours(31.0), "step-0003"));
    assert_eq!(
        place(&events, 1, hours(31.0)).0,
        "step-0003",
        "as it was said, among the loose ones"
    );
}

#[test]
fn one_photo_is_to_be_taken_now() {
    use slowstone_logbook::view::{CellState, Column};
    let mut events = plan();
    let now_at = |events: &[Event], h: f64| {
        let view = book(events).photos_view(SITE, hours(h)).unwrap();
        let rows = view.rows.iter().enumerate();
        let now = rows.flat_map(|(n, r)| {
            let cells = r.cells.iter().filter(|c| c.state == CellState::Now);
            cells.map(move |c| (n + 1, c.column))
        });
        now.collect::<Vec<_>>()
    };
    assert_eq!(now_at(&events, -5.0), [(1, Column::Form)]);
    events.push(pour(1, MORNING));
    assert_eq!(now_at(&events, 0.5), [(1, Column::Fresh)]);
    assert_eq!(now_at(&events, 3.0), [(1, Column::Texture)]);
    events.push(photo(1, 3.0, json!({})));
    assert_eq!(now_at(&events, 3.1), []);
    events.push(observation(
        "strip-001",
        "pour-0001",
        hours(22.0),
        "stripped_clean",
    ));
    assert_eq!(now_at(&events, 22.1), [(1, Column::FormOff)]);
    events.push(photo(2, 22.1, json!({})));
    assert_eq!(now_at(&events, 50.0), [(2, Column::Form)]);
    // A word of one's own has no column: the time of the photo tells it.
    events.push(photo(
        3,
        2.0,
        json!({"stage": "wobbly", "step": "step-0001", "filing": "hand"}),
    ));
    let view = book(&events).photos_view(SITE, hours(50.0)).unwrap();
    let texture = &view.rows[0].cells[3];
    assert_eq!((texture.column, texture.photos.len()), (Column::Texture, 2));
    assert_eq!(view.loose, []);
}

#[test]
fn a_photo_that_waits_on_a_phone_is_told_where_it_will_be() {
    let waiting = photo_fact;
    let mut book = book(&one_poured());
    let fact = json!({"taken_ms": hours(30.0).0, "filing": "time"});
    let place = book.place_to_be(SITE, waiting(&fact));
    assert_eq!((place.step_number, place.stage.as_str()), (Some(2), "form"));
    let fact = json!({"taken_ms": hours(30.0).0, "filing": "stage", "pour": "pour-0001"});
    let place = book.place_to_be(SITE, waiting(&fact));
    assert_eq!(
        (place.step_number, place.stage.as_str()),
        (Some(1), "curing")
    );
}

fn photo_fact(more: &Value) -> Photo {
    let e = photo(9, 0.0, more.clone());
    let read = slowstone_logbook::facts::Fact::parse("photo", &e.body).unwrap();
    let Some(slowstone_logbook::facts::Fact::Photo(photo)) = read else {
        unreachable!("the kind is photo")
    };
    photo
}
