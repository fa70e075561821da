//! What has to be said plainly, and what must not be cried.

use crate::scene::{JUNE, OCTOBER, cool, mild, step, told, warm, with};
use slowstone_curing::predict::{
    AirReading, ConcretePlace, ConcreteReading, DryingRisk, PourFacts, Seen, Sky, Warning,
};
use slowstone_curing::units::{Celsius, Hours, KmH, Percent};

fn warnings(f: &PourFacts) -> Vec<Warning> {
    told(f).warnings
}

fn frost(f: &PourFacts) -> Option<(f64, f64, bool)> {
    warnings(f).into_iter().find_map(|w| match w {
        Warning::FrostBeforeStrength { at, mpa, seen } => {
            Some((at.hours_since(f.started).value(), mpa.value(), seen))
        }
        _ => None,
    })
}

fn with_air(mut f: PourFacts, h: f64, temp: f64) -> PourFacts {
    f.air.push(AirReading {
        at: f.started.plus(Hours(h)),
        temp: Some(Celsius(temp)),
        ..AirReading::default()
    });
    f
}

fn with_concrete(mut f: PourFacts, h: f64, temp: f64, place: ConcretePlace) -> PourFacts {
    f.concrete.push(ConcreteReading {
        at: f.started.plus(Hours(h)),
        temp: Celsius(temp),
        place,
        confirmed: false,
    });
    f
}

/// 3.5 MPa stands one freezing (PCA, Cold-Weather Concreting, after Powers 1962).
/// Promise: "| frost does no harm | 3.5 MPa |"
#[test]
fn frost_before_strength_is_the_first_warning() {
    let f = cool();
    assert_eq!(frost(&f), None);
    for cold in [
        with_air(f.clone(), 14.0, -1.0),
        with_concrete(f.clone(), 14.0, -0.5, ConcretePlace::Surface),
        with(f.clone(), 14.0, Seen::Frost),
    ] {
        let (at, mpa, seen) = frost(&cold).expect("a warning");
        assert!(at == 14.0 && seen && mpa < 3.5, "{at} {mpa} {seen}");
        assert!(matches!(
            warnings(&cold).first(),
            Some(Warning::FrostBeforeStrength { .. })
        ));
    }
    // Long after it is strong enough, frost does no harm.
    assert_eq!(frost(&with_air(warm(), 300.0, -1.0)), None);
    assert_eq!(frost(&with(warm(), 300.0, Seen::Frost)), None);
    // A forecast of frost warns too, and says that it has not happened.
    let (_, mpa, seen) = frost(&step(OCTOBER, -4.0, 6.0, Sky::Broken)).expect("a warning");
    assert!(!seen && mpa < 3.5);
}

/// ACI 305: 0.5 kg/m²/h caution, 1.0 act (reference values, section 6).
#[test]
fn drying_is_caution_from_a_half_and_act_from_one() {
    let drying = |rh: f64, wind: f64| {
        let mut f = step(JUNE, 20.0, 20.0, Sky::Shade);
        for d in &mut f.days {
            // ACI 305 means the wind half a metre above the concrete; a forecast that at 10 m.
            (d.rh, d.wind) = (Some(Percent(rh)), Some(KmH(wind / 0.513)));
        }
        told(&f)
    };
    for (rh, wind, risk) in [
        (90.0, 3.0, DryingRisk::Low),
        (45.0, 12.0, DryingRisk::Caution),
        (20.0, 35.0, DryingRisk::Act),
    ] {
        let p = drying(rh, wind);
        let e = p.evaporation.expect("humidity and wind are known");
        assert_eq!(e.risk, risk, "{e:?}");
        let most = e.menzel.value().max(e.uno.value());
        assert_eq!(risk >= DryingRisk::Caution, most >= 0.5);
        assert_eq!(risk == DryingRisk::Act, most >= 1.0);
        let said = p
            .warnings
            .iter()
            .any(|w| matches!(w, Warning::DriesFast { risk: r, .. } if *r == risk));
        assert_eq!(said, risk > DryingRisk::Low);
    }
    // The rate that is said is the one that it is judged by, also where only one of the two
    // formulas passes a limit.
    for wind in (4..40).step_by(2) {
        for w in drying(30.0, f64::from(wind)).warnings {
            if let Warning::DriesFast { rate, risk } = w {
                assert_eq!(DryingRisk::of(rate), risk, "{wind} km/h: {rate:?}");
            }
        }
    }
    let mut f = mild();
    for d in &mut f.days {
        d.wind = None;
    }
    assert_eq!(told(&f).evaporation, None);
}

