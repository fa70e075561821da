//! One pour with everything about it, and its line on the first screen.
//!
//! Nothing is decided here: what may be done is the answer that `told` made. The first
//! screen is in [`super::site`].

use super::due;
use super::inputs;
use super::told::{Told, replaced};
use super::types::{
    DoseSum, Head, HeadSays, Mixed, OddView, Phase, PourCard, PourView, Rec, Reminder,
};
use crate::book::{Book, Folded, Table};
use crate::facts::{Additive, Batch, Form, Liner, Mix, Observation, Photo, Pour, Reading, Step};
use core::cmp::Reverse;
use slowstone_curing::predict::{MilestoneKind, Odd, OddEntry, curve_at};
use slowstone_curing::units::AtMs;

impl Book {
    /// Everything about one pour at `now`; none if it is not there or was taken back.
    pub fn pour_view(&mut self, site: &str, pour: &str, now: AtMs) -> Option<PourView> {
        let told = self.tell(site, now);
        let sum = self.folded(site);
        let one = told.iter().find(|t| t.id == pour)?;
        let rec = sum.rec::<Pour>(Some(pour))?;
        let (mix, assumed_mix) = inputs::mix_of(sum, &one.pour);
        let mut view = PourView {
            now_ms: now,
            card: card(sum, one, now),
            step: sum.rec::<Step>(one.pour.step.as_deref()),
            mix: sum.rec::<Mix>(one.pour.mix.as_deref()),
            form: sum.rec::<Form>(one.pour.form.as_deref()),
            liner: sum.rec::<Liner>(one.pour.liner.as_deref()),
            pour: rec,
            batches: sum.recs::<Batch>(),
            mixed: mixed(sum, pour, &mix),
            readings: sum.recs::<Reading>(),
            observations: sum.recs::<Observation>(),
            photos: sum.recs::<Photo>(),
            milestones: one.milestones(),
            curve: Vec::new(),
            now: None,
            evaporation: None,
            warnings: Vec::new(),
            basis: None,
            odd: Vec::new(),
            missing: one.missing(),
            look_next: one.answer.look_next.clone(),
            assumed_mix,
        };
        view.batches.retain(|b| b.fact.pour == pour);
        view.readings
            .retain(|r| r.fact.pour.as_deref() == Some(pour));
        view.readings.sort_by_key(|r| Reverse(r.fact.at_ms));
        view.observations.retain(|o| o.fact.pour == pour);
        view.observations.sort_by_key(|o| Reverse(o.fact.at_ms));
        view.photos.retain(|p| p.fact.pour.as_deref() == Some(pour));
        view.photos.sort_by_key(|p| p.fact.taken_ms);
        if let Ok(p) = &one.outcome {
            view.curve = p.curve.clone();
            view.now = curve_at(&p.curve, now);
            view.evaporation = p.evaporation;
            view.warnings = one.answer.warnings.clone();
            view.basis = Some(p.basis.clone());
            view.odd = odd(sum, pour, &p.odd);
        }
        Some(view)
    }
}

/// What does not fit, with the entry that each is from.
pub(super) fn odd(sum: &Folded, pour: &str, all: &[Odd]) -> Vec<OddView> {
    let found = |odd: &Odd| {
        let (event, kind) = match odd.what {
            OddEntry::Observation => {
                let same = |o: &&Rec<Observation>| {
                    let fact = &o.fact;
                    fact.pour == pour
                        && fact.at_ms == odd.at
                        && inputs::seen(fact).is_some_and(|s| odd.why.seen().is_none_or(|x| x == s))
                };
                let all = sum.recs::<Observation>();
                (all.iter().find(same)?.id.clone(), "observation")
            }
            OddEntry::Air | OddEntry::Concrete => {
                let air = odd.what == OddEntry::Air;
                let has = |a: Option<f64>, c: Option<f64>| if air { a } else { c }.is_some();
                let same = |r: &&Rec<Reading>| {
                    let fact = &r.fact;
                    (air || fact.pour.as_deref() == Some(pour))
                        && fact.at_ms == odd.at
                        && has(fact.air_c, fact.concrete_c)
                };
                let reading = sum
                    .recs::<Reading>()
                    .iter()
                    .find(same)
                    .map(|r| r.id.clone());
                match reading {
                    Some(id) => (id, "reading"),
                    // It was noted with a pour: this one, or for the air another one.
                    None => {
                        let noted = |p: &Pour| p.started_ms == odd.at && has(p.air_c, p.concrete_c);
                        let own = |id: &str| air || id == pour;
                        let mut pours = sum.pours();
                        let (id, _) = pours.find(|(id, p)| own(id) && noted(p))?;
                        (id.to_owned(), "pour")
                    }
                }
            }
        };
        Some(OddView {
            event,
            kind: kind.to_owned(),
            odd: *odd,
        })
    };
    all.iter().filter_map(found).collect()
}

