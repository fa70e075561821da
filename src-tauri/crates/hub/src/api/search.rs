//! `GET /api/search`: records of every site by their words.
//!
//! How they are found: [`crate::search`].

use super::photos::odd_query;
use super::{Answer, Refusal, Shared};
use crate::search::{self, Found, Query as Wanted};
use axum::Json;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Query, State};
use serde::Deserialize;
use slowstone_logbook::limits::FieldError;
use slowstone_logbook::misfit::{Misfit, MisfitCode};

/// Longest question.
const MOST: usize = 200;

/// What stands behind the question mark.
#[derive(Debug, Deserialize, schemars::JsonSchema)]
pub struct Asked {
    #[serde(default)]
    q: String,
    by: Option<String>,
    kind: Option<String>,
    site: Option<String>,
}

/// `GET /api/search?q=&by=&kind=&site=`.
///
/// # Errors
/// 422 for a question that is too long.
pub async fn search(
    State(hub): Shared,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Answer<Json<Found>> {
    let Query(asked) = asked.map_err(|e| odd_query(&e))?;
    if asked.q.chars().count() > MOST {
        let why = Misfit::most(MisfitCode::TooLong, MOST as f64, "");
        return Err(Refusal::misfit(
            "too_long",
            FieldError::new("q", &asked.q, why),
        ));
    }
    let full = |x: Option<String>| x.filter(|x| !x.is_empty());
    let query = Wanted {
        words: asked.q,
        by: full(asked.by),
        kind: full(asked.kind),
        site: full(asked.site),
    };
    let found = hub
        .with_ledger(move |ledger| search::search(ledger, &query))
        .await;
    found.map(Json).ok_or_else(Refusal::fault)
}
