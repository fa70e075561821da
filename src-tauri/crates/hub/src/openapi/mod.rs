//! The HTTP interface as an OpenAPI 3.1 document, made from the list of routes that it is given.
//!
//! The schemas come from the Rust types themselves (`schemars`). Which statuses a route can
//! answer follows from its form, by [`refusals`]; what else it refuses stands beside it. The
//! web app's types are written from the same document ([`typescript`]).
//!
//! Source of the format: OpenAPI Specification 3.1.0.

pub mod typescript;

use crate::caller::Need;
use crate::route::{Carries, Method, Route};
use schemars::generate::{Contract, SchemaGenerator, SchemaSettings};
use serde_json::{Map, Value, json};
use std::collections::{BTreeMap, BTreeSet};

/// The whole document.
#[must_use]
pub fn document(routes: &[Route]) -> Value {
    let mut given = generator(Contract::Serialize);
    let mut taken = generator(Contract::Deserialize);
    let mut paths: Map<String, Value> = Map::new();
    for route in routes {
        let operation = operation(route, &mut taken, &mut given);
        let methods = paths
            .entry(route.path)
            .or_insert_with(|| Value::Object(Map::new()));
        if let Some(methods) = methods.as_object_mut() {
            methods.insert(route.method.name().to_lowercase(), operation);
        }
    }
    let mut taken = taken.take_definitions(true);
    let given = given.take_definitions(true);
    let apart = differing(&taken, &given);
    for schema in taken.values_mut() {
        refer_to_sent(schema, &apart);
    }
    for operation in paths.values_mut().filter_map(Value::as_object_mut) {
        for part in operation.values_mut() {
            if let Some(body) = part.get_mut("requestBody") {
                refer_to_sent(body, &apart);
            }
        }
    }
    let taken = taken.into_iter().map(|(name, schema)| {
        let name = if apart.contains(&name) {
            sent(&name)
        } else {
            name
        };
        (name, schema)
    });
    let mut schemas: Map<String, Value> = taken.collect();
    let given = given.into_iter();
    schemas.extend(given.map(|(name, schema)| (name, never_null(schema))));
    schemas.insert("Refusal".to_owned(), refusal());
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Slowstone hub",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "The hub of a site log for small concrete pieces cast in place. Fields carry their units (temp_c, at_ms). Every refusal has the form of the schema Refusal.",
            "license": { "name": "MIT", "identifier": "MIT" },
        },
        "servers": [{ "url": "/" }],
        "security": [{ "token": [] }],
        "paths": paths,
        "components": {
            "schemas": schemas,
            "securitySchemes": { "token": {
                "type": "http", "scheme": "bearer",
                "description": "The token of this launch, on this computer alone. Browsers and phones have cookies instead.",
            } },
        },
    })
}

fn generator(contract: Contract) -> SchemaGenerator {
    SchemaSettings::draft2020_12()
        .with(|s| {
            s.definitions_path = "/components/schemas".into();
            s.meta_schema = None;
            s.contract = contract;
        })
        .into_generator()
}

/// The form of every refusal; [`crate::api::Refusal`] writes it.
fn refusal() -> Value {
    json!({
        "type": "object",
        "description": "What was refused, why, and what to do.",
        "required": ["error"],
        "additionalProperties": false,
        "properties": { "error": {
            "type": "object",
            "required": ["code", "text"],
            "additionalProperties": false,
            "properties": {
                "code": { "type": "string", "description": "For programs; stays the same." },
                "text": { "type": "string", "description": "For people: what, why and what to do." },
                "field": { "type": "string", "description": "The field concerned." },
                "value": { "type": "string", "description": "What it was; at most 80 characters." },
                "reason": { "$ref": "#/components/schemas/Misfit" },
            },
        } },
    })
}

