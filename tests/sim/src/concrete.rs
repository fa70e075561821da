//! What a step really did: a section in two dimensions, solved with short explicit steps.
//!
//! The half section of a step (thickness by half its depth, on gravel), form at the face
//! until it is due, heat by Schindler and Folliard. Numbers that a site cannot know are
//! drawn. Strength follows one of five published courses, none of them the engine's: they
//! part by a third at 7 days, and stand on a mean that lies above what the bag prints where
//! that is a minimum. Ageing follows one of four laws, of which three are published. What a form waits for is
//! reckoned here by itself from the table of README.md.

use crate::chance::Chance;
use crate::weather::Weather;
use slowstone_curing::facts::{Sky, Stated};

/// Cells of the section: 25 mm each, 0.15 m thick, 0.2 m to its middle, 0.3 m of ground.
const DX: f64 = 0.025;
const ROWS: usize = 6;
const COLUMNS: usize = 8;
const GROUND: usize = 12;
const DT_H: f64 = 120.0 / 3600.0;
const LONGEST_H: f64 = 24.0 * 14.0;
/// The surface was screeded this long after the start.
pub const SCREED_H: f64 = 0.75;

/// What the bag prints for 28 days, MPa.
pub const PRINTED_28_MPA: f64 = 27.6;

/// A mix as it is on this site: what stays the same from pour to pour.
#[derive(Clone, Copy, Debug)]
pub struct Mix {
    /// Factor on set times against what the bag and tables say.
    pub set: f64,
    /// Factor on how long the sheen stands.
    pub sheen: f64,
    /// Mean strength at 28 days, MPa.
    pub mean_28: f64,
    /// Which published course its strength follows, 0 to 4.
    pub form: usize,
    /// Whether the printed strengths are minima, not means.
    pub prints_minimum: bool,
    /// Whether the bag says which.
    pub says_which: bool,
    /// Whether it prints a strength at 7 days as well.
    pub prints_7d: bool,
    /// How strength comes up within the first day: 1 is a straight line.
    rise: f64,
    /// Which published law its ageing follows.
    law: usize,
    heat: f64,
    energy: f64,
    edge: f64,
    /// Final set over initial set; published pairs lie between 1.35 and 1.6.
    last: f64,
}

impl Mix {
    /// A mix with the spreads that the design states: set 20 %, sheen 30 %, strength 14 %.
    #[must_use]
    pub fn new(c: &mut Chance) -> Mix {
        let prints_minimum = c.happens(0.7);
        // A mean lies above the minimum by 1.34 standard deviations (ACI 318), which are 2.8
        // to 4.1 MPa where control is good to fair (ACI 214R); both from memory.
        let over = if prints_minimum {
            1.34 * c.between(2.8, 4.1)
        } else {
            0.0
        };
        Mix {
            set: c.factor(0.20),
            sheen: c.factor(0.30),
            mean_28: (PRINTED_28_MPA + over) * c.factor(0.14),
            form: c.one_of(5),
            prints_minimum,
            // How many bags do either is judgement, no source.
            says_which: c.happens(0.5),
            prints_7d: c.happens(0.4),
            rise: c.between(1.0, 1.6),
            law: c.one_of(4),
            heat: c.normal(0.875, 0.10).max(0.5),
            energy: c.normal(1.0, 0.08),
            edge: 0.95 * c.factor(0.12),
            last: c.between(1.35, 1.6),
        }
    }

    /// The mix as it came out on one day.
    #[must_use]
    pub fn of_day(self, c: &mut Chance) -> Mix {
        Mix {
            set: self.set * c.factor(0.08),
            sheen: self.sheen * c.factor(0.12),
            // The same 3.5 MPa from batch to batch on 32 (ACI 214R, from memory).
            mean_28: self.mean_28 * c.factor(0.11),
            ..self
        }
    }

