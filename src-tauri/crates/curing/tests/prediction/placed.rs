//! What the place of a pour does to its times, and what is reckoned where it is not known.

use crate::scene::{JUNE, step};
use slowstone_curing::predict::{PlaceSource, PourFacts, Prediction, Sky, predict};
use slowstone_curing::units::{AtMs, Hours};

/// A step in the sun, cast at 09:00 on the clock of Sydney.
fn sunny(start: AtMs, place: Option<(f64, f64)>, from: PlaceSource) -> PourFacts {
    let mut f = step(start, 14.0, 26.0, Sky::Sun);
    f.utc_offset_min = 600;
    f.place = place;
    f.place_from = from;
    f
}

/// 09:00 in Sydney (UTC+10) on 10 June and on 10 December 2026.
const STARTS: [AtMs; 2] = [
    AtMs(JUNE.0 - 8 * 3_600_000),
    AtMs(JUNE.0 + (183 * 24 - 8) * 3_600_000),
];

/// Every instant that a prediction names, in hours after the start, with a name for messages.
fn instants(p: &Prediction, start: AtMs) -> Vec<(String, Option<f64>)> {
    let hour = |at: Option<AtMs>| at.map(|a| a.hours_since(start).value());
    p.milestones
        .iter()
        .flat_map(|m| {
            let opens = [("early", m.opens.early), ("late", m.opens.late)];
            let closes = m.closes.unwrap_or_default();
            let closes = [
                ("too late from", closes.early),
                ("too late by", closes.late),
            ];
            opens
                .into_iter()
                .chain(closes)
                .map(move |(name, at)| (format!("{:?} {name}", m.kind), hour(at)))
        })
        .collect()
}

/// Sydney's town hall against what zone.tab of the tz database states for Australia/Sydney,
/// 33°52' south, 151°13' east.
#[test]
fn the_coordinates_of_a_time_zone_serve_nearly_as_well_as_the_place() {
    for start in STARTS {
        let place = sunny(start, Some((-33.8732, 151.2061)), PlaceSource::Place);
        let zone = sunny(start, Some((-33.87, 151.22)), PlaceSource::Zone);
        let (a, b) = (predict(&place).unwrap(), predict(&zone).unwrap());
        for ((name, x), (_, y)) in instants(&a, start).iter().zip(instants(&b, start)) {
            let (x, y) = (x.unwrap_or(0.0), y.unwrap_or(0.0));
            assert!((x - y).abs() < 0.02 + 0.005 * x, "{name}: {x} and {y} h");
        }
        assert_eq!(a.basis.place, PlaceSource::Place);
        assert_eq!(b.basis.place, PlaceSource::Zone);
    }
}

#[test]
fn where_nothing_is_known_the_range_covers_both_hemispheres() {
    for start in STARTS {
        let unknown = predict(&sunny(start, None, PlaceSource::Unknown)).unwrap();
        assert_eq!(unknown.basis.place, PlaceSource::Unknown);
        let mut wider = 0.0;
        for lat in [-33.9, 33.9, 52.0, -45.0] {
            let known = sunny(start, Some((lat, 151.2)), PlaceSource::Place);
            let known = predict(&known).unwrap();
            for ((name, wide), (_, narrow)) in instants(&unknown, start)
                .into_iter()
                .zip(instants(&known, start))
            {
                let Some(narrow) = narrow else { continue };
                // A quarter of an hour or 2 %: the sunniest day is no bound for each hour.
                let room = 0.25_f64.max(0.02 * narrow);
                if name.ends_with("early") || name.ends_with("from") {
                    let wide = wide.unwrap_or(f64::INFINITY);
                    assert!(wide <= narrow + room, "{lat}: {name}: {wide}, {narrow} h");
                    wider += narrow - wide;
                } else if let Some(wide) = wide {
                    assert!(wide >= narrow - room, "{lat}: {name}: {wide}, {narrow} h");
                    wider += wide - narrow;
                }
            }
        }
        assert!(wider > 10.0, "all ranges together are wider by {wider} h");
    }
}

#[test]
fn a_clock_that_shows_utc_does_not_tell_the_longitude() {
    // Nine in the morning in Sydney is 23:00 UTC: by a clock that shows UTC it is night.
    let start = STARTS[1];
    let mut by_clock = sunny(start, None, PlaceSource::Unknown);
    by_clock.utc_offset_min = 0;
    let wide = predict(&by_clock).unwrap();
    let known = sunny(start, Some((-33.9, 151.2)), PlaceSource::Place);
    let known = predict(&known).unwrap();
    let first = |p: &Prediction| {
        let set = p.milestones.iter().find_map(|m| m.opens.early);
        set.unwrap().hours_since(start)
    };
    assert!(first(&wide) <= first(&known) + Hours(0.25));
}
