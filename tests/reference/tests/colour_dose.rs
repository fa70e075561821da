//! Dose curves against the truth of the rendered photos: `tests/hub/data/colour-truth`.
//!
//! The truth was mixed by single-constant Kubelka-Munk at 31 wavelengths, linear to 5.5 %
//! and then a plateau. So this shows that the arithmetic is right, in three channels
//! instead of 31; it does not show that concrete behaves so.

use serde_json::Value;
use slowstone_colour::compare::{self, Look};
use slowstone_colour::dose::{CAP_PCT, Reach, Shape, Trial, Wanted, fit};
use slowstone_colour::{Lab, de2000};

fn truth() -> Value {
    let text = include_str!("../../hub/data/colour-truth/truth.json");
    serde_json::from_str(text).unwrap()
}

fn lab(v: &Value) -> Lab {
    let n = |i: usize| v[i].as_f64().unwrap();
    Lab::new(n(0), n(1), n(2))
}

/// Points of the dose curve: dose and colour.
fn curve() -> Vec<(f64, Lab)> {
    let truth = truth();
    let points = truth["dose_curve"]["points"].as_array().unwrap();
    assert_eq!(points.len(), 16);
    points
        .iter()
        .map(|p| (p["dose"].as_f64().unwrap(), lab(&p["lab"])))
        .collect()
}

fn trials(points: &[(f64, Lab)], doses: &[f64]) -> Vec<Trial> {
    let chosen = points.iter().filter(|(d, _)| doses.contains(d));
    chosen
        .map(|(dose, lab)| Trial {
            dose_pct: vec![*dose],
            lab: *lab,
            sd: [0.3; 3],
        })
        .collect()
}

fn scene(id: &str) -> Value {
    let truth = truth();
    let scenes = truth["scenes"].as_array().unwrap();
    scenes.iter().find(|s| s["id"] == id).unwrap().clone()
}

#[test]
fn six_doses_foretell_those_between_them() {
    let points = curve();
    let fitted = fit(&trials(&points, &[0.0, 1.0, 2.0, 3.0, 4.0, 5.0]), None).unwrap();
    assert_eq!(fitted.shape(), Shape::KubelkaMunk, "{:?}", fitted.tried);
    assert!(fitted.left_out.unwrap() < 0.6, "{:?}", fitted.tried);
    for (dose, lab) in points.iter().filter(|p| p.0 <= 5.0) {
        let got = fitted.at(&[*dose]).unwrap();
        // Three channels for 31 wavelengths: less than what can be seen.
        assert!(de2000(got.lab, *lab) < 0.7, "{dose}: {got:?} {lab:?}");
    }
    assert_eq!(fitted.at(&[5.5]), None);
}

#[test]
fn the_plateau_is_found() {
    let points = curve();
    let doses = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0];
    let fitted = fit(&trials(&points, &doses), None).unwrap();
    assert_eq!(
        fitted.shape(),
        Shape::KubelkaMunkPlateau,
        "{:?}",
        fitted.tried
    );
    for (dose, lab) in &points {
        let got = fitted.at(&[*dose]).unwrap();
        assert!(de2000(got.lab, *lab) < 0.9, "{dose}: {got:?} {lab:?}");
    }
    assert_eq!(fitted.limits_pct(), [(0.0, CAP_PCT)]);
}

#[test]
fn the_dose_of_the_target_is_found() {
    let points = curve();
    let target = scene("OT-07");
    let right = target["dose_pct_of_cement"]["red"].as_f64().unwrap();
    let wanted = Wanted {
        lab: lab(&target["lab_true"]),
        sd: [0.3; 3],
    };
    for doses in [
        &[0.0, 1.0, 2.0, 3.0, 4.0, 5.0][..],
        &[0.0, 2.0, 4.0],
        &[1.0, 3.0, 5.0],
    ] {
        let fitted = fit(&trials(&points, doses), None).unwrap();
        let aim = fitted.aim(&wanted).unwrap();
        let (low, high) = aim.range_pct[0];
        assert!((aim.dose_pct[0] - right).abs() < 0.15, "{doses:?} {aim:?}");
        assert!(low < right && right < high, "{doses:?} {aim:?}");
        assert_eq!(aim.reach, Reach::Within);
    }
}

#[test]
fn two_pigments_add_up() {
    // Yellow alone at 3 %, and the red series without yellow; the mixture is foretold.
    let mut both: Vec<Trial> = trials(&curve(), &[0.0, 1.0, 2.0, 3.0]);
    for trial in &mut both {
        trial.dose_pct.push(0.0);
    }
    both.push(Trial {
        dose_pct: vec![0.0, 3.0],
        lab: lab(&scene("OT-09")["lab_true"]),
        sd: [0.3; 3],
    });
    let mixed = scene("OT-10");
    let truth = lab(&mixed["lab_true"]);
    let fitted = fit(&both, None).unwrap();
    let got = fitted.at(&[0.5, 1.5]).unwrap();
    assert!(de2000(got.lab, truth) < 1.2, "{got:?} {truth:?}");
    let aim = fitted
        .aim(&Wanted {
            lab: truth,
            sd: [0.3; 3],
        })
        .unwrap();
    assert!((aim.dose_pct[0] - 0.5).abs() < 0.2, "{aim:?}");
    assert!((aim.dose_pct[1] - 1.5).abs() < 0.4, "{aim:?}");
    assert!(
        fitted
            .next(&Wanted {
                lab: truth,
                sd: [0.3; 3]
            })
            .is_some()
    );
}

#[test]
fn every_pair_of_scenes_differs_as_stated() {
    let truth = truth();
    let pairs = truth["pairs"].as_array().unwrap();
    assert_eq!(pairs.len(), 66);
    let look = |id: &Value| Look {
        lab: lab(&scene(id.as_str().unwrap())["lab_true"]),
        own_sd: [0.1; 3],
        shared_sd: [0.0; 3],
        state: None,
        age_d: None,
        by: None,
    };
    for pair in pairs {
        let d = compare::between(&look(&pair["a"]), &look(&pair["b"]));
        let n = |field: &str| pair[field].as_f64().unwrap();
        // Colours and differences are rounded to 0.001.
        assert!((d.de2000 - n("dE00")).abs() < 0.003, "{pair} {d:?}");
        assert!((d.de76 - n("dE76")).abs() < 0.003, "{pair} {d:?}");
        assert!((d.delta[0] - n("dL")).abs() < 0.002, "{pair} {d:?}");
        assert!(d.low <= d.de2000 && d.de2000 <= d.high, "{d:?}");
    }
}
