//! Photos whose colours are known: 12 rendered pictures of cast steps.
//!
//! `data/colour-truth/README.md` says how they were made and what they do not show. Each
//! scene must come out better than the plain pipeline named in `truth.json`, with an
//! uncertainty that holds the truth. The dose of pigment from these measurements is
//! checked here too; the arithmetic of doses is in `tests/reference`.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use serde_json::Value;
use slowstone_colour::measure::{Measured, Rect, Refusal, Warning};
use slowstone_colour::{Lab, de2000};
use slowstone_hub::colour::{CardAt, NoColour, measure_photo};
use std::fs;
use std::path::{Path, PathBuf};

fn data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data/colour-truth")
}

fn scenes() -> Vec<Value> {
    let text = fs::read_to_string(data().join("truth.json")).unwrap();
    let truth: Value = serde_json::from_str(&text).unwrap();
    truth["scenes"].as_array().unwrap().clone()
}

fn lab(v: &Value) -> Lab {
    let n = |i: usize| v[i].as_f64().unwrap();
    Lab::new(n(0), n(1), n(2))
}

fn rect(v: &Value) -> Rect {
    let n = |i: usize| u32::try_from(v[i].as_u64().unwrap()).unwrap();
    Rect {
        x0: n(0),
        y0: n(1),
        x1: n(2),
        y1: n(3),
    }
}

fn cards(scene: &Value) -> Vec<CardAt> {
    let all = scene["references"].as_array().unwrap();
    all.iter()
        .map(|r| CardAt {
            rect: rect(&r["rect"]),
            lab: lab(&r["lab_d65"]),
            sd: None,
        })
        .collect()
}

fn measured(scene: &Value, cards: &[CardAt]) -> Result<Measured, NoColour> {
    let bytes = fs::read(data().join(scene["file"].as_str().unwrap())).unwrap();
    measure_photo(&bytes, rect(&scene["patch_rect"]), cards)
}

/// Largest error of a channel in its standard uncertainties.
fn worst(got: &Measured, truth: Lab) -> f64 {
    let off = got.lab.minus(truth);
    let each = off.iter().zip(got.sd);
    each.map(|(off, sd)| off.abs() / sd).fold(0.0, f64::max)
}

#[test]
fn every_scene_comes_out_better_than_the_plain_pipeline_and_within_its_range() {
    let mut core = Vec::new();
    for scene in scenes() {
        let id = scene["id"].as_str().unwrap();
        let got = measured(&scene, &cards(&scene));
        if scene["cls"] == "clipped-reference" {
            let refused = NoColour::Refused(Refusal::ReferenceClipped);
            assert_eq!(got.unwrap_err(), refused, "{id}");
            continue;
        }
        let (got, truth) = (got.unwrap(), lab(&scene["lab_true"]));
        let error = de2000(got.lab, truth);
        let floor = scene["simple_pipeline"]["dE00"].as_f64().unwrap();
        println!(
            "{id} {error:.3} (plain {floor:.3}) off {:.2?} sd {:.2?} {:?} {:.2?}",
            got.lab.minus(truth),
            got.sd,
            got.warnings,
            got.parts
        );
        assert!(error < floor, "{id}: {error} against {floor}");
        assert!(worst(&got, truth) < 2.5, "{id}: {got:?}");
        if scene["cls"] == "core" {
            core.push(error);
        }
    }
    assert_eq!(core.len(), 8);
    let mean = core.iter().sum::<f64>() / 8.0;
    assert!(mean <= 0.25, "{mean}");
}

#[test]
fn one_card_beside_a_strong_gradient_warns_and_its_range_holds_the_truth() {
    let scenes = scenes();
    let scene = scenes.iter().find(|s| s["cls"] == "falloff").unwrap();
    let truth = lab(&scene["lab_true"]);
    let both = measured(scene, &cards(scene)).unwrap();
    for card in cards(scene) {
        let one = measured(scene, &[card]).unwrap();
        println!("{one:?}");
        assert!(one.warnings.contains(&Warning::LightChanges), "{one:?}");
        assert!(one.sd[0] > both.sd[0], "{one:?}");
        assert!(worst(&one, truth) < 3.0, "{one:?}");
    }
}
