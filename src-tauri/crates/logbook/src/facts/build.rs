//! What a step is made with: mix, additive, form, liner.
//!
//! As the bag, the supplier and the tape say it; what went into a pour is in
//! [`super::field`].

use super::Checked;
use super::work::ordered;
use crate::limits::{self, FieldError, Shown};
use crate::misfit::{Misfit, MisfitCode};
use serde::{Deserialize, Serialize};
use slowstone_curing::predict::{FormMaterial, PigmentTone, Stated};

/// A bagged mix, as its bag states it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Mix {
    /// Name on the bag.
    pub name: String,
    /// Mass of a bag.
    pub bag_kg: f64,
    /// Fresh concrete from a bag.
    pub yield_l: f64,
    /// Least water per bag.
    pub water_min_l: f64,
    /// Most water per bag.
    pub water_max_l: f64,
    /// Cement in the dry mix, per cent of its mass.
    pub cement_pct: f64,
    /// Strength at 28 days.
    pub class_mpa: f64,
    /// Strength at 1 day, if stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub class_1d_mpa: Option<f64>,
    /// Strength at 3 days, if stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub class_3d_mpa: Option<f64>,
    /// Strength at 7 days, if stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub class_7d_mpa: Option<f64>,
    /// Whether these strengths are the least that is promised, or means; none: not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub strengths_are: Option<Stated>,
    /// Hours to initial set at 23 °C, if stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub initial_set_h: Option<f64>,
    /// Sold as fast setting or high early strength.
    pub rapid: bool,
    /// Anything else.
    pub note: String,
}

/// What an additive is for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum AdditiveKind {
    /// Colours the concrete.
    #[default]
    Pigment,
    /// Makes it flow with less water.
    Plasticiser,
    /// Sets sooner.
    Accelerator,
    /// Sets later.
    Retarder,
    /// Fibres.
    Fibre,
    /// Something not sold for concrete (grout, release powder ...).
    Improvised,
    /// Anything else.
    Other,
}

/// Something that is added to a batch.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Additive {
    /// Its name.
    pub name: String,
    /// What it is for.
    pub kind: AdditiveKind,
    /// Amounts are millilitres, not grams.
    pub liquid: bool,
    /// How dark a pigment is: dark concrete takes in more of the sun. None: not said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tone: Option<PigmentTone>,
    /// Supplier's least dose, per cent of cement by mass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub min_pct: Option<f64>,
    /// Supplier's greatest dose, per cent of cement by mass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub max_pct: Option<f64>,
    /// Anything else.
    pub note: String,
}

/// A form that is set up again for each step.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Form {
    /// What people call it.
    pub name: String,
    /// What its boards are.
    pub material: FormMaterial,
    /// How thick they are.
    pub board_mm: f64,
}

/// A texture liner.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Liner {
    /// What people call it.
    pub name: String,
    /// Depth of its relief.
    pub relief_mm: f64,
    /// The relief has undercuts that lock into the concrete.
    pub undercut: bool,
}

reads! {
    Mix { name, bag_kg, yield_l, water_min_l, water_max_l, cement_pct, class_mpa, class_1d_mpa, class_3d_mpa, class_7d_mpa, strengths_are, initial_set_h, rapid = default, note = default }
    Additive { name, kind, liquid = default, tone, min_pct, max_pct, note = default }
    Form { name, material, board_mm }
    Liner { name, relief_mm, undercut = default }
}

impl Checked for Mix {
    fn check(&self) -> Result<(), FieldError> {
        limits::text("name", &self.name, 120)?;
        limits::note("note", &self.note, 2000)?;
        ordered(
            ("water_max_l", self.water_max_l),
            ("water_min_l", self.water_min_l),
        )?;
        let mut later = ("class_mpa", self.class_mpa);
        for (field, stated) in [
            ("class_7d_mpa", self.class_7d_mpa),
            ("class_3d_mpa", self.class_3d_mpa),
            ("class_1d_mpa", self.class_1d_mpa),
        ] {
            let Some(strength) = stated else { continue };
            if strength >= later.1 {
                let why = Misfit {
                    max: Some(later.1),
                    than: later.0,
                    ..MisfitCode::NotBelowOther.into()
                };
                return Err(FieldError::new(field, &Shown(strength).to_string(), why));
            }
            later = (field, strength);
        }
        let density = self.bag_kg / self.yield_l;
        if !(1.0..=3.0).contains(&density) {
            let why = Misfit {
                code: MisfitCode::BagDensity,
                ..Misfit::range(1.0, 3.0, "kg/L")
            };
            return Err(FieldError::new(
                "yield_l",
                &Shown(self.yield_l).to_string(),
                why,
            ));
        }
        Ok(())
    }
}

impl Checked for Additive {
    fn check(&self) -> Result<(), FieldError> {
        limits::text("name", &self.name, 120)?;
        limits::note("note", &self.note, 2000)?;
        match (self.min_pct, self.max_pct) {
            (Some(low), Some(high)) => ordered(("max_pct", high), ("min_pct", low)),
            _ => Ok(()),
        }
    }
}

impl Checked for Form {
    fn check(&self) -> Result<(), FieldError> {
        limits::text("name", &self.name, 120)
    }
}

impl Checked for Liner {
    fn check(&self) -> Result<(), FieldError> {
        limits::text("name", &self.name, 120)
    }
}

/// Amounts are sums and quotients of what was typed: a share this small is arithmetic.
const NOISE: f64 = 1e-9;

/// Whether `x` lies between two bounds, each if there is one.
fn between(x: f64, least: Option<f64>, most: Option<f64>) -> bool {
    least.is_none_or(|m| x >= m * (1.0 - NOISE)) && most.is_none_or(|m| x <= m * (1.0 + NOISE))
}

impl Additive {
    /// Whether a dose, per cent of cement by mass, lies in the supplier's range; none without
    /// a range.
    #[must_use]
    pub fn takes(&self, pct: f64) -> Option<bool> {
        let bounded = self.min_pct.is_some() || self.max_pct.is_some();
        bounded.then(|| between(pct, self.min_pct, self.max_pct))
    }
}

impl Mix {
    /// Whether so much water, L, may go to a bag.
    #[must_use]
    pub fn takes_water(&self, per_bag_l: f64) -> bool {
        between(per_bag_l, Some(self.water_min_l), Some(self.water_max_l))
    }

    /// Cement in one bag, kg.
    #[must_use]
    pub fn cement_per_bag_kg(&self) -> f64 {
        self.bag_kg * self.cement_pct / 100.0
    }
}
