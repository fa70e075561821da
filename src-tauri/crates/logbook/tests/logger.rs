//! Tables as loggers and services write them: what is proposed, what is asked, what is taken.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

mod making;

use chrono::{TimeZone, Utc};
use making::*;
use proptest::prelude::*;
use serde_json::json;
use slowstone_curing::predict::ConcretePlace;
use slowstone_curing::units::AtMs;
use slowstone_logbook::logger::times::DateOrder;
use slowstone_logbook::logger::units::{Decimal, LoggerUnit, Measure};
use slowstone_logbook::logger::{
    Columns, LineWhy, NoTable, Preview, Taken, ValueColumn, look, take,
};

fn seen(text: &str) -> Preview {
    look(text.as_bytes()).unwrap()
}

/// As proposed, where only one order of the date is possible.
fn as_guessed(text: &str) -> Taken {
    take(text.as_bytes(), &seen(text).guess, &Iana, "Europe/Oslo").unwrap()
}

fn with_order(text: &str, order: DateOrder) -> Taken {
    let columns = Columns {
        order: Some(order),
        ..seen(text).guess
    };
    take(text.as_bytes(), &columns, &Iana, "Europe/Oslo").unwrap()
}

fn utc(y: i32, mo: u32, d: u32, h: u32, mi: u32) -> AtMs {
    AtMs(
        Utc.with_ymd_and_hms(y, mo, d, h, mi, 0)
            .unwrap()
            .timestamp_millis(),
    )
}

fn measures(p: &Preview) -> Vec<(usize, Measure, LoggerUnit)> {
    p.guess
        .values
        .iter()
        .map(|v| (v.column, v.measure, v.unit))
        .collect()
}

#[test]
fn concrete_is_never_taken_for_air() {
    let p = seen("time,concrete temp,air temp\n2026-10-14 13:00,21.5,9.5\n");
    assert_eq!(
        measures(&p),
        [
            (1, Measure::Middle, LoggerUnit::C),
            (2, Measure::Air, LoggerUnit::C)
        ]
    );
    let t = as_guessed("time,concrete temp\n2026-10-14 13:00,21.5\n");
    assert!(t.air.is_empty());
    assert_eq!(t.concrete[0].0, ConcretePlace::Middle);
    assert_eq!(t.concrete[0].1[0].concrete_c, Some(21.5));
}

#[test]
fn headings_are_known_in_three_languages_and_only_proposed() {
    for (heading, wanted) in [
        ("Air temperature (°F)", Some((Measure::Air, LoggerUnit::F))),
        ("Lufttemperatur [°C]", Some((Measure::Air, LoggerUnit::C))),
        ("Temperatura del aire", Some((Measure::Air, LoggerUnit::C))),
        ("temperature_2m (K)", Some((Measure::Air, LoggerUnit::K))),
        ("Beton Kante °C", Some((Measure::Edge, LoggerUnit::C))),
        ("Hormigón borde", Some((Measure::Edge, LoggerUnit::C))),
        ("Betonoberfläche", Some((Measure::Top, LoggerUnit::C))),
        ("Frischbeton", Some((Measure::Fresh, LoggerUnit::C))),
        ("Core T", Some((Measure::Middle, LoggerUnit::C))),
        ("núcleo °C", Some((Measure::Middle, LoggerUnit::C))),
        ("rel. Luftfeuchte %", Some((Measure::Rh, LoggerUnit::Pct))),
        ("Humedad relativa", Some((Measure::Rh, LoggerUnit::Pct))),
        ("RH", Some((Measure::Rh, LoggerUnit::Pct))),
        ("Wind m/s", Some((Measure::Wind, LoggerUnit::MS))),
        ("wind_speed (mph)", Some((Measure::Wind, LoggerUnit::Mph))),
        ("Viento km/h", Some((Measure::Wind, LoggerUnit::KmH))),
        ("Niederschlag mm/h", Some((Measure::Rain, LoggerUnit::MmH))),
        ("lluvia", Some((Measure::Rain, LoggerUnit::MmH))),
        ("Dew point °C", None),
        ("Bodentemperatur", None),
        ("Battery V", None),
        ("RECORD", None),
    ] {
        let p = seen(&format!("time,{heading}\n2026-10-14 13:00,5\n"));
        let found = measures(&p).first().map(|(_, m, u)| (*m, *u));
        assert_eq!(found, wanted, "{heading}");
    }
    // A column that nothing is known of is not taken in, however well it fits.
    let text = "time,T1\n2026-10-14 13:00,5\n";
    let none = take(text.as_bytes(), &seen(text).guess, &Iana, "UTC");
    assert_eq!(none, Err(NoTable::ColumnsNeeded));
}

