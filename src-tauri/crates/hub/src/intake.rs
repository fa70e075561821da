//! Photos in: bytes become a file of the store and an entry of the log, whichever way they
//! came.
//!
//! The bytes are on the disk before the entry that names them, so that no entry ever
//! names a photo that is not there. What a file says is read by [`crate::photo`]. Ways in:
//! [`crate::api::photos`] from phones and browsers, [`crate::inbox`] from a folder.

use crate::chance;
use crate::entered;
use crate::ledger::Ledger;
pub use crate::limits::MOST;
use crate::photo::facts::PhotoFacts;
use crate::photo::when::{Source, TakenAt, taken_at};
use crate::photo::{Format, photo_facts};
use crate::refusal::{Answer, Refusal};
use crate::state::Hub;
use crate::thumbs;
use axum::http::StatusCode;
use chrono_tz::Tz;
use serde_json::json;
use slowstone_curing::units::AtMs;
use slowstone_logbook::Event;
use slowstone_logbook::facts::{Fact, Filing, Photo, TimeSource};
use slowstone_logbook::view::PhotoPlace;
use slowstone_store::{Hash32, StoreError};
use std::sync::Arc;

/// What is known about a photo besides its bytes.
#[derive(Clone, Debug, Default)]
pub struct Sent {
    /// Site that it belongs to.
    pub site: String,
    /// Name of its file, with or without folders.
    pub name: String,
    /// Who sends it.
    pub by: String,
    /// The pour, if somebody said which.
    pub pour: Option<String>,
    /// The step, if somebody said which.
    pub step: Option<String>,
    /// The stage, if somebody said which.
    pub stage: Option<String>,
    /// Id for its entry; a fresh one if there is none.
    pub id: Option<String>,
    /// When it was taken up, by the phone's clock: a photo without a date of its own may
    /// have waited there for days.
    pub at: Option<AtMs>,
    /// The paired device that sends it; empty if none does.
    pub device: String,
}

/// Beginning of the settings that say which devices sent a photo.
const SENT_BY: &str = "photo-sent-by/";

/// Key of the setting that says that a device sent a photo.
fn sent_by(hash: &str, device: &str) -> String {
    format!("{SENT_BY}{hash}/{device}")
}

/// Whether this device sent these bytes: their place is no secret from it.
///
/// # Errors
/// If the log cannot be read.
pub fn was_sent_by(ledger: &Ledger, hash: &Hash32, device: &str) -> Result<bool, StoreError> {
    if device.is_empty() {
        return Ok(false);
    }
    let kept = ledger.setting(&sent_by(&hash.to_string(), device))?;
    Ok(kept.is_some())
}

/// What became of a photo.
#[derive(Clone, Debug)]
pub struct Entered {
    /// Its entry.
    pub event: String,
    /// What the entry says, and where the log put it.
    pub photo: Photo,
    /// Where that is, in names.
    pub place: PhotoPlace,
    /// How its time was found, in words.
    pub said: String,
    /// Whether the site had the same bytes already: then nothing was entered.
    pub known: bool,
    /// Whether its file was damaged or missing and is whole again.
    pub mended: bool,
}

/// What the file turned out to be.
struct Looked {
    hash: Hash32,
    bytes: u32,
    facts: PhotoFacts,
    problems: Vec<String>,
    /// Whether the log named these bytes before and they were not here.
    mended: bool,
}

/// The time zone of a site; it is refused if there is no such site.
///
/// # Errors
/// 404 for an unknown site.
pub async fn zone_of(hub: &Arc<Hub>, site: &str) -> Answer<Tz> {
    let id = site.to_owned();
    hub.with_ledger(move |ledger| zone(ledger, &id))
        .await
        .ok_or_else(Refusal::fault)?
        .ok_or_else(|| Refusal::missing("site", site))
}

/// Takes a photo in: reads what the file says, stores its bytes and enters it, unless the
/// site has it already; where it belongs, if nobody said so, the log finds by its time.
/// Watchers are told.
///
/// # Errors
/// 415 for a file that is no picture, 422 when something about it cannot be, 507 when the
/// disk is full.
pub async fn take_in(hub: &Arc<Hub>, sent: Sent, zone: Tz, bytes: Vec<u8>) -> Answer<Entered> {
    let looked = look(hub, clean(&sent.name), bytes).await?;
    let now = hub.now();
    let arrival = sent.at.filter(|at| at.0 > 0 && *at <= now).unwrap_or(now);
    let taken = taken_at(&looked.facts, zone, arrival.0);
    let site = sent.site.clone();
    let entry = Entry {
        sent,
        looked,
        taken,
        arrival,
        now,
    };
    let (shared, device) = (Arc::clone(hub), entry.sent.device.clone());
    let (done, events) = hub
        .with_ledger(move |ledger| {
            let done = entry.enter(ledger)?;
            let fresh: Vec<Event> = ledger.entry(&done.0.event).cloned().into_iter().collect();
            if !done.0.known {
                entered::note_devices(&shared.trust.devices, ledger, &device, &fresh, now)?;
            }
            Ok::<_, Refusal>(done)
        })
        .await
        .ok_or_else(Refusal::fault)??;
    if !done.known || done.mended {
        hub.tell_changed(&site, events);
    }
    Ok(done)
}

