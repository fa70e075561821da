//! The ranks of what is known of the air, and how one bends the other.

use super::*;
use crate::facts::{AirReading, DayRange, PourFacts};
use crate::plain::plain_step;

const START: AtMs = AtMs(1_780_000_000_000);

fn facts() -> PourFacts {
    let mut f = plain_step(START);
    f.air.clear();
    f.days.clear();
    f.hourly.clear();
    f.concrete.clear();
    f
}

fn reading(h: f64, c: f64) -> AirReading {
    AirReading {
        at: START.plus(Hours(h)),
        temp: Some(Celsius(c)),
        ..AirReading::default()
    }
}

fn temp(air: &AirHistory, h: f64) -> (f64, AirSource) {
    let a = air.at(START.plus(Hours(h)));
    (a.temp.value(), a.source)
}

#[test]
fn nothing_known_gives_no_number() {
    assert_eq!(AirHistory::of(&facts()).unwrap_err(), NotYet::NoTemperature);
    let mut f = facts();
    f.air = vec![reading(0.0, f64::NAN)];
    assert_eq!(AirHistory::of(&f).unwrap_err(), NotYet::Impossible);
}

#[test]
fn close_readings_are_joined_by_lines() {
    let mut f = facts();
    f.air = vec![reading(4.0, 20.0), reading(0.0, 10.0)];
    let air = AirHistory::of(&f).unwrap();
    assert_eq!(temp(&air, 1.0), (12.5, AirSource::Readings));
    assert_eq!(temp(&air, 4.0).0, 20.0);
}

#[test]
fn far_readings_bend_the_day_that_lies_between() {
    let mut f = facts();
    f.air = vec![reading(0.0, 10.0), reading(20.0, 14.0)];
    let air = AirHistory::of(&f).unwrap();
    for (h, c) in [(0.0, 10.0), (20.0, 14.0)] {
        assert!((temp(&air, h).0 - c).abs() < 1e-6, "at {h}");
    }
    assert_eq!(temp(&air, 10.0).1, AirSource::CarriedOn);
    let sd = |h: f64| air.at(START.plus(Hours(h))).sd_k;
    assert!(sd(10.0) > sd(1.0) && sd(500.0) > sd(10.0));
}

#[test]
fn a_file_outranks_a_typed_day_and_readings_outrank_both() {
    let mut f = facts();
    f.days = vec![DayRange {
        day_start: START,
        min: Celsius(0.0),
        max: Celsius(30.0),
        rh: None,
        wind: None,
        sky: None,
    }];
    f.hourly = vec![reading(5.0, 11.0), reading(6.0, 12.0), reading(7.0, 13.0)];
    f.air = vec![reading(6.5, 20.0), reading(7.0, 21.0)];
    let air = AirHistory::of(&f).unwrap();
    assert_eq!(temp(&air, 6.75), (20.5, AirSource::Readings));
    assert_eq!(temp(&air, 5.5).1, AirSource::Hourly);
    assert_eq!(temp(&air, 15.0).1, AirSource::DayRange);
    assert_eq!(temp(&air, 200.0).1, AirSource::CarriedOn);
}

#[test]
fn humidity_follows_the_temperature_at_the_same_moisture() {
    let mut f = facts();
    f.air = vec![
        AirReading {
            rh: Some(Percent(50.0)),
            ..reading(0.0, 20.0)
        },
        reading(4.0, 10.0),
    ];
    let air = AirHistory::of(&f).unwrap();
    let rh = air.at(START.plus(Hours(4.0))).rh.unwrap().value();
    // FAO-56 table 2.3: e(20) = 2.338 kPa, e(10) = 1.228 kPa.
    assert!((rh - 50.0 * 2.338 / 1.228).abs() < 0.3, "{rh}");
}

#[test]
fn a_shade_that_was_put_up_counts_from_then_on() {
    let mut f = facts();
    f.air = vec![AirReading {
        sky: Some(Sky::Sun),
        wind: Some(KmH(10.0)),
        ..reading(0.0, 20.0)
    }];
    f.happened = vec![crate::facts::Happening::new(
        START.plus(Hours(2.0)),
        Seen::Shaded,
    )];
    let air = AirHistory::of(&f).unwrap();
    assert!(air.at(START.plus(Hours(1.0))).sky.sun > 0.9);
    let later = air.at(START.plus(Hours(3.0)));
    let shade = (SkyAt::of(Sky::Shade), Some(KmH(6.0)));
    assert_eq!((later.sky, later.wind), shade);
}

/// A forecast states the wind at 10 m; at a piece about half of it blows (FAO-56 eq. 47:
/// 0.75 at 2 m, 0.51 at half a metre). What was read at the piece stays.
#[test]
fn the_wind_of_a_forecast_comes_down_to_the_piece() {
    let mut f = facts();
    f.hourly = vec![AirReading {
        wind: Some(KmH(20.0)),
        ..reading(0.0, 20.0)
    }];
    let wind = |f: &PourFacts| AirHistory::of(f).unwrap().at(START).wind.unwrap().value();
    assert!((wind(&f) - 10.3).abs() < 0.1, "{}", wind(&f));
    f.air = std::mem::take(&mut f.hourly);
    assert!((wind(&f) - 20.0).abs() < 1e-9);
}

proptest::proptest! {
    #[test]
    fn any_readings_give_numbers(points in proptest::collection::vec((-400.0..900.0f64, -40.0..50.0f64), 1..12), h in -1e4..1e4f64) {
        let mut f = facts();
        f.air = points.iter().map(|(h, c)| reading(*h, *c)).collect();
        let air = AirHistory::of(&f).unwrap();
        let a = air.at(START.plus(Hours(h)));
        proptest::prop_assert!(a.temp.value().is_finite() && a.sd_k > 0.0 && a.clear_sky_w_m2 >= 0.0);
    }
}
