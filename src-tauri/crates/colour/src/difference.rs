//! Colour difference: CIE76 and CIEDE2000.
//!
//! About 1 is the least that an attentive person sees between smooth areas that touch;
//! what a difference means for concrete steps is said by [`crate::compare`].

use crate::space::Lab;
use core::f64::consts::PI;

/// Distance in CIELAB. Source: CIE 15:2018, 8.2.1.3.
#[must_use]
pub fn de76(p: Lab, q: Lab) -> f64 {
    let [l, a, b] = p.minus(q);
    libm::sqrt(l * l + a * a + b * b)
}

/// CIEDE2000 with all parametric factors 1; the order of the two does not matter.
///
/// ```
/// use slowstone_colour::{Lab, de2000};
/// // The first pair of the test data of Sharma, Wu and Dalal 2005.
/// let apart = de2000(Lab::new(50.0, 2.6772, -79.7751), Lab::new(50.0, 0.0, -82.7485));
/// assert!((apart - 2.0425).abs() < 1e-4);
/// ```
///
/// Source: ISO/CIE 11664-6:2014, in the form of Sharma, Wu and Dalal 2005 (Color Research
/// and Application 30, 21-30).
#[must_use]
pub fn de2000(p: Lab, q: Lab) -> f64 {
    // a* of greys is stretched.
    let mean_c7 = pow7((p.chroma() + q.chroma()) / 2.0);
    let stretch = 1.0 + 0.5 * (1.0 - libm::sqrt(mean_c7 / (mean_c7 + POW7_25)));
    let (a1, a2) = (p.a * stretch, q.a * stretch);
    let (c1, c2) = (libm::hypot(a1, p.b), libm::hypot(a2, q.b));
    let (h1, h2) = (hue(a1, p.b), hue(a2, q.b));
    let grey = c1 * c2 == 0.0;

    let turn = match h2 - h1 {
        _ if grey => 0.0,
        d if d > PI => d - 2.0 * PI,
        d if d < -PI => d + 2.0 * PI,
        d => d,
    };
    let dl = q.l - p.l;
    let dc = c2 - c1;
    let dh = 2.0 * libm::sqrt(c1 * c2) * libm::sin(turn / 2.0);

    let l = (p.l + q.l) / 2.0;
    let c = (c1 + c2) / 2.0;
    let h = match h1 + h2 {
        sum if grey => sum,
        sum if (h1 - h2).abs() <= PI => sum / 2.0,
        sum if sum < 2.0 * PI => sum / 2.0 + PI,
        sum => sum / 2.0 - PI,
    };
    let t = 1.0 - 0.17 * libm::cos(h - rad(30.0))
        + 0.24 * libm::cos(2.0 * h)
        + 0.32 * libm::cos(3.0 * h + rad(6.0))
        - 0.20 * libm::cos(4.0 * h - rad(63.0));
    let from_blue = (h - rad(275.0)) / rad(25.0);
    let bend = rad(30.0) * libm::exp(-from_blue * from_blue);
    let c7 = pow7(c);
    let rotate = -2.0 * libm::sqrt(c7 / (c7 + POW7_25)) * libm::sin(2.0 * bend);

    let l50 = (l - 50.0) * (l - 50.0);
    let sl = 1.0 + 0.015 * l50 / libm::sqrt(20.0 + l50);
    let sc = 1.0 + 0.045 * c;
    let sh = 1.0 + 0.015 * c * t;
    let (dl, dc, dh) = (dl / sl, dc / sc, dh / sh);
    let square = dl * dl + dc * dc + dh * dh + rotate * dc * dh;
    libm::sqrt(square.max(0.0))
}

/// 25 to the power of 7.
const POW7_25: f64 = 6_103_515_625.0;

fn pow7(x: f64) -> f64 {
    let x3 = x * x * x;
    x3 * x3 * x
}

const fn rad(degrees: f64) -> f64 {
    degrees * PI / 180.0
}

/// Hue angle, 0 to 2π; 0 for grey.
fn hue(a: f64, b: f64) -> f64 {
    if a == 0.0 && b == 0.0 {
        return 0.0;
    }
    let h = libm::atan2(b, a);
    if h < 0.0 { h + 2.0 * PI } else { h }
}
