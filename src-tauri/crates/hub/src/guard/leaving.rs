//! What leaves the hub says where a site or a photo is only to whoever may have that: a keeper.
//!
//! Every answer of every door passes here. JSON loses its positions by the one rule of
//! [`slowstone_record::places`], whatever address it came from, so that an address that nobody
//! thought of gives none away. Files (records, tables, zips, photos) are written without
//! positions where they are made, for whoever is no keeper, and say so ([`Leaves`]); so do the
//! app's own files. Whatever says nothing, and is no JSON, goes to keepers alone.

use crate::caller::Who;
use crate::leaves::Leaves;
use crate::refusal::Refusal;
use axum::body::{Body, to_bytes};
use axum::http::header::{CONTENT_LENGTH, CONTENT_TYPE, HeaderMap, HeaderName, HeaderValue};
use axum::response::{IntoResponse, Response};
use http_body::Body as _;
use serde_json::Value;
use slowstone_record::places;

/// Says of an answer that positions were taken out of it: it is not what is stored, and the
/// hash of a photo does not fit its bytes.
pub const PLACES: HeaderName = HeaderName::from_static("slowstone-places");

/// The value of [`PLACES`].
pub const TAKEN_OUT: HeaderValue = HeaderValue::from_static("taken-out");

/// Most bytes of one answer in JSON; the largest, a page of entries, has some megabytes.
const MOST: usize = 1 << 30;

/// The answer as `who` may have it; nobody is somebody who may not have positions.
pub async fn checked(who: Option<&Who>, answer: Response) -> Response {
    if who.is_some_and(Who::may_have_places) {
        return answer;
    }
    let (mut head, body) = answer.into_parts();
    if head.extensions.get::<Leaves>().is_some() {
        return Response::from_parts(head, body);
    }
    let kind = kind_of(&head.headers);
    if kind.is_empty() && body.is_end_stream() {
        return Response::from_parts(head, body);
    }
    if kind != "application/json" {
        tracing::error!("an answer of the kind {kind} does not say that it holds no positions");
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

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::StatusCode;

    async fn seen(answer: Response) -> (StatusCode, String) {
        let answer = checked(None, answer).await;
        let status = answer.status();
        let bytes = to_bytes(answer.into_body(), MOST).await.unwrap();
        (status, String::from_utf8_lossy(&bytes).into_owned())
    }

    /// An address that somebody adds one day and thinks no further.
    #[tokio::test]
    async fn only_json_leaves_unless_its_handler_says_that_it_holds_no_positions() {
        let place = "47.36912";
        for kind in [
            "text/plain",
            "text/csv",
            "text/calendar; charset=utf-8",
            "image/svg+xml",
            "application/pdf",
            "application/zip",
            "font/woff2",
            "application/jsonl",
            "",
        ] {
            let plain = || ([(CONTENT_TYPE, kind)], place).into_response();
            let (status, text) = seen(plain()).await;
            assert_eq!(status, StatusCode::INTERNAL_SERVER_ERROR, "{kind}");
            assert!(!text.contains(place), "{kind}: {text}");
            for leaves in [Leaves::AppFile, Leaves::MadeWithout] {
                let mut answer = plain();
                answer.extensions_mut().insert(leaves);
                let (status, text) = seen(answer).await;
                assert_eq!((status, text.as_str()), (StatusCode::OK, place), "{kind}");
            }
        }
        let json = || axum::Json(serde_json::json!({ "photo": { "lat": 47.36912 } }));
        assert_eq!(seen(json().into_response()).await.1, r#"{"photo":{}}"#);
        let empty = seen(StatusCode::NOT_MODIFIED.into_response()).await;
        assert_eq!(empty, (StatusCode::NOT_MODIFIED, String::new()));
    }
}
