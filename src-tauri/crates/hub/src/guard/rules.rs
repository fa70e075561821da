//! Which role each address of the interface asks for: the one table of rights.
//!
//! An address that is missing here is for keepers alone, and a test fails until it is here.
//! What entries ask for more than logging does: [`entry_role`]. Who somebody is: [`super`].

use crate::caller::Role;
use axum::http::Method;
use slowstone_logbook::Event;

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

/// Whom a request is for. `path` is the address as the router matched it. What stands behind a
/// question mark is read by the handler alone, which asks for the right to it where it reads it
/// ([`crate::api::handover`]): two readers of one text would disagree some day.
#[must_use]
pub fn need(method: &Method, path: &str) -> Need {
    let method = if method == Method::HEAD {
        "GET"
    } else {
        method.as_str()
    };
    let rule = RULES.iter().find(|(m, p, _)| *m == method && *p == path);
    rule.map_or(At(Keeper), |(_, _, need)| *need)
}

/// The role that an entry of this kind asks for: putting a site away, merging two, and notes
/// of whose device an entry came from (which the hub writes) are for keepers; kinds that this
/// version does not know are a helper's.
#[must_use]
pub fn kind_role(kind: &str) -> Role {
    match kind {
        "archive" | "merge" | "entered" => Keeper,
        _ => Helper,
    }
}

/// Longest chain of corrections and retractions of one another that is followed.
const CHAIN: usize = 64;

/// The role that logging this entry asks for: that of its own kind, and of every entry that it
/// corrects or takes back, down to the first. Taking a site back is for keepers, and so is
/// taking that back; correcting its name or place is not. `find` gives entries that are here.
#[must_use]
pub fn entry_role<'a>(entry: &Event, find: impl Fn(&str) -> Option<&'a Event>) -> Role {
    let mut role = kind_role(&entry.kind);
    let (mut at, mut takes_back): (&Event, bool) = (entry, true);
    for _ in 0..CHAIN {
        let Some(target) = target_of(at) else {
            return role;
        };
        takes_back &= at.kind == "retraction";
        let Some(next) = find(target) else {
            return role;
        };
        role = role.max(kind_role(&next.kind));
        if takes_back && next.kind == "site" {
            role = Keeper;
        }
        at = next;
    }
    // Nobody needs a chain as long, and one that ends in itself has no end.
    Keeper
}

/// The entry at the end of a chain that is not here yet, if there is one: what the chain asks
/// for is known when that comes.
#[must_use]
pub fn awaited<'a>(entry: &'a Event, find: impl Fn(&str) -> Option<&'a Event>) -> Option<&'a str> {
    let mut at = entry;
    for _ in 0..CHAIN {
        let target = target_of(at)?;
        match find(target) {
            Some(next) => at = next,
            None => return Some(target),
        }
    }
    None
}

/// What a correction or a retraction changes.
fn target_of(entry: &Event) -> Option<&str> {
    match entry.kind.as_str() {
        "correction" | "retraction" => entry.body.get("target")?.as_str(),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    fn entry(id: &str, kind: &str, target: &str) -> Event {
        let mut body = serde_json::Map::new();
        if !target.is_empty() {
            body.insert("target".to_owned(), target.into());
        }
        Event {
            id: id.to_owned(),
            site: "site".to_owned(),
            by: "Hanne".to_owned(),
            at_ms: slowstone_curing::units::AtMs(1),
            kind: kind.to_owned(),
            body,
        }
    }

    #[test]
    fn what_is_touched_counts_as_well() {
        let log = [
            entry("site", "site", ""),
            entry("pour", "pour", ""),
            entry("away", "archive", ""),
            entry("back", "retraction", "away"),
            entry("forth", "retraction", "back"),
            entry("named", "correction", "site"),
            entry("gone", "retraction", "site"),
            entry("round", "retraction", "about"),
            entry("about", "retraction", "round"),
        ];
        let find = |id: &str| log.iter().find(|e| e.id == id);
        let asks = |kind, target| entry_role(&entry("new", kind, target), find);
        for (kind, target, role) in [
            ("retraction", "pour", Helper),
            ("correction", "pour", Helper),
            ("correction", "site", Helper),
            ("retraction", "named", Helper),
            ("retraction", "site", Keeper),
            ("retraction", "gone", Keeper),
            ("correction", "away", Keeper),
            ("retraction", "away", Keeper),
            ("retraction", "back", Keeper),
            ("correction", "forth", Keeper),
            ("retraction", "round", Keeper),
            ("retraction", "nowhere", Helper),
        ] {
            assert_eq!(asks(kind, target), role, "{kind} of {target}");
        }
        let new = entry("new", "retraction", "later");
        assert_eq!(awaited(&new, find), Some("later"));
        assert_eq!(awaited(find("forth").unwrap(), find), None);
    }

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
    fn what_nobody_thought_of_is_for_keepers() {
        let ask = |m: Method, p: &str| need(&m, p);
        assert_eq!(ask(Method::GET, "/api/sites"), At(Viewer));
        assert_eq!(ask(Method::HEAD, "/api/sites"), At(Viewer));
        assert_eq!(ask(Method::DELETE, "/api/sites"), At(Keeper));
        assert_eq!(ask(Method::GET, "/api/new"), At(Keeper));
        assert_eq!((kind_role("archive"), kind_role("pour")), (Keeper, Helper));
    }
}
