//! Words one pour of the record: what went in, in what weather, what was seen and done, when
//! things were reckoned to come and came, its curve, its photos and what to beware of.
//!
//! All of it is the pour's own view. The rest of the record: [`super::tell`].

use super::Gathered;
use super::curve;
use super::doc::{Block, Cell, Picture, Table};
use super::ways::{Quantity, Ways};
use slowstone_curing::predict::Span;
use slowstone_curing::units::AtMs;
use slowstone_logbook::facts::Photo;
use slowstone_logbook::view::{May, MilestoneView, PourView, Rec};
use std::collections::BTreeSet;

/// Most photos of a pour in a record; all of them are in the zip of photos.
const PICTURES: usize = 9;

/// Marks of what was seen or done on the curve: one for each kind of moment.
const LETTERS: [&str; 11] = ["A", "B", "C", "D", "E", "F", "G", "H", "I", "J", "K"];

/// Adds a pour to the record.
pub(super) fn pour(view: &PourView, of: &Gathered, ways: &Ways, blocks: &mut Vec<Block>) {
    let name = ways.name_of(view.card.step_number, &view.card.name);
    blocks.push(Block::Chapter {
        text: name.clone(),
        id: view.pour.id.clone(),
        new_page: true,
    });
    blocks.push(Block::Facts(facts(view, ways)));
    let warnings: Vec<String> = view.warnings.iter().map(|w| ways.warning(w)).collect();
    if !warnings.is_empty() {
        blocks.push(Block::Care(warnings));
    }
    if !view.batches.is_empty() {
        blocks.push(Block::Heading(ways.say("ho-mixed")));
        blocks.push(Block::Table(batches(view, ways)));
        blocks.push(Block::Quiet(mixed(view, ways)));
    }
    times(view, ways, &name, blocks);
    weather(view, ways, blocks);
    happened(view, ways, blocks);
    blocks.push(Block::Heading(ways.say("ho-assumed")));
    blocks.push(Block::Text(assumed(view, of, ways)));
    pictures(view, ways, &name, blocks);
}

fn facts(view: &PourView, ways: &Ways) -> Vec<(String, String)> {
    let p = &view.pour.fact;
    let mut out = Vec::new();
    let mut fact = |key: &str, value: Option<String>| {
        if let Some(value) = value.filter(|v| !v.is_empty()) {
            out.push((ways.say(key), value));
        }
    };
    fact("f-started_ms", Some(ways.when(p.started_ms)));
    fact("f-finished_ms", p.finished_ms.map(|at| ways.when(at)));
    fact("f-air_c", p.air_c.map(|t| ways.val(t, Quantity::Temp)));
    fact(
        "f-concrete_c",
        p.concrete_c.map(|t| ways.val(t, Quantity::Temp)),
    );
    fact("f-rh_pct", p.rh_pct.map(|t| ways.val(t, Quantity::Percent)));
    fact(
        "f-wind_kmh",
        p.wind_kmh.map(|t| ways.val(t, Quantity::Speed)),
    );
    fact("f-sky", p.sky.map(|s| ways.coded("sky-", s)));
    fact("f-mix", view.mix.as_ref().map(|m| m.fact.name.clone()));
    fact("f-form", view.form.as_ref().map(|m| m.fact.name.clone()));
    let liner = view
        .liner
        .as_ref()
        .map(|m| joined(&[m.fact.name.clone(), p.liner_side.clone()]));
    fact("f-liner", liner);
    let size = view.step.as_ref().map(|s| {
        let sides = [s.fact.width_m, s.fact.depth_m, s.fact.rise_m];
        sides.map(|m| ways.val(m, Quantity::Length)).join(" × ")
    });
    fact("ho-size", size);
    fact(
        "ho-now-strength",
        view.now.map(|now| {
            let (low, mid) = (
                ways.val(now.low_mpa, Quantity::Strength),
                ways.val(now.mid_mpa, Quantity::Strength),
            );
            format!("{low} – {mid}")
        }),
    );
    fact("ho-logged-by", Some(person(ways, &view.pour)));
    fact("f-note", Some(p.note.clone()));
    out
}

