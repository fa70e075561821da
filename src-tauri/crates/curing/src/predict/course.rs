//! The temperatures that one member's concrete goes through.
//!
//! Two columns side by side: the body of the piece on what is under it, which also loses
//! heat all around through the form, and a strip at the exposed edge that loses heat
//! through the form or bare to the air and takes it from the middle. Concrete readings pull
//! the result to what was measured. How old the concrete gets by it is in [`super::aged`].

use super::draw::Draw;
use super::mix::Mix;
use super::sheen::{self, Film};
use super::weather::{FRESH_H, Point, Weather, finished_h};
use crate::facts::{Base, ConcretePlace, PourFacts};
use crate::heat::hydration::{PORTLAND_J_KG, Table, Tabled};
use crate::heat::slab::{Drive, Layer, Sides, Slab, Underside};
use crate::heat::surface::{
    COVER_RESISTANCE, EDGE_WIDTH_M, STILL_AIR, absorptivity, board_resistance, edge_to_core,
    through,
};
use crate::units::Celsius;

/// Cells through the piece.
const CELLS: usize = 6;
/// Of concrete: conductivity, heat capacity by volume (reference values, section 8).
const CONCRETE: (f64, f64) = (2.0, 2.35e6);
/// Of gravel or soil: the same (as in the outside case c3).
const GRAVEL: (f64, f64) = (1.2, 1.62e6);
/// Ground that takes part, m.
const GROUND_M: f64 = 0.5;
/// Equivalent age of the step below when the next is cast on it, h (about 4 days at 20 °C).
const BELOW_AGE_H: f64 = 96.0;
/// A board or table under a piece: 18 mm of plywood (U as in [`crate::heat::surface`]).
const TABLE_RESISTANCE: f64 = 0.138;
/// The surface is wet and dark for about this long, h.
const WET_H: f64 = 5.0;
/// Of what a film would lose, what a fresh surface loses that has none (Al-Fadhala and Hover
/// 2001 found about as much in the first hours and half of it later; from memory).
const MOIST: f64 = 0.7;
/// Heat that a kilogram of water an hour takes along, W: 2.45 MJ/kg (FAO-56).
const LATENT_W_PER_KG_H: f64 = 2.45e6 / 3600.0;
/// A cover keeps this share of the sun from the concrete (common practice, no source).
const COVER_SHADES: f64 = 0.4;
/// A measured difference fades from the model within about this many hours.
const FADE_H: f64 = 12.0;
/// Of a difference between thermometer and model, what is the model's: the one is good to
/// about half a kelvin, the other to three.
const BELIEVED: f64 = 0.97;

/// Temperatures at every point of the [`Weather`], °C.
#[derive(Clone, Debug, Default)]
pub(crate) struct Course {
    pub top: Vec<f64>,
    /// About 12 mm below the top: what a texture works.
    pub worked: Vec<f64>,
    pub middle: Vec<f64>,
    /// The arris between top and face.
    pub edge_top: Vec<f64>,
    /// The face at half depth.
    pub edge_face: Vec<f64>,
    /// Air as this member takes it.
    pub air: Vec<f64>,
    /// Sum of squared differences to concrete readings, in standard deviations.
    pub misfit: f64,
}

impl Course {
    /// Nothing yet, with room for so many points.
    fn with_room(points: usize) -> Course {
        let room = || Vec::with_capacity(points);
        Course {
            top: room(),
            worked: room(),
            middle: room(),
            edge_top: room(),
            edge_face: room(),
            air: room(),
            misfit: 0.0,
        }
    }
}

impl Course {
    /// Mean of the first day at half depth, °C.
    pub(crate) fn first_day_c(&self, weather: &Weather) -> f64 {
        let mut sum = 0.0;
        let mut last: Option<(f64, f64)> = None;
        for (p, t) in weather.points.iter().zip(&self.middle) {
            if p.h > 24.0 {
                break;
            }
            if let Some((h, was)) = last {
                sum += (p.h - h) * 0.5 * (was + t);
            }
            last = Some((p.h, *t));
        }
        sum / 24.0
    }
}

