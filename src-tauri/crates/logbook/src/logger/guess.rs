//! What a column may be by its heading, in English, German and Spanish: a proposal, no more.
//!
//! A heading that says nothing known gives none, so that a person says it. The concrete is
//! looked for before the air, because both are temperatures.

use super::units::{LoggerUnit, Measure};

/// Parts of headings that are none of what is asked for, however they go on.
const OTHER: [&str; 24] = [
    "dew",
    "taupunkt",
    "rocío",
    "rocio",
    "batt",
    "volt",
    "spannung",
    "voltaje",
    "record",
    "press",
    "druck",
    "presión",
    "presion",
    "soil",
    "boden",
    "suelo",
    "solar",
    "radiat",
    "strahl",
    "direction",
    "richtung",
    "dirección",
    "direccion",
    "index",
];
const CONCRETE: [&str; 7] = [
    "concrete", "beton", "hormig", "concreto", "slab", "platte", "losa",
];
const FRESH: [&str; 5] = ["fresh", "frisch", "fresco", "as placed", "einbau"];
const EDGE: [&str; 8] = [
    "edge", "corner", "kante", "rand", "ecke", "borde", "canto", "esquina",
];
const TOP: [&str; 6] = ["surface", "oberfl", "superfic", "_top", "top ", " oben"];
const MIDDLE: [&str; 11] = [
    "core", "kern", "núcleo", "nucleo", "middle", "mitte", "centre", "center", "centro", "innen",
    "inside",
];
const AIR: [&str; 9] = [
    "air", "luft", "aire", "ambient", "umgebung", "außen", "aussen", "outdoor", "exterior",
];

/// What a heading tells.
#[must_use]
pub fn by_heading(heading: &str) -> Option<(Measure, LoggerUnit)> {
    // Padded, so that a word at its end is one too.
    let h = format!(" {} ", heading.to_lowercase());
    let has = |words: &[&str]| words.iter().any(|w| h.contains(w));
    let word = |w: &str| h.split(|c: char| !c.is_alphanumeric()).any(|x| x == w);
    if has(&OTHER) {
        return None;
    }
    if has(&["rain", "precip", "regen", "niederschlag", "lluvia"]) {
        let inches = has(&["in/h", "inch", "(in)", "[in]"]);
        return Some((
            Measure::Rain,
            if inches {
                LoggerUnit::InH
            } else {
                LoggerUnit::MmH
            },
        ));
    }
    if has(&["wind", "viento"]) {
        let unit = if has(&["m/s", "mps", "meters/second"]) || word("ms") {
            LoggerUnit::MS
        } else if has(&["mph", "mi/h"]) {
            LoggerUnit::Mph
        } else if word("kn") || word("kt") || word("kts") || has(&["knot", "knoten", "nudo"]) {
            LoggerUnit::Kn
        } else {
            LoggerUnit::KmH
        };
        return Some((Measure::Wind, unit));
    }
    if has(&["humid", "feucht", "humedad"]) || word("rh") || word("hr") || word("hum") {
        return Some((Measure::Rh, LoggerUnit::Pct));
    }
    let unit = if has(&["°f", "ºf", "deg f", "fahr"]) || word("f") {
        LoggerUnit::F
    } else if has(&["kelvin"]) || word("k") {
        LoggerUnit::K
    } else {
        LoggerUnit::C
    };
    if has(&CONCRETE) || (!has(&AIR) && (has(&EDGE) || has(&TOP) || has(&MIDDLE))) {
        let place = if has(&FRESH) {
            Measure::Fresh
        } else if has(&EDGE) {
            Measure::Edge
        } else if has(&TOP) {
            Measure::Top
        } else {
            Measure::Middle
        };
        return Some((place, unit));
    }
    let temperature =
        has(&["temp", "°c", "ºc", "°f", "ºf", "deg c", "deg f", "t2m"]) || word("t") || word("c");
    (temperature || has(&AIR)).then_some((Measure::Air, unit))
}
