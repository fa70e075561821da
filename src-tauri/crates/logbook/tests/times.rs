//! Times that no calendar has: refused where somebody logs them, kept and shown as a problem
//! where they are in a log already, and never in the way of anything else.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

mod making;

use making::*;
use serde_json::{Value, json};
use slowstone_curing::units::AtMs;
use slowstone_logbook::{Book, Event};

/// Instants that are none: the ends of the number, of JavaScript's exact numbers and of its
/// calendar (ECMA-262, 8.64e15 ms), and the first ones beyond the calendar of the log.
const OUTSIDE: [i64; 10] = [
    i64::MAX,
    i64::MIN,
    i64::MAX - 1,
    1 << 53,
    -(1 << 53),
    8_640_000_000_000_001,
    -8_640_000_000_000_001,
    AtMs::LAST.0,
    AtMs::FIRST.0,
    // Microseconds where milliseconds belong.
    1_781_074_800_000_000,
];

/// Clocks that were never set, or wrongly, but show a date: no reason to refuse anything.
/// 1970, 1980 (where GPS begins), 2038 (where 32 bits end), 2199.
const WRONG: [i64; 5] = [0, -1, 315_964_800_000, 2_147_483_648_000, 7_226_582_400_000];

fn poured() -> Vec<Event> {
    let mut events = plan();
    events.push(pour(1, MORNING));
    events
}

/// What the events add up to, whether they could be logged or not: they lie in a log.
fn kept(events: &[Event]) -> Book {
    let mut book = Book::with_zones(Iana);
    for e in events {
        book.add(e.clone());
    }
    book
}

fn problems(book: &mut Book) -> Vec<(String, String)> {
    let view = book.site_view(SITE, hours(20.0)).unwrap();
    let line = |p: slowstone_logbook::Problem| (p.event, p.code);
    view.problems.into_iter().map(line).collect()
}

#[test]
fn a_clock_outside_the_calendar_is_refused_and_a_wrong_one_is_not() {
    let at = |at: i64| {
        event(
            "read-0001",
            AtMs(at),
            "reading",
            json!({"at_ms": MORNING, "air_c": 9.0}),
        )
    };
    for odd in OUTSIDE {
        let no = at(odd).check().unwrap_err();
        assert_eq!(no.field, "at_ms");
        assert_eq!(no.value, odd.to_string());
        assert!(
            no.reason.min.unwrap() < 0.0 && no.reason.max.is_some(),
            "{odd}"
        );
        // Written elsewhere, it is no reason to lose the entry.
        at(odd).check_passed_on().unwrap();
    }
    for wrong in WRONG {
        at(wrong).check().unwrap();
    }
}

#[test]
fn times_inside_an_entry_are_refused_by_their_field() {
    let bodies: [(&str, &str, Value); 7] = [
        ("pour", "started_ms", json!({"started_ms": MORNING})),
        (
            "pour",
            "finished_ms",
            json!({"started_ms": MORNING, "finished_ms": MORNING}),
        ),
        ("reading", "at_ms", json!({"at_ms": MORNING, "air_c": 9.0})),
        (
            "mark",
            "until_ms",
            json!({"pour": "pour-0001", "milestone": "form_off", "what": "snoozed", "until_ms": MORNING}),
        ),
        (
            "unlearn",
            "before_ms",
            json!({"mix": "mix-00001", "before_ms": MORNING}),
        ),
        (
            "planned",
            "at_ms",
            json!({"step": "step-0001", "at_ms": MORNING}),
        ),
        (
            "correction",
            "logged_ms",
            json!({"target": "pour-0001", "changes": {}, "logged_ms": MORNING}),
        ),
    ];
    for (kind, field, good) in bodies {
        event("entry-001", MORNING, kind, good.clone())
            .check()
            .unwrap();
        for odd in OUTSIDE
            .iter()
            .filter(|o| **o != AtMs::LAST.0 && **o != AtMs::FIRST.0)
        {
            let mut body = good.clone();
            body[field] = json!(odd);
            let no = event("entry-001", MORNING, kind, body).check().unwrap_err();
            assert_eq!(no.field, field, "{kind} {odd}");
        }
    }
}

#[test]
fn an_entry_of_such_a_clock_counts_and_is_a_problem_until_it_is_put_right() {
    for odd in OUTSIDE {
        let mut events = poured();
        let reading = json!({"pour": "pour-0001", "at_ms": hours(1.0), "air_c": 3.0});
        events.push(event("read-0009", AtMs(odd), "reading", reading));
        let mut book = kept(&events);
        assert_eq!(
            problems(&mut book),
            [("read-0009".to_owned(), "clock_outside".to_owned())]
        );
        let pour = book.pour_view(SITE, "pour-0001", hours(20.0)).unwrap();
        let read = &pour.readings[0];
        assert_eq!((read.fact.air_c, read.at_ms), (Some(3.0), AtMs::FIRST));
        // The list of sites shows the last time that there is, and not the end of numbers.
        assert_eq!(book.sites()[0].last_ms, MORNING);
        assert_eq!(book.history(SITE, "read-0009")[0].at_ms, AtMs::FIRST);

        let mut corrected = events.clone();
        let logged =
            json!({"target": "read-0009", "changes": {}, "seen": [], "logged_ms": hours(2.0)});
        corrected.push(event("corr-0001", hours(3.0), "correction", logged));
        corrected.last().unwrap().check().unwrap();
        let mut book = kept(&corrected);
        assert_eq!(problems(&mut book), []);
        let pour = book.pour_view(SITE, "pour-0001", hours(20.0)).unwrap();
        assert_eq!(pour.readings[0].at_ms, hours(2.0));

        events.push(retraction("back-0001", hours(3.0), "read-0009"));
        let mut book = kept(&events);
        assert_eq!(problems(&mut book), []);
        assert!(
            book.pour_view(SITE, "pour-0001", hours(20.0))
                .unwrap()
                .readings
                .is_empty()
        );
    }
}

