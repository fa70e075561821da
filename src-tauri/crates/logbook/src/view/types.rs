//! What a screen shows, as plain data. The web app renders these and computes nothing.
//!
//! Texts are not here: states, criteria and warnings are codes with numbers, and the web
//! app words them in the reader's language. How they are reckoned: [`super::site`],
//! [`super::pour`].

use super::clocks::ClockDoubt;
use crate::book::Problem;
use crate::facts::{
    Additive, Batch, Flight, Forecast, Form, Liner, Mix, Observation, Photo, Pour, Reading,
    SecondPour, Site, Step,
};
use serde::Serialize;
use serde_json::Value;
pub use slowstone_curing::answer::{Act, ByTouch, May, NextUp, Phase};
use slowstone_curing::predict::{
    Basis, CurvePoint, Evaporation, Look, MilestoneKind, Missing, NotYet, Odd, Reason, Span, Test,
    Warning,
};
use slowstone_curing::units::AtMs;

/// A record as it stands, after corrections.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(rename = "{T}Rec"))]
pub struct Rec<T> {
    /// Its id (the event that made it).
    pub id: String,
    /// What it says now.
    pub fact: T,
    /// Who logged it.
    pub by: String,
    /// When it was logged, by the device's clock.
    pub at_ms: AtMs,
    /// It was corrected since.
    pub edited: bool,
    /// The person whose device it came from, if it names another one.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts", ts(optional))]
    pub entered_by: Option<String>,
}

/// Everything that the first screen of a site needs.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct SiteView {
    /// The instant that this view is for.
    pub now_ms: AtMs,
    /// The site.
    pub site: Rec<Site>,
    /// Flights, in the order in which they were made.
    pub flights: Vec<Rec<Flight>>,
    /// Steps by flight and number.
    pub steps: Vec<StepView>,
    /// Pours without a step (samples), newest first.
    pub samples: Vec<PourCard>,
    /// Mixes.
    pub mixes: Vec<Rec<Mix>>,
    /// Additives.
    pub additives: Vec<Rec<Additive>>,
    /// Forms.
    pub forms: Vec<Rec<Form>>,
    /// Liners.
    pub liners: Vec<Rec<Liner>>,
    /// Weather readings, newest first, at most 50.
    pub weather: Vec<Rec<Reading>>,
    /// Typed forecasts by date.
    pub forecasts: Vec<Rec<Forecast>>,
    /// Photos that belong to no step and no pour, newest first.
    pub loose_photos: Vec<Rec<Photo>>,
    /// Cameras whose clock seems wrong.
    pub clock_doubts: Vec<ClockDoubt>,
    /// What is due and was not answered, most pressing first.
    pub due: Vec<Reminder>,
    /// What comes due next, soonest first.
    pub coming: Vec<Reminder>,
    /// What the pours taught about each mix.
    pub learned: Vec<MixLearned>,
    /// Corrections that did not see each other.
    pub conflicts: Vec<Conflict>,
    /// Entries that could not be used, and why.
    pub problems: Vec<Problem>,
    /// Entries that do not fit, newest first, each once: where several pours doubt it, with
    /// the newest of them.
    pub odd: Vec<OddOnSite>,
    /// Entries of people and devices, for the history.
    pub events: u32,
}

/// What the pours of a site taught about a mix, against what its bag says.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct MixLearned {
    /// Which mix; none for pours whose mix was not said.
    pub mix: Option<String>,
    /// Its name; empty when the mix was not said.
    pub name: String,
    /// How many observations taught it.
    pub observations: u32,
    /// Minutes by which it sets later (or, below zero, sooner) than the bag says, at 23 °C:
    /// likely, and the 5 and 95 % points.
    pub set_later_min: (f64, f64, f64),
    /// Strength at 28 days over what the bag says: likely, 5 and 95 % points. Early
    /// strength differs more.
    pub strength_factor: (f64, f64, f64),
    /// Time that the bleed sheen takes over what was reckoned: likely, 5 and 95 % points.
    pub sheen_factor: (f64, f64, f64),
    /// Entries that made earlier pours teach nothing; take them back to learn again.
    pub forgotten: Vec<String>,
}

