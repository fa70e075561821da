//! What the measured colours of a site say: the colour of each step, how far it is from
//! the others and what else differed, which step stands out.
//!
//! Nothing is measured here, and what is reckoned is asked of `slowstone_colour`; here is
//! chosen what is compared with what. Doses are in [`super::dose`].

use super::pour::mixed;
use super::types::{Mixed, Rec};
use super::{dose, inputs};
use crate::book::{Book, Folded};
use crate::facts::{Card, Colour, Fact, Observed, Photo, Pour, Wetness};
use core::cmp::Reverse;
use serde::Serialize;
use slowstone_colour::compare::{self, Caution, Look, Place, Word};
use slowstone_colour::space::lab_to_srgb;
use slowstone_colour::{Lab, compare::between};
use slowstone_curing::units::AtMs;

/// The colours of a site.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct ColoursView {
    /// The instant that this view is for.
    pub now_ms: AtMs,
    /// Reference cards.
    pub cards: Vec<Rec<Card>>,
    /// Cards that people have at hand and that are not set up yet.
    pub presets: Vec<Card>,
    /// Photos in which colour can be measured, newest first.
    pub photos: Vec<PhotoLine>,
    /// Every pour: steps by number, then samples by time.
    pub pieces: Vec<PieceColour>,
    /// The pour that the others are held against.
    pub against: Option<String>,
    /// Each other measured pour against it.
    pub pairs: Vec<Pair>,
    /// Additives and mixes of which something is known.
    pub doses: Vec<dose::CanDose>,
}

/// A photo to measure in.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct PhotoLine {
    /// Its id.
    pub id: String,
    /// Hash of the file.
    pub hash: String,
    /// The pour that it is filed under.
    pub pour: Option<String>,
    /// When it was taken.
    pub taken_ms: AtMs,
    /// Measurements in it.
    pub measured: u32,
}

/// A pour with its colours and what may have made them.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct PieceColour {
    /// The pour.
    pub pour: String,
    /// Number of the step; none for a sample.
    pub step_number: Option<u32>,
    /// Name of the step or sample.
    pub name: String,
    /// Flight of the step.
    pub flight: Option<String>,
    /// When it was poured.
    pub started_ms: AtMs,
    /// Name of the mix, if it was said.
    pub mix: Option<String>,
    /// What the batches add up to: bags, water per bag, additives in per cent of cement.
    pub mixed: Mixed,
    /// Temperature of the concrete when it was placed, or of the air.
    pub placed_c: Option<f64>,
    /// Measurements by the time of the photo.
    pub measured: Vec<MeasuredColour>,
    /// Which of these stands for the pour: the newest dry one, else the newest.
    pub chosen: Option<usize>,
    /// How each measurement differs from the first.
    pub since_first: Vec<Apart>,
    /// How it stands among the steps of its flight.
    pub place: Option<Place>,
    /// CIEDE2000 to the middle of the others and what it may be off, if there are enough.
    pub from_middle: Option<(f64, f64)>,
}

/// A measured colour as shown.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct MeasuredColour {
    /// The record.
    pub id: String,
    /// Hash of the photo.
    pub hash: String,
    /// When the photo was taken.
    pub taken_ms: AtMs,
    /// Age of the concrete then, days; none if the photo is older than the pour.
    pub age_d: Option<f64>,
    /// How wet it was.
    pub state: Option<Wetness>,
    /// L*, a*, b*, D65.
    pub lab: [f64; 3],
    /// Half of the 95 % range of each: two standard uncertainties.
    pub give_or_take: [f64; 3],
    /// sRGB for a screen, `#rrggbb`.
    pub swatch: String,
    /// The same at the dark and at the light end of the range.
    pub swatch_range: (String, String),
    /// What was doubtful.
    #[cfg_attr(feature = "ts", ts(type = "ColourDoubt[]"))]
    pub warnings: Vec<String>,
    /// A card was given another colour since; measuring again would give another result.
    pub card_changed: bool,
}

