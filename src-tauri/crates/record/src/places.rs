//! Takes positions out of entries that leave the site. Photos lose theirs in the crate
//! `photo` (`without_place`); the entries in the log stay as they are.
//! A correction that does nothing but set a position is left out.
//!
//! The site keeps its place to the whole degree: the engine takes no more of it for the sun,
//! so that another hub shows the same times, and a field of 111 km says nothing of a garden.

use serde_json::{Map, Value};
use slowstone_logbook::Event;
use slowstone_logbook::facts::whole_degree;

/// Fields of entries that hold a position.
const FIELDS: [&str; 2] = ["lat", "lon"];

/// An entry without positions, but for the degree in which a site lies; none if it does
/// nothing but set them.
#[must_use]
pub fn without(mut event: Event) -> Option<Event> {
    let had = !event.body.is_empty();
    let own = degree_of(&event);
    strip(&mut event.body);
    match event.body.get_mut("changes").and_then(Value::as_object_mut) {
        Some(changes) if event.kind == "correction" => changes.extend(own),
        _ => event.body.extend(own),
    }
    let emptied = event.kind == "correction"
        && event
            .body
            .get("changes")
            .and_then(Value::as_object)
            .is_some_and(Map::is_empty);
    (!had || !emptied).then_some(event)
}

/// What stays of the coordinates of a site, in its own entry or in a correction of it.
fn degree_of(event: &Event) -> Map<String, Value> {
    let fields = match event.kind.as_str() {
        "site" => Some(&event.body),
        "correction" if event.body.get("target").and_then(Value::as_str) == Some(&*event.site) => {
            event.body.get("changes").and_then(Value::as_object)
        }
        _ => None,
    };
    let stays = |(name, value): (&String, &Value)| {
        let whole = match value {
            // A correction that empties the field.
            Value::Null => Value::Null,
            _ => Value::from(whole_degree(value.as_f64()?)),
        };
        Some((name.clone(), whole))
    };
    let own = fields.into_iter().flatten();
    own.filter(|(name, _)| FIELDS.contains(&name.as_str()))
        .filter_map(stays)
        .collect()
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
        let exact = json!({"name": "A", "lat": 59.9139, "lon": -0.2});
        let site = without(event("site", exact)).unwrap();
        assert_eq!(
            serde_json::to_string(&site.body).unwrap(),
            r#"{"lat":60.0,"lon":0.0,"name":"A"}"#
        );
        let deep = without(event("new", json!({"list": [{"lat": 1, "keep": 2}]}))).unwrap();
        assert_eq!(Value::Object(deep.body), json!({"list": [{"keep": 2}]}));
        let both = json!({"target": "photo-001", "changes": {"lat": 1.0, "note": "B"}});
        let both = without(event("correction", both)).unwrap();
        assert_eq!(both.body.get("changes"), Some(&json!({"note": "B"})));
        let moved = json!({"target": "site-0001", "changes": {"lat": 1.4, "lon": null}});
        let moved = without(event("correction", moved)).unwrap();
        let whole = json!({"lat": 1.0, "lon": null});
        assert_eq!(moved.body.get("changes"), Some(&whole));
        let only = json!({"target": "photo-001", "changes": {"lat": 1.0}});
        assert_eq!(without(event("correction", only)), None);
    }
}
