//! What a prediction is made from: the log's side of the contract with the engine.
//!
//! Nothing is computed here. `logbook` fills [`PourFacts`] from events; [`crate::predict::predict`]
//! turns them into a [`crate::prediction::Prediction`]. Plain data, so that facts can be compared (an
//! unchanged pour is not reckoned again).

use crate::units::{AtMs, Celsius, KmH, Metres, Mpa, Percent};
use serde::{Deserialize, Serialize};

/// Everything that the prediction of one pour depends on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PourFacts {
    /// When water met cement (start of the first batch, as near as it is known).
    pub started: AtMs,
    /// When the surface was screeded; the pour's start if not logged.
    pub finished: AtMs,
    /// Minutes that the site's clock is ahead of UTC at the pour.
    pub utc_offset_min: i32,
    /// Latitude and longitude in degrees, for the sun; none: nothing is known of the place,
    /// and the range covers what the sun may do anywhere.
    pub place: Option<(f64, f64)>,
    /// How the place is known, for the reason that is shown.
    #[serde(default)]
    pub place_from: PlaceSource,
    /// Shape and what is underneath.
    pub piece: Piece,
    /// The next step that is to be cast on this one; none: one like this one.
    pub above: Option<Above>,
    /// How the surface is worked, which decides until when it takes a texture.
    pub surface: Surface,
    /// By which rule the next step may be cast on top.
    pub next_step_rule: NextStepRule,
    /// The mix as the bag states it.
    pub mix: MixFacts,
    /// What changes the mix from the bag's statement.
    pub dose: DoseFacts,
    /// The form around it.
    pub form: FormFacts,
    /// The texture liner, if one is used.
    pub liner: Option<LinerFacts>,
    /// Air readings of the site, any order.
    pub air: Vec<AirReading>,
    /// Typed minimum and maximum of a day, any order.
    pub days: Vec<DayRange>,
    /// Hourly forecast or logger file, any order. Below readings in rank, above `days`.
    pub hourly: Vec<AirReading>,
    /// Readings in or on this pour's concrete, any order.
    pub concrete: Vec<ConcreteReading>,
    /// What was seen or done on this pour, any order.
    pub happened: Vec<Happening>,
    /// The top takes heavy wear (wheels, barrows day by day), which doubles the curing
    /// table; feet alone do not.
    pub heavy_wear: bool,
    /// What earlier pours of this mix taught.
    pub learned: Learned,
}

/// How the place of a pour is known, the surest last.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum PlaceSource {
    /// Not at all.
    #[default]
    Unknown,
    /// By the coordinates that the tz database states for the time zone.
    Zone,
    /// By a town that was chosen from a list.
    Town,
    /// By the position of a phone, or typed coordinates.
    Place,
}

/// Shape of a cast piece.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Piece {
    /// Thickness from the exposed top down.
    pub thickness: Metres,
    /// Length along the front edge.
    pub width: Metres,
    /// Front to back.
    pub depth: Metres,
    /// What it is cast on.
    pub base: Base,
}

/// The step that is to be cast on a piece.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Above {
    /// Its thickness.
    pub thickness: Metres,
    /// Its length along the front edge.
    pub width: Metres,
    /// How far it lies on this one, front to back.
    pub overlap: Metres,
}

/// How a surface is worked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Surface {
    /// Broom, float or sponge is dragged over it: until initial set.
    #[default]
    Dragged,
    /// A skin, bag, board or stamp is pressed into it: until a thumb leaves only a faint
    /// print.
    Pressed,
}

/// By which rule the next step may be cast on a piece.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum NextStepRule {
    /// The strength that its load asks for.
    #[default]
    Load,
    /// Four days at 20 °C (NHBC, for walls on foundations).
    Handbook,
}

/// What lies under a piece.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Base {
    /// Compacted gravel or soil.
    #[default]
    Gravel,
    /// Mostly the step below.
    Concrete,
    /// A board or table: both sides meet air.
    Board,
}

