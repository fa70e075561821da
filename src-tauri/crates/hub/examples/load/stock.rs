//! A log of years: what the hub occupies with it, and how long a new phone takes to have it.
//!
//! The log is written by the store before the hub starts; the photos are entries of their own
//! and small files under their hashes. Entries are those of real sites: pours with batches,
//! readings and observations. A new phone fetches one site, then all of them, as
//! `ui/src/log/fetch.ts` does: entries in pages, until there are no more.

use crate::hub::{Hub, Link, NOW, entry, number, site};
use crate::{Done, Sizes, row};
use serde_json::{Value, json};
use slowstone_store::{EventLog, Hash32, HubEpoch, OpenOptions, SqliteLog, StreamId};
use slowstone_sync::Chain;
use std::path::Path;
use std::time::Instant;

const HOUR: i64 = 3_600_000;

/// Sites over which the entries are spread.
const SITES: usize = 20;

/// Makes the log, starts the hub on it, and asks.
pub fn measure(sizes: &Sizes, dir: &Path) -> Done<()> {
    std::fs::create_dir_all(dir)?;
    fill(sizes, dir)?;
    let hub = Hub::start(dir)?;
    let of = format!(
        "{} entries, {} of them photos, on {SITES} sites",
        sizes.stock, sizes.stock_photos
    );
    let megabytes = |hub: &Hub, name| hub.megabytes(name).unwrap_or(f64::NAN);
    let how = format!("{of}; {} MB then", megabytes(&hub, "VmRSS"));
    row(
        "start with a log of years",
        (hub.started.as_secs_f64(), "s"),
        None,
        &how,
    );
    let link = hub.connect();
    let newest = look(&link, 0)?;
    let mut others = 0.0;
    for n in 1..SITES {
        others += look(&link, n)? / (SITES - 1) as f64;
    }
    let again = look(&link, 0)?;
    let entries = sizes.stock / SITES;
    let beside = Some(("the next look", again));
    let what = "first look at a big site, the hub's first start";
    let how = format!(
        "{entries} entries; the {} others {others:.0} ms each; {} MB then, at most {}",
        SITES - 1,
        megabytes(&hub, "VmRSS"),
        megabytes(&hub, "VmHWM")
    );
    row(what, (newest, "ms"), beside, &how);
    let one = fetch(&link, 0)?;
    let mut all = Fetched::default();
    for n in 0..SITES {
        all.add(&fetch(&link, n)?);
    }
    drop(hub);
    let hub = Hub::start(dir)?;
    let link = hub.connect();
    let (first, again) = (look(&link, 0)?, look(&link, 0)?);
    let beside = Some(("the next look", again));
    row(
        "first look at a big site, a later start",
        (first, "ms"),
        beside,
        &format!("{entries} entries"),
    );
    row(
        "first sync of a new phone, one site",
        (one.seconds, "s"),
        None,
        &one.told(),
    );
    row(
        "first sync of a new phone, all sites",
        (all.seconds, "s"),
        None,
        &all.told(),
    );
    Ok(())
}

/// How long the first screen of a site takes, ms.
fn look(link: &Link, n: usize) -> Done<f64> {
    let begun = Instant::now();
    link.json("GET", &format!("/api/sites/{}", site(n)), b"")?;
    Ok(begun.elapsed().as_secs_f64() * 1e3)
}

/// What came, and how long it took.
#[derive(Default)]
struct Fetched {
    seconds: f64,
    pages: usize,
    bytes: usize,
    entries: usize,
}

impl Fetched {
    fn add(&mut self, other: &Self) {
        self.seconds += other.seconds;
        self.pages += other.pages;
        self.bytes += other.bytes;
        self.entries += other.entries;
    }

    fn told(&self) -> String {
        format!(
            "{} entries in {} pages, {:.1} MB",
            self.entries,
            self.pages,
            self.bytes as f64 / 1e6
        )
    }
}

fn fetch(link: &Link, n: usize) -> Done<Fetched> {
    let (begun, mut got, mut after) = (Instant::now(), Fetched::default(), 0);
    loop {
        let path = format!("/api/sites/{}/events?after={after}", site(n));
        let (status, bytes) = link.ask("GET", &path, b"")?;
        let page: Value = serde_json::from_slice(&bytes)?;
        if status != 200 {
            return Err(format!("{path}: {status} {page}").into());
        }
        got.pages += 1;
        got.bytes += bytes.len();
        got.entries += page
            .get("events")
            .and_then(Value::as_array)
            .map_or(0, Vec::len);
        after = number(&page, "next");
        if page.get("more") != Some(&json!(true)) {
            got.seconds = begun.elapsed().as_secs_f64();
            return Ok(got);
        }
    }
}