/// Two colours against each other.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct Apart {
    /// CIEDE2000, and the ends of its 95 % range.
    pub de2000: (f64, f64, f64),
    /// The word for it, and for the ends of the range.
    pub words: (Word, Word, Word),
    /// What the second is, surely: lighter, redder ...
    pub tends: Vec<Tend>,
    /// L*, a*, b* of the second minus the first.
    pub delta: [f64; 3],
    /// What to think of.
    pub cautions: Vec<Caution>,
}

/// A direction of colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[serde(rename_all = "snake_case")]
pub enum Tend {
    /// More L*.
    Lighter,
    /// Less L*.
    Darker,
    /// More a*.
    Redder,
    /// Less a*.
    Greener,
    /// More b*.
    Yellower,
    /// Less b*.
    Bluer,
}

/// Two pours against each other.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
pub struct Pair {
    /// The other pour.
    pub pour: String,
    /// Its colour against that of the chosen one.
    pub apart: Apart,
    /// What else differed, the likeliest cause first.
    pub differed: Vec<Differed>,
}

/// Something that differed between two pours: first the chosen one, then the other.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum Differed {
    /// Dose of an additive, % of cement.
    Dose {
        /// Its name.
        name: String,
        /// Of each pour.
        pct: (f64, f64),
    },
    /// The mix.
    Mix {
        /// Names.
        names: (String, String),
    },
    /// Water per bag, litres.
    Water {
        /// Of each pour.
        litres: (f64, f64),
    },
    /// Temperature at placing.
    Placed {
        /// Of each pour.
        temps_c: (f64, f64),
    },
    /// The liner or its side, as it is named.
    Liner {
        /// Names; empty for none.
        names: (String, String),
    },
    /// The form.
    Form {
        /// Names.
        names: (String, String),
    },
    /// What was done for curing.
    Cure {
        /// What was seen on each.
        seen: (Vec<Observed>, Vec<Observed>),
    },
    /// Number of batches.
    Batches {
        /// Of each pour.
        counts: (u32, u32),
    },
    /// What people noted: release powder, dust, rain.
    Note {
        /// Texts.
        texts: (String, String),
    },
}

/// A measurement with all that belongs to it.
pub(super) struct Found<'a> {
    pub(super) id: &'a str,
    pub(super) colour: &'a Colour,
    pub(super) photo: &'a Photo,
    pub(super) look: Look,
}

/// The measurements of a pour, by the time of their photos.
pub(super) fn found<'a>(sum: &'a Folded, pour: &str, started: AtMs) -> Vec<Found<'a>> {
    let mut all: Vec<Found<'a>> = sum
        .entries
        .iter()
        .filter_map(|(id, e)| {
            let Fact::Colour(colour) = &e.fact else {
                return None;
            };
            let Fact::Photo(photo) = &sum.entries.get(&colour.photo)?.fact else {
                return None;
            };
            let of = colour.pour.as_ref().or(photo.pour.as_ref())?;
            (of == pour).then(|| Found {
                id,
                colour,
                photo,
                look: look(colour, photo, started),
            })
        })
        .collect();
    all.sort_by(|a, b| (a.photo.taken_ms, a.id).cmp(&(b.photo.taken_ms, b.id)));
    all
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
    found: Vec<Found<'a>>,
}

impl Piece<'_> {
    fn look(&self) -> Option<&Look> {
        Some(&self.found.get(chosen(&self.found)?)?.look)
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
        let mut pieces: Vec<Piece<'_>> = sum
            .pours()
            .map(|(id, pour)| Piece {
                id,
                pour,
                found: found(sum, id, pour.started_ms),
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
            cards: sum.recs(|f| match f {
                Fact::Card(c) => Some(c),
                _ => None,
            }),
            photos: photos(sum),
            against: first.map(|p| p.id.to_owned()),
            pairs: first.map_or_else(Vec::new, |first| pairs(sum, first, &pieces)),
            doses: dose::can_dose(sum),
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

fn photos(sum: &Folded) -> Vec<PhotoLine> {
    let measured = |id: &str| {
        let all = sum.entries.values();
        all.filter(|e| matches!(&e.fact, Fact::Colour(c) if c.photo == id))
            .count()
    };
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
        chosen: chosen(&piece.found),
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
