//! The paste among everything else that lies in a rectangle.
//!
//! Small things (pores, specks, joints, noise) go first: of each block of pixels the
//! middle half by luminance is averaged. Large things (shadow, stains, the edge of
//! another step) go then: the blocks in the shortest interval of log luminance that holds
//! half of them show the paste, and what lies far from it, in luminance or in hue, is
//! left out. Up to half of the patch may be foreign. Means, not medians, of what is left:
//! a median of whole levels is off by up to half a level, which for b* is 0.5.

use super::picture::{Rect, Region, is_clipped, light_of};
use crate::sequence::Sequence;
use crate::space::{Triple, pairwise};

/// Blocks further from the centre than this many standard deviations are left out.
const FAR: f64 = 2.5;
/// A standard deviation within ±2.5 of a normal distribution is smaller by this factor.
const CUT: f64 = 1.064;
/// Hue is more constant than luminance; a stain shows in it.
const HUE_FAR: f64 = 4.0;
/// Cells in which neighbouring blocks are drawn together, along each side.
pub(super) const CELLS: usize = 6;

/// What the robust search found.
#[derive(Clone, Debug)]
pub(super) struct Core {
    /// Mean linear light of the paste.
    pub rgb: Triple,
    /// Share of blocks left out.
    pub left_out: f64,
    /// Standard deviation of the log luminance of the blocks that were kept.
    pub rough: f64,
    /// Kept blocks by cell.
    pub cells: Vec<Cell>,
}

/// Kept blocks of one cell.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Cell {
    sum: Triple,
    count: f64,
    ln_sum: f64,
    x_sum: f64,
    y_sum: f64,
}

impl Cell {
    /// Mean place and mean log luminance.
    pub(super) fn mean(&self) -> (f64, f64, f64) {
        let n = self.count;
        (self.x_sum / n, self.y_sum / n, self.ln_sum / n)
    }
}

#[derive(Clone, Copy)]
struct Block {
    rgb: Triple,
    x: f64,
    y: f64,
    ln: f64,
}

