//! What a ray meets: boxes of concrete and boards on a bank of gravel, and how it looks.
//!
//! Metres; x along the front edge, y up, z into the bank. Colours are linear light.
//! Looks are made up; no measured colour is claimed.

#![allow(clippy::indexing_slicing)] // vectors of three numbers, indices 0 to 2

type V = [f64; 3];

/// One picture.
pub struct Shot {
    /// Ochre, per cent of cement.
    pub ochre: f64,
    /// Umber, per cent of cement.
    pub umber: f64,
    /// Fresh in its form, otherwise out of it.
    pub fresh: bool,
    /// Makes the surface differ from other shots.
    pub seed: u64,
}

/// What a box is made of.
#[derive(Clone, Copy, PartialEq)]
enum Stuff {
    Step,
    StepBelow,
    Board,
}

struct Solid {
    low: V,
    high: V,
    stuff: Stuff,
}

const EYE: V = [-0.55, 0.95, -1.55];
const LOOK: V = [0.0, 0.10, 0.12];

/// Colour seen in the direction of `u`, `v` (-1 to 1 across the picture).
pub fn colour_at(shot: &Shot, u: f64, v: f64) -> V {
    let ahead = unit(sub(LOOK, EYE));
    let right = unit([ahead[2], 0.0, -ahead[0]]);
    let up = cross(ahead, right);
    let mut ray = [0.0; 3];
    for i in 0..3 {
        ray[i] = ahead[i] + 0.385 * (u * right[i] + v * up[i]);
    }
    let ray = unit(ray);
    let solids = solids(shot.fresh);
    let met = solids
        .iter()
        .filter_map(|s| meet(s, EYE, ray).map(|(t, n)| (t, n, s)))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let ground = if ray[1] < -1e-6 {
        EYE[1] / -ray[1]
    } else {
        1e9
    };
    match met {
        Some((t, normal, solid)) if t < ground => {
            let at = along(EYE, ray, t);
            let (colour, bump) = surface(shot, solid, at, normal);
            lit(colour, normal, at, bump)
        }
        _ => {
            let at = along(EYE, ray, ground.min(40.0));
            lit(gravel(shot, at), [0.0, 1.0, 0.0], at, 0.0)
        }
    }
}

fn solids(fresh: bool) -> Vec<Solid> {
    let solid = |low, high, stuff| Solid { low, high, stuff };
    let mut all = vec![
        solid([-0.6, 0.0, 0.0], [0.6, 0.17, 0.4], Stuff::Step),
        solid([-0.6, -0.1, -0.235], [0.6, 0.035, 0.1], Stuff::StepBelow),
    ];
    if fresh {
        let b = 0.028;
        all.push(solid([-0.74, 0.0, -b], [0.74, 0.19, 0.0], Stuff::Board));
        all.push(solid(
            [-0.6 - b, 0.0, 0.0],
            [-0.6, 0.19, 0.46],
            Stuff::Board,
        ));
        all.push(solid([0.6, 0.0, 0.0], [0.6 + b, 0.19, 0.46], Stuff::Board));
        for x in [-0.45, 0.05, 0.5] {
            all.push(solid(
                [x, 0.0, -b - 0.045],
                [x + 0.05, 0.225, -b],
                Stuff::Board,
            ));
        }
    }
    all
}

/// Distance and outward normal of a box that the ray meets from outside.
fn meet(s: &Solid, from: V, ray: V) -> Option<(f64, V)> {
    let (mut enter, mut leave, mut normal) = (f64::NEG_INFINITY, f64::INFINITY, [0.0; 3]);
    for i in 0..3 {
        let (a, b) = (
            (s.low[i] - from[i]) / ray[i],
            (s.high[i] - from[i]) / ray[i],
        );
        if a.min(b) > enter {
            enter = a.min(b);
            normal = [0.0; 3];
            normal[i] = -ray[i].signum();
        }
        leave = leave.min(a.max(b));
    }
    (enter > 1e-4 && enter < leave).then_some((enter, normal))
}