/// Who logged a record, and who entered it for them.
fn person<T>(ways: &Ways, record: &Rec<T>) -> String {
    let Some(by) = &record.entered_by else {
        return record.by.clone();
    };
    let names = [
        ("name", record.by.clone().into()),
        ("by", by.clone().into()),
    ];
    ways.say_with("ho-entered-by", &names)
}

fn batches(view: &PourView, ways: &Ways) -> Table {
    let doses = |list: &[slowstone_logbook::facts::Dose]| {
        let one = |d: &slowstone_logbook::facts::Dose| {
            let known = view.mixed.doses.iter().find(|s| s.additive == d.additive);
            let name = known.map_or("", |s| s.name.as_str());
            let q = if known.is_some_and(|s| s.liquid) {
                Quantity::Millilitres
            } else {
                Quantity::Grams
            };
            format!("{name} {}", ways.val(d.amount, q))
                .trim()
                .to_owned()
        };
        list.iter().map(one).collect::<Vec<_>>().join("; ")
    };
    let rows = view.batches.iter().enumerate().map(|(n, batch)| {
        let b = &batch.fact;
        vec![
            Cell::from((n + 1).to_string()),
            Cell::from(b.at_ms.map_or_else(|| "–".to_owned(), |at| ways.clock(at))),
            Cell::from(ways.number(b.bags, 2)),
            Cell::from(
                b.water_l
                    .map_or_else(|| "–".to_owned(), |l| ways.val(l, Quantity::Water)),
            ),
            Cell::from(doses(&b.additives)),
            Cell::from(b.note.clone()),
        ]
    });
    Table {
        caption: ways.say("ho-mixed"),
        head: [
            "k-batch",
            "f-at_ms",
            "f-bags",
            "ho-water",
            "f-additives",
            "f-note",
        ]
        .map(|k| ways.say(k))
        .to_vec(),
        widths: vec![1.0, 1.0, 0.9, 1.3, 3.2, 2.2],
        rows: rows.collect(),
    }
}

fn mixed(view: &PourView, ways: &Ways) -> String {
    let m = &view.mixed;
    let mut parts = vec![format!(
        "{}: {}",
        ways.say("f-bags"),
        ways.number(m.bags, 2)
    )];
    if let Some(water) = m.water_per_bag_l {
        parts.push(ways.say_with(
            "col-water",
            &[("litres", ways.val(water, Quantity::Water).into())],
        ));
    }
    if m.water_fits == Some(false) {
        parts.push(ways.say("ho-water-off"));
    }
    for d in &m.doses {
        if let Some(pct) = d.pct_of_cement {
            let pct = ways.val(pct, Quantity::Percent);
            parts.push(ways.say_with(
                "ho-dose",
                &[("name", d.name.clone().into()), ("pct", pct.into())],
            ));
        }
    }
    joined(&parts)
}

/// Milestones as reckoned and as seen, and the curve.
fn times(view: &PourView, ways: &Ways, name: &str, blocks: &mut Vec<Block>) {
    blocks.push(Block::Heading(ways.say("ho-times")));
    if let Some(why) = view.card.no_prediction {
        blocks.push(Block::Text(ways.coded("notyet-", why)));
        return;
    }
    let (mut rows, mut seen, mut legend) = (Vec::new(), Vec::new(), Vec::new());
    for m in &view.milestones {
        let title = ways.coded("m-", m.kind);
        if let (Some(at), Some(letter)) = (m.seen, LETTERS.get(legend.len())) {
            let letter = (*letter).to_owned();
            legend.push(format!("{letter} {title}"));
            seen.push((at, letter));
        }
        let decides = m.reasons.iter().find(|r| r.governs);
        rows.push(vec![
            Cell::from(title),
            Cell::from(likely(&m.opens, ways)),
            Cell::from(range(&m.opens, ways)),
            Cell::from(seen_or_state(m, ways)),
            Cell::from(decides.map_or_else(String::new, |r| ways.criterion(&r.criterion))),
        ]);
    }
    let began = view.pour.fact.started_ms;
    if let Some(mut chart) = curve::chart(&view.curve, began, &seen, ways) {
        chart.alt = ways.say_with("ho-curve-alt", &[("name", name.into())]);
        chart.caption = joined(&[ways.say("ho-curve"), legend.join(", ")]);
        blocks.push(Block::Curve(chart));
    }
    blocks.push(Block::Table(Table {
        caption: ways.say("ho-times"),
        head: [
            "ho-col-what",
            "ho-col-likely",
            "ho-col-range",
            "ho-col-seen",
            "ho-col-why",
        ]
        .map(|k| ways.say(k))
        .to_vec(),
        widths: vec![1.9, 1.6, 2.4, 1.6, 2.5],
        rows,
    }));
}