/// Which refusals a route can answer, and why: what follows from its form, then what it says
/// of itself, which wins where both know a reason.
fn refusals(route: &Route) -> BTreeMap<u16, &'static str> {
    let mut all = BTreeMap::from([
        (400, "The address or the body cannot be read."),
        (
            403,
            "Asked under a foreign name or from a foreign page, or beyond the role of this device.",
        ),
        (
            500,
            "A fault of the hub, or its store failed. What was stored before is safe.",
        ),
        (503, "The store is in use by another program."),
    ]);
    if route.role != Need::Nobody {
        all.insert(401, "Without a key, or with a wrong or revoked one.");
        all.insert(429, "Wrong keys were tried too often; see Retry-After.");
    }
    let names = route.path.contains('{');
    let body = !matches!(route.doc.takes, Carries::Nothing);
    if names {
        all.insert(404, "There is nothing of that name.");
    }
    if names || body || route.doc.query.is_some() {
        all.insert(422, "A value in it cannot be.");
    }
    if body {
        all.insert(408, "The body came too slowly.");
        all.insert(413, "The body is too large.");
    }
    if route.method != Method::Get {
        all.insert(507, "The disk of the hub is full.");
    }
    all.extend(route.doc.refuses.iter().copied());
    all
}

/// As `content` of a request or an answer; nothing when it carries nothing.
fn content(carries: Carries, generator: &mut SchemaGenerator) -> Option<Value> {
    match carries {
        Carries::Nothing => None,
        Carries::Type(of) => {
            let schema = of(generator).to_value();
            Some(json!({ "application/json": { "schema": schema } }))
        }
        Carries::Media(types) => {
            let all = types.iter().map(|t| ((*t).to_owned(), json!({})));
            Some(Value::Object(all.collect()))
        }
    }
}

/// A route as an operation of the document.
fn operation(route: &Route, taken: &mut SchemaGenerator, given: &mut SchemaGenerator) -> Value {
    let mut answers = Map::new();
    let mut well = json!({ "description": "Done." });
    if let (Some(content), Some(map)) = (content(route.doc.gives, given), well.as_object_mut()) {
        map.insert("content".into(), content);
    }
    answers.insert("200".into(), well);
    for (status, when) in refusals(route) {
        answers.insert(status.to_string(), json!({
            "description": when,
            "content": { "application/json": { "schema": { "$ref": "#/components/schemas/Refusal" } } },
        }));
    }
    if route.path == "/api/events"
        && let Some(content) = content(route.doc.gives, given)
    {
        // The one refusal that also tells what was stored.
        let what = "Some entries were refused; the others are stored.";
        answers.insert(
            "422".into(),
            json!({ "description": what, "content": content }),
        );
    }
    let mut operation = json!({
        "operationId": id(route),
        "summary": route.doc.what,
        "tags": [route.path.split('/').nth(2).unwrap_or_default()],
        "parameters": parameters(route, taken),
        "responses": answers,
    });
    if let Some(map) = operation.as_object_mut() {
        if let Some(content) = content(route.doc.takes, taken) {
            let body = json!({ "required": true, "content": content });
            map.insert("requestBody".into(), body);
        }
        match route.role {
            Need::At(role) => map.insert("x-role".into(), json!(role)),
            Need::Nobody => map.insert("security".into(), json!([])),
        };
    }
    operation
}

/// `get_sites_site_plan` for `GET /api/sites/{site}/plan`.
fn id(route: &Route) -> String {
    let path = route.path.trim_start_matches("/api/");
    let path = path.replace(['{', '}'], "").replace(['/', '-', '.'], "_");
    format!("{}_{path}", route.method.name().to_lowercase())
}

fn parameters(route: &Route, taken: &mut SchemaGenerator) -> Vec<Value> {
    let named = route.path.split('/').filter_map(|part| {
        let name = part.strip_prefix('{')?.strip_suffix('}')?;
        Some(json!({
            "name": name, "in": "path", "required": true,
            "schema": { "type": "string", "minLength": 1 },
        }))
    });
    let mut all: Vec<Value> = named.collect();
    let Some(query) = route.doc.query else {
        return all;
    };
    let schema = query(taken).to_value();
    let required = schema.get("required").and_then(Value::as_array);
    for (name, field) in schema
        .get("properties")
        .and_then(Value::as_object)
        .into_iter()
        .flatten()
    {
        let must = required.is_some_and(|r| r.iter().any(|v| v == name));
        all.push(json!({
            "name": name, "in": "query", "required": must, "schema": without_null(field),
        }));
    }
    all
}

