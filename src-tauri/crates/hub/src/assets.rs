//! The web app's files, embedded in the program.
//!
//! Files with a hash in their name never change and are kept by the browser for good;
//! everything else is asked for again each time and answered with 304 when unchanged. A
//! path without a file is a screen of the app: it gets the page.

use crate::leaves::Leaves;
use crate::refusal::Refusal;
use axum::Extension;
use axum::body::Body;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE, ETAG, HeaderMap, IF_NONE_MATCH};
use axum::http::{Method, StatusCode, Uri};
use axum::response::{IntoResponse, Response};
use rust_embed::{EmbeddedFile, RustEmbed};

#[derive(RustEmbed)]
#[folder = "../../../ui/dist"]
struct Pages;

const PAGE: &str = "index.html";

/// Answers every address outside `/api`.
pub async fn serve(method: Method, uri: Uri, headers: HeaderMap) -> Response {
    if method != Method::GET && method != Method::HEAD {
        let text = "Pages are only read. Load the page again.";
        return Refusal::new(StatusCode::METHOD_NOT_ALLOWED, "method", text).into_response();
    }
    let path = uri.path().trim_start_matches('/');
    if let Some(file) = Pages::get(path).filter(|_| !path.is_empty()) {
        return answer(path, &file, &headers);
    }
    // What has an ending is a file that is not there, not a screen.
    let last = path.rsplit('/').next().unwrap_or_default();
    match Pages::get(PAGE) {
        Some(page) if !last.contains('.') => answer(PAGE, &page, &headers),
        _ => Refusal::missing("file", path).into_response(),
    }
}

fn answer(path: &str, file: &EmbeddedFile, headers: &HeaderMap) -> Response {
    let hash = file.metadata.sha256_hash();
    let tag: String = hash.iter().take(12).map(|b| format!("{b:02x}")).collect();
    let tag = format!("\"{tag}\"");
    let keep = if path.starts_with("assets/") {
        "public, max-age=31536000, immutable"
    } else {
        "no-cache"
    };
    let common = [(ETAG, tag.clone()), (CACHE_CONTROL, keep.to_owned())];
    let known = headers
        .get_all(IF_NONE_MATCH)
        .iter()
        .filter_map(|v| v.to_str().ok())
        .flat_map(|v| v.split(','))
        .any(|v| v.trim().trim_start_matches("W/") == tag || v.trim() == "*");
    if known {
        return (StatusCode::NOT_MODIFIED, common).into_response();
    }
    let body = Body::from(file.data.clone().into_owned());
    let kind = [(CONTENT_TYPE, mime(path))];
    (Extension(Leaves::AppFile), common, kind, body).into_response()
}

/// Media type by the ending: the few kinds that the web app consists of.
fn mime(path: &str) -> &'static str {
    match path.rsplit('.').next().unwrap_or_default() {
        "html" => "text/html; charset=utf-8",
        "js" | "mjs" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "json" | "map" => "application/json",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "jpg" | "jpeg" => "image/jpeg",
        "webp" => "image/webp",
        "ico" => "image/x-icon",
        "woff2" => "font/woff2",
        "wasm" => "application/wasm",
        "txt" | "ftl" => "text/plain; charset=utf-8",
        "tsv" => "text/tab-separated-values; charset=utf-8",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A browser takes a file of an unknown kind for none of the app.
    #[test]
    fn every_file_of_the_app_is_of_a_known_kind() {
        for path in Pages::iter() {
            assert_ne!(mime(&path), "application/octet-stream", "{path}");
        }
        assert!(mime("towns.tsv").starts_with("text/"));
    }
}
