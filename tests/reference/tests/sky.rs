//! Long-wave radiation of the sky against laws that the engine does not use: another clear
//! sky (Brutsaert 1975), and a grey body solved in full with fourth powers.

use crate::table::{number, rows};
use slowstone_curing::evaporation::{dew_point, saturation_pressure};
use slowstone_curing::heat::sky::{Above, EMISSIVITY};
use slowstone_curing::units::{Celsius, Percent};

fn clear(air: f64, rh: f64) -> Above {
    Above {
        air: Celsius(air),
        rh: Percent(rh),
        cloud: 0.0,
        view: 1.0,
    }
}

/// PsychroLib 2.5.0, dew points from 0 °C up (below it means frost points).
#[test]
fn dew_points_as_tabled() {
    let mut held = 0;
    for r in rows(include_str!("../data/dew-point.csv")) {
        let (air, rh, dew) = (number(r[0]), number(r[1]), number(r[2]));
        if dew > 0.0 && air <= 40.0 {
            let ours = dew_point(Celsius(air), Percent(rh)).value();
            assert!((ours - dew).abs() < 0.1, "{r:?} {ours}");
            held += 1;
        }
    }
    assert!(held > 20, "{held}");
}

/// Brutsaert 1975, `1.24 (e/T)^(1/7)` with e in hPa: where air is as moist as in a building
/// season (dew points from 0 to 30 °C) the two clear skies part by less than 0.07, which is
/// 30 W/m² at most; in dry cold they part by twice as much. And a cloudy sky comes near to the air (Monteith and
/// Unsworth: 0.84 of the gap closed under full cloud, from memory).
#[test]
fn a_clear_sky_as_brutsaert_has_it() {
    for air in [10.0, 20.0, 30.0] {
        for rh in [60.0, 75.0, 90.0] {
            let e_hpa = 10.0 * saturation_pressure(Celsius(air)).value() * rh / 100.0;
            let other = 1.24 * (e_hpa / (air + 273.15)).powf(1.0 / 7.0);
            let ours = clear(air, rh).emissivity();
            assert!((ours - other).abs() < 0.07, "{air} {rh}: {ours} {other}");
            let overcast = Above {
                cloud: 1.0,
                ..clear(air, rh)
            };
            let closed = (overcast.emissivity() - ours) / (1.0 - ours);
            assert!((0.45..=1.0).contains(&closed), "{air} {rh}: {closed}");
        }
    }
}

/// A dark, dry plate that conducts nothing, on a hot calm day and in a clear night: where a
/// grey body stands still by `a G = h (T - Ta) + e s (T^4 - view es Ta^4 - (1 - view) Ta^4)`,
/// solved by halving, there the engine's two terms balance.
#[test]
fn a_hot_calm_dark_plate_as_a_grey_body() {
    const SIGMA: f64 = 5.670_374e-8;
    for (sun, air, rh, view, still) in [
        (900.0, 35.0, 30.0, 1.0, 5.6),
        (0.0, 10.0, 60.0, 0.75, 5.6),
        (600.0, 25.0, 50.0, 0.35, 9.6),
    ] {
        let above = Above {
            view,
            ..clear(air, rh)
        };
        let air_k: f64 = air + 273.15;
        let seen = (view * above.emissivity() + 1.0 - view) * air_k.powi(4);
        let left = |t: f64| {
            let t_k: f64 = t + 273.15;
            0.85 * sun - still * (t - air) - EMISSIVITY * SIGMA * (t_k.powi(4) - seen)
        };
        let (mut low, mut high) = (-40.0, 150.0);
        for _ in 0..60 {
            let mid = 0.5 * (low + high);
            if left(mid) > 0.0 {
                low = mid
            } else {
                high = mid
            }
        }
        // As the engine steps: the exchange at the temperature of the step before.
        let mut top = air;
        for _ in 0..60 {
            let h = still + above.exchange_w_m2k(Celsius(top));
            top = air + (0.85 * sun - above.loss_w_m2()) / h;
        }
        assert!((top - low).abs() < 0.01, "{top} {low}");
        // Hot and calm: tens of kelvins above the air; a clear night: some below it.
        assert_eq!(sun > 0.0, top > air, "{top}");
    }
}
