//! Properties that hold whatever the facts are: total, finite, ordered, the same every
//! time.
//!
//! Few members and few cases, because each is a whole prediction; the seeds that once
//! failed are kept by proptest beside this file.

use crate::any::{Kind, facts, learned, sky};
use crate::scene::{JUNE, OCTOBER, closes, opens, step, told, with};
use proptest::prelude::*;
use slowstone_curing::best_hour::best_hours;
use slowstone_curing::handling::{clamp_spacing, moving, stacking};
use slowstone_curing::learn::learn;
use slowstone_curing::predict::*;
use slowstone_curing::protect::{Protection, against_frost, for_the_window};
use slowstone_curing::units::{Celsius, Hours, KmH, Mpa, Percent};

const FEW: usize = 6;

fn ordered(s: &Span) -> bool {
    let [a, b, c] = [s.early, s.likely, s.late].map(|t| t.map_or(i64::MAX, |t| t.0));
    a <= b && b <= c
}

fn sound(p: &Prediction) -> Result<(), TestCaseError> {
    let kinds: Vec<MilestoneKind> = p.milestones.iter().map(|m| m.kind).collect();
    if p.missing.is_empty() {
        prop_assert_eq!(kinds, MilestoneKind::ALL.to_vec());
        prop_assert!(p.curve.len() <= 200 && p.curve.len() > 100);
    } else {
        // Without the air's temperature nothing past set.
        prop_assert_eq!(kinds, MilestoneKind::ALL[..4].to_vec());
        prop_assert!(p.curve.is_empty());
    }
    for m in &p.milestones {
        prop_assert!(ordered(&m.opens), "{:?}", m);
        prop_assert!(m.reasons.iter().filter(|r| r.governs).count() <= 1);
        if let Some(c) = &m.closes {
            prop_assert!(ordered(c), "{:?}", m);
            for (open, close) in [(m.opens.early, c.early), (m.opens.likely, c.likely)] {
                prop_assert!(
                    close.is_none_or(|c| open.is_some_and(|o| o <= c)),
                    "{:?}",
                    m
                );
            }
        }
    }
    for pair in p.curve.windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        prop_assert!(a.at <= b.at);
        prop_assert!(a.low_mpa <= b.low_mpa && a.mid_mpa <= b.mid_mpa && a.high_mpa <= b.high_mpa);
        prop_assert!(b.low_mpa <= b.mid_mpa && b.mid_mpa <= b.high_mpa);
        prop_assert!(a.age_h <= b.age_h && a.degree_hours <= b.degree_hours);
    }
    // JSON writes what is not a number as null: none may be there beside missing instants.
    for c in &p.curve {
        let numbers = [
            c.low_mpa,
            c.mid_mpa,
            c.high_mpa,
            c.concrete_c,
            c.edge_c,
            c.air_c,
            c.age_h,
            c.degree_hours,
        ];
        prop_assert!(numbers.iter().all(|x| x.is_finite()), "{:?}", c);
    }
    if let Some(e) = p.evaporation {
        prop_assert!(e.menzel.value().is_finite() && e.uno.value().is_finite());
    }
    let said = format!("{:?}", p.warnings);
    prop_assert!(!said.contains("NaN") && !said.contains("inf"), "{}", said);
    Ok(())
}