/// One step on the first screen.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct StepView {
    /// The step.
    pub step: Rec<Step>,
    /// Volume as a box, litres.
    pub volume_l: f64,
    /// Its newest pour that was not taken back; one that has begun before one that has not.
    pub pour: Option<PourCard>,
    /// Photos of it that belong to no pour: base, form, mesh. Oldest first.
    pub photos: Vec<Rec<Photo>>,
    /// Its other pours, newest first: earlier attempts, layers below, a planned one.
    pub others: Vec<PourCard>,
}

/// A pour in a line.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PourCard {
    /// Its id.
    pub id: String,
    /// Number of the step, or none for a sample.
    pub step_number: Option<u32>,
    /// Name of the step or sample.
    pub name: String,
    /// First concrete in the form.
    pub started_ms: AtMs,
    /// Its mix, if said.
    pub mix: Option<String>,
    /// What it is on a step that was poured before, if said.
    pub second_pour: Option<SecondPour>,
    /// A new attempt has taken its place.
    pub replaced: bool,
    /// Where it is now.
    pub phase: Phase,
    /// Wet concrete: what burns skin and must be left alone.
    pub wet: bool,
    /// What is said largest.
    pub head: Head,
    /// The one thing to do now, with the test that decides and until when.
    pub act: Option<Act>,
    /// What may be done now, beginning with what presses most.
    pub can: Vec<MilestoneKind>,
    /// Of it, what is named beside the head.
    pub also: Vec<MilestoneKind>,
    /// What may perhaps be done, each with the test that decides.
    pub maybe: Vec<ByTouch>,
    /// What would do harm now.
    pub not_yet: Vec<MilestoneKind>,
    /// What was seen or done.
    pub done: Vec<MilestoneKind>,
    /// What comes next.
    pub next: Option<NextUp>,
    /// The most serious warning.
    pub warning: Option<Warning>,
    /// Why there is no prediction.
    pub no_prediction: Option<NotYet>,
    /// Strength now, cautious and middle, MPa.
    pub now_mpa: Option<(f64, f64)>,
    /// Share of the 28-day strength reached, 0 to 1, middle.
    pub share: f64,
    /// Hash of the newest photo.
    pub photo: Option<String>,
    /// Number of photos.
    pub photos: u32,
}

/// What is said largest of a pour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Head {
    /// In which way.
    pub says: HeadSays,
    /// Of what; none where it says the phase.
    pub kind: Option<MilestoneKind>,
    /// Somebody waits for it and it may be done now.
    pub hot: bool,
}

/// In which way the head speaks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum HeadSays {
    /// It may be done now.
    Now,
    /// It may perhaps be done: a test decides.
    Try,
    /// Where the pour is.
    Phase,
}

/// A milestone as shown.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct MilestoneView {
    /// Which.
    pub kind: MilestoneKind,
    /// State now.
    pub state: May,
    /// It comes by itself: nothing is to be done when it is there.
    pub passive: bool,
    /// When it may begin; never before what is lighter.
    pub opens: Span,
    /// From when it is safe; none if its window may close before.
    pub safe: Option<AtMs>,
    /// For windows: when it is too late.
    pub closes: Option<Span>,
    /// For windows: until when, as every other place says it.
    pub until: Option<AtMs>,
    /// When it was seen or done.
    pub seen: Option<AtMs>,
    /// Criteria.
    pub reasons: Vec<Reason>,
}

/// A pour with everything about it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PourView {
    /// The instant that this view is for.
    pub now_ms: AtMs,
    /// The line of the first screen.
    pub card: PourCard,
    /// The pour.
    pub pour: Rec<Pour>,
    /// The step, if any.
    pub step: Option<Rec<Step>>,
    /// The mix, if known.
    pub mix: Option<Rec<Mix>>,
    /// The form, if known.
    pub form: Option<Rec<Form>>,
    /// The liner, if known.
    pub liner: Option<Rec<Liner>>,
    /// Batches in order.
    pub batches: Vec<Rec<Batch>>,
    /// What the batches add up to.
    pub mixed: Mixed,
    /// Readings, newest first.
    pub readings: Vec<Rec<Reading>>,
    /// Observations, newest first.
    pub observations: Vec<Rec<Observation>>,
    /// Photos, oldest first.
    pub photos: Vec<Rec<Photo>>,
    /// All milestones in order.
    pub milestones: Vec<MilestoneView>,
    /// Curves.
    pub curve: Vec<CurvePoint>,
    /// The curve's point at `now_ms`.
    pub now: Option<CurvePoint>,
    /// Drying of the fresh surface.
    pub evaporation: Option<Evaporation>,
    /// Warnings, most serious first.
    pub warnings: Vec<Warning>,
    /// Where the temperatures came from.
    pub basis: Option<Basis>,
    /// Entries that do not fit; somebody is to be asked about each.
    pub odd: Vec<OddView>,
    /// What is asked for, because times are not given without it.
    pub missing: Vec<Missing>,
    /// What to look at next, the best first.
    pub look_next: Vec<Look>,
    /// The mix that was assumed because none was chosen.
    pub assumed_mix: bool,
}

