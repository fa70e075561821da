//! The judgement at one door: is it this hub that is asked, who asks, and may they.
//!
//! Nothing is answered here but refusals and the way in for a browser of this computer. Whom
//! an address is for says the list of routes ([`super::rules`]); keys and roles are [`crate::trust`].

use super::rules::need;
use crate::admit::admit;
use crate::caller::{Door, Need, Role, Who};
use crate::refusal::Refusal;
use crate::route::Route;
use crate::state::Hub;
use crate::trust::devices::{Device, Known, cookie, cookie_name};
use crate::trust::limits::Act;
use axum::extract::{MatchedPath, Request};
use axum::http::header::{
    AUTHORIZATION, COOKIE, HOST, HeaderMap, HeaderName, LOCATION, ORIGIN, SET_COOKIE,
};
use axum::http::{StatusCode, Uri};
use axum::response::{IntoResponse, Response};
use std::net::IpAddr;
use std::sync::Arc;
use std::time::{Duration, Instant};

/// What the guard of one door knows.
#[derive(Clone, Debug)]
pub struct Gate {
    /// The hub.
    pub hub: Arc<Hub>,
    /// Which door it stands at.
    pub door: Door,
    /// The addresses behind it, which say whom each is for.
    pub routes: &'static [Route],
}

/// Who it is, or why nobody.
enum Seen {
    Known(Who),
    Revoked,
    Wrong,
    Silent,
}

impl Gate {
    fn port(&self) -> u16 {
        let seen = || self.hub.trust.lan.seen();
        match self.door {
            Door::Here => self.hub.guard.port,
            Door::Lan => seen().port.unwrap_or(0),
            Door::Guest => seen().plain.unwrap_or(0),
        }
    }

    fn is_own_host(&self, host: &str) -> bool {
        let usual = if self.door == Door::Lan { 443 } else { 80 };
        match self.door {
            Door::Here => self.hub.guard.is_own_host(host),
            _ => self
                .hub
                .trust
                .lan
                .seen()
                .own
                .is_host(host, self.port(), usual),
        }
    }

    fn is_own_origin(&self, origin: &str) -> bool {
        let scheme = if self.door == Door::Lan {
            "https://"
        } else {
            "http://"
        };
        origin
            .strip_prefix(scheme)
            .is_some_and(|host| self.is_own_host(host))
    }

    /// Host and Origin: the answer if they are not this hub's.
    pub(super) fn stop(&self, uri: &Uri, headers: &HeaderMap) -> Option<Refusal> {
        let text = |name: HeaderName| headers.get(name).map(|v| v.to_str().unwrap_or("?"));
        let host = text(HOST).or(uri.authority().map(|a| a.as_str()));
        if !host.is_some_and(|h| self.is_own_host(h)) {
            let why = match self.door {
                Door::Here => {
                    "This hub answers only under its own address on this computer. Use the address that it printed when it started."
                }
                _ => {
                    "This hub answers only under its own address in this network. Use the address that its own screen shows under Settings, Phones."
                }
            };
            return Some(Refusal::new(StatusCode::FORBIDDEN, "host", why));
        }
        if text(ORIGIN).is_some_and(|o| !self.is_own_origin(o)) {
            let why = "A page of another site asked for this. Open the hub's own page instead.";
            return Some(Refusal::new(StatusCode::FORBIDDEN, "origin", why));
        }
        None
    }

    /// Who shows which key.
    fn who(&self, headers: &HeaderMap) -> Seen {
        if self.door == Door::Guest {
            if !self.hub.trust.lan.wish().guest {
                return Seen::Silent;
            }
            return Seen::Known(Who {
                device: String::new(),
                name: String::new(),
                role: Role::Viewer,
                via: Door::Guest,
            });
        }
        let mut seen = Seen::Silent;
        let bearer = headers
            .get(AUTHORIZATION)
            .and_then(|v| v.to_str().ok()?.strip_prefix("Bearer "));
        if let (Door::Here, Some(token)) = (self.door, bearer) {
            if self.hub.guard.is_token(token.trim()) {
                return Seen::Known(Who {
                    device: String::new(),
                    name: String::new(),
                    role: Role::Keeper,
                    via: Door::Here,
                });
            }
            seen = Seen::Wrong;
        }
        let name = cookie_name(self.door, self.port());
        let cookies = headers
            .get_all(COOKIE)
            .iter()
            .filter_map(|v| v.to_str().ok());
        let pairs = cookies
            .flat_map(|v| v.split(';'))
            .filter_map(|pair| pair.trim().split_once('='));
        for (_, key) in pairs.filter(|(n, _)| *n == name) {
            let at = (self.door, self.port());
            match self.hub.trust.devices.know(key, at, self.hub.now()) {
                Known::Yes(who) => return Seen::Known(who),
                Known::Revoked => seen = Seen::Revoked,
                Known::No if matches!(seen, Seen::Silent) => seen = Seen::Wrong,
                Known::No => {}
            }
        }
        seen
    }