/// Whether the bytes of a photo are here as they were stored.
///
/// # Errors
/// If the disk cannot be read.
pub async fn is_whole(hub: &Arc<Hub>, photo: &Photo) -> Answer<bool> {
    let Ok(hash) = photo.hash.parse::<Hash32>() else {
        return Ok(true);
    };
    let shared = Arc::clone(hub);
    let read = tokio::task::spawn_blocking(move || shared.blobs.verify(&hash)).await;
    match read.map_err(|_| Refusal::fault())? {
        Err(StoreError::Altered { .. }) => Ok(false),
        other => Ok(other?),
    }
}

/// Puts the bytes of a photo that is damaged or missing in their place again. Watchers are
/// told.
///
/// # Errors
/// 422 if these are not the bytes of that photo, 507 when the disk is full.
pub async fn mend(hub: &Arc<Hub>, done: Entered, bytes: Vec<u8>) -> Answer<Entered> {
    let shared = Arc::clone(hub);
    let wanted = done.photo.hash.clone();
    let work = move || {
        let hash = Hash32::of(&bytes);
        if hash.to_string() != wanted {
            let text = "This is another picture than the one that is damaged here. Choose the same file again, as the camera made it.";
            let refusal = Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, "other_photo", text);
            return Err(refusal.about("hash", &wanted));
        }
        shared.blobs.put(&bytes)?;
        shared.damage.note(hash, None);
        thumbs::forget(&shared.thumbs, &hash);
        Ok(())
    };
    let put = tokio::task::spawn_blocking(work).await;
    put.map_err(|_| Refusal::fault())??;
    let site = {
        let id = done.event.clone();
        let of = move |ledger: &mut Ledger| {
            let site = ledger.book().get(&id).map(|entry| entry.site.clone())?;
            let events = ledger.book().site_len(&site);
            Some((site, events))
        };
        hub.with_ledger(of).await.flatten()
    };
    if let Some((site, events)) = site {
        hub.tell_changed(&site, events);
    }
    Ok(Entered {
        mended: true,
        ..done
    })
}

/// The photo that was entered under the id that this one was sent with, if there is one.
///
/// # Errors
/// Only by a fault.
pub async fn entered(hub: &Arc<Hub>, sent: &Sent) -> Answer<Option<Entered>> {
    let Some(id) = sent.id.clone() else {
        return Ok(None);
    };
    let site = sent.site.clone();
    let found = move |ledger: &mut Ledger| {
        let entry = ledger.book().get(&id)?;
        if entry.site != site {
            return None;
        }
        let Ok(Some(Fact::Photo(photo))) = Fact::parse(&entry.kind, &entry.body) else {
            return None;
        };
        Some(stands(ledger, &site, id, photo, String::new(), true))
    };
    hub.with_ledger(found).await.ok_or_else(Refusal::fault)
}

/// The time zone of a site that is here.
fn zone(ledger: &mut Ledger, site: &str) -> Option<Tz> {
    match &ledger.folded(site).entries.get(site)?.fact {
        Fact::Site(site) => Some(site.tz.parse().unwrap_or(Tz::UTC)),
        _ => None,
    }
}

/// The file's name without folders and control characters, as it is kept in the log.
fn clean(name: &str) -> String {
    let last = name.rsplit(['/', '\\']).next().unwrap_or_default();
    last.chars().filter(|c| !c.is_control()).take(120).collect()
}

/// Reads what the file says, looks at its pixels, and stores its bytes.
async fn look(hub: &Arc<Hub>, name: String, bytes: Vec<u8>) -> Answer<Looked> {
    let _turn = hub.decoding.acquire().await.map_err(|_| Refusal::fault())?;
    let hub = Arc::clone(hub);
    let work = move || {
        let facts = photo_facts(&name, &bytes);
        let mut problems: Vec<String> = facts.problems.iter().map(|p| p.text.clone()).collect();
        if facts.format.is_none() {
            let why = problems.first().cloned().unwrap_or_else(|| {
                "This is no photo. Send a JPEG, PNG, WebP, TIFF, HEIC or AVIF file.".to_owned()
            });
            let refusal = Refusal::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, "not_a_photo", why);
            return Err(refusal.about("name", &name));
        }
        let hash = hub.blobs.put(&bytes)?;
        let mended = hub.damage.note(hash, None).is_some();
        for text in thumbs::make_all(&hub.thumbs, &hash, &bytes) {
            if !problems.contains(&text) {
                problems.push(text);
            }
        }
        Ok(Looked {
            hash,
            bytes: u32::try_from(bytes.len()).unwrap_or(u32::MAX),
            facts,
            problems,
            mended,
        })
    };
    let done = tokio::task::spawn_blocking(work).await;
    done.map_err(|_| Refusal::fault())?
}

/// A photo that is about to be entered.
struct Entry {
    sent: Sent,
    looked: Looked,
    taken: TakenAt,
    arrival: AtMs,
    now: AtMs,
}

