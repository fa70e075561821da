//! Who may come in: stands before every request, whichever door it came by.
//!
//! A page from elsewhere that is open in the same browser must reach nothing: the Host must
//! be this hub's (so that no foreign name can be pointed here), an Origin, if sent, too, and
//! cookies are not sent from other sites. Then the key says who it is ([`crate::trust`]) and
//! the table in [`rules`] whether that is enough. What an answer may say of places is held in
//! `leaving`. Headers tell browsers what a page may do.

mod gate;
mod leaving;
pub mod rules;
mod token;

pub use gate::{Gate, beyond, too_often};
pub use leaving::{PLACES, TAKEN_OUT};
pub use token::Guard;

use crate::caller::{Door, Who};
use crate::listeners::Peer;
use axum::extract::{ConnectInfo, Request, State};
use axum::http::Method;
use axum::http::header::{
    CONTENT_SECURITY_POLICY, HeaderName, HeaderValue, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use futures_util::StreamExt;
use std::net::{IpAddr, Ipv4Addr};
use std::time::Duration;

/// Styles may be inline because Svelte sets `style` attributes; scripts may not.
const CSP: &str = "default-src 'self'; img-src 'self' blob: data:; \
    style-src 'self' 'unsafe-inline'; script-src 'self' 'wasm-unsafe-eval'; \
    connect-src 'self'; object-src 'none'; frame-ancestors 'none'; base-uri 'none'; \
    form-action 'self'";

/// Bytes of a refused request that are read.
const HEARD: usize = 2 << 20;

const PERMISSIONS: &str =
    "camera=(self), microphone=(), geolocation=(self), payment=(), usb=(), serial=(), bluetooth=()";

/// Reads what comes with a refused request, up to a piece of a photo, and throws it away:
/// whoever is still sending would see a broken connection instead of the answer.
async fn hear_out(request: Request) {
    let mut body = request.into_body().into_data_stream();
    let all = async {
        let mut came = 0;
        while let Some(Ok(piece)) = body.next().await {
            came += piece.len();
            if came > HEARD {
                break;
            }
        }
    };
    // Who is slower than this does without the answer.
    let _ = tokio::time::timeout(Duration::from_secs(5), all).await;
}

/// Stands before every request and adds the headers to every answer.
pub async fn check(State(gate): State<Gate>, mut request: Request, next: Next) -> Response {
    let peer = request.extensions().get::<ConnectInfo<Peer>>();
    let from = peer.map_or(IpAddr::V4(Ipv4Addr::LOCALHOST), |ConnectInfo(peer)| {
        peer.0.ip()
    });
    let mut answer = match gate.stop(request.uri(), request.headers()) {
        Some(refusal) => {
            hear_out(request).await;
            refusal.into_response()
        }
        None => match gate::token_in(request.uri())
            .filter(|_| gate.door == Door::Here && request.method() == Method::GET)
        {
            Some(token) => {
                let uri = request.uri().clone();
                let headers = request.headers().clone();
                drop(request);
                let done = gate.let_in(&token, (&uri, &headers), from).await;
                done.unwrap_or_else(IntoResponse::into_response)
            }
            None => match gate.judge(&mut request, from) {
                Ok(()) => {
                    let who = request.extensions().get::<Who>().cloned();
                    leaving::checked(who.as_ref(), next.run(request).await).await
                }
                Err(refusal) => {
                    hear_out(request).await;
                    refusal.into_response()
                }
            },
        },
    };
    let headers = answer.headers_mut();
    for (name, value) in [
        (CONTENT_SECURITY_POLICY, CSP),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (REFERRER_POLICY, "no-referrer"),
        (HeaderName::from_static("permissions-policy"), PERMISSIONS),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    answer
}