    /// Published strength at an age in days over that at 28 days.
    #[must_use]
    pub fn share_of_28(&self, days: f64) -> f64 {
        let course = |t: f64| match self.form {
            // ACI 209R-92, moist, Type I: 0.46 at 3 days, 0.70 at 7.
            0 => t / (4.0 + 0.85 * t),
            // EN 1992-1-1, 3.1.2: class N, 0.60 and 0.78; class S, 0.46 and 0.68.
            1 => (0.25 * (1.0 - (28.0 / t).sqrt())).exp(),
            2 => (0.38 * (1.0 - (28.0 / t).sqrt())).exp(),
            // Carino's hyperbola through 0.45 at 3 days and 1 at 28; 0.70 at 7.
            3 => {
                let x = (t - 0.25).max(0.0) / 4.31;
                x / (1.0 + x)
            }
            // The form of Freiesleben Hansen and Pedersen by the plain mixes of Yeh 1998,
            // whose medians are 0.46, 0.59, 0.82 and 1.21 at 3, 7, 14 and 90 days: 0.42,
            // 0.65, 0.84, 1.21.
            _ => (-(5.06 / t).sqrt()).exp(),
        };
        course(days.max(1e-9)) / course(28.0)
    }

    /// Strength at an equivalent age in days at 23 °C, MPa. Published courses hold from a
    /// day; before that it comes up from nothing at initial set.
    #[must_use]
    pub fn strength_mpa(&self, days: f64) -> f64 {
        let (begins, first) = (self.initial_h() / 24.0, self.set.max(0.5));
        let up = ((days - begins) / (first - begins)).clamp(0.0, 1.0);
        let bulk = self.share_of_28(days.max(first)) * up.powf(self.rise);
        bulk * self.mean_28
    }

    /// What the bag prints: strength at 7 days, if it does, and whether strengths are
    /// minima or means, if it says so. At 28 days it is [`PRINTED_28_MPA`].
    #[must_use]
    pub fn printed(&self) -> (Option<f64>, Option<Stated>) {
        let at_7 = PRINTED_28_MPA * self.share_of_28(7.0);
        let which = if self.prints_minimum {
            Stated::Minimum
        } else {
            Stated::Mean
        };
        (
            self.prints_7d.then_some(at_7),
            self.says_which.then_some(which),
        )
    }

    /// Rate of hardening at `c` against 23 °C: Freiesleben Hansen and Pedersen (33.5 kJ/mol
    /// and steeper below 20 °C), EN 1992-1-1 B.10 (4000 K), ASTM C1074 (5000 K), or the last
    /// from 20 °C up and as steep as the first below.
    fn hardening(&self, c: f64) -> f64 {
        let (warm, rise) = match self.law {
            0 => (33_500.0, 1470.0),
            1 => (33_256.0, 0.0),
            2 => (41_570.0, 0.0),
            _ => (41_570.0, 1470.0),
        };
        let warm = warm * self.energy;
        // Against 20 °C, where the steeper part begins.
        let from_20 = |e: f64, c: f64| e / 8.314 * (1.0 / 293.15 - 1.0 / (c + 273.15));
        let cold = warm + rise * (20.0 - c).max(0.0);
        (from_20(cold, c) - from_20(warm, 23.0)).exp()
    }

    /// Equivalent hours at 23 °C to initial set.
    #[must_use]
    pub fn initial_h(&self) -> f64 {
        4.6 * self.set
    }
}

/// When things really came, hours after the start; infinite if not in two weeks.
#[derive(Clone, Copy, Debug)]
pub struct Truth {
    /// No water stands any more.
    pub sheen: f64,
    /// Initial set.
    pub initial: f64,
    /// Final set.
    pub last: f64,
    /// All criteria of stripping a plain face met.
    pub strip_plain: f64,
    /// The same of a face with a liner.
    pub strip_lined: f64,
    /// Half depth at 7 MPa and old enough for the next step.
    pub next_step: f64,
    /// Temperatures of the middle at 2, 8 and 24 h, as a thermometer would find them.
    pub core_c: [f64; 3],
    /// Strength of the edge at 12, 24 and 36 hours.
    pub edge_mpa: [f64; 3],
    /// Strength of the edge and temperature of the middle hour by hour.
    by_hour: [(f64, f64); HOURLY],
}

