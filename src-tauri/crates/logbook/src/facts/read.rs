//! Reading bodies field by field, so that a refusal names the field and what it may be.
//!
//! `reads!` lists the fields of a kind once more, and the compiler checks that none is
//! left out. Reading by hand instead of by derived code is also what keeps the core small
//! enough to travel to a phone. Ranges of numbers are in [`crate::limits`]; what fits
//! together is checked by each kind.

use crate::limits::FieldError;
use serde::Deserialize;
use serde::de::IntoDeserializer;
use serde::de::value::{Error, StrDeserializer};
use serde_json::{Map, Value};
use slowstone_curing::predict::{ConcretePlace, FormMaterial, MilestoneKind, Sky};
use slowstone_curing::units::AtMs;

/// A JSON object that is read as `what`.
pub(crate) struct Body<'a> {
    pub what: &'a str,
    pub map: &'a Map<String, Value>,
}

/// What can be read from a whole object.
pub(crate) trait Read: Sized {
    fn read(body: &Body<'_>) -> Result<Self, FieldError>;
}

/// What can be read from one field.
pub(crate) trait Field: Sized {
    /// Reads the value of the field called `name`.
    fn of(name: &str, value: &Value) -> Result<Self, FieldError>;
    /// What it means that the field is not there; none if it must be.
    fn absent() -> Option<Self> {
        None
    }
}

impl Body<'_> {
    /// Refuses a field that is none of `known`.
    pub(crate) fn only(&self, known: &[&str]) -> Result<(), FieldError> {
        match self.map.iter().find(|(f, _)| !known.contains(&f.as_str())) {
            None => Ok(()),
            Some((field, value)) => {
                let known = known.join(", ");
                let why = format!("is an unknown field; {} has {known}", self.what);
                Err(FieldError::new(field, &value.to_string(), &why))
            }
        }
    }

    /// Reads a field.
    pub(crate) fn field<T: Field>(&self, name: &str) -> Result<T, FieldError> {
        match self.map.get(name) {
            Some(value) => T::of(name, value),
            None => T::absent().ok_or_else(|| {
                let why = format!("is missing; {} needs it", self.what);
                FieldError::new(name, "not given", &why)
            }),
        }
    }

    /// Reads a field that may be left out.
    pub(crate) fn or_default<T: Field + Default>(&self, name: &str) -> Result<T, FieldError> {
        match self.map.get(name) {
            Some(value) => T::of(name, value),
            None => Ok(T::default()),
        }
    }
}

/// Says how kinds are read: their fields, `= default` behind those that may be left out.
macro_rules! reads {
    ($($kind:ident { $($field:ident $(= $how:ident)?),+ $(,)? })+) => {$(
        impl $crate::facts::read::Read for $kind {
            fn read(body: &$crate::facts::read::Body<'_>) -> Result<Self, FieldError> {
                body.only(&[$(stringify!($field)),+])?;
                Ok(Self { $($field: reads!(@ body $field $($how)?)),+ })
            }
        }
        impl $crate::facts::read::Field for $kind {
            fn of(name: &str, value: &serde_json::Value) -> Result<Self, FieldError> {
                $crate::facts::read::object(name, value)
            }
        }
    )+};
    (@ $body:ident $field:ident) => { $body.field(stringify!($field))? };
    (@ $body:ident $field:ident default) => { $body.or_default(stringify!($field))? };
}

/// Reads an object inside another one.
pub(crate) fn object<T: Read>(name: &str, value: &Value) -> Result<T, FieldError> {
    match value {
        Value::Object(map) => T::read(&Body { what: name, map }),
        _ => odd(name, value, "an object"),
    }
}

fn odd<T>(name: &str, value: &Value, must_be: &str) -> Result<T, FieldError> {
    let why = format!("must be {must_be}");
    Err(FieldError::new(name, &value.to_string(), &why))
}

impl<T: Field> Field for Option<T> {
    fn of(name: &str, value: &Value) -> Result<Self, FieldError> {
        match value {
            Value::Null => Ok(None),
            _ => T::of(name, value).map(Some),
        }
    }
    fn absent() -> Option<Self> {
        Some(None)
    }
}

impl<T: Field> Field for Vec<T> {
    fn of(name: &str, value: &Value) -> Result<Self, FieldError> {
        match value {
            Value::Array(items) => items.iter().map(|item| T::of(name, item)).collect(),
            _ => odd(name, value, "a list"),
        }
    }
}

macro_rules! plain {
    ($($type:ty, $must_be:literal, $read:expr;)+) => {$(
        impl Field for $type {
            fn of(name: &str, value: &Value) -> Result<Self, FieldError> {
                let read: fn(&Value) -> Option<$type> = $read;
                read(value).map_or_else(|| odd(name, value, $must_be), Ok)
            }
        }
    )+};
}

plain! {
    String, "text", |v| v.as_str().map(str::to_owned);
    f64, "a number", Value::as_f64;
    bool, "true or false", Value::as_bool;
    u32, "a whole number", |v| v.as_u64().and_then(|n| u32::try_from(n).ok());
    AtMs, "a whole number of milliseconds since 1970", |v| v.as_i64().map(AtMs);
    [f64; 3], "three numbers, L*, a* and b*", |v| exactly(v.as_array()?, Value::as_f64);
    [u32; 4], "four whole numbers, first column and row, column and row after the last", |v| {
        exactly(v.as_array()?, |n| u32::try_from(n.as_u64()?).ok())
    };
    Map<String, Value>, "an object", |v| v.as_object().cloned();
}

/// A list of just so many values.
fn exactly<T, const N: usize>(list: &[Value], read: fn(&Value) -> Option<T>) -> Option<[T; N]> {
    let all: Option<Vec<T>> = list.iter().map(read).collect();
    all?.try_into().ok()
}

/// One of the words that a type knows.
fn word<'a, T: Deserialize<'a>>(name: &str, value: &'a Value) -> Result<T, FieldError> {
    let Value::String(said) = value else {
        return odd(name, value, "text");
    };
    let said: StrDeserializer<'a, Error> = said.as_str().into_deserializer();
    T::deserialize(said).map_err(|e| FieldError::new(name, &value.to_string(), &e.to_string()))
}

macro_rules! words {
    ($($type:ty),+ $(,)?) => {$(
        impl Field for $type {
            fn of(name: &str, value: &Value) -> Result<Self, FieldError> {
                word(name, value)
            }
        }
    )+};
}

words!(
    Sky,
    ConcretePlace,
    FormMaterial,
    MilestoneKind,
    super::AdditiveKind,
    super::CardKind,
    super::MarkKind,
    super::Observed,
    super::TimeSource,
    super::Units,
    super::Weekday,
    super::Wetness,
);
