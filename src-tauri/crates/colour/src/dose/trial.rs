//! A step or test patch with its dose and the colour that came of it: what a curve is drawn
//! through.
//! Curves are in [`super`], their shapes in [`super::shape`].

use crate::space::{Lab, Triple};
use serde::{Deserialize, Serialize};

/// One step or test patch.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Trial {
    /// Dose of each pigment, %; the same pigments in the same order in every trial.
    pub dose_pct: Vec<f64>,
    /// The colour that came of it, dry and of like age.
    pub lab: Lab,
    /// Standard uncertainty of L*, a*, b*. If all were measured with one camera and card,
    /// without what these share: [`crate::compare::Look::own_sd`].
    pub sd: Triple,
}