/// The air as a member takes it: off by a slow wave as far as it is uncertain.
fn air_c(draw: &Draw, p: &Point) -> f64 {
    p.air_c + p.sd_k * (draw.air.0 * p.wave.0 + draw.air.1 * p.wave.1)
}

/// Temperature as placed where it was not read: between the air and the day's mean.
pub(crate) fn placed_c(weather: &Weather) -> f64 {
    let air = weather
        .points
        .first()
        .map_or(weather.first_mean_c, |p| p.air_c);
    // Mixing and the first minutes of reaction warm it a little (common practice).
    0.5 * (air + weather.first_mean_c) + 1.0
}

/// Temperature as placed: as read, if the reading is taken.
fn start_c(facts: &PourFacts, weather: &Weather, draw: &Draw, taken: &[bool]) -> f64 {
    let fresh = facts.concrete.iter().zip(taken).find(|(c, taken)| {
        let h = c.at.hours_since(facts.started).value();
        c.place == ConcretePlace::Fresh && h < FRESH_H && **taken
    });
    let guess = placed_c(weather);
    match fresh {
        Some((c, _)) => c.temp.value() + 0.5 * draw.start,
        None => (guess + 2.5 * draw.start).max(1.0),
    }
    .clamp(-5.0, 60.0)
}

fn layers(facts: &PourFacts, mix: &Mix, start: f64, ground: f64) -> Vec<Layer> {
    let thickness_m = facts.piece.thickness.value().clamp(0.02, 1.0);
    let heat = mix.cement_kg_m3 * PORTLAND_J_KG;
    let piece = Layer {
        thickness_m,
        k_w_mk: CONCRETE.0,
        capacity_j_m3k: CONCRETE.1,
        heat_j_m3: heat,
        temp_c: start,
        age_h: 0.0,
        cells: CELLS,
        growth: 1.0,
    };
    let below = Layer {
        thickness_m: GROUND_M,
        k_w_mk: GRAVEL.0,
        capacity_j_m3k: GRAVEL.1,
        heat_j_m3: 0.0,
        temp_c: ground,
        age_h: 0.0,
        cells: 3,
        growth: 2.0,
    };
    match facts.piece.base {
        Base::Board => vec![piece],
        Base::Gravel => vec![piece, below],
        Base::Concrete => vec![
            piece,
            Layer {
                thickness_m: 0.15,
                k_w_mk: CONCRETE.0,
                capacity_j_m3k: CONCRETE.1,
                heat_j_m3: heat,
                age_h: BELOW_AGE_H,
                cells: 3,
                growth: 1.5,
                ..below
            },
            below,
        ],
    }
}

/// What acts on the surfaces of a piece at one instant.
#[derive(Clone, Copy)]
struct Exposed {
    h: f64,
    air_c: f64,
    sun_w_m2: f64,
    h_top: f64,
    u_side: f64,
}

/// How one member sees the weather at its piece.
struct Exposure<'a> {
    facts: &'a PourFacts,
    draw: &'a Draw,
    /// Factor on the wind that is known.
    wind: f64,
    /// Bleed water, which dries and takes heat along.
    film: Film,
    /// Resistance of the form's boards, m² K/W.
    boards: f64,
}

impl<'a> Exposure<'a> {
    fn of(facts: &'a PourFacts, weather: &Weather, mix: &Mix, draw: &'a Draw) -> Self {
        Exposure {
            facts,
            draw,
            wind: libm::exp(weather.wind_sd() * draw.wind),
            film: Film::of(facts, mix),
            boards: board_resistance(facts.form),
        }
    }

    /// At a point, with the top surface at `top_c` until now.
    fn at(&mut self, p: &Point, top_c: f64, dt_h: f64) -> Exposed {
        let bare = STILL_AIR + (p.convection - STILL_AIR) * self.wind;
        // A bare top trades radiation with the sky besides.
        let open = if p.covered {
            bare
        } else {
            bare + p.above.exchange_w_m2k(Celsius(top_c))
        };
        let cover = if p.covered { COVER_RESISTANCE } else { 0.0 };
        let form = if p.stripped { 0.0 } else { self.boards };
        Exposed {
            h: p.h,
            air_c: air_c(self.draw, p),
            sun_w_m2: self.taken_in(p, top_c, dt_h),
            h_top: through(open, cover),
            u_side: through(bare, cover + form),
        }
    }

