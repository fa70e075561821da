//! Handling a green step: what it weighs and who may lift it, whether it carries the next
//! one being cast, how far apart the clamps of its form may stand.
//!
//! Formulas of lifting and bending are in [`crate::lifting`], of pressure in
//! [`crate::form_pressure`], strength in [`crate::predict`] (give the cautious one). None
//! of this is a design: what may fall on somebody needs an engineer.

use crate::facts::{Above, FormFacts, FormMaterial, Piece};
use crate::form_pressure::{GRAVITY, fluid, fluid_push};
use crate::lifting::{Lift, bending_stress, handling_stress, two_point_moments};
use crate::units::{Kg, Kpa, Metres, Mpa};
use serde::{Deserialize, Serialize};

/// Wet concrete with mesh, kg/m³ (reference values, section 9: the heavy side).
pub const DENSITY_KG_M3: f64 = 2400.0;
/// Suction, shock and jerk on what is lifted (PCI Design Handbook, from memory: 1.3 to 1.5
/// at stripping, 1.5 in travel).
const JERK: f64 = 1.5;
/// From the ground to hip height with a poor grip, now and then (NIOSH terms).
const FROM_THE_GROUND: Lift = Lift {
    h_cm: 35.0,
    v_cm: 20.0,
    d_cm: 60.0,
    a_deg: 0.0,
    fm: 0.94,
    cm: 0.90,
};
/// What two and three people lift of the sum of what each may: 2/3 and 1/2 (HSE guidance
/// on manual handling, L23, from memory).
const TEAMS: [(u32, f64); 3] = [(1, 1.0), (2, 2.0 / 3.0), (3, 0.5)];
/// Load of people on a stair, kPa (EN 1991-1-1, category C, from memory).
const CROWD_KPA: f64 = 5.0;
/// A person and a full barrow on one spot of the overlap, kN: 100 kg and 200 kg (common
/// practice, no source), on the print of a wheel, m (judgement).
const PERSON_AND_BARROW_KN: f64 = 2.94;
const WHEEL_M: (f64, f64) = (0.10, 0.05);
/// The form of the next step, kPa (usual for timber side forms, from memory).
const FORM_KPA: f64 = 0.5;
/// Factor on variable loads (EN 1990), on plain concrete, and its coefficient for brittle
/// failure (EN 1992-1-1, 12.3.1).
const LOAD_FACTOR: f64 = 1.5;
const CONCRETE_FACTOR: f64 = 1.5;
const PLAIN: f64 = 0.8;
/// The least strength of an edge beside which somebody works, MPa: that of light feet.
const LEAST_AT_THE_EDGE_MPA: f64 = 3.5;
/// Continuous over the clamps: moment `p L² / 10`, sag `p L⁴ / (145 E I)` (usual formwork
/// tables, from memory).
const MOMENT_PART: f64 = 10.0;
const SAG_PART: f64 = 145.0;
/// A form may sag by this share of the span, and by this much, m (common practice).
const SAG: (f64, f64) = (1.0 / 270.0, 0.003);

/// A step that is picked up and moved.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Moving {
    /// Its mass.
    pub mass: Kg,
    /// What one person may lift from the ground here (NIOSH).
    pub one_person: Kg,
    /// People needed; none: more than three, so by machine, rollers or not at all.
    pub persons: Option<u32>,
    /// Greatest bending stress when it hangs by its ends, with jerk.
    pub stress_at_ends: Mpa,
    /// The same when it is carried at the fifth points.
    pub stress_at_fifths: Mpa,
    /// Stress below which no crack shows at its strength.
    pub allowed: Mpa,
    /// Neither way cracks it. Edges still want care: they break long before.
    pub holds: bool,
}

