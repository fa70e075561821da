//! Colour spaces: sRGB and Display P3 to linear light, to XYZ, to CIELAB and back.
//!
//! Everywhere the illuminant is D65 and the observer that of 2° (CIE 1931). Linear light
//! and XYZ count white as Y = 1. Values outside 0 to 1 are carried on, not cut: a result
//! outside the gamut is still a result. Differences: see [`crate::difference`].

use serde::{Deserialize, Serialize};

/// Three rows of three.
pub type Matrix = [[f64; 3]; 3];
/// Linear light of the red, green and blue channel, or X, Y and Z.
pub type Triple = [f64; 3];

/// D65 as XYZ with Y = 1, from its chromaticity x 0.3127, y 0.3290 (CIE 15).
pub const D65: Triple = [0.3127 / 0.3290, 1.0, (1.0 - 0.3127 - 0.3290) / 0.3290];

/// Linear sRGB to XYZ. Source: IEC 61966-2-1:1999, as printed.
pub const SRGB_TO_XYZ: Matrix = [
    [0.4124, 0.3576, 0.1805],
    [0.2126, 0.7152, 0.0722],
    [0.0193, 0.1192, 0.9505],
];

/// Linear Display P3 to XYZ: primaries of SMPTE EG 432-1, white D65.
/// Source: W3C CSS Color 4, section on display-p3.
pub const P3_TO_XYZ: Matrix = [
    [0.486_570_95, 0.265_667_69, 0.198_217_29],
    [0.228_974_56, 0.691_738_52, 0.079_286_91],
    [0.0, 0.045_113_38, 1.043_944_37],
];

/// XYZ to the cone-like responses in which the Bradford method adapts.
/// Source: ICC.1:2022, annex E.
pub const BRADFORD: Matrix = [
    [0.8951, 0.2664, -0.1614],
    [-0.7502, 1.7135, 0.0367],
    [0.0389, -0.0685, 1.0296],
];

/// A colour in CIELAB, D65, 2° observer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Lab {
    /// Lightness: 0 black, 100 white.
    pub l: f64,
    /// Green (negative) to red (positive).
    pub a: f64,
    /// Blue (negative) to yellow (positive).
    pub b: f64,
}

impl Lab {
    /// From L*, a*, b* in this order.
    #[must_use]
    pub const fn new(l: f64, a: f64, b: f64) -> Lab {
        Lab { l, a, b }
    }

    /// L*, a*, b* in this order.
    #[must_use]
    pub const fn to_array(self) -> Triple {
        [self.l, self.a, self.b]
    }

    /// From L*, a*, b* in this order.
    #[must_use]
    pub const fn from_array([l, a, b]: Triple) -> Lab {
        Lab { l, a, b }
    }

    /// Chroma: distance from the grey axis.
    #[must_use]
    pub fn chroma(self) -> f64 {
        libm::hypot(self.a, self.b)
    }

    /// Per channel `self - other`.
    #[must_use]
    pub fn minus(self, other: Lab) -> Triple {
        [self.l - other.l, self.a - other.a, self.b - other.b]
    }

    /// Per channel `self + by`.
    #[must_use]
    pub fn plus(self, [l, a, b]: Triple) -> Lab {
        Lab::new(self.l + l, self.a + a, self.b + b)
    }

    /// True if all three are numbers.
    #[must_use]
    pub fn is_finite(self) -> bool {
        self.l.is_finite() && self.a.is_finite() && self.b.is_finite()
    }
}

/// Linear light of one channel of sRGB or Display P3 from its level, 0 to 255.
/// Source: IEC 61966-2-1:1999.
#[must_use]
pub fn linear(level: f64) -> f64 {
    let v = level / 255.0;
    if v <= 0.04045 {
        v / 12.92
    } else {
        libm::pow((v + 0.055) / 1.055, 2.4)
    }
}

/// The level, 0 to 255 and unrounded, of one channel of linear light.
#[must_use]
pub fn level(linear: f64) -> f64 {
    let v = if linear <= 0.003_130_8 {
        linear * 12.92
    } else {
        1.055 * libm::pow(linear, 1.0 / 2.4) - 0.055
    };
    v * 255.0
}

/// `f` of the first with the first, the second with the second, the third with the third.
pub(crate) fn pairwise(
    [a, b, c]: Triple,
    [x, y, z]: Triple,
    f: impl Fn(f64, f64) -> f64,
) -> Triple {
    [f(a, x), f(b, y), f(c, z)]
}

/// Matrix times column.
#[must_use]
pub const fn times(m: &Matrix, v: Triple) -> Triple {
    let [p, q, r] = *m;
    [dot(p, v), dot(q, v), dot(r, v)]
}

