//! What the measured colours of a site say: the colour of each step, how far it is from
//! the others and what else differed, which step stands out.
//!
//! Nothing is measured here, and what is reckoned is asked of `slowstone_colour`; here is
//! chosen what is compared with what. Doses are in [`super::dose`].

mod types;

pub use types::*;

use super::pour::mixed;
use super::{dose, inputs};
use crate::book::{Book, Entry, Folded};
use crate::facts::{Card, Colour, Fact, Photo, Pour, Wetness};
use core::cmp::Reverse;
use slowstone_colour::compare::{self, Look};
use slowstone_colour::space::lab_to_srgb;
use slowstone_colour::{Lab, compare::between};
use slowstone_curing::units::AtMs;

/// A measurement with all that belongs to it.
pub(super) struct Found<'a> {
    pub(super) pour: &'a str,
    pub(super) id: &'a str,
    pub(super) colour: &'a Colour,
    pub(super) photo: &'a Photo,
    pub(super) look: Look,
}

/// Every measurement of a site, by pour and by the time of its photo.
pub(super) fn found(sum: &Folded) -> Vec<Found<'_>> {
    let entries = sum.entries.iter();
    let mut all: Vec<Found<'_>> = entries
        .filter_map(|(id, entry)| found_in(sum, id, entry))
        .collect();
    let key = |f: &Found<'_>| (f.pour.to_owned(), f.photo.taken_ms, f.id.to_owned());
    all.sort_by_cached_key(key);
    all
}

fn found_in<'a>(sum: &'a Folded, id: &'a str, entry: &'a Entry) -> Option<Found<'a>> {
    let Fact::Colour(colour) = &entry.fact else {
        return None;
    };
    let Fact::Photo(photo) = &sum.entries.get(&colour.photo)?.fact else {
        return None;
    };
    let pour = colour.pour.as_ref().or(photo.pour.as_ref())?;
    let Fact::Pour(of) = &sum.entries.get(pour)?.fact else {
        return None;
    };
    Some(Found {
        pour,
        id,
        colour,
        photo,
        look: look(colour, photo, of.started_ms),
    })
}

/// Those of one pour.
pub(super) fn of_pour<'f, 'a>(all: &'f [Found<'a>], pour: &str) -> &'f [Found<'a>] {
    let from = all.partition_point(|f| f.pour < pour);
    let to = all.partition_point(|f| f.pour <= pour);
    all.get(from..to).unwrap_or_default()
}

