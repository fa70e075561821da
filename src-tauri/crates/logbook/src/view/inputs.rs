//! What the engine needs to know of a pour, gathered from the records of the site.
//!
//! No reckoning happens here, only choosing: which mix, which readings, which air. What
//! people did not log gets the default of a plain bagged mix in a timber form.

use crate::book::{Entry, Folded};
use crate::facts::{
    Additive, AdditiveKind, Forecast, Form, Hourly, Kind, Liner, Located, Mix, Observation,
    Observed, Pour, Reading, Site, Step,
};
use crate::zone_places;
use crate::zones::{self, Zones};
use slowstone_curing::predict::{
    AirReading, Base, ConcretePlace, ConcreteReading, DayRange, DoseFacts, FormFacts, FormMaterial,
    Happening, Learned, LinerFacts, MixFacts, NextStepRule, Piece, PigmentTone, PlaceSource,
    PourFacts, Seen, Surface,
};
use slowstone_curing::units::{AtMs, Celsius, Hours, KmH, Metres, Mpa, Percent};

/// Air before a pour that still says something about it, and after it: the horizon.
const BEFORE_H: f64 = 36.0;
const AFTER_H: f64 = 29.0 * 24.0;

/// The mix that is assumed when none was chosen: 30 kg, 14.0 L, 14 % cement, 27.6 MPa.
/// Source: design defaults (reference values for bagged concrete, section 12).
pub(crate) fn assumed_mix() -> Mix {
    Mix {
        name: String::new(),
        bag_kg: 30.0,
        yield_l: 14.0,
        water_min_l: 2.2,
        water_max_l: 3.0,
        cement_pct: 14.0,
        class_mpa: 27.6,
        class_1d_mpa: None,
        class_3d_mpa: None,
        class_7d_mpa: Some(17.2),
        strengths_are: None,
        initial_set_h: None,
        rapid: false,
        note: String::new(),
    }
}

/// The site's clock and coordinates.
pub(super) struct Where<'a> {
    zones: &'a dyn Zones,
    tz: &'a str,
    place: Option<(f64, f64)>,
    from: PlaceSource,
}

impl<'a> Where<'a> {
    pub(super) fn of(sum: &'a Folded, site: &str, zones: &'a dyn Zones) -> Where<'a> {
        let fact = sum.fact::<Site>(site);
        let tz = fact.map_or("UTC", |s| s.tz.as_str());
        let (place, from) = match fact.and_then(|s| Some((s.degree()?, s.located))) {
            Some((at, Some(Located::Town))) => (Some(at), PlaceSource::Town),
            Some((at, _)) => (Some(at), PlaceSource::Place),
            None => match zone_places::place_of(tz) {
                Some(at) => (Some(at), PlaceSource::Zone),
                None => (None, PlaceSource::Unknown),
            },
        };
        let known = zones.offset_min(tz, AtMs::default()).is_some();
        let (zones, tz) = if known {
            (zones, tz)
        } else {
            (&zones::Utc as &dyn Zones, "UTC")
        };
        Where {
            zones,
            tz,
            place,
            from,
        }
    }

    /// Minutes that the site's clock is ahead of UTC at an instant.
    fn offset_min(&self, at: AtMs) -> i32 {
        self.zones.offset_min(self.tz, at).unwrap_or(0)
    }

    /// The instant at which a calendar day begins.
    fn midnight(&self, date: &str) -> Option<AtMs> {
        zones::day_start(self.zones, self.tz, date)
    }

    /// The instants at which a calendar day begins and ends; it may be followed by a day
    /// that the zone left out.
    pub(super) fn day(&self, date: &str) -> Option<(AtMs, AtMs)> {
        let day = zones::day_number(date)?;
        let starts = |n: i64| zones::start_of(self.zones, self.tz, day.saturating_add(n));
        Some((starts(0)?, starts(1).or_else(|| starts(2))?))
    }
}

/// The mix of a pour, and whether it was only assumed.
pub(super) fn mix_of(sum: &Folded, pour: &Pour) -> (Mix, bool) {
    match pour.mix.as_ref().and_then(|id| sum.fact::<Mix>(id)) {
        Some(mix) => (mix.clone(), false),
        None => (assumed_mix(), true),
    }
}

/// The step of a pour.
pub(super) fn step_of<'a>(sum: &'a Folded, pour: &Pour) -> Option<&'a Step> {
    sum.fact(pour.step.as_deref()?)
}