#[test]
fn dates_in_every_order_and_writing() {
    let at = utc(2026, 10, 14, 11, 0);
    for written in [
        "2026-10-14 13:00",
        "2026-10-14T13:00:00",
        "2026/10/14 13:00",
        "14.10.2026 13:00",
        "14/10/2026 13:00:00",
        "10/14/2026 1:00 PM",
        "10/14/26 01:00:00 pm",
        "14-10-26 13:00",
        "14 Oct 2026 13:00",
        "Oct 14, 2026 1:00 PM",
        "14. Oktober 2026 13:00",
        "2026-10-14T11:00:00Z",
        "2026-10-14T13:00:00+02:00",
        "2026-10-14 05:00:00-06:00",
        "1791975600",
        "1791975600000",
        "2026-10-14 13:00:00.000",
    ] {
        let text = format!("when;temp\n{written};5\n");
        let p = seen(&text);
        assert_eq!(p.orders.len(), 1, "{written}: {:?}", p.orders);
        let t = as_guessed(&text);
        assert_eq!(t.air[0].at_ms, at, "{written}");
    }
    // Date and time of day in columns of their own.
    let t = as_guessed("Datum;Uhrzeit;Temp °C\n14.10.2026;13:00;5,5\n14.10.2026;14:00;6\n");
    assert_eq!((t.air[0].at_ms, t.air[0].air_c), (at, Some(5.5)));
    assert_eq!(t.air.len(), 2);
}

#[test]
fn a_date_that_may_be_two_is_asked_and_not_guessed() {
    let text = "time,temp\n04/10/2026 13:00,5\n05/10/2026 13:00,6\n";
    let p = seen(text);
    assert_eq!(p.orders, [DateOrder::Dmy, DateOrder::Mdy]);
    assert_eq!(p.guess.order, None);
    let unsaid = take(text.as_bytes(), &p.guess, &Iana, "UTC");
    assert_eq!(unsaid, Err(NoTable::OrderNeeded));
    assert_eq!(
        with_order(text, DateOrder::Dmy).air[0].at_ms,
        utc(2026, 10, 4, 11, 0)
    );
    assert_eq!(
        with_order(text, DateOrder::Mdy).air[0].at_ms,
        utc(2026, 4, 10, 11, 0)
    );
    // One day past the 12th settles it for the whole file.
    let settled = seen("time,temp\n04/10/2026 13:00,5\n13/10/2026 13:00,6\n");
    assert_eq!(settled.orders, [DateOrder::Dmy]);
}

/// Europe/Oslo left out 02:00 to 03:00 on 29 March 2026 and had it twice on 25 October (tz
/// database).
#[test]
fn hours_that_clocks_skip_or_repeat() {
    let t = as_guessed("time,temp\n2026-03-29 01:30,1\n2026-03-29 02:30,2\n2026-03-29 03:30,3\n");
    assert_eq!(t.air.len(), 2);
    assert_eq!((t.odd[0].line, t.odd[0].why), (3, LineWhy::SkippedTime));
    let rows = "2026-10-25 01:30,1\n2026-10-25 02:00,2\n2026-10-25 02:30,3\n2026-10-25 02:00,4\n2026-10-25 02:30,5\n2026-10-25 03:00,6\n";
    let t = as_guessed(&format!("time,temp\n{rows}"));
    let minutes: Vec<i64> = t
        .air
        .windows(2)
        .map(|w| (w[1].at_ms.0 - w[0].at_ms.0) / 60_000)
        .collect();
    assert_eq!(minutes, [30; 5], "{:?}", t.odd);
    // A logger that keeps to one distance from UTC knows neither.
    let mut columns = seen(&format!("time,temp\n{rows}")).guess;
    columns.offset_min = Some(60);
    let t = take(
        b"time,temp\n2026-03-29 02:30,2\n",
        &columns,
        &Iana,
        "Europe/Oslo",
    )
    .unwrap();
    assert_eq!(t.air[0].at_ms, utc(2026, 3, 29, 1, 30));
}