/// The mix as stated by its maker.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct MixFacts {
    /// Strength at 28 days, 23 °C (bag statement): the specified strength.
    pub class_28d: Mpa,
    /// Strength at 1 day, if the data sheet states it.
    pub class_1d: Option<Mpa>,
    /// Strength at 3 days, if the data sheet states it.
    pub class_3d: Option<Mpa>,
    /// Strength at 7 days, if the bag states it.
    pub class_7d: Option<Mpa>,
    /// What the stated strengths are; none: not said.
    pub strengths_are: Option<Stated>,
    /// Hours to initial set at 23 °C, if the data sheet states them.
    pub initial_set_h: Option<f64>,
    /// Cement per cubic metre of fresh concrete, kg.
    pub cement_kg_m3: f64,
    /// Least and most water per bag, litres, that the bag allows.
    pub water_range_l: (f64, f64),
    /// Cement in one bag, kg.
    pub cement_per_bag_kg: f64,
    /// Sold as fast-setting or high early strength.
    pub rapid: bool,
}

/// What a stated strength is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Stated {
    /// The least that its maker promises; the mean lies above it.
    Minimum,
    /// The mean.
    Mean,
}

/// How a pigment changes what a surface takes in of the sun.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum PigmentTone {
    /// No pigment.
    None,
    /// White, buff, yellow: about as light as grey concrete, or lighter.
    Light,
    /// Red, brown, black.
    Dark,
}

/// What went into the batches, averaged over the pour.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct DoseFacts {
    /// Water per bag, litres; none when not logged.
    pub water_per_bag_l: Option<f64>,
    /// Pigment by mass of cement, per cent.
    pub pigment_pct: f64,
    /// How dark it is; none: not said.
    pub pigment_tone: Option<PigmentTone>,
    /// A retarder was used: set times are not reckoned shorter than without.
    pub retarder: bool,
    /// An accelerator was used.
    pub accelerator: bool,
    /// Something that was not made for concrete was added (grout, release powder ...).
    pub improvised: bool,
}

/// The form at the sides.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct FormFacts {
    /// What the side boards are made of.
    pub material: FormMaterial,
    /// Thickness of the boards.
    pub thickness: Metres,
}

/// Material of the form.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum FormMaterial {
    /// Sawn or planed boards.
    #[default]
    Timber,
    /// Plywood.
    Plywood,
    /// Sheet steel.
    Steel,
    /// Plastic.
    Plastic,
}

/// The texture liner on the face.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct LinerFacts {
    /// Depth of the relief.
    pub relief: Metres,
    /// The relief has undercuts.
    pub undercut: bool,
}

/// Air at one instant. Missing parts are filled from neighbours in time.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct AirReading {
    /// When.
    pub at: AtMs,
    /// Air temperature.
    pub temp: Option<Celsius>,
    /// Relative humidity.
    pub rh: Option<Percent>,
    /// Wind at the piece.
    pub wind: Option<KmH>,
    /// Sun or shade on the piece.
    pub sky: Option<Sky>,
    /// Rain, millimetres an hour.
    pub rain_mm_h: Option<f64>,
    /// A person was asked about it and says that it is right.
    pub confirmed: bool,
}

/// What of the sun reaches the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Sky {
    /// Full sun.
    Sun,
    /// Broken cloud.
    Broken,
    /// Overcast.
    Overcast,
    /// The piece is shaded.
    Shade,
}

/// Lowest and highest air temperature of one day.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct DayRange {
    /// Local midnight at which the day begins.
    pub day_start: AtMs,
    /// Lowest, taken to come near sunrise.
    pub min: Celsius,
    /// Highest, taken to come at mid-afternoon.
    pub max: Celsius,
    /// Relative humidity at mid-day, if known.
    pub rh: Option<Percent>,
    /// Wind at mid-day, if known.
    pub wind: Option<KmH>,
    /// Sky, if known.
    pub sky: Option<Sky>,
}

/// A thermometer in or on the concrete.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct ConcreteReading {
    /// When.
    pub at: AtMs,
    /// What it read.
    pub temp: Celsius,
    /// Where it was.
    pub place: ConcretePlace,
    /// A person was asked about it and says that it is right.
    #[serde(default)]
    pub confirmed: bool,
}

impl ConcreteReading {
    /// A reading that nobody was asked about.
    #[must_use]
    pub fn new(at: AtMs, temp: Celsius, place: ConcretePlace) -> Self {
        ConcreteReading {
            at,
            temp,
            place,
            confirmed: false,
        }
    }
}

