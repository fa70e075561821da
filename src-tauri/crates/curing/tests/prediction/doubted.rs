//! What is not known is asked for, and what does not fit is asked about and moves little.

use crate::scene::{JUNE, OCTOBER, closes, held_at, mild, opens, step, textured, told, with};
use slowstone_curing::learn::learn;
use slowstone_curing::predict::*;
use slowstone_curing::units::{Celsius, Hours, Mpa};

fn air(f: &PourFacts, h: f64, temp: f64) -> AirReading {
    AirReading {
        at: f.started.plus(Hours(h)),
        temp: Some(Celsius(temp)),
        ..AirReading::default()
    }
}

fn concrete(f: &PourFacts, h: f64, temp: f64, place: ConcretePlace) -> ConcreteReading {
    ConcreteReading::new(f.started.plus(Hours(h)), Celsius(temp), place)
}

fn confirmed(mut f: PourFacts) -> PourFacts {
    f.happened.iter_mut().for_each(|h| h.confirmed = true);
    f.air.iter_mut().for_each(|a| a.confirmed = true);
    f.concrete.iter_mut().for_each(|c| c.confirmed = true);
    f
}

/// Fresh concrete of 22 °C, from warm water, in a November of 3 °C: it says how warm it was
/// placed, not how warm the days are.
#[test]
fn fresh_concrete_is_not_the_air() {
    let mut f = plain_step(OCTOBER);
    f.concrete = vec![concrete(&f, 0.0, 22.0, ConcretePlace::Fresh)];
    let p = told(&f);
    assert_eq!(p.missing, [Missing::AirTemperature]);
    let last = p.milestones.last().expect("up to set");
    assert_eq!(last.kind, MilestoneKind::FinalSet);
    assert!(p.curve.is_empty() && p.basis.air.is_empty());
    // What is given up to set is told widely: it holds the truth of 3 °C air and that of 22.
    let [early, _, late] = opens(&f, &p, MilestoneKind::InitialSet);
    for temp in [3.0, 22.0] {
        let mut known = f.clone();
        known.days = step(OCTOBER, temp - 1.0, temp + 1.0, Sky::Overcast).days;
        let [_, likely, _] = opens(&known, &told(&known), MilestoneKind::InitialSet);
        assert!(
            early < likely && likely < late,
            "{temp} {early} {likely} {late}"
        );
    }
    // And it teaches nothing.
    let seen = with(f.clone(), 6.0, Seen::Thumb6mm);
    assert_eq!(learn(Learned::default(), &seen), Learned::default());
    // One reading of the air gives all times again, a forecast too.
    f.air = vec![air(&f, 0.0, 3.0)];
    let p = told(&f);
    assert_eq!(p.missing, []);
    assert_eq!(p.milestones.len(), MilestoneKind::ALL.len());
    let [_, _, safe] = opens(&f, &p, MilestoneKind::FormOff);
    assert!(safe > 72.0, "{safe}");
}

/// "Leaves a mark" without a depth, tapped early: it ends no window, brings no strip
/// forward and teaches nothing.
#[test]
fn a_mark_of_unknown_depth_says_little() {
    let f = textured(mild());
    let p = told(&f);
    let marked = with(f.clone(), 1.5, Seen::ThumbMark);
    let q = told(&marked);
    assert_eq!(q.odd, []);
    for kind in [MilestoneKind::FormOff, MilestoneKind::InitialSet] {
        let (a, b) = (opens(&f, &p, kind), opens(&marked, &q, kind));
        for (a, b) in a.into_iter().zip(b) {
            assert!((b / a - 1.0).abs() < 0.01, "{kind:?} {a} {b}");
        }
    }
    let until = closes(&marked, &q, MilestoneKind::Texture);
    assert!(until[0] > 3.0, "{until:?}");
    assert_eq!(learn(Learned::default(), &marked), Learned::default());
    // Late it says that final set is not there yet.
    let last = opens(&f, &p, MilestoneKind::FinalSet)[1];
    let soft = with(f, last, Seen::ThumbMark);
    let after = opens(&soft, &told(&soft), MilestoneKind::FinalSet)[1];
    assert!(after > last * 1.03, "{last} {after}");
}