/// Tint of concrete: grey that pigments pull to their colour, levelling off.
pub fn tint(ochre: f64, umber: f64) -> V {
    let (wo, wu) = (1.0 - (-ochre / 2.4).exp(), 1.0 - (-umber / 1.6).exp());
    let grey = [0.36, 0.355, 0.34];
    let mut c = mix(grey, [0.47, 0.30, 0.115], 0.8 * wo);
    c = mix(c, [0.12, 0.075, 0.045], 0.72 * wu);
    c
}

/// Colour and how far the surface leans (for light), at a point of a box.
fn surface(shot: &Shot, solid: &Solid, at: V, normal: V) -> (V, f64) {
    let seed = shot.seed as f64 * 7.31;
    match solid.stuff {
        Stuff::Board => {
            let (a, b) = if normal[0].abs() > 0.5 {
                (at[2], at[1])
            } else {
                (at[0], at[1] + at[2])
            };
            let grain = fbm(a * 3.0 + seed, b * 90.0, 4);
            let c = mix([0.50, 0.34, 0.18], [0.27, 0.16, 0.075], grain);
            // Splashed along the top.
            let splash = smooth(0.16, 0.20, at[1] + 0.03 * noise(at[0] * 30.0, at[2] * 30.0));
            (mix(c, tint(shot.ochre, shot.umber), 0.45 * splash), 0.0)
        }
        Stuff::StepBelow => {
            let base = tint(shot.ochre * 0.9, (shot.umber - 0.5).max(0.0));
            let n = fbm(at[0] * 14.0 + seed, at[2] * 14.0, 5);
            (scale(base, 0.82 + 0.3 * n), 0.0)
        }
        Stuff::Step if normal[1] > 0.5 => {
            let n = fbm(at[0] * 9.0 + seed, at[2] * 16.0, 5);
            let fine = fbm(at[0] * 160.0, at[2] * 160.0 + seed, 2);
            let base = tint(shot.ochre, shot.umber);
            if shot.fresh {
                // Wet: darker, with water still standing along the back.
                let water = smooth(0.16, 0.38, at[2] + 0.22 * (n - 0.5));
                let ridges = 0.05 * ((at[2] * 210.0 + 3.0 * n).sin());
                let wet = scale(base, 0.52 + 0.10 * n + ridges * (1.0 - water));
                (mix(wet, [0.46, 0.50, 0.53], 0.42 * water), 0.0)
            } else {
                // Drying in patches.
                let patch = smooth(0.34, 0.70, n);
                (scale(base, 0.80 + 0.26 * patch + 0.12 * (fine - 0.5)), 0.0)
            }
        }
        Stuff::Step => boards(
            shot,
            if normal[0].abs() > 0.5 { at[2] } else { at[0] },
            at[1],
            seed,
        ),
    }
}

/// The board-marked face: four boards with grain, seams and some knots.
fn boards(shot: &Shot, along: f64, up: f64, seed: f64) -> (V, f64) {
    let row = (up / 0.0425).floor();
    let within = up / 0.0425 - row;
    let shift = row * 3.7 + seed;
    let knot_x = (hash(row + seed, 3.0) - 0.5) * 1.1;
    let (kx, ky) = ((along - knot_x) / 0.022, (within - 0.5) / 0.32);
    let knot = (-(kx * kx + ky * ky)).exp();
    let line = fbm(along * 2.2 + shift, within * 13.0 + 6.0 * knot + shift, 4);
    let ridge = ((line * 9.0 + within * 5.0 + 7.0 * knot).sin() * 0.5 + 0.5).powi(2);
    let seam = smooth(0.10, 0.0, within.min(1.0 - within));
    let tone =
        0.92 + 0.10 * (hash(row, seed) - 0.5) + 0.17 * (ridge - 0.4) - 0.30 * seam - 0.2 * knot;
    let holes = smooth(0.90, 0.95, noise(along * 140.0 + seed, up * 140.0));
    let base = tint(shot.ochre, shot.umber);
    let c = scale(base, (tone - 0.28 * holes) * 0.98);
    (c, 0.5 * (ridge - 0.5) + seam)
}