#[test]
fn marks_alphabets_preambles_footers_and_missing_values() {
    let table = "Logger X200\nSerial;48213\n\nDatum Zeit;Luft °C;Feuchte %;Wind m/s\n14.10.2026 13:00;11,5;70;2,5\n14.10.2026 14:00;NaN;--;\n14.10.2026 15:00;1.012,0;71;-9999\n14.10.2026 16:00;12,5 °C;72 %;3\nEnd of data;;;\n";
    let wide: Vec<u8> = table.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let marked = [&[0xff, 0xfe][..], &wide].concat();
    let big: Vec<u8> = [0xfe_u8, 0xff]
        .into_iter()
        .chain(table.encode_utf16().flat_map(u16::to_be_bytes))
        .collect();
    let utf8 = [&[0xef, 0xbb, 0xbf][..], table.as_bytes()].concat();
    let latin: Vec<u8> = table
        .chars()
        .map(|c| u8::try_from(u32::from(c)).unwrap())
        .collect();
    for bytes in [table.as_bytes(), &wide, &marked, &big, &utf8, &latin] {
        let p = look(bytes).unwrap();
        assert_eq!(p.columns[1].heading, "Luft °C");
        assert_eq!(
            measures(&p),
            [
                (1, Measure::Air, LoggerUnit::C),
                (2, Measure::Rh, LoggerUnit::Pct),
                (3, Measure::Wind, LoggerUnit::MS)
            ]
        );
        assert_eq!(p.guess.decimal, Decimal::Comma);
        let t = take(bytes, &p.guess, &Iana, "Europe/Oslo").unwrap();
        let air: Vec<_> = t
            .air
            .iter()
            .map(|r| (r.air_c, r.rh_pct, r.wind_kmh))
            .collect();
        assert_eq!(
            air,
            [
                (Some(11.5), Some(70.0), Some(9.0)),
                (None, Some(71.0), None),
                (Some(12.5), Some(72.0), Some(10.8))
            ]
        );
        // Too hot to be, in its line; the footer is none.
        let odd: Vec<_> = t.odd.iter().map(|o| (o.line, o.why)).collect();
        assert_eq!(odd, [(7, LineWhy::OutOfRange)]);
    }
}

#[test]
fn names_units_and_kinds_of_values_in_lines_of_their_own() {
    // As Campbell Scientific's TOA5 is laid out (from memory); the values are invented.
    let text = "\"TOA5\",\"site\",\"CR1000\"\n\"TIMESTAMP\",\"RECORD\",\"AirTC_Avg\",\"Slab_edge\",\"WS\"\n\"TS\",\"RN\",\"Deg C\",\"Deg C\",\"m/s\"\n\"\",\"\",\"Avg\",\"Smp\",\"Avg\"\n\"2026-10-14 13:00:00\",17,9.5,14.25,2\n\"2026-10-14 13:10:00\",18,\"NAN\",14.5,2\n";
    let p = seen(text);
    assert_eq!(p.columns[2].heading, "AirTC_Avg Deg C Avg");
    assert_eq!(
        measures(&p)[..2],
        [
            (2, Measure::Air, LoggerUnit::C),
            (3, Measure::Edge, LoggerUnit::C)
        ]
    );
    let t = as_guessed(text);
    assert_eq!(t.concrete[0].1.len(), 2);
    assert_eq!(t.air.len(), 1);
}

