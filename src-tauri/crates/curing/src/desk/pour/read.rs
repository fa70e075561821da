//! The input of the topic `pour`: one JSON object to the facts of a pour.
//!
//! Every field but the start may be missing or `null`; a plain bagged mix in a timber form
//! stands in, and what was not given is listed. Unknown fields, wrong kinds of value and
//! values that cannot be are refused by name.

use crate::answer::Logged;
use crate::desk::{DeskError, Fields};
use crate::facts::PlaceSource;
use crate::limits::{AIR_C, CONCRETE_C, RH_PCT, Range, WIND_KM_H};
use crate::predict::{
    Above, AirReading, Base, ConcretePlace, ConcreteReading, DayRange, DoseFacts, FormFacts,
    FormMaterial, Happening, LinerFacts, MilestoneKind, MixFacts, NextStepRule, Piece, PigmentTone,
    PourFacts, Seen, Sky, Stated, Surface, plain_step,
};
use crate::units::{AtMs, Celsius, Hours, KmH, Metres, Mpa, Percent};
use serde_json::{Map, Value};

/// 2000 to 2100: seconds, or years in their place, are outside.
const INSTANT: Range = (946_684_800_000.0, 4_102_444_800_000.0);
/// Entries of one list that are read.
const MOST: usize = 50_000;
/// Earlier pours that are read.
const MOST_EARLIER: usize = 500;
/// A small piece is not worked on longer, h.
const WORK_H: f64 = 48.0;
const PIECE_MM: Range = (10.0, 20_000.0);
const MPA: Range = (0.5, 200.0);

/// A question, as read.
#[derive(Clone, Debug)]
pub(super) struct Asked {
    pub facts: PourFacts,
    pub logged: Logged,
    pub now: AtMs,
    /// Earlier pours, oldest first.
    pub earlier: Vec<PourFacts>,
    /// Fields that would help and were not given.
    pub missing: Vec<&'static str>,
    pub place_from: &'static str,
    pub sky_from: &'static str,
}

/// Reads a whole question.
pub(super) fn read(input: &Value) -> Result<Asked, DeskError> {
    let input = without_nulls(input);
    let fields = Fields::of("", &input)?;
    let mut missing = Vec::new();
    let start = plain_step(AtMs(0));
    let (facts, logged) = pour(&fields, &start, &mut missing)?;
    let now = instant(&fields, "now_ms")?.unwrap_or(facts.started);
    let mut earlier = Vec::new();
    for before in list(&fields, "earlier", MOST_EARLIER)? {
        // Of the same mix on the same site unless it says otherwise. What it names as its
        // own earlier pours stands in the outer list.
        let like = PourFacts {
            piece: facts.piece,
            above: facts.above,
            surface: facts.surface,
            next_step_rule: facts.next_step_rule,
            heavy_wear: facts.heavy_wear,
            mix: facts.mix,
            form: facts.form,
            liner: facts.liner,
            place: facts.place,
            utc_offset_min: facts.utc_offset_min,
            ..start.clone()
        };
        instant(&before, "now_ms")?;
        list(&before, "earlier", MOST_EARLIER)?;
        earlier.push(pour(&before, &like, &mut Vec::new())?.0);
    }
    let sky = |all: &[AirReading]| all.iter().any(|a| a.sky.is_some());
    Ok(Asked {
        place_from: if facts.place.is_some() {
            "given"
        } else {
            "unknown: the range covers the sun of any place"
        },
        sky_from: if sky(&facts.air) {
            "readings"
        } else if facts.days.iter().any(|d| d.sky.is_some()) {
            "days"
        } else {
            "assumed"
        },
        facts,
        logged,
        now,
        earlier,
        missing,
    })
}

/// A copy in which what is `null` is not there.
fn without_nulls(value: &Value) -> Value {
    match value {
        Value::Object(map) => Value::Object(
            map.iter()
                .filter(|(_, v)| !v.is_null())
                .map(|(k, v)| (k.clone(), without_nulls(v)))
                .collect::<Map<String, Value>>(),
        ),
        Value::Array(all) => Value::Array(all.iter().map(without_nulls).collect()),
        other => other.clone(),
    }
}