/// Moving a piece at strength `low` (the cautious end).
///
/// ```
/// use slowstone_curing::handling::moving;
/// use slowstone_curing::predict::{Base, Piece};
/// use slowstone_curing::units::{Metres, Mpa};
/// let step = Piece {
///     thickness: Metres(0.15),
///     width: Metres(1.2),
///     depth: Metres(0.4),
///     base: Base::Gravel,
/// };
/// let moved = moving(&step, Mpa(3.5));
/// assert!((moved.mass.value() - 172.8).abs() < 0.01);
/// assert_eq!(moved.persons, None, "nobody lifts that");
/// ```
#[must_use]
pub fn moving(piece: &Piece, low: Mpa) -> Moving {
    let mass = mass(piece);
    let one_person = FROM_THE_GROUND.multipliers().weight_limit();
    let persons = TEAMS
        .into_iter()
        .find(|(n, share)| one_person.0 * f64::from(*n) * share >= mass.0)
        .map(|t| t.0);
    let length = piece.width;
    let w_n_m = mass.0 * GRAVITY / length.0.max(1e-6);
    let stress = |a: f64| {
        let (between, over) = two_point_moments(w_n_m, length, Metres(a * length.0));
        bending_stress(between.max(over), piece.depth, piece.thickness, JERK)
    };
    let (stress_at_ends, stress_at_fifths) = (stress(0.0), stress(0.2));
    let allowed = handling_stress(low);
    Moving {
        mass,
        one_person,
        persons,
        stress_at_ends,
        stress_at_fifths,
        allowed,
        holds: low.0 > 0.0 && stress_at_ends.0 <= allowed.0,
    }
}

/// Mass of a piece, as a box.
#[must_use]
pub fn mass(piece: &Piece) -> Kg {
    let volume = piece.thickness.0 * piece.width.0 * piece.depth.0;
    Kg(volume.max(0.0) * DENSITY_KG_M3)
}

/// The next step being cast on this one.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Stacking {
    /// Weight of the wet step on what it covers.
    pub weight: Kpa,
    /// Pressure of the wet step at the foot of its form, where it meets this one.
    pub foot: Kpa,
    /// Push of its form on each metre of this one's edge, N.
    pub push_n_m: f64,
    /// What is asked of it now against what it is built for: the wet step over the
    /// finished step with people on it.
    pub load_share: f64,
    /// Its strength now against 28 days.
    pub strength_share: f64,
    /// Strength has grown as far as the load (Sadgrove's rule, CIRIA). The other criteria
    /// of [`crate::predict::MilestoneKind::NextStep`] hold beside it.
    pub carries: bool,
}

/// Casting `next` on a step of strength `now`, which is `full` at 28 days.
///
/// Take both from the middle line of the curve: what is unsure of a mix goes out of their
/// ratio. That it is late enough to be safe is for the milestone to say.
///
/// Source of the rule: early load over service load at most early strength over 28-day
/// strength (Sadgrove, TRB monograph 1975; CIRIA 136).
#[must_use]
pub fn stacking(next: &Piece, now: Mpa, full: Mpa) -> Stacking {
    let weight = fluid(DENSITY_KG_M3, next.thickness);
    let load_share = weight.0 / (weight.0 + CROWD_KPA);
    let strength_share = if full.0 > 0.0 {
        now.0.max(0.0) / full.0
    } else {
        0.0
    };
    Stacking {
        weight,
        foot: weight,
        push_n_m: 1000.0 * fluid_push(DENSITY_KG_M3, next.thickness),
        load_share,
        strength_share,
        carries: strength_share >= load_share,
    }
}

/// The strength that the edge of a piece needs before the next step is cast on it.
///
/// The wet step and its form press on the overlap, a person with a barrow stands on it at a
/// free corner. The corner must not shear off over a plane that spreads at 45° from the
/// wheel, nor be crushed under it, with the factors above; never less than 3.5 MPa.
///
/// Source: plain concrete after EN 1992-1-1, section 12: shear `1.5 V / A <= fctd` (12.6.3,
/// nothing pressing along), `fctd = 0.8 * 0.7 * 0.3 fck^(2/3) / 1.5` (3.1.6 and table 3.1),
/// `fcd = 0.8 fck / 1.5`.
#[must_use]
pub fn carries_the_next(piece: &Piece, above: Option<Above>) -> Mpa {
    let above = above.unwrap_or(Above {
        thickness: piece.thickness,
        width: piece.width,
        overlap: piece.depth * (1.0 / 3.0),
    });
    let thickness_m = piece.thickness.0.clamp(0.01, 20.0);
    let wide_m = (WHEEL_M.0 + thickness_m).min(piece.width.0.max(WHEEL_M.0));
    let spread_kpa = fluid(DENSITY_KG_M3, above.thickness).0 + FORM_KPA;
    let spread_kn = spread_kpa * wide_m * above.overlap.0.clamp(0.0, piece.depth.0.max(0.0));
    // The form is held at this piece, and pushes at its edge.
    let push_kn = fluid_push(DENSITY_KG_M3, above.thickness) * wide_m;
    let down_kn = LOAD_FACTOR * (PERSON_AND_BARROW_KN + spread_kn);
    let shear_kn = libm::hypot(down_kn, LOAD_FACTOR * push_kn);
    let shear_mpa = 1.5 * shear_kn / (1000.0 * wide_m * thickness_m);
    let tension = PLAIN * 0.7 * 0.3 / CONCRETE_FACTOR;
    let ratio = shear_mpa / tension;
    let by_shear = ratio * libm::sqrt(ratio);
    let on_wheel = LOAD_FACTOR * PERSON_AND_BARROW_KN / (1000.0 * WHEEL_M.0 * WHEEL_M.1);
    let by_crushing = (on_wheel + LOAD_FACTOR * spread_kpa / 1000.0) * CONCRETE_FACTOR / PLAIN;
    Mpa(by_shear.max(by_crushing).max(LEAST_AT_THE_EDGE_MPA))
}