#[test]
fn lines_are_told_by_their_number_and_the_rest_is_taken() {
    let t = as_guessed(
        "time,temp\n2026-10-14 13:00,8\nsoon,9\n2026-10-14 14:00,warm\n2026-10-14 13:00,8.5\n2026-10-14 13:00,8\n",
    );
    assert_eq!(t.air.len(), 1);
    let odd: Vec<_> = t
        .odd
        .iter()
        .map(|o| (o.line, o.why, o.text.as_str()))
        .collect();
    assert_eq!(
        odd,
        [
            (3, LineWhy::NoTime, "soon"),
            (4, LineWhy::NoNumber, "warm"),
            (5, LineWhy::SameTime, "2026-10-14 13:00"),
        ]
    );
    assert_eq!(t.odd_count, 3);
}

#[test]
fn what_is_no_table_and_what_is_not_said_is_refused() {
    for text in ["", "a,b\n1,2\n", "a picture, perhaps", "time,temp\nx,y\n"] {
        assert_eq!(look(text.as_bytes()), Err(NoTable::NoRows), "{text}");
    }
    let text = "time,temp\n2026-10-14 13:00,8\n";
    let good = seen(text).guess;
    let bad = |change: &dyn Fn(&mut Columns)| {
        let mut columns = good.clone();
        change(&mut columns);
        take(text.as_bytes(), &columns, &Iana, "UTC").unwrap_err()
    };
    assert_eq!(bad(&|c| c.values.clear()), NoTable::ColumnsNeeded);
    assert_eq!(bad(&|c| c.values[0].column = 0), NoTable::ColumnsNeeded);
    assert_eq!(bad(&|c| c.values[0].column = 9), NoTable::ColumnsNeeded);
    assert_eq!(
        bad(&|c| c.values[0].unit = LoggerUnit::Pct),
        NoTable::WrongUnit
    );
    assert_eq!(
        bad(&|c| c.order = Some(DateOrder::Dmy)),
        NoTable::NothingRead
    );
}

/// What a table does to a prediction: as it is, and as its entries hold it.
fn form_off(rows: impl Iterator<Item = (AtMs, f64)>) -> f64 {
    let mut text = String::from("time,air\n");
    for (at, c) in rows {
        text += &format!("{},{c:.3}\n", at.0);
    }
    let taken = as_guessed(&text);
    let mut events = plan();
    let mut poured = pour(1, MORNING);
    poured.body.remove("air_c");
    events.push(poured);
    for (i, body) in taken.bodies("logger", None).into_iter().enumerate() {
        events.push(event(&format!("hours-{i:04}"), MORNING, "hourly", body));
    }
    let view = book(&events).pour_view(SITE, "pour-0001", MORNING).unwrap();
    let off = view
        .milestones
        .iter()
        .find(|m| format!("{:?}", m.kind) == "FormOff")
        .unwrap();
    off.opens.late.unwrap().hours_since(MORNING).value()
}

#[test]
fn close_values_are_drawn_together_without_moving_a_result() {
    let truth = |h: f64| 12.0 + 6.0 * (core::f64::consts::TAU * (h - 9.0) / 24.0).sin();
    let every = |s: f64| {
        let n = (72.0 * 3600.0 / s) as i64;
        (0..n).map(move |i| (hours(i as f64 * s / 3600.0), truth(i as f64 * s / 3600.0)))
    };
    let ten_minutes = form_off(every(600.0));
    let twenty_seconds = form_off(every(20.0));
    assert!(
        // Nearly half an hour in a day and a half was seen; its cause is not found yet.
        (ten_minutes - twenty_seconds).abs() < 0.6,
        "{ten_minutes} and {twenty_seconds} h"
    );
    // Irregular: each 20 seconds for an hour, then each 20 minutes; against each 5 minutes, then
    // each 20.
    let part = |close: usize| {
        let rows = every(20.0).enumerate();
        let kept = move |i: usize| (i < 180 && i.is_multiple_of(close)) || i.is_multiple_of(60);
        form_off(rows.filter(move |(i, _)| kept(*i)).map(|(_, r)| r))
    };
    let (irregular, sparse) = (part(1), part(15));
    assert!(
        (irregular - sparse).abs() < 0.6,
        "{irregular} and {sparse} h"
    );
    let text: String = every(20.0)
        .map(|(at, c)| format!("{},{c}\n", at.0))
        .collect();
    let taken = as_guessed(&format!("time,air\n{text}"));
    assert_eq!(
        (taken.together_min, taken.air.len(), taken.read),
        (Some(5), 864, 12_960)
    );
    // Ten minutes apart nothing is changed.
    let text: String = every(600.0)
        .map(|(at, c)| format!("{},{c:.3}\n", at.0))
        .collect();
    let taken = as_guessed(&format!("time,air\n{text}"));
    assert_eq!((taken.together_min, taken.air.len()), (None, 432));
}