/// The step that rests on this one: the next of its flight.
pub(super) fn step_above<'a>(sum: &'a Folded, step: &Step) -> Option<&'a Step> {
    sum.facts().map(|(_, s)| s).find(|s| rests_on(s, step))
}

/// Whether a step is the next one of the flight after another.
pub(super) fn rests_on(step: &Step, below: &Step) -> bool {
    step.flight == below.flight && step.number == below.number.saturating_add(1)
}

/// Everything that the prediction of a pour depends on.
pub(super) fn pour_facts(
    sum: &Folded,
    place: &Where<'_>,
    id: &str,
    pour: &Pour,
    weather: &Weather,
    learned: Learned,
) -> PourFacts {
    let started = pour.started_ms;
    let step = step_of(sum, pour);
    let (mix, _) = mix_of(sum, pour);
    PourFacts {
        started,
        finished: pour.finished_ms.unwrap_or(started),
        utc_offset_min: place.offset_min(started),
        place: place.place,
        place_from: place.from,
        piece: piece(step),
        above: None,
        surface: Surface::default(),
        next_step_rule: NextStepRule::default(),
        mix: mix_facts(&mix),
        dose: dose_facts(sum, id, &mix),
        form: form_facts(sum, pour),
        liner: liner_facts(sum, pour),
        air: part(&weather.air, |a| a.at, started),
        // A day that began before still reaches in.
        days: part(&weather.days, |d| d.day_start.plus(Hours(24.0)), started),
        hourly: part(&weather.hourly, |a| a.at, started),
        concrete: concrete(sum, id, pour),
        happened: happened(sum, id),
        heavy_wear: false,
        learned,
    }
}

/// The shape of a step, or of a sample.
pub(super) fn piece(step: Option<&Step>) -> Piece {
    match step {
        Some(s) => Piece {
            thickness: Metres(s.rise_m),
            width: Metres(s.width_m),
            depth: Metres(s.depth_m),
            base: if s.on_step_below {
                Base::Concrete
            } else {
                Base::Gravel
            },
        },
        // A sample: a small slab on a board.
        None => Piece {
            thickness: Metres(0.05),
            width: Metres(0.2),
            depth: Metres(0.2),
            base: Base::Board,
        },
    }
}

fn mix_facts(mix: &Mix) -> MixFacts {
    MixFacts {
        class_28d: Mpa(mix.class_mpa),
        class_1d: mix.class_1d_mpa.map(Mpa),
        class_3d: mix.class_3d_mpa.map(Mpa),
        class_7d: mix.class_7d_mpa.map(Mpa),
        strengths_are: mix.strengths_are,
        initial_set_h: mix.initial_set_h,
        cement_kg_m3: mix.cement_per_bag_kg() / mix.yield_l * 1000.0,
        water_range_l: (mix.water_min_l, mix.water_max_l),
        cement_per_bag_kg: mix.cement_per_bag_kg(),
        rapid: mix.rapid,
    }
}

fn dose_facts(sum: &Folded, id: &str, mix: &Mix) -> DoseFacts {
    let mut facts = DoseFacts::default();
    let (mut bags, mut watered_bags, mut water, mut pigment_g) = (0.0, 0.0, 0.0, 0.0);
    let mut tones = Vec::new();
    for batch in sum.batches(id) {
        bags += batch.bags;
        if let Some(w) = batch.water_l {
            watered_bags += batch.bags;
            water += w;
        }
        for dose in &batch.additives {
            let Some(a) = sum.fact::<Additive>(&dose.additive) else {
                continue;
            };
            match a.kind {
                AdditiveKind::Pigment => {
                    pigment_g += dose.amount;
                    tones.push(a.tone);
                }
                AdditiveKind::Retarder => facts.retarder = true,
                AdditiveKind::Accelerator => facts.accelerator = true,
                AdditiveKind::Improvised => facts.improvised = true,
                AdditiveKind::Plasticiser | AdditiveKind::Fibre | AdditiveKind::Other => {}
            }
        }
    }
    if watered_bags > 0.0 {
        facts.water_per_bag_l = Some(water / watered_bags);
    }
    let cement_g = bags * mix.cement_per_bag_kg() * 1000.0;
    if cement_g > 0.0 {
        facts.pigment_pct = pigment_g / cement_g * 100.0;
    }
    facts.pigment_tone = darkest(&tones);
    facts
}

