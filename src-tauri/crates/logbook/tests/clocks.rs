//! Cameras whose clock is wrong: found from several photos, one shift offered, taken back.
//! Invented data.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

mod making;

use making::*;
use serde_json::{Value, json};
use slowstone_logbook::Event;
use slowstone_logbook::view::{ClockDoubt, ClockWhy};

const MIN: i64 = 60_000;

/// A photo of the camera, by its clock at `taken` minutes after the pour began; it arrived
/// at `arrived` minutes.
fn photo(n: u32, camera: &str, taken: i64, arrived: i64, more: Value) -> Event {
    let mut value = json!({"hash": format!("{n:064}"), "bytes": 1, "format": "jpeg", "name": format!("{n}.jpg"),
        "taken_ms": MORNING.0 + taken * MIN, "time_source": "exif_site_zone", "camera": camera});
    for (field, said) in more.as_object().unwrap() {
        value[field] = said.clone();
    }
    let at = slowstone_curing::units::AtMs(MORNING.0 + arrived * MIN);
    event(&format!("photo-{n:03}"), at, "photo", value)
}

/// Two pours with everything logged.
fn worked() -> Vec<Event> {
    let mut events = plan();
    events.extend([pour(1, MORNING), pour(2, hours(48.0))]);
    for (n, start) in [(1, 0.0), (2, 48.0)] {
        for (k, (h, what)) in [
            (2.5, "textured"),
            (7.0, "thumb_none"),
            (22.0, "stripped_clean"),
        ]
        .into_iter()
        .enumerate()
        {
            let id = format!("seen-{n}{k}000");
            let pour = format!("pour-{n:04}");
            events.push(observation(&id, &pour, hours(start + h), what));
        }
    }
    events
}

fn doubts(events: &[Event]) -> Vec<ClockDoubt> {
    book(events)
        .site_view(SITE, hours(100.0))
        .unwrap()
        .clock_doubts
}

#[test]
fn a_right_clock_is_never_doubted() {
    let mut events = worked();
    // Sent at once; from a card in the evening; some odd ones.
    for (n, taken) in [5, 40, 100, 160, 300].into_iter().enumerate() {
        let n = u32::try_from(n).unwrap();
        events.push(photo(n, "A", taken, taken + 1, json!({})));
        events.push(photo(n + 10, "B", taken, 600, json!({})));
    }
    // One sending of a burst, long after.
    for n in 30..36 {
        events.push(photo(n, "C", i64::from(n), 600, json!({})));
    }
    assert_eq!(doubts(&events), []);
}

#[test]
fn an_hour_too_early_or_late_shows_by_the_arrival() {
    for (off, shift) in [
        (60, 60),
        (-60, -60),
        (330, 330),
        (-7 * 24 * 60 + 17, -7 * 24 * 60 + 17),
    ] {
        let mut events = worked();
        for (n, true_time) in [65, 100, 160, 300].into_iter().enumerate() {
            let n = u32::try_from(n).unwrap();
            events.push(photo(
                n,
                "A",
                true_time - off,
                true_time + i64::from(n % 2),
                json!({}),
            ));
        }
        // One of them was sent only in the evening.
        events.push(photo(9, "A", 200 - off, 900, json!({})));
        let found = doubts(&events);
        assert_eq!(found.len(), 1, "{off}");
        assert_eq!(
            (found[0].why, found[0].proofs),
            (ClockWhy::Arrival, 4),
            "{off}"
        );
        assert_eq!(found[0].shift_ms, shift * MIN, "{off}");
        assert_eq!(found[0].photos.len(), 5, "{off}");
    }
}

#[test]
fn photos_from_a_card_cannot_be_younger_than_their_arrival() {
    let mut events = worked();
    // Two hours fast, read out at minute 400.
    for (n, true_time) in [300, 330, 350, 395].into_iter().enumerate() {
        let n = u32::try_from(n).unwrap();
        events.push(photo(n, "A", true_time + 120, 400, json!({})));
    }
    let found = doubts(&events);
    assert_eq!(
        (found[0].why, found[0].shift_ms),
        (ClockWhy::Ahead, -120 * MIN)
    );
    assert_eq!((found[0].proofs, found[0].photos.len()), (4, 4));
    // Two are too few.
    events.truncate(events.len() - 2);
    assert_eq!(doubts(&events), []);
}

#[test]
fn what_people_said_a_photo_shows_tells_the_clock() {
    let mut events = worked();
    // Three hours slow, from a card after days: fresh at 20 min, texture at 160, set at
    // 500, form off at 1330, each put where it belongs by a person.
    for (n, (taken, stage)) in [
        (20, "fresh"),
        (160, "texture"),
        (500, "setting"),
        (1330, "form_off"),
    ]
    .into_iter()
    .enumerate()
    {
        let n = u32::try_from(n).unwrap();
        let said = json!({"pour": "pour-0001", "stage": stage});
        events.push(photo(n, "A", taken - 180, 5000, said));
    }
    let found = doubts(&events);
    assert_eq!(
        (found[0].why, found[0].shift_ms),
        (ClockWhy::Work, 180 * MIN)
    );
    // What people said stands.
    let stages: Vec<_> = found[0].photos.iter().map(|p| p.stage.as_str()).collect();
    assert_eq!(stages, ["fresh", "texture", "setting", "form_off"]);
    // One stage alone may be a matter of opinion.
    let mut same = worked();
    for n in 0..4 {
        let said = json!({"pour": "pour-0001", "stage": "fresh"});
        same.push(photo(n, "A", 200 + i64::from(n), 5000, said));
    }
    assert_eq!(doubts(&same), []);
}

