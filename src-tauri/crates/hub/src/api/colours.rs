//! Colour: measuring it in a stored photo, suggesting where, and what it all says.
//!
//! The measuring is in [`crate::colour`], comparing and dosing in
//! `slowstone_logbook::view`; here addresses are read, bytes fetched and what was measured
//! is entered. A colour that cannot be trusted is refused in words and nothing is entered.

use super::photos::odd_query;
use super::{Answer, Refusal, Shared, body};
use crate::caller::Who;
use crate::chance;
use crate::colour::{CardAt, NoColour, measure_photo};
use crate::entered;
use crate::flats::{Flats, flats};
use crate::ledger::Ledger;
use crate::state::Hub;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, Request, State};
use axum::http::StatusCode;
use axum::{Extension, Json};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use slowstone_colour::Lab;
use slowstone_colour::measure::{Measured, Rect};
use slowstone_logbook::facts::{Fact, Wetness};
use slowstone_logbook::view::colour::ColoursView;
use slowstone_logbook::view::dose::{AskedDose, DoseView};
use slowstone_store::Hash32;
use std::sync::Arc;

/// Most bytes of what is marked.
const MOST: usize = 1 << 20;

/// What the colours are held against.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct Against {
    against: Option<String>,
}

/// `GET /api/sites/{site}/colours?against=POUR`.
///
/// # Errors
/// 404 if there is no such site.
pub async fn one(
    State(hub): Shared,
    Path(site): Path<String>,
    asked: Result<Query<Against>, QueryRejection>,
) -> Answer<Json<ColoursView>> {
    let Query(asked) = asked.map_err(|e| odd_query(&e))?;
    let (now, id) = (hub.now(), site.clone());
    hub.with_site(&site, move |book| {
        book.colours_view(&id, asked.against.as_deref(), now)
    })
    .await
    .ok_or_else(Refusal::fault)?
    .map(Json)
    .ok_or_else(|| Refusal::missing("site", &site))
}

/// Which curve is asked for.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct Dosing {
    /// The additive, or two with a comma between them.
    additive: String,
    mix: Option<String>,
    /// The pour or step to match.
    #[serde(rename = "match")]
    matching: Option<String>,
}

/// `GET /api/sites/{site}/dose?additive=ID[,ID]&mix=ID&match=POUR`.
///
/// # Errors
/// 404 if there is no such site, additive or mix.
pub async fn dose(
    State(hub): Shared,
    Path(site): Path<String>,
    asked: Result<Query<Dosing>, QueryRejection>,
) -> Answer<Json<DoseView>> {
    let Query(asked) = asked.map_err(|e| odd_query(&e))?;
    let given = |id: String| (!id.is_empty()).then_some(id);
    let named = asked.additive.clone();
    let asked = AskedDose {
        additives: asked.additive.split(',').map(str::to_owned).collect(),
        mix: asked.mix.and_then(given),
        matching: asked.matching.and_then(given),
    };
    let of = site.clone();
    hub.with_site(&site, move |book| book.dose_view(&of, &asked))
        .await
        .ok_or_else(Refusal::fault)?
        .map(Json)
        .ok_or_else(|| Refusal::missing("additive with this mix", &named))
}

/// A card in the photo.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CardMarked {
    card: String,
    rect: [u32; 4],
}

/// What is to be measured.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Marked {
    by: String,
    id: Option<String>,
    pour: Option<String>,
    patch: [u32; 4],
    references: Vec<CardMarked>,
    state: Option<Wetness>,
}

/// What was measured and entered.
#[derive(Debug, Serialize, JsonSchema)]
pub struct MeasuredNow {
    /// The entry.
    event: String,
    /// What it says.
    colour: Value,
}

/// What the log knows of what is to be measured.
struct Known {
    hash: String,
    cards: Vec<[f64; 3]>,
}

/// `POST /api/sites/{site}/photos/{photo}/colour`: measures and enters it. The photo goes
/// by the id of its entry; rectangles are in its pixels as displayed. With the id of a
/// colour that is entered already it is that one: a phone that did not hear asks again.
///
/// # Errors
/// 404 if there is no such photo or card, 422 if the colour cannot be measured or trusted,
/// or something about it cannot be.
pub async fn measure(
    State(hub): Shared,
    Extension(who): Extension<Who>,
    Path((site, photo)): Path<(String, String)>,
    request: Request,
) -> Answer<Json<MeasuredNow>> {
    let bytes = body(request, MOST).await?;
    let marked: Marked = serde_json::from_slice(&bytes).map_err(|e| {
        let text = format!("What was marked cannot be read ({e}). Load the page again.");
        Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, "unreadable", text)
    })?;
    if let Some(done) = entered_before(&hub, &site, marked.id.as_deref()).await? {
        return Ok(Json(done));
    }
    let known = {
        let (site, photo) = (site.clone(), photo.clone());
        let ids: Vec<String> = marked.references.iter().map(|r| r.card.clone()).collect();
        hub.with_ledger(move |ledger| known(ledger, &site, &photo, &ids))
            .await
            .ok_or_else(Refusal::fault)??
    };
    let cards: Vec<CardAt> = marked
        .references
        .iter()
        .zip(&known.cards)
        .map(|(seen, lab)| CardAt {
            rect: rect(seen.rect),
            lab: Lab::from_array(*lab),
            sd: None,
        })
        .collect();
    let patch = rect(marked.patch);
    let work = move |bytes: &[u8]| measure_photo(bytes, patch, &cards);
    let measured = with_bytes(&hub, &known.hash, &photo, work)
        .await?
        .map_err(refused)?;
    enter(&hub, who, (site, photo), marked, &known.cards, &measured).await
}