/// An entry that does not fit: a correction of its field, or of `confirmed`, answers.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct OddView {
    /// The entry: a reading, an observation or the pour itself.
    pub event: String,
    /// Its kind.
    pub kind: String,
    /// What does not fit, and why.
    pub odd: Odd,
}

/// An entry that does not fit, told outside the page of its pour.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct OddOnSite {
    /// The pour whose prediction doubts it.
    pub pour: String,
    /// Number of the step, or none for a sample.
    pub step_number: Option<u32>,
    /// Name of the step or sample.
    pub name: String,
    /// The entry, what does not fit, and why.
    pub entry: OddView,
}

/// What the batches of a pour add up to.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Mixed {
    /// Bags.
    pub bags: f64,
    /// Water, litres, of the batches that logged it.
    pub water_l: f64,
    /// Water per bag, litres.
    pub water_per_bag_l: Option<f64>,
    /// Whether the water lies in the bag's range.
    pub water_fits: Option<bool>,
    /// Cement, kg.
    pub cement_kg: Option<f64>,
    /// Additives.
    pub doses: Vec<DoseSum>,
}

/// An additive over a pour.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct DoseSum {
    /// Which.
    pub additive: String,
    /// Its name.
    pub name: String,
    /// Millilitres, not grams.
    pub liquid: bool,
    /// Amount in all.
    pub amount: f64,
    /// Amount per bag.
    pub per_bag: f64,
    /// Per cent of cement by mass (a liquid is taken at 1 kg/L).
    pub pct_of_cement: Option<f64>,
    /// Whether it lies in the supplier's range; none without a range.
    pub fits: Option<bool>,
}

/// A reminder that is due or comes due.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Reminder {
    /// Which pour.
    pub pour: String,
    /// Number of the step.
    pub step_number: Option<u32>,
    /// Name of the step or sample.
    pub name: String,
    /// For what.
    pub kind: MilestoneKind,
    /// Due since or from: safe, or with `test` likely.
    pub from_ms: AtMs,
    /// Window: until.
    pub until_ms: Option<AtMs>,
    /// Asked again because it was snoozed.
    pub snoozed: bool,
    /// Not surely open yet or any more: the test that decides.
    pub test: Option<Test>,
}

/// Two corrections of one field that did not see each other.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Conflict {
    /// The record.
    pub target: String,
    /// Its kind.
    pub kind: String,
    /// The field.
    pub field: String,
    /// The versions; the first one is used until somebody settles it.
    pub versions: Vec<Version>,
}

/// One version of a field.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Version {
    /// The correction.
    pub event: String,
    /// Who.
    pub by: String,
    /// The person whose device it came from, if it names another one.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts", ts(optional))]
    pub entered_by: Option<String>,
    /// When, by that device's clock.
    pub at_ms: AtMs,
    /// The value.
    #[cfg_attr(feature = "ts", ts(type = "unknown"))]
    pub value: Value,
}

/// One line of a record's history.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Change {
    /// The event.
    pub event: String,
    /// Who.
    pub by: String,
    /// The person whose device it came from, if it names another one.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts", ts(optional))]
    pub entered_by: Option<String>,
    /// When, by that device's clock.
    pub at_ms: AtMs,
    /// `created`, `corrected`, `retracted` or `restored`.
    pub what: String,
    /// Field by field: name, before, after.
    #[cfg_attr(feature = "ts", ts(type = "Array<[string, unknown, unknown]>"))]
    pub fields: Vec<(String, Value, Value)>,
    /// Whether this event itself was taken back.
    pub retracted: bool,
}