const FIELDS: [&str; 20] = [
    "started_ms",
    "finished_ms",
    "now_ms",
    "utc_offset_min",
    "place",
    "piece",
    "above",
    "mix",
    "dose",
    "form",
    "liner",
    "surface",
    "rule_next_step",
    "air",
    "days",
    "concrete",
    "observed",
    "strength_tests",
    "earlier",
    "heavy_wear",
];

/// One pour; what it does not say is as in `like`.
fn pour(
    fields: &Fields<'_>,
    like: &PourFacts,
    missing: &mut Vec<&'static str>,
) -> Result<(PourFacts, Logged), DeskError> {
    fields.only(&FIELDS)?;
    let Some(started) = instant(fields, "started_ms")? else {
        return Err(fields.refuse("started_ms", "missing", instants()));
    };
    let finished = finished(fields, started)?;
    let place = place(fields)?.or(like.place);
    let utc_offset_min = whole(fields, "utc_offset_min", (-840.0, 840.0))?.unwrap_or_else(|| {
        // The sun's own time, when only the place is known.
        match place {
            Some((_, lon)) if like.utc_offset_min == 0 => (lon / 15.0).round() as i32 * 60,
            _ => like.utc_offset_min,
        }
    });
    let (mut happened, logged) = observed(fields)?;
    happened.extend(strength_tests(fields)?);
    happened.sort_by_key(|h| h.at);
    let facts = PourFacts {
        started,
        finished: finished.unwrap_or(started),
        utc_offset_min,
        place,
        place_from: match place {
            Some(_) => PlaceSource::Place,
            None => PlaceSource::Unknown,
        },
        piece: piece(fields, like.piece, missing)?,
        above: above(fields, like)?,
        surface: match one_of(fields, "surface", &["dragged", "pressed"])? {
            Some("pressed") => Surface::Pressed,
            Some(_) => Surface::Dragged,
            None => like.surface,
        },
        next_step_rule: match one_of(fields, "rule_next_step", &["load", "handbook"])? {
            Some("handbook") => NextStepRule::Handbook,
            Some(_) => NextStepRule::Load,
            None => like.next_step_rule,
        },
        mix: mix(fields, like.mix, missing)?,
        dose: dose(fields, missing)?,
        form: form(fields, like.form, missing)?,
        liner: liner(fields)?.or(like.liner),
        air: air(fields)?,
        days: days(fields, utc_offset_min)?,
        hourly: Vec::new(),
        concrete: concrete(fields)?,
        happened,
        heavy_wear: fields.flag("heavy_wear", like.heavy_wear)?,
        learned: like.learned,
    };
    not_given(fields, &facts, missing);
    Ok((facts, logged))
}

/// What of the air, the place and the start would help.
fn not_given(fields: &Fields<'_>, facts: &PourFacts, missing: &mut Vec<&'static str>) {
    let any = |has: fn(&AirReading) -> bool, of_day: fn(&DayRange) -> bool| {
        facts.air.iter().any(has) || facts.days.iter().any(of_day)
    };
    let mut ask = |missed: bool, name: &'static str| {
        if missed {
            missing.push(name);
        }
    };
    let temp = any(|a| a.temp.is_some(), |_| true);
    ask(!temp, "air");
    ask(
        !any(|a| a.rh.is_some(), |d| d.rh.is_some()) && temp,
        "air.rh_pct",
    );
    ask(
        !any(|a| a.wind.is_some(), |d| d.wind.is_some()) && temp,
        "air.wind_km_h",
    );
    ask(
        !any(|a| a.sky.is_some(), |d| d.sky.is_some()) && temp,
        "air.sky",
    );
    ask(facts.place.is_none(), "place");
    ask(!fields.has("finished_ms"), "finished_ms");
    ask(!fields.has("utc_offset_min"), "utc_offset_min");
}

fn instants() -> String {
    format!(
        "milliseconds since 1970 in UTC, a whole number from {} to {}",
        INSTANT.0, INSTANT.1
    )
}

