//! What leaves the hub says where a site or a photo is only to whoever may have that: a keeper.
//!
//! Every answer of every door passes here. JSON loses its positions by the one rule of
//! [`slowstone_record::places`], whatever address it came from, so that an address that nobody
//! thought of gives none away. Files (records, tables, zips, photos) are written without
//! positions where they are made, for whoever is no keeper; an answer of a kind that is not
//! known here goes to keepers alone.

use crate::caller::Who;
use crate::refusal::Refusal;
use axum::body::{Body, to_bytes};
use axum::http::header::{CONTENT_LENGTH, CONTENT_TYPE, HeaderMap, HeaderName, HeaderValue};
use axum::response::{IntoResponse, Response};
use serde_json::Value;
use slowstone_record::places;

/// Says of an answer that positions were taken out of it: it is not what is stored, and the
/// hash of a photo does not fit its bytes.
pub const PLACES: HeaderName = HeaderName::from_static("slowstone-places");

/// The value of [`PLACES`].
pub const TAKEN_OUT: HeaderValue = HeaderValue::from_static("taken-out");

/// Most bytes of one answer in JSON; the largest, a page of entries, has some megabytes.
const MOST: usize = 1 << 30;

/// Files whose handlers know of positions, and what can hold none. `image/` and `text/` hold
/// pictures, tables, drawings, pages and the calendar.
const FILES: [&str; 10] = [
    "application/jsonl",
    "application/pdf",
    "application/zip",
    "application/x-x509-ca-cert",
    "application/javascript",
    "application/wasm",
    "application/manifest+json",
    "font/",
    "image/",
    "text/",
];

/// The answer as `who` may have it; nobody is somebody who may not have positions.
pub async fn checked(who: Option<&Who>, answer: Response) -> Response {
    if who.is_some_and(Who::may_have_places) {
        return answer;
    }
    let (mut head, body) = answer.into_parts();
    let kind = kind_of(&head.headers);
    if kind.is_empty() || FILES.iter().any(|known| kind.starts_with(known)) {
        return Response::from_parts(head, body);
    }
    if kind != "application/json" {
        tracing::error!("an answer of the kind {kind} is not known to hold no positions");
        return Refusal::fault().into_response();
    }
    let Ok(bytes) = to_bytes(body, MOST).await else {
        return Refusal::fault().into_response();
    };
    if bytes.is_empty() {
        return Response::from_parts(head, Body::empty());
    }
    let Ok(mut value) = serde_json::from_slice::<Value>(&bytes) else {
        return Refusal::fault().into_response();
    };
    if !places::take_out(&mut value) {
        return Response::from_parts(head, Body::from(bytes));
    }
    head.headers.insert(PLACES, TAKEN_OUT);
    head.headers.remove(CONTENT_LENGTH);
    Response::from_parts(head, Body::from(value.to_string()))
}

/// The media type without what follows it.
fn kind_of(headers: &HeaderMap) -> String {
    let kind = headers.get(CONTENT_TYPE).and_then(|v| v.to_str().ok());
    let kind = kind.unwrap_or_default().split(';').next();
    kind.unwrap_or_default().trim().to_ascii_lowercase()
}
