//! The shopping list: everything for the steps that are still to be cast, to be ticked off.
//!
//! Amounts that come from sizes carry their waste; what is a rule of thumb is named as
//! such beside its constant. Poured steps need nothing any more, so the list shrinks as
//! the work goes on; what one step takes is in [`super::need`].

use super::drawing::length;
use super::flight::FlightPlan;
use super::need::{Recipe, StepNeed, count, last_step};
use super::settings::newest;
use crate::book::Folded;
use crate::facts::{Bought, Form, Liner, Materials, Units};
use core::fmt::Write;
use serde::Serialize;
use slowstone_curing::bags;
use slowstone_curing::handling;
use slowstone_curing::predict::{FormFacts, FormMaterial};
use slowstone_curing::units::{AtMs, Metres};

/// A side board ends this far above the concrete, m (common practice, no source).
const BOARD_ABOVE_M: f64 = 0.01;
/// Screws in a corner of a form (common practice, no source).
const SCREWS_A_CORNER: f64 = 4.0;
/// Stakes stand at most this far apart, m (common practice: 0.6 to 0.9 m).
const STAKES_M: f64 = 0.75;
/// A bead of sealant of 6 mm: its area, mm², and a cartridge, ml (usual 310 ml).
const BEAD_MM2: f64 = 28.3;
const CARTRIDGE_ML: f64 = 310.0;
/// Release agent brushed on boards, m²/L (common practice: 20 to 40 m²/L sprayed, less
/// brushed on wood).
const RELEASE_M2_L: f64 = 15.0;
/// The cover hangs down and is weighted this far beyond the step, m.
const COVER_BEYOND_M: f64 = 0.3;
/// The liner ends this far below the top edge, m, so that the screed runs clear.
const LINER_BELOW_M: f64 = 0.005;
/// Chairs or blocks that hold the mesh at half depth: one to this area, m².
const CHAIR_M2: f64 = 0.15;

/// What an entry is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Unit {
    /// Bags.
    Bags,
    /// Kilograms.
    Kg,
    /// Litres.
    L,
    /// Metres.
    M,
    /// Square metres.
    M2,
    /// Pieces.
    Pieces,
}

impl Unit {
    /// Its sign, for a table.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Unit::Bags => "bags",
            Unit::Kg => "kg",
            Unit::L => "L",
            Unit::M => "m",
            Unit::M2 => "m2",
            Unit::Pieces => "pieces",
        }
    }

    /// What to multiply an amount by to read it in the units of a site, and the unit then.
    /// The international yard and pound (1959), the US quart of 0.946352946 L (NIST SP 811).
    const fn shown(self, units: Units) -> (f64, &'static str) {
        match (self, units) {
            (Unit::Kg, Units::Us) => (1.0 / 0.453_592_37, "lb"),
            (Unit::L, Units::Us) => (1.0 / 0.946_352_946, "qt"),
            (Unit::M, Units::Us) => (1.0 / 0.3048, "ft"),
            (Unit::M2, Units::Us) => (1.0 / (0.3048 * 0.3048), "ft²"),
            (Unit::M2, Units::Metric) => (1.0, "m²"),
            (other, _) => (1.0, other.sign()),
        }
    }
}

/// One entry of the list.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Item {
    /// Which: a code, for an additive with its id behind a colon.
    pub item: String,
    /// Its name, if it has one of its own.
    pub name: String,
    /// How much to have.
    pub amount: f64,
    /// Counted in.
    pub unit: Unit,
    /// As reckoned, before rounding up; none: not rounded.
    pub exact: Option<f64>,
    /// Sizes that go with it, m: what they are depends on the entry.
    pub sizes_m: Vec<f64>,
    /// It is there.
    pub bought: bool,
    /// Since when, by the clock of who said so.
    pub bought_ms: Option<AtMs>,
}

/// What the list is made from.
pub(super) struct Supply<'a> {
    pub sum: &'a Folded,
    pub flights: &'a [FlightPlan],
    pub needs: &'a [StepNeed],
    pub recipe: &'a Recipe,
    pub materials: &'a Materials,
    pub now: AtMs,
}