/// 35 °C as placed (ACI 305, BS 8500); about 10 % of the 28-day strength is lost at 38 °C
/// (ACI 305R; reference values, section 10).
#[test]
fn hot_placing_is_said_with_its_loss() {
    let hot = |f: &PourFacts| {
        warnings(f).into_iter().find_map(|w| match w {
            Warning::Hot { peak, loss_pct } => Some((peak.value(), loss_pct.value())),
            _ => None,
        })
    };
    assert_eq!(hot(&mild()), None);
    let f = with_concrete(mild(), 0.0, 36.0, ConcretePlace::Fresh);
    assert!(hot(&f).expect("placed too hot").0 >= 34.0);
    let (peak, loss) = hot(&step(JUNE, 28.0, 38.0, Sky::Shade)).expect("a hot day");
    assert!(peak > 38.0 && (6.0..17.0).contains(&loss), "{peak} {loss}");
}

/// ACI 306R: 13 °C for sections below 300 mm in cold weather (from memory).
#[test]
fn cold_placing_is_said() {
    let cold = |f: &PourFacts| {
        warnings(f)
            .iter()
            .any(|w| matches!(w, Warning::ColdPlacing { .. }))
    };
    let weather = step(OCTOBER, 0.0, 7.0, Sky::Overcast);
    assert!(cold(&with_concrete(
        weather.clone(),
        0.0,
        9.0,
        ConcretePlace::Fresh
    )));
    assert!(!cold(&with_concrete(
        weather,
        0.0,
        16.0,
        ConcretePlace::Fresh
    )));
    assert!(!cold(&with_concrete(
        mild(),
        0.0,
        12.0,
        ConcretePlace::Fresh
    )));
    assert!(cold(&with_concrete(mild(), 0.0, 3.0, ConcretePlace::Fresh)));
}

#[test]
fn rain_counts_until_final_set() {
    let rain = |f: &PourFacts| {
        warnings(f)
            .iter()
            .any(|w| matches!(w, Warning::RainBeforeSet { .. }))
    };
    assert!(rain(&with(mild(), 2.0, Seen::Rain)));
    assert!(!rain(&with(mild(), 48.0, Seen::Rain)));
    assert!(!rain(&with(mild(), -5.0, Seen::Rain)));
}

#[test]
fn what_was_done_too_soon_is_said() {
    let early = with(mild(), 7.0, Seen::StrippedStuck);
    assert!(
        warnings(&early)
            .iter()
            .any(|w| matches!(w, Warning::StrippedEarly { .. }))
    );
    let due = with(mild(), 72.0, Seen::StrippedClean);
    assert!(
        !warnings(&due)
            .iter()
            .any(|w| matches!(w, Warning::StrippedEarly { .. }))
    );
    assert!(warnings(&with(mild(), 12.0, Seen::Walked)).contains(&Warning::WalkedEarly));
    assert!(!warnings(&with(mild(), 200.0, Seen::Walked)).contains(&Warning::WalkedEarly));
}

/// ACI 211.1 by logarithms: an extra quart to an 80 lb bag takes about a third (reference
/// values, section 12). ASTM C979: pigment at most a tenth of the cement.
#[test]
fn doses_out_of_range_are_said() {
    let mut f = mild();
    f.dose.water_per_bag_l = Some(3.75);
    let lost = warnings(&f).into_iter().find_map(|w| match w {
        Warning::TooMuchWater { loss_pct } => Some(loss_pct.value()),
        _ => None,
    });
    assert!(lost.is_some_and(|l| (20.0..45.0).contains(&l)), "{lost:?}");
    f.dose.water_per_bag_l = Some(1.9);
    assert!(warnings(&f).contains(&Warning::TooLittleWater));
    f.dose.water_per_bag_l = Some(2.6);
    f.dose.pigment_pct = 12.0;
    f.dose.improvised = true;
    f.dose.retarder = true;
    let all = warnings(&f);
    assert!(all.contains(&Warning::PigmentHigh { pct: Percent(12.0) }));
    assert!(all.contains(&Warning::Improvised) && all.contains(&Warning::SetChanged));
    assert_eq!(
        warnings(&mild())
            .iter()
            .filter(|w| !matches!(w, Warning::DriesFast { .. }))
            .count(),
        0
    );
}
