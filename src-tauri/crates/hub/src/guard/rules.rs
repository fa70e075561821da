//! Which role a request asks for, and which an entry.
//!
//! Addresses: the list of routes says it ([`crate::api::routes`]); one that is not in it is for
//! keepers alone. Entries that ask for more than logging does: [`entry_role`]. Who somebody is:
//! [`super`].

use crate::caller::Need;
use crate::caller::Role::{self, Helper, Keeper};
use crate::route::Route;
use axum::http::Method;
use slowstone_logbook::Event;

/// Whom a request is for. `path` is the address as the router matched it. What stands behind a
/// question mark is read by the handler alone, which asks for the right to it where it reads it
/// ([`crate::api::handover`]): two readers of one text would disagree some day.
#[must_use]
pub fn need(routes: &[Route], method: &Method, path: &str) -> Need {
    let method = if method == Method::HEAD {
        "GET"
    } else {
        method.as_str()
    };
    let route = routes
        .iter()
        .find(|r| r.method.name() == method && r.path == path);
    route.map_or(Need::At(Keeper), |route| route.role)
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
    use crate::caller::Role::Viewer;
    use crate::route::PLAIN;
    use axum::routing::on;

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

    #[test]
    fn what_nobody_thought_of_is_for_keepers() {
        let route = Route {
            method: crate::route::Method::Get,
            path: "/api/sites/{site}",
            role: Need::At(Viewer),
            doc: PLAIN,
            handler: |method| on(method, async || ()),
        };
        let ask = |m: Method, p: &str| need(&[route], &m, p);
        let path = route.path;
        assert_eq!(ask(Method::GET, path), Need::At(Viewer));
        assert_eq!(ask(Method::HEAD, path), Need::At(Viewer));
        assert_eq!(ask(Method::DELETE, path), Need::At(Keeper));
        assert_eq!(ask(Method::GET, "/api/new"), Need::At(Keeper));
        assert_eq!((kind_role("archive"), kind_role("pour")), (Keeper, Helper));
    }
}
