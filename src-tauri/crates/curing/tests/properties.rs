//! What must hold for every input: no NaN, and rising or falling where physics says so.
//! Values against the outside are in `tests/reference`.

#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use slowstone_curing::curing_time::{Development, table_days};
use slowstone_curing::evaporation::{self, DryingRisk};
use slowstone_curing::form_pressure::{Aci347Wall, Ciria108, fluid, weight_coefficient};
use slowstone_curing::lifting::Lift;
use slowstone_curing::maturity::{self, Interval};
use slowstone_curing::stairs::{self, Limits};
use slowstone_curing::strength::Curve;
use slowstone_curing::units::{Celsius, Days, Hours, JPerMol, KmH, Litres, Metres, Mpa, Percent};
use slowstone_curing::{bags, setting};

fn finite() -> impl Strategy<Value = f64> {
    prop::num::f64::NORMAL | prop::num::f64::SUBNORMAL | prop::num::f64::ZERO
}

fn rates(t: f64) -> [f64; 6] {
    let t = Celsius(t);
    [
        maturity::rate_default(t),
        maturity::rate_fhp(t),
        maturity::rate_en1992(t),
        maturity::rate_arrhenius(t, maturity::Q_K, maturity::REFERENCE),
        maturity::rate_nurse_saul(t, maturity::DATUM, maturity::REFERENCE),
        setting::rate(t),
    ]
}

fn history() -> impl Strategy<Value = Vec<Interval>> {
    let interval = (0.0..100.0, -20.0..70.0).prop_map(|(h, t)| Interval {
        hours: Hours(h),
        temp: Celsius(t),
    });
    prop::collection::vec(interval, 1..20)
}

fn curve() -> impl Strategy<Value = Curve> {
    let su = 1.0..100.0;
    prop_oneof![
        (su.clone(), 0.01..5.0, 0.0..2.0).prop_map(|(su, k_per_d, t0)| Curve::Hyperbola {
            su: Mpa(su),
            k_per_d,
            t0: Days(t0)
        }),
        (su.clone(), 0.05..1.0).prop_map(|(fcm, s)| Curve::En1992 { fcm: Mpa(fcm), s }),
        (su.clone(), 0.5..10.0, 0.5..1.5).prop_map(|(f28, a, b)| Curve::Aci209 {
            f28: Mpa(f28),
            a,
            b
        }),
        (su, 0.2..10.0, 0.2..2.0).prop_map(|(su, tau, a)| Curve::Fhp {
            su: Mpa(su),
            tau: Days(tau),
            a
        }),
    ]
}

