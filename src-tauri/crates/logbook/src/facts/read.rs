//! Reading bodies field by field, so that a refusal names the field and what it may be.
//!
//! `reads!` lists the fields of a kind once more, and the compiler checks that none is
//! left out. Reading by hand instead of by derived code is also what keeps the core small
//! enough to travel to a phone. Ranges of numbers are in [`crate::limits`]; what fits
//! together is checked by each kind.

use crate::limits::FieldError;
use crate::misfit::{Misfit, MisfitCode as Code};
use core::cell::Cell;
use serde::Deserialize;
use serde::de::IntoDeserializer;
use serde::de::value::{Error, StrDeserializer};
use serde_json::{Map, Value};
use slowstone_curing::predict::{
    ConcretePlace, FormMaterial, MilestoneKind, PigmentTone, Sky, Stated,
};
use slowstone_curing::units::AtMs;

/// A JSON object that is read.
///
/// Reading goes on after the first misfit with blank values, and the misfit is asked for
/// at the end: one way out instead of one behind each field.
pub(crate) struct Body<'a> {
    map: &'a Map<String, Value>,
    misfit: Cell<Option<FieldError>>,
}

/// What can be read from a whole object.
pub(crate) trait Read: Sized {
    fn read(body: &Body<'_>) -> Self;
}

/// What can be read from one field.
pub(crate) trait Field: Sized {
    /// Reads the value of the field called `name`.
    fn of(name: &str, value: &Value) -> Result<Self, FieldError>;
    /// Stands for a value that is left out or does not fit.
    fn blank() -> Self;
    /// Whether the field may be left out, whatever the kind.
    const OPTIONAL: bool = false;
}

/// What can stand in a list.
pub(crate) trait Item: Sized {
    fn of(name: &str, value: &Value) -> Result<Self, FieldError>;
}

/// Reads a whole object.
pub(crate) fn object<T: Read>(map: &Map<String, Value>) -> Result<T, FieldError> {
    let body = Body {
        map,
        misfit: Cell::new(None),
    };
    let fact = T::read(&body);
    match body.misfit.take() {
        None => Ok(fact),
        Some(misfit) => Err(misfit),
    }
}

impl Body<'_> {
    fn refuse(&self, misfit: FieldError) {
        let first = self.misfit.take().unwrap_or(misfit);
        self.misfit.set(Some(first));
    }

    /// Refuses a field that is none of `known`.
    pub(crate) fn only(&self, known: &[&str]) {
        let odd = |(f, _): &(&String, &Value)| !known.contains(&f.as_str());
        if let Some((field, value)) = self.map.iter().find(odd) {
            let why = Misfit::allowing(Code::UnknownField, known.join(", "));
            self.refuse(FieldError::new(field, &typed(value), why));
        }
    }

    /// Reads a field.
    pub(crate) fn field<T: Field>(&self, name: &str) -> T {
        if !T::OPTIONAL && !self.map.contains_key(name) {
            self.refuse(FieldError::new(name, "", Code::Missing));
        }
        self.or_default(name)
    }

    /// Reads a field that may be left out.
    pub(crate) fn or_default<T: Field>(&self, name: &str) -> T {
        match self.map.get(name).map(|value| T::of(name, value)) {
            Some(Ok(value)) => value,
            Some(Err(misfit)) => {
                self.refuse(misfit);
                T::blank()
            }
            None => T::blank(),
        }
    }
}

/// Says how kinds are read: their fields, `= default` behind those that may be left out.
macro_rules! reads {
    ($($kind:ident { $($field:ident $(= $how:ident)?),+ $(,)? })+) => {$(
        impl $crate::facts::read::Read for $kind {
            fn read(body: &$crate::facts::read::Body<'_>) -> Self {
                body.only(&[$(stringify!($field)),+]);
                Self { $($field: reads!(@ body $field $($how)?)),+ }
            }
        }
        impl $crate::facts::read::Item for $kind {
            fn of(name: &str, value: &serde_json::Value) -> Result<Self, FieldError> {
                $crate::facts::read::inner(name, value)
            }
        }
    )+};
    (@ $body:ident $field:ident) => { $body.field(stringify!($field)) };
    (@ $body:ident $field:ident default) => { $body.or_default(stringify!($field)) };
}

