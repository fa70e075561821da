//! Words the record of a site: the cover, what was used, the colours, and the notes at the end.
//!
//! Each pour is in [`super::pieces`]. Everything comes from the views; here it is only put into
//! words and order. Drawn by [`super::html`] and [`super::pdf`].

use super::doc::{Block, Cell, Doc, Table, rgb};
use super::pieces::{self, joined};
use super::ways::{Quantity, Ways};
use super::{Gathered, Wanted};
use chrono_tz::Tz;
use slowstone_logbook::facts::{Fact, Units};
use slowstone_logbook::view::colour::ColoursView;
use slowstone_wording::words::Words;

/// The ways of a site in the language that was asked for.
#[must_use]
pub fn ways(of: &Gathered, wanted: &Wanted) -> Ways {
    let site = &of.site.site.fact;
    Ways {
        words: Words::of(&wanted.languages),
        units: site.units,
        tz: site.tz.parse().unwrap_or(Tz::UTC),
    }
}

/// The record of a site.
#[must_use]
pub fn record(of: &Gathered, wanted: &Wanted) -> Doc {
    let ways = ways(of, wanted);
    let site = &of.site.site.fact;
    let mut blocks = cover(of, wanted, &ways);
    for pour in &of.pours {
        pieces::pour(pour, of, &ways, &mut blocks);
    }
    if let Some(colours) = &of.colours {
        colour(colours, &ways, &mut blocks);
    }
    notes(of, &ways, &mut blocks);
    let made = ways.when(of.site.now_ms);
    Doc {
        title: ways.say_with("ho-title", &[("site", site.name.clone().into())]),
        language: ways.words.language().to_owned(),
        letter: site.units == Units::Us,
        blocks,
        foot: ways.say_with(
            "ho-foot",
            &[("site", site.name.clone().into()), ("when", made.into())],
        ),
        made_ms: of.site.now_ms.0,
        page_of: ways.say_with(
            "ho-page",
            &[("page", "{page}".into()), ("pages", "{pages}".into())],
        ),
    }
}

fn cover(of: &Gathered, wanted: &Wanted, ways: &Ways) -> Vec<Block> {
    let site = &of.site.site.fact;
    let mut under = Vec::new();
    if !site.place.is_empty() {
        under.push(site.place.clone());
    }
    under.push(ways.say_with(
        "ho-made",
        &[
            ("when", ways.when(of.site.now_ms).into()),
            ("zone", site.tz.clone().into()),
        ],
    ));
    let mut blocks = vec![Block::Title(site.name.clone(), under)];
    let mut facts = Vec::new();
    let mut fact = |key: &str, value: String| facts.push((ways.say(key), value));
    if let (Some(first), Some(last)) = (of.pours.first(), of.pours.last()) {
        let (a, b) = (
            ways.day(first.pour.fact.started_ms),
            ways.day(last.pour.fact.started_ms),
        );
        fact("ho-poured", if a == b { a } else { format!("{a} – {b}") });
    }
    fact("ho-pours", of.pours.len().to_string());
    fact("ho-steps", of.site.steps.len().to_string());
    fact("ho-people", people(of).join(", "));
    fact(
        "ho-photos",
        of.pours
            .iter()
            .map(|p| p.photos.len())
            .sum::<usize>()
            .to_string(),
    );
    if let (true, Some(lat), Some(lon)) = (wanted.gps, site.lat, site.lon) {
        fact("ho-where", format!("{lat:.5}, {lon:.5}"));
    }
    facts.retain(|(_, value)| !value.is_empty());
    blocks.push(Block::Facts(facts));
    blocks.push(Block::Table(overview(of, ways)));
    blocks.push(Block::Care(vec![ways.say("ho-care")]));
    used(of, ways, &mut blocks);
    blocks
}

/// Everybody who logged something, as they are named.
fn people(of: &Gathered) -> Vec<String> {
    let names: std::collections::BTreeSet<&str> = of.events.iter().map(|e| e.by.as_str()).collect();
    names.into_iter().map(str::to_owned).collect()
}