#[test]
fn such_a_clock_never_comes_after_a_real_one() {
    for odd in OUTSIDE {
        let mut events = poured();
        events.push(event(
            "arch-0001",
            AtMs(odd),
            "archive",
            json!({"done": true}),
        ));
        events.push(event(
            "arch-0002",
            hours(1.0),
            "archive",
            json!({"done": false}),
        ));
        assert!(!kept(&events).sites()[0].archived, "{odd}");
        // Nor does a correction of such a clock beat one that did not see it.
        events.push(correction(
            "corr-0001",
            hours(1.0),
            "pour-0001",
            json!({"air_c": 12.0}),
            &[],
        ));
        events.push(correction(
            "corr-0002",
            AtMs(odd),
            "pour-0001",
            json!({"air_c": 40.0}),
            &[],
        ));
        let mut book = kept(&events);
        let pour = book.pour_view(SITE, "pour-0001", hours(20.0)).unwrap();
        assert_eq!(pour.pour.fact.air_c, Some(12.0), "{odd}");
        let codes = problems(&mut book);
        assert!(
            codes.contains(&("corr-0002".to_owned(), "clock_outside".to_owned())),
            "{codes:?}"
        );
    }
}

#[test]
fn a_site_made_by_such_a_clock_is_there_as_any_other() {
    for odd in OUTSIDE {
        let mut events = poured();
        for e in &mut events {
            e.at_ms = AtMs(odd);
        }
        let mut book = kept(&events);
        assert_eq!(book.sites()[0].name, "Landing");
        let view = book.site_view(SITE, hours(20.0)).unwrap();
        assert_eq!(view.steps.len(), 3);
        assert_eq!(view.problems.len(), events.len());
        assert!(view.steps[0].pour.is_some());
    }
}

/// Logs of older versions may hold times in bodies that are refused now.
#[test]
fn a_time_inside_an_old_entry_is_a_problem_that_can_be_corrected() {
    for odd in OUTSIDE.iter().filter(|o| !AtMs(**o).in_calendar()) {
        let mut events = poured();
        let snooze = json!({"pour": "pour-0001", "milestone": "form_off", "what": "snoozed", "until_ms": odd});
        events.push(event("mark-0001", MORNING, "mark", snooze));
        let mut late = pour(2, MORNING);
        late.body.insert("started_ms".to_owned(), json!(odd));
        events.push(late);
        let mut book = kept(&events);
        let wrong = [("mark-0001", "time_outside"), ("pour-0002", "time_outside")];
        assert_eq!(
            problems(&mut book),
            wrong.map(|(e, c)| (e.to_owned(), c.to_owned())),
            "{odd}"
        );
        events.push(correction(
            "corr-0001",
            hours(1.0),
            "pour-0002",
            json!({"started_ms": hours(1.0)}),
            &[],
        ));
        events.push(retraction("back-0001", hours(1.0), "mark-0001"));
        let mut book = kept(&events);
        assert_eq!(problems(&mut book), []);
        let pour = book.pour_view(SITE, "pour-0002", hours(20.0)).unwrap();
        assert_eq!(pour.card.started_ms, hours(1.0));
    }
}

#[test]
fn what_a_browser_made_of_such_a_clock_is_still_read() {
    // JSON.stringify(JSON.parse("9223372036854775807")) in any browser (ECMA-262, Number).
    let text = r#"{"id": "read-0001", "site": "site-0001", "by": "Ada", "at_ms": 9223372036854776000,
        "kind": "reading", "body": {"at_ms": 1781074800000, "air_c": 9.0}}"#;
    let entry: Value = serde_json::from_str(text).unwrap();
    assert!(Event::read(&entry).is_err());
    assert_eq!(Event::read_stored(&entry).unwrap().at_ms, AtMs(i64::MAX));
    let mut low = entry;
    low["at_ms"] = json!(-1e300);
    assert_eq!(Event::read_stored(&low).unwrap().at_ms, AtMs(i64::MIN));
}

#[test]
fn what_is_nested_too_deeply_or_named_too_long_is_refused_with_its_measure() {
    let nested = |levels: usize| {
        let list = (1..levels).fold(json!([]), |inner, _| json!([inner]));
        event("new-00001", MORNING, "rebound", json!({"n": list}))
    };
    nested(32).check().unwrap();
    let no = nested(33).check_passed_on().unwrap_err();
    assert_eq!((no.field.as_str(), no.reason.max), ("body", Some(32.0)));
    assert!(no.reason.to_string().contains("32 deep"), "{}", no.reason);
    for kind in [String::new(), "k".repeat(41), "a\u{0}".to_owned()] {
        let no = event("new-00001", MORNING, &kind, json!({}))
            .check()
            .unwrap_err();
        assert_eq!(no.field, "kind");
    }
}