/// So many hours are kept one by one.
const HOURLY: usize = 120;

impl Truth {
    /// Strength of the edge, MPa.
    #[must_use]
    pub fn edge_at(&self, h: f64) -> f64 {
        self.at(h).0
    }

    /// Temperature of the middle, °C.
    #[must_use]
    pub fn middle_at(&self, h: f64) -> f64 {
        self.at(h).1
    }

    fn at(&self, h: f64) -> (f64, f64) {
        let i = (h.max(0.0) as usize).min(HOURLY - 1);
        self.by_hour.get(i).copied().unwrap_or((f64::NAN, f64::NAN))
    }
}

/// Rate of ageing at `c` against 23 °C for an activation energy in J/mol.
fn rate(c: f64, e: f64) -> f64 {
    (e / 8.314 * (1.0 / 296.15 - 1.0 / (c + 273.15))).exp()
}

/// Evaporation by Uno 1998, kg/m²/h.
fn evaporation(top: f64, air: f64, rh: f64, wind: f64) -> f64 {
    let p = |t: f64| (t + 18.0).max(0.0).powf(2.5);
    (5.0 * (p(top) - rh / 100.0 * p(air)) * (wind + 4.0) * 1e-6).max(0.0)
}

struct Section {
    t: Vec<f64>,
    next: Vec<f64>,
    age: Vec<f64>,
    alpha: Vec<f64>,
}

/// What a section is made of.
struct Stuff {
    k: f64,
    capacity: f64,
    heat_j_m3: f64,
    tau_h: f64,
    sun_wet: f64,
    sun_dry: f64,
    board_r: f64,
}

fn index(row: usize, column: usize) -> usize {
    row * COLUMNS + column
}

impl Section {
    fn new(placed: f64, ground: f64) -> Section {
        let cells = (ROWS + GROUND) * COLUMNS;
        let t = (0..cells).map(|i| if i < ROWS * COLUMNS { placed } else { ground });
        Section {
            t: t.collect(),
            next: vec![0.0; cells],
            age: vec![0.0; cells],
            alpha: vec![0.0; cells],
        }
    }

    fn at(&self, row: usize, column: usize) -> f64 {
        self.t.get(index(row, column)).copied().unwrap_or(f64::NAN)
    }

    /// One step with air, transfer at the top and at the face, heat into the top, ground.
    fn step(&mut self, s: &Stuff, air: f64, top_h: f64, face_h: f64, into_top: f64, ground: f64) {
        let conductance = |row: usize| if row < ROWS { s.k } else { 1.2 };
        let through = |h: f64, k: f64| 1.0 / (1.0 / h + 0.5 * DX / k);
        for row in 0..ROWS + GROUND {
            let concrete = row < ROWS;
            let k = conductance(row);
            for column in 0..COLUMNS {
                let here = self.at(row, column);
                let mut flow = 0.0;
                if row == 0 {
                    flow += through(top_h, k) * (air - here) + into_top;
                } else {
                    let above = conductance(row - 1);
                    flow += 2.0 / (DX / k + DX / above) * (self.at(row - 1, column) - here);
                }
                if row + 1 < ROWS + GROUND {
                    let below = conductance(row + 1);
                    flow += 2.0 / (DX / k + DX / below) * (self.at(row + 1, column) - here);
                } else {
                    flow += 2.0 * k / DX * (ground - here);
                }
                if column == 0 {
                    if concrete {
                        flow += through(face_h, k) * (air - here);
                    }
                } else {
                    flow += k / DX * (self.at(row, column - 1) - here);
                }
                if column + 1 < COLUMNS {
                    flow += k / DX * (self.at(row, column + 1) - here);
                }
                let i = index(row, column);
                let mut heat = 0.0;
                if concrete
                    && let (Some(age), Some(alpha)) = (self.age.get_mut(i), self.alpha.get_mut(i))
                {
                    // Reference of the heat is 20 °C (Schindler and Folliard 2005).
                    *age += DT_H * rate(here, 45_218.0) / rate(20.0, 45_218.0);
                    let now = 0.779 * (-(s.tau_h / *age).powf(0.665_68)).exp();
                    heat = s.heat_j_m3 * (now - *alpha);
                    *alpha = now;
                }
                let capacity = if concrete { s.capacity } else { 1.62e6 };
                if let Some(n) = self.next.get_mut(i) {
                    *n = here + (flow * DT_H * 3600.0 / DX + heat) / capacity;
                }
            }
        }
        std::mem::swap(&mut self.t, &mut self.next);
    }
}