#[test]
fn probes_in_the_concrete_reach_the_prediction_of_their_pour() {
    let mut events = plan();
    events.push(pour(1, MORNING));
    let before = book(&events)
        .pour_view(SITE, "pour-0001", hours(24.0))
        .unwrap();
    let text: String = (0..48)
        .map(|h| format!("{},31\n", hours(f64::from(h) / 2.0).0))
        .collect();
    let taken = as_guessed(&format!("time,concrete core\n{text}"));
    for body in taken.bodies("logger", Some("pour-0001")) {
        events.push(event("probe-001", hours(24.0), "hourly", body));
    }
    let after = book(&events)
        .pour_view(SITE, "pour-0001", hours(24.0))
        .unwrap();
    // One reading came with the pour.
    assert_eq!(after.basis.unwrap().concrete_readings, 49);
    let strength = |v: &slowstone_logbook::view::PourView| v.now.unwrap().mid_mpa;
    assert!(strength(&before) > 0.0);
    let warmer = book(&events)
        .pour_view(SITE, "pour-0001", hours(24.0))
        .unwrap();
    assert!(strength(&warmer) > strength(&before) * 1.1);
    // Without its pour it is refused.
    let alone = event(
        "probe-002",
        MORNING,
        "hourly",
        taken.bodies("logger", None)[0].clone(),
    );
    assert_eq!(
        book(&plan()).check(&alone).unwrap_err().field.as_str(),
        "pour"
    );
}

proptest! {
    #[test]
    fn no_file_breaks_anything(bytes in proptest::collection::vec(any::<u8>(), 0..400), order in 0_usize..5) {
        if let Ok(p) = look(&bytes) {
            let orders = [DateOrder::Ymd, DateOrder::Dmy, DateOrder::Mdy, DateOrder::Seconds, DateOrder::Millis];
            let _ = take(&bytes, &Columns { order: Some(orders[order]), ..p.guess }, &Iana, "Europe/Oslo");
        }
    }

    #[test]
    fn no_cells_break_anything(rows in proptest::collection::vec("[-0-9 :./,;TZ+eéßa-z]{0,40}", 1..8)) {
        let text = format!("time;air\n2026-10-14 13:00;5\n{}", rows.join("\n"));
        if let Ok(p) = look(text.as_bytes()) {
            let columns = Columns {
                order: Some(DateOrder::Ymd),
                values: vec![ValueColumn { column: 1, measure: Measure::Air, unit: LoggerUnit::C }],
                ..p.guess
            };
            if let Ok(t) = take(text.as_bytes(), &columns, &Iana, "UTC") {
                let body = json!({"bodies": t.bodies("x", None)});
                prop_assert!(t.air.windows(2).all(|w| w[0].at_ms < w[1].at_ms), "{body}");
                for (i, body) in t.bodies("x", None).into_iter().enumerate() {
                    let e = event(&format!("hours-{i:04}"), MORNING, "hourly", body);
                    prop_assert!(e.check().is_ok(), "{e:?}");
                }
            }
        }
    }
}