/// The one that stands for the pour.
pub(super) fn chosen(found: &[Found<'_>]) -> Option<usize> {
    let dry = |f: &Found<'_>| f.colour.state == Some(Wetness::Dry);
    found
        .iter()
        .rposition(dry)
        .or_else(|| found.len().checked_sub(1))
}

fn look(colour: &Colour, photo: &Photo, started: AtMs) -> Look {
    let rest = |all: f64, own: f64| (all * all - own * own).max(0.0).sqrt();
    let [l, a, b] = colour.sd_lab;
    let [ol, oa, ob] = colour.own_sd_lab;
    let mut cards: Vec<&str> = colour.references.iter().map(|r| r.card.as_str()).collect();
    cards.sort_unstable();
    Look {
        lab: colour.lab(),
        own_sd: colour.own_sd_lab,
        shared_sd: [rest(l, ol), rest(a, oa), rest(b, ob)],
        state: colour.state.map(Into::into),
        age_d: age_d(photo, started),
        by: (!photo.camera.is_empty()).then(|| format!("{} {}", photo.camera, cards.join(" "))),
    }
}

fn age_d(photo: &Photo, started: AtMs) -> Option<f64> {
    let days = photo.taken_ms.hours_since(started).value() / 24.0;
    (days >= 0.0).then_some(days)
}

/// `#rrggbb`; what a screen cannot show is cut.
pub(super) fn swatch(lab: Lab) -> String {
    let [r, g, b] = lab_to_srgb(lab).map(|v| v.round().clamp(0.0, 255.0) as u8);
    format!("#{r:02x}{g:02x}{b:02x}")
}

fn shown(sum: &Folded, f: &Found<'_>) -> MeasuredColour {
    let lab = f.look.lab;
    let give_or_take = f.colour.sd_lab.map(|s| 2.0 * s);
    let [l, _, _] = give_or_take;
    let moved = |by: f64| swatch(Lab::new((lab.l + by).clamp(0.0, 100.0), lab.a, lab.b));
    let card_changed = f.colour.references.iter().any(|seen| {
        matches!(sum.entries.get(&seen.card).map(|e| &e.fact),
            Some(Fact::Card(card)) if card.lab_d65 != seen.lab_d65)
    });
    MeasuredColour {
        id: f.id.to_owned(),
        hash: f.photo.hash.clone(),
        taken_ms: f.photo.taken_ms,
        age_d: f.look.age_d,
        state: f.colour.state,
        lab: f.colour.lab_d65,
        give_or_take,
        swatch: swatch(lab),
        swatch_range: (moved(-l), moved(l)),
        warnings: f.colour.warnings.clone(),
        card_changed,
    }
}

pub(super) fn apart(first: &Look, second: &Look) -> Apart {
    let d = between(first, second);
    let [l, a, b] = d.delta;
    let [sl, sa, sb] = d.sd;
    // Surely: more than the range, and more than anybody could see.
    let sure = |v: f64, sd: f64, up: Tend, down: Tend| {
        (v.abs() > (2.0 * sd).max(0.5)).then_some(if v > 0.0 { up } else { down })
    };
    let tends = [
        sure(l, sl, Tend::Lighter, Tend::Darker),
        sure(a, sa, Tend::Redder, Tend::Greener),
        sure(b, sb, Tend::Yellower, Tend::Bluer),
    ];
    Apart {
        de2000: (d.de2000, d.low, d.high),
        words: (d.word, d.words.0, d.words.1),
        tends: tends.into_iter().flatten().collect(),
        delta: d.delta,
        cautions: d.cautions,
    }
}

/// A pour and its measurements.
struct Piece<'a> {
    id: &'a str,
    pour: &'a Pour,
    found: &'a [Found<'a>],
}

impl Piece<'_> {
    fn look(&self) -> Option<&Look> {
        Some(&self.found.get(chosen(self.found)?)?.look)
    }
}

impl Book {
    /// The colours of a site, held against those of the pour `against` (the newest measured
    /// one if it is not given); none if there is no such site.
    pub fn colours_view(
        &mut self,
        site: &str,
        against: Option<&str>,
        now: AtMs,
    ) -> Option<ColoursView> {
        let sum = self.folded(site);
        sum.entries.get(site)?;
        let found = found(sum);
        let mut pieces: Vec<Piece<'_>> = sum
            .pours()
            .map(|(id, pour)| Piece {
                id,
                pour,
                found: of_pour(&found, id),
            })
            .collect();
        pieces.sort_by_key(|p| {
            let step = inputs::step_of(sum, p.pour);
            let number = step.map(|s| (s.flight.clone(), s.number));
            (number.is_none(), number, p.pour.started_ms, p.id)
        });
        let measured = |id: &str| pieces.iter().find(|p| p.id == id && p.look().is_some());
        let newest = || {
            let all = pieces.iter().filter(|p| p.look().is_some());
            all.max_by_key(|p| p.pour.started_ms)
        };
        let first = against.and_then(measured).or_else(newest);
        let standings = standings(sum, &pieces);
        Some(ColoursView {
            now_ms: now,
            presets: presets(sum),
            cards: sum.recs::<Card>(),
            photos: photos(sum, &found),
            against: first.map(|p| p.id.to_owned()),
            pairs: first.map_or_else(Vec::new, |first| pairs(sum, first, &pieces)),
            doses: dose::can_dose(sum, &found),
            pieces: pieces.iter().map(|p| line(sum, p, &standings)).collect(),
        })
    }
}

