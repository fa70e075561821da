//! Rendered patches whose truth is known; photos are measured in `tests/hub`.
#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use super::light::reflectance;
use super::*;
use crate::difference::de2000;
use crate::profile::Profile;
use crate::sequence::Sequence;
use crate::space::level;
use crate::space::linear;

const GREY: Lab = Lab::new(49.5, 0.0, 0.0);
const RED: Lab = Lab::new(52.0, 17.0, 11.0);
const PICTURE: Picture = Picture {
    width: 800,
    height: 600,
    profile: Profile::Srgb,
    depth: Depth::Whole,
};

const PATCH: Rect = Rect {
    x0: 300,
    y0: 220,
    x1: 460,
    y1: 380,
};
const LEFT: Rect = Rect {
    x0: 150,
    y0: 260,
    x1: 210,
    y1: 320,
};
const RIGHT: Rect = Rect {
    x0: 590,
    y0: 260,
    x1: 650,
    y1: 320,
};

/// Levels of an even surface, as a camera with the lens's usual falloff stores them.
fn shot(
    profile: Profile,
    rect: Rect,
    lab: Lab,
    light: impl Fn(f64, f64) -> Triple,
) -> Vec<[f32; 3]> {
    let is = reflectance(profile, lab);
    let mut sequence = Sequence::seeded(u64::from(rect.x0));
    let mut out = Vec::new();
    for y in rect.y0..rect.y1 {
        for x in rect.x0..rect.x1 {
            let (x, y) = (f64::from(x) + 0.5, f64::from(y) + 0.5);
            let fall = light::falloff(&PICTURE, x, y);
            let grain = libm::exp(0.03 * sequence.normal()) * fall;
            let rgb = pairwise(is, light(x, y), |r, l| r * l * grain);
            out.push(rgb.map(|v| level(v).round().clamp(0.0, 255.0) as f32));
        }
    }
    out
}

fn region(rect: Rect, levels: &[[f32; 3]]) -> Region<'_> {
    Region { rect, levels }
}

fn card(rect: Rect, levels: &[[f32; 3]], lab: Lab) -> Reference<'_> {
    Reference {
        region: region(rect, levels),
        lab,
        sd: None,
    }
}

fn even(_: f64, _: f64) -> Triple {
    [1.1, 0.95, 0.8]
}

#[test]
fn a_cast_is_taken_out() {
    let (patch, left) = (
        shot(Profile::Srgb, PATCH, RED, even),
        shot(Profile::Srgb, LEFT, GREY, even),
    );
    let got = measure(&PICTURE, &region(PATCH, &patch), &[card(LEFT, &left, GREY)]).unwrap();
    assert!(de2000(got.lab, RED) < 0.35, "{got:?}");
    assert_eq!(got.warnings, []);
    assert!((got.cast[0] - 1.1 / 0.95).abs() < 0.01, "{:?}", got.cast);
}

#[test]
fn display_p3_is_not_srgb() {
    let light = |_, _| [0.9, 0.9, 0.9];
    let patch = shot(Profile::DisplayP3, PATCH, RED, light);
    let left = shot(Profile::DisplayP3, LEFT, GREY, light);
    let as_profile = |profile| {
        let picture = Picture { profile, ..PICTURE };
        measure(&picture, &region(PATCH, &patch), &[card(LEFT, &left, GREY)])
            .unwrap()
            .lab
    };
    assert!(de2000(as_profile(Profile::DisplayP3), RED) < 0.3);
    assert!(de2000(as_profile(Profile::Srgb), RED) > 2.0);
}

/// Promise: "Stains, pores and shadow inside the rectangle are left out by themselves."
#[test]
fn shadow_and_stain_are_left_out() {
    // A third of the patch in shadow, a twentieth under a whitish bloom.
    let light = |x: f64, y: f64| {
        if x < 353.0 {
            [0.5, 0.45, 0.42]
        } else if y < 232.0 {
            [1.5, 1.6, 1.5]
        } else {
            even(x, y)
        }
    };
    let patch = shot(Profile::Srgb, PATCH, RED, light);
    let left = shot(Profile::Srgb, LEFT, GREY, even);
    let got = measure(&PICTURE, &region(PATCH, &patch), &[card(LEFT, &left, GREY)]).unwrap();
    assert!(de2000(got.lab, RED) < 0.35, "{got:?}");
    assert!((0.3..0.45).contains(&got.left_out_share), "{got:?}");
    assert_eq!(got.warnings, [Warning::PatchUneven]);
}

