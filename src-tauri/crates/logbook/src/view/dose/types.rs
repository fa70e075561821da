//! What is shown of doses, as plain data.
//!
//! How it is found: [`super`].

use serde::Serialize;
use slowstone_colour::compare::{Caution, Word};
use slowstone_colour::dose::{NoCurve, Reach};

/// An additive and a mix that were used together.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct CanDose {
    /// The additive.
    pub additive: String,
    /// Its name.
    pub name: String,
    /// The mix; none where it was not said.
    pub mix: Option<String>,
    /// Its name.
    pub mix_name: String,
    /// Measured pours that the curve may learn from.
    pub trials: u32,
}

/// What is asked.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AskedDose {
    /// The additive, or two.
    pub additives: Vec<String>,
    /// The mix; none for pours whose mix was not said.
    pub mix: Option<String>,
    /// The pour or step to match.
    pub matching: Option<String>,
}

/// Colour over dose.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct DoseView {
    /// The additives, one or two.
    pub additives: Vec<DosedWith>,
    /// Name of the mix; empty if it was not said and the usual one is assumed.
    pub mix_name: String,
    /// Pours with this mix whose colour was measured.
    pub trials: Vec<TrialView>,
    /// Why there is no curve.
    pub no_curve: Option<NoCurve>,
    /// The curve, over what was tried; only for one additive.
    pub curve: Vec<CurveColour>,
    /// How far a trial was from what the others foretold, CIEDE2000.
    pub left_out: Option<f64>,
    /// Most of all additives together, % of cement: the supplier's limit or the cap.
    pub most_pct: f64,
    /// The cap, % of cement.
    pub cap_pct: f64,
    /// The dose for the wanted colour.
    pub aim: Option<AimView>,
    /// Where one more test patch would teach most.
    pub next: Option<NextView>,
    /// The trials are not all alike.
    pub cautions: Vec<Caution>,
}

/// An additive on the curve.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct DosedWith {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Not sold for concrete: strength and set may suffer.
    pub improvised: bool,
    /// Amounts are millilitres, taken at 1 kg/L.
    pub liquid: bool,
    /// The supplier's greatest dose, % of cement.
    pub supplier_pct: Option<f64>,
    /// Least and most that was tried and is allowed; none where less is allowed than was
    /// tried.
    pub tried_pct: Option<(f64, f64)>,
}

/// Why a measured pour is not on the curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum LeftOut {
    /// It was measured wet or damp.
    NotDry,
    /// Another additive that colours went in.
    OtherAdditive,
    /// No batch was logged, so the dose is not known.
    DoseUnknown,
}

/// A pour on the curve, or beside it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct TrialView {
    /// The pour.
    pub pour: String,
    /// Number of the step.
    pub step_number: Option<u32>,
    /// Name of the step or sample.
    pub name: String,
    /// Dose of each additive, % of cement.
    pub dose_pct: Vec<f64>,
    /// L*, a*, b*.
    pub lab: [f64; 3],
    /// sRGB for a screen.
    pub swatch: String,
    /// Why it is not on the curve.
    pub left_out: Option<LeftOut>,
}

/// A point of the curve.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct CurveColour {
    /// Dose, % of cement.
    pub dose_pct: f64,
    /// L*, a*, b*.
    pub lab: [f64; 3],
    /// Half of the 95 % range of each.
    pub give_or_take: [f64; 3],
    /// sRGB for a screen.
    pub swatch: String,
}

/// How much of an additive: the best, and the least and most that may be right.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct HowMuch {
    /// % of cement.
    pub pct: (f64, f64, f64),
    /// Grams (or ml) per bag.
    pub per_bag_g: (f64, f64, f64),
    /// Grams (or ml) per batch of [`AimView::batch_bags`].
    pub per_batch_g: (f64, f64, f64),
}

/// The dose for a wanted colour.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct AimView {
    /// The pour to match.
    pub pour: String,
    /// Its swatch.
    pub wanted: String,
    /// Its L*, a*, b*.
    pub wanted_lab: [f64; 3],
    /// Of each additive.
    pub amounts: Vec<HowMuch>,
    /// Bags of the batch that was mixed last.
    pub batch_bags: f64,
    /// Swatch of what is foretold.
    pub foretold: String,
    /// L*, a*, b* of it.
    pub foretold_lab: [f64; 3],
    /// CIEDE2000 between the two.
    pub de2000: f64,
    /// The word for it.
    pub word: Word,
    /// Whether the colour can be had.
    pub reach: Reach,
}

/// Why a test patch teaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Teaches {
    /// Its colour is least sure among those near the wanted one.
    LeastSure,
    /// The right dose may lie beyond what was tried.
    BeyondTried,
    /// There is no curve yet.
    ToBegin,
}

/// The next test patch.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct NextView {
    /// Dose of each additive, % of cement.
    pub dose_pct: Vec<f64>,
    /// Grams (or ml) of each per bag.
    pub per_bag_g: Vec<f64>,
    /// Why there.
    pub why: Teaches,
    /// Width of the range of doses now, % of cement; none before there is a curve.
    pub width_now_pct: Option<f64>,
    /// The width to expect after it.
    pub width_then_pct: Option<f64>,
}