    /// Sun that the top takes in, less what the sky and drying take, W/m².
    fn taken_in(&mut self, p: &Point, top_c: f64, dt_h: f64) -> f64 {
        let through = libm::exp(p.sun_sd * self.draw.sun);
        let sun = p.sun_w_m2 * through * absorptivity(&self.facts.dose, p.h < WET_H);
        let wet = p.h < WET_H;
        let rises = p.h > finished_h(self.facts) && wet;
        let takes = sheen::evaporation_at(p, top_c, self.wind, self.draw);
        let film = self.film.dry(dt_h, takes, rises) / dt_h.max(1e-9);
        // When the film has dried, pores still give water until about then.
        let pores = if wet {
            MOIST * (takes - film).max(0.0)
        } else {
            0.0
        };
        let dries = film + pores;
        if p.covered {
            return sun * COVER_SHADES;
        }
        sun - p.above.loss_w_m2() - dries * LATENT_W_PER_KG_H
    }
}

/// Solves one member.
pub(crate) fn run(
    facts: &PourFacts,
    weather: &Weather,
    mix: &Mix,
    draw: &Draw,
    shape: &Table,
    rates: &Table,
    taken: &[bool],
) -> Course {
    let mut c = Course::with_room(weather.points.len());
    let reaction = Tabled {
        course: shape,
        rates,
        alpha_u: mix.hydration.alpha_u,
        tau_h: mix.hydration.tau_h,
    };
    let start = start_c(facts, weather, draw, taken);
    // The ground has the mean of the air, and is as unknown.
    let unknown = weather
        .points
        .first()
        .map_or(0.0, |p| air_c(draw, p) - p.air_c);
    let ground = weather.first_mean_c + unknown;
    let layers = layers(facts, mix, start, ground);
    let thickness = layers.first().map_or(0.1, |l| l.thickness_m);
    let mut core = Slab::new(&layers, &reaction);
    let mut edge = Slab::new(layers.get(..1).unwrap_or_default(), &reaction);
    let (depth, width) = (
        facts.piece.depth.value().clamp(0.05, 10.0),
        facts.piece.width.value().clamp(0.05, 20.0),
    );
    let u_core = edge_to_core(CONCRETE.0, thickness.min(depth / 2.0));
    // The edge stands on what the body stands on: the first cell below the piece.
    let u_ground = core.half_w_m2k(CELLS);
    let mut exposure = Exposure::of(facts, weather, mix, draw);
    let deep = Underside::Held { temp_c: ground };
    let (mut before, mut after): (Vec<f64>, Vec<f64>) = (core.temps().collect(), Vec::new());
    let mut last: Option<Exposed> = None;
    for p in &weather.points {
        let dt_h = p.h - last.map_or(0.0, |was| was.h);
        let now = exposure.at(p, c.top.last().copied().unwrap_or(start), dt_h);
        if let Some(was) = last {
            let drive = Drive {
                dt_s: (now.h - was.h) * 3600.0,
                air_c: (was.air_c, now.air_c),
                sun_w_m2: (was.sun_w_m2, now.sun_w_m2),
                h_top: was.h_top,
                under: match facts.piece.base {
                    Base::Board => Underside::Meets {
                        u_w_m2k: through(STILL_AIR, TABLE_RESISTANCE),
                        temp_c: 0.5 * (was.air_c + now.air_c),
                    },
                    Base::Gravel | Base::Concrete => deep,
                },
            };
            let around = Sides {
                width_m: 0.5 / (1.0 / depth + 1.0 / width),
                u_air: through(was.u_side, depth / 6.0 / CONCRETE.0),
                sun_w_m2: 0.0,
                u_core: 0.0,
                core: (&[], &[]),
            };
            core.step(&reaction, &drive, Some(&around));
            after.clear();
            after.extend(core.temps());
            let sides = Sides {
                width_m: EDGE_WIDTH_M,
                u_air: was.u_side,
                sun_w_m2: 0.0,
                u_core,
                core: (&before, &after),
            };
            let edge_drive = Drive {
                under: match after.get(CELLS) {
                    Some(t) => Underside::Meets {
                        u_w_m2k: u_ground,
                        temp_c: *t,
                    },
                    None => drive.under,
                },
                ..drive
            };
            edge.step(&reaction, &edge_drive, Some(&sides));
            core::mem::swap(&mut before, &mut after);
        }
        c.top.push(core.top_c(now.h_top, now.air_c, now.sun_w_m2));
        c.worked.push(core.temps().next().unwrap_or(start));
        c.middle.push(core.between_c(CELLS / 2 - 1, deep));
        c.edge_top
            .push(edge.top_c(now.h_top, now.air_c, now.sun_w_m2));
        c.edge_face.push(edge.between_c(CELLS / 2 - 1, deep));
        c.air.push(now.air_c);
        last = Some(now);
    }
    correct(facts, weather, &mut c, taken);
    c
}