/// Reads an object inside another one.
pub(crate) fn inner<T: Read>(name: &str, value: &Value) -> Result<T, FieldError> {
    match value {
        Value::Object(map) => object(map),
        _ => odd(name, value, Code::NotAnObject),
    }
}

/// A value as it was typed.
pub(crate) fn typed(value: &Value) -> String {
    serde_json::to_string(value).unwrap_or_default()
}

fn odd<T>(name: &str, value: &Value, why: Code) -> Result<T, FieldError> {
    Err(FieldError::new(name, &typed(value), why))
}

impl<T: Field> Field for Option<T> {
    fn of(name: &str, value: &Value) -> Result<Self, FieldError> {
        match value {
            Value::Null => Ok(None),
            _ => T::of(name, value).map(Some),
        }
    }
    fn blank() -> Self {
        None
    }
    const OPTIONAL: bool = true;
}

impl<T: Item> Field for Vec<T> {
    fn of(name: &str, value: &Value) -> Result<Self, FieldError> {
        match value {
            Value::Array(items) => items.iter().map(|item| T::of(name, item)).collect(),
            _ => odd(name, value, Code::NotAList),
        }
    }
    fn blank() -> Self {
        Vec::new()
    }
}

impl<T: Field> Item for T {
    fn of(name: &str, value: &Value) -> Result<Self, FieldError> {
        <T as Field>::of(name, value)
    }
}

macro_rules! plain {
    ($($type:ty, $why:ident, $read:expr;)+) => {$(
        impl Field for $type {
            fn of(name: &str, value: &Value) -> Result<Self, FieldError> {
                let read: fn(&Value) -> Option<$type> = $read;
                read(value).map_or_else(|| odd(name, value, Code::$why), Ok)
            }
            fn blank() -> Self {
                Self::default()
            }
        }
    )+};
}

plain! {
    String, NotText, |v| v.as_str().map(str::to_owned);
    f64, NotANumber, Value::as_f64;
    bool, NotYesOrNo, Value::as_bool;
    u32, NotWhole, |v| v.as_u64().and_then(|n| u32::try_from(n).ok());
    AtMs, NotATime, |v| v.as_i64().map(AtMs);
    [f64; 3], NotAColour, |v| exactly(v.as_array()?, Value::as_f64);
    [u32; 4], NotARectangle, |v| {
        exactly(v.as_array()?, |n| u32::try_from(n.as_u64()?).ok())
    };
    Map<String, Value>, NotAnObject, |v| v.as_object().cloned();
}

/// A list of just so many values.
fn exactly<T, const N: usize>(list: &[Value], read: fn(&Value) -> Option<T>) -> Option<[T; N]> {
    let all: Option<Vec<T>> = list.iter().map(read).collect();
    all?.try_into().ok()
}

/// One of the words that a type knows.
fn word<'a, T: Deserialize<'a>>(name: &str, value: &'a Value) -> Result<T, FieldError> {
    let Value::String(said) = value else {
        return odd(name, value, Code::NotText);
    };
    let said: StrDeserializer<'a, Error> = said.as_str().into_deserializer();
    T::deserialize(said).map_err(|e| {
        let why = Misfit::allowing(Code::UnknownWord, e.to_string());
        FieldError::new(name, &typed(value), why)
    })
}

macro_rules! words {
    ($($type:ty = $blank:ident),+ $(,)?) => {$(
        impl Field for $type {
            fn of(name: &str, value: &Value) -> Result<Self, FieldError> {
                word(name, value)
            }
            fn blank() -> Self {
                <$type>::$blank
            }
        }
    )+};
}

words!(
    Sky = Overcast,
    ConcretePlace = Surface,
    FormMaterial = Timber,
    MilestoneKind = SheenGone,
    PigmentTone = None,
    Stated = Minimum,
    super::AdditiveKind = Pigment,
    super::CardKind = GreyCard,
    super::Located = Typed,
    super::Filing = Hand,
    super::MarkKind = Done,
    super::Observed = Note,
    super::SecondPour = Layer,
    super::TimeSource = Arrival,
    super::Units = Metric,
    super::Weekday = Mon,
    super::Wetness = Wet,
);