fn presets(sum: &Folded) -> Vec<Card> {
    let there = |kind| {
        let mut all = sum.entries.values();
        all.any(|e| matches!(&e.fact, Fact::Card(c) if c.kind == kind))
    };
    let presets = Card::presets();
    presets.into_iter().filter(|c| !there(c.kind)).collect()
}

fn photos(sum: &Folded, found: &[Found<'_>]) -> Vec<PhotoLine> {
    let measured = |id: &str| found.iter().filter(|f| f.colour.photo == id).count();
    let mut lines: Vec<PhotoLine> = sum
        .entries
        .iter()
        .filter_map(|(id, e)| match &e.fact {
            Fact::Photo(p) => Some(PhotoLine {
                id: id.clone(),
                hash: p.hash.clone(),
                pour: p.pour.clone(),
                taken_ms: p.taken_ms,
                measured: u32::try_from(measured(id)).unwrap_or(u32::MAX),
            }),
            _ => None,
        })
        .collect();
    lines.sort_by_key(|p| Reverse(p.taken_ms));
    lines
}

/// How each step stands in its flight: the newest measured pour of a step counts.
fn standings(sum: &Folded, pieces: &[Piece<'_>]) -> Vec<compare::Standing> {
    let mut flights: Vec<(&str, Vec<&Piece<'_>>)> = Vec::new();
    for piece in pieces.iter().filter(|p| p.look().is_some()) {
        let Some(step) = inputs::step_of(sum, piece.pour) else {
            continue;
        };
        let at = flights.iter().position(|(f, _)| *f == step.flight);
        let Some((_, steps)) = at.and_then(|i| flights.get_mut(i)) else {
            flights.push((&step.flight, vec![piece]));
            continue;
        };
        // By number and then by time: a later pour of the same step takes its place.
        if steps.last().is_some_and(|p| p.pour.step == piece.pour.step) {
            steps.pop();
        }
        steps.push(piece);
    }
    let step = |p: &&Piece<'_>| {
        Some(compare::Step {
            name: p.id.to_owned(),
            look: p.look()?.clone(),
        })
    };
    let of_flight = |(_, steps): &(&str, Vec<&Piece<'_>>)| {
        compare::flight(&steps.iter().filter_map(step).collect::<Vec<_>>())
    };
    flights.iter().flat_map(of_flight).collect()
}

fn line(sum: &Folded, piece: &Piece<'_>, standings: &[compare::Standing]) -> PieceColour {
    let step = inputs::step_of(sum, piece.pour);
    let (mix, assumed) = inputs::mix_of(sum, piece.pour);
    let first = piece.found.first();
    let later = piece.found.iter().skip(1);
    let standing = standings.iter().find(|s| s.name == piece.id);
    PieceColour {
        pour: piece.id.to_owned(),
        step_number: step.map(|s| s.number),
        name: step.map_or_else(|| piece.pour.name.clone(), |s| s.name.clone()),
        flight: step.map(|s| s.flight.clone()),
        started_ms: piece.pour.started_ms,
        mixed: mixed(sum, piece.id, &mix),
        mix: (!assumed).then_some(mix.name),
        placed_c: piece.pour.concrete_c.or(piece.pour.air_c),
        measured: piece.found.iter().map(|f| shown(sum, f)).collect(),
        chosen: chosen(piece.found),
        since_first: later
            .filter_map(|f| Some(apart(&first?.look, &f.look)))
            .collect(),
        place: standing.map(|s| s.place),
        from_middle: standing.and_then(|s| s.de2000.zip(s.give_or_take)),
    }
}

fn pairs(sum: &Folded, first: &Piece<'_>, pieces: &[Piece<'_>]) -> Vec<Pair> {
    let Some(of_first) = first.look() else {
        return Vec::new();
    };
    let others = pieces.iter().filter(|p| p.id != first.id);
    others
        .filter_map(|p| {
            Some(Pair {
                pour: p.id.to_owned(),
                apart: apart(of_first, p.look()?),
                differed: super::differed::between(sum, (first.id, first.pour), (p.id, p.pour)),
            })
        })
        .collect()
}