    /// Lets a request pass with who sent it, or says why not.
    pub(super) fn judge(&self, request: &mut Request, from: IpAddr) -> Result<(), Refusal> {
        let path = request.uri().path();
        if path != "/api" && !path.starts_with("/api/") {
            if self.door == Door::Guest && !self.hub.trust.lan.wish().guest {
                let why = "Guests are not let in. Whoever keeps the log can add this phone: Settings, Phones.";
                return Err(Refusal::new(StatusCode::FORBIDDEN, "closed", why));
            }
            // The app itself: it holds nothing of the log.
            return Ok(());
        }
        let matched = request.extensions().get::<MatchedPath>();
        // What matches nothing is answered with "not here", to whoever was let in.
        let asks = matched.map_or(Need::At(Role::Viewer), |matched| {
            need(self.routes, request.method(), matched.as_str())
        });
        let seen = self.who(request.headers());
        let Need::At(role) = asks else {
            if let Seen::Known(who) = seen {
                request.extensions_mut().insert(who);
            }
            return Ok(());
        };
        let now = Instant::now();
        match seen {
            Seen::Known(who) if who.role >= role => {
                request.extensions_mut().insert(who);
                Ok(())
            }
            Seen::Known(who) => Err(beyond(&who, role)),
            Seen::Revoked => {
                let why = "This device was taken off the list of those that may come in. Ask whoever keeps the log to add it again.";
                Err(Refusal::new(StatusCode::UNAUTHORIZED, "revoked", why))
            }
            Seen::Wrong | Seen::Silent => {
                if let Some(wait) = self.hub.trust.limits.wait(Act::WrongKey, from, now) {
                    return Err(too_often(wait));
                }
                if matches!(seen, Seen::Wrong) {
                    self.hub.trust.limits.count(Act::WrongKey, from, now);
                }
                let why = match self.door {
                    Door::Here => {
                        "This browser was never let in. Open the address that the hub printed when it started."
                    }
                    _ => {
                        "This device was never let in. On the hub's own screen open Settings, Phones, press \"Add a phone\" and scan the code."
                    }
                };
                Err(Refusal::new(StatusCode::UNAUTHORIZED, "locked", why))
            }
        }
    }

    /// Gives a browser of this computer a key of its own for a right token, and sends it to the
    /// same place without the token, so that it stays in no history.
    pub(super) async fn let_in(
        &self,
        given: &str,
        (uri, headers): (&Uri, &HeaderMap),
        from: IpAddr,
    ) -> Result<Response, Refusal> {
        let limits = &self.hub.trust.limits;
        if !self.hub.guard.is_token(given) {
            if let Some(wait) = limits.wait(Act::WrongKey, from, Instant::now()) {
                return Err(too_often(wait));
            }
            limits.count(Act::WrongKey, from, Instant::now());
            let why = "This address is from an earlier start of the hub. Open the one that it printed last.";
            return Err(Refusal::new(StatusCode::UNAUTHORIZED, "locked", why));
        }
        let to = onward(uri);
        if let Seen::Known(_) = self.who(headers) {
            return Ok((StatusCode::SEE_OTHER, [(LOCATION, to)]).into_response());
        }
        let fresh = Device::fresh("", Role::Keeper, Door::Here, self.hub.now())?;
        let cookie = cookie(Door::Here, self.port(), &fresh.key);
        admit(&self.hub, fresh.device.at_port(self.port())).await?;
        Ok((
            StatusCode::SEE_OTHER,
            [(LOCATION, to), (SET_COOKIE, cookie)],
        )
            .into_response())
    }
}

/// Where a browser goes on: the same place without the token.
fn onward(uri: &Uri) -> String {
    let query = uri.query().unwrap_or_default();
    let rest = form_urlencoded::parse(query.as_bytes()).filter(|(key, _)| key != "t");
    let rest = form_urlencoded::Serializer::new(String::new())
        .extend_pairs(rest)
        .finish();
    // A path that begins with two slashes would name another host.
    let to = format!("/{}", uri.path().trim_start_matches('/'));
    if rest.is_empty() {
        return to;
    }
    format!("{to}?{rest}")
}

/// The token in an address, read as handlers read theirs.
pub(super) fn token_in(uri: &Uri) -> Option<String> {
    let mut pairs = form_urlencoded::parse(uri.query()?.as_bytes());
    pairs.find_map(|(key, value)| (key == "t").then(|| value.into_owned()))
}

/// Somebody who was let in asks for more than their role allows.
#[must_use]
pub fn beyond(who: &Who, role: Role) -> Refusal {
    let why = match (who.via, role) {
        (Door::Guest, _) => {
            "Guests only read. Somebody who keeps the log can add this phone: Settings, Phones."
        }
        (_, Role::Keeper) => {
            "Only keepers of the log may do this. A keeper can change what this device may do: Settings, Phones."
        }
        _ => "This device only reads. A keeper can change what it may do: Settings, Phones.",
    };
    Refusal::new(StatusCode::FORBIDDEN, "role", why)
}

/// The answer to somebody who tries too often.
#[must_use]
pub fn too_often(wait: Duration) -> Refusal {
    let seconds = wait.as_secs() + 1;
    let text = format!("This was tried too often. Wait {seconds} s, then try again.");
    Refusal::new(StatusCode::TOO_MANY_REQUESTS, "too_often", text).after(seconds)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_way_on_stays_here_and_keeps_the_rest() {
        let to = |uri: &str| onward(&uri.parse().unwrap());
        assert_eq!(to("/?t=abc"), "/");
        assert_eq!(to("/site/x?a=1&t=abc&b=2"), "/site/x?a=1&b=2");
        assert_eq!(to("//example.org/?t=abc"), "/example.org/");
        // However it is written, the token does not stay in the address.
        assert_eq!(to("/?%74=abc&b=2"), "/?b=2");
        assert_eq!(to("/?a=1&t=abc&t=def"), "/?a=1");
        let token = |uri: &str| token_in(&uri.parse().unwrap());
        assert_eq!(token("/?%74=%61bc").as_deref(), Some("abc"));
        assert_eq!(token("/?at=abc"), None);
    }
}
