//! Pressure of fresh concrete on a form.
//!
//! A small form is filled well within setting time: its full fluid head counts. The rules
//! for tall walls (CIRIA report 108, ACI 347) lower it by rate of placing and temperature.
//! They are for choosing boards and clamps; a form that may hurt someone needs an engineer.

use crate::units::{Celsius, Kpa, Metres};

/// Standard gravity to the digits in use on sites, m/s².
pub const GRAVITY: f64 = 9.81;
/// Kilopascals in a pound per square foot.
pub const KPA_PER_PSF: f64 = 0.047_880_258_980_336;

/// Which limit decided a pressure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Governs {
    /// Full head: density times height.
    Fluid,
    /// The rule's own expression.
    Rule,
    /// The rule's least pressure.
    Minimum,
}

/// Pressure at the foot of a full fluid head.
#[must_use]
pub fn fluid(density_kg_m3: f64, height: Metres) -> Kpa {
    Kpa(density_kg_m3 * GRAVITY * height.0 / 1000.0)
}

/// Push of a full fluid head on each metre of form, kN/m, acting at a third of the height.
#[must_use]
pub fn fluid_push(density_kg_m3: f64, height: Metres) -> f64 {
    fluid(density_kg_m3, height).0 * height.0 / 2.0
}

/// Temperature factor K of CIRIA 108, `(36 / (T + 16))²`, taken from -10 °C up.
#[must_use]
pub fn temperature_factor(temp: Celsius) -> f64 {
    let root = 36.0 / (temp.0 + 16.0).max(6.0);
    root * root
}

/// One pour of a wall or column as CIRIA 108 sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ciria108 {
    /// Weight density, kN/m³.
    pub d_kn_m3: f64,
    /// 1.0 for walls, 1.5 for columns.
    pub c1: f64,
    /// 0.3 for plain, 0.45 for retarded, 0.6 for heavily retarded concrete.
    pub c2: f64,
    /// Rate of rise, m/h.
    pub r_m_h: f64,
    /// Height of the form and of the pour.
    pub height: Metres,
    /// Concrete at placing.
    pub temp: Celsius,
}

impl Ciria108 {
    /// `D (C1 sqrt(R) + C2 K sqrt(H - C1 sqrt(R)))`, never above the fluid head `D H`.
    ///
    /// Source: CIRIA report 108, 1985, as quoted in a public worked sheet.
    #[must_use]
    pub fn pressure(&self) -> (Kpa, Governs) {
        let head = self.d_kn_m3 * self.height.0;
        let rise = self.c1 * self.r_m_h.max(0.0).sqrt();
        let rest = self.height.0 - rise;
        if rest <= 0.0 {
            return (Kpa(head), Governs::Fluid);
        }
        let rule = self.d_kn_m3 * (rise + self.c2 * temperature_factor(self.temp) * rest.sqrt());
        if rule < head {
            (Kpa(rule), Governs::Rule)
        } else {
            (Kpa(head), Governs::Fluid)
        }
    }
}

/// One pour of a wall as ACI 347 sees it (slump up to 175 mm, vibrated inside to 1.2 m).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aci347Wall {
    /// Rate of placing, ft/h.
    pub r_ft_h: f64,
    /// Concrete at placing, °F.
    pub temp_f: f64,
    /// Height, ft.
    pub height_ft: f64,
    /// Unit weight, lb/ft³.
    pub unit_weight_pcf: f64,
    /// Chemistry: 1.0 plain, 1.2 retarded or blended, 1.4 both.
    pub cc: f64,
    /// Weight: see [`weight_coefficient`].
    pub cw: f64,
}

/// Weight coefficient of ACI 347: 1 for 140 to 150 lb/ft³, w/145 above, 0.5 (1 + w/145)
/// but at least 0.8 below (from memory).
#[must_use]
pub fn weight_coefficient(unit_weight_pcf: f64) -> f64 {
    let ratio = unit_weight_pcf / 145.0;
    if unit_weight_pcf > 150.0 {
        ratio
    } else if unit_weight_pcf >= 140.0 {
        1.0
    } else {
        (0.5 * (1.0 + ratio)).max(0.8)
    }
}

impl Aci347Wall {
    /// `Cc Cw (150 + 9000 R/T)` below 7 ft/h and up to 14 ft, `Cc Cw (150 + 43 400/T +
    /// 2800 R/T)` otherwise to 15 ft/h; at least `600 Cw`, never above the fluid head,
    /// which alone counts above 15 ft/h. In lb/ft², here as kPa.
    ///
    /// Source: ACI 347-04 (two formulas: concreteconstruction.net; limits from memory).
    #[must_use]
    pub fn pressure(&self) -> (Kpa, Governs) {
        let head = self.unit_weight_pcf * self.height_ft;
        let temp_f = self.temp_f.max(1.0);
        let slow = self.r_ft_h < 7.0 && self.height_ft <= 14.0;
        let base = if slow {
            150.0 + 9000.0 * self.r_ft_h / temp_f
        } else if self.r_ft_h <= 15.0 {
            150.0 + 43_400.0 / temp_f + 2800.0 * self.r_ft_h / temp_f
        } else {
            f64::INFINITY
        };
        let rule = self.cc * self.cw * base;
        let least = 600.0 * self.cw;
        let (psf, governs) = if rule.max(least) >= head {
            (head, Governs::Fluid)
        } else if rule >= least {
            (rule, Governs::Rule)
        } else {
            (least, Governs::Minimum)
        };
        (Kpa(psf * KPA_PER_PSF), governs)
    }
}
