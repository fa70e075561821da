//! Lifting and moving: what a person may lift (revised NIOSH equation), and the bending of
//! a green piece that is picked up.
//!
//! Small steps are limited by backs and edges long before bending; the checks here say so
//! with numbers. They are no lifting plan: for anything that may fall on somebody follow
//! the local rules.

use crate::units::{Kg, Metres, Mpa};

/// Load constant of the NIOSH equation.
pub const LOAD_CONSTANT: Kg = Kg(23.0);

/// A lift in the terms of the NIOSH equation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lift {
    /// Hands in front of the ankles, cm.
    pub h_cm: f64,
    /// Hands above the floor at the start, cm.
    pub v_cm: f64,
    /// Way up or down, cm.
    pub d_cm: f64,
    /// Twist of the body, degrees.
    pub a_deg: f64,
    /// Frequency multiplier, 0 to 1, from the table of the standard: 1.0 for a lift now and
    /// then, 0.94 for one a minute up to an hour (from memory).
    pub fm: f64,
    /// Coupling multiplier: 1.0 good, 0.95 fair, 0.90 poor grip.
    pub cm: f64,
}

/// The multipliers that a [`Lift`] comes to, each 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Multipliers {
    /// Horizontal.
    pub hm: f64,
    /// Vertical.
    pub vm: f64,
    /// Distance.
    pub dm: f64,
    /// Asymmetry.
    pub am: f64,
    /// Frequency.
    pub fm: f64,
    /// Coupling.
    pub cm: f64,
}

impl Lift {
    /// `25/H`, `1 - 0.003 |V - 75|`, `0.82 + 4.5/D`, `1 - 0.0032 A`, each at most 1; 0 out
    /// of reach (H above 63 cm, V or D above 175 cm, A above 135°).
    ///
    /// Source: Waters, Putz-Anderson and Garg 1994, NIOSH 94-110 (public copies; the ends
    /// of reach from memory).
    #[must_use]
    pub fn multipliers(&self) -> Multipliers {
        let within = |x: f64, most: f64, m: f64| if x <= most { m.clamp(0.0, 1.0) } else { 0.0 };
        Multipliers {
            hm: within(self.h_cm, 63.0, 25.0 / self.h_cm.max(25.0)),
            vm: within(self.v_cm, 175.0, 1.0 - 0.003 * (self.v_cm - 75.0).abs()),
            dm: within(self.d_cm, 175.0, 0.82 + 4.5 / self.d_cm.max(25.0)),
            am: within(self.a_deg, 135.0, 1.0 - 0.0032 * self.a_deg),
            fm: self.fm.clamp(0.0, 1.0),
            cm: self.cm.clamp(0.0, 1.0),
        }
    }
}

impl Multipliers {
    /// Recommended weight limit for one person.
    #[must_use]
    pub fn weight_limit(&self) -> Kg {
        Kg(LOAD_CONSTANT.0 * self.hm * self.vm * self.dm * self.am * self.fm * self.cm)
    }
}

/// Modulus of rupture, `0.62 sqrt(f'c)`.
///
/// Source: ACI 318-19 equation 19.2.3.1.
#[must_use]
pub fn modulus_of_rupture(strength: Mpa) -> Mpa {
    Mpa(0.62 * strength.0.max(0.0).sqrt())
}

/// Bending stress below which no crack shows at handling: the modulus of rupture over 1.5,
/// `5 sqrt(f'ci)` in psi.
///
/// Source: PCI Design Handbook, from memory.
#[must_use]
pub fn handling_stress(strength: Mpa) -> Mpa {
    modulus_of_rupture(strength) * (1.0 / 1.5)
}

/// Bending moments of a uniform bar picked at two points, each `a` from an end: at
/// mid-span (sagging) and over the points (hogging), N·m, for `w` N/m. `a` of 0 is a bar
/// that is held at its ends.
#[must_use]
pub fn two_point_moments(w_n_m: f64, length: Metres, a: Metres) -> (f64, f64) {
    let over = w_n_m * a.0 * a.0 / 2.0;
    let between = length.0 - 2.0 * a.0;
    (w_n_m * between * between / 8.0 - over, over)
}

/// Greatest bending stress in a rectangular piece that lies flat, with a factor for
/// suction, shock and jerk (1.5 is usual at stripping).
#[must_use]
pub fn bending_stress(moment_n_m: f64, width: Metres, thickness: Metres, factor: f64) -> Mpa {
    let modulus_m3 = width.0 * thickness.0 * thickness.0 / 6.0;
    Mpa(moment_n_m * factor / modulus_m3 / 1e6)
}
