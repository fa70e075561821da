//! How the work is planned: how a flight lies, by which rules, with what material, by whom
//! and when; what was bought and what was checked before a pour.
//!
//! Of each kind the newest record stands (of its flight, step, item or point). Usual values
//! where nothing was said and everything that is reckoned are in [`crate::plan`].

use super::Checked;
use crate::limits::{self, FieldError, Shown};
use crate::misfit::{Misfit, MisfitCode};
use serde::{Deserialize, Serialize};
use slowstone_curing::units::AtMs;

/// How a flight lies on its bank.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Layout {
    /// Which flight.
    pub flight: String,
    /// Height of the bank, as measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bank_rise_m: Option<f64>,
    /// Level length of the bank, as measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bank_run_m: Option<f64>,
    /// How far each step lies on the one below.
    pub overlap_m: f64,
    /// Fall of the treads to the front.
    pub fall_pct: f64,
    /// Compacted gravel under the steps.
    pub base_m: f64,
    /// Clean stone below that, for drainage.
    pub drain_m: f64,
}

/// What the flights of a site are held against.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Rules {
    /// Whose rules these are.
    pub name: String,
    /// Highest riser.
    pub riser_max_mm: f64,
    /// Shortest going.
    pub going_min_mm: f64,
    /// Greatest riser less least, and the same for goings.
    pub variation_max_mm: f64,
    /// Shortest comfortable 2R + T.
    pub two_r_plus_t_min_mm: f64,
    /// Longest comfortable 2R + T.
    pub two_r_plus_t_max_mm: f64,
    /// Least fall of a tread.
    pub fall_min_pct: f64,
    /// Most fall of a tread.
    pub fall_max_pct: f64,
}

/// A dose that is meant to be used.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PlannedDose {
    /// Which additive.
    pub additive: String,
    /// Share of the cement by mass.
    pub dose_pct: f64,
}

/// From what material and with what waste the site is supplied.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Materials {
    /// Mix; none: the last one used, or the first.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mix: Option<String>,
    /// Concrete that is spilt, left in the barrow or over-filled.
    pub waste_pct: f64,
    /// Fresh concrete that mixer or wheelbarrow takes at once.
    pub mixer_l: f64,
    /// Doses; none: as in the last step.
    pub doses: Vec<PlannedDose>,
    /// How far the mesh stays short of the form all round.
    pub mesh_gap_mm: f64,
    /// Mean thickness of the rubber of a liner.
    pub rubber_mm: f64,
    /// Density of the rubber, kg/L, by its data sheet.
    pub rubber_kg_l: f64,
    /// Rubber that stays in the bucket.
    pub rubber_waste_pct: f64,
}

/// A day of the week.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Weekday {
    /// Monday.
    Mon,
    /// Tuesday.
    Tue,
    /// Wednesday.
    Wed,
    /// Thursday.
    Thu,
    /// Friday.
    Fri,
    /// Saturday.
    Sat,
    /// Sunday.
    Sun,
}

/// When people work on the site, and how long things take them.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Crew {
    /// Work begins, hour of the site's clock.
    pub from_h: f64,
    /// Work ends.
    pub until_h: f64,
    /// Days of the week without work.
    pub days_off: Vec<Weekday>,
    /// Forms in use; none: as many as are set up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub forms: Option<u32>,
    /// Mixing, filling and screeding a step.
    pub pour_h: f64,
    /// Taking the form off and washing form and liner.
    pub wash_h: f64,
    /// Until the liner is dry.
    pub dry_h: f64,
    /// Setting and levelling the form for the next step.
    pub reset_h: f64,
}

/// A step that is to be poured at a certain time.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Planned {
    /// Which step.
    pub step: String,
    /// First concrete in the form.
    pub at_ms: AtMs,
}

/// Something of the shopping list that is there, or is not any more.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Bought {
    /// Which entry of the list.
    pub item: String,
    /// It is there.
    pub done: bool,
}

/// What is to be checked before a pour on this site.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Checklist {
    /// Codes of usual points, or a person's own words.
    pub points: Vec<String>,
}

/// A point that was checked before a pour.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Ticked {
    /// The step that is to be poured.
    pub step: String,
    /// Which point of the list.
    pub point: String,
    /// It is in order.
    pub done: bool,
}

reads! {
    Layout { flight, bank_rise_m, bank_run_m, overlap_m, fall_pct, base_m, drain_m }
    Rules { name = default, riser_max_mm, going_min_mm, variation_max_mm, two_r_plus_t_min_mm, two_r_plus_t_max_mm, fall_min_pct, fall_max_pct }
    PlannedDose { additive, dose_pct }
    Materials { mix, waste_pct, mixer_l, doses = default, mesh_gap_mm, rubber_mm, rubber_kg_l, rubber_waste_pct }
    Crew { from_h, until_h, days_off = default, forms, pour_h, wash_h, dry_h, reset_h }
    Planned { step, at_ms }
    Bought { item, done }
    Checklist { points }
    Ticked { step, point, done }
}

/// Most points of a check.
const MOST_POINTS: usize = 40;

/// Refuses a greatest value (`field`) below the least one (`than`).
pub(super) fn ordered(
    (field, most): (&str, f64),
    (than, least): (&'static str, f64),
) -> Result<(), FieldError> {
    if most >= least {
        return Ok(());
    }
    let why = Misfit::below(than, least);
    Err(FieldError::new(field, &Shown(most).to_string(), why))
}

impl Checked for Layout {
    fn check(&self) -> Result<(), FieldError> {
        limits::id("flight", &self.flight)
    }
}

impl Checked for Rules {
    fn check(&self) -> Result<(), FieldError> {
        limits::note("name", &self.name, 120)?;
        ordered(
            ("two_r_plus_t_max_mm", self.two_r_plus_t_max_mm),
            ("two_r_plus_t_min_mm", self.two_r_plus_t_min_mm),
        )?;
        ordered(
            ("fall_max_pct", self.fall_max_pct),
            ("fall_min_pct", self.fall_min_pct),
        )
    }
}

impl Checked for Materials {
    fn check(&self) -> Result<(), FieldError> {
        if let Some(mix) = &self.mix {
            limits::id("mix", mix)?;
        }
        self.doses
            .iter()
            .try_for_each(|d| limits::id("additive", &d.additive))
    }
}

impl Checked for Crew {
    fn check(&self) -> Result<(), FieldError> {
        if self.until_h < self.from_h + 1.0 {
            let until = Shown(self.until_h).to_string();
            return Err(FieldError::new("until_h", &until, MisfitCode::ShortDay));
        }
        if self.days_off.len() >= 7 {
            return Err(FieldError::new("days_off", "", MisfitCode::NoWorkday));
        }
        Ok(())
    }
}

impl Checked for Planned {
    fn check(&self) -> Result<(), FieldError> {
        limits::id("step", &self.step)
    }
}

impl Checked for Bought {
    fn check(&self) -> Result<(), FieldError> {
        limits::text("item", &self.item, 80)
    }
}

impl Checked for Checklist {
    fn check(&self) -> Result<(), FieldError> {
        if self.points.len() > MOST_POINTS {
            let why = Misfit::most(MisfitCode::TooMany, MOST_POINTS as f64, "");
            let value = self.points.len().to_string();
            return Err(FieldError::new("points", &value, why));
        }
        let text = |p: &String| limits::text("points", p, 200);
        self.points.iter().try_for_each(text)
    }
}

impl Checked for Ticked {
    fn check(&self) -> Result<(), FieldError> {
        limits::id("step", &self.step)?;
        limits::text("point", &self.point, 200)
    }
}