/// An instant that may be missing.
fn instant(fields: &Fields<'_>, name: &str) -> Result<Option<AtMs>, DeskError> {
    let Some(value) = fields.raw(name) else {
        return Ok(None);
    };
    let ms = value.as_f64().filter(|x| x.fract() == 0.0);
    ms.filter(|x| (INSTANT.0..=INSTANT.1).contains(x))
        .map(|x| Some(AtMs(x as i64)))
        .ok_or_else(|| fields.refuse(name, value.to_string(), instants()))
}

/// The instant of an entry of a list.
fn at(fields: &Fields<'_>) -> Result<AtMs, DeskError> {
    instant(fields, "at_ms")?.ok_or_else(|| fields.refuse("at_ms", "missing", instants()))
}

fn finished(fields: &Fields<'_>, started: AtMs) -> Result<Option<AtMs>, DeskError> {
    let Some(end) = instant(fields, "finished_ms")? else {
        return Ok(None);
    };
    if (0.0..=WORK_H).contains(&end.hours_since(started).value()) {
        return Ok(Some(end));
    }
    let last = started.plus(Hours(WORK_H));
    let allowed = format!("from started_ms ({}) to {}", started.0, last.0);
    Err(fields.refuse("finished_ms", end.0.to_string(), allowed))
}

/// A whole number that may be missing.
fn whole(fields: &Fields<'_>, name: &str, range: Range) -> Result<Option<i32>, DeskError> {
    match fields.optional(name, range)? {
        Some(x) if x.fract() != 0.0 => Err(fields.refuse(
            name,
            x.to_string(),
            format!("a whole number from {} to {}", range.0, range.1),
        )),
        x => Ok(x.map(|x| x as i32)),
    }
}

/// One of some words, or nothing.
fn one_of<'a>(
    fields: &Fields<'a>,
    name: &str,
    words: &[&'static str],
) -> Result<Option<&'static str>, DeskError> {
    if !fields.has(name) {
        return Ok(None);
    }
    let allowed = format!("one of {}", words.join(", "));
    let word: &'a str = fields.word(name, &allowed)?;
    match words.iter().find(|w| **w == word) {
        Some(w) => Ok(Some(w)),
        None => Err(fields.refuse(name, word, allowed)),
    }
}

/// A list of objects that may be missing or empty.
fn list<'a>(fields: &Fields<'a>, name: &str, most: usize) -> Result<Vec<Fields<'a>>, DeskError> {
    match fields.raw(name) {
        None => Ok(Vec::new()),
        Some(Value::Array(all)) if all.is_empty() => Ok(Vec::new()),
        Some(_) => fields.list(name, most),
    }
}

fn place(fields: &Fields<'_>) -> Result<Option<(f64, f64)>, DeskError> {
    let Some(place) = fields.part("place")? else {
        return Ok(None);
    };
    place.only(&["lat", "lon"])?;
    let lat = place.number("lat", (-90.0, 90.0))?;
    Ok(Some((lat, place.number("lon", (-180.0, 180.0))?)))
}

fn piece(
    fields: &Fields<'_>,
    like: Piece,
    missing: &mut Vec<&'static str>,
) -> Result<Piece, DeskError> {
    let Some(piece) = fields.part("piece")? else {
        missing.push("piece");
        return Ok(like);
    };
    piece.only(&["thickness_mm", "width_mm", "depth_mm", "base"])?;
    let mut size = |name, full: &'static str, like: Metres| {
        let mm = piece.optional(name, PIECE_MM)?;
        if mm.is_none() {
            missing.push(full);
        }
        Ok::<_, DeskError>(mm.map_or(like, |mm| Metres(mm / 1000.0)))
    };
    Ok(Piece {
        thickness: size("thickness_mm", "piece.thickness_mm", like.thickness)?,
        width: size("width_mm", "piece.width_mm", like.width)?,
        depth: size("depth_mm", "piece.depth_mm", like.depth)?,
        base: match one_of(&piece, "base", &["gravel", "concrete", "soil", "board"])? {
            Some("concrete") => Base::Concrete,
            Some("board") => Base::Board,
            Some(_) => Base::Gravel,
            None => {
                missing.push("piece.base");
                like.base
            }
        },
    })
}

