//! How fast water leaves a fresh surface.
//!
//! Two published formulas; both are good to about ±40 % (Hover, ACI SP-338, 2020), so
//! their spread is shown, never a single figure as truth. What evaporation does to the
//! bleed sheen is in [`crate::predict`]; covers and shade are in [`crate::heat`].

use crate::units::{Celsius, KgM2H, KmH, Kpa, Percent};
use serde::{Deserialize, Serialize};

/// Above this, caution: cover, shade, windbreak.
///
/// Source: FHWA-HRT-05-038 chapter 5, after ACI 305.
pub const CAUTION: KgM2H = KgM2H(0.5);
/// Above this, act before placing (0.2 lb/ft²/h).
///
/// Source: as [`CAUTION`].
pub const ACT: KgM2H = KgM2H(1.0);

/// Risk of plastic shrinkage cracks in a fresh surface.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum DryingRisk {
    /// Below 0.5 kg/m²/h.
    Low,
    /// 0.5 to 1.0 kg/m²/h.
    Caution,
    /// 1.0 kg/m²/h and more.
    Act,
}

impl DryingRisk {
    /// Judges a rate by [`CAUTION`] and [`ACT`].
    #[must_use]
    pub fn of(rate: KgM2H) -> DryingRisk {
        if rate >= ACT {
            DryingRisk::Act
        } else if rate >= CAUTION {
            DryingRisk::Caution
        } else {
            DryingRisk::Low
        }
    }

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            DryingRisk::Low => "low",
            DryingRisk::Caution => "caution",
            DryingRisk::Act => "act",
        }
    }
}

/// Saturation vapour pressure, over ice below the triple point; the temperature is taken
/// as -100 to 200 °C, where the formula holds.
///
/// Source: Hyland and Wexler 1983 as in the ASHRAE Handbook, Fundamentals (from memory);
/// checked against PsychroLib 2.5.0.
#[must_use]
pub fn saturation_pressure(temp: Celsius) -> Kpa {
    let t = temp.0.clamp(-100.0, 200.0);
    let k = t + 273.15;
    let ln_pa = if t <= 0.01 {
        -5.674_535_9e3 / k
            + 6.392_524_7
            + k * (-9.677_843e-3 + k * (6.221_570_1e-7 + k * (2.074_782_5e-9 + k * -9.484_024e-13)))
            + 4.163_501_9 * libm::log(k)
    } else {
        -5.800_220_6e3 / k
            + 1.391_499_3
            + k * (-4.864_023_9e-2 + k * (4.176_476_8e-5 + k * -1.445_209_3e-8))
            + 6.545_967_3 * libm::log(k)
    };
    Kpa(libm::exp(ln_pa) / 1000.0)
}

/// Temperature at which air of this humidity is saturated.
///
/// Source: Tetens as in FAO-56, eq. 11, solved for the temperature.
#[must_use]
pub fn dew_point(air: Celsius, rh: Percent) -> Celsius {
    let t = air.0.clamp(-60.0, 90.0);
    let wet = libm::log((rh.0 / 100.0).clamp(0.01, 1.0)) + 17.27 * t / (t + 237.3);
    Celsius(237.3 * wet / (17.27 - wet))
}

/// A share of 0 to 1.
fn share(rh: Percent) -> f64 {
    (rh.0 / 100.0).clamp(0.0, 1.0)
}

/// Evaporation after Menzel 1954 (ACI 305); 0 where water would condense.
///
/// ```
/// use slowstone_curing::evaporation::{DryingRisk, menzel};
/// use slowstone_curing::units::{Celsius, KmH, Percent};
/// let rate = |wind| menzel(Celsius(31.0), Celsius(27.0), Percent(50.0), KmH(wind));
/// assert_eq!(DryingRisk::of(rate(0.0)), DryingRisk::Low);
/// assert_eq!(DryingRisk::of(rate(19.0)), DryingRisk::Act);
/// ```
///
/// Source: `0.315 (e0 - r ea) (0.253 + 0.060 V)`, kPa and km/h, from memory; agrees with
/// the PCA table of 1957 within 0.04 kg/m²/h below 38 °C.
#[must_use]
pub fn menzel(concrete: Celsius, air: Celsius, rh: Percent, wind: KmH) -> KgM2H {
    let deficit = saturation_pressure(concrete).0 - share(rh) * saturation_pressure(air).0;
    KgM2H(0.315 * deficit.max(0.0) * (0.253 + 0.060 * wind.0.max(0.0)))
}

/// Evaporation after Uno 1998; 0 where water would condense.
///
/// Source: ACI Mater. J. 95-M34: `5 ([Tc+18]^2.5 - r [Ta+18]^2.5) (V+4) 1e-6`.
#[must_use]
pub fn uno(concrete: Celsius, air: Celsius, rh: Percent, wind: KmH) -> KgM2H {
    let power = |t: Celsius| libm::pow((t.0 + 18.0).clamp(0.0, 1000.0), 2.5);
    let deficit = power(concrete) - share(rh) * power(air);
    KgM2H(5.0 * deficit.max(0.0) * (wind.0.max(0.0) + 4.0) * 1e-6)
}