#[test]
fn a_wind_that_cannot_be_blows_as_hard_as_any() {
    let mut f = step(JUNE, 20.0, 24.0, Sky::Sun);
    let at = f.started;
    f.hourly = vec![AirReading {
        at,
        rh: Some(Percent(0.0)),
        wind: Some(KmH(4.7e305)),
        ..AirReading::default()
    }];
    let drying = told(&f).evaporation.unwrap();
    assert!(drying.menzel.value().is_finite() && drying.uno.value() > 5.0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(160))]

    #[test]
    fn odd_facts_get_a_sound_answer(f in facts(Kind::Odd)) {
        match predict_with(&f, FEW) {
            Ok(p) => {
                sound(&p)?;
                let again = predict_with(&f, FEW).expect("as before");
                prop_assert_eq!(
                    serde_json::to_string(&p).expect("json"),
                    serde_json::to_string(&again).expect("json")
                );
            }
            Err(why) => prop_assert_eq!(why, NotYet::NoTemperature),
        }
    }

    #[test]
    fn absurd_facts_break_nothing(f in facts(Kind::Wild)) {
        if let Ok(p) = predict_with(&f, FEW) {
            sound(&p)?;
        }
    }

    #[test]
    fn learning_stays_finite_and_never_forgets(
        f in prop_oneof![facts(Kind::Odd), facts(Kind::Wild)],
        before in learned(Kind::Odd),
    ) {
        let after = learn(before, &f);
        prop_assert!(after.observations >= before.observations);
        let numbers = [
            after.set_ln_mean, after.set_ln_sd, after.strength_ln_mean, after.strength_ln_sd,
            after.sheen_ln_mean, after.sheen_ln_sd,
        ];
        prop_assert!(numbers.iter().all(|x| x.is_finite()), "{:?}", after);
    }

    #[test]
    fn milestones_come_in_their_order(
        low in -5.0..28.0_f64,
        swing in 0.0..14.0_f64,
        october in any::<bool>(),
        liner in any::<bool>(),
        sky in sky(),
    ) {
        let start = if october { OCTOBER } else { JUNE };
        let mut f = step(start, low, low + swing, sky.unwrap_or(Sky::Broken));
        if liner {
            f = crate::scene::textured(f);
        }
        let p = predict_with(&f, FEW).expect("sensible");
        use MilestoneKind::*;
        for chain in [
            &[SheenGone, InitialSet, FinalSet, FormOff][..],
            &[FinalSet, NextStep],
            &[FinalSet, Foot, FullUse],
            &[FinalSet, CuringEnds],
        ] {
            for pair in chain.windows(2) {
                let (a, b) = (opens(&f, &p, pair[0]), opens(&f, &p, pair[1]));
                for (a, b) in a.iter().zip(b) {
                    prop_assert!(*a <= b, "{:?} {:?}", pair, (a, b));
                }
            }
        }
        prop_assert!(opens(&f, &p, Texture)[1] <= closes(&f, &p, Texture)[1]);
    }

    #[test]
    fn warmer_air_makes_nothing_later(
        low in -3.0..25.0_f64,
        swing in 0.0..12.0_f64,
        warmer in 0.5..8.0_f64,
        sky in sky(),
    ) {
        let sky = sky.unwrap_or(Sky::Broken);
        let a = step(JUNE, low, low + swing, sky);
        let b = step(JUNE, low + warmer, low + swing + warmer, sky);
        let (p, q) = (
            predict_with(&a, FEW).expect("sensible"),
            predict_with(&b, FEW).expect("sensible"),
        );
        use MilestoneKind::*;
        for kind in [InitialSet, FinalSet, FormOff, NextStep, Foot, FullUse] {
            for (a, b) in opens(&a, &p, kind).iter().zip(opens(&b, &q, kind)) {
                prop_assert!(b <= a + 1e-3, "{:?} {} {}", kind, a, b);
            }
        }
    }

    #[test]
    fn more_readings_break_nothing(
        temps in prop::collection::vec(-5.0..35.0_f64, 0..60),
        every in 0.1..9.0_f64,
    ) {
        let mut f = step(JUNE, 12.0, 20.0, Sky::Broken);
        for (i, t) in temps.iter().enumerate() {
            let at = JUNE.plus(Hours(i as f64 * every));
            f.air.push(AirReading { at, temp: Some(Celsius(*t)), ..AirReading::default() });
            f.concrete.push(ConcreteReading { at, temp: Celsius(t + 4.0), place: ConcretePlace::Core, confirmed: false });
            sound(&predict_with(&f, 2).expect("sensible"))?;
        }
        f = with(f, 3.0, Seen::SheenGone);
        sound(&predict_with(&f, FEW).expect("sensible"))?;
    }
}

/// A logger's file of a month, every five minutes.
#[test]
fn thousands_of_readings_are_taken() {
    let mut f = step(JUNE, 12.0, 20.0, Sky::Broken);
    for i in 0..8000 {
        let h = f64::from(i) / 12.0;
        let at = JUNE.plus(Hours(h));
        let temp = Celsius(16.0 + 4.0 * (h * 0.26).sin());
        f.air.push(AirReading {
            at,
            temp: Some(temp),
            rh: Some(Percent(60.0)),
            ..AirReading::default()
        });
        f.concrete.push(ConcreteReading {
            at,
            temp,
            place: ConcretePlace::Core,
            confirmed: false,
        });
    }
    let p = predict_with(&f, FEW).expect("sensible");
    sound(&p).expect("sound");
    assert_eq!(p.basis.air_readings, 8000);
}

/// One member and two thousand are both allowed; so is zero, which counts as one.
#[test]
fn any_number_of_members() {
    let f = step(JUNE, 12.0, 20.0, Sky::Broken);
    for n in [0, 1, 2, 3, 300] {
        sound(&predict_with(&f, n).expect("sensible")).expect("sound");
    }
    let one = predict_with(&f, 1).expect("sensible");
    assert_eq!(predict_with(&f, 0), Ok(one));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Advice and handling answer whatever they are given.
    #[test]
    fn advice_breaks_on_nothing(
        f in prop_oneof![facts(Kind::Odd), facts(Kind::Wild)],
        low in prop::num::f64::ANY,
        hours in -5.0..5.0_f64,
    ) {
        if let Ok(o) = against_frost(&f) {
            prop_assert_eq!(o.protection == Protection::None, o.edge_freezes.is_none());
        }
        if let Ok(Some(s)) = for_the_window(&f) {
            prop_assert!(s.minutes >= 0.0 && s.shaded_minutes >= 0.0);
        }
        for s in best_hours(&f, f.started, f.started.plus(Hours(hours))).unwrap_or_default() {
            prop_assert!(s.window.0 <= s.window.1);
            prop_assert!(s.against.windows(2).all(|w| w[0] < w[1]));
        }
        prop_assert!(!moving(&f.piece, Mpa(low)).holds || low > 0.0);
        let s = stacking(&f.piece, Mpa(low), f.mix.class_28d);
        prop_assert!(!s.carries || s.strength_share >= s.load_share);
        if let Some(m) = clamp_spacing(f.form, f.piece.thickness) {
            prop_assert!(m.value() >= 0.0);
        }
    }
}