/// First hour at which a growing number reaches a goal.
#[derive(Clone, Copy)]
struct Crossing(f64);

impl Crossing {
    fn new() -> Crossing {
        Crossing(f64::INFINITY)
    }
    fn look(&mut self, h: f64, met: bool) {
        if met {
            self.0 = self.0.min(h);
        }
    }
}

/// What the mix did in this weather. `placed` is the temperature as placed.
#[must_use]
pub fn truth(mix: &Mix, weather: &Weather, placed: f64, c: &mut Chance) -> Truth {
    let stuff = Stuff {
        k: c.normal(2.0, 0.15),
        capacity: 2.35e6 * c.factor(0.04),
        heat_j_m3: 300.0 * 480_920.0 * mix.heat,
        tau_h: 15.112 * mix.set,
        sun_wet: c.between(0.75, 0.9),
        sun_dry: c.between(0.58, 0.72),
        board_r: 0.025 / 0.12,
    };
    let ground = (0..24)
        .map(|h| weather.air_c(f64::from(h) - 24.0))
        .sum::<f64>()
        / 24.0;
    let mut s = Section::new(placed, ground);
    let (mut set_age, mut edge_age, mut face_age, mut mid_age, mut form_share) =
        (0.0, 0.0, 0.0, 0.0, 0.0);
    let mut crossings = [Crossing::new(); 6];
    let (mut core_c, mut edge_mpa) = ([f64::NAN; 3], [f64::NAN; 3]);
    let mut dry = Crossing::new();
    let mut by_hour = [(0.0, placed); HOURLY];
    let (mut film, mut risen, mut skin_c) = (0.0_f64, 0.0, placed);
    let mut h = 0.0;
    while h < LONGEST_H && crossings.iter().any(|x| x.0.is_infinite()) {
        let (air, rh) = (weather.air_c(h), weather.rh_pct(h));
        let wind = weather.wind_km_h(h);
        let v = wind / 3.6;
        let bare = if v <= 5.0 {
            5.6 + 4.0 * v
        } else {
            7.2 * v.powf(0.78)
        };
        let taken = if h < 5.0 {
            stuff.sun_wet
        } else {
            stuff.sun_dry
        };
        // It sees three quarters of the sky, of which clouds as warm as the air hide a part;
        // a clear one is as cold as Swinbank (1963) has it, 0.0552 T^1.5.
        let (view, clouds) = match weather.sky(h) {
            Sky::Sun => (0.75, 0.1),
            Sky::Broken => (0.75, 0.5),
            Sky::Overcast => (0.75, 0.9),
            Sky::Shade => (0.35, 0.5),
        };
        let air_k = air + 273.15;
        let clear = (0.0552 * air_k.powf(1.5)).powi(4);
        let seen = air_k.powi(4) - view * (1.0 - clouds) * (air_k.powi(4) - clear);
        let radiates = 0.93 * 5.67e-8;
        // The skin has no mass: what it takes in goes to the air, the sky or down. Radiation
        // is taken along its tangent at the skin of the step before.
        let worked = s.at(0, COLUMNS / 2);
        let down = 2.0 * stuff.k / DX;
        let was_k = skin_c + 273.15;
        let slope = 4.0 * radiates * was_k.powi(3);
        let long = radiates * (seen - was_k.powi(4)) + slope * skin_c;
        let sun = weather.sun_w_m2(h) * taken;
        // Water rises evenly until it has given 0.9 kg/m² or sets; it stands as a film that
        // the air takes, and then pores give half as much (judgement).
        let takes = evaporation(skin_c, air, rh, wind);
        let rises = if h >= SCREED_H && risen < 0.9 && set_age < mix.initial_h() {
            0.8
        } else {
            0.0
        };
        risen += rises * DT_H;
        film += rises * DT_H;
        let off_film = takes.min(film / DT_H);
        film -= off_film * DT_H;
        let wet = h < 5.0;
        let dries = off_film + if wet { 0.5 * (takes - off_film) } else { 0.0 };
        dry.look(h, h > SCREED_H + DT_H && film < 0.02);
        let gain = sun + long - dries * 680.6;
        skin_c = (down * worked + bare * air + gain) / (down + bare + slope);
        let into_top = down * (skin_c - worked) - bare * (air - worked) * down / (down + bare);
        let boarded = h < 72.0;
        let face = 1.0 / (1.0 / bare + if boarded { stuff.board_r } else { 0.0 });
        s.step(&stuff, air, bare, face, into_top, ground);
        h += DT_H;
        set_age += DT_H * rate(worked, 42_500.0 * mix.energy);
        edge_age += DT_H * mix.hardening(s.at(0, 0));
        face_age += DT_H * mix.hardening(s.at(ROWS / 2, 0));
        mid_age += DT_H * mix.hardening(s.at(ROWS / 2, COLUMNS / 2));
        // BS 8110 table 6.2: vertical forms stay 300/(t + 10) hours, here never under 12.
        form_share += DT_H / (300.0 / (air + 10.0).max(1e-3)).max(12.0);
        let edge = f64::min(edge_age, face_age);
        let edge_strength = mix.edge * mix.strength_mpa(edge / 24.0);
        for (i, at) in [2.0, 8.0, 24.0].into_iter().enumerate() {
            if let Some(x) = core_c.get_mut(i).filter(|_| h <= at) {
                *x = s.at(ROWS / 2, COLUMNS / 2);
            }
        }
        for (i, at) in [12.0, 24.0, 36.0].into_iter().enumerate() {
            if let Some(x) = edge_mpa.get_mut(i).filter(|_| h <= at) {
                *x = edge_strength;
            }
        }
        // A form stays for 12 hours of mild air, in colder air longer; for 18 h at 23 °C;
        // and until the edge holds.
        let kept = form_share >= 1.0 && edge >= 18.0;
        let met = [
            set_age >= mix.initial_h(),
            set_age >= mix.last * mix.initial_h(),
            kept && edge_strength >= 2.0,
            kept && edge_strength >= 5.0,
            mid_age >= 96.0 * 0.8413 && mix.strength_mpa(mid_age / 24.0) >= 7.0,
            h >= HOURLY as f64,
        ];
        if let Some(slot) = by_hour.get_mut(h as usize) {
            *slot = (edge_strength, s.at(ROWS / 2, COLUMNS / 2));
        }
        for (x, met) in crossings.iter_mut().zip(met) {
            x.look(h, met);
        }
    }
    let [initial, last, strip_plain, strip_lined, next_step, _] = crossings.map(|x| x.0);
    let sheen = SCREED_H + ((dry.0 - SCREED_H).max(0.05) * mix.sheen).max(1.0 / 3.0);
    Truth {
        sheen: sheen.min(initial),
        initial,
        last,
        strip_plain,
        strip_lined,
        next_step,
        core_c,
        edge_mpa,
        by_hour,
    }
}
