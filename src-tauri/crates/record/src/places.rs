//! Takes positions out of what leaves: out of entries that leave the site, and out of answers of
//! the hub to whoever may not have positions. Photos lose theirs in the crate
//! `photo` (`without_place`); the entries in the log stay as they are.
//! A correction that does nothing but set a position is left out.
//!
//! The site keeps its place to the whole degree: the engine takes no more of it for the sun,
//! so that another hub shows the same times, and a field of 111 km says nothing of a garden.

use serde_json::{Map, Value};
use slowstone_logbook::Event;
use slowstone_logbook::event::PLACE_FIELDS as FIELDS;
use slowstone_logbook::facts::whole_degree;

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

/// Takes positions out of anything that is written as JSON: an entry, a view, the history of a
/// record. Whether there were any.
///
/// Of a site, and of what changes one, whole degrees stay: sun and day length are reckoned
/// with them, so that whoever reckons with the copy comes to the same times. A degree is
/// about 100 km, hardly more than the name of the time zone says.
pub fn take_out(value: &mut Value) -> bool {
    match value {
        Value::Object(map) => take_out_of(map),
        Value::Array(list) => {
            // A line of a history: name of the field, before, after.
            let of_place = list.first().and_then(Value::as_str).is_some_and(is_field);
            let mut had = false;
            for value in list {
                had |= if of_place {
                    coarse(value)
                } else {
                    take_out(value)
                };
            }
            had
        }
        _ => false,
    }
}

fn is_field(name: &str) -> bool {
    FIELDS.contains(&name)
}

fn take_out_of(map: &mut Map<String, Value>) -> bool {
    // What is said about the field `lat`: versions that do not agree, why it cannot be.
    if map
        .get("field")
        .and_then(Value::as_str)
        .is_some_and(is_field)
    {
        let mut had = false;
        map.values_mut().for_each(|value| had |= coarse(value));
        return had;
    }
    let of_site = map.contains_key("tz");
    let mut had = false;
    map.retain(|key, value| {
        if !is_field(key) || value.is_null() {
            return true;
        }
        had |= !of_site || coarse(value);
        of_site
    });
    for (key, value) in map.iter_mut() {
        had |= match value {
            Value::Object(changes) if key == "changes" => {
                let mut had = false;
                for (key, value) in changes {
                    had |= if is_field(key) {
                        coarse(value)
                    } else {
                        take_out(value)
                    };
                }
                had
            }
            other => take_out(other),
        };
    }
    had
}

/// Rounds numbers to whole ones, wherever they stand in `value`. Whether one was not.
fn coarse(value: &mut Value) -> bool {
    match value {
        Value::Number(n) if n.is_f64() => {
            let exact = n.as_f64().unwrap_or(0.0);
            *value = Value::from(whole_degree(exact));
            exact.fract() != 0.0
        }
        Value::String(text) if text.contains('.') => match text.parse::<f64>() {
            Ok(exact) => {
                *text = whole_degree(exact).to_string();
                exact.fract() != 0.0
            }
            Err(_) => false,
        },
        Value::Object(map) => map.values_mut().fold(false, |had, v| coarse(v) | had),
        Value::Array(list) => list.iter_mut().fold(false, |had, v| coarse(v) | had),
        _ => false,
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

    #[test]
    fn views_lose_their_positions_by_the_same_rule() {
        let mut view = json!({
            "site": {"id": "s", "fact": {"name": "A", "tz": "UTC", "lat": 47.36912, "lon": null}},
            "photos": [{"fact": {"lat": 47.36912, "lon": 8.54321, "note": "x"}}],
            "history": [{"fields": [["lat", null, 47.36912], ["width_m", 1.25, 1.5]]}],
            "conflicts": [{"field": "lat", "versions": [{"at_ms": 5, "value": 47.36912}]}],
            "refused": [{"field": "lat", "value": "47.36912"}],
        });
        assert!(take_out(&mut view));
        assert_eq!(
            view,
            json!({
                "site": {"id": "s", "fact": {"name": "A", "tz": "UTC", "lat": 47.0, "lon": null}},
                "photos": [{"fact": {"note": "x"}}],
                "history": [{"fields": [["lat", null, 47.0], ["width_m", 1.25, 1.5]]}],
                "conflicts": [{"field": "lat", "versions": [{"at_ms": 5, "value": 47.0}]}],
                "refused": [{"field": "lat", "value": "47"}],
            })
        );
        assert!(!take_out(&mut view), "twice is once");
    }
}
