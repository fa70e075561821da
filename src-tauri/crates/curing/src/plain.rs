//! A plain small step, as a starting point for tests, benchmarks and advice.
//!
//! The default of everything: a bagged mix of 27.6 MPa in a timber form on gravel, no
//! liner, no doses, nothing known of the air yet. What the values mean is in
//! [`crate::facts::PourFacts`].

use crate::facts::{
    Base, DoseFacts, FormFacts, FormMaterial, Learned, MixFacts, NextStepRule, Piece, PlaceSource,
    PourFacts, Surface,
};
use crate::units::{AtMs, Metres, Mpa};

/// A step of 1.2 m by 0.4 m by 0.15 m of plain bagged mix, poured at `started`; air and
/// readings are empty and must be filled before anything can be predicted.
///
/// Source of the mix: reference values for bagged concrete, section 12 (30 kg, 14.0 L,
/// 14 % cement) and 3.6 (17.2 MPa at 7 days, 27.6 at 28).
#[must_use]
pub fn plain_step(started: AtMs) -> PourFacts {
    PourFacts {
        started,
        finished: started,
        utc_offset_min: 0,
        place: None,
        place_from: PlaceSource::Unknown,
        piece: Piece {
            thickness: Metres(0.15),
            width: Metres(1.2),
            depth: Metres(0.4),
            base: Base::Gravel,
        },
        above: None,
        surface: Surface::Dragged,
        next_step_rule: NextStepRule::Load,
        mix: MixFacts {
            class_28d: Mpa(27.6),
            class_1d: None,
            class_3d: None,
            class_7d: Some(Mpa(17.2)),
            strengths_are: None,
            initial_set_h: None,
            cement_kg_m3: 300.0,
            water_range_l: (2.2, 3.0),
            cement_per_bag_kg: 4.2,
            rapid: false,
        },
        dose: DoseFacts::default(),
        form: FormFacts {
            material: FormMaterial::Timber,
            thickness: Metres(0.025),
        },
        liner: None,
        air: Vec::new(),
        days: Vec::new(),
        hourly: Vec::new(),
        concrete: Vec::new(),
        happened: Vec::new(),
        heavy_wear: false,
        learned: Learned::default(),
    }
}