/// Near enough to luminance in either profile.
fn luminance([r, g, b]: Triple) -> f64 {
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

impl Core {
    /// Searches a region whose light at a place is `light` times that at its reference.
    /// `None` if there is nothing but clipped or black pixels.
    pub(super) fn of(region: &Region<'_>, light: impl Fn(f64, f64) -> Triple) -> Option<Core> {
        let blocks = blocks(region, light);
        let all = blocks.len();
        let kept = hued(bright(blocks));
        let n = kept.len() as f64;
        if kept.is_empty() {
            return None;
        }
        let sum = kept
            .iter()
            .fold([0.0; 3], |s, b| pairwise(s, b.rgb, |s, v| s + v));
        let (_, rough) = mean_sd(kept.iter().map(|b| b.ln));
        Some(Core {
            rgb: sum.map(|s| s / n),
            left_out: 1.0 - n / all as f64,
            rough,
            cells: cells(region.rect, &kept),
        })
    }

    /// The mean of as many cells, drawn with repetition: one draw of a block bootstrap.
    /// Source: Künsch 1989, Annals of Statistics 17, 1217-1241 (for series; here in two
    /// directions, with cells that do not overlap).
    pub(super) fn draw(&self, sequence: &mut Sequence) -> Triple {
        let mut sum = [0.0; 3];
        let mut count = 0.0;
        for _ in 0..self.cells.len() {
            if let Some(cell) = self.cells.get(sequence.below(self.cells.len())) {
                sum = pairwise(sum, cell.sum, |s, v| s + v);
                count += cell.count;
            }
        }
        sum.map(|s| s / count)
    }
}

/// Blocks of the region, each the middle half of its pixels by luminance.
fn blocks(region: &Region<'_>, light: impl Fn(f64, f64) -> Triple) -> Vec<Block> {
    let (w, h) = (region.rect.width() as usize, region.rect.height() as usize);
    let side = (w.min(h) / 12).clamp(1, 8).max(w.max(h) / 160);
    let mut out = Vec::new();
    let mut pixels: Vec<(f64, Triple)> = Vec::new();
    for by in 0..h / side {
        for bx in 0..w / side {
            pixels.clear();
            for y in by * side..(by + 1) * side {
                let row = region
                    .levels
                    .get(y * w + bx * side..y * w + (bx + 1) * side);
                for level in row.unwrap_or(&[]) {
                    if !is_clipped(*level) {
                        let rgb = light_of(*level);
                        pixels.push((luminance(rgb), rgb));
                    }
                }
            }
            if pixels.len() * 2 < side * side {
                continue;
            }
            pixels.sort_unstable_by(|p, q| p.0.total_cmp(&q.0));
            let cut = pixels.len() / 4;
            let middle = pixels.get(cut..pixels.len() - cut).unwrap_or(&pixels);
            let sum = middle
                .iter()
                .fold([0.0; 3], |s, p| pairwise(s, p.1, |s, v| s + v));
            let at = |b: usize, from: u32| f64::from(from) + (b * side) as f64 + side as f64 / 2.0;
            let (x, y) = (at(bx, region.rect.x0), at(by, region.rect.y0));
            let n = middle.len() as f64;
            let rgb = pairwise(sum, light(x, y), |s, l| s / n / l);
            let ln = libm::log(luminance(rgb));
            if ln.is_finite() {
                out.push(Block { rgb, x, y, ln });
            }
        }
    }
    out
}

/// Those whose luminance is that of the paste.
fn bright(mut blocks: Vec<Block>) -> Vec<Block> {
    blocks.sort_unstable_by(|p, q| p.ln.total_cmp(&q.ln));
    let half = blocks.len() / 2 + 1;
    let shortest = blocks.windows(half).min_by(|p, q| {
        let length = |w: &[Block]| match (w.first(), w.last()) {
            (Some(a), Some(b)) => b.ln - a.ln,
            _ => f64::INFINITY,
        };
        length(p).total_cmp(&length(q))
    });
    let Some(shortest) = shortest else {
        return blocks;
    };
    let (mut centre, _) = mean_sd(shortest.iter().map(|b| b.ln));
    let length = match (shortest.first(), shortest.last()) {
        (Some(a), Some(b)) => b.ln - a.ln,
        _ => 0.0,
    };
    // Half of a normal distribution lies within ±0.6745.
    let mut sd = (length / 2.0 / 0.6745).max(LEAST_SD);
    for _ in 0..12 {
        let near = |b: &&Block| (b.ln - centre).abs() < FAR * sd;
        let (mean, spread) = mean_sd(blocks.iter().filter(near).map(|b| b.ln));
        if !mean.is_finite() {
            break;
        }
        let settled = (mean - centre).abs() < 1e-6;
        (centre, sd) = (mean, (spread * CUT).max(LEAST_SD));
        if settled {
            break;
        }
    }
    blocks.retain(|b| (b.ln - centre).abs() < FAR * sd);
    blocks
}

/// Of log luminance, so that a card without any noise is not cut to pieces.
const LEAST_SD: f64 = 0.005;

/// Those whose hue is that of the paste.
fn hued(mut blocks: Vec<Block>) -> Vec<Block> {
    for ratio in [
        (|[r, g, _]: Triple| libm::log(r / g)) as fn(Triple) -> f64,
        |[_, g, b]| libm::log(b / g),
    ] {
        let centre = median(blocks.iter().map(|b| ratio(b.rgb)).collect());
        let off = median(
            blocks
                .iter()
                .map(|b| (ratio(b.rgb) - centre).abs())
                .collect(),
        );
        // 1.4826 makes a standard deviation of a median deviation. A level is about 2 %.
        let most = HUE_FAR * (1.4826 * off).max(0.005);
        if most.is_finite() {
            blocks.retain(|b| (ratio(b.rgb) - centre).abs() < most);
        }
    }
    blocks
}

fn cells(rect: Rect, kept: &[Block]) -> Vec<Cell> {
    let mut cells = vec![Cell::default(); CELLS * CELLS];
    let which = |v: f64, from: u32, size: u32| {
        let share = (v - f64::from(from)) / f64::from(size.max(1));
        ((share * CELLS as f64) as usize).min(CELLS - 1)
    };
    for block in kept {
        let column = which(block.x, rect.x0, rect.width());
        let row = which(block.y, rect.y0, rect.height());
        if let Some(cell) = cells.get_mut(row * CELLS + column) {
            cell.sum = pairwise(cell.sum, block.rgb, |s, v| s + v);
            cell.count += 1.0;
            cell.ln_sum += block.ln;
            cell.x_sum += block.x;
            cell.y_sum += block.y;
        }
    }
    cells.retain(|c| c.count > 0.0);
    cells
}

/// Mean and standard deviation; NaN of nothing.
fn mean_sd(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    let n = values.clone().count() as f64;
    let mean = values.clone().sum::<f64>() / n;
    let square = values.map(|v| (v - mean) * (v - mean)).sum::<f64>() / n;
    (mean, square.sqrt())
}

/// Median; NaN of nothing.
pub(crate) fn median(mut values: Vec<f64>) -> f64 {
    values.sort_unstable_by(f64::total_cmp);
    let n = values.len();
    let low = values.get(n.saturating_sub(1) / 2);
    match (low, values.get(n / 2)) {
        (Some(a), Some(b)) => (a + b) / 2.0,
        _ => f64::NAN,
    }
}
