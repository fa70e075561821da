//! Calendar days and the clocks of the site, against the IANA tables and the calendar of
//! the chrono crate.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

mod making;

use chrono::{Days, NaiveDate, TimeZone};
use making::*;
use serde_json::json;
use slowstone_curing::units::AtMs;
use slowstone_logbook::Book;
use slowstone_logbook::zones::{day_number, day_start, is_name};

#[test]
fn days_are_numbered_as_by_the_calendar() {
    let epoch = NaiveDate::from_ymd_opt(1970, 1, 1).unwrap();
    let mut day = NaiveDate::from_ymd_opt(1, 1, 1).unwrap();
    let last = NaiveDate::from_ymd_opt(2400, 12, 31).unwrap();
    let mut seen = 0;
    while day <= last {
        let written = day.format("%Y-%m-%d").to_string();
        assert_eq!(
            day_number(&written),
            Some((day - epoch).num_days()),
            "{written}"
        );
        day = day.checked_add_days(Days::new(1)).unwrap();
        seen += 1;
    }
    // Six cycles of 400 years.
    assert_eq!(seen, 6 * 146_097);
}

#[test]
fn what_is_no_date_is_none() {
    for odd in [
        "",
        "2026",
        "2026-06",
        "2026-6-12",
        "12.6.2026",
        "2026-02-29",
        "2100-02-29",
        "2026-04-31",
        "2026-13-01",
        "2026-00-10",
        "2026-01-00",
        "+026-01-01",
        "2026-+1-01",
        "2026-01-1 ",
        "2026/01/01",
        "20260-1-01",
        "2026-01-01T",
        "２０２６-01",
        "----------",
    ] {
        assert_eq!(day_number(odd), None, "{odd}");
    }
}

#[test]
fn a_day_begins_as_by_the_iana_tables() {
    // Zones that change at midnight, that left out a day, that are a quarter hour off.
    let zones = [
        "Europe/Oslo",
        "America/Denver",
        "America/Santiago",
        "America/Havana",
        "Africa/Cairo",
        "Asia/Beirut",
        "Asia/Kathmandu",
        "Australia/Lord_Howe",
        "Pacific/Apia",
        "UTC",
        "Pacific/Kiritimati",
        "America/Sao_Paulo",
        "Asia/Amman",
        "America/Asuncion",
    ];
    let mut skipped = 0;
    for name in zones {
        let tz: chrono_tz::Tz = name.parse().unwrap();
        let mut day = NaiveDate::from_ymd_opt(2000, 1, 1).unwrap();
        while day < NaiveDate::from_ymd_opt(2040, 1, 1).unwrap() {
            let begins = (0..3)
                .map(|h| day.and_hms_opt(h, 0, 0).unwrap())
                .find_map(|t| tz.from_local_datetime(&t).earliest())
                .map(|t| AtMs(t.timestamp_millis()));
            let date = day.to_string();
            assert_eq!(day_start(&Iana, name, &date), begins, "{name} {date}");
            skipped += usize::from(begins.is_none());
            day = day.checked_add_days(Days::new(1)).unwrap();
        }
    }
    // 2011-12-30 did not happen in Samoa.
    assert_eq!(skipped, 1);
}

#[test]
fn names_of_zones_are_written_like_names() {
    assert!(chrono_tz::TZ_VARIANTS.iter().all(|tz| is_name(tz.name())));
    for odd in [
        "",
        "oslo",
        "Europe/",
        "/Oslo",
        "Europe//Oslo",
        "+01:00",
        "Europe/Oslo ",
        "../etc",
    ] {
        assert!(!is_name(odd), "{odd}");
    }
    assert!(!is_name(&"A".repeat(51)));
}

#[test]
fn a_zone_that_is_not_known_is_said_and_utc_used() {
    let mut book = Book::new();
    for e in plan() {
        book.add(e);
    }
    book.add(pour(1, MORNING));
    let view = book.site_view(SITE, hours(1.0)).unwrap();
    let problem = &view.problems[0];
    assert_eq!(
        (problem.event.as_str(), problem.code.as_str()),
        (SITE, "unknown_zone")
    );
    assert!(problem.text.contains("Europe/Oslo"), "{}", problem.text);
    let named = making::book(&plan()).site_view(SITE, hours(1.0)).unwrap();
    assert!(named.problems.is_empty());
}

#[test]
fn a_typed_forecast_counts_by_the_clock_of_the_site() {
    // A hot afternoon forecast for the day of the pour: where the day begins moves the
    // heat, and the heat moves the set.
    let likely = |tz: &str| {
        let mut events = plan();
        events[0].body.insert("tz".into(), tz.into());
        let mut pour = pour(1, MORNING);
        pour.body.remove("air_c");
        events.push(pour);
        let forecast = json!({"date": "2026-06-10", "min_c": 5.0, "max_c": 33.0});
        events.push(event("cast-0001", hours(-12.0), "forecast", forecast));
        let view = making::book(&events)
            .pour_view(SITE, "pour-0001", hours(1.0))
            .unwrap();
        view.milestones[0].opens.likely.unwrap()
    };
    assert_ne!(likely("Europe/Oslo"), likely("America/Denver"));
}