/// `GET /api/sites/{site}/photos/{photo}/patches`: flat places, and the size of the photo
/// in which rectangles are counted.
///
/// # Errors
/// 404 if there is no such photo, 415 if it gives no pixels.
pub async fn patches(
    State(hub): Shared,
    Path((site, photo)): Path<(String, String)>,
) -> Answer<Json<Flats>> {
    let known = {
        let photo = photo.clone();
        hub.with_ledger(move |ledger| known(ledger, &site, &photo, &[]))
            .await
            .ok_or_else(Refusal::fault)??
    };
    with_bytes(&hub, &known.hash, &photo, flats)
        .await?
        .map(Json)
        .map_err(|e| {
            let status = StatusCode::UNSUPPORTED_MEDIA_TYPE;
            Refusal::new(status, "no_picture", e.to_string())
        })
}

fn rect([x0, y0, x1, y1]: [u32; 4]) -> Rect {
    Rect { x0, y0, x1, y1 }
}

fn known(ledger: &mut Ledger, site: &str, photo: &str, ids: &[String]) -> Answer<Known> {
    let sum = ledger.folded(site);
    let Some(Fact::Photo(of)) = sum.entries.get(photo).map(|e| &e.fact) else {
        return Err(Refusal::missing("photo", photo));
    };
    let card = |id: &String| match sum.entries.get(id).map(|e| &e.fact) {
        Some(Fact::Card(card)) => Ok(card.lab_d65),
        _ => Err(Refusal::missing("reference card", id)),
    };
    Ok(Known {
        hash: of.hash.clone(),
        cards: ids.iter().map(card).collect::<Answer<_>>()?,
    })
}

/// Works on the bytes of a photo, one of few at once: pixels take a lot of memory.
async fn with_bytes<T: Send + 'static>(
    hub: &Arc<Hub>,
    hash: &str,
    photo: &str,
    work: impl FnOnce(&[u8]) -> T + Send + 'static,
) -> Answer<T> {
    let missing = || Refusal::missing("photo", photo);
    let hash: Hash32 = hash.parse().map_err(|_| missing())?;
    let _turn = hub.decoding.acquire().await.map_err(|_| Refusal::fault())?;
    let hub = Arc::clone(hub);
    let all = move || Ok::<_, Refusal>(hub.blobs.get(&hash)?.map(|bytes| work(&bytes)));
    let done = tokio::task::spawn_blocking(all).await;
    done.map_err(|_| Refusal::fault())??.ok_or_else(missing)
}

/// The colour that was entered under this id, if there is one.
async fn entered_before(
    hub: &Arc<Hub>,
    site: &str,
    id: Option<&str>,
) -> Answer<Option<MeasuredNow>> {
    let Some(id) = id.map(str::to_owned) else {
        return Ok(None);
    };
    let site = site.to_owned();
    let found = move |ledger: &mut Ledger| {
        let entry = ledger.book().get(&id)?;
        (entry.site == site && entry.kind == "colour").then(|| MeasuredNow {
            colour: Value::Object(entry.body.clone()),
            event: id,
        })
    };
    hub.with_ledger(found).await.ok_or_else(Refusal::fault)
}

fn refused(why: NoColour) -> Refusal {
    let text = why.to_string();
    let refusal = |code| Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, code, text);
    match &why {
        NoColour::Picture(_) => refusal("no_picture"),
        NoColour::Outside { which, .. } => refusal("outside").about(which, ""),
        NoColour::Refused(why) => refusal("no_colour").about("why", why.code()),
    }
}

async fn enter(
    hub: &Arc<Hub>,
    who: Who,
    (site, photo): (String, String),
    marked: Marked,
    cards: &[[f64; 3]],
    measured: &Measured,
) -> Answer<Json<MeasuredNow>> {
    let now = hub.now();
    let id = match marked.id {
        Some(id) => id,
        None => chance::word(20)?,
    };
    let references: Vec<Value> = marked
        .references
        .iter()
        .zip(cards)
        .map(|(seen, lab)| json!({"card": seen.card, "rect": seen.rect, "lab_d65": lab}))
        .collect();
    let mut colour = json!({
        "photo": photo,
        "patch": marked.patch,
        "references": references,
        "lab_d65": measured.lab.to_array(),
        "sd_lab": measured.sd,
        "own_sd_lab": measured.parts.own(),
        "warnings": measured.warnings,
        "note": "",
    });
    if let Some(map) = colour.as_object_mut() {
        if let Some(pour) = marked.pour {
            map.insert("pour".into(), pour.into());
        }
        if let Some(state) = marked.state {
            map.insert("state".into(), json!(state));
        }
    }
    let entry = json!({
        "id": id, "site": site, "by": marked.by, "at_ms": now, "kind": "colour",
        "body": colour,
    });
    let (of, shared) = (site.clone(), Arc::clone(hub));
    let (taken, events) = hub
        .with_ledger(move |ledger| {
            let taken = ledger.take(&[entry], now)?;
            let devices = &shared.trust.devices;
            entered::note_devices(devices, ledger, &who.device, &taken.fresh, now)?;
            Ok::<_, Refusal>((taken, ledger.book().site_len(&of)))
        })
        .await
        .ok_or_else(Refusal::fault)??;
    if let Some((_, no)) = taken.refused.into_iter().next() {
        return Err(Refusal::misfit("entry", no));
    }
    hub.tell_changed(&site, events);
    Ok(Json(MeasuredNow { event: id, colour }))
}