/// When it was seen or done, else how it stands: what has passed is not told like what is
/// still to come.
fn seen_or_state(m: &MilestoneView, ways: &Ways) -> String {
    match (m.seen, m.state) {
        (Some(at), May::Done) => ways.when(at),
        (_, May::Now) if m.passive => ways.say("may-likely"),
        (_, state) => ways.coded("may-", state),
    }
}

fn likely(span: &Span, ways: &Ways) -> String {
    span.likely
        .map_or_else(|| "–".to_owned(), |at| ways.when(at))
}

fn range(span: &Span, ways: &Ways) -> String {
    match (span.early, span.late) {
        (Some(a), Some(b)) if ways.day(a) == ways.day(b) => {
            format!("{} – {}", ways.when(a), ways.clock(b))
        }
        (Some(a), Some(b)) => format!("{} – {}", ways.when(a), ways.when(b)),
        (Some(a), None) => ways.say_with("ho-from", &[("when", ways.when(a).into())]),
        _ => "–".to_owned(),
    }
}

fn weather(view: &PourView, ways: &Ways, blocks: &mut Vec<Block>) {
    if view.readings.is_empty() {
        return;
    }
    let value = |x: Option<f64>, q| x.map_or_else(|| "–".to_owned(), |x| ways.val(x, q));
    let rows = view.readings.iter().rev().map(|r| {
        let f = &r.fact;
        vec![
            Cell::from(ways.when(f.at_ms)),
            Cell::from(value(f.air_c, Quantity::Temp)),
            Cell::from(value(f.concrete_c, Quantity::Temp)),
            Cell::from(value(f.rh_pct, Quantity::Percent)),
            Cell::from(value(f.wind_kmh, Quantity::Speed)),
            Cell::from(joined(&[
                f.sky.map_or_else(String::new, |s| ways.coded("sky-", s)),
                f.note.clone(),
            ])),
            Cell::from(person(ways, r)),
        ]
    });
    blocks.push(Block::Heading(ways.say("ho-readings")));
    blocks.push(Block::Table(Table {
        caption: ways.say("ho-readings"),
        head: [
            "f-at_ms",
            "f-air_c",
            "f-concrete_c",
            "f-rh_pct",
            "ho-wind",
            "f-note",
            "ho-by",
        ]
        .map(|k| ways.say(k))
        .to_vec(),
        widths: vec![1.8, 1.0, 1.1, 1.1, 1.1, 2.0, 1.2],
        rows: rows.collect(),
    }));
}

fn happened(view: &PourView, ways: &Ways, blocks: &mut Vec<Block>) {
    if view.observations.is_empty() {
        return;
    }
    let rows = view.observations.iter().rev().map(|o| {
        let f = &o.fact;
        let result = f
            .mpa
            .map_or_else(String::new, |m| ways.val(m, Quantity::Strength));
        let what = ways.coded("seen-", f.what);
        vec![
            Cell::from(ways.when(f.at_ms)),
            Cell::from(what),
            Cell::from(joined(&[result, f.note.clone()])),
            Cell::from(person(ways, o)),
        ]
    });
    blocks.push(Block::Heading(ways.say("ho-happened")));
    blocks.push(Block::Table(Table {
        caption: ways.say("ho-happened"),
        head: ["f-at_ms", "f-what", "f-note", "ho-by"]
            .map(|k| ways.say(k))
            .to_vec(),
        widths: vec![1.8, 2.4, 4.0, 1.4],
        rows: rows.collect(),
    }));
}

