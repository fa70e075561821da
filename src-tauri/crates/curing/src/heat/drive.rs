//! What acts on a column during one step, and what flows because of it.
//!
//! Air and sun at the top, ground or a table below, form and core beside. How these come
//! about is in [`super::surface`] and the engine's `predict::course`; what the column does
//! with them is in [`super::slab`].

/// What the lowest cell meets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Underside {
    /// No heat passes.
    Insulated,
    /// The underside is held at a temperature.
    Held {
        /// °C.
        temp_c: f64,
    },
    /// Something at a temperature, through a transmittance.
    Meets {
        /// W/(m² K).
        u_w_m2k: f64,
        /// °C.
        temp_c: f64,
    },
}

/// What acts on a column during one step. Pairs are the values at its start and end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drive {
    /// Length of the step, s.
    pub dt_s: f64,
    /// Air, °C.
    pub air_c: (f64, f64),
    /// Sun that the surface takes in, W/m².
    pub sun_w_m2: (f64, f64),
    /// From air to the top surface, W/(m² K).
    pub h_top: f64,
    /// Underneath.
    pub under: Underside,
}

/// Heat that passes through the sides of an edge column.
#[derive(Clone, Copy, Debug)]
pub struct Sides<'a> {
    /// Thickness of the column, m.
    pub width_m: f64,
    /// From air to the column through the form or bare, W/(m² K).
    pub u_air: f64,
    /// Sun that the face takes in, W/m².
    pub sun_w_m2: f64,
    /// To the core, W/(m² K).
    pub u_core: f64,
    /// Temperatures of the core's cells at the start and end of the step, °C.
    pub core: (&'a [f64], &'a [f64]),
}

/// What went in and out in one step, J/m² of plan.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Flows {
    /// In through the top.
    pub top: f64,
    /// In through the underside.
    pub under: f64,
    /// In through the sides.
    pub sides: f64,
    /// Given off by the cement.
    pub hydration: f64,
}

impl Sides<'_> {
    /// What would flow in through the sides if the cell `i` were at 0 °C, W/m² of side, at a
    /// share `f` of the step.
    pub(super) fn inflow(&self, i: usize, f: f64, air: f64) -> f64 {
        let core = match (self.core.0.get(i), self.core.1.get(i)) {
            (Some(a), Some(b)) => a + (b - a) * f,
            _ => air,
        };
        self.u_air * air + self.sun_w_m2 + self.u_core * core
    }
}

/// The ends of a column: from the middle of its first and of its last cell to their faces,
/// W/(m² K), and the place of the last one.
#[derive(Clone, Copy)]
pub(super) struct Ends {
    pub first_half: f64,
    pub last_half: f64,
    pub last: usize,
}

/// What a column meets at its ends and sides in one step.
pub(super) struct Around<'a> {
    drive: &'a Drive,
    pub sides: Option<&'a Sides<'a>>,
    /// Place of the last cell.
    pub last: usize,
    /// From the middle of the top cell to the air, W/(m² K).
    pub u_top: f64,
    /// Of the sun on the surface, what does not go back to the air at once.
    pub kept: f64,
    /// From the middle of the lowest cell to what lies below it, W/(m² K), at what °C.
    pub u_under: f64,
    pub under_c: f64,
    /// To air and core together, W/(m² K).
    pub u_sides: f64,
}

impl<'a> Around<'a> {
    /// What the column between these cells meets.
    pub(super) fn of(ends: Ends, d: &'a Drive, sides: Option<&'a Sides<'a>>) -> Around<'a> {
        let (u_under, under_c) = match d.under {
            Underside::Insulated => (0.0, 0.0),
            Underside::Held { temp_c } => (ends.last_half, temp_c),
            Underside::Meets { u_w_m2k, temp_c } => (series(ends.last_half, u_w_m2k), temp_c),
        };
        let from_surface = ends.first_half + d.h_top;
        Around {
            drive: d,
            sides,
            last: ends.last,
            u_top: series(ends.first_half, d.h_top),
            kept: if from_surface > 0.0 {
                ends.first_half / from_surface
            } else {
                0.0
            },
            u_under,
            under_c,
            u_sides: sides.map_or(0.0, |s| s.u_air + s.u_core),
        }
    }

    /// Length of the step, s.
    pub(super) fn dt_s(&self) -> f64 {
        self.drive.dt_s
    }

    /// Air at a share of the step, °C.
    pub(super) fn air(&self, f: f64) -> f64 {
        let (then, end) = self.drive.air_c;
        then + (end - then) * f
    }

    /// Sun at a share of the step, W/m².
    pub(super) fn sun(&self, f: f64) -> f64 {
        let (then, end) = self.drive.sun_w_m2;
        then + (end - then) * f
    }
}

/// Two transmittances one behind the other.
pub(super) fn series(a: f64, b: f64) -> f64 {
    if a + b > 0.0 { a * b / (a + b) } else { 0.0 }
}
