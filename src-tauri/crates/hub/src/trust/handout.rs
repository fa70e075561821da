//! What is given out without TLS: the certificate that a phone has to trust first, and only
//! while a phone is being paired; and, if guests were let in, the app to read in.
//!
//! The certificate is no secret. Somebody in between could give out another one, so the page
//! shows which fingerprint the phone must show, and the hub's own screen shows the true one.
//! How it goes on: `https://…/pair` and [`super::pairing`].

use super::pairing::Stage;
use crate::caller::Door;
use crate::leaves::Leaves;
use crate::refusal::Refusal;
use crate::state::Hub;
use crate::words::Words;
use axum::extract::State;
use axum::http::StatusCode;
use axum::http::header::{
    ACCEPT_LANGUAGE, CACHE_CONTROL, CONTENT_DISPOSITION, CONTENT_SECURITY_POLICY, CONTENT_TYPE,
    HeaderMap, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use axum::{Extension, Router};
use std::sync::Arc;
use std::time::Instant;

/// The page's address.
pub const PAGE: &str = "/certificate";

/// The address of the certificate on it.
pub const FILE: &str = "/slowstone.crt";

/// Everything behind the plain door.
pub fn router(hub: Arc<Hub>) -> Router {
    Router::new()
        .route(PAGE, get(page))
        .route(FILE, get(file))
        .with_state(Arc::clone(&hub))
        .fallback_service((hub.router)(hub, Door::Guest))
}

/// The certificate, while a phone is being paired.
fn open(hub: &Hub) -> Option<Vec<u8>> {
    if hub.trust.pairing.stage(Instant::now()) != Stage::Open {
        return None;
    }
    hub.trust.lan.seen().authority
}

fn closed() -> Response {
    let text =
        "No phone is being added now. Press \"Add a phone\" on the hub's own screen and try again.";
    Refusal::new(StatusCode::NOT_FOUND, "closed", text).into_response()
}

/// The fingerprint as certificate viewers write it: pairs of hexadecimal digits.
#[must_use]
pub fn pairs(print: &[u8; 32]) -> String {
    let pairs: Vec<String> = print.iter().map(|b| format!("{b:02X}")).collect();
    pairs.join(" ")
}

/// The certificate itself, as phones take it in.
pub fn certificate(der: Vec<u8>) -> Response {
    let headers = [
        (CONTENT_TYPE, "application/x-x509-ca-cert"),
        (
            CONTENT_DISPOSITION,
            "attachment; filename=\"slowstone.crt\"",
        ),
        (CACHE_CONTROL, "no-store"),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
    ];
    (Extension(Leaves::MadeWithout), headers, der).into_response()
}

async fn file(State(hub): State<Arc<Hub>>) -> Response {
    open(&hub).map_or_else(closed, certificate)
}

async fn page(State(hub): State<Arc<Hub>>, headers: HeaderMap) -> Response {
    if open(&hub).is_none() {
        return closed();
    }
    let wanted = headers.get(ACCEPT_LANGUAGE).and_then(|v| v.to_str().ok());
    let words = Words::of(wanted.unwrap_or_default());
    let print = hub
        .trust
        .lan
        .seen()
        .print
        .map(|p| pairs(&p))
        .unwrap_or_default();
    let safe = [
        (CONTENT_TYPE, "text/html; charset=utf-8"),
        (
            CONTENT_SECURITY_POLICY,
            "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'",
        ),
        (CACHE_CONTROL, "no-store"),
        (REFERRER_POLICY, "no-referrer"),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
    ];
    (safe, html(&words, &print)).into_response()
}

fn html(words: &Words, print: &str) -> String {
    let say = |key: &str| escaped(&words.say(key, &[]));
    let list = |phone: &str| -> String {
        (1..=4)
            .map(|n| format!("<li>{}</li>", say(&format!("trust-{phone}-{n}"))))
            .collect()
    };
    format!(
        "<!doctype html><html lang=\"{}\"><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\">\
         <title>Slowstone</title><style>{STYLE}</style><main><h1>{}</h1><p>{}</p>\
         <p><a href=\"{FILE}\" download>{}</a></p><h2>Android</h2><ol>{}</ol><h2>iPhone, iPad</h2><ol>{}</ol>\
         <h2>{}</h2><p>{}</p><p class=\"print\">{print}</p><p>{}</p></main></html>",
        words.language(),
        say("trust-once"),
        say("trust-why"),
        say("trust-load"),
        list("android"),
        list("ios"),
        say("trust-print"),
        say("trust-print.how"),
        say("trust-then"),
    )
}

const STYLE: &str = "body{font:18px/1.4 sans-serif;color:#111;background:#fff;margin:0}main{max-width:34rem;margin:auto;padding:1rem}\
    a{display:block;padding:1rem;background:#111;color:#fff;text-align:center;font-weight:bold}li{margin:.5rem 0}.print{font:16px/1.5 monospace;word-spacing:.2em}";

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_has_its_words_and_the_fingerprint() {
        let page = html(&Words::of("en"), &pairs(&[0xab; 32]));
        assert!(page.contains("AB AB AB"), "{page}");
        assert!(!page.contains("trust-"), "{page}");
        assert!(!page.contains("<script"), "{page}");
    }
}