/// The next step; of one that is known by half, the other half is as this one.
fn above(fields: &Fields<'_>, like: &PourFacts) -> Result<Option<Above>, DeskError> {
    let Some(above) = fields.part("above")? else {
        return Ok(like.above);
    };
    above.only(&["thickness_mm", "overlap_mm", "width_mm"])?;
    let thickness = above.optional("thickness_mm", PIECE_MM)?;
    let overlap = above.optional("overlap_mm", (0.0, PIECE_MM.1))?;
    let width = above.optional("width_mm", PIECE_MM)?;
    let own = piece(fields, like.piece, &mut Vec::new())?;
    let metres = |mm: f64| Metres(mm / 1000.0);
    Ok(Some(Above {
        thickness: thickness.map_or(own.thickness, metres),
        // A third of the depth: a tread that is cut to its going (common practice, no
        // source).
        overlap: overlap.map_or(own.depth * (1.0 / 3.0), metres),
        width: width.map_or(own.width, metres),
    }))
}

fn mix(
    fields: &Fields<'_>,
    like: MixFacts,
    missing: &mut Vec<&'static str>,
) -> Result<MixFacts, DeskError> {
    let Some(mix) = fields.part("mix")? else {
        missing.push("mix");
        return Ok(like);
    };
    mix.only(&[
        "class_1d_mpa",
        "class_3d_mpa",
        "class_28d_mpa",
        "class_7d_mpa",
        "strengths_are",
        "initial_set_h",
        "cement_kg_per_bag",
        "bag_l",
        "water_l_per_bag",
        "rapid",
    ])?;
    let class_28d = mix.optional("class_28d_mpa", (1.0, MPA.1))?;
    let young = ["class_1d_mpa", "class_3d_mpa", "class_7d_mpa"];
    let mut most = class_28d.map(|full| ("class_28d_mpa", full));
    let mut stated = [None; 3];
    for (name, stated) in young.into_iter().zip(&mut stated).rev() {
        *stated = mix.optional(name, MPA)?;
        if let (Some(x), Some((older, full))) = (*stated, most)
            && x > full
        {
            let allowed = format!("at most {older} ({full})");
            return Err(mix.refuse(name, x.to_string(), allowed));
        }
        most = stated.map(|x| (name, x)).or(most);
    }
    let [class_1d, class_3d, class_7d] = stated.map(|x| x.map(Mpa));
    // What the plain mix has at seven days says nothing of a mix of its own.
    let own = class_28d.is_some();
    let cement = mix.optional("cement_kg_per_bag", (0.1, 500.0))?;
    let bag = mix.optional("bag_l", (0.5, 1200.0))?;
    // Of a bag that is known by half, the other half is as in the plain mix.
    let (cement_kg, bag_l) = match (cement, bag) {
        (Some(c), Some(l)) => (c, l),
        (Some(c), None) => (c, c / like.cement_kg_m3 * 1000.0),
        (None, Some(l)) => (like.cement_kg_m3 * l / 1000.0, l),
        (None, None) => (
            like.cement_per_bag_kg,
            like.cement_per_bag_kg / like.cement_kg_m3 * 1000.0,
        ),
    };
    let per_m3 = cement_kg / bag_l * 1000.0;
    if !(20.0..=1500.0).contains(&per_m3) {
        let allowed = format!(
            "20 to 1500 kg of cement in 1000 L: with bag_l {bag_l} from {} to {}",
            0.02 * bag_l,
            1.5 * bag_l
        );
        return Err(mix.refuse("cement_kg_per_bag", cement_kg.to_string(), allowed));
    }
    let water = water_range(&mix)?;
    let mut ask = |missed: bool, name: &'static str| {
        if missed {
            missing.push(name);
        }
    };
    ask(class_28d.is_none(), "mix.class_28d_mpa");
    ask(cement.is_none(), "mix.cement_kg_per_bag");
    ask(bag.is_none(), "mix.bag_l");
    ask(water.is_none(), "mix.water_l_per_bag");
    let scale = cement_kg / like.cement_per_bag_kg;
    Ok(MixFacts {
        class_28d: class_28d.map_or(like.class_28d, Mpa),
        class_1d: class_1d.or(like.class_1d.filter(|_| !own)),
        class_3d: class_3d.or(like.class_3d.filter(|_| !own)),
        class_7d: class_7d.or(like.class_7d.filter(|_| !own)),
        strengths_are: match one_of(&mix, "strengths_are", &["minimum", "mean"])? {
            Some("mean") => Some(Stated::Mean),
            Some(_) => Some(Stated::Minimum),
            None => like.strengths_are,
        },
        initial_set_h: mix
            .optional("initial_set_h", (0.1, 72.0))?
            .or(like.initial_set_h),
        cement_kg_m3: per_m3,
        water_range_l: water
            .unwrap_or((like.water_range_l.0 * scale, like.water_range_l.1 * scale)),
        cement_per_bag_kg: cement_kg,
        rapid: mix.flag("rapid", like.rapid)?,
    })
}

