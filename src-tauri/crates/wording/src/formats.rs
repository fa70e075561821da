//! How a site writes times, numbers and codes in its record: its time zone, its units and the
//! words of a language.
//!
//! Times are written as calendar and clock (ISO 8601 without the T), which no language reads
//! in two ways. Factors are the exact ones of the international yard and pound (1959) and of
//! NIST SP 811, the same as in `ui/src/lib/units.ts`.

use crate::words::Words;
use chrono::{DateTime, TimeZone};
use chrono_tz::Tz;
use fluent_bundle::FluentValue;
use slowstone_curing::predict::{Criterion, Place, Warning};
use slowstone_curing::units::AtMs;
use slowstone_logbook::facts::Units;

/// What a number measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// °C or °F.
    Temp,
    /// From metres: mm or inches.
    Length,
    /// From millimetres: mm or inches.
    Small,
    /// kg or lb.
    Mass,
    /// L or US quarts.
    Water,
    /// L or ft³.
    Volume,
    /// MPa or psi.
    Strength,
    /// km/h or mph.
    Speed,
    /// Per cent.
    Percent,
    /// g or oz.
    Grams,
    /// ml or US fl oz.
    Millilitres,
    /// kg/m²/h or lb/ft²/h.
    Evaporation,
}

/// Factor, offset, digits and sign of a quantity in one system of units.
type Side = (f64, f64, i32, &'static str);

impl Quantity {
    fn side(self, units: Units) -> Side {
        const IN: f64 = 0.0254;
        const LB: f64 = 0.453_592_37;
        match (self, units) {
            (Self::Temp, Units::Metric) => (1.0, 0.0, 1, "°C"),
            (Self::Temp, Units::Us) => (1.8, 32.0, 0, "°F"),
            (Self::Length, Units::Metric) => (1000.0, 0.0, 0, "mm"),
            (Self::Length, Units::Us) => (1.0 / IN, 0.0, 1, "in"),
            (Self::Small, Units::Metric) => (1.0, 0.0, 1, "mm"),
            (Self::Small, Units::Us) => (1.0 / (IN * 1000.0), 0.0, 2, "in"),
            (Self::Mass, Units::Metric) => (1.0, 0.0, 1, "kg"),
            (Self::Mass, Units::Us) => (1.0 / LB, 0.0, 1, "lb"),
            (Self::Water, Units::Metric) => (1.0, 0.0, 2, "L"),
            (Self::Water, Units::Us) => (1.0 / 0.946_352_946, 0.0, 2, "qt"),
            (Self::Volume, Units::Metric) => (1.0, 0.0, 1, "L"),
            (Self::Volume, Units::Us) => (1.0 / 28.316_846_592, 0.0, 2, "ft³"),
            (Self::Strength, Units::Metric) => (1.0, 0.0, 1, "MPa"),
            (Self::Strength, Units::Us) => (1.0 / 0.006_894_757_29, 0.0, -1, "psi"),
            (Self::Speed, Units::Metric) => (1.0, 0.0, 0, "km/h"),
            (Self::Speed, Units::Us) => (1.0 / 1.609_344, 0.0, 0, "mph"),
            (Self::Percent, _) => (1.0, 0.0, 1, "%"),
            (Self::Grams, Units::Metric) => (1.0, 0.0, 0, "g"),
            (Self::Grams, Units::Us) => (1.0 / 28.349_523_125, 0.0, 1, "oz"),
            (Self::Millilitres, Units::Metric) => (1.0, 0.0, 0, "ml"),
            (Self::Millilitres, Units::Us) => (1.0 / 29.573_529_562_5, 0.0, 1, "fl oz"),
            (Self::Evaporation, Units::Metric) => (1.0, 0.0, 2, "kg/m²/h"),
            (Self::Evaporation, Units::Us) => ((IN * 12.0) * (IN * 12.0) / LB, 0.0, 2, "lb/ft²/h"),
        }
    }
}

/// Words, units and clock of a site.
#[derive(Clone, Debug)]
pub struct Ways {
    /// The words.
    pub words: Words,
    /// Its units.
    pub units: Units,
    /// Its clock.
    pub tz: Tz,
}

impl Ways {
    /// A message without values.
    #[must_use]
    pub fn say(&self, key: &str) -> String {
        self.words.say(key, &[])
    }

    /// A message with its values.
    #[must_use]
    pub fn say_with(&self, key: &str, values: &[(&str, FluentValue<'_>)]) -> String {
        self.words.say(key, values)
    }

    /// Date and time of day.
    #[must_use]
    pub fn when(&self, at: AtMs) -> String {
        self.time(at, "%Y-%m-%d %H:%M")
    }

    /// The date.
    #[must_use]
    pub fn day(&self, at: AtMs) -> String {
        self.time(at, "%Y-%m-%d")
    }

    /// The time of day.
    #[must_use]
    pub fn clock(&self, at: AtMs) -> String {
        self.time(at, "%H:%M")
    }

    /// An instant in a pattern of `chrono`; a dash outside the calendar.
    #[must_use]
    pub fn time(&self, at: AtMs, pattern: &str) -> String {
        let there_is = Some(at.0).filter(|_| at.in_calendar());
        let Some(utc) = there_is.and_then(DateTime::from_timestamp_millis) else {
            return "–".to_owned();
        };
        let there = self.tz.from_utc_datetime(&utc.naive_utc());
        there.format(pattern).to_string()
    }

    /// A number with at most `digits` after the point; below zero: rounded to tens.
    #[must_use]
    pub fn number(&self, x: f64, digits: i32) -> String {
        let p = 10f64.powi(digits);
        let x = (x * p).round() / p;
        let places = usize::try_from(digits).unwrap_or(0);
        let text = format!("{x:.places$}");
        let text = match text.contains('.') {
            true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
            false => text,
        };
        let text = if text == "-0" { "0".to_owned() } else { text };
        match self.words.language() {
            "de" | "es" => text.replace('.', ","),
            _ => text,
        }
    }

    /// A value with its unit.
    #[must_use]
    pub fn val(&self, x: f64, q: Quantity) -> String {
        let (factor, offset, digits, unit) = q.side(self.units);
        format!("{}\u{a0}{unit}", self.number(x * factor + offset, digits))
    }

    /// A value as a bare number of the site's unit, and the unit's sign.
    #[must_use]
    pub fn bare(&self, x: f64, q: Quantity) -> (f64, &'static str) {
        let (factor, offset, _, unit) = q.side(self.units);
        (x * factor + offset, unit)
    }

    /// A code of the views as the end of a key: `Observed::SheenGone` is `sheen_gone`.
    pub fn code(value: impl serde::Serialize) -> String {
        match serde_json::to_value(value) {
            Ok(serde_json::Value::String(text)) => text,
            Ok(serde_json::Value::Object(map)) => {
                let what = map.get("what").and_then(|w| w.as_str());
                what.unwrap_or_default().to_owned()
            }
            _ => String::new(),
        }
    }

    /// A code in words, by the prefix of its key.
    pub fn coded(&self, prefix: &str, value: impl serde::Serialize) -> String {
        self.say(&format!("{prefix}{}", Self::code(value)))
    }

    /// What a criterion asks.
    #[must_use]
    pub fn criterion(&self, c: &Criterion) -> String {
        let key = format!("why-{}", Self::code(c));
        match c {
            Criterion::Age { hours } => self.say_with(
                &key,
                &[
                    ("hours", self.number(hours.value(), 1).into()),
                    ("ref", self.val(23.0, Quantity::Temp).into()),
                ],
            ),
            Criterion::Strength { mpa, place } => self.say_with(
                &key,
                &[
                    ("mpa", self.val(mpa.value(), Quantity::Strength).into()),
                    ("place", self.place(*place).into()),
                ],
            ),
            Criterion::Share { pct } => self.say_with(
                &key,
                &[("pct", self.val(pct.value(), Quantity::Percent).into())],
            ),
            Criterion::WarmHours { hours } => self.say_with(
                &key,
                &[
                    ("hours", self.number(hours.value(), 1).into()),
                    ("temp", self.val(15.0, Quantity::Temp).into()),
                ],
            ),
            Criterion::CalendarDays { days } | Criterion::CuringTable { days } => {
                self.say_with(&key, &[("days", ((days * 10.0).round() / 10.0).into())])
            }
            Criterion::Handbook { days } => self.say_with(
                &key,
                &[
                    ("days", self.number(*days, 0).into()),
                    ("temp", self.val(20.0, Quantity::Temp).into()),
                ],
            ),
            Criterion::Load { mpa } | Criterion::Freely { mpa } => self.say_with(
                &key,
                &[("mpa", self.val(mpa.value(), Quantity::Strength).into())],
            ),
            Criterion::After { milestone } => {
                self.say_with(&key, &[("milestone", self.coded("m-", milestone).into())])
            }
            _ => self.say(&key),
        }
    }

    fn place(&self, place: Place) -> String {
        self.coded("place-", place)
    }

    /// A warning in plain words.
    #[must_use]
    pub fn warning(&self, x: &Warning) -> String {
        let key = format!("warn-{}", Self::code(x));
        let pct = |p: f64| self.val(p, Quantity::Percent);
        let mpa = |p: f64| self.val(p, Quantity::Strength);
        let temp = |p: f64| self.val(p, Quantity::Temp);
        match x {
            Warning::FrostBeforeStrength { at, mpa: m, seen } => self.say_with(
                &key,
                &[
                    ("seen", seen.to_string().into()),
                    ("when", self.when(*at).into()),
                    ("mpa", mpa(m.value()).into()),
                ],
            ),
            Warning::TooMuchWater { loss_pct } => {
                self.say_with(&key, &[("loss", pct(loss_pct.value()).into())])
            }
            Warning::DriesFast { rate, risk } => self.say_with(
                &key,
                &[
                    ("rate", self.val(rate.value(), Quantity::Evaporation).into()),
                    ("risk", Self::code(risk).into()),
                ],
            ),
            Warning::ShortWindow { minutes } => {
                self.say_with(&key, &[("minutes", self.number(*minutes, 0).into())])
            }
            Warning::RainBeforeSet { at } => {
                self.say_with(&key, &[("when", self.when(*at).into())])
            }
            Warning::Hot { peak, loss_pct } => self.say_with(
                &key,
                &[
                    ("temp", temp(peak.value()).into()),
                    ("loss", pct(loss_pct.value()).into()),
                ],
            ),
            Warning::ColdPlacing { temp: t } => {
                self.say_with(&key, &[("temp", temp(t.value()).into())])
            }
            Warning::PigmentHigh { pct: p } => {
                self.say_with(&key, &[("pct", pct(p.value()).into())])
            }
            Warning::StrippedEarly { mpa: m } => {
                self.say_with(&key, &[("mpa", mpa(m.value()).into())])
            }
            _ => self.say(&key),
        }
    }

    /// What a step or sample is called.
    #[must_use]
    pub fn name_of(&self, number: Option<u32>, name: &str) -> String {
        match number {
            None if name.is_empty() => self.say("sample"),
            None => name.to_owned(),
            Some(n) => {
                let step = self.say_with("step-n", &[("n", n.into())]);
                if name.is_empty() || *name == n.to_string() {
                    step
                } else {
                    format!("{step} · {name}")
                }
            }
        }
    }
}
