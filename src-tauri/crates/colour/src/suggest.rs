//! Where to measure: flat rectangles in a small picture.
//!
//! Looks for even places that are neither clipped nor dark. Slow changes of light are no
//! texture; edges, pores and grass are. It does not know concrete from a card or a wall:
//! a person chooses among what is suggested.

use crate::measure::Rect;
use serde::Serialize;

/// A small picture in greys, row by row: the luminance as a level, 0 to 255.
#[derive(Clone, Copy, Debug)]
pub struct Greys<'a> {
    /// Columns.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Levels.
    pub levels: &'a [u8],
}

/// A suggested patch.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Flat {
    /// Where, in pixels of the small picture.
    pub rect: Rect,
    /// Mean step from pixel to pixel, levels: the less the flatter.
    pub texture: f64,
}

/// A rectangle with more of its pixels clipped or dark is not suggested.
const SPOILED: f64 = 0.01;
/// Levels that are clipped, and those that are too dark to measure.
const BRIGHT_FROM: u8 = 250;
const DARK_TO: u8 = 25;
/// Mean step from which a place counts as rough: grass, gravel. Our judgement.
const ROUGH: f64 = 12.0;
/// Sides of the rectangles, parts of the shorter side of the picture.
const PARTS: [u32; 3] = [3, 5, 8];

/// Sums from the top left corner to each pixel.
struct Sums {
    width: usize,
    sums: Vec<f64>,
}

impl Sums {
    fn of(greys: &Greys<'_>, value: impl Fn(usize, usize) -> f64) -> Sums {
        let (w, h) = (greys.width as usize, greys.height as usize);
        let width = w + 1;
        let mut sums = vec![0.0; width];
        for y in 0..h {
            let mut along = 0.0;
            sums.push(0.0);
            for x in 0..w {
                along += value(x, y);
                let above = sums.get(y * width + x + 1).copied().unwrap_or(0.0);
                sums.push(above + along);
            }
        }
        Sums { width, sums }
    }

    fn mean(&self, r: Rect) -> f64 {
        let at = |x: u32, y: u32| {
            let i = y as usize * self.width + x as usize;
            self.sums.get(i).copied().unwrap_or(f64::NAN)
        };
        (at(r.x1, r.y1) - at(r.x0, r.y1) - at(r.x1, r.y0) + at(r.x0, r.y0)) / r.pixels() as f64
    }
}

/// Suggests at most `count` rectangles that do not meet each other nor `avoid` (the cards),
/// large and flat ones first. None if the picture has no such place.
#[must_use]
pub fn flat_patches(greys: &Greys<'_>, avoid: &[Rect], count: usize) -> Vec<Flat> {
    let (w, h) = (greys.width, greys.height);
    if w.min(h) < 16 || greys.levels.len() != w as usize * h as usize {
        return Vec::new();
    }
    let level = |x: usize, y: usize| {
        let i = y * w as usize + x;
        greys.levels.get(i).copied().unwrap_or(0)
    };
    let step = |x: usize, y: usize| {
        let here = level(x, y);
        let right = level((x + 1).min(w as usize - 1), y);
        let below = level(x, (y + 1).min(h as usize - 1));
        f64::from(here.abs_diff(right).max(here.abs_diff(below)))
    };
    let texture = Sums::of(greys, step);
    let spoiled = Sums::of(greys, |x, y| {
        let v = level(x, y);
        f64::from(u8::from(v >= BRIGHT_FROM || v <= DARK_TO))
    });

    let mut found: Vec<Flat> = Vec::new();
    for part in PARTS {
        let side = (w.min(h) / part).max(8);
        let mut here: Vec<Flat> = places(w, h, side)
            .filter(|r| spoiled.mean(*r) <= SPOILED && !avoid.iter().any(|a| a.meets(*r)))
            .map(|rect| Flat {
                rect,
                texture: texture.mean(rect),
            })
            .filter(|f| f.texture < ROUGH)
            .filter(|f| borders(f.rect).all(|strip| texture.mean(strip) < ROUGH))
            .collect();
        here.sort_by(|p, q| p.texture.total_cmp(&q.texture));
        for flat in here {
            if found.len() < count && !found.iter().any(|f| f.rect.meets(flat.rect)) {
                found.push(flat);
            }
        }
    }
    found
}

