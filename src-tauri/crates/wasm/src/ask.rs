//! Questions as they come from the page: reading their fields, refusing what is none.
//!
//! Read by hand, because code that is derived for a tagged enum weighs more than all the
//! answers together. What can be asked is in [`crate::log`] and [`crate::desk`].

use core::fmt::Display;
use serde::Serialize;
use serde_json::{Map, Value};
use slowstone_curing::units::AtMs;

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// `unreadable` (the question), `refused` (what it asks for) or `fault` (of the core).
    pub code: &'static str,
    /// What is wrong, in plain words.
    pub text: String,
}

impl Refused {
    pub(crate) fn new(code: &'static str, text: &dyn Display) -> Self {
        let text = text.to_string();
        Self { code, text }
    }
}

/// An answer as JSON.
pub(crate) fn json<T: Serialize>(value: &T) -> Result<String, Refused> {
    serde_json::to_string(value).map_err(|e| Refused::new("fault", &e))
}

/// The answer or the refusal as the page gets it.
pub(crate) fn reply(answer: Result<String, Refused>) -> String {
    match answer {
        Ok(json) => format!("{{\"ok\":{json}}}"),
        Err(why) => {
            let text = json(&why.text).unwrap_or_default();
            format!(
                "{{\"error\":{{\"code\":\"{}\",\"text\":{text}}}}}",
                why.code
            )
        }
    }
}

/// One question.
#[derive(Clone, Debug)]
pub(crate) struct Question(Map<String, Value>);

impl Question {
    pub(crate) fn read(text: &str) -> Result<Self, Refused> {
        match serde_json::from_str(text) {
            Ok(Value::Object(fields)) => Ok(Self(fields)),
            Ok(_) => Err(Refused::new("unreadable", &"a question is an object")),
            Err(e) => Err(Refused::new("unreadable", &e)),
        }
    }

    /// Takes a field out.
    pub(crate) fn value(&mut self, field: &str) -> Result<Value, Refused> {
        self.0
            .remove(field)
            .ok_or_else(|| Refused::new("unreadable", &format_args!("{field} is missing")))
    }

    pub(crate) fn text(&mut self, field: &str) -> Result<String, Refused> {
        match self.value(field)? {
            Value::String(text) => Ok(text),
            _ => Err(odd(field, "text")),
        }
    }

    /// Bytes of a file, each as a letter up to U+00FF.
    pub(crate) fn bytes(&mut self, field: &str) -> Result<Vec<u8>, Refused> {
        let text = self.text(field)?;
        let bytes: Option<Vec<u8>> = text
            .chars()
            .map(|c| u8::try_from(u32::from(c)).ok())
            .collect();
        bytes.ok_or_else(|| odd(field, "letters up to U+00FF"))
    }

    pub(crate) fn list(&mut self, field: &str) -> Result<Vec<Value>, Refused> {
        match self.value(field)? {
            Value::Array(items) => Ok(items),
            _ => Err(odd(field, "a list")),
        }
    }

    pub(crate) fn instant(&mut self, field: &str) -> Result<AtMs, Refused> {
        let at = self.value(field)?.as_i64().map(AtMs);
        at.ok_or_else(|| odd(field, "whole milliseconds since 1970"))
    }
}

fn odd(field: &str, must_be: &str) -> Refused {
    Refused::new("unreadable", &format_args!("{field} must be {must_be}"))
}
