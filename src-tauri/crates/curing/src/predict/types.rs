//! What a prediction is made from and what it says: the contract between the log and the
//! engine.
//!
//! Nothing is computed here. `logbook` fills [`PourFacts`] from events; [`super::predict`]
//! turns them into a [`Prediction`]. Both are plain data so that they can be compared
//! (an unchanged pour is not reckoned again) and sent to a screen.

use crate::units::{AtMs, Celsius, Hours, KgM2H, KmH, Metres, Mpa, Percent};
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
    /// Latitude and longitude in degrees, for the sun; none: a mid-latitude sun is used.
    pub place: Option<(f64, f64)>,
    /// Shape and what is underneath.
    pub piece: Piece,
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
    /// The top of the piece is walked on (a tread), which doubles the curing time.
    pub wearing: bool,
    /// What earlier pours of this mix taught.
    pub learned: Learned,
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
    /// Strength at 28 days, 23 °C (bag statement).
    pub class_28d: Mpa,
    /// Strength at 7 days, if the bag states it.
    pub class_7d: Option<Mpa>,
    /// Cement per cubic metre of fresh concrete, kg.
    pub cement_kg_m3: f64,
    /// Least and most water per bag, litres, that the bag allows.
    pub water_range_l: (f64, f64),
    /// Cement in one bag, kg.
    pub cement_per_bag_kg: f64,
    /// Sold as fast-setting or high early strength.
    pub rapid: bool,
}

/// What went into the batches, averaged over the pour.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct DoseFacts {
    /// Water per bag, litres; none when not logged.
    pub water_per_bag_l: Option<f64>,
    /// Pigment by mass of cement, per cent.
    pub pigment_pct: f64,
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
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
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
}

/// What of the sun reaches the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
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
}

/// Where a concrete temperature was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[serde(rename_all = "snake_case")]
pub enum ConcretePlace {
    /// Fresh concrete, as placed.
    Fresh,
    /// Inside.
    Core,
    /// On the surface.
    Surface,
}

/// Something seen or done at an instant.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Happening {
    /// When.
    pub at: AtMs,
    /// What.
    pub what: Seen,
}

/// What can be seen or done on a pour and matters to the engine.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[serde(rename_all = "snake_case")]
pub enum Seen {
    /// No water stands on the surface any more.
    SheenGone,
    /// A thumb leaves a deep mark: not set yet.
    ThumbDeep,
    /// A thumb leaves a mark about 6 mm deep: near initial set.
    ThumbMark,
    /// A thumb leaves no mark: near final set.
    ThumbNone,
    /// The texture was pressed or brushed.
    Textured,
    /// The form came off and the faces were clean.
    StrippedClean,
    /// The form came off but stuck or tore the face.
    StrippedStuck,
    /// An edge crumbled or chipped by itself.
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
    Rain,
    /// Frost was seen.
    Frost,
    /// Somebody walked on it.
    Walked,
    /// A test of strength.
    Strength(Mpa),
}

/// What earlier pours taught about a mix: factors on the stated values, with their spread.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
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

/// The result for one pour.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct Prediction {
    /// One entry per kind, in the order of [`MilestoneKind::ALL`].
    pub milestones: Vec<Milestone>,
    /// Strength and temperature against time, at most about 200 points.
    pub curve: Vec<CurvePoint>,
    /// Evaporation in the first hours; none without humidity or wind.
    pub evaporation: Option<Evaporation>,
    /// What somebody should know now, most serious first.
    pub warnings: Vec<Warning>,
    /// Where the temperature came from.
    pub basis: Basis,
}

/// The moments that people wait for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[serde(rename_all = "snake_case")]
pub enum MilestoneKind {
    /// Bleed water no longer stands on the surface.
    SheenGone,
    /// The surface takes a texture (a window).
    Texture,
    /// Initial set.
    InitialSet,
    /// Final set.
    FinalSet,
    /// The form may come off.
    FormOff,
    /// Edges may be dressed (a window).
    Dress,
    /// The next step may be cast on top.
    NextStep,
    /// Light foot traffic.
    Foot,
    /// Full use.
    FullUse,
    /// Curing may end.
    CuringEnds,
    /// Ready to stain or seal.
    Seal,
}

impl MilestoneKind {
    /// Every kind, in the order in which they usually come.
    pub const ALL: [MilestoneKind; 11] = [
        MilestoneKind::SheenGone,
        MilestoneKind::Texture,
        MilestoneKind::InitialSet,
        MilestoneKind::FinalSet,
        MilestoneKind::FormOff,
        MilestoneKind::Dress,
        MilestoneKind::NextStep,
        MilestoneKind::Foot,
        MilestoneKind::FullUse,
        MilestoneKind::CuringEnds,
        MilestoneKind::Seal,
    ];
}

/// A span of likely instants; none where it does not come within the horizon.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct Span {
    /// Earliest sensible instant (5 % of the members).
    pub early: Option<AtMs>,
    /// Most likely instant (50 %).
    pub likely: Option<AtMs>,
    /// Latest sensible instant (95 %).
    pub late: Option<AtMs>,
}

/// When one thing becomes possible, and why.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct Milestone {
    /// Which.
    pub kind: MilestoneKind,
    /// When it may begin. What is shown as "can" is `opens.late`.
    pub opens: Span,
    /// For windows: when it is too late. What is shown as "until" is `closes.early`.
    pub closes: Option<Span>,
    /// Was seen on the site at this instant, which beats any model.
    pub seen: Option<AtMs>,
    /// The criteria and what each asks for; the last one met decides.
    pub reasons: Vec<Reason>,
}