impl Entry {
    /// Enters the photo, unless the site has the same bytes already; says how many entries
    /// the site has now.
    fn enter(self, ledger: &mut Ledger) -> Answer<(Entered, usize)> {
        let hash = self.looked.hash.to_string();
        if !self.sent.device.is_empty() && self.looked.facts.lat.is_some() {
            ledger.remember(&sent_by(&hash, &self.sent.device), "")?;
        }
        if let Some((event, photo)) = known(ledger, &self.sent.site, &hash) {
            let said = self.taken.said;
            let done = Entered {
                mended: self.looked.mended,
                ..stands(ledger, &self.sent.site, event, photo, said, true)
            };
            return Ok((done, 0));
        }
        let photo = self.photo(hash);
        let event = match self.sent.id.as_ref().filter(|id| !id.is_empty()) {
            Some(id) => id.clone(),
            None => chance::id(self.arrival)?,
        };
        let entry = json!({
            "id": event, "site": self.sent.site, "by": self.sent.by,
            "at_ms": self.arrival, "kind": "photo", "body": photo,
        });
        let taken = ledger.take(&[entry], self.now)?;
        if let Some((_, no)) = taken.refused.into_iter().next() {
            return Err(Refusal::misfit("entry", no));
        }
        let events = ledger.book().site_len(&self.sent.site);
        let said = self.taken.said;
        let done = Entered {
            mended: self.looked.mended,
            ..stands(ledger, &self.sent.site, event, photo, said, false)
        };
        Ok((done, events))
    }

    fn photo(&self, hash: String) -> Photo {
        let (facts, at) = (&self.looked.facts, self.taken.at_ms);
        let given = |text: &Option<String>| text.clone().filter(|t| !t.is_empty());
        let pour = given(&self.sent.pour);
        let step = given(&self.sent.step).filter(|_| pour.is_none());
        let stage = given(&self.sent.stage);
        // What nobody said is left to the log, which knows more tomorrow than now.
        let filing = match (pour.is_some() || step.is_some(), &stage) {
            (true, Some(_)) => Filing::Hand,
            (true, None) => Filing::Stage,
            (false, _) => Filing::Time,
        };
        let turned = facts.orientation.is_some_and(|o| o >= 5);
        let (across, down) = if turned {
            (facts.height, facts.width)
        } else {
            (facts.width, facts.height)
        };
        let mut problems = self.looked.problems.clone();
        problems.extend(self.taken.problems.iter().map(|p| p.text.clone()));
        Photo {
            pour,
            step,
            stage: stage.unwrap_or_default(),
            filing: Some(filing),
            hash,
            bytes: self.looked.bytes,
            name: clean(&self.sent.name),
            format: facts.format.map_or("", Format::code).to_owned(),
            // A header may claim a size that no picture has; the log takes none then.
            width_px: across.filter(|n| (1..=100_000).contains(n)),
            height_px: down.filter(|n| (1..=100_000).contains(n)),
            taken_ms: AtMs(at),
            time_source: time_source(self.taken.source),
            camera: camera(facts),
            lat: facts.lat,
            lon: facts.lon,
            problems,
            note: String::new(),
        }
    }
}

/// A photo as it stands in the log: after corrections, and where it was filed. One that was
/// taken back stands as it was entered.
fn stands(
    ledger: &mut Ledger,
    site: &str,
    event: String,
    entered: Photo,
    said: String,
    known: bool,
) -> Entered {
    let found = ledger.folded(site).entries.get(&event);
    let photo = match found.map(|e| &e.fact) {
        Some(Fact::Photo(photo)) => photo.clone(),
        _ => entered,
    };
    let place = ledger.photo_place(site, &event).unwrap_or_default();
    Entered {
        event,
        photo,
        place,
        said,
        known,
        mended: false,
    }
}

/// The entry of the site that has the same bytes and was not taken back.
fn known(ledger: &mut Ledger, site: &str, hash: &str) -> Option<(String, Photo)> {
    let entries = &ledger.folded(site).entries;
    entries.iter().find_map(|(id, entry)| match &entry.fact {
        Fact::Photo(photo) if photo.hash == hash => Some((id.clone(), photo.clone())),
        _ => None,
    })
}

/// How the log says where a photo's time comes from.
#[must_use]
pub fn time_source(source: Source) -> TimeSource {
    match source {
        Source::ExifOffset => TimeSource::ExifOffset,
        Source::ExifSiteZone => TimeSource::ExifSiteZone,
        Source::XmpOffset | Source::XmpSiteZone => TimeSource::OtherDate,
        Source::Arrival => TimeSource::Arrival,
    }
}

/// The camera in words: maker and model, without saying the maker twice.
#[must_use]
pub fn camera(facts: &PhotoFacts) -> String {
    let make = facts.make.as_deref().unwrap_or_default().trim();
    let model = facts.model.as_deref().unwrap_or_default().trim();
    let words = if model.starts_with(make) {
        model.to_owned()
    } else {
        format!("{make} {model}")
    };
    let shown: String = words
        .chars()
        .filter(|c| !c.is_control())
        .take(120)
        .collect();
    shown.trim().to_owned()
}