fn water_range(mix: &Fields<'_>) -> Result<Option<(f64, f64)>, DeskError> {
    let Some(value) = mix.raw("water_l_per_bag") else {
        return Ok(None);
    };
    let allowed = "two numbers of litres from 0.05 to 300, the least first";
    let refused = || mix.refuse("water_l_per_bag", value.to_string(), allowed);
    let pair = value.as_array().ok_or_else(refused)?;
    let litres: Vec<f64> = pair
        .iter()
        .filter_map(Value::as_f64)
        .filter(|x| (0.05..=300.0).contains(x))
        .collect();
    match (pair.len(), litres.as_slice()) {
        (2, [least, most]) if least <= most => Ok(Some((*least, *most))),
        _ => Err(refused()),
    }
}

fn dose(fields: &Fields<'_>, missing: &mut Vec<&'static str>) -> Result<DoseFacts, DeskError> {
    let Some(dose) = fields.part("dose")? else {
        missing.push("dose.water_l_per_bag");
        return Ok(DoseFacts::default());
    };
    dose.only(&[
        "water_l_per_bag",
        "pigment_pct_cement",
        "pigment_tone",
        "retarder",
        "accelerator",
        "improvised",
    ])?;
    let water = dose.optional("water_l_per_bag", (0.05, 300.0))?;
    if water.is_none() {
        missing.push("dose.water_l_per_bag");
    }
    Ok(DoseFacts {
        water_per_bag_l: water,
        pigment_pct: dose.or("pigment_pct_cement", (0.0, 50.0), 0.0)?,
        pigment_tone: one_of(&dose, "pigment_tone", &["none", "light", "dark"])?.map(|w| match w {
            "none" => PigmentTone::None,
            "light" => PigmentTone::Light,
            _ => PigmentTone::Dark,
        }),
        retarder: dose.flag("retarder", false)?,
        accelerator: dose.flag("accelerator", false)?,
        improvised: dose.flag("improvised", false)?,
    })
}

fn form(
    fields: &Fields<'_>,
    like: FormFacts,
    missing: &mut Vec<&'static str>,
) -> Result<FormFacts, DeskError> {
    let Some(form) = fields.part("form")? else {
        missing.push("form");
        return Ok(like);
    };
    form.only(&["material", "thickness_mm"])?;
    let material = one_of(
        &form,
        "material",
        &["timber", "plywood", "steel", "plastic"],
    )?;
    let thickness = form.optional("thickness_mm", (0.5, 300.0))?;
    Ok(FormFacts {
        material: match material {
            Some("timber") => FormMaterial::Timber,
            Some("plywood") => FormMaterial::Plywood,
            Some("steel") => FormMaterial::Steel,
            Some(_) => FormMaterial::Plastic,
            None => {
                missing.push("form.material");
                like.material
            }
        },
        thickness: match thickness {
            Some(mm) => Metres(mm / 1000.0),
            None => {
                missing.push("form.thickness_mm");
                like.thickness
            }
        },
    })
}

fn liner(fields: &Fields<'_>) -> Result<Option<LinerFacts>, DeskError> {
    let Some(liner) = fields.part("liner")? else {
        return Ok(None);
    };
    liner.only(&["relief_mm", "undercut"])?;
    Ok(Some(LinerFacts {
        relief: Metres(liner.or("relief_mm", (0.0, 200.0), 3.0)? / 1000.0),
        undercut: liner.flag("undercut", false)?,
    }))
}