/// What the times rest on, and how many entries of the pour were changed later.
fn assumed(view: &PourView, of: &Gathered, ways: &Ways) -> String {
    let mut said = Vec::new();
    if view.assumed_mix {
        said.push(ways.say("ho-mix-assumed"));
    }
    if let Some(basis) = &view.basis {
        let air: Vec<String> = basis.air.iter().map(|a| ways.coded("air-", a)).collect();
        let values = [
            ("how", air.join(", ").into()),
            ("n", basis.air_readings.into()),
            ("c", basis.concrete_readings.into()),
        ];
        said.push(ways.say_with("ho-basis", &values));
        if let Some(until) = basis.readings_until {
            said.push(ways.say_with("ho-until", &[("when", ways.when(until).into())]));
        }
        if basis.observations > 0 {
            said.push(ways.say_with("ho-learned", &[("n", basis.observations.into())]));
        }
    }
    let own: BTreeSet<&str> = std::iter::once(view.pour.id.as_str())
        .chain(view.batches.iter().map(|r| r.id.as_str()))
        .chain(view.readings.iter().map(|r| r.id.as_str()))
        .chain(view.observations.iter().map(|r| r.id.as_str()))
        .chain(view.photos.iter().map(|r| r.id.as_str()))
        .collect();
    let target = |e: &slowstone_logbook::Event| {
        let named = e.body.get("target").and_then(|t| t.as_str());
        named.is_some_and(|t| own.contains(t))
    };
    let corrections = of
        .events
        .iter()
        .filter(|e| e.kind == "correction" && target(e))
        .count();
    said.push(ways.say_with("ho-corrected", &[("n", corrections.into())]));
    said.join(" ")
}

fn pictures(view: &PourView, ways: &Ways, name: &str, blocks: &mut Vec<Block>) {
    if view.photos.is_empty() {
        return;
    }
    let chosen = chosen(&view.photos);
    blocks.push(Block::Heading(ways.say("ho-photos")));
    if chosen.len() < view.photos.len() {
        let values = [
            ("n", chosen.len().into()),
            ("all", view.photos.len().into()),
        ];
        blocks.push(Block::Quiet(ways.say_with("ho-some", &values)));
    }
    let picture = |photo: &&Rec<Photo>| {
        let f = &photo.fact;
        let stage = stage(&f.stage, ways);
        let when = ways.when(f.taken_ms);
        let values = [
            ("name", name.into()),
            ("stage", stage.clone().into()),
            ("when", when.clone().into()),
        ];
        Picture {
            hash: f.hash.clone(),
            alt: ways.say_with("ho-photo-alt", &values),
            caption: joined(&[stage, when, f.note.clone()]),
        }
    };
    blocks.push(Block::Pictures(chosen.iter().map(picture).collect()));
}

/// The words for a stage; one that has none is shown as it was written.
fn stage(code: &str, ways: &Ways) -> String {
    let key = format!("stage-{code}");
    let said = ways.say(&key);
    if said == key { code.to_owned() } else { said }
}

/// The photos that a record shows: the first of every stage, then others by time.
fn chosen(all: &[Rec<Photo>]) -> Vec<&Rec<Photo>> {
    let mut stages = BTreeSet::new();
    let mut order: Vec<(bool, AtMs, &Rec<Photo>)> = Vec::new();
    for photo in all {
        let again = !stages.insert(photo.fact.stage.as_str());
        order.push((again, photo.fact.taken_ms, photo));
    }
    order.sort_by_key(|(again, at, _)| (*again, *at));
    let mut some: Vec<&Rec<Photo>> = order
        .into_iter()
        .take(PICTURES)
        .map(|(_, _, p)| p)
        .collect();
    some.sort_by_key(|p| p.fact.taken_ms);
    some
}

/// Parts that say something, with semicolons between them.
pub(super) fn joined(parts: &[String]) -> String {
    let said: Vec<&str> = parts
        .iter()
        .map(|p| p.trim())
        .filter(|p| !p.is_empty())
        .collect();
    said.join("; ")
}