fn overview(of: &Gathered, ways: &Ways) -> Table {
    let row = |pour: &slowstone_logbook::view::PourView| {
        let fact = &pour.pour.fact;
        let mix = pour
            .mix
            .as_ref()
            .map_or_else(String::new, |m| m.fact.name.clone());
        let temps = [fact.air_c, fact.concrete_c].into_iter().flatten();
        let temps: Vec<String> = temps.map(|t| ways.val(t, Quantity::Temp)).collect();
        vec![
            Cell::from(ways.name_of(pour.card.step_number, &pour.card.name)),
            Cell::from(ways.when(fact.started_ms)),
            Cell::from(mix),
            Cell::from(temps.join(" / ")),
            Cell::from(ways.say(&format!("phase-{}.short", Ways::code(pour.card.phase)))),
        ]
    };
    Table {
        caption: ways.say("ho-overview"),
        head: [
            "ho-col-pour",
            "ho-col-began",
            "f-mix",
            "ho-col-temps",
            "ho-col-now",
        ]
        .map(|k| ways.say(k))
        .to_vec(),
        widths: vec![2.2, 1.9, 2.4, 1.6, 1.9],
        rows: of.pours.iter().map(row).collect(),
    }
}

/// Mixes, additives, forms and liners.
fn used(of: &Gathered, ways: &Ways, blocks: &mut Vec<Block>) {
    let site = &of.site;
    if site.mixes.is_empty() && site.additives.is_empty() && site.forms.is_empty() {
        return;
    }
    let chapter = |key: &str, id: &str| Block::Chapter {
        text: ways.say(key),
        id: id.to_owned(),
        new_page: false,
    };
    blocks.push(chapter("ho-used", "used"));
    let mut facts = Vec::new();
    let named: Vec<(String, &String)> = site
        .mixes
        .iter()
        .map(|r| (r.fact.name.clone(), &r.id))
        .chain(site.additives.iter().map(|r| (r.fact.name.clone(), &r.id)))
        .chain(site.forms.iter().map(|r| (r.fact.name.clone(), &r.id)))
        .chain(site.liners.iter().map(|r| (r.fact.name.clone(), &r.id)))
        .collect();
    for mix in &site.mixes {
        let m = &mix.fact;
        let water = format!(
            "{} – {}",
            ways.val(m.water_min_l, Quantity::Water),
            ways.val(m.water_max_l, Quantity::Water)
        );
        let parts = [
            ways.val(m.bag_kg, Quantity::Mass),
            format!(
                "{}: {}",
                ways.say("f-yield_l"),
                ways.val(m.yield_l, Quantity::Volume)
            ),
            format!("{}: {water}", ways.say("ho-water-range")),
            format!(
                "{}: {}",
                ways.say("f-class_mpa"),
                ways.val(m.class_mpa, Quantity::Strength)
            ),
            m.note.clone(),
        ];
        facts.push((
            format!("{} · {}", ways.say("k-mix"), m.name),
            joined(&parts),
        ));
    }
    for additive in &site.additives {
        let a = &additive.fact;
        let range = match (a.min_pct, a.max_pct) {
            (Some(low), Some(high)) => format!(
                "{} – {}",
                ways.val(low, Quantity::Percent),
                ways.val(high, Quantity::Percent)
            ),
            _ => String::new(),
        };
        facts.push((
            format!("{} · {}", ways.say("k-additive"), a.name),
            joined(&[ways.coded("opt-", a.kind), range, a.note.clone()]),
        ));
    }
    for form in &site.forms {
        let f = &form.fact;
        let boards = format!(
            "{} {}",
            ways.coded("opt-", f.material),
            ways.val(f.board_mm, Quantity::Small)
        );
        facts.push((format!("{} · {}", ways.say("k-form"), f.name), boards));
    }
    for liner in &site.liners {
        let l = &liner.fact;
        let relief = format!(
            "{}: {}",
            ways.say("f-relief_mm"),
            ways.val(l.relief_mm, Quantity::Small)
        );
        let undercut = if l.undercut {
            ways.say("f-undercut")
        } else {
            String::new()
        };
        facts.push((
            format!("{} · {}", ways.say("k-liner"), l.name),
            joined(&[relief, undercut]),
        ));
    }
    for event in of.events.iter().filter(|e| e.kind == "copied") {
        if let Ok(Some(Fact::Copied(copied))) = Fact::parse(&event.kind, &event.body)
            && let Some((name, _)) = named.iter().find(|(_, id)| **id == copied.record)
        {
            facts.push((
                name.clone(),
                ways.say_with("ho-copied", &[("site", copied.name.into())]),
            ));
        }
    }
    blocks.push(Block::Facts(facts));
}

