//! Photos whose colours are known: 12 rendered pictures of cast steps.
//!
//! `data/colour-truth/README.md` says how they were made and what they do not show. Each
//! scene must come out better than the plain pipeline named in `truth.json`, with an
//! uncertainty that holds the truth. The dose of pigment from these measurements is
//! checked here too; the arithmetic of doses is in `tests/reference`.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use serde_json::Value;
use slowstone_colour::compare::{Look, between};
use slowstone_colour::dose::{Trial, Wanted, fit};
use slowstone_colour::measure::{Measured, Rect, Refusal, Warning};
use slowstone_colour::{Lab, de2000};
use slowstone_hub::colour::{CardAt, NoColour, measure_photo};
use slowstone_hub::photo::picture::decode;
use std::fs;
use std::io::Cursor;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

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

fn photo(scene: &Value) -> Vec<u8> {
    fs::read(data().join(scene["file"].as_str().unwrap())).unwrap()
}

/// Every scene with what is measured of it by all its cards. Measured only once.
fn all() -> &'static [(Value, Result<Measured, NoColour>)] {
    static ALL: OnceLock<Vec<(Value, Result<Measured, NoColour>)>> = OnceLock::new();
    ALL.get_or_init(|| {
        let each = scenes().into_iter().map(|scene| {
            let patch = rect(&scene["patch_rect"]);
            let got = measure_photo(&photo(&scene), patch, &cards(&scene));
            (scene, got)
        });
        each.collect()
    })
}

/// Largest error of a channel in its standard uncertainties.
fn worst(got: &Measured, truth: Lab) -> f64 {
    let off = got.lab.minus(truth);
    let each = off.iter().zip(got.sd);
    each.map(|(off, sd)| off.abs() / sd).fold(0.0, f64::max)
}

/// Promise: "colours come out within 0.3 units (CIEDE2000, mean of the plain scenes)"
#[test]
fn every_scene_comes_out_better_than_the_plain_pipeline_and_within_its_range() {
    let mut core = Vec::new();
    for (scene, got) in all() {
        let id = scene["id"].as_str().unwrap();
        if scene["cls"] == "clipped-reference" {
            let refused = NoColour::Refused(Refusal::ReferenceClipped);
            assert_eq!(got.as_ref().unwrap_err(), &refused, "{id}");
            continue;
        }
        let (got, truth) = (got.as_ref().unwrap(), lab(&scene["lab_true"]));
        let error = de2000(got.lab, truth);
        let floor = scene["simple_pipeline"]["dE00"].as_f64().unwrap();
        assert!(error < floor, "{id}: {error} against {floor}");
        assert!(worst(got, truth) < 2.5, "{id}: {got:?}");
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
    let (scene, both) = all().iter().find(|s| s.0["cls"] == "falloff").unwrap();
    let (both, truth) = (both.as_ref().unwrap(), lab(&scene["lab_true"]));
    for card in cards(scene) {
        let patch = rect(&scene["patch_rect"]);
        let one = measure_photo(&photo(scene), patch, &[card]).unwrap();
        assert!(one.warnings.contains(&Warning::LightChanges), "{one:?}");
        assert!(one.sd[0] > both.sd[0], "{one:?}");
        assert!(worst(&one, truth) < 3.0, "{one:?}");
    }
}

#[test]
fn the_dose_of_the_target_is_found_from_photos() {
    let mut trials = Vec::new();
    let mut wanted = None;
    for (scene, got) in all() {
        let dry_red = scene["cls"] == "core" && scene["state"] == "dry";
        if !dry_red {
            continue;
        }
        let got = got.as_ref().unwrap();
        let dose = scene["dose_pct_of_cement"]["red"].as_f64().unwrap_or(0.0);
        // Cards differ between these photos, so only the camera is shared.
        let sd = got.parts.own();
        if scene["role"] == "dose-target" {
            wanted = Some((dose, Wanted { lab: got.lab, sd }));
        } else {
            trials.push(Trial {
                dose_pct: vec![dose],
                lab: got.lab,
                sd,
            });
        }
    }
    assert_eq!(trials.len(), 6);
    let (right, wanted) = wanted.unwrap();
    let aim = fit(&trials, None).unwrap().aim(&wanted).unwrap();
    let (low, high) = aim.range_pct[0];
    assert!((aim.dose_pct[0] - right).abs() < 0.2, "{aim:?}");
    assert!(low < right && right < high, "{aim:?}");
}

#[test]
fn photos_tell_the_differences_between_steps() {
    let text = fs::read_to_string(data().join("truth.json")).unwrap();
    let truth: Value = serde_json::from_str(&text).unwrap();
    let mut looks = Vec::new();
    for (scene, got) in all() {
        if let Ok(got) = got {
            looks.push((scene["id"].clone(), Look::measured(got.lab, &got.parts)));
        }
    }
    let (mut held, mut told) = (0, 0);
    for pair in truth["pairs"].as_array().unwrap() {
        let find = |id: &Value| looks.iter().find(|l| l.0 == *id).map(|l| &l.1);
        let (Some(a), Some(b)) = (find(&pair["a"]), find(&pair["b"])) else {
            continue;
        };
        let d = between(a, b);
        let real = pair["dE00"].as_f64().unwrap();
        told += 1;
        held += u32::from(d.low <= real && real <= d.high);
        assert!((d.de2000 - real).abs() < 0.6, "{pair} {d:?}");
    }
    assert_eq!((told, held), (55, 55));
}

/// As a browser has the pixels: in whole levels, which costs some sureness.
#[test]
fn whole_levels_are_good_enough() {
    let mut core = Vec::new();
    for scene in scenes().iter().filter(|s| s["cls"] == "core") {
        let pixels = decode(&photo(scene)).unwrap().upright();
        let mut png = Cursor::new(Vec::new());
        pixels.write_to(&mut png, image::ImageFormat::Png).unwrap();
        let patch = rect(&scene["patch_rect"]);
        let got = measure_photo(&png.into_inner(), patch, &cards(scene)).unwrap();
        let truth = lab(&scene["lab_true"]);
        assert!(worst(&got, truth) < 2.5, "{got:?}");
        core.push(de2000(got.lab, truth));
    }
    let mean = core.iter().sum::<f64>() / core.len() as f64;
    assert!(mean <= 0.35, "{core:?}");
}
