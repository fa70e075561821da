//! One pour with everything about it.
//!
//! Also where every pour of a site is reckoned in turn ([`Book::tell`]), each with what the
//! earlier ones of its mix taught. The first screen is in [`super::site`].

use super::inputs::{self, Where};
use super::learned::{self, Lessons};
use super::types::{DoseSum, Mixed, OddView, Phase, PourView, Rec};
use super::{MilestoneView, PourCard, state};
use crate::book::{Book, Folded, Table};
use crate::facts::{
    Additive, Batch, Form, Liner, MarkKind, Mix, Observation, Observed, Photo, Pour, Reading,
    SecondPour, Step,
};
use crate::view::cache::Outcome;
use core::cmp::Reverse;
use slowstone_curing::predict::{
    CurvePoint, MilestoneKind, Missing, NotYet, Odd, OddEntry, PourFacts, Warning,
};
use slowstone_curing::units::{AtMs, Hours};
use std::sync::Arc;

/// A pour as reckoned: its id, the record and what came of it.
pub(super) struct Told {
    pub id: String,
    pub pour: Pour,
    pub facts: PourFacts,
    pub outcome: Outcome,
    pub milestones: Vec<MilestoneView>,
}

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
            milestones: one.milestones.clone(),
            curve: Vec::new(),
            now: None,
            evaporation: None,
            warnings: Vec::new(),
            basis: None,
            odd: Vec::new(),
            missing: one.missing(),
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
            view.now = at(&p.curve, now);
            view.evaporation = p.evaporation;
            view.warnings = p.warnings.clone();
            view.basis = Some(p.basis.clone());
            view.odd = odd(sum, pour, &p.odd);
        }
        Some(view)
    }

    /// Reckons every pour of a site in the order in which they were poured, each with what
    /// the earlier ones of its mix taught.
    pub(super) fn tell(&mut self, site: &str, now: AtMs) -> Vec<Told> {
        self.tell_and_learn(site, now).0
    }

    /// As [`Book::tell`], and what is known of each mix in the end.
    pub(super) fn tell_and_learn(&mut self, site: &str, now: AtMs) -> (Vec<Told>, Lessons) {
        let mut reckoned = std::mem::take(&mut self.reckoned);
        let zones = Arc::clone(&self.zones);
        let sum = self.folded(site);
        let place = Where::of(sum, site, &*zones);
        let mut pours: Vec<(String, Pour)> = sum
            .pours()
            .map(|(id, p)| (id.to_owned(), p.clone()))
            .collect();
        pours.sort_by(|a, b| a.1.started_ms.cmp(&b.1.started_ms).then(a.0.cmp(&b.0)));
        let weather = inputs::Weather::of(sum, &place);
        let mut known = Lessons::default();
        let mut told = Vec::new();
        for (id, pour) in pours {
            let mix = pour.mix.as_deref().unwrap_or_default();
            let before = known.get(mix).copied().unwrap_or_default();
            let facts = inputs::pour_facts(sum, &place, &id, &pour, &weather, before);
            let (outcome, lesson) = if begun(&pour, now) {
                reckoned.predict(&id, &facts)
            } else {
                (Err(NotYet::StartsLater), before)
            };
            if outcome.is_ok() && !learned::forgotten(sum, &pour) {
                known.insert(mix.to_owned(), lesson);
            }
            let milestones = match &outcome {
                Ok(p) => p
                    .milestones
                    .iter()
                    .map(|m| state::show(m, done(sum, &id, &pour, m.kind), now))
                    .collect(),
                Err(_) => Vec::new(),
            };
            told.push(Told {
                id,
                pour,
                facts,
                outcome,
                milestones,
            });
        }
        self.reckoned = reckoned;
        (told, known)
    }

    /// How many predictions were really made since the book was opened (the rest came
    /// from the cache).
    #[must_use]
    pub fn reckonings(&self) -> u64 {
        self.reckoned.reckonings
    }
}

impl Told {
    /// What is asked for, because times are not given without it.
    pub(super) fn missing(&self) -> Vec<Missing> {
        match &self.outcome {
            Ok(p) => p.missing.clone(),
            Err(NotYet::NoTemperature) => vec![Missing::AirTemperature],
            Err(NotYet::Impossible | NotYet::StartsLater) => Vec::new(),
        }
    }
}

