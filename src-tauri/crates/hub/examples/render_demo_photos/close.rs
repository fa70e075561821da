//! Close-ups for colour: a patch of dry tread with a grey card on it, in open shade.
//!
//! The light is bluish and falls off to one side, the camera a little dark, so that the
//! colour of the pixels is not that of the concrete until the card has been reckoned with.
//! What a step is made of: [`super::scene::tint`].

#![allow(clippy::indexing_slicing)] // vectors of three numbers, indices 0 to 2

use super::scene::{fbm, noise, smooth, tint};

/// Where the card and the concrete beside it lie: column, row and those after the last.
pub const CARD: [u32; 4] = [560, 170, 760, 310];
pub const PATCH: [u32; 4] = [130, 190, 430, 470];

/// One picture.
pub struct Close {
    /// Ochre and umber, per cent of cement.
    pub doses: (f64, f64),
    /// Makes the surface differ from other shots.
    pub seed: u64,
}

pub const WIDTH: u32 = 840;
pub const HEIGHT: u32 = 630;

/// Linear light of a pixel.
pub fn pixel(close: &Close, x: u32, y: u32) -> [f64; 3] {
    let (px, py) = (f64::from(x), f64::from(y));
    let seed = close.seed as f64 * 5.17;
    let [x0, y0, x1, y1] = CARD.map(f64::from);
    let margin = 14.0;
    let on_card = px >= x0 - margin && px < x1 + margin && py >= y0 - margin && py < y1 + margin;
    let surface = if on_card {
        // 18 % in all channels, as grey cards are made (L* 49.5, CIE 15).
        [0.18; 3].map(|c| c * (1.0 + 0.01 * (noise(px * 0.8, py * 0.8) - 0.5)))
    } else {
        concrete(close.doses, px, py, seed)
    };
    // The card's shadow along its lower edge.
    let under = (px > x0 && px < x1 + margin + 8.0).then_some(py - (y1 + margin));
    let shadow = match under {
        Some(d) if !on_card && (0.0..10.0).contains(&d) => 0.55 + 0.045 * d,
        _ => 1.0,
    };
    let fall = 1.015 - 0.03 * px / f64::from(WIDTH);
    let light = [0.90, 0.99, 1.13];
    let grain = 1.0 + 0.02 * (noise(px * 1.7 + seed, py * 1.7) - 0.5);
    [0, 1, 2].map(|i| surface[i] * light[i] * fall * shadow * grain * 0.95)
}

/// The tread close up: paste with fine sand, pores, and streaks of the float.
fn concrete(doses: (f64, f64), x: f64, y: f64, seed: f64) -> [f64; 3] {
    let base = tint(doses.0, doses.1);
    let cloud = fbm(x * 0.006 + seed, y * 0.006, 4) - 0.5;
    let streak = fbm(x * 0.004, y * 0.05 + seed, 3) - 0.5;
    let sand = fbm(x * 0.28, y * 0.28 + seed, 3) - 0.5;
    let pore = smooth(0.93, 0.97, noise(x * 0.16 + seed, y * 0.16));
    let tone = 1.0 + 0.05 * cloud + 0.03 * streak + 0.12 * sand - 0.45 * pore;
    base.map(|c| (c * tone).max(0.0))
}