/// One criterion of a milestone.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct Reason {
    /// What is asked.
    pub criterion: Criterion,
    /// When it is likely met.
    pub met: Option<AtMs>,
    /// This one is met last: it decides.
    pub governs: bool,
}

/// A criterion with its threshold.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum Criterion {
    /// Bleed water has evaporated faster than it rises.
    BleedAgainstEvaporation,
    /// Equivalent age at 23 °C.
    Age {
        /// Hours at 23 °C.
        hours: Hours,
    },
    /// Compressive strength, at the place that is weakest for this purpose.
    Strength {
        /// Threshold.
        mpa: Mpa,
        /// Where it is taken.
        place: Place,
    },
    /// Share of the 28-day strength, per cent.
    Share {
        /// Threshold.
        pct: Percent,
    },
    /// Hours with the air above 10 °C, counted together.
    WarmHours {
        /// Threshold.
        hours: Hours,
    },
    /// Calendar days.
    CalendarDays {
        /// Threshold.
        days: f64,
    },
    /// Curing table of DIN 1045-3.
    CuringTable {
        /// Days that the table asks for.
        days: f64,
    },
    /// A dry plastic-sheet test, which only a person can do.
    SheetTest,
    /// Was seen on the site.
    Observed,
    /// What was observed on an earlier pour of this mix.
    LearnedHere,
}

/// Which part of the piece a criterion looks at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// The coldest exposed edge or face.
    Edge,
    /// Half depth.
    Middle,
    /// The top surface.
    Top,
}

/// One point of the curves.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct CurvePoint {
    /// When.
    pub at: AtMs,
    /// Strength, cautious.
    pub low_mpa: f64,
    /// Strength, middle.
    pub mid_mpa: f64,
    /// Strength, hopeful.
    pub high_mpa: f64,
    /// Concrete temperature at half depth.
    pub concrete_c: f64,
    /// Concrete temperature at the coldest edge.
    pub edge_c: f64,
    /// Air temperature used.
    pub air_c: f64,
    /// Equivalent age at 23 °C, hours.
    pub age_h: f64,
    /// Nurse-Saul degree-hours above 0 °C.
    pub degree_hours: f64,
}

/// Drying of the fresh surface.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct Evaporation {
    /// Highest rate before set by Menzel.
    pub menzel: KgM2H,
    /// Highest rate before set by Uno.
    pub uno: KgM2H,
    /// What it means.
    pub risk: DryingRisk,
}

/// Risk of plastic shrinkage cracks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[serde(rename_all = "snake_case")]
pub enum DryingRisk {
    /// Below 0.5 kg/m²/h.
    Low,
    /// 0.5 to 1.0 kg/m²/h.
    Caution,
    /// 1.0 kg/m²/h and more.
    Act,
}

/// Something to be told.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum Warning {
    /// Frost was seen or is expected before the concrete can stand it (3.5 MPa).
    FrostBeforeStrength {
        /// When.
        at: AtMs,
        /// Strength then, cautious.
        mpa: Mpa,
        /// Already happened (a reading or a sighting), not only expected.
        seen: bool,
    },
    /// More water than the bag allows: weaker by about this share.
    TooMuchWater {
        /// Loss of 28-day strength, per cent.
        loss_pct: Percent,
    },
    /// Less water than the bag allows.
    TooLittleWater,
    /// The surface dries faster than it bleeds.
    DriesFast {
        /// Rate.
        rate: KgM2H,
        /// Word.
        risk: DryingRisk,
    },
    /// The texture window is short.
    ShortWindow {
        /// Likely length.
        minutes: f64,
    },
    /// Rain fell before final set.
    RainBeforeSet {
        /// When.
        at: AtMs,
    },
    /// The concrete was or gets hotter than is good.
    Hot {
        /// Highest temperature.
        peak: Celsius,
        /// Likely loss of 28-day strength, per cent.
        loss_pct: Percent,
    },
    /// Colder than concrete should be placed.
    ColdPlacing {
        /// Fresh temperature.
        temp: Celsius,
    },
    /// Pigment above a tenth of the cement.
    PigmentHigh {
        /// Dose, per cent of cement.
        pct: Percent,
    },
    /// Something not made for concrete was added.
    Improvised,
    /// The form was taken off before it was due.
    StrippedEarly {
        /// Strength then, cautious.
        mpa: Mpa,
    },
    /// Walked on before it was due.
    WalkedEarly,
    /// Retarder or accelerator: the times follow its maker, not the bag.
    SetChanged,
}

/// Where the temperatures came from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct Basis {
    /// Air in the past and to come, best source first.
    pub air: Vec<AirSource>,
    /// Number of air readings used.
    pub air_readings: u32,
    /// Number of concrete readings used.
    pub concrete_readings: u32,
    /// Readings reach to here; after it only a forecast or a repeated day is used.
    pub readings_until: Option<AtMs>,
    /// Earlier observations of this mix used.
    pub observations: u32,
}

/// A source of air temperature.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[serde(rename_all = "snake_case")]
pub enum AirSource {
    /// Lines between logged readings.
    Readings,
    /// An hourly forecast or logger.
    Hourly,
    /// A day's minimum and maximum.
    DayRange,
    /// The last days' pattern carried on.
    CarriedOn,
}

/// Why no prediction can be made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[serde(rename_all = "snake_case")]
pub enum NotYet {
    /// No temperature at all is known.
    NoTemperature,
    /// A given value is not a number or cannot be (the log refuses those earlier).
    Impossible,
}
