//! One heat problem solved closely, for the desk and for checks against outside values.
//!
//! Fine cells and short steps where a prediction takes coarse ones. The JSON form is read
//! in [`super::desk_case`], the solver is [`super::slab`].

use super::hydration::Hydration;
use super::slab::{Drive, Layer, Reaction, Slab, Underside};

/// Cells in the slab of a case.
const CELLS: usize = 80;
/// Cells in the layer under it, each 6 % thicker than the one above.
const BELOW: (usize, f64) = (60, 1.06);

/// Mix and material of a case.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Material {
    /// Conductivity, W/(m K).
    pub k_w_mk: f64,
    /// Density, kg/m³.
    pub rho_kg_m3: f64,
    /// Heat capacity, J/(kg K).
    pub cp_j_kgk: f64,
    /// Heat at full hydration, J/m³; 0 for an inert slab.
    pub heat_j_m3: f64,
    /// How it hydrates.
    pub hydration: Hydration,
}

/// What is under the slab of a case.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Bottom {
    /// No heat passes.
    Insulated,
    /// Held at a temperature, °C.
    Fixed(f64),
    /// An inert layer, held at a temperature at its own underside.
    Layer {
        /// Thickness, m.
        thickness_m: f64,
        /// Conductivity, W/(m K).
        k_w_mk: f64,
        /// Heat capacity by volume, J/(m³ K).
        capacity_j_m3k: f64,
        /// Temperature at the start, °C.
        start_c: f64,
        /// Temperature of its underside, °C.
        deep_c: f64,
    },
}

/// Sun of a case: half a sine between two hours of the clock, W/m² taken in at noon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct CaseSun {
    /// Taken in at the middle of the day, W/m².
    pub peak_w_m2: f64,
    /// Clock hour of sunrise.
    pub rise_h: f64,
    /// Clock hour of sunset.
    pub set_h: f64,
}

/// One heat problem.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Case {
    /// Thickness, m.
    pub thickness_m: f64,
    /// What it is made of.
    pub material: Material,
    /// Temperature at the start, °C.
    pub start_c: f64,
    /// Clock hour at the start.
    pub clock_h: f64,
    /// Mean, amplitude and clock hour of the peak of the air's daily cosine.
    pub air: (f64, f64, f64),
    /// Sun, if any.
    pub sun: Option<CaseSun>,
    /// From hour, W/(m² K); in order.
    pub h_schedule: Vec<(f64, f64)>,
    /// Underneath.
    pub bottom: Bottom,
    /// No heat passes at any face.
    pub adiabatic: bool,
    /// Days that pass before hour 0, to reach the periodic state.
    pub settle_days: u32,
}

/// Answer at one depth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct AtDepth {
    /// From the exposed face, m.
    pub x_m: f64,
    /// Temperature, °C.
    pub temp_c: f64,
    /// Equivalent age at the reference temperature of the hydration, h.
    pub age_h: f64,
}

/// Answer at one hour.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Row {
    /// Hours.
    pub t_h: f64,
    /// At the depths asked for.
    pub depths: Vec<AtDepth>,
    /// Mean temperature of the slab, °C.
    pub mean_temp_c: f64,
    /// Mean degree of hydration.
    pub mean_alpha: f64,
}

/// A solved case.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Solved {
    /// One per hour asked for.
    pub rows: Vec<Row>,
    /// Highest temperature at half depth up to the last row, °C.
    pub peak_mid_depth_c: f64,
}

struct Running<'a> {
    case: &'a Case,
    slab: Slab,
    t: f64,
    face_ages: (f64, f64),
    faces: (f64, f64),
}

impl Case {
    fn air_at(&self, t: f64) -> f64 {
        let (mean, amp, peak) = self.air;
        let turn = (self.clock_h + t - peak) / 24.0;
        mean + amp * libm::cos(2.0 * core::f64::consts::PI * turn)
    }

    fn sun_at(&self, t: f64) -> f64 {
        let Some(s) = self.sun else { return 0.0 };
        let days = (self.clock_h + t) / 24.0;
        let clock = (days - libm::floor(days)) * 24.0;
        let part = (clock - s.rise_h) / (s.set_h - s.rise_h);
        if part > 0.0 && part < 1.0 {
            s.peak_w_m2 * libm::sin(core::f64::consts::PI * part)
        } else {
            0.0
        }
    }

    fn h_at(&self, t: f64) -> f64 {
        if self.adiabatic {
            return 0.0;
        }
        let begun = self.h_schedule.iter().take_while(|s| s.0 <= t + 1e-9);
        begun
            .last()
            .or(self.h_schedule.first())
            .map_or(0.0, |s| s.1)
    }

    fn under(&self) -> Underside {
        match self.bottom {
            _ if self.adiabatic => Underside::Insulated,
            Bottom::Insulated => Underside::Insulated,
            Bottom::Fixed(temp_c) | Bottom::Layer { deep_c: temp_c, .. } => {
                Underside::Held { temp_c }
            }
        }
    }