fn gravel(shot: &Shot, at: V) -> V {
    let seed = shot.seed as f64;
    let (x, z) = (at[0] * 26.0, at[2] * 26.0 + seed);
    // Nearest of the stones around: a pebble with its own tone and rounded edge.
    let (mut best, mut tone) = (9.0f64, 0.0);
    for i in -1..=1 {
        for j in -1..=1 {
            let (cx, cz) = (x.floor() + f64::from(i), z.floor() + f64::from(j));
            let (sx, sz) = (cx + hash(cx, cz), cz + hash(cz, cx + 9.0));
            let d = ((x - sx).powi(2) + (z - sz).powi(2)).sqrt();
            if d < best {
                best = d;
                tone = hash(cx + 5.0, cz + 3.0);
            }
        }
    }
    let stone = mix([0.16, 0.15, 0.135], [0.30, 0.28, 0.25], tone);
    let near = scale(stone, 1.12 - 0.75 * best.min(1.0));
    // Grass and leaves on the bank behind, softer with distance.
    let bank = smooth(0.75, 1.5, at[2] + 0.35 * fbm(at[0] * 2.0, at[2] * 2.0, 3));
    let grass = fbm(at[0] * 22.0, at[2] * 7.0, 4);
    mix(
        near,
        mix([0.035, 0.05, 0.02], [0.15, 0.135, 0.055], grass),
        bank,
    )
}

/// Overcast light: most from above, some from the open side, less near the ground.
fn lit(colour: V, normal: V, at: V, lean: f64) -> V {
    let sky = 0.62 + 0.38 * normal[1] - 0.12 * normal[2].max(0.0) + 0.10 * -normal[0];
    let contact = if normal[1] > 0.5 && at[1] < 0.02 {
        // Darker close to the step and its form.
        let dx = (at[0].abs() - 0.63).max(0.0);
        let dz = (-0.035 - at[2]).max(at[2] - 0.42).max(0.0);
        0.5 + 0.5 * smooth(0.0, 0.16, (dx * dx + dz * dz).sqrt())
    } else {
        0.72 + 0.28 * smooth(0.0, 0.10, at[1])
    };
    scale(
        colour,
        (sky * contact * (1.0 - 0.18 * lean)).max(0.02) * 1.08,
    )
}

fn hash(a: f64, b: f64) -> f64 {
    let mut n = (a.floor() as i64 as u64)
        .wrapping_mul(0x9E37_79B9_7F4A_7C15)
        .wrapping_add((b.floor() as i64 as u64).wrapping_mul(0xC2B2_AE3D_27D4_EB4F));
    n ^= n >> 29;
    n = n.wrapping_mul(0xBF58_476D_1CE4_E5B9);
    n ^= n >> 32;
    (n & 0xFF_FFFF) as f64 / 16_777_216.0
}

/// Smooth noise, 0 to 1.
pub fn noise(x: f64, y: f64) -> f64 {
    let (fx, fy) = (x - x.floor(), y - y.floor());
    let (u, v) = (fx * fx * (3.0 - 2.0 * fx), fy * fy * (3.0 - 2.0 * fy));
    let row = |y: f64| hash(x, y) * (1.0 - u) + hash(x + 1.0, y) * u;
    row(y) * (1.0 - v) + row(y + 1.0) * v
}

pub fn fbm(x: f64, y: f64, octaves: u32) -> f64 {
    let (mut sum, mut weight, mut total, mut f) = (0.0, 0.5, 0.0, 1.0);
    for _ in 0..octaves {
        sum += weight * noise(x * f, y * f);
        total += weight;
        weight *= 0.5;
        f *= 2.03;
    }
    sum / total
}

pub fn smooth(from: f64, to: f64, x: f64) -> f64 {
    let t = ((x - from) / (to - from)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

fn mix(a: V, b: V, t: f64) -> V {
    let t = t.clamp(0.0, 1.0);
    [0, 1, 2].map(|i| a[i] * (1.0 - t) + b[i] * t)
}

fn scale(a: V, k: f64) -> V {
    a.map(|x| x * k)
}

fn sub(a: V, b: V) -> V {
    [0, 1, 2].map(|i| a[i] - b[i])
}

fn along(from: V, ray: V, t: f64) -> V {
    [0, 1, 2].map(|i| from[i] + ray[i] * t)
}

fn cross(a: V, b: V) -> V {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

fn unit(a: V) -> V {
    let n = a.iter().map(|x| x * x).sum::<f64>().sqrt();
    a.map(|x| x / n)
}