/// The types that ask for less when they are sent than an answer holds of them (what is left out
/// has a default), and those that hold one of these: they have a name of their own when sent.
fn differing(taken: &Map<String, Value>, given: &Map<String, Value>) -> BTreeSet<String> {
    let both = || taken.iter().filter(|(name, _)| given.contains_key(*name));
    let mut apart: BTreeSet<String> = both()
        .filter(|(name, schema)| given.get(*name) != Some(schema))
        .map(|(name, _)| name.clone())
        .collect();
    loop {
        let holds = |schema: &Value| {
            let mut changed = schema.clone();
            refer_to_sent(&mut changed, &apart);
            changed != *schema
        };
        let more = both().filter(|(name, schema)| !apart.contains(*name) && holds(schema));
        let more: Vec<String> = more.map(|(name, _)| name.clone()).collect();
        if more.is_empty() {
            return apart;
        }
        apart.extend(more);
    }
}

/// The name of such a type when it is sent.
fn sent(name: &str) -> String {
    format!("{name}Sent")
}

/// Has references to types of `apart` lead to what is sent of them.
fn refer_to_sent(value: &mut Value, apart: &BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            if let Some(Value::String(to)) = map.get_mut("$ref")
                && let Some((path, name)) = to.rsplit_once('/')
                && apart.contains(name)
            {
                *to = format!("{path}/{}", sent(name));
            }
            map.values_mut().for_each(|v| refer_to_sent(v, apart));
        }
        Value::Array(all) => all.iter_mut().for_each(|v| refer_to_sent(v, apart)),
        _ => {}
    }
}

/// What an answer may leave out it leaves out, and never says `null` in its place.
fn never_null(mut schema: Value) -> Value {
    let required = schema.get("required").cloned();
    let required = required.as_ref().and_then(Value::as_array);
    let fields = schema.get_mut("properties").and_then(Value::as_object_mut);
    for (name, field) in fields.into_iter().flatten() {
        if !required.is_some_and(|all| all.iter().any(|n| n == name)) {
            *field = without_null(field);
        }
    }
    schema
}

