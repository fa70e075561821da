//! Colour spaces and differences against values from outside.
//!
//! `ciede2000-sharma.csv`: the 34 pairs of Sharma, Wu and Dalal 2005 (Color Research and
//! Application 30, 21-30). `srgb-lab.csv`, `srgb-delta-e.csv`, `colorchecker24-lab.csv`:
//! computed with PyPI colour-science 0.4.7. The dose curve is checked in
//! `colour_dose.rs`, the measurement of photos in `tests/hub`.

use slowstone_colour::space::{D65, Lab, P3_TO_XYZ, Triple};
use slowstone_colour::{de76, de2000, space};

/// The numbers of each row after the first; what is no number is NaN.
pub fn rows(text: &str) -> Vec<Vec<f64>> {
    let lines = text.lines().skip(1);
    lines
        .map(|l| {
            l.split(',')
                .map(|v| v.parse().unwrap_or(f64::NAN))
                .collect()
        })
        .collect()
}

fn lab(v: &[f64]) -> Lab {
    Lab::new(v[0], v[1], v[2])
}

fn near(got: Triple, want: &[f64], within: f64) -> bool {
    got.iter().zip(want).all(|(g, w)| (g - w).abs() <= within)
}

#[test]
fn ciede2000_agrees_with_the_34_published_pairs() {
    let rows = rows(include_str!("../data/ciede2000-sharma.csv"));
    assert_eq!(rows.len(), 34);
    for r in rows {
        let (p, q) = (lab(&r[1..4]), lab(&r[4..7]));
        for (p, q) in [(p, q), (q, p)] {
            assert!((de2000(p, q) - r[7]).abs() <= 1e-4, "{r:?}");
            assert!((de2000(p, q) - r[8]).abs() <= 1e-6, "{r:?}");
            assert!((de76(p, q) - r[9]).abs() <= 1e-6, "{r:?}");
        }
    }
}

#[test]
fn srgb_agrees_with_colour_science() {
    let rows = rows(include_str!("../data/srgb-lab.csv"));
    assert!(rows.len() > 10);
    for r in rows {
        let got = space::srgb_to_lab([r[0], r[1], r[2]]);
        assert!(near(got.to_array(), &r[6..9], 1e-5), "{r:?} {got:?}");
        assert!(
            near(space::lab_to_xyz(got), &r[3..6], 1e-7),
            "{r:?} {got:?}"
        );
    }
}

#[test]
fn differences_of_srgb_colours_agree_with_colour_science() {
    let rows = rows(include_str!("../data/srgb-delta-e.csv"));
    assert!(rows.len() > 100);
    for r in rows {
        let p = space::srgb_to_lab([r[0], r[1], r[2]]);
        let q = space::srgb_to_lab([r[3], r[4], r[5]]);
        assert!((de2000(p, q) - r[6]).abs() < 1e-4, "{r:?} {}", de2000(p, q));
        assert!((de76(p, q) - r[7]).abs() < 1e-4, "{r:?} {}", de76(p, q));
    }
}

#[test]
fn bradford_and_srgb_agree_on_the_colorchecker() {
    let rows = rows(include_str!("../data/colorchecker24-lab.csv"));
    assert_eq!(rows.len(), 48);
    // ICC.1:2022, 7.2.16.
    let d50 = [0.9642, 1.0, 0.8249];
    for r in rows {
        let (x, y, lum) = (r[4], r[5], r[6]);
        let xyz = [x * lum / y, lum, (1.0 - x - y) * lum / y];
        let got = space::xyz_to_lab(space::adapt(xyz, d50, D65));
        // Columns are rounded to 0.01.
        assert!(near(got.to_array(), &r[10..13], 0.02), "{r:?} {got:?}");
        if r[16] == 1.0 {
            // Levels are whole numbers.
            let levels = space::lab_to_srgb(got);
            assert!(near(levels, &r[13..16], 0.6), "{r:?} {levels:?}");
        }
    }
}

#[test]
fn display_p3_agrees_with_colour_science() {
    // Red, green, blue level; L*, a*, b*. Computed with PyPI colour-science 0.4.7.
    for r in [
        [255.0, 255.0, 255.0, 100.000000, 0.000000, 0.000000],
        [255.0, 0.0, 0.0, 54.966557, 94.092546, 94.769926],
        [0.0, 255.0, 0.0, 86.590066, -115.280492, 107.678034],
        [0.0, 0.0, 255.0, 33.833933, 81.708912, -111.278776],
        [176.0, 120.0, 96.0, 55.948078, 24.279488, 25.425808],
        [118.0, 117.0, 116.0, 49.299213, 0.266924, 0.762500],
        [64.0, 80.0, 40.0, 31.558144, -17.066109, 24.578053],
        [12.0, 30.0, 200.0, 28.278665, 59.785578, -87.937031],
    ] {
        let light = [r[0], r[1], r[2]].map(space::linear);
        let got = space::xyz_to_lab(space::times(&P3_TO_XYZ, light));
        assert!(near(got.to_array(), &r[3..6], 2e-3), "{r:?} {got:?}");
    }
}