#[test]
fn two_cards_follow_the_light() {
    let slope = |x: f64, y: f64| even(x, y).map(|v| v * libm::exp((x - 400.0) * 0.001));
    let patch = shot(Profile::Srgb, PATCH, RED, slope);
    let (left, right) = (
        shot(Profile::Srgb, LEFT, GREY, slope),
        shot(Profile::Srgb, RIGHT, GREY, slope),
    );
    let both = [card(LEFT, &left, GREY), card(RIGHT, &right, GREY)];
    let got = measure(&PICTURE, &region(PATCH, &patch), &both).unwrap();
    assert!(de2000(got.lab, RED) < 0.35, "{got:?}");
    // One card cannot know, but it says so, and its range still holds the truth.
    let one = measure(&PICTURE, &region(PATCH, &patch), &both[..1]).unwrap();
    assert!(one.warnings.contains(&Warning::LightChanges), "{one:?}");
    assert!(one.sd[0] > got.sd[0] * 1.5, "{one:?} {got:?}");
    assert!((one.lab.l - RED.l).abs() < 3.0 * one.sd[0], "{one:?}");
}

#[test]
fn two_cards_of_different_grey_undo_a_tone_curve() {
    // The camera raises contrast: a power of 1.25.
    let bend = |levels: Vec<[f32; 3]>| -> Vec<[f32; 3]> {
        let bent = |v: f32| level(libm::pow(linear(f64::from(v)), 1.25) * 1.3).round() as f32;
        levels.into_iter().map(|l| l.map(bent)).collect()
    };
    let near = Rect {
        x0: 150,
        y0: 330,
        x1: 210,
        y1: 390,
    };
    let white = Lab::new(80.5, 0.0, 0.0);
    let patch = bend(shot(Profile::Srgb, PATCH, RED, even));
    let (dark, light) = (
        bend(shot(Profile::Srgb, LEFT, GREY, even)),
        bend(shot(Profile::Srgb, near, white, even)),
    );
    let both = [card(LEFT, &dark, GREY), card(near, &light, white)];
    let got = measure(&PICTURE, &region(PATCH, &patch), &both).unwrap();
    let one = measure(&PICTURE, &region(PATCH, &patch), &both[1..]).unwrap();
    assert!(de2000(got.lab, RED) < 0.6, "{got:?}");
    assert!(de2000(one.lab, RED) > 3.0, "{one:?}");
}

#[test]
fn what_cannot_be_measured_is_refused() {
    let patch = shot(Profile::Srgb, PATCH, RED, even);
    let left = shot(Profile::Srgb, LEFT, GREY, even);
    let refused = |light: f64, lab: Lab| {
        let seen = shot(Profile::Srgb, LEFT, GREY, |_, _| [light; 3]);
        measure(&PICTURE, &region(PATCH, &patch), &[card(LEFT, &seen, lab)]).unwrap_err()
    };
    assert_eq!(refused(6.0, GREY), Refusal::ReferenceClipped);
    assert_eq!(refused(0.005, GREY), Refusal::ReferenceDark);
    assert_eq!(
        refused(1.0, Lab::new(1.0, 0.0, 0.0)),
        Refusal::ReferenceColour
    );
    assert_eq!(
        refused(1.0, Lab::new(f64::NAN, 0.0, 0.0)),
        Refusal::ReferenceColour
    );
    let none = measure(&PICTURE, &region(PATCH, &patch), &[]);
    assert_eq!(none.unwrap_err(), Refusal::NotOneOrTwoReferences);
    let bright = shot(Profile::Srgb, PATCH, RED, |_, _| [9.0; 3]);
    let cards = [card(LEFT, &left, GREY)];
    let clipped = measure(&PICTURE, &region(PATCH, &bright), &cards);
    assert_eq!(clipped.unwrap_err(), Refusal::PatchClipped);
    let few = measure(&PICTURE, &region(PATCH, &patch[..99]), &cards);
    assert_eq!(few.unwrap_err(), Refusal::PatchTooSmall);
}

#[test]
fn hostile_levels_give_an_answer_and_no_panic() {
    let left = shot(Profile::Srgb, LEFT, GREY, even);
    for value in [f32::NAN, f32::INFINITY, -1.0, 0.0, 1e30] {
        let patch = vec![[value; 3]; PATCH.pixels()];
        let got = measure(&PICTURE, &region(PATCH, &patch), &[card(LEFT, &left, GREY)]);
        assert!(got.is_err(), "{value} {got:?}");
    }
}
