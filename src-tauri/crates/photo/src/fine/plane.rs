//! Samples of one component in a window: where its blocks go, what lies between samples.
//!
//! Components may be stored at half the size of the picture; a pixel then gets what lies
//! between the four samples around it. The transform from coefficients is here too.

use super::window::{Component, Window};

/// One component in a window, in its own samples.
#[derive(Debug)]
pub(super) struct Plane {
    /// First block, across and down.
    first: (usize, usize),
    /// Samples across and down.
    size: (usize, usize),
    /// Samples per pixel, across and down.
    per_pixel: (f32, f32),
    samples: Vec<f32>,
}

impl Plane {
    pub(super) fn new(window: &Window, c: &Component, most: (u8, u8)) -> Option<Plane> {
        let per_pixel = (
            f32::from(c.across) / f32::from(most.0),
            f32::from(c.down) / f32::from(most.1),
        );
        // One sample more on each side, to interpolate.
        let block = |pixel: u32, share: f32, more: f32| {
            ((pixel as f32 * share + more).max(0.0) / 8.0) as usize
        };
        let first = (
            block(window.from.0, per_pixel.0, -1.0),
            block(window.from.1, per_pixel.1, -1.0),
        );
        let last = (
            block(window.to.0, per_pixel.0, 1.0).min(c.blocks.0.checked_sub(1)?),
            block(window.to.1, per_pixel.1, 1.0).min(c.blocks.1.checked_sub(1)?),
        );
        let size = (
            (last.0 + 1).checked_sub(first.0)? * 8,
            (last.1 + 1).checked_sub(first.1)? * 8,
        );
        Some(Plane {
            first,
            size,
            per_pixel,
            samples: vec![0.0; size.0 * size.1],
        })
    }

    /// The value at a pixel, between the four samples around it.
    pub(super) fn at(&self, x: u32, y: u32) -> Option<f32> {
        let place = |pixel: u32, share: f32, first: usize, size: usize| {
            let at = (pixel as f32 + 0.5) * share - 0.5 - (first * 8) as f32;
            let at = at.clamp(0.0, (size - 1) as f32);
            (at as usize, at.fract())
        };
        let (i, u) = place(x, self.per_pixel.0, self.first.0, self.size.0);
        let (j, v) = place(y, self.per_pixel.1, self.first.1, self.size.1);
        let (i1, j1) = ((i + 1).min(self.size.0 - 1), (j + 1).min(self.size.1 - 1));
        let sample = |i: usize, j: usize| self.samples.get(j * self.size.0 + i).copied();
        let upper = sample(i, j)? * (1.0 - u) + sample(i1, j)? * u;
        let lower = sample(i, j1)? * (1.0 - u) + sample(i1, j1)? * u;
        Some(upper * (1.0 - v) + lower * v)
    }

    pub(super) fn holds(&self, at: (usize, usize)) -> bool {
        let inside = |b: usize, first: usize, size: usize| b >= first && b < first + size / 8;
        inside(at.0, self.first.0, self.size.0) && inside(at.1, self.first.1, self.size.1)
    }

    pub(super) fn put(&mut self, at: (usize, usize), block: &[[f32; 8]; 8]) {
        let (left, top) = ((at.0 - self.first.0) * 8, (at.1 - self.first.1) * 8);
        for (row, y) in block.iter().zip(top..) {
            let start = y * self.size.0 + left;
            if let Some(place) = self.samples.get_mut(start..start + 8) {
                place.copy_from_slice(row);
            }
        }
    }
}

/// Inverse cosine transform, exact but for the arithmetic. ITU-T T.81, A.3.3.
pub(super) fn transformed(block: &[[f32; 8]; 8]) -> [[f32; 8]; 8] {
    let once = |rows: &[[f32; 8]; 8]| {
        let mut out = [[0.0; 8]; 8];
        // Transforms the rows and turns the block over its diagonal.
        for (j, row) in rows.iter().enumerate() {
            for (x, line) in out.iter_mut().enumerate() {
                let basis = row.iter().enumerate().map(|(u, c)| {
                    let scale = if u == 0 { 0.125_f32.sqrt() } else { 0.5 };
                    c * scale * cosine((2 * x + 1) * u)
                });
                if let Some(place) = line.get_mut(j) {
                    *place = basis.sum();
                }
            }
        }
        out
    };
    once(&once(block))
}

/// Cosine of sixteenths of half a turn.
fn cosine(sixteenths: usize) -> f32 {
    // cos(k pi / 16) for k = 0 to 8.
    const QUARTER: [f32; 9] = [
        1.0,
        0.980_785_3,
        0.923_879_5,
        0.831_469_6,
        core::f32::consts::FRAC_1_SQRT_2,
        0.555_570_2,
        0.382_683_4,
        0.195_090_3,
        0.0,
    ];
    let k = sixteenths % 32;
    let k = if k > 16 { 32 - k } else { k };
    let (k, sign) = if k > 8 { (16 - k, -1.0) } else { (k, 1.0) };
    sign * QUARTER.get(k).copied().unwrap_or(0.0)
}