/// In an address nothing is `null`: what is not given is left out.
fn without_null(field: &Value) -> Value {
    let mut field = field.clone();
    if let Some(map) = field.as_object_mut() {
        if let Some(Value::Array(types)) = map.get_mut("type") {
            types.retain(|t| t != "null");
            if let [only] = types.as_slice() {
                let only = only.clone();
                map.insert("type".into(), only);
            }
        }
        if let Some(Value::Array(any)) = map.get_mut("anyOf") {
            any.retain(|t| t != &json!({ "type": "null" }));
        }
    }
    field
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::api::routes::ROUTES;

    /// The document of some routes.
    fn of_routes() -> Value {
        document(ROUTES)
    }

    #[test]
    fn what_a_route_refuses_follows_from_its_form() {
        let statuses = |method: &str, path: &str| -> Vec<u16> {
            let answers = &of_routes()["paths"][path][method]["responses"];
            let all = answers.as_object().unwrap().keys();
            all.map(|status| status.parse().unwrap()).collect()
        };
        // Open to everybody: no key can be wrong.
        assert_eq!(statuses("get", "/api/health"), [200, 400, 403, 500, 503]);
        // Names a site, and has a question that may hold what cannot be.
        let schedule = statuses("get", "/api/sites/{site}/plan/schedule");
        let read = [200, 400, 401, 403, 404, 422, 429, 500, 503];
        assert_eq!(schedule, read);
        // Takes a body and stores something.
        let put = statuses("put", "/api/lan");
        assert_eq!(put, [200, 400, 401, 403, 408, 413, 422, 429, 500, 503, 507]);
        // One of its own beside.
        assert!(statuses("delete", "/api/devices/{id}").contains(&409));
    }

    #[test]
    fn no_two_types_have_one_name() {
        // Of two types with one name the second gets a number.
        let document = of_routes();
        let names = document["components"]["schemas"].as_object().unwrap();
        let all: BTreeSet<&String> = names.keys().collect();
        let twice = |name: &&&String| {
            let plain = name.trim_end_matches(|c: char| c.is_ascii_digit());
            plain != name.as_str() && all.contains(&plain.to_owned())
        };
        let twice: Vec<_> = all.iter().filter(twice).collect();
        assert!(twice.is_empty(), "rename one of each: {twice:?}");
    }

    #[test]
    fn what_is_sent_and_what_is_answered_under_one_name_is_one_type() {
        let mut given = generator(Contract::Serialize);
        let mut taken = generator(Contract::Deserialize);
        for route in ROUTES {
            operation(route, &mut taken, &mut given);
        }
        let fields = |schema: &Value| -> Vec<String> {
            let fields = schema["properties"].as_object().into_iter().flatten();
            fields.map(|(name, _)| name.clone()).collect()
        };
        let given = given.take_definitions(true);
        let mut both = 0;
        for (name, taken) in taken.take_definitions(true) {
            if let Some(given) = given.get(&name) {
                assert_eq!(fields(&taken), fields(given), "{name}: rename one of them");
                both += 1;
            }
        }
        assert!(both > 5, "{both}");
    }

    #[test]
    fn what_has_a_default_may_be_left_out_of_what_is_sent_and_stands_in_the_answer() {
        let document = of_routes();
        let required = |name: &str| -> usize {
            let schema = &document["components"]["schemas"][name];
            assert!(schema.is_object(), "{name}");
            schema["required"].as_array().map_or(0, Vec::len)
        };
        assert_eq!(
            (required("ForecastChoiceSent"), required("ForecastChoice")),
            (0, 3)
        );
        assert_eq!((required("RemindersSent"), required("Reminders")), (0, 5));
        let put = &document["paths"]["/api/settings/weather"]["put"];
        let to = |part: &Value| part["content"]["application/json"]["schema"]["$ref"].clone();
        let sent = to(&put["requestBody"]);
        assert_eq!(sent, "#/components/schemas/ForecastChoiceSent");
    }

    #[test]
    fn every_reference_leads_somewhere_and_no_schema_is_null() {
        fn walk(value: &Value, document: &Value, seen: &mut usize) {
            match value {
                Value::Object(map) => {
                    if let Some(Value::String(to)) = map.get("$ref") {
                        let there = document.pointer(to.trim_start_matches('#'));
                        assert!(there.is_some(), "{to} leads nowhere");
                        *seen += 1;
                    }
                    assert!(map.get("schema") != Some(&Value::Null), "{map:?}");
                    map.values().for_each(|v| walk(v, document, seen));
                }
                Value::Array(all) => all.iter().for_each(|v| walk(v, document, seen)),
                _ => {}
            }
        }
        let document = of_routes();
        let mut seen = 0;
        walk(&document, &document, &mut seen);
        assert!(seen > 100, "{seen}");
    }

    #[test]
    fn parameters_come_from_the_types() {
        let document = of_routes();
        let dose = &document["paths"]["/api/sites/{site}/dose"]["get"]["parameters"];
        let mut names: Vec<(&str, bool)> = dose
            .as_array()
            .unwrap()
            .iter()
            .map(|p| (p["name"].as_str().unwrap(), p["required"] == true))
            .collect();
        names[1..].sort_unstable();
        let wanted = [
            ("site", true),
            ("additive", true),
            ("match", false),
            ("mix", false),
        ];
        assert_eq!(names, wanted);
    }
}
