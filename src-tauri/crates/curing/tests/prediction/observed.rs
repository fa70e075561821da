//! What was seen on the site beats what was predicted, and readings beat forecasts.

use crate::scene::{JUNE, closes, held_at, mild, opens, step, textured, told, warm, with};
use slowstone_curing::predict::{
    AirReading, AirSource, ConcretePlace, ConcreteReading, Criterion, MilestoneKind, NotYet,
    PourFacts, Prediction, Seen, Sky, plain_step, predict,
};
use slowstone_curing::units::{AtMs, Celsius, Hours, Mpa};

fn seen(p: &Prediction, kind: MilestoneKind) -> Option<AtMs> {
    p.milestones
        .iter()
        .find(|m| m.kind == kind)
        .expect("told")
        .seen
}

fn air(f: &PourFacts, h: f64, temp: f64) -> AirReading {
    AirReading {
        at: f.started.plus(Hours(h)),
        temp: Some(Celsius(temp)),
        ..AirReading::default()
    }
}

#[test]
fn what_was_observed_is_told_in_place_of_the_range() {
    let f = mild();
    let at = |h: f64| Some(f.started.plus(Hours(h)));
    let sheen = with(f.clone(), 2.25, Seen::SheenGone);
    let p = told(&sheen);
    assert_eq!(opens(&sheen, &p, MilestoneKind::SheenGone), [2.25; 3]);
    assert_eq!(opens(&sheen, &p, MilestoneKind::Texture), [2.25; 3]);
    assert_eq!(seen(&p, MilestoneKind::SheenGone), at(2.25));
    let mark = with(f.clone(), 4.5, Seen::Thumb6mm);
    let p = told(&mark);
    assert_eq!(opens(&mark, &p, MilestoneKind::InitialSet), [4.5; 3]);
    assert_eq!(closes(&mark, &p, MilestoneKind::Texture), [4.5; 3]);
    for (what, kind) in [
        (Seen::Textured, MilestoneKind::Texture),
        (Seen::ThumbNone, MilestoneKind::FinalSet),
        (Seen::StrippedClean, MilestoneKind::FormOff),
        (Seen::StrippedStuck, MilestoneKind::FormOff),
        (Seen::DressedEasily, MilestoneKind::Dress),
        (Seen::Walked, MilestoneKind::Foot),
    ] {
        let p = told(&with(f.clone(), 30.0, what));
        assert_eq!(seen(&p, kind), at(30.0), "{what:?}");
        let m = p.milestones.iter().find(|m| m.kind == kind).expect("told");
        assert!(m.reasons.iter().any(|r| r.criterion == Criterion::Observed));
    }
}

#[test]
fn edges_can_be_reached_once_the_form_is_off() {
    let f = with(textured(mild()), 26.0, Seen::StrippedClean);
    assert_eq!(opens(&f, &told(&f), MilestoneKind::Dress), [26.0; 3]);
}

#[test]
fn a_thumb_moves_and_narrows_what_is_expected() {
    let f = mild();
    let width = |s: [f64; 3]| s[2] - s[0];
    let before = opens(&f, &told(&f), MilestoneKind::FinalSet);
    let early = with(f.clone(), before[1] * 0.5, Seen::Thumb6mm);
    let late = with(f.clone(), before[1] * 0.85, Seen::Thumb6mm);
    let (a, b) = (
        opens(&early, &told(&early), MilestoneKind::FinalSet),
        opens(&late, &told(&late), MilestoneKind::FinalSet),
    );
    assert!(
        a[1] < before[1] && before[1] < b[1],
        "{a:?} {before:?} {b:?}"
    );
    assert!(width(a) < 0.8 * width(before), "{a:?} {before:?}");
    // Still soft when it was expected to set: what is expected moves on.
    let set = opens(&f, &told(&f), MilestoneKind::InitialSet)[1];
    let soft = with(f.clone(), set, Seen::ThumbDeep);
    let after = opens(&soft, &told(&soft), MilestoneKind::InitialSet)[1];
    assert!(after > 1.08 * set, "{set} {after}");
}

#[test]
fn a_test_of_strength_pulls_the_curve_through_itself() {
    let f = mild();
    let at_48 = |f: &PourFacts| {
        let p = told(f);
        let c = p
            .curve
            .iter()
            .find(|c| c.at >= JUNE.plus(Hours(48.0)))
            .copied();
        c.expect("within the curve")
    };
    let before = at_48(&f);
    for factor in [0.75, 1.3] {
        let tested = before.mid_mpa * factor;
        let after = at_48(&with(f.clone(), 48.0, Seen::Strength(Mpa(tested))));
        assert!(
            (after.mid_mpa / tested - 1.0).abs() < 0.15,
            "{factor} {after:?}"
        );
        let spread = |c: slowstone_curing::predict::CurvePoint| c.high_mpa - c.low_mpa;
        assert!(spread(after) < 0.8 * spread(before));
    }
}

#[test]
fn a_reading_in_the_concrete_corrects_the_model() {
    let f = mild();
    let mut hot = f.clone();
    for h in [4.0, 8.0, 12.0] {
        hot.concrete.push(ConcreteReading {
            at: f.started.plus(Hours(h)),
            temp: Celsius(42.0),
            place: ConcretePlace::Core,
            confirmed: false,
        });
    }
    let p = told(&hot);
    let near = p
        .curve
        .iter()
        .find(|c| c.at >= f.started.plus(Hours(8.0)))
        .expect("there");
    assert!((near.concrete_c - 42.0).abs() < 1.0, "{near:?}");
    let form = |f: &PourFacts| opens(f, &told(f), MilestoneKind::FormOff)[1];
    assert!(form(&textured(hot)) < form(&textured(f)));
}

#[test]
fn what_the_air_was_taken_from_is_said() {
    let mut f = plain_step(JUNE);
    assert_eq!(predict(&f), Err(NotYet::NoTemperature));
    f.air = vec![air(&f, 0.0, 18.0)];
    let b = told(&f).basis;
    assert_eq!(b.air, [AirSource::Readings, AirSource::CarriedOn]);
    assert_eq!((b.air_readings, b.readings_until), (1, Some(JUNE)));
    f.hourly = (0..48).map(|h| air(&f, f64::from(h), 17.0)).collect();
    let b = told(&f).basis;
    assert_eq!(
        b.air,
        [AirSource::Readings, AirSource::Hourly, AirSource::CarriedOn]
    );
    f.air.clear();
    f.days = step(JUNE, 12.0, 20.0, Sky::Broken).days;
    let b = told(&f).basis;
    assert_eq!(b.air, [AirSource::Hourly, AirSource::DayRange]);
    assert_eq!((b.air_readings, b.readings_until), (0, None));
    let b = told(&held_at(20.0)).basis;
    assert_eq!(b.concrete_readings, 223);
}

#[test]
fn readings_outrank_a_forecast() {
    let mut f = warm();
    let forecast = opens(&f, &told(&f), MilestoneKind::InitialSet)[1];
    f.air = (0..12).map(|h| air(&f, f64::from(h), 8.0)).collect();
    let read = opens(&f, &told(&f), MilestoneKind::InitialSet)[1];
    assert!(read > 1.4 * forecast, "{read} {forecast}");
}