/// A single sign that does not fit is asked about and moves little, until it is confirmed.
#[test]
fn a_sign_that_does_not_fit_is_asked_about() {
    let f = textured(mild());
    let p = told(&f);
    let strip = opens(&f, &p, MilestoneKind::FormOff);
    for (h, what) in [
        (1.5, Seen::Thumb6mm),
        (1.6, Seen::ThumbNone),
        (1.2, Seen::ThumbFaint),
        (20.0, Seen::ThumbDeep),
        (0.8, Seen::SheenGone),
    ] {
        let seen = with(f.clone(), h, what);
        let q = told(&seen);
        let odd: Vec<&Odd> = q.odd.iter().collect();
        assert_eq!(odd.len(), 1, "{what:?} {odd:?}");
        assert_eq!(
            (odd[0].what, odd[0].field),
            (OddEntry::Observation, OddField::What)
        );
        assert_eq!(odd[0].at, f.started.plus(Hours(h)));
        let early = matches!(odd[0].why, OddWhy::TooEarly { seen, .. } if seen == what);
        let late = matches!(odd[0].why, OddWhy::TooLate { seen, .. } if seen == what);
        assert!(if h < 10.0 { early } else { late }, "{odd:?}");
        let now = opens(&seen, &q, MilestoneKind::FormOff);
        for (a, b) in strip.into_iter().zip(now) {
            assert!((b / a - 1.0).abs() < 0.05, "{what:?} {strip:?} {now:?}");
        }
        let until = closes(&seen, &q, MilestoneKind::Texture);
        assert!(until[1] > 3.0, "{what:?} {until:?}");
        let next = learn(Learned::default(), &seen);
        assert!(next.set_ln_mean.abs() < 0.02, "{what:?} {next:?}");
        assert_eq!(next.observations, 0, "{what:?}");
        // A person stands for it: then it counts.
        let sure = confirmed(seen);
        let q = told(&sure);
        assert_eq!(q.odd, [], "{what:?}");
        if what == Seen::Thumb6mm {
            assert_eq!(closes(&sure, &q, MilestoneKind::Texture), [1.5; 3]);
        }
    }
}

/// Concrete does not get softer: of two signs that say so, at least one is asked about, and
/// final set never comes before initial set.
#[test]
fn signs_that_contradict_each_other_are_said() {
    let f = mild();
    let set = opens(&f, &told(&f), MilestoneKind::InitialSet)[1];
    let both = with(with(f.clone(), 1.6, Seen::ThumbNone), set, Seen::Thumb6mm);
    let q = told(&both);
    let why: Vec<OddWhy> = q.odd.iter().map(|o| o.why).collect();
    let names = |w: &OddWhy| {
        matches!(
            w,
            OddWhy::Contradicts {
                seen: Seen::ThumbNone,
                other: Seen::Thumb6mm,
                ..
            }
        )
    };
    assert!(why.iter().any(names), "{why:?}");
    let initial = opens(&both, &q, MilestoneKind::InitialSet);
    let last = opens(&both, &q, MilestoneKind::FinalSet);
    assert!(
        initial[0] <= last[0] && initial[2] <= last[2],
        "{initial:?} {last:?}"
    );
    assert!((initial[1] / set - 1.0).abs() < 0.1, "{initial:?} {set}");
    // Both about as likely: both are asked about, and neither is taken at its word.
    let doubt = with(
        with(f, set * 1.25, Seen::ThumbNone),
        set * 1.3 + 0.3,
        Seen::ThumbDeep,
    );
    let q = told(&doubt);
    let contradicted = |o: &&Odd| matches!(o.why, OddWhy::Contradicts { .. });
    assert_eq!(q.odd.iter().filter(contradicted).count(), 2, "{:?}", q.odd);
}