/// Bending strength and stiffness of a wet form board, MPa: green softwood and used
/// plywood at working stress (usual tables, from memory); mild steel; a soft plastic.
fn board(material: FormMaterial) -> (f64, f64) {
    match material {
        FormMaterial::Timber => (7.0, 7000.0),
        FormMaterial::Plywood => (8.0, 5000.0),
        FormMaterial::Steel => (140.0, 200_000.0),
        FormMaterial::Plastic => (4.0, 800.0),
    }
}

/// How far apart the clamps, stakes or braces of a side form may stand, by strength and by
/// sag of its boards under full fluid pressure; none where no number makes sense.
#[must_use]
pub fn clamp_spacing(form: FormFacts, height: Metres) -> Option<Metres> {
    let (strength, stiffness) = board(form.material);
    let (t, h) = (form.thickness.0, height.0);
    if !(t > 0.0 && h > 0.0 && t.is_finite() && h.is_finite()) {
        return None;
    }
    // A strip of a metre at the foot, where the pressure is greatest.
    let p = 1000.0 * fluid(DENSITY_KG_M3, height).0;
    let by_strength = (MOMENT_PART * strength * 1e6 * t * t / 6.0 / p).sqrt();
    let ei = stiffness * 1e6 * t * t * t / 12.0;
    let by_share = libm::cbrt(SAG_PART * ei * SAG.0 / p);
    let by_sag = (SAG_PART * ei * SAG.1 / p).sqrt().sqrt();
    Some(Metres(by_strength.min(by_share).min(by_sag)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::Base;

    fn piece(width: f64, depth: f64, thickness: f64) -> Piece {
        Piece {
            thickness: Metres(thickness),
            width: Metres(width),
            depth: Metres(depth),
            base: Base::Gravel,
        }
    }

    /// Reference values, section 9: mass and stress x 1.5 of three steps.
    #[test]
    fn moving_as_tabled() {
        for (p, kg, fifths, ends) in [
            (piece(1.0, 0.35, 0.15), 126.0, 0.0353, 0.1766),
            (piece(1.2, 0.40, 0.15), 172.8, 0.0509, 0.2543),
            (piece(1.5, 0.45, 0.18), 291.6, 0.0662, 0.3311),
        ] {
            let m = moving(&p, Mpa(3.5));
            assert!((m.mass.0 - kg).abs() < 0.01, "{m:?}");
            assert!((m.stress_at_ends.0 - ends).abs() < 0.0005, "{m:?}");
            assert!((m.stress_at_fifths.0 - fifths).abs() < 0.0005, "{m:?}");
            assert!((m.allowed.0 - 0.776).abs() < 0.003, "{m:?}");
            assert!(m.holds && m.persons.is_none(), "{m:?}");
        }
        assert!(!moving(&piece(2.5, 0.3, 0.05), Mpa(0.5)).holds);
    }

    /// NIOSH as in the reference values, section 16, in another posture; nobody lifts a
    /// step of 50 kg alone, three may not lift 40.
    #[test]
    fn people_by_the_limit_of_one() {
        let one = moving(&piece(0.2, 0.2, 0.05), Mpa(5.0));
        assert!((one.one_person.0 - 10.39).abs() < 0.02, "{one:?}");
        assert_eq!(one.persons, Some(1));
        assert_eq!(moving(&piece(0.3, 0.3, 0.06), Mpa(5.0)).persons, Some(2));
        assert_eq!(moving(&piece(0.4, 0.3, 0.05), Mpa(5.0)).persons, Some(3));
        assert_eq!(moving(&piece(0.5, 0.4, 0.10), Mpa(5.0)).persons, None);
    }

    /// Reference values, section 11: 0.18 m of 2400 kg/m³: 4.238 kPa, 381 N/m.
    #[test]
    fn the_next_step_weighs_and_pushes() {
        let s = stacking(&piece(1.2, 0.4, 0.18), Mpa(7.0), Mpa(27.6));
        assert!((s.weight.0 - 4.238).abs() < 0.001 && (s.push_n_m - 381.4).abs() < 0.5);
        assert!((s.load_share - 4.238 / 9.238).abs() < 1e-4);
        // 7 MPa of 27.6 do not yet carry by this rule alone, 14 do.
        assert!(!s.carries);
        assert!(stacking(&piece(1.2, 0.4, 0.18), Mpa(14.0), Mpa(27.6)).carries);
        assert!(!stacking(&piece(1.2, 0.4, 0.18), Mpa(14.0), Mpa(0.0)).carries);
    }

    /// By hand, EN 1992-1-1 section 12. A slab of 80 mm under a step of 0.18 m that lies
    /// 0.13 m on it: width 0.10 + 0.08 = 0.18 m; 4.238 + 0.5 = 4.738 kPa on 0.18 x 0.13 m:
    /// 0.111 kN; push 0.381 x 0.18 = 0.069 kN; V = 1.5 x (2.94 + 0.111) = 4.577, with the
    /// push 4.578 kN; 1.5 V / (180 x 80 mm) = 0.4769 MPa; fck = (0.4769 / 0.112)^1.5 = 8.79.
    #[test]
    fn the_next_step_asks_what_its_load_asks() {
        let above = |t: f64, overlap: f64| {
            Some(Above {
                thickness: Metres(t),
                width: Metres(1.2),
                overlap: Metres(overlap),
            })
        };
        let asked = |p: Piece, a| carries_the_next(&p, a).0;
        let thin = asked(piece(1.2, 0.4, 0.08), above(0.18, 0.13));
        assert!((thin - 8.79).abs() < 0.03, "{thin}");
        // A usual step is thick enough: what holds there is the least of an edge.
        assert_eq!(asked(piece(1.2, 0.4, 0.18), above(0.18, 0.13)), 3.5);
        // A plain one on top stands in where none is known.
        assert_eq!(
            asked(piece(1.2, 0.3, 0.08), None),
            asked(piece(1.2, 0.3, 0.08), above(0.08, 0.1))
        );
        // Heavier above or thinner below asks more, never less.
        let thick = |t| asked(piece(1.2, 0.4, t), above(0.18, 0.13));
        assert!(thick(0.05) > thick(0.08) && thick(0.08) > thick(0.12));
        let under = |t| asked(piece(1.2, 0.4, 0.08), above(t, 0.3));
        assert!(under(1.0) > under(0.18));
        assert!(asked(piece(0.0, 0.0, 0.0), above(0.0, 0.0)).is_finite());
    }

    #[test]
    fn clamps_stand_closer_for_thin_boards_and_high_forms() {
        let form = |mm: f64, material| FormFacts {
            material,
            thickness: Metres(mm / 1000.0),
        };
        let at = |mm: f64, h: f64| {
            clamp_spacing(form(mm, FormMaterial::Timber), Metres(h))
                .unwrap()
                .0
        };
        // Boards of 25 mm for a step of 0.15 m: stakes at 0.6 to 0.9 m (common practice).
        assert!((0.5..1.2).contains(&at(25.0, 0.15)), "{}", at(25.0, 0.15));
        assert!(at(18.0, 0.15) < at(25.0, 0.15) && at(25.0, 0.3) < at(25.0, 0.15));
        // By hand: p = 3.532 kPa; sag L/270 of 25 mm: (145 * 9115 / 270 / 3532)^(1/3).
        let by_hand = (145.0 * 7e9 * 0.025_f64.powi(3) / 12.0 / 270.0 / 3531.6).cbrt();
        assert!(at(25.0, 0.15) <= by_hand + 1e-9);
        assert_eq!(
            clamp_spacing(form(0.0, FormMaterial::Timber), Metres(0.15)),
            None
        );
        assert_eq!(
            clamp_spacing(form(25.0, FormMaterial::Steel), Metres(f64::NAN)),
            None
        );
    }
}
