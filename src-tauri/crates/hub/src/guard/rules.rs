//! Which role each address of the interface asks for: the one table of rights.
//!
//! An address that is missing here is for keepers alone, and a test fails until it is here.
//! What kinds of entries ask for more than logging does: [`kind_role`]. Who somebody is:
//! [`super`].

use crate::caller::Role;
use axum::http::Method;

/// Whom an address is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Anybody who reaches the hub.
    Nobody,
    /// Whoever was let in and has at least this role.
    At(Role),
}

use Need::{At, Nobody};
use Role::{Helper, Keeper, Viewer};

/// Method, address as in [`crate::server`], and whom it is for.
pub const RULES: &[(&str, &str, Need)] = &[
    ("GET", "/api/health", Nobody),
    ("POST", "/api/pair", Nobody),
    ("POST", "/api/pair/take", Nobody),
    ("GET", "/api/openapi.json", At(Viewer)),
    ("GET", "/api/me", At(Viewer)),
    ("GET", "/api/hub", At(Viewer)),
    ("GET", "/api/watch", At(Viewer)),
    ("GET", "/api/sites", At(Viewer)),
    ("GET", "/api/sites/{site}", At(Viewer)),
    ("GET", "/api/sites/{site}/pours/{pour}", At(Viewer)),
    ("GET", "/api/sites/{site}/pours/{pour}/advice", At(Viewer)),
    ("GET", "/api/sites/{site}/best-hours/{date}", At(Viewer)),
    ("GET", "/api/sites/{site}/history/{record}", At(Viewer)),
    ("GET", "/api/sites/{site}/plan", At(Viewer)),
    ("GET", "/api/sites/{site}/plan/list.csv", At(Viewer)),
    ("GET", "/api/sites/{site}/plan/schedule", At(Viewer)),
    ("GET", "/api/sites/{site}/plan/drawing/{flight}", At(Viewer)),
    ("GET", "/api/sites/{site}/plan/checks", At(Viewer)),
    ("GET", "/api/sites/{site}/plan/proposals", At(Viewer)),
    ("GET", "/api/sites/{site}/events", At(Viewer)),
    ("GET", "/api/sites/{site}/photos", At(Viewer)),
    ("GET", "/api/sites/{site}/colours", At(Viewer)),
    ("GET", "/api/sites/{site}/dose", At(Viewer)),
    (
        "GET",
        "/api/sites/{site}/photos/{photo}/patches",
        At(Viewer),
    ),
    ("GET", "/api/photos", At(Viewer)),
    ("GET", "/api/photos/{hash}", At(Viewer)),
    ("GET", "/api/sites/{site}/handover", At(Viewer)),
    ("GET", "/api/sites/{site}/record.html", At(Viewer)),
    ("GET", "/api/sites/{site}/record.pdf", At(Viewer)),
    ("GET", "/api/sites/{site}/record.csv.zip", At(Viewer)),
    ("GET", "/api/sites/{site}/record.jsonl", At(Viewer)),
    ("GET", "/api/sites/{site}/record.zip", At(Viewer)),
    ("GET", "/api/sites/{site}/photos.zip", At(Viewer)),
    ("GET", "/api/search", At(Viewer)),
    ("POST", "/api/events", At(Helper)),
    ("POST", "/api/import", At(Helper)),
    ("GET", "/api/streams", At(Viewer)),
    ("POST", "/api/streams", At(Helper)),
    ("POST", "/api/sites/{site}/table", At(Helper)),
    ("POST", "/api/sites/{site}/hourly", At(Helper)),
    ("POST", "/api/sites/{site}/photos", At(Helper)),
    (
        "POST",
        "/api/sites/{site}/photos/{photo}/colour",
        At(Helper),
    ),
    ("GET", "/api/uploads/{id}", At(Helper)),
    ("PUT", "/api/uploads/{id}", At(Helper)),
    ("GET", "/api/push", At(Helper)),
    ("POST", "/api/push", At(Helper)),
    ("DELETE", "/api/push", At(Helper)),
    ("GET", "/api/settings/reminders", At(Keeper)),
    ("PUT", "/api/settings/reminders", At(Keeper)),
    ("POST", "/api/settings/reminders/test", At(Keeper)),
    ("POST", "/api/settings/reminders/calendar", At(Keeper)),
    ("DELETE", "/api/settings/reminders/calendar", At(Keeper)),
    ("GET", "/api/settings/weather", At(Keeper)),
    ("PUT", "/api/settings/weather", At(Keeper)),
    ("POST", "/api/settings/weather/fetch", At(Keeper)),
    ("GET", "/api/devices", At(Keeper)),
    ("PUT", "/api/devices/{id}", At(Keeper)),
    ("DELETE", "/api/devices/{id}", At(Keeper)),
    ("GET", "/api/lan", At(Keeper)),
    ("PUT", "/api/lan", At(Keeper)),
    ("GET", "/api/lan/certificate", At(Keeper)),
    ("GET", "/api/pairing", At(Keeper)),
    ("POST", "/api/pairing", At(Keeper)),
    ("DELETE", "/api/pairing", At(Keeper)),
    ("POST", "/api/pairing/answer", At(Keeper)),
];