/// Pulls the course through the concrete readings. What was read inside corrects the
/// middle, what was read on the surface the top and the edges; where only one of the two
/// was read, it corrects both.
fn correct(facts: &PourFacts, weather: &Weather, c: &mut Course, taken: &[bool]) {
    let last = weather.points.last().map_or(0.0, |p| p.h);
    let off = |surface: bool, series: &[f64]| {
        let mut off: Vec<(f64, f64)> = facts
            .concrete
            .iter()
            .zip(taken)
            .filter(|(_, taken)| **taken)
            .map(|(r, _)| (r, r.at.hours_since(facts.started).value()))
            .filter(|(r, _)| surface == r.place.is_outside())
            // As placed, it is what the course began with.
            .filter(|(r, h)| r.place != ConcretePlace::Fresh || *h >= FRESH_H)
            .filter(|(_, h)| (0.0..=last).contains(h))
            .map(|(r, h)| (h, r.temp.value() - weather.read(series, h)))
            .collect();
        off.sort_by(|a, b| a.0.total_cmp(&b.0));
        off
    };
    let inside = off(false, &c.middle);
    let outside = off(true, &c.top);
    // A model that is off by 3 K at a thermometer is off by one standard deviation; what
    // is read soon after says the same again.
    c.misfit = [&inside, &outside]
        .map(|off| {
            let square: f64 = off.iter().map(|o| (o.1 / 3.0) * (o.1 / 3.0)).sum();
            let span = off.last().map_or(0.0, |o| o.0) - off.first().map_or(0.0, |o| o.0);
            let count = off.len().max(1) as f64;
            square / count * count.min(1.0 + span / FADE_H)
        })
        .iter()
        .sum();
    let or = |a: &'_ [(f64, f64)], b: &'_ [(f64, f64)]| {
        if a.is_empty() { b.to_vec() } else { a.to_vec() }
    };
    let (for_middle, for_outside) = (or(&inside, &outside), or(&outside, &inside));
    for (i, p) in weather.points.iter().enumerate() {
        if let Some(t) = c.middle.get_mut(i) {
            *t += correction(&for_middle, p.h);
        }
        let k = correction(&for_outside, p.h);
        for series in [&mut c.top, &mut c.worked, &mut c.edge_top, &mut c.edge_face] {
            if let Some(t) = series.get_mut(i) {
                *t += k;
            }
        }
    }
}

/// What readings that were off by so much, in the order of their hours, add at `h`.
fn correction(off: &[(f64, f64)], h: f64) -> f64 {
    let i = off.partition_point(|o| o.0 <= h);
    let before = i.checked_sub(1).and_then(|j| off.get(j));
    let k = match (before, off.get(i)) {
        (None, Some(b)) => b.1 * (h / b.0.max(1e-6)).min(1.0),
        (Some(a), Some(b)) => a.1 + (b.1 - a.1) * (h - a.0) / (b.0 - a.0).max(1e-6),
        (Some(a), None) => a.1 * libm::exp(-(h - a.0) / FADE_H),
        (None, None) => 0.0,
    };
    BELIEVED * k
}