fn colour(colours: &ColoursView, ways: &Ways, blocks: &mut Vec<Block>) {
    if colours.pieces.iter().all(|p| p.chosen.is_none()) {
        return;
    }
    blocks.push(Block::Chapter {
        text: ways.say("col-title"),
        id: "colour".to_owned(),
        new_page: true,
    });
    blocks.push(Block::Quiet(ways.say("ho-colour-how")));
    let mut rows = Vec::new();
    for piece in &colours.pieces {
        let Some(colour) = piece.chosen.and_then(|n| piece.measured.get(n)) else {
            continue;
        };
        let [l, a, b] = colour.lab.map(|x| ways.number(x, 1));
        let against = colours.pairs.iter().find(|p| p.pour == piece.pour);
        let apart = against.map_or_else(String::new, |p| {
            format!(
                "dE {} – {}",
                ways.number(p.apart.de2000.0, 1),
                ways.coded("word-", p.apart.words.0)
            )
        });
        let doses = piece.mixed.doses.iter().map(|d| match d.pct_of_cement {
            Some(pct) => format!("{} {}", d.name, ways.val(pct, Quantity::Percent)),
            None => d.name.clone(),
        });
        rows.push(vec![
            Cell {
                text: ways.name_of(piece.step_number, &piece.name),
                swatch: rgb(&colour.swatch),
            },
            Cell::from(ways.day(colour.taken_ms)),
            Cell::from(format!("L* {l}  a* {a}  b* {b}")),
            Cell::from(doses.collect::<Vec<_>>().join("; ")),
            Cell::from(apart),
        ]);
    }
    blocks.push(Block::Table(Table {
        caption: ways.say("ho-colours"),
        head: [
            "ho-col-pour",
            "ho-col-measured",
            "ho-col-lab",
            "ho-col-doses",
            "ho-col-apart",
        ]
        .map(|k| ways.say(k))
        .to_vec(),
        widths: vec![2.2, 1.4, 2.2, 2.4, 1.8],
        rows,
    }));
}

/// How to read the record, and what was changed after it was logged.
fn notes(of: &Gathered, ways: &Ways, blocks: &mut Vec<Block>) {
    blocks.push(Block::Chapter {
        text: ways.say("ho-notes"),
        id: "notes".to_owned(),
        new_page: false,
    });
    blocks.push(Block::Text(ways.say("ho-how")));
    let kind = |k: &str| of.events.iter().filter(|e| e.kind == k).count();
    let counts = [
        ("changes", kind("correction")),
        ("back", kind("retraction")),
        ("entries", of.events.len()),
    ];
    let counts = counts.map(|(name, n)| (name, n.into()));
    blocks.push(Block::Text(ways.say_with("ho-changed", &counts)));
    if !of.site.conflicts.is_empty() {
        let n = of.site.conflicts.len();
        blocks.push(Block::Text(
            ways.say_with("ho-conflicts", &[("n", n.into())]),
        ));
    }
    if !of.site.problems.is_empty() {
        let n = of.site.problems.len();
        blocks.push(Block::Text(
            ways.say_with("ho-problems", &[("n", n.into())]),
        ));
    }
    blocks.push(Block::Text(ways.say("ho-care")));
}