proptest! {
    #[test]
    fn rates_rise_with_temperature(a in -300.0..300.0, warmer in 0.0..200.0) {
        for (cold, warm) in rates(a).iter().zip(rates(a + warmer)) {
            prop_assert!(warm >= *cold, "{cold} {warm}");
        }
    }

    #[test]
    fn rates_are_numbers_for_any_temperature(t in finite()) {
        for rate in rates(t) {
            prop_assert!(!rate.is_nan() && rate >= 0.0);
        }
    }

    #[test]
    fn age_grows_with_time_and_never_shrinks(h in history(), more in 0.0..50.0, t in -40.0..80.0) {
        let mut longer = h.clone();
        longer.push(Interval { hours: Hours(more), temp: Celsius(t) });
        let ages = |h: &[Interval]| [
            maturity::age(h, maturity::rate_default).0,
            maturity::age(h, maturity::rate_en1992).0,
            maturity::degree_hours(h, maturity::DATUM),
        ];
        for (before, after) in ages(&h).iter().zip(ages(&longer)) {
            prop_assert!(after >= *before && after.is_finite());
        }
    }

    #[test]
    fn age_does_not_depend_on_how_a_history_is_cut(h in history(), share in 0.0..1.0) {
        let cut: Vec<Interval> = h
            .iter()
            .flat_map(|i| [share, 1.0 - share].map(|s| Interval { hours: i.hours * s, temp: i.temp }))
            .collect();
        let (whole, parts) = (maturity::age(&h, maturity::rate_fhp).0, maturity::age(&cut, maturity::rate_fhp).0);
        prop_assert!((whole - parts).abs() <= 1e-9 * whole.max(1e-9));
    }

    #[test]
    fn strength_rises_with_age_towards_its_limit(c in curve(), t in 0.0..1000.0, more in 0.0..1000.0) {
        let (now, later) = (c.at(Days(t)), c.at(Days(t + more)));
        prop_assert!(later.0 >= now.0 * (1.0 - 1e-12));
        prop_assert!(later.0 <= c.limit().0 * (1.0 + 1e-12));
        prop_assert!(now.0 >= 0.0);
    }

    #[test]
    fn the_age_of_a_strength_has_that_strength(c in curve(), share in 0.001..0.999) {
        let target = Mpa(c.limit().0 * share);
        let age = c.age_at(target).unwrap();
        prop_assert!((c.at(age).0 / target.0 - 1.0).abs() < 1e-6, "{c:?} {age:?} {target:?}");
        prop_assert_eq!(c.age_at(Mpa(c.limit().0)), None);
        prop_assert_eq!(c.age_at(Mpa(c.limit().0 * 1.5)), None);
    }

    #[test]
    fn strength_is_a_number_for_any_age(c in curve(), t in finite()) {
        prop_assert!(c.at(Days(t)).0.is_finite());
    }

    #[test]
    fn evaporation_rises_with_wind_and_falls_with_humidity(
        c in -10.0..50.0, a in -20.0..45.0, rh in 0.0..100.0, w in 0.0..60.0,
        windier in 0.0..60.0, damper in 0.0..50.0, warmer in 0.0..20.0,
    ) {
        for e in [evaporation::menzel, evaporation::uno] {
            let now = e(Celsius(c), Celsius(a), Percent(rh), KmH(w)).0;
            prop_assert!(now >= 0.0);
            prop_assert!(e(Celsius(c), Celsius(a), Percent(rh), KmH(w + windier)).0 >= now);
            prop_assert!(e(Celsius(c), Celsius(a), Percent(rh + damper), KmH(w)).0 <= now);
            prop_assert!(e(Celsius(c + warmer), Celsius(a), Percent(rh), KmH(w)).0 >= now);
        }
    }

    #[test]
    fn evaporation_is_a_number_for_anything(c in finite(), a in finite(), rh in finite(), w in finite()) {
        for e in [evaporation::menzel, evaporation::uno] {
            let rate = e(Celsius(c), Celsius(a), Percent(rh), KmH(w)).0;
            prop_assert!(!rate.is_nan() && rate >= 0.0);
        }
    }

    #[test]
    fn set_comes_later_in_the_cold_and_final_after_initial(t in -5.0..50.0, colder in 0.1..20.0) {
        let at = |t: f64, age: f64| {
            let h = [Interval { hours: Hours(0.0), temp: Celsius(t) }];
            setting::hours_to(Hours(age), &h, JPerMol(setting::E_J_MOL)).unwrap().0
        };
        prop_assert!(at(t - colder, 4.6) > at(t, 4.6));
        prop_assert!(at(t, 4.6 * setting::FINAL_OVER_INITIAL) > at(t, 4.6));
    }

    #[test]
    fn set_is_where_the_age_is_reached(h in history(), age in 0.1..40.0) {
        let e = JPerMol(setting::E_J_MOL);
        let hours = setting::hours_to(Hours(age), &h, e).unwrap().0;
        let mut left = hours;
        let mut reached = 0.0;
        for i in &h {
            let part = i.hours.0.min(left);
            reached += part * setting::rate(i.temp);
            left -= part;
        }
        reached += left * setting::rate(h.last().unwrap().temp);
        prop_assert!((reached - age).abs() < 1e-6 * age, "{reached} {age}");
    }

    #[test]
    fn curing_is_longer_when_colder_or_slower(t in 5.0..60.0, warmer in 0.0..30.0, r in 0.0..1.0, faster in 0.0..1.0) {
        let days = |t, r| table_days(t, Development::of(r));
        prop_assert!(days(t + warmer, r) <= days(t, r));
        prop_assert!(days(t, r + faster) <= days(t, r));
    }

    #[test]
    fn enough_bags_and_not_one_too_many(v in 0.1..5000.0, y in 0.5..50.0, waste in 0.0..30.0) {
        let exact = bags::exact(Litres(v), Litres(y), Percent(waste));
        let whole = bags::whole(exact) as f64;
        prop_assert!(whole >= exact - 1e-6 && whole < exact + 1.0);
    }

    #[test]
    fn pressure_never_passes_the_fluid_head(
        r in 0.0..20.0, h in 0.05..8.0, t in 0.0..40.0, d in 15.0..30.0, c2 in 0.3..0.6,
    ) {
        let wall = Ciria108 { d_kn_m3: d, c1: 1.0, c2, r_m_h: r, height: Metres(h), temp: Celsius(t) };
        let (p, _) = wall.pressure();
        prop_assert!(p.0 > 0.0 && p.0 <= d * h * (1.0 + 1e-12));
        let aci = Aci347Wall {
            r_ft_h: r, temp_f: 40.0 + t, height_ft: h * 3.0, unit_weight_pcf: d * 6.366,
            cc: 1.0, cw: weight_coefficient(d * 6.366),
        };
        let head = d * 6.366 * h * 3.0 * 0.04789;
        prop_assert!(aci.pressure().0.0 <= head);
        prop_assert!(fluid(2400.0, Metres(h)).0 > 0.0);
    }

    #[test]
    fn a_harder_lift_is_a_lighter_one(
        h in 0.0..60.0, v in 0.0..75.0, d in 0.0..170.0, a in 0.0..130.0, more in 0.0..3.0,
    ) {
        let lift = Lift { h_cm: h, v_cm: v, d_cm: d, a_deg: a, fm: 0.94, cm: 0.9 };
        let limit = |l: Lift| l.multipliers().weight_limit().0;
        let now = limit(lift);
        prop_assert!(now > 0.0 && now <= 23.0);
        let harder = [
            Lift { h_cm: h + more, ..lift },
            Lift { d_cm: d + more, ..lift },
            Lift { a_deg: a + more, ..lift },
            Lift { v_cm: f64::max(v - more, 0.0), ..lift },
        ];
        for harder in harder {
            prop_assert!(limit(harder) <= now, "{harder:?}");
        }
    }

    #[test]
    fn a_flight_adds_up_and_is_the_best_there_is(rise in 0.1..5.0, run in 0.3..12.0) {
        let limits = Limits::default();
        let n = stairs::best_count(Metres(rise), Metres(run), &limits);
        let step = stairs::even(Metres(rise), Metres(run), n);
        prop_assert!((step.riser.0 * f64::from(n) - rise).abs() < 1e-9);
        let faults = |n| stairs::findings(&[stairs::even(Metres(rise), Metres(run), n)], &limits).len();
        for other in 1..60 {
            prop_assert!(faults(n) <= faults(other), "{n} {other}");
        }
    }
}

#[test]
fn words_go_by_their_thresholds() {
    use slowstone_curing::units::KgM2H;
    for (rate, risk) in [
        (0.0, DryingRisk::Low),
        (0.4999, DryingRisk::Low),
        (0.5, DryingRisk::Caution),
        (0.9999, DryingRisk::Caution),
        (1.0, DryingRisk::Act),
    ] {
        assert_eq!(DryingRisk::of(KgM2H(rate)), risk, "{rate}");
    }
}

#[test]
fn noise_buys_no_bag() {
    assert_eq!(bags::whole(6.000_000_000_1), 6);
    assert_eq!(bags::whole(6.0), 6);
    assert_eq!(bags::whole(6.000_1), 7);
    assert_eq!(bags::whole(0.2), 1);
    assert_eq!(bags::whole(f64::NAN), 0);
    // Ten bags of 0.1 by arithmetic that is not exact.
    assert_eq!(bags::whole([0.1; 10].iter().sum::<f64>() * 10.0), 10);
}