/// Writes the log and the photos.
fn fill(sizes: &Sizes, dir: &Path) -> Done<()> {
    let options = OpenOptions::new(HubEpoch::new("load")?);
    let mut log = SqliteLog::open(&dir.join("log.sqlite"), &options)?;
    let mut chain = Chain::start(StreamId::new("phone", "e1")?);
    let mut waiting = Vec::new();
    let photos = sizes.stock_photos.min(sizes.stock);
    let mut bodies = entries(sizes.stock - photos);
    for n in 0..photos {
        bodies.push(photo(dir, n)?);
    }
    for body in bodies {
        waiting.push(chain.next(body)?);
        if waiting.len() == 2000 {
            log.append(&waiting, NOW)?;
            waiting.clear();
        }
    }
    log.append(&waiting, NOW)?;
    Ok(())
}

/// `most` entries on all sites, in turn: a pour every two days, with what belongs to it.
fn entries(most: usize) -> Vec<String> {
    let mut all = Vec::with_capacity(most + 16);
    let mut push = |id: &str, n: usize, kind: &str, body: Value| {
        all.push(entry(id, n, kind, &body).to_string());
        all.len() < most
    };
    for n in 0..SITES {
        push(&site(n), n, "site", json!({"name": "A", "tz": "UTC"}));
        let mix = json!({"name": "Bag", "bag_kg": 30.0, "yield_l": 14.0, "water_min_l": 2.2,
            "water_max_l": 3.0, "cement_pct": 14.0, "class_mpa": 27.6});
        push(&format!("mix-{n:04}"), n, "mix", mix);
        push(&format!("flight-{n:04}"), n, "flight", json!({"name": "F"}));
    }
    for turn in 0.. {
        let (n, nth) = (turn % SITES, turn / SITES);
        let began = NOW - 48 * HOUR * i64::try_from(nth + 2).unwrap_or_default();
        let (step, pour) = (format!("step-{turn:06}"), format!("pour-{turn:06}"));
        let flight = json!({"flight": format!("flight-{n:04}"), "number": nth + 1,
            "width_m": 1.2, "depth_m": 0.4, "rise_m": 0.16});
        push(&step, n, "step", flight);
        let body = json!({"step": step, "mix": format!("mix-{n:04}"), "started_ms": began,
            "finished_ms": began + HOUR, "air_c": 12.0, "concrete_c": 15.0, "rh_pct": 65.0,
            "wind_kmh": 8.0, "sky": "broken"});
        let mut more = push(&pour, n, "pour", body);
        for b in 0..3 {
            let body = json!({"pour": pour, "bags": 2.0, "water_l": 5.2});
            more &= push(&format!("batch-{turn:06}-{b}"), n, "batch", body);
        }
        for r in 0..10 {
            let body = json!({"at_ms": began + 4 * HOUR * r, "air_c": 10.0});
            more &= push(&format!("read-{turn:06}-{r}"), n, "reading", body);
        }
        for (h, what) in [(4, "sheen_gone"), (7, "thumb_mark"), (50, "stripped_clean")] {
            let body = json!({"pour": pour, "at_ms": began + h * HOUR, "what": what});
            more &= push(&format!("seen-{turn:06}-{h}"), n, "observation", body);
        }
        if !more {
            break;
        }
    }
    all.truncate(most);
    all
}

/// A small file in its place, and its entry. Not waited for: this is not what is measured.
fn photo(dir: &Path, n: usize) -> Done<String> {
    let bytes = format!("photo {n} of the load").repeat(20).into_bytes();
    let hash = Hash32::of(&bytes).to_string();
    let (folder, name) = hash.split_at(2);
    let folder = dir.join("photos").join(folder);
    std::fs::create_dir_all(&folder)?;
    std::fs::write(folder.join(name), &bytes)?;
    let body = json!({"stage": "fresh", "hash": hash, "bytes": bytes.len(), "name": "a.jpg",
        "format": "jpeg", "width_px": 4000, "height_px": 3000, "taken_ms": NOW - HOUR,
        "time_source": "exif_offset", "camera": "A phone", "problems": [], "note": ""});
    Ok(entry(&format!("photo-{n:06}"), n % SITES, "photo", &body).to_string())
}