/// Where a concrete temperature was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum ConcretePlace {
    /// Fresh concrete, as placed.
    Fresh,
    /// At an exposed edge or corner.
    Edge,
    /// At half depth.
    Middle,
    /// On the top surface.
    Top,
    /// Inside, in older logs: as [`ConcretePlace::Middle`].
    Core,
    /// On a surface, in older logs: as [`ConcretePlace::Top`].
    Surface,
}

impl ConcretePlace {
    /// On the outside of the piece, where it follows the air sooner than inside.
    #[must_use]
    pub fn is_outside(self) -> bool {
        matches!(
            self,
            ConcretePlace::Edge | ConcretePlace::Top | ConcretePlace::Surface
        )
    }
}

/// Something seen or done at an instant.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Happening {
    /// When.
    pub at: AtMs,
    /// What.
    pub what: Seen,
    /// A person was asked about it and says that it is right.
    #[serde(default)]
    pub confirmed: bool,
}

impl Happening {
    /// Something that nobody was asked about.
    #[must_use]
    pub fn new(at: AtMs, what: Seen) -> Self {
        Happening {
            at,
            what,
            confirmed: false,
        }
    }
}

/// What can be seen or done on a pour and matters to the engine.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Seen {
    /// No water stands on the surface any more.
    SheenGone,
    /// A thumb leaves a deep mark: not set yet.
    ThumbDeep,
    /// A thumb leaves a mark of a depth that was not noted: placed, and not past final set.
    ThumbMark,
    /// A thumb leaves a mark about 6 mm deep: near initial set.
    #[serde(rename = "thumb_6mm")]
    Thumb6mm,
    /// A thumb leaves a faint print: short of final set.
    ThumbFaint,
    /// A thumb leaves no mark: near final set, or past it.
    ThumbNone,
    /// The texture was pressed or brushed.
    Textured,
    /// The form came off and the faces were clean.
    StrippedClean,
    /// The form came off but stuck or tore the face.
    StrippedStuck,
    /// A nail or key cuts a groove into an edge and grains come loose.
    ScratchDeep,
    /// A nail or key leaves a line that can be felt.
    ScratchFaint,
    /// A nail or key leaves only a mark of metal.
    ScratchNone,
    /// An edge crumbled or chipped by itself.
    #[serde(alias = "edge_damaged")]
    EdgeCrumbled,
    /// Edges were dressed and it went easily.
    DressedEasily,
    /// Edges were dressed and it was hard work.
    DressedHard,
    /// The surface was wetted.
    Wetted,
    /// Covered with sheet or blanket.
    Covered,
    /// The cover was taken off.
    Uncovered,
    /// Shade or a windbreak was put up.
    Shaded,
    /// Rain fell on it.
    #[serde(alias = "rained")]
    Rain,
    /// Frost was seen.
    #[serde(alias = "froze")]
    Frost,
    /// Somebody walked on it.
    Walked,
    /// A test of strength.
    Strength(Mpa),
}

/// What earlier pours taught about a mix: factors on the stated values, with their spread.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Learned {
    /// Natural logarithm of the factor on set times: mean.
    pub set_ln_mean: f64,
    /// Its standard deviation.
    pub set_ln_sd: f64,
    /// Natural logarithm of the factor on early strength: mean.
    pub strength_ln_mean: f64,
    /// Its standard deviation.
    pub strength_ln_sd: f64,
    /// Natural logarithm of the factor on the time that the sheen takes to go: mean.
    pub sheen_ln_mean: f64,
    /// Its standard deviation.
    pub sheen_ln_sd: f64,
    /// How many observations went in.
    pub observations: u32,
}

impl Default for Learned {
    /// What is known of a mix that was never used: the bag's statement, give or take.
    /// Set: bags and published set tables differ by about a fifth; strength: by so
    /// much the published courses of ordinary cement part (`mix::weight`; its test holds
    /// that they are covered); sheen: any
    /// evaporation formula is within about 40 % (Hover, ACI SP-338, 2020).
    fn default() -> Self {
        Learned {
            set_ln_mean: 0.0,
            set_ln_sd: 0.20,
            strength_ln_mean: 0.0,
            strength_ln_sd: 0.13,
            sheen_ln_mean: 0.0,
            sheen_ln_sd: 0.30,
            observations: 0,
        }
    }
}