/// 45 °C once among twenties (a digit, a thermometer in the sun): asked about, and the strip
/// stays where it was; said to be right, it counts.
#[test]
fn a_reading_far_from_the_others_moves_little() {
    let mut f = textured(plain_step(JUNE));
    f.air = [
        (0.0, 19.0),
        (4.0, 22.0),
        (9.0, 23.0),
        (14.0, 18.0),
        (24.0, 20.0),
        (30.0, 23.0),
    ]
    .map(|(h, t)| air(&f, h, t))
    .to_vec();
    let before = opens(&f, &told(&f), MilestoneKind::FormOff);
    assert_eq!(told(&f).odd, []);
    let mut slipped = f.clone();
    slipped.air.push(air(&f, 6.0, 45.0));
    let q = told(&slipped);
    assert_eq!(q.odd.len(), 1, "{:?}", q.odd);
    assert!(matches!(
        q.odd[0],
        Odd {
            what: OddEntry::Air,
            field: OddField::AirC,
            why: OddWhy::FarFromOthers { value: Celsius(45.0), expected },
            ..
        } if (expected.value() - 22.0).abs() < 6.0
    ));
    let after = opens(&slipped, &q, MilestoneKind::FormOff);
    for (a, b) in before.into_iter().zip(after) {
        assert!((b / a - 1.0).abs() < 0.02, "{before:?} {after:?}");
    }
    let sure = confirmed(slipped);
    let q = told(&sure);
    assert_eq!(q.odd, []);
    assert!(opens(&sure, &q, MilestoneKind::FormOff)[1] < before[1] * 0.97);
}

/// A lone reading against a forecast, and against the fresh concrete.
#[test]
fn a_lone_reading_is_held_against_what_else_is_known() {
    let mut f = mild();
    f.air = vec![air(&f, 2.0, 48.0)];
    assert_eq!(told(&f).odd.len(), 1);
    f.air = vec![air(&f, 2.0, 23.0)];
    assert_eq!(told(&f).odd, []);
    let mut f = plain_step(JUNE);
    f.concrete = vec![concrete(&f, 0.0, 18.0, ConcretePlace::Fresh)];
    f.air = vec![air(&f, 0.0, 55.0)];
    let p = told(&f);
    assert_eq!(p.odd.len(), 1, "{:?}", p.odd);
    assert_eq!(p.missing, [Missing::AirTemperature]);
}

/// A thermometer in the concrete: one wild reading is asked about, several that agree are
/// right and the model is not; fresh concrete of 60 °F read as °C is asked about.
#[test]
fn readings_of_the_concrete_are_held_against_physics() {
    let f = textured(mild());
    let before = opens(&f, &told(&f), MilestoneKind::FormOff)[1];
    let mut once = f.clone();
    once.concrete = vec![concrete(&f, 8.0, 55.0, ConcretePlace::Core)];
    let q = told(&once);
    assert!(matches!(
        q.odd[..],
        [Odd {
            what: OddEntry::Concrete,
            field: OddField::ConcreteC,
            ..
        }]
    ));
    let after = opens(&once, &q, MilestoneKind::FormOff)[1];
    assert!((after / before - 1.0).abs() < 0.02, "{before} {after}");
    let sure = confirmed(once);
    assert_eq!(told(&sure).odd, []);
    assert!(opens(&sure, &told(&sure), MilestoneKind::FormOff)[1] < before * 0.9);
    let mut fresh = f.clone();
    fresh.concrete = vec![concrete(&f, 0.0, 60.0, ConcretePlace::Fresh)];
    assert_eq!(told(&fresh).odd.len(), 1);
    fresh.concrete = vec![concrete(&f, 0.0, 21.0, ConcretePlace::Fresh)];
    assert_eq!(told(&fresh).odd, []);
    assert_eq!(told(&held_at(20.0)).odd, []);
}

/// A nail on the edge and a test of strength, where they fit and where they do not.
#[test]
fn a_nail_tells_strength() {
    let f = textured(mild());
    let strip = |f: &PourFacts| opens(f, &told(f), MilestoneKind::FormOff);
    let before = strip(&f);
    let firm = with(f.clone(), before[1], Seen::ScratchNone);
    let soft = with(f.clone(), before[1], Seen::ScratchDeep);
    assert!(strip(&firm)[1] < before[1] && strip(&soft)[2] > before[2]);
    let first_hours = with(f.clone(), 8.0, Seen::ScratchNone);
    let q = told(&first_hours);
    assert!(
        matches!(
            q.odd[..],
            [Odd {
                why: OddWhy::TooEarly { .. },
                ..
            }]
        ),
        "{:?}",
        q.odd
    );
    let tested = with(f, 24.0, Seen::Strength(Mpa(80.0)));
    let q = told(&tested);
    assert!(matches!(
        q.odd[..],
        [Odd {
            field: OddField::Mpa,
            why: OddWhy::FarFromStrength { .. },
            ..
        }]
    ));
}
