//! Takes positions out of entries that leave the site. Photos lose theirs in the crate
//! `photo` (`without_place`); the entries in the log stay as they are.
//! A correction that does nothing but set a position is left out.

use serde_json::{Map, Value};
use slowstone_logbook::Event;

/// Fields of entries that hold a position.
const FIELDS: [&str; 2] = ["lat", "lon"];

/// An entry without positions; none if it does nothing but set them.
#[must_use]
pub fn without(mut event: Event) -> Option<Event> {
    let had = !event.body.is_empty();
    strip(&mut event.body);
    let emptied = event.kind == "correction"
        && event
            .body
            .get("changes")
            .and_then(Value::as_object)
            .is_some_and(Map::is_empty);
    (!had || !emptied).then_some(event)
}

fn strip(map: &mut Map<String, Value>) {
    map.retain(|key, _| !FIELDS.contains(&key.as_str()));
    for value in map.values_mut() {
        strip_value(value);
    }
}

fn strip_value(value: &mut Value) {
    match value {
        Value::Object(map) => strip(map),
        Value::Array(list) => list.iter_mut().for_each(strip_value),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn entries_lose_their_positions_and_nothing_else() {
        let event = |kind: &str, body: Value| Event {
            id: "event-0001".into(),
            site: "site-0001".into(),
            by: "Tuva".into(),
            at_ms: slowstone_curing::units::AtMs(1),
            kind: kind.into(),
            body: body.as_object().unwrap().clone(),
        };
        let site = without(event("site", json!({"name": "A", "lat": 1.0, "lon": 2.0}))).unwrap();
        assert_eq!(Value::Object(site.body), json!({"name": "A"}));
        let deep = without(event("new", json!({"list": [{"lat": 1, "keep": 2}]}))).unwrap();
        assert_eq!(Value::Object(deep.body), json!({"list": [{"keep": 2}]}));
        let both = json!({"target": "site-0001", "changes": {"lat": 1.0, "name": "B"}});
        let both = without(event("correction", both)).unwrap();
        assert_eq!(both.body.get("changes"), Some(&json!({"name": "B"})));
        let only = json!({"target": "site-0001", "changes": {"lat": 1.0}});
        assert_eq!(without(event("correction", only)), None);
    }
}