fn sky(fields: &Fields<'_>) -> Result<Option<Sky>, DeskError> {
    let word = one_of(fields, "sky", &["sun", "broken", "overcast", "shade"])?;
    Ok(word.map(|w| match w {
        "sun" => Sky::Sun,
        "broken" => Sky::Broken,
        "overcast" => Sky::Overcast,
        _ => Sky::Shade,
    }))
}

/// Readings of the air by time.
fn air(fields: &Fields<'_>) -> Result<Vec<AirReading>, DeskError> {
    let mut all = Vec::new();
    for air in list(fields, "air", MOST)? {
        air.only(&[
            "at_ms",
            "temp_c",
            "rh_pct",
            "wind_km_h",
            "sky",
            "rain_mm_h",
            "confirmed",
        ])?;
        all.push(AirReading {
            at: at(&air)?,
            temp: air.optional("temp_c", AIR_C)?.map(Celsius),
            rh: air.optional("rh_pct", RH_PCT)?.map(Percent),
            wind: air.optional("wind_km_h", WIND_KM_H)?.map(KmH),
            sky: sky(&air)?,
            rain_mm_h: air.optional("rain_mm_h", (0.0, 500.0))?,
            confirmed: air.flag("confirmed", false)?,
        });
    }
    all.sort_by_key(|a| a.at);
    Ok(all)
}

fn days(fields: &Fields<'_>, utc_offset_min: i32) -> Result<Vec<DayRange>, DeskError> {
    let mut all = Vec::new();
    for day in list(fields, "days", MOST)? {
        day.only(&["date", "min_c", "max_c", "rh_pct", "wind_km_h", "sky"])?;
        const DATE: &str = "a date such as 2026-10-03, from 2000 to 2100";
        let word = day.word("date", DATE)?;
        let number = day_number(word).ok_or_else(|| day.refuse("date", word, DATE))?;
        let min = day.number("min_c", AIR_C)?;
        let max = day.number("max_c", AIR_C)?;
        if max < min {
            let allowed = format!("a number from min_c ({min}) to {}", AIR_C.1);
            return Err(day.refuse("max_c", max.to_string(), allowed));
        }
        let midnight_min = number.saturating_mul(1440) - i64::from(utc_offset_min);
        all.push(DayRange {
            day_start: AtMs(midnight_min.saturating_mul(60_000)),
            min: Celsius(min),
            max: Celsius(max),
            rh: day.optional("rh_pct", RH_PCT)?.map(Percent),
            wind: day.optional("wind_km_h", WIND_KM_H)?.map(KmH),
            sky: sky(&day)?,
        });
    }
    all.sort_by_key(|d| d.day_start);
    Ok(all)
}

/// Days since 1970-01-01 of a date from 2000 to 2100.
fn day_number(date: &str) -> Option<i64> {
    let mut parts = date.split('-');
    let mut part = |digits: usize| {
        let text = parts.next().filter(|t| t.len() == digits)?;
        let number = text.bytes().all(|b| b.is_ascii_digit());
        text.parse::<i64>().ok().filter(|_| number)
    };
    let (year, month, day) = (part(4)?, part(2)?, part(2)?);
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let lengths = [
        31,
        if leap { 29 } else { 28 },
        31,
        30,
        31,
        30,
        31,
        31,
        30,
        31,
        30,
        31,
    ];
    let before = usize::try_from(month).ok()?.checked_sub(1)?;
    let length = *lengths.get(before)?;
    if parts.next().is_some() || !(2000..=2100).contains(&year) || !(1..=length).contains(&day) {
        return None;
    }
    // Leap days from 2000 on, before this year.
    let years = year - 2000;
    let leaps = if years == 0 { 0 } else { (years - 1) / 4 + 1 };
    let in_year: i64 = lengths.iter().take(before).sum();
    Some(10_957 + years * 365 + leaps + in_year + day - 1)
}