/// What people wait for with their hands free: texture, form, edges, the next step.
const WAITED_FOR: u8 = 3;
/// Of it, what is tried by touch before it is safe: texture, form, edges.
const TRIED: u8 = 2;

/// The line of a pour on the first screen.
pub(super) fn card(sum: &Folded, told: &Told, now: AtMs) -> PourCard {
    let step = inputs::step_of(sum, &told.pour);
    let photos: Vec<_> = sum.photos(&told.id).collect();
    let prediction = told.outcome.as_ref().ok();
    let point = prediction.and_then(|p| curve_at(&p.curve, now));
    let (mix, _) = inputs::mix_of(sum, &told.pour);
    let found = &told.answer;
    let head = head(told, &due::of(sum, told, now).0);
    // Who may use it fully may walk on it.
    let mut can = found.now.clone();
    if can.contains(&MilestoneKind::FullUse) {
        can.retain(|k| *k != MilestoneKind::Foot);
    }
    let used = in_use(found.state);
    let also = can
        .iter()
        .copied()
        .filter(|k| Some(*k) != head.kind)
        .filter(|k| !used || (k.row().work && !presses(*k, WAITED_FOR)))
        .collect();
    PourCard {
        id: told.id.clone(),
        step_number: step.map(|s| s.number),
        name: step.map_or_else(|| told.pour.name.clone(), |s| s.name.clone()),
        started_ms: told.pour.started_ms,
        mix: told.pour.mix.clone(),
        second_pour: told.pour.second_pour,
        replaced: replaced(sum, &told.id, &told.pour, now),
        phase: found.state,
        wet: matches!(
            found.state,
            Phase::Fresh | Phase::TextureByTouch | Phase::Texture | Phase::Unknown
        ),
        head,
        act: found.act,
        can,
        also,
        maybe: found.by_touch.clone(),
        not_yet: found
            .not_yet
            .iter()
            .copied()
            .filter(|k| k.row().guarded)
            .collect(),
        done: found.done.clone(),
        next: found.next,
        warning: found.warnings.first().copied(),
        no_prediction: told.outcome.as_ref().err().copied(),
        now_mpa: point.map(|p| (p.low_mpa, p.mid_mpa)),
        share: point.map_or(0.0, |p| (p.mid_mpa / mix.class_mpa).clamp(0.0, 1.0)),
        photo: photos
            .iter()
            .max_by_key(|p| p.taken_ms)
            .map(|p| p.hash.clone()),
        photos: u32::try_from(photos.len()).unwrap_or(u32::MAX),
    }
}

fn in_use(phase: Phase) -> bool {
    matches!(phase, Phase::Usable | Phase::Done)
}

fn presses(kind: MilestoneKind, most: u8) -> bool {
    kind.row().pressing.is_some_and(|p| p <= most)
}

/// What is said largest: what is due, else what may be done, else what may be tried, else
/// where the pour is.
fn head(told: &Told, due: &[Reminder]) -> Head {
    let act = told.answer.act.filter(|a| presses(a.kind, WAITED_FOR));
    let used = in_use(told.answer.state);
    let says = |says, kind, hot| Head { says, kind, hot };
    match act {
        Some(act) if act.test.is_none() => {
            let hot = due.iter().any(|r| r.kind == act.kind);
            if hot || !used {
                return says(HeadSays::Now, Some(act.kind), hot);
            }
        }
        Some(act) if !used && presses(act.kind, TRIED) => {
            return says(HeadSays::Try, Some(act.kind), false);
        }
        _ => {}
    }
    says(HeadSays::Phase, None, false)
}

/// What the batches of a pour add up to.
pub(crate) fn mixed(sum: &Folded, pour: &str, mix: &Mix) -> Mixed {
    let mut m = Mixed::default();
    let mut watered = 0.0;
    let mut doses: Table<f64> = Table::default();
    for b in sum.batches(pour) {
        m.bags += b.bags;
        if let Some(w) = b.water_l {
            watered += b.bags;
            m.water_l += w;
        }
        for d in &b.additives {
            doses.change(&d.additive, |sum| *sum += d.amount);
        }
    }
    if watered > 0.0 {
        let per_bag = m.water_l / watered;
        m.water_per_bag_l = Some(per_bag);
        m.water_fits = Some(mix.takes_water(per_bag));
    }
    let cement_kg = m.bags * mix.cement_per_bag_kg();
    m.cement_kg = (cement_kg > 0.0).then_some(cement_kg);
    for (additive, amount) in doses.iter() {
        let Some(a) = sum.fact::<Additive>(additive) else {
            continue;
        };
        let pct = m.cement_kg.map(|c| *amount / 1000.0 / c * 100.0);
        m.doses.push(DoseSum {
            additive: additive.to_owned(),
            name: a.name.clone(),
            liquid: a.liquid,
            amount: *amount,
            per_bag: if m.bags > 0.0 { *amount / m.bags } else { 0.0 },
            pct_of_cement: pct,
            fits: pct.and_then(|pct| a.takes(pct)),
        });
    }
    m
}
