//! How the place of a site comes to its predictions: by coordinates, by its time zone, or not.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::expect_used)]

mod making;

use making::*;
use serde_json::{Value, json};
use slowstone_curing::predict::PlaceSource;
use slowstone_curing::units::AtMs;
use slowstone_logbook::view::PourView;

/// 09:00 on 10 December 2026 in Sydney, in summer.
const SUMMER: AtMs = AtMs(MORNING.0 + (182 * 24 + 15) * 3_600_000);

/// A pour on a site of which this is known.
fn view(site: Value) -> PourView {
    let mut events = plan();
    events[0] = event(SITE, hours(-48.0), "site", site);
    let mut sunny = pour(1, SUMMER);
    sunny.body.insert("sky".to_owned(), json!("sun"));
    sunny.body.insert("air_c".to_owned(), json!(24.0));
    events.push(sunny);
    book(&events).pour_view(SITE, "pour-0001", SUMMER).unwrap()
}

fn source(v: &PourView) -> PlaceSource {
    v.basis.as_ref().unwrap().place
}

/// Hours from the start to every end of every range.
fn ends(v: &PourView) -> Vec<Option<f64>> {
    let hour = |at: Option<AtMs>| at.map(|a| a.hours_since(SUMMER).value());
    let spans = v.milestones.iter().map(|m| m.opens);
    spans
        .flat_map(|s| [hour(s.early), hour(s.likely), hour(s.late)])
        .collect()
}

#[test]
fn a_site_without_a_place_is_where_its_time_zone_is() {
    let tz = "Australia/Sydney";
    let zone = view(json!({"name": "Steps", "tz": tz}));
    let place = view(
        json!({"name": "Steps", "tz": tz, "lat": -33.8732, "lon": 151.2061,
        "located": "position"}),
    );
    let town = view(
        json!({"name": "Steps", "tz": tz, "lat": -33.9, "lon": 151.2,
        "located": "town"}),
    );
    let north = view(json!({"name": "Steps", "tz": tz, "lat": 45.0, "lon": 150.0}));
    assert_eq!(source(&zone), PlaceSource::Zone);
    assert_eq!(source(&place), PlaceSource::Place);
    assert_eq!(source(&town), PlaceSource::Town);
    let mut off_north: f64 = 0.0;
    for ((z, p), n) in ends(&zone).into_iter().zip(ends(&place)).zip(ends(&north)) {
        let (Some(z), Some(p), Some(n)) = (z, p, n) else {
            continue;
        };
        assert!((z - p).abs() < 0.05 + 0.01 * p, "{z} and {p} h");
        off_north = off_north.max((n - p).abs() / p);
    }
    assert!(off_north > 0.2, "winter at 45 degrees north is told apart");
}

#[test]
fn nothing_is_known_of_a_zone_that_is_no_place() {
    let unknown = view(json!({"name": "Steps", "tz": "Etc/GMT-10"}));
    assert_eq!(source(&unknown), PlaceSource::Unknown);
    let sydney = view(json!({"name": "Steps", "tz": "Etc/GMT-10", "lat": -33.9, "lon": 151.2}));
    let wide = ends(&unknown)
        .into_iter()
        .flatten()
        .zip(ends(&sydney).into_iter().flatten());
    let wider = wide.filter(|(w, s)| (w - s).abs() > 0.25).count();
    assert!(wider > 5, "{wider} ends lie further out");
}

/// A degree is what a hand-over keeps, so that another hub shows the same times.
#[test]
fn the_exact_place_gives_the_times_of_its_degree() {
    let at = |lat: f64, lon: f64| {
        view(json!({"name": "Steps", "tz": "Europe/Oslo", "lat": lat, "lon": lon}))
    };
    let (exact, degree) = (at(59.9139, 10.7522), at(60.0, 11.0));
    assert_eq!(exact.milestones, degree.milestones);
    assert_eq!(exact.curve, degree.curve);
}