/// The tone of all pigments of a pour together: dark as soon as one is, not known while the tone
/// of one is not said.
fn darkest(tones: &[Option<PigmentTone>]) -> Option<PigmentTone> {
    let stated = |tone| tones.contains(&Some(tone));
    if stated(PigmentTone::Dark) {
        return Some(PigmentTone::Dark);
    }
    if tones.contains(&None) {
        return None;
    }
    stated(PigmentTone::Light).then_some(PigmentTone::Light)
}

fn form_facts(sum: &Folded, pour: &Pour) -> FormFacts {
    match pour.form.as_ref().and_then(|id| sum.fact::<Form>(id)) {
        Some(f) => FormFacts {
            material: f.material,
            thickness: Metres(f.board_mm / 1000.0),
        },
        None => FormFacts {
            material: FormMaterial::Timber,
            thickness: Metres(0.025),
        },
    }
}

fn liner_facts(sum: &Folded, pour: &Pour) -> Option<LinerFacts> {
    let liner: &Liner = sum.fact(pour.liner.as_deref()?)?;
    Some(LinerFacts {
        relief: Metres(liner.relief_mm / 1000.0),
        undercut: liner.undercut,
    })
}

fn concerns(at: AtMs, started: AtMs) -> bool {
    let h = at.hours_since(started).value();
    (-BEFORE_H..=AFTER_H).contains(&h)
}

/// What is known of the weather of a site, gathered once for all its pours.
pub(super) struct Weather {
    /// Readings, and what was noted with pours; by time.
    pub(super) air: Vec<AirReading>,
    /// The newest typed forecast of each day.
    days: Vec<DayRange>,
    /// The newest value of each hour of forecasts and loggers.
    pub(super) hourly: Vec<AirReading>,
}

impl Weather {
    pub(super) fn of(sum: &Folded, place: &Where<'_>) -> Weather {
        Weather {
            air: air(sum),
            days: days(sum, place),
            hourly: hourly(sum),
        }
    }
}

/// The part of a list by time that concerns a pour.
fn part<T: Clone>(all: &[T], at: fn(&T) -> AtMs, started: AtMs) -> Vec<T> {
    let from = all.partition_point(|x| at(x).hours_since(started).value() < -BEFORE_H);
    let rest = all.iter().skip(from);
    rest.take_while(|x| concerns(at(x), started))
        .cloned()
        .collect()
}

/// Air as logged with readings and with pours of the site.
fn air(sum: &Folded) -> Vec<AirReading> {
    let own = sum.pours().map(|(_, p)| AirReading {
        at: p.started_ms,
        temp: p.air_c.map(Celsius),
        rh: p.rh_pct.map(Percent),
        wind: p.wind_kmh.map(KmH),
        sky: p.sky,
        confirmed: p.confirmed,
        ..AirReading::default()
    });
    let read = sum.readings().map(|r| AirReading {
        at: r.at_ms,
        temp: r.air_c.map(Celsius),
        rh: r.rh_pct.map(Percent),
        wind: r.wind_kmh.map(KmH),
        sky: r.sky,
        confirmed: r.confirmed,
        ..AirReading::default()
    });
    let mut all: Vec<AirReading> = own
        .chain(read)
        .filter(|a| a.temp.is_some() || a.rh.is_some() || a.wind.is_some() || a.sky.is_some())
        .collect();
    all.sort_by_key(|a| a.at);
    all
}

/// The facts of a kind, the one that was logged last first.
fn newest_first<'a, T: Kind>(sum: &'a Folded) -> Vec<&'a T> {
    let fact = |e: &'a Entry| Some((e.at_ms, T::of(&e.fact)?));
    let mut all: Vec<(AtMs, &T)> = sum.entries.values().filter_map(fact).collect();
    all.sort_by_key(|(at, _)| *at);
    all.into_iter().rev().map(|(_, fact)| fact).collect()
}

fn days(sum: &Folded, place: &Where<'_>) -> Vec<DayRange> {
    let typed: Vec<&Forecast> = newest_first(sum);
    let day = |f: &Forecast| {
        Some(DayRange {
            day_start: place.midnight(&f.date)?,
            min: Celsius(f.min_c),
            max: Celsius(f.max_c),
            rh: f.rh_pct.map(Percent),
            wind: f.wind_kmh.map(KmH),
            sky: f.sky,
        })
    };
    let mut days: Vec<DayRange> = typed.into_iter().filter_map(day).collect();
    // The newest forecast of a day counts: it comes first, and sorting keeps it there.
    days.sort_by_key(|d| d.day_start);
    days.dedup_by_key(|d| d.day_start);
    days
}

