//! Reading a JSON object field by field, with its own path for messages.
//!
//! Every reader checks kind and range. [`Fields::only`] refuses unknown fields, because a
//! misspelt one would be ignored silently. What a field means is known by the topics that
//! read it: see [`super::calc`].

use super::DeskError;
use crate::limits::Range;
use serde_json::{Map, Value};

/// An object that is read field by field.
#[derive(Clone, Debug)]
pub struct Fields<'a> {
    name: String,
    map: &'a Map<String, Value>,
}

impl<'a> Fields<'a> {
    /// Reads `value` as the object called `name`; the outermost has no name.
    ///
    /// # Errors
    /// When it is not an object.
    pub fn of(name: &str, value: &'a Value) -> Result<Fields<'a>, DeskError> {
        match value {
            Value::Object(map) => Ok(Fields {
                name: name.to_owned(),
                map,
            }),
            other => Err(DeskError::new(
                if name.is_empty() { "input" } else { name },
                other.to_string(),
                "a JSON object",
            )),
        }
    }

    /// The full name of a field.
    #[must_use]
    pub fn path(&self, field: &str) -> String {
        if self.name.is_empty() {
            field.to_owned()
        } else {
            format!("{}.{field}", self.name)
        }
    }

    /// True if the field is there (`null` is there, and refused by what reads it).
    #[must_use]
    pub fn has(&self, field: &str) -> bool {
        self.map.contains_key(field)
    }

    /// The field as it stands.
    #[must_use]
    pub fn raw(&self, field: &str) -> Option<&'a Value> {
        self.map.get(field)
    }

    /// A refusal of a field of this object.
    #[must_use]
    pub fn refuse(
        &self,
        field: &str,
        value: impl Into<String>,
        allowed: impl Into<String>,
    ) -> DeskError {
        DeskError::new(self.path(field), value, allowed)
    }

    /// # Errors
    /// Names the first field that is not among `known`.
    pub fn only(&self, known: &[&str]) -> Result<(), DeskError> {
        match self.map.keys().find(|k| !known.contains(&k.as_str())) {
            Some(k) => Err(self.refuse(k, "unknown field", format!("one of {}", known.join(", ")))),
            None => Ok(()),
        }
    }

    /// A number that must be there.
    ///
    /// # Errors
    /// When it is missing, no number or out of range.
    pub fn number(&self, field: &str, range: Range) -> Result<f64, DeskError> {
        self.optional(field, range)?
            .ok_or_else(|| self.refuse(field, "missing", a_number(range)))
    }

    /// A number that may be missing.
    ///
    /// # Errors
    /// When it is no number or out of range.
    pub fn optional(&self, field: &str, range: Range) -> Result<Option<f64>, DeskError> {
        self.map
            .get(field)
            .map(|v| {
                within(v, range).ok_or_else(|| self.refuse(field, v.to_string(), a_number(range)))
            })
            .transpose()
    }

    /// A number with a default.
    ///
    /// # Errors
    /// As [`Fields::optional`].
    pub fn or(&self, field: &str, range: Range, default: f64) -> Result<f64, DeskError> {
        Ok(self.optional(field, range)?.unwrap_or(default))
    }

