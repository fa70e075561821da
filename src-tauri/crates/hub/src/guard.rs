//! Who may come in: a token made at every start, and only from this computer's own
//! address.
//!
//! A page from elsewhere that is open in the same browser must reach nothing: the Host
//! must be this hub's (so that no foreign name can be pointed here), an Origin, if sent,
//! too, and the cookie is not sent from other sites. Headers tell the browser what the
//! page may do.

use crate::api::Refusal;
use crate::chance::{self, NoChance};
use crate::state::Hub;
use axum::extract::{Request, State};
use axum::http::header::{
    AUTHORIZATION, CONTENT_SECURITY_POLICY, COOKIE, HOST, HeaderMap, HeaderName, HeaderValue,
    LOCATION, ORIGIN, REFERRER_POLICY, SET_COOKIE, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{Method, StatusCode, Uri};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::sync::Arc;

/// Styles may be inline because Svelte sets `style` attributes; scripts may not.
const CSP: &str = "default-src 'self'; img-src 'self' blob: data:; \
    style-src 'self' 'unsafe-inline'; script-src 'self' 'wasm-unsafe-eval'; \
    connect-src 'self'; object-src 'none'; frame-ancestors 'none'; base-uri 'none'; \
    form-action 'self'";

const PERMISSIONS: &str =
    "camera=(self), microphone=(), geolocation=(), payment=(), usb=(), serial=(), bluetooth=()";

/// What a request must show.
#[derive(Debug)]
pub struct Guard {
    token: String,
    port: u16,
}

impl Guard {
    /// A guard with a fresh token for a hub on `port`.
    ///
    /// # Errors
    /// If the system gives no randomness.
    pub fn new(port: u16) -> Result<Self, NoChance> {
        Ok(Self {
            token: chance::word(32)?,
            port,
        })
    }

    /// The address to open, token and all.
    #[must_use]
    pub fn url(&self) -> String {
        format!("http://127.0.0.1:{}/?t={}", self.port, self.token)
    }

    /// The cookie's name: cookies do not know ports, and two hubs must not overwrite each
    /// other's.
    fn cookie(&self) -> String {
        format!("slowstone-{}", self.port)
    }

    fn is_token(&self, given: &str) -> bool {
        same(given.as_bytes(), self.token.as_bytes())
    }

    /// Whether a request shows the token.
    pub(crate) fn has_token(&self, headers: &HeaderMap) -> bool {
        let bearer = headers
            .get(AUTHORIZATION)
            .and_then(|v| v.to_str().ok()?.strip_prefix("Bearer "))
            .is_some_and(|t| self.is_token(t.trim()));
        let name = self.cookie();
        bearer
            || headers
                .get_all(COOKIE)
                .iter()
                .filter_map(|v| v.to_str().ok())
                .flat_map(|v| v.split(';'))
                .filter_map(|pair| pair.trim().split_once('='))
                .any(|(key, value)| key == name && self.is_token(value))
    }

    fn is_own_host(&self, host: &str) -> bool {
        let names = ["127.0.0.1", "localhost", "[::1]"];
        let host = host.to_ascii_lowercase();
        names.iter().any(|name| {
            // A browser leaves the port of plain HTTP out.
            host == format!("{name}:{}", self.port) || (self.port == 80 && host == *name)
        })
    }

    fn is_own_origin(&self, origin: &str) -> bool {
        origin
            .strip_prefix("http://")
            .is_some_and(|host| self.is_own_host(host))
    }

    /// Looks at a request: its answer if it may not pass, `None` if it may.
    fn stop(&self, method: &Method, uri: &Uri, headers: &HeaderMap) -> Option<Response> {
        let text = |name: HeaderName| headers.get(name).map(|v| v.to_str().unwrap_or("?"));
        let host = text(HOST).or(uri.authority().map(|a| a.as_str()));
        if !host.is_some_and(|h| self.is_own_host(h)) {
            let why = "This hub answers only under its own address on this computer. Use the address that it printed when it started.";
            return Some(Refusal::new(StatusCode::FORBIDDEN, "host", why).into_response());
        }
        if text(ORIGIN).is_some_and(|o| !self.is_own_origin(o)) {
            let why = "A page of another site asked for this. Open the hub's own page instead.";
            return Some(Refusal::new(StatusCode::FORBIDDEN, "origin", why).into_response());
        }
        if let (&Method::GET, Some(given)) = (method, token_in(uri)) {
            return Some(self.let_in(given, uri));
        }
        let path = uri.path();
        let api = path == "/api" || path.starts_with("/api/");
        if api && path != "/api/health" && !self.has_token(headers) {
            let why = "The hub was started anew or this browser was never let in. Open the address that the hub printed when it started.";
            return Some(Refusal::new(StatusCode::UNAUTHORIZED, "locked", why).into_response());
        }
        None
    }

    /// Gives the cookie for a right token and sends the browser to the same place
    /// without it, so that it stays in no history.
    fn let_in(&self, given: &str, uri: &Uri) -> Response {
        if !self.is_token(given) {
            let why = "This address is from an earlier start of the hub. Open the one that it printed last.";
            return Refusal::new(StatusCode::UNAUTHORIZED, "locked", why).into_response();
        }
        let rest: Vec<&str> = uri
            .query()
            .unwrap_or_default()
            .split('&')
            .filter(|pair| !pair.is_empty() && !pair.starts_with("t="))
            .collect();
        // A path that begins with two slashes would name another host.
        let mut to = format!("/{}", uri.path().trim_start_matches('/'));
        if !rest.is_empty() {
            to = format!("{to}?{}", rest.join("&"));
        }
        let cookie = format!(
            "{}={}; HttpOnly; SameSite=Strict; Path=/",
            self.cookie(),
            self.token
        );
        (
            StatusCode::SEE_OTHER,
            [(LOCATION, to), (SET_COOKIE, cookie)],
        )
            .into_response()
    }
}

fn token_in(uri: &Uri) -> Option<&str> {
    let pairs = uri.query()?.split('&');
    pairs.filter_map(|pair| pair.strip_prefix("t=")).next()
}

/// Compares in a time that does not depend on where the two differ.
fn same(a: &[u8], b: &[u8]) -> bool {
    let differ = a.iter().zip(b).fold(0u8, |sum, (x, y)| sum | (x ^ y));
    std::hint::black_box(differ) == 0 && a.len() == b.len()
}

/// Stands before every request and adds the headers to every answer.
pub async fn check(State(hub): State<Arc<Hub>>, request: Request, next: Next) -> Response {
    let stop = hub
        .guard
        .stop(request.method(), request.uri(), request.headers());
    let mut answer = match stop {
        Some(answer) => answer,
        None => next.run(request).await,
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

#[cfg(test)]
mod tests {
    use super::*;

    fn guard() -> Guard {
        Guard {
            token: "abc".into(),
            port: 8477,
        }
    }

    #[test]
    fn only_own_names_and_this_port() {
        for good in [
            "127.0.0.1:8477",
            "localhost:8477",
            "LOCALHOST:8477",
            "[::1]:8477",
        ] {
            assert!(guard().is_own_host(good), "{good}");
        }
        for bad in [
            "127.0.0.1",
            "127.0.0.1:8478",
            "example.org:8477",
            "localhost.example.org:8477",
            "",
        ] {
            assert!(!guard().is_own_host(bad), "{bad}");
        }
        assert!(guard().is_own_origin("http://127.0.0.1:8477"));
        for bad in [
            "null",
            "https://127.0.0.1:8477",
            "http://127.0.0.1:8477.example.org",
            "http://127.0.0.1",
        ] {
            assert!(!guard().is_own_origin(bad), "{bad}");
        }
    }

    #[test]
    fn the_token_is_compared_whole() {
        assert!(guard().is_token("abc"));
        for bad in ["", "a", "ab", "abcd", "abd", "ABC"] {
            assert!(!guard().is_token(bad), "{bad}");
        }
    }

    #[test]
    fn the_way_on_stays_here_and_keeps_the_rest() {
        let to = |uri: &str| {
            let answer = guard().let_in("abc", &uri.parse().unwrap());
            answer.headers()[LOCATION].to_str().unwrap().to_owned()
        };
        assert_eq!(to("/?t=abc"), "/");
        assert_eq!(to("/site/x?a=1&t=abc&b=2"), "/site/x?a=1&b=2");
        assert_eq!(to("//example.org/?t=abc"), "/example.org/");
    }
}