fn hourly(sum: &Folded) -> Vec<AirReading> {
    let files: Vec<&Hourly> = newest_first(sum);
    let mut hours: Vec<AirReading> = files
        .into_iter()
        .flat_map(|h| &h.rows)
        .filter(|row| row.concrete_c.is_none())
        .map(|row| AirReading {
            at: row.at_ms,
            temp: row.air_c.map(Celsius),
            rh: row.rh_pct.map(Percent),
            wind: row.wind_kmh.map(KmH),
            ..AirReading::default()
        })
        .collect();
    // As above: of two values of one hour the one that was logged last counts.
    hours.sort_by_key(|a| a.at);
    hours.dedup_by_key(|a| a.at);
    hours
}

fn concrete(sum: &Folded, id: &str, pour: &Pour) -> Vec<ConcreteReading> {
    let fresh = pour.concrete_c.map(|t| ConcreteReading {
        at: pour.started_ms,
        temp: Celsius(t),
        place: ConcretePlace::Fresh,
        confirmed: pour.confirmed,
    });
    let mut all: Vec<ConcreteReading> = sum
        .hanging(id)
        .filter_map(|(_, e)| {
            let r = Reading::of(&e.fact)?;
            Some(ConcreteReading {
                at: r.at_ms,
                temp: Celsius(r.concrete_c?),
                place: r.place.unwrap_or(ConcretePlace::Surface),
                confirmed: r.confirmed,
            })
        })
        .chain(fresh)
        .chain(logged(sum, id))
        .collect();
    all.sort_by_key(|r| r.at);
    all
}

/// What loggers in the concrete of a pour wrote; of two values of one instant at one place the
/// one that was logged last.
fn logged(sum: &Folded, id: &str) -> Vec<ConcreteReading> {
    let mut files: Vec<(AtMs, &Hourly)> = sum
        .hanging(id)
        .filter_map(|(_, e)| Some((e.at_ms, Hourly::of(&e.fact)?)))
        .collect();
    files.sort_by_key(|(at, _)| core::cmp::Reverse(*at));
    let mut all: Vec<ConcreteReading> = Vec::new();
    for (_, file) in files {
        let place = file.place.unwrap_or(ConcretePlace::Surface);
        all.extend(file.rows.iter().filter_map(|row| {
            Some(ConcreteReading {
                at: row.at_ms,
                temp: Celsius(row.concrete_c?),
                place,
                // The columns of a table were confirmed by a person, its values were not.
                confirmed: false,
            })
        }));
    }
    all.sort_by_key(|r| (r.at, r.place as u8));
    all.dedup_by_key(|r| (r.at, r.place as u8));
    all
}

/// What an observation is to the engine; none if it says nothing to it.
pub(super) fn seen(o: &Observation) -> Option<Seen> {
    Some(match o.what {
        Observed::SheenGone => Seen::SheenGone,
        Observed::ThumbDeep => Seen::ThumbDeep,
        Observed::ThumbMark => Seen::ThumbMark,
        Observed::Thumb6mm => Seen::Thumb6mm,
        Observed::ThumbFaint => Seen::ThumbFaint,
        Observed::ThumbNone => Seen::ThumbNone,
        Observed::Textured => Seen::Textured,
        Observed::StrippedClean => Seen::StrippedClean,
        Observed::StrippedStuck => Seen::StrippedStuck,
        Observed::ScratchDeep => Seen::ScratchDeep,
        Observed::ScratchFaint => Seen::ScratchFaint,
        Observed::ScratchNone => Seen::ScratchNone,
        Observed::EdgeDamage => Seen::EdgeCrumbled,
        Observed::DressedEasily => Seen::DressedEasily,
        Observed::DressedHard => Seen::DressedHard,
        Observed::Wetted => Seen::Wetted,
        Observed::Covered => Seen::Covered,
        Observed::Uncovered => Seen::Uncovered,
        Observed::Shaded => Seen::Shaded,
        Observed::Rain => Seen::Rain,
        Observed::Frost => Seen::Frost,
        Observed::Walked => Seen::Walked,
        Observed::Strength => Seen::Strength(Mpa(o.mpa?)),
        Observed::Cracked | Observed::CuringEnded | Observed::Sealed | Observed::Note => {
            return None;
        }
    })
}

fn happened(sum: &Folded, id: &str) -> Vec<Happening> {
    let mut all: Vec<Happening> = sum
        .observations(id)
        .filter_map(|o| {
            Some(Happening {
                at: o.at_ms,
                what: seen(o)?,
                confirmed: o.confirmed,
            })
        })
        .collect();
    all.sort_by_key(|h| h.at);
    all
}
