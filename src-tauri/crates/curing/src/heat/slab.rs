//! One column of concrete (and what lies under it), solved for heat: finite volumes in
//! depth, a two-stage implicit step in time.
//!
//! Energy is conserved to rounding: what a cell gains is what flowed in and what the
//! cement gave off. The step (Alexander 1977, SDIRK of order 2, L-stable) is stable for
//! any length. Ground truth: `tests/reference/tests/thermal.rs`. What the boundary is
//! made of is in [`super::surface`], how cement heats in [`super::hydration`].

use super::drive::{Around, Ends, series};
pub use super::drive::{Drive, Flows, Sides, Underside};

/// How fast and how far something hydrates.
pub trait Reaction {
    /// Equivalent hours per hour at a temperature in °C.
    fn rate(&self, temp_c: f64) -> f64;
    /// Degree of hydration, 0 to 1, at an equivalent age in hours.
    fn alpha(&self, age_h: f64) -> f64;
}

/// A layer of one material, from the top down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// Thickness, m.
    pub thickness_m: f64,
    /// Conductivity, W/(m K).
    pub k_w_mk: f64,
    /// Heat capacity by volume, J/(m³ K).
    pub capacity_j_m3k: f64,
    /// Heat of hydration by volume at degree 1, J/m³; 0 for what is inert.
    pub heat_j_m3: f64,
    /// Temperature at the start, °C.
    pub temp_c: f64,
    /// Equivalent age at the start, h.
    pub age_h: f64,
    /// Number of cells.
    pub cells: usize,
    /// Each cell is this many times as thick as the one above it.
    pub growth: f64,
}

/// First stage of the step, as a share of it: 1 - 1/√2.
const GAMMA: f64 = 1.0 - core::f64::consts::FRAC_1_SQRT_2;
/// Temperatures that a rate may be asked for, °C.
const SENSIBLE: (f64, f64) = (-60.0, 110.0);

#[derive(Clone, Debug, Default)]
struct Cell {
    /// °C.
    temp: f64,
    /// Equivalent age, h.
    age: f64,
    /// Degree of hydration.
    alpha: f64,
    /// Change of temperature in the last step, K/s.
    slope: f64,
    /// Heat capacity, J/(m² K).
    capacity: f64,
    /// Heat at full hydration, J/m².
    heat: f64,
    /// From its middle to a face, W/(m² K).
    half: f64,
    /// From its middle to that of the next one, W/(m² K).
    link: f64,
    /// Heat that it gives off in this step, W/m².
    source: f64,
    /// One over the pivot, and what stands above the diagonal, of the factored matrix.
    diagonal_inv: f64,
    upper: f64,
    /// What a stage starts from, and what it comes to, °C.
    base: f64,
    solved: f64,
    /// Thickness, m, and its share of the sides: area of side to that of plan.
    height: f64,
    face: f64,
}

/// The column itself.
#[derive(Clone, Debug)]
pub struct Slab {
    cells: Vec<Cell>,
}

impl Slab {
    /// A column of layers, top first.
    #[must_use]
    pub fn new(layers: &[Layer], reaction: &impl Reaction) -> Slab {
        let mut cells: Vec<Cell> = Vec::new();
        for l in layers {
            let n = l.cells.clamp(1, 10_000);
            let total: f64 = (0..n)
                .scan(1.0, |w, _| {
                    let now = *w;
                    *w *= l.growth;
                    Some(now)
                })
                .sum();
            let mut dx = l.thickness_m / total;
            for _ in 0..n {
                cells.push(Cell {
                    temp: l.temp_c,
                    age: l.age_h,
                    alpha: reaction.alpha(l.age_h),
                    capacity: l.capacity_j_m3k * dx,
                    heat: l.heat_j_m3 * dx,
                    half: 2.0 * l.k_w_mk / dx,
                    height: dx,
                    ..Cell::default()
                });
                dx *= l.growth;
            }
        }
        let below: Vec<f64> = cells.iter().skip(1).map(|c| c.half).collect();
        for (c, next) in cells.iter_mut().zip(below) {
            c.link = series(c.half, next);
        }
        Slab { cells }
    }