/// Whom a request is for. `path` is the matched address, `query` what follows it: whatever is
/// asked for with places in it (`gps=1`) is for keepers.
#[must_use]
pub fn need(method: &Method, path: &str, query: &str) -> Need {
    let method = if method == Method::HEAD {
        "GET"
    } else {
        method.as_str()
    };
    let rule = RULES.iter().find(|(m, p, _)| *m == method && *p == path);
    let need = rule.map_or(At(Keeper), |(_, _, need)| *need);
    if with_places(query) { At(Keeper) } else { need }
}

fn with_places(query: &str) -> bool {
    let pairs = query.split('&').filter_map(|pair| pair.split_once('='));
    pairs
        .filter(|(key, _)| *key == "gps")
        .any(|(_, value)| !matches!(value, "0" | "false" | "no" | ""))
}

/// The role that logging an entry of this kind asks for: putting a site away or merging two is
/// for keepers, and kinds that this version does not know are a helper's.
#[must_use]
pub fn kind_role(kind: &str) -> Role {
    match kind {
        "archive" | "merge" => Keeper,
        _ => Helper,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// Every method and address that the router has, read from its source.
    fn routes() -> BTreeSet<(String, String)> {
        let source = include_str!("../server.rs");
        let flat: String = source.split_whitespace().collect();
        let mut found = BTreeSet::new();
        for part in flat.split(".route(\"").skip(1) {
            let (path, rest) = part.split_once('"').unwrap();
            let handlers = rest.split(".route(").next().unwrap();
            let handlers = handlers.split(".fallback(").next().unwrap();
            for method in ["get", "post", "put", "delete", "patch"] {
                let begins = [format!(",{method}("), format!(").{method}(")];
                if begins.iter().any(|b| handlers.contains(b.as_str())) {
                    found.insert((method.to_uppercase(), format!("/api{path}")));
                }
            }
        }
        found
    }

    #[test]
    fn every_route_has_its_rule_and_every_rule_its_route() {
        let rules: BTreeSet<(String, String)> = RULES
            .iter()
            .map(|(m, p, _)| ((*m).to_owned(), (*p).to_owned()))
            .collect();
        assert_eq!(rules.len(), RULES.len(), "a rule stands twice");
        let routes = routes();
        assert!(routes.len() > 35, "{routes:?}");
        let without: Vec<_> = routes.difference(&rules).collect();
        assert!(without.is_empty(), "add these to RULES: {without:?}");
        let stale: Vec<_> = rules.difference(&routes).collect();
        assert!(stale.is_empty(), "these are no routes: {stale:?}");
    }

    #[test]
    fn who_reads_writes_nothing() {
        for (method, path, need) in RULES {
            if *need == At(Viewer) {
                assert_eq!(*method, "GET", "{path}");
            }
        }
        let open: Vec<&str> = RULES
            .iter()
            .filter(|r| r.2 == Nobody)
            .map(|r| r.1)
            .collect();
        assert_eq!(open, ["/api/health", "/api/pair", "/api/pair/take"]);
    }

    #[test]
    fn places_and_what_nobody_thought_of_are_for_keepers() {
        let ask = |m: Method, p: &str, q: &str| need(&m, p, q);
        assert_eq!(ask(Method::GET, "/api/sites", ""), At(Viewer));
        assert_eq!(ask(Method::HEAD, "/api/sites", ""), At(Viewer));
        assert_eq!(ask(Method::GET, "/api/sites", "a=1&gps=1"), At(Keeper));
        assert_eq!(ask(Method::GET, "/api/sites", "gps=0"), At(Viewer));
        assert_eq!(ask(Method::DELETE, "/api/sites", ""), At(Keeper));
        assert_eq!(ask(Method::GET, "/api/new", ""), At(Keeper));
        assert_eq!((kind_role("archive"), kind_role("pour")), (Keeper, Helper));
    }
}