impl Supply<'_> {
    fn ahead(&self) -> impl Iterator<Item = &StepNeed> {
        self.needs.iter().filter(|n| !n.poured)
    }
    fn total(&self, of: fn(&StepNeed) -> f64) -> f64 {
        self.ahead().map(of).sum()
    }
    /// The form of the last step, or the first that is set up.
    fn form(&self) -> Option<&Form> {
        let used = last_step(self.sum, self.now, |_| true)
            .and_then(|(_, p)| self.sum.fact(p.form.as_deref()?));
        let first = || self.sum.facts().next().map(|(_, f)| f);
        used.or_else(first)
    }

    fn liners(&self) -> usize {
        self.sum.facts::<Liner>().count()
    }
}

/// Largest width, depth and height among the steps that are still to be cast.
fn largest(s: &Supply<'_>) -> (f64, f64, f64) {
    let ahead = s
        .flights
        .iter()
        .flat_map(|f| &f.steps)
        .filter(|x| !x.poured);
    ahead.fold((0.0, 0.0, 0.0), |a: (f64, f64, f64), x| {
        (a.0.max(x.width_m), a.1.max(x.depth_m), a.2.max(x.cast_m))
    })
}

/// What to have for the steps that are still to be cast; empty when none is.
pub(super) fn list(s: &Supply<'_>) -> Vec<Item> {
    let mut all = Vec::new();
    let steps = s.ahead().count() as f64;
    if steps == 0.0 {
        return all;
    }
    concrete(s, &mut all);
    let mesh: f64 = s.total(|n| n.mesh_width_m * n.mesh_depth_m);
    all.push(item("mesh", mesh, Unit::M2));
    all.push(whole("chairs", mesh / CHAIR_M2));
    all.push(item("gravel", s.total(|n| n.gravel_l), Unit::L));
    all.push(item("stone", s.total(|n| n.stone_l), Unit::L));
    form(s, steps, &mut all);
    all.retain(|i| i.amount > 0.0);
    for i in &mut all {
        let bought = newest(s.sum, |b: &Bought| b.item == i.item);
        if let Some((_, at, b)) = bought {
            i.bought = b.done;
            i.bought_ms = b.done.then_some(at);
        }
    }
    all
}

fn item(code: &str, amount: f64, unit: Unit) -> Item {
    Item {
        item: code.to_owned(),
        name: String::new(),
        amount,
        unit,
        exact: None,
        sizes_m: Vec::new(),
        bought: false,
        bought_ms: None,
    }
}

fn whole(code: &str, exact: f64) -> Item {
    Item {
        exact: Some(exact),
        ..item(code, f64::from(count(exact)), Unit::Pieces)
    }
}

fn concrete(s: &Supply<'_>, all: &mut Vec<Item>) {
    let exact = s.total(|n| n.bags_exact);
    all.push(Item {
        name: s.recipe.name.clone(),
        unit: Unit::Bags,
        ..whole("bags", exact)
    });
    let bags = bags::whole(exact) as f64;
    for d in &s.recipe.doses {
        // Grams or millilitres to a bag, kilograms or litres in the shop.
        let unit = if d.liquid { Unit::L } else { Unit::Kg };
        all.push(Item {
            name: d.name.clone(),
            ..item(
                &format!("additive:{}", d.additive),
                d.per_bag * bags / 1000.0,
                unit,
            )
        });
    }
    all.push(item("water", s.recipe.water_per_bag_l.1 * bags, Unit::L));
}