    /// Temperatures of the cells, °C, top first.
    pub fn temps(&self) -> impl Iterator<Item = f64> + '_ {
        self.cells.iter().map(|c| c.temp)
    }

    /// Equivalent ages of the cells, h, top first.
    pub fn ages(&self) -> impl Iterator<Item = f64> + '_ {
        self.cells.iter().map(|c| c.age)
    }

    /// Degrees of hydration of the cells, top first.
    pub fn alphas(&self) -> impl Iterator<Item = f64> + '_ {
        self.cells.iter().map(|c| c.alpha)
    }

    /// From the middle of a cell, counted from 0 at the top, to each of its faces,
    /// W/(m² K); 0 where there is no such cell.
    #[must_use]
    pub fn half_w_m2k(&self, cell: usize) -> f64 {
        self.cells.get(cell).map_or(0.0, |c| c.half)
    }

    /// Heat held above 0 °C, J/m².
    #[must_use]
    pub fn heat_held(&self) -> f64 {
        self.cells.iter().map(|c| c.capacity * c.temp).sum()
    }

    /// Temperature of the top surface, °C, which has no thickness of its own.
    #[must_use]
    pub fn top_c(&self, h_top: f64, air_c: f64, sun_w_m2: f64) -> f64 {
        self.cells.first().map_or(air_c, |c| {
            (c.half * c.temp + h_top * air_c + sun_w_m2) / (c.half + h_top)
        })
    }

    /// Temperature between cell `above` and the next one, or of the underside below the
    /// last one, °C.
    #[must_use]
    pub fn between_c(&self, above: usize, under: Underside) -> f64 {
        let Some(a) = self.cells.get(above) else {
            return f64::NAN;
        };
        match (self.cells.get(above.saturating_add(1)), under) {
            (Some(b), _) => (a.half * a.temp + b.half * b.temp) / (a.half + b.half),
            (None, Underside::Held { temp_c }) => temp_c,
            (None, Underside::Meets { u_w_m2k, temp_c }) => {
                (a.half * a.temp + u_w_m2k * temp_c) / (a.half + u_w_m2k)
            }
            // No gradient at an insulated face: a parabola through the two lowest cells.
            (None, Underside::Insulated) => {
                let b = above.checked_sub(1).and_then(|i| self.cells.get(i));
                b.map_or(a.temp, |b| a.temp + (a.temp - b.temp) / 8.0)
            }
        }
    }

    /// One step; what went in and out. Nothing happens for a length that is not a positive
    /// number.
    pub fn step(
        &mut self,
        reaction: &impl Reaction,
        d: &Drive,
        sides: Option<&Sides<'_>>,
    ) -> Flows {
        let mut flows = Flows::default();
        if !(d.dt_s > 0.0 && d.dt_s.is_finite()) {
            return flows;
        }
        let per_s = 1.0 / d.dt_s;
        self.hydrate(reaction, d.dt_s, &mut flows);
        let around = Around::of(self.ends(), d, sides);
        self.factor(&around);
        // Each stage: when it is, what it weighs in the whole step.
        for (f, weight) in [(GAMMA, 1.0 - GAMMA), (1.0, GAMMA)] {
            self.stage(&around, f);
            self.account(&around, f, weight * d.dt_s, &mut flows);
        }
        for c in &mut self.cells {
            c.slope = (c.solved - c.temp) * per_s;
            c.temp = c.solved;
        }
        flows
    }

    fn ends(&self) -> Ends {
        Ends {
            first_half: self.cells.first().map_or(0.0, |c| c.half),
            last_half: self.cells.last().map_or(0.0, |c| c.half),
            last: self.cells.len().saturating_sub(1),
        }
    }

    /// Factors the matrix C - g A, which is the same in both stages.
    fn factor(&mut self, around: &Around<'_>) {
        let g = GAMMA * around.dt_s();
        let beside = around.sides.map_or(0.0, |s| 1.0 / s.width_m);
        let (mut upper, mut link_above) = (0.0, 0.0);
        for (i, c) in self.cells.iter_mut().enumerate() {
            c.face = c.height * beside;
            let mut out = link_above + c.link + around.u_sides * c.face;
            if i == 0 {
                out += around.u_top;
            }
            if i == around.last {
                out += around.u_under;
            }
            let off = -g * link_above;
            c.diagonal_inv = 1.0 / (c.capacity + g * out - off * upper);
            c.upper = -g * c.link * c.diagonal_inv;
            upper = c.upper;
            link_above = c.link;
            c.base = c.temp;
        }
    }

    /// Solves one stage: down the column, and back up.
    fn stage(&mut self, around: &Around<'_>, f: f64) {
        let g = GAMMA * around.dt_s();
        let (air, sun) = (around.air(f), around.sun(f));
        let (mut above, mut link_above) = (0.0, 0.0);
        for (i, c) in self.cells.iter_mut().enumerate() {
            let mut inflow = c.source;
            if i == 0 {
                inflow += around.u_top * air + around.kept * sun;
            }
            if i == around.last {
                inflow += around.u_under * around.under_c;
            }
            if let Some(s) = around.sides {
                inflow += s.inflow(i, f, air) * c.face;
            }
            let r = c.capacity * c.base + g * inflow + g * link_above * above;
            c.solved = r * c.diagonal_inv;
            above = c.solved;
            link_above = c.link;
        }
        let mut below = 0.0;
        for c in self.cells.iter_mut().rev() {
            c.solved -= c.upper * below;
            below = c.solved;
        }
    }

    /// Adds what flowed in a stage that stands for so many seconds, and readies the cells for
    /// the next one.
    fn account(&mut self, around: &Around<'_>, f: f64, seconds: f64, flows: &mut Flows) {
        let (air, sun) = (around.air(f), around.sun(f));
        if let (Some(a), Some(z)) = (self.cells.first(), self.cells.last()) {
            flows.top += seconds * (around.u_top * (air - a.solved) + around.kept * sun);
            flows.under += seconds * around.u_under * (around.under_c - z.solved);
        }
        for (i, c) in self.cells.iter_mut().enumerate() {
            if let Some(s) = around.sides {
                let into = s.inflow(i, f, air) - around.u_sides * c.solved;
                flows.sides += seconds * into * c.face;
            }
            c.base = c.temp + (1.0 - GAMMA) / GAMMA * (c.solved - c.temp);
        }
    }

    /// Ages every cell and finds the heat it gives off, from its temperature now and as
    /// the last step lets expect.
    fn hydrate(&mut self, reaction: &impl Reaction, dt_s: f64, flows: &mut Flows) {
        let (dt_h, per_s) = (dt_s / 3600.0, 1.0 / dt_s);
        for c in &mut self.cells {
            if c.heat == 0.0 {
                c.source = 0.0;
                continue;
            }
            let then = (c.temp + c.slope * dt_s).clamp(c.temp - 20.0, c.temp + 20.0);
            let rate = |t: f64| reaction.rate(t.clamp(SENSIBLE.0, SENSIBLE.1));
            c.age += dt_h * 0.5 * (rate(c.temp) + rate(then));
            let alpha = reaction.alpha(c.age).max(c.alpha);
            let joules = c.heat * (alpha - c.alpha);
            c.alpha = alpha;
            c.source = joules * per_s;
            flows.hydration += joules;
        }
    }
}