/// A strip along each side, an eighth of it wide: a rectangle that reaches a little over an
/// edge is flat on the whole, but not there.
fn borders(r: Rect) -> impl Iterator<Item = Rect> {
    let wide = ((r.x1 - r.x0) / 8).max(1);
    [
        Rect {
            x1: r.x0 + wide,
            ..r
        },
        Rect {
            x0: r.x1 - wide,
            ..r
        },
        Rect {
            y1: r.y0 + wide,
            ..r
        },
        Rect {
            y0: r.y1 - wide,
            ..r
        },
    ]
    .into_iter()
}

/// Squares of one side, a quarter of it apart.
fn places(w: u32, h: u32, side: u32) -> impl Iterator<Item = Rect> {
    let apart = (side / 4).max(1);
    let along = move |size: u32| (0..=(size - side) / apart).map(move |i| i * apart);
    along(h).flat_map(move |y0| {
        along(w).map(move |x0| Rect {
            x0,
            y0,
            x1: x0 + side,
            y1: y0 + side,
        })
    })
}

#[cfg(test)]
#[allow(clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::sequence::Sequence;

    const SLAB: Rect = Rect {
        x0: 30,
        y0: 20,
        x1: 90,
        y1: 70,
    };

    /// Grass all over, a slab in the middle with a slope of light, a bright sky on top.
    fn scene() -> Vec<u8> {
        let mut sequence = Sequence::seeded(5);
        let mut out = Vec::new();
        for y in 0..90_u32 {
            for x in 0..120_u32 {
                let grass = 60.0 + 30.0 * sequence.normal();
                let slab = 110.0 + f64::from(x) / 2.0 + 2.0 * sequence.normal();
                let here = Rect {
                    x0: x,
                    y0: y,
                    x1: x + 1,
                    y1: y + 1,
                };
                out.push(match (y < 15, here.meets(SLAB)) {
                    (true, _) => 255,
                    (_, true) => slab as u8,
                    _ => grass.clamp(30.0, 200.0) as u8,
                });
            }
        }
        out
    }

    fn greys(levels: &[u8]) -> Greys<'_> {
        Greys {
            width: 120,
            height: 90,
            levels,
        }
    }

    fn inside(r: Rect, of: Rect) -> bool {
        r.x0 >= of.x0 && r.y0 >= of.y0 && r.x1 <= of.x1 && r.y1 <= of.y1
    }

    #[test]
    fn patches_lie_on_the_slab_and_apart() {
        let levels = scene();
        let found = flat_patches(&greys(&levels), &[], 3);
        assert!(!found.is_empty() && found.len() <= 3, "{found:?}");
        for (i, flat) in found.iter().enumerate() {
            assert!(inside(flat.rect, SLAB), "{flat:?}");
            assert!(!found[..i].iter().any(|f| f.rect.meets(flat.rect)));
        }
        assert_eq!(found[0].rect.width(), 30);
    }

    #[test]
    fn cards_are_left_free() {
        let levels = scene();
        let card = Rect {
            x0: 30,
            y0: 20,
            x1: 60,
            y1: 70,
        };
        let found = flat_patches(&greys(&levels), &[card], 3);
        assert!(!found.is_empty());
        assert!(found.iter().all(|f| !f.rect.meets(card)), "{found:?}");
    }

    #[test]
    fn where_nothing_is_flat_nothing_is_suggested() {
        let mut sequence = Sequence::seeded(9);
        let noise: Vec<u8> = (0..120 * 90)
            .map(|_| sequence.below(200) as u8 + 30)
            .collect();
        assert_eq!(flat_patches(&greys(&noise), &[], 3), []);
        assert_eq!(flat_patches(&greys(&[255; 120 * 90]), &[], 3), []);
        assert_eq!(flat_patches(&greys(&[100; 7]), &[], 3), []);
    }
}