const fn dot([a, b, c]: Triple, [x, y, z]: Triple) -> f64 {
    a * x + b * y + c * z
}

/// The inverse of a matrix that has one, as those of this module have.
#[must_use]
pub const fn inverse(m: &Matrix) -> Matrix {
    let [[a, b, c], [d, e, f], [g, h, i]] = *m;
    let det = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
    [
        [
            (e * i - f * h) / det,
            (c * h - b * i) / det,
            (b * f - c * e) / det,
        ],
        [
            (f * g - d * i) / det,
            (a * i - c * g) / det,
            (c * d - a * f) / det,
        ],
        [
            (d * h - e * g) / det,
            (b * g - a * h) / det,
            (a * e - b * d) / det,
        ],
    ]
}

/// (6/29)³: below it the cube root goes over into a straight line (CIE 15:2018, 8.2.1).
const KNEE: f64 = 216.0 / 24389.0;
const SLOPE: f64 = 841.0 / 108.0;

fn root(t: f64) -> f64 {
    if t > KNEE {
        libm::cbrt(t)
    } else {
        SLOPE * t + 4.0 / 29.0
    }
}

fn unroot(f: f64) -> f64 {
    if f > 6.0 / 29.0 {
        f * f * f
    } else {
        (f - 4.0 / 29.0) / SLOPE
    }
}

/// CIELAB from XYZ (white Y = 1). Source: CIE 15:2018, 8.2.1.
#[must_use]
pub fn xyz_to_lab([x, y, z]: Triple) -> Lab {
    let [xn, yn, zn] = D65;
    let (fx, fy, fz) = (root(x / xn), root(y / yn), root(z / zn));
    Lab::new(116.0 * fy - 16.0, 500.0 * (fx - fy), 200.0 * (fy - fz))
}

/// XYZ (white Y = 1) from CIELAB.
#[must_use]
pub fn lab_to_xyz(lab: Lab) -> Triple {
    let fy = (lab.l + 16.0) / 116.0;
    let [xn, yn, zn] = D65;
    [
        xn * unroot(fy + lab.a / 500.0),
        yn * unroot(fy),
        zn * unroot(fy - lab.b / 200.0),
    ]
}

/// CIELAB of an sRGB colour with levels 0 to 255.
#[must_use]
pub fn srgb_to_lab([r, g, b]: Triple) -> Lab {
    xyz_to_lab(times(&SRGB_TO_XYZ, [linear(r), linear(g), linear(b)]))
}

/// sRGB levels, 0 to 255 and unrounded, of a colour; for a swatch on a screen cut what
/// lies outside.
#[must_use]
pub fn lab_to_srgb(lab: Lab) -> Triple {
    const BACK: Matrix = inverse(&SRGB_TO_XYZ);
    let [r, g, b] = times(&BACK, lab_to_xyz(lab));
    [level(r), level(g), level(b)]
}

/// XYZ as it would look under another white, by the Bradford method.
/// Source: ICC.1:2022, annex E.
#[must_use]
pub fn adapt(xyz: Triple, from_white: Triple, to_white: Triple) -> Triple {
    const BACK: Matrix = inverse(&BRADFORD);
    let [r, g, b] = times(&BRADFORD, xyz);
    let [r0, g0, b0] = times(&BRADFORD, from_white);
    let [r1, g1, b1] = times(&BRADFORD, to_white);
    times(&BACK, [r * r1 / r0, g * g1 / g0, b * b1 / b0])
}

#[cfg(test)]
#[allow(clippy::indexing_slicing)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back_is_the_same() {
        for rgb in [
            [0.0, 0.0, 0.0],
            [3.0, 1.0, 2.0],
            [200.0, 120.0, 90.0],
            [255.0, 255.0, 255.0],
        ] {
            let back = lab_to_srgb(srgb_to_lab(rgb));
            for i in 0..3 {
                assert!((back[i] - rgb[i]).abs() < 1e-4, "{rgb:?} {back:?}");
            }
        }
    }

    #[test]
    fn a_matrix_undoes_its_inverse() {
        for m in [SRGB_TO_XYZ, P3_TO_XYZ, BRADFORD] {
            for (i, axis) in [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]
                .into_iter()
                .enumerate()
            {
                let back = times(&m, times(&inverse(&m), axis));
                for (j, x) in back.iter().enumerate() {
                    assert!((x - f64::from(u8::from(i == j))).abs() < 1e-12, "{back:?}");
                }
            }
        }
    }

    #[test]
    fn adapting_a_white_gives_the_other_white() {
        let a = [1.0985, 1.0, 0.3558];
        let seen = adapt(a, a, D65);
        for i in 0..3 {
            assert!((seen[i] - D65[i]).abs() < 1e-12, "{seen:?}");
        }
    }
}