#[test]
fn accepting_files_the_photos_anew_ends_the_doubt_and_can_be_taken_back() {
    let mut events = worked();
    for (n, true_time) in [5, 100, 160, 48 * 60 - 100].into_iter().enumerate() {
        let (n, taken) = (u32::try_from(n).unwrap(), true_time - 240);
        events.push(photo(n, "A", taken, true_time, json!({"filing": "time"})));
    }
    let stages = |events: &[Event]| {
        let mut book = book(events);
        let of = |pour: &str, book: &mut slowstone_logbook::Book| {
            let view = book.pour_view(SITE, pour, hours(100.0)).unwrap();
            let photos = view.photos.into_iter();
            photos.map(|p| p.fact.stage).collect::<Vec<_>>()
        };
        [of("pour-0001", &mut book), of("pour-0002", &mut book)]
    };
    let wrong = stages(&events);
    let before = book(&events).site_view(SITE, hours(100.0)).unwrap();
    assert_eq!(wrong[0][..2], ["form", "form"], "hours before the pour");
    let offered = before.clock_doubts[0].clone();
    assert_eq!(offered.shift_ms, 240 * MIN);
    let filed: Vec<_> = offered
        .photos
        .iter()
        .map(|p| (p.pour.as_deref(), p.stage.as_str()))
        .collect();
    let one = Some("pour-0001");
    assert_eq!(
        filed,
        [
            (one, "fresh"),
            (one, "fresh"),
            (one, "texture"),
            (Some("pour-0002"), "form")
        ]
    );
    for (n, to) in offered.photos.iter().enumerate() {
        assert!(to.follows, "{to:?}");
        events.push(correction(
            &format!("shift-{n:03}"),
            hours(60.0),
            &to.photo,
            json!({"taken_ms": to.taken_ms}),
            &[],
        ));
    }
    let after = book(&events).site_view(SITE, hours(100.0)).unwrap();
    assert_eq!(after.clock_doubts.len(), 0);
    assert_eq!(
        stages(&events),
        [vec!["fresh", "fresh", "texture"], vec!["form"]]
    );
    for n in 0..4 {
        events.push(retraction(
            &format!("undo-{n:04}"),
            hours(61.0),
            &format!("shift-{n:03}"),
        ));
    }
    let again = book(&events).site_view(SITE, hours(100.0)).unwrap();
    assert_eq!(again.clock_doubts, [offered]);
    assert_eq!(stages(&events), wrong);
}

#[test]
fn what_an_earlier_version_filed_goes_along_with_the_time() {
    let mut events = worked();
    for (n, true_time) in [5, 100, 160].into_iter().enumerate() {
        let (n, taken) = (u32::try_from(n).unwrap(), true_time - 120);
        // As it was filed then: before the pour, and fresh.
        let stage = if taken < 0 { "prepare" } else { "fresh" };
        events.push(photo(
            n,
            "A",
            taken,
            true_time,
            json!({"pour": "pour-0001", "stage": stage}),
        ));
    }
    let offered = doubts(&events)[0].clone();
    let stages: Vec<_> = offered
        .photos
        .iter()
        .map(|p| (p.follows, p.stage.as_str()))
        .collect();
    assert_eq!(
        stages,
        [(false, "fresh"), (false, "fresh"), (false, "texture")]
    );
}

/// Two mornings of work by the log, a phone that was there, and a camera read out in the
/// evening whose clock stands nine hours early: nothing happened when its photos were taken.
#[test]
fn a_camera_that_saw_nothing_when_it_should_have_is_noticed() {
    let spread = |off: i64| {
        let mut events = worked();
        let shown = [
            0,
            155,
            420,
            1320,
            48 * 60 + 10,
            48 * 60 + 150,
            48 * 60 + 425,
        ];
        for (n, minute) in shown.into_iter().enumerate() {
            let n = u32::try_from(n).unwrap();
            events.push(photo(
                n,
                "Camera",
                minute + 7 - off,
                6000,
                json!({"filing": "time"}),
            ));
        }
        // Another device was right, and sent at once.
        for (n, minute) in [3, 150, 48 * 60 + 20].into_iter().enumerate() {
            let n = u32::try_from(n).unwrap();
            events.push(photo(
                n + 50,
                "Phone",
                minute,
                minute + 1,
                json!({"filing": "time"}),
            ));
        }
        events
    };
    assert_eq!(doubts(&spread(0)), []);
    for off in [9 * 60, -6 * 60] {
        let found = doubts(&spread(off));
        assert_eq!(found.len(), 1, "{off}");
        assert_eq!(
            (found[0].why, found[0].shift_ms),
            (ClockWhy::Activity, off * MIN),
            "{off}"
        );
        assert_eq!(
            (found[0].proofs, found[0].photos.len()),
            (7, 7),
            "all its photos at once"
        );
    }
    // One visit on a quiet Sunday is no wrong clock.
    let mut sunday = worked();
    for n in 0..8 {
        sunday.push(photo(
            n,
            "Camera",
            26 * 60 + i64::from(n),
            6000,
            json!({"filing": "time"}),
        ));
    }
    assert_eq!(doubts(&sunday), []);
}

#[test]
fn times_at_the_ends_of_the_calendar_do_no_harm() {
    let mut events = worked();
    for (n, taken) in [0, 1, 2, 3]
        .into_iter()
        .zip([i64::MIN, i64::MAX, i64::MIN + 1, 0])
    {
        let mut e = photo(
            n,
            "A",
            0,
            0,
            json!({"pour": "pour-0001", "stage": "texture"}),
        );
        e.body.insert("taken_ms".into(), json!(taken));
        events.push(e);
    }
    let mut book = slowstone_logbook::Book::new();
    for e in events {
        book.add(e);
    }
    assert!(book.site_view(SITE, hours(1.0)).is_some());
}
