//! Long-wave radiation between a surface and the sky.
//!
//! A term of its own beside sun and convection, as NISTIR 6551 (Bentz 2000) reckons the top
//! of a pavement. What of the sky a piece sees, and how cloudy it is, comes from
//! [`crate::air`]; the sun is in [`crate::sun`].

use crate::evaporation::dew_point;
use crate::units::{Celsius, Percent};

/// Stefan and Boltzmann, W/(m² K⁴).
const SIGMA: f64 = 5.670_374e-8;
/// Emissivity of concrete (reference values, section 8).
pub const EMISSIVITY: f64 = 0.90;
const KELVIN: f64 = 273.15;

/// What a level surface looks up to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Above {
    /// Air temperature.
    pub air: Celsius,
    /// Its humidity.
    pub rh: Percent,
    /// Share of the sky under cloud, 0 to 1.
    pub cloud: f64,
    /// Share of what it looks up to that is sky; the rest is as warm as the air.
    pub view: f64,
}

impl Above {
    /// Emissivity of the sky at the temperature of the air.
    ///
    /// Source: Walton 1983 by the dew point, with cloud in tenths, as in NISTIR 6551 and in
    /// EnergyPlus: `(0.787 + 0.764 ln(Td/273)) (1 + 0.0224 N - 0.0035 N² + 0.00028 N³)`
    /// (from memory).
    #[must_use]
    pub fn emissivity(&self) -> f64 {
        let dew_k = (dew_point(self.air, self.rh).value() + KELVIN).clamp(200.0, 340.0);
        let n = 10.0 * self.cloud.clamp(0.0, 1.0);
        let clear = 0.787 + 0.764 * libm::log(dew_k / 273.0);
        (clear * (1.0 + 0.0224 * n - 0.0035 * n * n + 0.000_28 * n * n * n)).clamp(0.0, 1.0)
    }

    /// What a surface as warm as the air loses, W/m².
    #[must_use]
    pub fn loss_w_m2(&self) -> f64 {
        let air_k = self.air.value() + KELVIN;
        let sky = self.view.clamp(0.0, 1.0) * (1.0 - self.emissivity());
        EMISSIVITY * SIGMA * air_k * air_k * air_k * air_k * sky
    }

    /// What it loses more for each kelvin that it is warmer than the air, W/(m² K): exact
    /// at `top`, because a difference of fourth powers is this times the difference.
    #[must_use]
    pub fn exchange_w_m2k(&self, top: Celsius) -> f64 {
        let (a, t) = (self.air.value() + KELVIN, top.value() + KELVIN);
        EMISSIVITY * SIGMA * (t * t + a * a) * (t + a)
    }
}