/// What does not fit, with the entry that each is from.
fn odd(sum: &Folded, pour: &str, all: &[Odd]) -> Vec<OddView> {
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

/// How far ahead the start of a pour may lie: the clocks of a phone and of the hub differ by
/// minutes (common practice, no source). What begins later has not begun.
const AHEAD: Hours = Hours(0.25);

/// Whether a pour has begun at `now`.
pub(crate) fn begun(pour: &Pour, now: AtMs) -> bool {
    pour.started_ms <= now.plus(AHEAD)
}

/// Whether a new attempt on the same step has taken the place of a pour at `now`.
pub(super) fn replaced(sum: &Folded, id: &str, pour: &Pour, now: AtMs) -> bool {
    let after = |other: &str, p: &Pour| {
        (p.started_ms, other) > (pour.started_ms, id) && p.step == pour.step && begun(p, now)
    };
    let replaces = |p: &Pour| p.second_pour == Some(SecondPour::Replaces);
    pour.step.is_some() && sum.pours().any(|(other, p)| replaces(p) && after(other, p))
}

/// What the log itself knows to be done, beside what the engine reads from observations.
fn done(sum: &Folded, id: &str, pour: &Pour, kind: MilestoneKind) -> Option<AtMs> {
    let seen = |what: Observed| {
        sum.observations(id)
            .filter(|o| o.what == what)
            .map(|o| o.at_ms)
            .min()
    };
    match kind {
        MilestoneKind::CuringEnds => seen(Observed::CuringEnded),
        MilestoneKind::Seal => seen(Observed::Sealed),
        MilestoneKind::NextStep => {
            let step = inputs::step_of(sum, pour)?;
            sum.pours()
                .filter(|(_, p)| inputs::step_of(sum, p).is_some_and(|s| inputs::rests_on(s, step)))
                .map(|(_, p)| p.started_ms)
                .filter(|t| *t >= pour.started_ms)
                .min()
        }
        _ => None,
    }
    .or_else(|| {
        // "Done" from a reminder counts as done where the engine has no sign of its own.
        sum.marks(id)
            .filter(|(m, _)| m.milestone == kind && m.what == MarkKind::Done)
            .map(|(_, at)| at)
            .min()
    })
}

/// The curve at an instant, between its points; its ends outside.
pub(super) fn at(curve: &[CurvePoint], now: AtMs) -> Option<CurvePoint> {
    let after = curve.iter().position(|p| p.at >= now);
    let (a, b) = match after {
        None => return curve.last().copied(),
        Some(0) => return curve.first().copied(),
        Some(i) => (curve.get(i.saturating_sub(1))?, curve.get(i)?),
    };
    let span = b.at.hours_since(a.at).value();
    let f = if span > 0.0 {
        now.hours_since(a.at).value() / span
    } else {
        1.0
    };
    let mid = |x: f64, y: f64| x + (y - x) * f;
    Some(CurvePoint {
        at: now,
        low_mpa: mid(a.low_mpa, b.low_mpa),
        mid_mpa: mid(a.mid_mpa, b.mid_mpa),
        high_mpa: mid(a.high_mpa, b.high_mpa),
        concrete_c: mid(a.concrete_c, b.concrete_c),
        edge_c: mid(a.edge_c, b.edge_c),
        air_c: mid(a.air_c, b.air_c),
        age_h: mid(a.age_h, b.age_h),
        degree_hours: mid(a.degree_hours, b.degree_hours),
    })
}

/// The line of a pour on the first screen.
pub(super) fn card(sum: &Folded, told: &Told, now: AtMs) -> PourCard {
    let step = inputs::step_of(sum, &told.pour);
    let photos: Vec<_> = sum.photos(&told.id).collect();
    let point = told.outcome.as_ref().ok().and_then(|p| at(&p.curve, now));
    let (mix, _) = inputs::mix_of(sum, &told.pour);
    // Nothing is cast on top of a sample.
    let fits = |k: &MilestoneKind| step.is_some() || *k != MilestoneKind::NextStep;
    let fitting = |all: Vec<MilestoneKind>| all.into_iter().filter(fits).collect();
    let phase = state::phase(&told.milestones);
    // Nothing can be done any more for a surface that has set.
    let wet = matches!(
        phase,
        Phase::Fresh | Phase::Texture | Phase::Setting | Phase::Unknown
    );
    let in_time =
        |w: &&Warning| wet || !matches!(w, Warning::DriesFast { .. } | Warning::ShortWindow { .. });
    PourCard {
        id: told.id.clone(),
        step_number: step.map(|s| s.number),
        name: step.map_or_else(|| told.pour.name.clone(), |s| s.name.clone()),
        started_ms: told.pour.started_ms,
        mix: told.pour.mix.clone(),
        second_pour: told.pour.second_pour,
        replaced: replaced(sum, &told.id, &told.pour, now),
        phase,
        can: fitting(state::can(&told.milestones)),
        maybe: fitting(state::maybe(&told.milestones)),
        not_yet: fitting(state::not_yet(&told.milestones)),
        next: state::next(&told.milestones, now),
        warning: told
            .outcome
            .as_ref()
            .ok()
            .and_then(|p| p.warnings.iter().find(in_time).copied()),
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