fn concrete(fields: &Fields<'_>) -> Result<Vec<ConcreteReading>, DeskError> {
    let mut all = Vec::new();
    for reading in list(fields, "concrete", MOST)? {
        reading.only(&["at_ms", "temp_c", "place", "confirmed"])?;
        all.push(ConcreteReading {
            at: at(&reading)?,
            temp: Celsius(reading.number("temp_c", CONCRETE_C)?),
            place: match one_of(&reading, "place", &["fresh", "edge", "middle", "top"])? {
                Some("fresh") => ConcretePlace::Fresh,
                Some("edge") => ConcretePlace::Edge,
                Some("middle") => ConcretePlace::Middle,
                _ => ConcretePlace::Top,
            },
            confirmed: reading.flag("confirmed", false)?,
        });
    }
    all.sort_by_key(|c| c.at);
    Ok(all)
}

/// What an observation is to the engine, or to the answer alone.
enum Means {
    Seen(Seen),
    Done(MilestoneKind),
}

const WORDS: [(&str, Means); 26] = [
    ("sheen_gone", Means::Seen(Seen::SheenGone)),
    ("thumb_deep", Means::Seen(Seen::ThumbDeep)),
    ("thumb_6mm", Means::Seen(Seen::Thumb6mm)),
    ("thumb_mark", Means::Seen(Seen::ThumbMark)),
    ("thumb_faint", Means::Seen(Seen::ThumbFaint)),
    ("thumb_none", Means::Seen(Seen::ThumbNone)),
    ("textured", Means::Seen(Seen::Textured)),
    ("stripped_clean", Means::Seen(Seen::StrippedClean)),
    ("stripped_stuck", Means::Seen(Seen::StrippedStuck)),
    ("scratch_deep", Means::Seen(Seen::ScratchDeep)),
    ("scratch_faint", Means::Seen(Seen::ScratchFaint)),
    ("scratch_none", Means::Seen(Seen::ScratchNone)),
    ("edge_damaged", Means::Seen(Seen::EdgeCrumbled)),
    ("dressed_easily", Means::Seen(Seen::DressedEasily)),
    ("dressed_hard", Means::Seen(Seen::DressedHard)),
    ("walked", Means::Seen(Seen::Walked)),
    ("covered", Means::Seen(Seen::Covered)),
    ("uncovered", Means::Seen(Seen::Uncovered)),
    ("shaded", Means::Seen(Seen::Shaded)),
    ("wetted", Means::Seen(Seen::Wetted)),
    ("rained", Means::Seen(Seen::Rain)),
    ("froze", Means::Seen(Seen::Frost)),
    ("next_poured", Means::Done(MilestoneKind::NextStep)),
    ("full_use", Means::Done(MilestoneKind::FullUse)),
    ("curing_ended", Means::Done(MilestoneKind::CuringEnds)),
    ("sealed", Means::Done(MilestoneKind::Seal)),
];

fn observed(fields: &Fields<'_>) -> Result<(Vec<Happening>, Logged), DeskError> {
    let (mut happened, mut logged) = (Vec::new(), Logged::default());
    for seen in list(fields, "observed", MOST)? {
        seen.only(&["at_ms", "what", "confirmed"])?;
        let confirmed = seen.flag("confirmed", false)?;
        let at = at(&seen)?;
        let names: Vec<&'static str> = WORDS.iter().map(|w| w.0).collect();
        let Some(word) = one_of(&seen, "what", &names)? else {
            let allowed = format!("one of {}", names.join(", "));
            return Err(seen.refuse("what", "missing", allowed));
        };
        match WORDS.iter().find(|w| w.0 == word).map(|w| &w.1) {
            Some(Means::Seen(what)) => happened.push(Happening {
                at,
                what: *what,
                confirmed,
            }),
            Some(Means::Done(kind)) => logged.done.push((*kind, at)),
            None => {}
        }
    }
    Ok((happened, logged))
}

fn strength_tests(fields: &Fields<'_>) -> Result<Vec<Happening>, DeskError> {
    let mut all = Vec::new();
    for test in list(fields, "strength_tests", MOST)? {
        test.only(&["at_ms", "mpa", "kind", "confirmed"])?;
        if test.has("kind") {
            test.word("kind", "a word such as cylinder, cube or rebound")?;
        }
        all.push(Happening {
            at: at(&test)?,
            what: Seen::Strength(Mpa(test.number("mpa", (0.0, 300.0))?)),
            confirmed: test.flag("confirmed", false)?,
        });
    }
    Ok(all)
}