/// Form, sealing, liner, release agent, cover: sized by the largest step, so that one
/// form serves them all.
fn form(s: &Supply<'_>, steps: f64, all: &mut Vec<Item>) {
    let (width, depth, height) = largest(s);
    let form = s.form();
    let board_m = form.map_or(0.025, |f| f.board_mm / 1000.0);
    let facts = FormFacts {
        material: form.map_or(FormMaterial::Timber, |f| f.material),
        thickness: Metres(board_m),
    };
    let around = 2.0 * (width + depth);
    // Front and back boards lap over the sides.
    all.push(Item {
        sizes_m: vec![board_m, height + BOARD_ABOVE_M],
        ..item("boards", around + 4.0 * board_m, Unit::M)
    });
    all.push(whole("screws", 4.0 * SCREWS_A_CORNER));
    let apart = handling::clamp_spacing(facts, Metres(height)).map_or(STAKES_M, |m| m.0);
    let apart = apart.min(STAKES_M);
    let stakes = 2.0 * f64::from(count(width / apart)) + 2.0 * f64::from(count(depth / apart));
    all.push(Item {
        sizes_m: vec![apart],
        ..whole("stakes", stakes)
    });
    // A metre of a bead of a square millimetre is a millilitre.
    let beads_m = steps * (around + 4.0 * height);
    all.push(whole("sealant", beads_m * BEAD_MM2 / CARTRIDGE_ML));
    let liner_m2 = width * (height - LINER_BELOW_M).max(0.0);
    if s.liners() > 0 {
        let m = s.materials;
        let litres = liner_m2 * m.rubber_mm * (1.0 + m.rubber_waste_pct / 100.0);
        all.push(Item {
            exact: Some(litres),
            sizes_m: vec![width, height - LINER_BELOW_M, m.rubber_mm / 1000.0],
            ..item("rubber", litres * m.rubber_kg_l, Unit::Kg)
        });
    }
    let faces = steps * around * height;
    all.push(item("release", faces / RELEASE_M2_L, Unit::L));
    let cover = (
        width + 2.0 * COVER_BEYOND_M,
        depth + height + 2.0 * COVER_BEYOND_M,
    );
    all.push(Item {
        sizes_m: vec![cover.0, cover.1],
        ..whole("cover", steps)
    });
    all.push(item("gloves", 2.0, Unit::Pieces));
    all.push(item("mask", 2.0, Unit::Pieces));
}

/// The list as comma-separated values: RFC 4180, one line to an entry, in the units of the
/// site. `say` words a code (`item-mesh`, `opt-yes`); numbers have a decimal point.
#[must_use]
pub fn csv(list: &[Item], units: Units, say: &dyn Fn(&str) -> String) -> String {
    let heads = [
        "list-item",
        "f-name",
        "f-amount",
        "list-unit",
        "list-exact",
        "list-sizes",
        "list-bought",
    ];
    let mut out = heads.map(|key| quoted(&say(key))).join(",");
    out.push_str("\r\n");
    for i in list {
        let code = i.item.split(':').next().unwrap_or_default();
        // Of rubber the exact value is its volume, of all else the amount.
        let exact_in = if code == "rubber" { Unit::L } else { i.unit };
        let sizes: Vec<String> = i.sizes_m.iter().map(|&m| length(m, units)).collect();
        let mm = if units == Units::Metric && !sizes.is_empty() {
            " mm"
        } else {
            ""
        };
        let unit = match i.unit {
            Unit::Bags | Unit::Pieces => say(&format!("list-{}", i.unit.sign())),
            other => other.shown(units).1.to_owned(),
        };
        // Writing to a String cannot fail.
        let _ = write!(
            out,
            "{},{},{},{},{},{},{}\r\n",
            quoted(&say(&format!("item-{code}"))),
            quoted(&i.name),
            round(i.amount * i.unit.shown(units).0),
            quoted(&unit),
            i.exact.map_or(String::new(), |x| {
                round(x * exact_in.shown(units).0).to_string()
            }),
            quoted(&format!("{}{mm}", sizes.join(" × "))),
            quoted(&say(if i.bought { "opt-yes" } else { "opt-no" })),
        );
    }
    out
}

fn round(x: f64) -> f64 {
    (x * 100.0).round() / 100.0
}

/// A field that a spreadsheet neither splits nor runs as a formula.
fn quoted(text: &str) -> String {
    let odd = text.starts_with(['=', '+', '-', '@', '\t']);
    let text = text.replace('"', "\"\"").replace(['\r', '\n'], " ");
    format!("\"{}{text}\"", if odd { "'" } else { "" })
}
