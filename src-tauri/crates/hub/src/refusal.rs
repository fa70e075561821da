//! Why something is refused, in one form for all answers: a code for programs and a text for
//! people that says what, why and what to do.
//!
//! Below everything that answers. What the web app says for a code is in its own words.

use axum::Json;
use axum::extract::rejection::QueryRejection;
use axum::http::header::{CACHE_CONTROL, RETRY_AFTER};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use schemars::JsonSchema;
use serde::Serialize;
use slowstone_logbook::EventError;
use slowstone_logbook::limits::FieldError;
use slowstone_logbook::misfit::Misfit;
use slowstone_store::StoreError;

/// A refusal: status, code, text, and the field concerned if there is one.
#[derive(Debug)]
pub struct Refusal {
    status: StatusCode,
    code: &'static str,
    text: String,
    about: Option<Box<About>>,
    after_s: Option<u64>,
}

/// The field that a refusal is about.
#[derive(Debug, Serialize)]
struct About {
    field: String,
    value: String,
    /// Why it cannot be, for programs that word it.
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<Box<Misfit>>,
}

/// An entry that was refused: which, and why for programs and in English.
#[derive(Debug, PartialEq, Serialize, JsonSchema)]
pub struct RefusedEntry {
    #[serde(flatten)]
    what: EventError,
    /// The reason in English.
    why: String,
}

impl From<EventError> for RefusedEntry {
    fn from(what: EventError) -> Self {
        let why = what.reason.to_string();
        Self { what, why }
    }
}

impl Refusal {
    /// A refusal with a text for people.
    pub fn new(status: StatusCode, code: &'static str, text: impl Into<String>) -> Self {
        Self {
            status,
            code,
            text: text.into(),
            about: None,
            after_s: None,
        }
    }

    /// The same, with the field and its value.
    #[must_use]
    pub fn about(mut self, field: &str, value: &str) -> Self {
        self.about = Some(Box::new(About {
            field: field.to_owned(),
            value: value.chars().take(80).collect(),
            reason: None,
        }));
        self
    }

    /// A value that cannot be (422).
    pub fn misfit(code: &'static str, e: impl Into<FieldError>) -> Self {
        let FieldError {
            field,
            value,
            reason,
        } = e.into();
        let text = format!("{field} = {value}: {reason}.");
        let about = Box::new(About {
            field,
            value,
            reason: Some(reason),
        });
        Self {
            about: Some(about),
            ..Self::new(StatusCode::UNPROCESSABLE_ENTITY, code, text)
        }
    }

    /// The same, with the seconds after which it may be tried again.
    #[must_use]
    pub fn after(mut self, seconds: u64) -> Self {
        self.after_s = Some(seconds);
        self
    }

    /// Status of the answer.
    #[must_use]
    pub fn status(&self) -> StatusCode {
        self.status
    }

    /// The code for programs.
    #[must_use]
    pub fn code(&self) -> &str {
        self.code
    }

    /// The text for people.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Something that is not there.
    pub fn missing(what: &str, id: &str) -> Self {
        let text = format!(
            "There is no {what} {id:?} here. It may have been taken back; go back and choose again."
        );
        Self::new(StatusCode::NOT_FOUND, "missing", text)
    }

    /// The work was lost to a fault of this program.
    pub fn fault() -> Self {
        let text = "The hub failed at this because of a fault in it. What was stored before is safe; please report what you did.";
        Self::new(StatusCode::INTERNAL_SERVER_ERROR, "fault", text)
    }
}

impl From<StoreError> for Refusal {
    fn from(e: StoreError) -> Self {
        tracing::error!("{e}");
        let (status, code) = match e {
            StoreError::DiskFull { .. } => (StatusCode::INSUFFICIENT_STORAGE, "disk_full"),
            StoreError::Locked { .. } => (StatusCode::SERVICE_UNAVAILABLE, "locked_file"),
            StoreError::Altered { .. } => (StatusCode::INTERNAL_SERVER_ERROR, "photo_damaged"),
            _ => (StatusCode::INTERNAL_SERVER_ERROR, "store"),
        };
        Self::new(status, code, e.to_string())
    }
}

impl From<crate::chance::NoChance> for Refusal {
    fn from(e: crate::chance::NoChance) -> Self {
        Self::new(StatusCode::INTERNAL_SERVER_ERROR, "store", e.to_string())
    }
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        #[derive(Serialize)]
        struct Body<'a> {
            error: Error<'a>,
        }
        #[derive(Serialize)]
        struct Error<'a> {
            code: &'a str,
            text: &'a str,
            #[serde(flatten)]
            about: Option<&'a About>,
        }
        let body = Body {
            error: Error {
                code: self.code,
                text: &self.text,
                about: self.about.as_deref(),
            },
        };
        let mut answer = (self.status, Json(body)).into_response();
        // It may be otherwise a moment later.
        let never = HeaderValue::from_static("no-store");
        answer.headers_mut().insert(CACHE_CONTROL, never);
        if let Some(seconds) = self.after_s {
            answer.headers_mut().insert(RETRY_AFTER, seconds.into());
        }
        answer
    }
}

/// Answer of a handler.
pub type Answer<T> = Result<T, Refusal>;

/// The part of the address behind the question mark cannot be read.
pub fn odd_query(e: &QueryRejection) -> Refusal {
    let text = format!("The address cannot be read ({e}). Load the page again.");
    Refusal::new(StatusCode::BAD_REQUEST, "unreadable", text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_full_disk_is_said_as_such() {
        let full = StoreError::DiskFull {
            path: "photos".into(),
            doing: "the photo",
        };
        let refusal = Refusal::from(full);
        // RFC 4918, 11.5: 507 Insufficient Storage.
        assert_eq!(refusal.status.as_u16(), 507);
        assert!(
            refusal.text.contains("the disk is full"),
            "{}",
            refusal.text
        );
        assert!(refusal.text.contains("Free some space"), "{}", refusal.text);
    }
}
