//! Invented curves; those of the rendered photos are in `tests/reference`.
#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use super::*;
use crate::sequence::Sequence;

const SD: Triple = [0.3; 3];

fn trial(dose: f64, lab: [f64; 3]) -> Trial {
    Trial {
        dose_pct: vec![dose],
        lab: Lab::from_array(lab),
        sd: SD,
    }
}

/// A straight trend, which K/S does not follow.
fn straight(dose: f64) -> [f64; 3] {
    [70.0 - 6.0 * dose, 1.0 + 9.0 * dose, 5.0 - 3.0 * dose]
}

#[test]
fn a_straight_trend_is_found_straight() {
    let trials: Vec<Trial> = (0..6)
        .map(|i| trial(f64::from(i), straight(f64::from(i))))
        .collect();
    let curve = fit(&trials, None).unwrap();
    assert_eq!(curve.shape(), Shape::Straight, "{:?}", curve.tried);
    let at = curve.at(&[2.5]).unwrap();
    assert!(de2000(at.lab, Lab::from_array(straight(2.5))) < 1e-6);
    assert!(at.sd[0] > 0.05 && at.sd[0] < 0.3, "{at:?}");
}

#[test]
fn nothing_is_said_beyond_what_was_tried_and_allowed() {
    let trials = [0.0, 3.0, 6.0, 14.0].map(|d| trial(d, straight(d / 3.0)));
    let free = fit(&trials, None).unwrap();
    assert_eq!(free.limits_pct(), [(0.0, CAP_PCT)]);
    assert!(free.at(&[10.0]).is_some() && free.at(&[10.1]).is_none());
    let supplied = fit(&trials, Some(5.0)).unwrap();
    assert!(supplied.at(&[5.0]).is_some() && supplied.at(&[5.1]).is_none());
    let few = fit(&trials[1..3], Some(9.0)).unwrap();
    assert_eq!(few.limits_pct(), [(3.0, 6.0)]);
    assert!(few.at(&[2.9]).is_none() && few.at(&[6.1]).is_none());
    assert!(few.at(&[4.0, 1.0]).is_none());
    // All that was tried is more than the supplier allows: not even its limit was tried.
    let below = fit(&trials[1..3], Some(2.0)).unwrap();
    assert!(below.at(&[2.0]).is_none() && below.at(&[3.0]).is_none());
    let wanted = Wanted {
        lab: Lab::from_array(straight(1.0)),
        sd: SD,
    };
    assert_eq!(below.aim(&wanted), None);
    assert_eq!(below.next(&wanted), None);
    // The wanted colour lies at more than the supplier allows.
    let wanted = Wanted {
        lab: Lab::from_array(straight(2.0)),
        sd: SD,
    };
    let aim = supplied.aim(&wanted).unwrap();
    assert_eq!(aim.reach, Reach::SupplierLimit, "{aim:?}");
    assert!((aim.dose_pct[0] - 5.0).abs() < 1e-9, "{aim:?}");
}

#[test]
fn two_trials_make_a_curve_one_does_not() {
    let two = [0.0, 4.0].map(|d| trial(d, straight(d)));
    let curve = fit(&two, None).unwrap();
    assert_eq!(curve.shape(), Shape::KubelkaMunk);
    assert_eq!(curve.left_out, None);
    let why = |trials: &[Trial]| fit(trials, None).unwrap_err();
    assert_eq!(why(&two[..1]), NoCurve::TooFewTrials);
    assert_eq!(why(&[]), NoCurve::TooFewTrials);
    let same = [3.0, 3.0, 3.0].map(|d| trial(d, straight(d)));
    assert_eq!(why(&same), NoCurve::DosesDoNotDiffer);
    let mut odd = two.to_vec();
    odd[1].dose_pct = vec![1.0, 2.0];
    assert_eq!(why(&odd), NoCurve::Pigments);
    odd[1] = trial(f64::NAN, straight(1.0));
    assert_eq!(why(&odd), NoCurve::NotANumber);
}

#[test]
fn a_colour_that_no_dose_makes_is_said_so() {
    let trials: Vec<Trial> = (0..6)
        .map(|i| trial(f64::from(i), straight(f64::from(i))))
        .collect();
    let blue = Wanted {
        lab: Lab::new(50.0, -10.0, -25.0),
        sd: SD,
    };
    let aim = fit(&trials, None).unwrap().aim(&blue).unwrap();
    assert_eq!(aim.reach, Reach::OutOfReach, "{aim:?}");
}