    fn build(&self) -> Slab {
        let m = &self.material;
        let mut layers = vec![Layer {
            thickness_m: self.thickness_m,
            k_w_mk: m.k_w_mk,
            capacity_j_m3k: m.rho_kg_m3 * m.cp_j_kgk,
            heat_j_m3: m.heat_j_m3,
            temp_c: self.start_c,
            age_h: 0.0,
            cells: CELLS,
            growth: 1.0,
        }];
        if let Bottom::Layer {
            thickness_m,
            k_w_mk,
            capacity_j_m3k,
            start_c,
            ..
        } = self.bottom
        {
            layers.push(Layer {
                thickness_m,
                k_w_mk,
                capacity_j_m3k,
                heat_j_m3: 0.0,
                temp_c: start_c,
                age_h: 0.0,
                cells: BELOW.0,
                growth: BELOW.1,
            });
        }
        Slab::new(&layers, &m.hydration)
    }

    /// Solves the case and reports at `hours` (ascending) and `depths` (m).
    pub(crate) fn solve(&self, hours: &[f64], depths: &[f64]) -> Solved {
        let before = f64::from(self.settle_days) * -24.0;
        let mut run = Running {
            case: self,
            slab: self.build(),
            t: before,
            face_ages: (0.0, 0.0),
            faces: (self.start_c, self.start_c),
        };
        run.faces = run.face_temps(self.h_at(before));
        let mut peak = self.start_c;
        if before < 0.0 {
            run.to(0.0, &mut peak);
            peak = run.depth(self.thickness_m / 2.0).temp_c;
        }
        let mut rows = Vec::new();
        for t in hours {
            run.to(*t, &mut peak);
            rows.push(run.row(depths));
        }
        Solved {
            rows,
            peak_mid_depth_c: peak,
        }
    }
}

impl Running<'_> {
    /// With the `h` that has acted until now: when it changes, the face follows steadily.
    fn face_temps(&self, h_top: f64) -> (f64, f64) {
        let c = self.case;
        (
            self.slab.top_c(h_top, c.air_at(self.t), c.sun_at(self.t)),
            self.slab.between_c(CELLS - 1, c.under()),
        )
    }

    /// Goes on to hour `end`, stopping at every change of `h`.
    fn to(&mut self, end: f64, peak: &mut f64) {
        let c = self.case;
        while self.t < end - 1e-9 {
            let longest = if self.t < 24.0 { 0.02 } else { 0.05 };
            let mut next = (self.t + longest).min(end);
            for s in &c.h_schedule {
                if s.0 > self.t + 1e-9 {
                    next = next.min(s.0);
                }
            }
            let drive = Drive {
                dt_s: (next - self.t) * 3600.0,
                air_c: (c.air_at(self.t), c.air_at(next)),
                sun_w_m2: (c.sun_at(self.t), c.sun_at(next)),
                h_top: c.h_at(self.t),
                under: c.under(),
            };
            self.slab.step(&c.material.hydration, &drive, None);
            let (dt, was) = (next - self.t, self.faces);
            self.t = next;
            self.faces = self.face_temps(drive.h_top);
            let rate = |a: f64, b: f64| {
                0.5 * (c.material.hydration.rate(a) + c.material.hydration.rate(b))
            };
            self.face_ages.0 += dt * rate(was.0, self.faces.0);
            self.face_ages.1 += dt * rate(was.1, self.faces.1);
            *peak = peak.max(self.depth(c.thickness_m / 2.0).temp_c);
        }
    }

    /// Between the cells' centres and the two faces by straight lines.
    fn depth(&self, x: f64) -> AtDepth {
        let dx = self.case.thickness_m / CELLS as f64;
        let inner = (self
            .slab
            .temps()
            .zip(self.slab.ages())
            .take(CELLS)
            .enumerate())
        .map(|(i, (t, a))| ((i as f64 + 0.5) * dx, t, a));
        let mut points = core::iter::once((0.0, self.faces.0, self.face_ages.0))
            .chain(inner)
            .chain([(self.case.thickness_m, self.faces.1, self.face_ages.1)]);
        let mut a = points.next().unwrap_or_default();
        let mut b = a;
        for p in points {
            (a, b) = (b, p);
            if x <= b.0 {
                break;
            }
        }
        let f = if b.0 > a.0 {
            ((x - a.0) / (b.0 - a.0)).clamp(0.0, 1.0)
        } else {
            0.0
        };
        AtDepth {
            x_m: x,
            temp_c: a.1 + (b.1 - a.1) * f,
            age_h: a.2 + (b.2 - a.2) * f,
        }
    }

    fn row(&self, depths: &[f64]) -> Row {
        let mean = |sum: f64| sum / CELLS as f64;
        Row {
            t_h: self.t,
            depths: depths.iter().map(|x| self.depth(*x)).collect(),
            mean_temp_c: mean(self.slab.temps().take(CELLS).sum()),
            mean_alpha: mean(self.slab.alphas().take(CELLS).sum()),
        }
    }
}