    /// An object that may be missing.
    ///
    /// # Errors
    /// When it is no object.
    pub fn part(&self, field: &str) -> Result<Option<Fields<'a>>, DeskError> {
        self.map
            .get(field)
            .map(|v| Fields::of(&self.path(field), v))
            .transpose()
    }

    /// An object that must be there.
    ///
    /// # Errors
    /// When it is missing or no object.
    pub fn needed(&self, field: &str) -> Result<Fields<'a>, DeskError> {
        self.part(field)?
            .ok_or_else(|| self.refuse(field, "missing", "a JSON object"))
    }

    /// A word that must be there.
    ///
    /// # Errors
    /// When it is missing or no text.
    pub fn word(&self, field: &str, allowed: &str) -> Result<&'a str, DeskError> {
        match self.map.get(field) {
            Some(Value::String(word)) => Ok(word),
            Some(other) => Err(self.refuse(field, other.to_string(), allowed)),
            None => Err(self.refuse(field, "missing", allowed)),
        }
    }

    /// Yes or no, with a default.
    ///
    /// # Errors
    /// When it is neither.
    pub fn flag(&self, field: &str, default: bool) -> Result<bool, DeskError> {
        match self.map.get(field) {
            None => Ok(default),
            Some(Value::Bool(flag)) => Ok(*flag),
            Some(other) => Err(self.refuse(field, other.to_string(), "true or false")),
        }
    }

    /// A whole number that must be there.
    ///
    /// # Errors
    /// When it is missing, not whole or out of range.
    pub fn count(&self, field: &str, most: u32) -> Result<u32, DeskError> {
        let allowed = || format!("a whole number from 1 to {most}");
        let Some(v) = self.map.get(field) else {
            return Err(self.refuse(field, "missing", allowed()));
        };
        within(v, (1.0, f64::from(most)))
            .filter(|x| x.fract() == 0.0)
            .map(|x| x as u32)
            .ok_or_else(|| self.refuse(field, v.to_string(), allowed()))
    }

    /// Which one of some fields is there.
    ///
    /// # Errors
    /// When there is none of them, or more than one.
    pub fn one_of(&self, fields: &[&'static str]) -> Result<&'static str, DeskError> {
        let mut there = fields.iter().filter(|f| self.has(f));
        let allowed = || format!("exactly one of {}", fields.join(", "));
        match (there.next(), there.next()) {
            (Some(field), None) => Ok(field),
            (Some(_), Some(second)) => Err(self.refuse(second, "one too many", allowed())),
            (None, _) => Err(self.refuse(fields.first().unwrap_or(&""), "missing", allowed())),
        }
    }

    /// A list of objects that must be there.
    ///
    /// # Errors
    /// When it is missing, no list, empty or longer than `most`, or holds something else.
    pub fn list(&self, field: &str, most: usize) -> Result<Vec<Fields<'a>>, DeskError> {
        let allowed = || format!("a list of 1 to {most} JSON objects");
        let Some(v) = self.map.get(field) else {
            return Err(self.refuse(field, "missing", allowed()));
        };
        let Value::Array(list) = v else {
            return Err(self.refuse(field, v.to_string(), allowed()));
        };
        if list.is_empty() {
            return Err(self.refuse(field, "an empty list", allowed()));
        }
        if list.len() > most {
            return Err(self.refuse(field, format!("a list of {}", list.len()), allowed()));
        }
        let name = self.path(field);
        list.iter()
            .enumerate()
            .map(|(i, v)| Fields::of(&format!("{name}[{i}]"), v))
            .collect()
    }

    /// A list of numbers that may be missing.
    ///
    /// # Errors
    /// When it is no list, is empty or too long, or an entry is out of range.
    pub fn numbers(&self, field: &str, range: Range) -> Result<Option<Vec<f64>>, DeskError> {
        let Some(v) = self.map.get(field) else {
            return Ok(None);
        };
        let allowed = || {
            format!(
                "a list of 1 to 2000 numbers from {} to {}",
                range.0, range.1
            )
        };
        let list = v.as_array().filter(|l| (1..=2000).contains(&l.len()));
        let list = list.ok_or_else(|| self.refuse(field, "not such a list", allowed()))?;
        list.iter()
            .map(|x| within(x, range).ok_or_else(|| self.refuse(field, x.to_string(), allowed())))
            .collect::<Result<Vec<f64>, DeskError>>()
            .map(Some)
    }
}

/// The number, if it is one and in range (which no NaN is).
fn within(v: &Value, (least, most): Range) -> Option<f64> {
    v.as_f64().filter(|x| *x >= least && *x <= most)
}

fn a_number(range: Range) -> String {
    format!("a number from {} to {}", range.0, range.1)
}