#[test]
fn a_dose_at_the_edge_asks_for_a_patch_beyond_it() {
    let trials = [0.0, 1.0, 2.0, 3.0].map(|d| trial(d, straight(d)));
    let wanted = Wanted {
        lab: Lab::from_array(straight(3.1)),
        sd: SD,
    };
    let curve = fit(&trials, Some(3.5)).unwrap();
    assert_eq!(curve.aim(&wanted).unwrap().reach, Reach::EdgeOfTried);
    let next = curve.next(&wanted).unwrap();
    assert_eq!(next.why, Why::BeyondTried);
    // One further would be 4, but the supplier allows 3.5.
    assert!((next.dose_pct[0] - 3.5).abs() < 1e-9, "{next:?}");
}

#[test]
fn one_more_patch_narrows_the_range() {
    let trials = [0.0, 5.0].map(|d| trial(d, straight(d)));
    let curve = fit(&trials, None).unwrap();
    let wanted = Wanted {
        lab: curve.at(&[2.0]).unwrap().lab,
        sd: [0.1; 3],
    };
    let next = curve.next(&wanted).unwrap();
    let (now, then) = (next.range_now_pct[0], next.range_then_pct.unwrap()[0]);
    assert!(then.1 - then.0 < now.1 - now.0, "{now:?} {then:?}");
    assert!(now.0 < 2.0 && 2.0 < now.1, "{now:?}");
}

#[test]
fn the_range_of_doses_holds_the_right_one_19_times_of_20() {
    let mut sequence = Sequence::seeded(3);
    let mut seen = |dose: f64| {
        let [l, a, b] = straight(dose).map(|v| v + 0.8 * sequence.normal());
        Trial {
            sd: [0.8; 3],
            ..trial(dose, [l, a, b])
        }
    };
    let mut held = 0;
    for i in 0..200 {
        let trials = [0.0, 1.0, 2.0, 3.0, 4.0].map(&mut seen);
        let right = 0.5 + 3.0 * f64::from(i) / 200.0;
        let wanted = seen(right);
        let curve = fit(&trials, None).unwrap();
        let aim = curve
            .aim(&Wanted {
                lab: wanted.lab,
                sd: wanted.sd,
            })
            .unwrap();
        let (low, high) = aim.range_pct[0];
        held += u32::from(low <= right && right <= high);
    }
    assert!((180..=200).contains(&held), "{held} of 200");
}

#[test]
fn grams_follow_from_the_cement() {
    let trials = [0.0, 4.0].map(|d| trial(d, straight(d)));
    let curve = fit(&trials, None).unwrap();
    let wanted = Wanted {
        lab: curve.at(&[3.0]).unwrap().lab,
        sd: SD,
    };
    let aim = curve.aim(&wanted).unwrap();
    // A bag of 30 kg with 14 % cement and 3 % of that: 126 g.
    let grams = amount(&aim, 30.0 * 0.14);
    assert!((grams[0].g - 126.0).abs() < 1.0, "{grams:?}");
    assert!(
        grams[0].low_g < grams[0].g && grams[0].g < grams[0].high_g,
        "{grams:?}"
    );
}

#[test]
fn odd_trials_give_an_answer_and_no_panic() {
    let mut sequence = Sequence::seeded(11);
    for i in 0..60 {
        let mut any = |scale: f64| scale * sequence.normal();
        let trials: Vec<Trial> = (0..2 + i % 7)
            .map(|_| Trial {
                dose_pct: vec![any(30.0).abs().min(100.0); 1 + i % 2],
                lab: Lab::new(any(80.0), any(200.0), any(200.0)),
                sd: [0.0, any(1e-9), any(1e6)],
            })
            .collect();
        let wanted = Wanted {
            lab: Lab::new(any(80.0), any(100.0), any(100.0)),
            sd: [0.0; 3],
        };
        if let Ok(curve) = fit(&trials, Some(any(5.0).abs())) {
            let most = curve.most_pct();
            if let Some(aim) = curve.aim(&wanted) {
                assert!(aim.dose_pct.iter().sum::<f64>() <= most + 1e-6, "{aim:?}");
                assert!(aim.de2000.is_finite(), "{aim:?}");
            }
            if let Some(next) = curve.next(&wanted) {
                assert!(next.dose_pct.iter().sum::<f64>() <= most + 1e-6, "{next:?}");
            }
        }
    }
}
