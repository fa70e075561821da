//! The HTTP interface as an OpenAPI 3.1 document: `GET /api/openapi.json`.
//!
//! Addresses, bodies and refusals stand in one table ([`table`]); the schemas come from the
//! Rust types themselves (`schemars`). Whom an address is for is taken from
//! [`crate::guard::rules`]. Tests hold both tables and the router together.
//!
//! Source of the format: OpenAPI Specification 3.1.0.

mod operation;
mod table;

use crate::guard::rules::{Need, RULES};
use axum::Json;
use operation::{Carries, Operation};
use schemars::generate::{Contract, SchemaGenerator, SchemaSettings};
use serde_json::{Map, Value, json};
use table::OPERATIONS;

/// Refusals that every address may give.
const ALWAYS: &[(u16, &str)] = &[
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
];

/// Refusals where a key is asked for.
const LOCKED: &[(u16, &str)] = &[
    (401, "Without a key, or with a wrong or revoked one."),
    (429, "Wrong keys were tried too often; see Retry-After."),
];

/// `GET /api/openapi.json`: this interface, described.
pub async fn get() -> Json<Value> {
    Json(document())
}

/// The whole document.
#[must_use]
pub fn document() -> Value {
    let mut given = generator(Contract::Serialize);
    let mut taken = generator(Contract::Deserialize);
    let mut paths: Map<String, Value> = Map::new();
    for operation in OPERATIONS {
        let told = operation.told(&mut taken, &mut given);
        let methods = paths
            .entry(operation.path)
            .or_insert_with(|| Value::Object(Map::new()));
        if let Some(methods) = methods.as_object_mut() {
            methods.insert(operation.method.to_lowercase(), told);
        }
    }
    let mut schemas = taken.take_definitions(true);
    schemas.extend(given.take_definitions(true));
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

impl Carries {
    /// As `content` of a request or an answer; nothing when it carries nothing.
    fn content(self, generator: &mut SchemaGenerator) -> Option<Value> {
        let schema = match self {
            Self::Nothing => return None,
            Self::Type(of) => of(generator).to_value(),
            // A slip in the text becomes `null`, which a test finds.
            Self::Written(text) => serde_json::from_str(text).unwrap_or_default(),
            Self::Media(types) => {
                let all = types.iter().map(|t| ((*t).to_owned(), json!({})));
                return Some(Value::Object(all.collect()));
            }
        };
        Some(json!({ "application/json": { "schema": schema } }))
    }
}

impl Operation {
    fn told(&self, taken: &mut SchemaGenerator, given: &mut SchemaGenerator) -> Value {
        let rule = RULES
            .iter()
            .find(|(m, p, _)| *m == self.method && *p == self.path);
        let open = rule.is_some_and(|(_, _, need)| *need == Need::Nobody);
        let mut answers = Map::new();
        let mut well = json!({ "description": "Done." });
        if let (Some(content), Some(map)) = (self.gives.content(given), well.as_object_mut()) {
            map.insert("content".into(), content);
        }
        answers.insert("200".into(), well);
        let locked: &[_] = if open { &[] } else { LOCKED };
        for (status, when) in ALWAYS.iter().chain(locked).chain(self.refuses) {
            answers.insert(status.to_string(), json!({
                "description": when,
                "content": { "application/json": { "schema": { "$ref": "#/components/schemas/Refusal" } } },
            }));
        }
        if self.path == "/api/events"
            && self.method == "POST"
            && let Some(content) = self.gives.content(given)
        {
            // The one refusal that also tells what was stored.
            let what = "Some entries were refused; the others are stored.";
            answers.insert(
                "422".into(),
                json!({ "description": what, "content": content }),
            );
        }
        let mut told = json!({
            "operationId": self.id(),
            "summary": self.what,
            "tags": [self.path.split('/').nth(2).unwrap_or_default()],
            "parameters": self.parameters(taken),
            "responses": answers,
        });
        if let Some(map) = told.as_object_mut() {
            if let Some(content) = self.takes.content(taken) {
                let body = json!({ "required": true, "content": content });
                map.insert("requestBody".into(), body);
            }
            if let (Some((_, _, Need::At(role))), true) = (rule, !open) {
                map.insert("x-role".into(), json!(role));
            }
            if open {
                map.insert("security".into(), json!([]));
            }
        }
        told
    }

    /// `get_sites_site_plan` for `GET /api/sites/{site}/plan`.
    fn id(&self) -> String {
        let path = self.path.trim_start_matches("/api/");
        let path = path.replace(['{', '}'], "").replace(['/', '-', '.'], "_");
        format!("{}_{path}", self.method.to_lowercase())
    }

    fn parameters(&self, taken: &mut SchemaGenerator) -> Vec<Value> {
        let named = self.path.split('/').filter_map(|part| {
            let name = part.strip_prefix('{')?.strip_suffix('}')?;
            Some(json!({
                "name": name, "in": "path", "required": true,
                "schema": { "type": "string", "minLength": 1 },
            }))
        });
        let mut all: Vec<Value> = named.collect();
        let Some(query) = self.query else {
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
    use std::collections::BTreeSet;

    #[test]
    fn every_route_is_described_and_nothing_else() {
        // The table of rights is held to the router by a test of its own.
        let rules: BTreeSet<_> = RULES.iter().map(|(m, p, _)| (*m, *p)).collect();
        let told: BTreeSet<_> = OPERATIONS.iter().map(|o| (o.method, o.path)).collect();
        assert_eq!(told.len(), OPERATIONS.len(), "an operation stands twice");
        let without: Vec<_> = rules.difference(&told).collect();
        assert!(
            without.is_empty(),
            "describe these in openapi/table.rs: {without:?}"
        );
        let stale: Vec<_> = told.difference(&rules).collect();
        assert!(stale.is_empty(), "these are no routes: {stale:?}");
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
        let document = document();
        let mut seen = 0;
        walk(&document, &document, &mut seen);
        assert!(seen > 100, "{seen}");
    }

    #[test]
    fn parameters_come_from_the_types() {
        let document = document();
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
