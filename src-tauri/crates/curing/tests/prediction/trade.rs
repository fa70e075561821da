//! What builders of small steps know, held against the default prediction.
//!
//! Sources: "facts of the trade (common practice, no source)" where nothing else is named.

use crate::scene::{JUNE, OCTOBER};
use crate::scene::{closes, cold, cool, mild, opens, step, textured, told, warm};
use slowstone_curing::handling::stacking;
use slowstone_curing::predict::{MilestoneKind, NextStepRule, Sky};
use slowstone_curing::units::Mpa;

/// A side form of a small step comes off about 24 h after the pour in warm weather.
#[test]
fn a_form_comes_off_after_about_a_day_in_warm_weather() {
    for sky in [Sky::Sun, Sky::Broken, Sky::Overcast, Sky::Shade] {
        let f = step(JUNE, 22.0, 30.0, sky);
        let [early, likely, late] = opens(&f, &told(&f), MilestoneKind::FormOff);
        // A plain one: no form is due before 12 warm hours (ACI 347), and it can surely
        // come off the next day.
        assert!(
            (11.99..18.0).contains(&early),
            "{sky:?} {early} {likely} {late}"
        );
        assert!((11.99..20.0).contains(&likely), "{sky:?} {likely}");
        assert!((12.0..28.0).contains(&late), "{sky:?} {late}");
        let f = textured(f);
        let [early, likely, late] = opens(&f, &told(&f), MilestoneKind::FormOff);
        assert!((11.99..20.0).contains(&early), "{sky:?} {early}");
        // In full sun on a hot day the concrete itself gets hot.
        assert!((11.99..36.0).contains(&likely), "{sky:?} {likely}");
        assert!((20.0..50.0).contains(&late), "{sky:?} {late}");
    }
}

/// DIN 1045:1988, experience for side forms: 1, 2 or 3 days by the cement (reference
/// values, 4.1), for usual temperatures. What we call safe lies within them.
#[test]
fn a_mild_day_asks_for_one_to_three_days() {
    let f = mild();
    let [_, likely, late] = opens(&f, &told(&f), MilestoneKind::FormOff);
    assert!((14.0..30.0).contains(&likely), "{likely}");
    assert!((20.0..72.0).contains(&late), "{late}");
    let f = textured(f);
    let [_, likely, late] = opens(&f, &told(&f), MilestoneKind::FormOff);
    assert!((20.0..60.0).contains(&likely), "{likely}");
    assert!(late < 96.0, "{late}");
}

/// A cool pour is later by about the published temperature factors. Mean air 26 against
/// 9 °C: by FHP and by ASTM C1074 2.4 to 3.1 (reference values, section 2, between the
/// rows); the piece's own heat helps the cool one a little.
#[test]
fn a_cool_pour_differs_by_the_published_factors() {
    let (warm, cool) = (
        step(JUNE, 22.0, 30.0, Sky::Shade),
        step(OCTOBER, 5.0, 13.0, Sky::Shade),
    );
    let (a, b) = (told(&warm), told(&cool));
    for kind in [
        MilestoneKind::InitialSet,
        MilestoneKind::FinalSet,
        MilestoneKind::Foot,
    ] {
        let ratio = opens(&cool, &b, kind)[1] / opens(&warm, &a, kind)[1];
        assert!((2.0..3.8).contains(&ratio), "{kind:?} {ratio}");
    }
    let (warm, cool) = (textured(warm), textured(cool));
    let ratio = opens(&cool, &told(&cool), MilestoneKind::FormOff)[1]
        / opens(&warm, &told(&warm), MilestoneKind::FormOff)[1];
    assert!((2.4..4.0).contains(&ratio), "{ratio}");
}

/// In air that never gets above 10 °C a form stays for days (DIN 1045:1988: much longer than
/// the one to three days of usual weather), behind a deep relief longer than behind a plain
/// face.
#[test]
fn a_cold_pour_keeps_its_form_for_days() {
    let f = cold();
    let [early, likely, late] = opens(&f, &told(&f), MilestoneKind::FormOff);
    assert!(
        early > 24.0 && (36.0..120.0).contains(&likely),
        "{early} {likely}"
    );
    assert!(late < 10.0 * 24.0, "{late}");
    let f = textured(f);
    let deep = opens(&f, &told(&f), MilestoneKind::FormOff);
    assert!(
        deep[1] > 1.2 * likely && deep[2] > late,
        "{deep:?} {likely} {late}"
    );
}

