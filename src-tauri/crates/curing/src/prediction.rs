//! What a prediction says: the engine's side of the contract with the log and the screens.
//!
//! Nothing is computed here; [`crate::predict::predict`] fills a [`Prediction`]. Plain data, sent
//! to screens as JSON. What it is made from is in [`crate::facts::PourFacts`].

pub use crate::evaporation::DryingRisk;
use crate::facts::{PlaceSource, Seen};
use crate::milestone::MilestoneKind;
use crate::units::{AtMs, Celsius, Hours, KgM2H, Mpa, Percent};
use serde::{Deserialize, Serialize};

/// The result for one pour.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
    /// Entries that do not fit the others or what can be: a person is to be asked about
    /// each, and until then it carries little weight.
    pub odd: Vec<Odd>,
    /// What is asked for, because times are not given without it.
    pub missing: Vec<Missing>,
    /// Looks that would bring a safe end nearer, in no order; which of them is asked for at
    /// an instant is in [`crate::answer`].
    pub looks: Vec<Look>,
}

/// Something that a person can look at, and what it is worth.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Look {
    /// At what.
    pub what: LookAt,
    /// When.
    pub at: AtMs,
    /// The safe end of the wait comes nearer by so much, on average.
    pub narrows: Hours,
    /// The wait.
    pub milestone: MilestoneKind,
}

/// What a person can look at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum LookAt {
    /// Watch for the end of the sheen.
    Sheen,
    /// Press a thumb into the surface.
    Thumb,
    /// Scratch an edge with a nail or key.
    Scratch,
    /// Read the temperature of the air.
    AirReading,
    /// Read the temperature inside the concrete.
    ConcreteReading,
}

/// Something without which times are not given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Missing {
    /// No temperature of the air and no forecast: nothing past set is given.
    AirTemperature,
}

/// An entry that does not fit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Odd {
    /// What kind of entry it is.
    pub what: OddEntry,
    /// When it was read or seen.
    pub at: AtMs,
    /// The field that is asked about.
    pub field: OddField,
    /// Why.
    pub why: OddWhy,
}

/// The kind of an entry that does not fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum OddEntry {
    /// A reading of the air.
    Air,
    /// A reading in or on the concrete.
    Concrete,
    /// Something seen or done.
    Observation,
}

/// The field of an entry that does not fit, as the log names it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum OddField {
    /// Temperature of the air.
    AirC,
    /// Temperature of the concrete.
    ConcreteC,
    /// What was seen.
    What,
    /// The result of a test of strength.
    Mpa,
}

/// Why an entry does not fit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "code", rename_all = "snake_case")]
pub enum OddWhy {
    /// A temperature far from what the other readings and the forecast let expect.
    FarFromOthers {
        /// What was read.
        value: Celsius,
        /// What the others let expect, the nearest of them.
        expected: Celsius,
    },
    /// A temperature of the concrete far from what heat and weather let expect.
    FarFromPhysics {
        /// What was read.
        value: Celsius,
        /// What is reckoned.
        expected: Celsius,
    },
    /// Seen long before it can be.
    TooEarly {
        /// What was seen.
        seen: Seen,
        /// Hours after the start.
        after: Hours,
        /// Before this many hours it can hardly be.
        earliest: Hours,
    },
    /// Seen long after it can be.
    TooLate {
        /// What was seen.
        seen: Seen,
        /// Hours after the start.
        after: Hours,
        /// After this many hours it can hardly be.
        latest: Hours,
    },
    /// Another observation says the opposite.
    Contradicts {
        /// What was seen.
        seen: Seen,
        /// What the other one says.
        other: Seen,
        /// When that was seen.
        other_at: AtMs,
    },
    /// A test of strength far from what the mix lets expect.
    FarFromStrength {
        /// What was tested.
        value: Mpa,
        /// What is reckoned.
        expected: Mpa,
    },
}

impl OddWhy {
    /// What was seen, for an observation.
    #[must_use]
    pub fn seen(self) -> Option<Seen> {
        match self {
            OddWhy::TooEarly { seen, .. }
            | OddWhy::TooLate { seen, .. }
            | OddWhy::Contradicts { seen, .. } => Some(seen),
            OddWhy::FarFromOthers { .. }
            | OddWhy::FarFromPhysics { .. }
            | OddWhy::FarFromStrength { .. } => None,
        }
    }
}

/// A span of likely instants; none where it does not come within the horizon.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
    /// Share of the specified 28-day strength, per cent.
    Share {
        /// Threshold.
        pct: Percent,
    },
    /// Hours of mild air, counted together; colder ones count for less.
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
    /// Beside the load: the next step by the handbook, which decides nothing here.
    Handbook {
        /// Its days at 20 °C.
        days: f64,
    },
    /// Beside the handbook: the next step by its load, which decides nothing here.
    Load {
        /// The strength of the edge that it asks.
        mpa: Mpa,
    },
    /// Beside light feet: strong enough to be walked on freely.
    Freely {
        /// Strength at the top.
        mpa: Mpa,
    },
    /// A dry plastic-sheet test, which only a person can do.
    SheetTest,
    /// Was seen on the site.
    Observed,
    /// What was observed on an earlier pour of this mix.
    LearnedHere,
    /// Something lighter comes first.
    After {
        /// Which.
        milestone: MilestoneKind,
    },
}

/// Which part of the piece a criterion looks at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Evaporation {
    /// Highest rate before set by Menzel.
    pub menzel: KgM2H,
    /// Highest rate before set by Uno.
    pub uno: KgM2H,
    /// What the greater of the two means.
    pub risk: DryingRisk,
}

impl Evaporation {
    /// The greater of the two rates, by which the risk is judged.
    #[must_use]
    pub fn worst(&self) -> KgM2H {
        KgM2H(self.menzel.value().max(self.uno.value()))
    }
}

/// Something to be told.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
        /// The greater rate of [`Evaporation`].
        rate: KgM2H,
        /// What it means.
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
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
    /// How the place is known, which sets the sun and the length of the day.
    #[serde(default)]
    pub place: PlaceSource,
}

/// A source of air temperature.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum NotYet {
    /// No temperature at all is known.
    NoTemperature,
    /// A given value is not a number or cannot be (the log refuses those earlier).
    Impossible,
    /// It has not begun: its start is planned, or a wrong date.
    StartsLater,
}
