//! What lies between concrete and air: wind, sun, covers and form boards.
//!
//! Transmittances add as resistances. Rain is not reckoned; the heat that drying and a
//! clear sky take is in the engine's `predict::course`. Conduction is in [`super::slab`].

use crate::facts::{DoseFacts, FormFacts, FormMaterial, PigmentTone};
use crate::units::KmH;

/// Convection and radiation to air that stands still, W/(m² K); source as [`convection`].
pub(crate) const STILL_AIR: f64 = 5.6;

/// Convection and radiation to the air at a wind speed, W/(m² K).
///
/// Source: NISTIR 6551 (NIST) uses this form: 5.6 + 4.0 v to 5 m/s, 7.2 v^0.78 above;
/// formula from memory.
pub(crate) fn convection(wind: KmH) -> f64 {
    let v = (wind.value() / 3.6).clamp(0.0, 60.0);
    if v <= 5.0 {
        STILL_AIR + 4.0 * v
    } else {
        7.2 * libm::pow(v, 0.78)
    }
}

/// Share of the sun that a concrete surface takes in: 0.65 new and grey, 0.85 dark by
/// pigment or wet; a light pigment leaves it at half, a wet one at 0.65. Where the tone was
/// not said, between dark and grey.
///
/// Source: reference values, section 8 (usual textbook values, from memory: white 0.30).
/// Pigment counts from 2 % of the cement (common practice, no source).
pub(crate) fn absorptivity(dose: &DoseFacts, wet: bool) -> f64 {
    let coloured = dose.pigment_pct >= 2.0;
    match dose.pigment_tone {
        Some(PigmentTone::Light) if coloured => {
            if wet {
                0.65
            } else {
                0.50
            }
        }
        _ if wet => 0.85,
        Some(PigmentTone::Dark) if coloured => 0.85,
        None if coloured => 0.75,
        _ => 0.65,
    }
}

/// Conductivity of form boards, W/(m K): timber 0.12, plywood 0.13, steel 50, plastic 0.2
/// (usual textbook values, from memory).
fn board_conductivity(material: FormMaterial) -> f64 {
    match material {
        FormMaterial::Timber => 0.12,
        FormMaterial::Plywood => 0.13,
        FormMaterial::Steel => 50.0,
        FormMaterial::Plastic => 0.2,
    }
}

/// Transmittance from air through something of resistance `r` m² K/W to the concrete.
pub(crate) fn through(h_air: f64, r_m2k_w: f64) -> f64 {
    if h_air > 0.0 {
        1.0 / (1.0 / h_air + r_m2k_w.max(0.0))
    } else {
        0.0
    }
}

/// Resistance of the form's boards, m² K/W.
pub(crate) fn board_resistance(form: FormFacts) -> f64 {
    form.thickness.value().clamp(0.0, 0.5) / board_conductivity(form.material)
}

/// Resistance of a sheet laid over concrete, with the air that it shuts in, m² K/W. The
/// log does not say whether it was a sheet or a blanket; the thinner one is taken, which
/// is the cautious side against frost (common practice, no source).
pub(crate) const COVER_RESISTANCE: f64 = 0.12;

/// Thickness of the column that stands for an exposed edge or face, m: about what a hand
/// finds at an arris.
pub(crate) const EDGE_WIDTH_M: f64 = 0.025;

/// From the edge column to the undisturbed core, W/(m² K): conduction over the reach of
/// a side's disturbance, which is about the thickness of the piece. Checked against
/// Newman's product rule in the tests.
pub(crate) fn edge_to_core(k_w_mk: f64, thickness_m: f64) -> f64 {
    k_w_mk / thickness_m.clamp(0.03, 0.3)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Metres;

    #[test]
    fn wind_as_published() {
        // Reference values, section 8: 0, 1, 2, 5, 8 m/s.
        for (v, h) in [
            (0.0, 5.6),
            (1.0, 9.6),
            (2.0, 13.6),
            (5.0, 25.6),
            (8.0, 36.45),
        ] {
            assert!((convection(KmH(v * 3.6)) - h).abs() < 0.02, "{v}");
        }
        assert!(convection(KmH(f64::INFINITY)).is_finite());
    }

    #[test]
    fn boards_as_published() {
        // Reference values, section 8: plywood 18 mm, h 15 and 8; softwood 38 mm, h 15.
        let u = |material, mm: f64, h| {
            through(
                h,
                board_resistance(FormFacts {
                    material,
                    thickness: Metres(mm / 1000.0),
                }),
            )
        };
        assert!((u(FormMaterial::Plywood, 18.0, 15.0) - 4.88).abs() < 0.01);
        assert!((u(FormMaterial::Plywood, 18.0, 8.0) - 3.80).abs() < 0.01);
        assert!((u(FormMaterial::Timber, 38.0, 15.0) - 2.61).abs() < 0.01);
    }

    #[test]
    fn wet_or_dark_takes_in_more_sun() {
        let takes = |pigment_pct, pigment_tone, wet| {
            let dose = DoseFacts {
                pigment_pct,
                pigment_tone,
                ..DoseFacts::default()
            };
            absorptivity(&dose, wet)
        };
        let grey = takes(0.0, None, false);
        assert!(takes(0.0, None, true) > grey && takes(5.0, None, false) > grey);
        // Reference values, section 8: white 0.30, dark pigmented or wet 0.80 to 0.90.
        let light = takes(5.0, Some(PigmentTone::Light), false);
        assert!((0.30..grey).contains(&light), "{light}");
        let dark = takes(5.0, Some(PigmentTone::Dark), false);
        assert!((0.80..=0.90).contains(&dark), "{dark}");
    }
}