/// Concrete is green and its edges can be chipped by hand for the first few days.
#[test]
fn edges_dress_by_hand_for_the_first_days() {
    for f in [warm(), step(JUNE, 22.0, 30.0, Sky::Shade), mild()] {
        let p = told(&f);
        let from = opens(&f, &p, MilestoneKind::Dress);
        let until = closes(&f, &p, MilestoneKind::Dress);
        assert!(from[2] < until[1], "{from:?} {until:?}");
        assert!((18.0..72.0).contains(&until[0]), "{until:?}");
        assert!((1.5 * 24.0..5.0 * 24.0).contains(&until[1]), "{until:?}");
    }
}

/// A surface is ready for texture when no water stands on it any more; the sheen goes 20
/// minutes to 4 hours after the screed (reference values, section 6), in cold or calm later, and
/// always before initial set.
#[test]
fn texture_opens_when_no_water_stands() {
    for (f, longest) in [(warm(), 4.0), (mild(), 7.0), (cool(), 14.0)] {
        let p = told(&f);
        let sheen = opens(&f, &p, MilestoneKind::SheenGone);
        assert_eq!(sheen, opens(&f, &p, MilestoneKind::Texture));
        let until = closes(&f, &p, MilestoneKind::Texture);
        assert_eq!(until[1], opens(&f, &p, MilestoneKind::InitialSet)[1]);
        assert!(sheen[0] - 0.75 >= 0.33, "{sheen:?}");
        assert!(sheen[2] <= longest, "{longest} {sheen:?}");
        assert!(until[1] - sheen[1] > 0.5, "{sheen:?} {until:?}");
    }
}

/// Wind and sun move the window by hours (common practice, no source).
#[test]
fn wind_and_sun_bring_the_window_forward() {
    let shade = step(JUNE, 14.0, 22.0, Sky::Shade);
    let mut sun = step(JUNE, 14.0, 22.0, Sky::Sun);
    for d in &mut sun.days {
        d.wind = Some(slowstone_curing::units::KmH(20.0));
        d.rh = Some(slowstone_curing::units::Percent(40.0));
    }
    let later = opens(&shade, &told(&shade), MilestoneKind::SheenGone)[1]
        - opens(&sun, &told(&sun), MilestoneKind::SheenGone)[1];
    assert!(later > 1.0, "{later}");
}

/// Feet after one to two days in warm weather (contractors' pages), the next step after
/// about four days at 20 °C (NHBC standards 3.1.15), full use and the end of curing not
/// before seven (ACI 308), a sealer not before 28 days (trade pages).
#[test]
fn later_uses_as_practised() {
    let mut f = step(JUNE, 20.0, 20.0, Sky::Shade);
    // Mixed as the bag says: water that nobody measured may keep a mix weak for good.
    f.dose.water_per_bag_l = Some(2.6);
    let p = told(&f);
    // That practice is a cautious rule: held against the safe end, of soft soles.
    let foot = opens(&f, &p, MilestoneKind::Foot);
    assert!((24.0..60.0).contains(&foot[2]), "{foot:?}");
    f.next_step_rule = NextStepRule::Handbook;
    let p = told(&f);
    let next = opens(&f, &p, MilestoneKind::NextStep);
    assert!((64.0..100.0).contains(&next[1]), "{next:?}");
    for kind in [MilestoneKind::FullUse, MilestoneKind::CuringEnds] {
        assert!(opens(&f, &p, kind)[0] >= 168.0 - 1e-6, "{kind:?}");
    }
    assert_eq!(opens(&f, &p, MilestoneKind::Seal), [672.0; 3]);
}

/// The rule of load against strength (Sadgrove, CIRIA) agrees with the handbook: when a
/// usual step may safely be cast on, this one carries it, and half a day after its own pour
/// it does not.
#[test]
fn the_next_step_is_carried_when_it_may_be_cast() {
    for mut f in [warm(), mild(), cool()] {
        f.next_step_rule = NextStepRule::Handbook;
        let p = told(&f);
        let full = p.curve.last().expect("a curve").mid_mpa;
        let carries = |h: f64| {
            let c = p
                .curve
                .iter()
                .find(|c| c.at.hours_since(f.started).value() >= h)
                .expect("within the curve");
            stacking(&f.piece, Mpa(c.mid_mpa), Mpa(full)).carries
        };
        assert!(!carries(12.0));
        assert!(carries(opens(&f, &p, MilestoneKind::NextStep)[2]));
    }
}
