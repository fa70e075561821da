//! A hub that is killed in the middle of its work, again and again: nothing that it
//! acknowledged is lost, and what it leaves behind holds.
//!
//! Twenty phones send batches of their streams, single entries and photos as fast as they are
//! answered, until SIGKILL comes at a random moment, in some rounds while the hub is still
//! starting. Then the log is read without the hub; a phone that heard no answer sends the
//! same again in the next round. The seed is printed; `SLOWSTONE_SEED` repeats it, and
//! `SLOWSTONE_KILLS` asks for more kills. Killing a process proves nothing about a
//! power cut: for that, each answer waits for the disk (`store/src/sqlite`).

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(unix)]

mod running;

use running::{Hub, event, said, slowstone, the_site};
use serde_json::{Value, json};
use slowstone_store::{BlobStore, EventLog, FolderBlobs, Hash32, SqliteLog};
use slowstone_sync::{Outbox, Receipt, StreamId};
use std::collections::BTreeMap;
use std::path::Path;
use std::process::Stdio;
use std::time::{Duration, Instant};

/// Clients at once.
const CLIENTS: usize = 20;

/// Kills when nobody asks for more.
const KILLS: u64 = 40;

/// After so many kills everything is looked through, as after the last.
const LOOK: u64 = 10;

/// The longest time before the kill, in milliseconds.
const LONGEST: u64 = 600;

/// splitmix64, from memory.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn below(&mut self, n: u64) -> u64 {
        self.next() % n
    }
}

fn asked(name: &str) -> Option<u64> {
    std::env::var(name).ok()?.parse().ok()
}

/// A photo that takes no time to look at: this is about storing.
fn small_picture() -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    let grey = image::RgbImage::from_pixel(64, 48, image::Rgb([120, 118, 110]));
    grey.write_to(&mut bytes, image::ImageFormat::Jpeg).unwrap();
    bytes.into_inner()
}

/// What a client was told is stored.
#[derive(Default)]
struct Told {
    entries: BTreeMap<String, Value>,
    photos: Vec<(String, Hash32)>,
}

/// One client: sends until the hub is gone.
struct Client {
    base: String,
    token: String,
    agent: ureq::Agent,
    dice: Dice,
    name: String,
    picture: Vec<u8>,
    outbox: Outbox,
}

/// A phone that has written nothing yet.
fn phone(n: usize) -> Outbox {
    Outbox::new(StreamId::new(&format!("phone{n}"), "e1").unwrap())
}

impl Client {
    fn new(hub: &Hub, round: u64, n: u64, seed: u64, outbox: Outbox) -> Self {
        let config = ureq::Agent::config_builder()
            .timeout_global(Some(Duration::from_secs(20)))
            .http_status_as_error(false);
        Self {
            base: hub.base.clone(),
            token: hub.token.clone(),
            agent: config.build().into(),
            dice: Dice(seed ^ (round << 32) ^ n),
            name: format!("{round:03}-{n}"),
            picture: small_picture(),
            outbox,
        }
    }

    /// The answer; none if the hub was gone before it was whole.
    fn post(&self, path: &str, body: &[u8]) -> Option<Value> {
        let mut answer = self
            .agent
            .post(format!("{}{path}", self.base))
            .header("authorization", format!("Bearer {}", self.token))
            .send(body)
            .ok()?;
        let said: Value = answer.body_mut().read_json().ok()?;
        assert_eq!(answer.status().as_u16(), 200, "{said}");
        Some(said)
    }

    fn send_until_it_dies(mut self) -> (Told, Outbox) {
        let mut told = Told::default();
        for turn in 0.. {
            let sent = match self.dice.below(5) {
                0 => self.photo(turn, &mut told),
                1 => self.entries(turn, &mut told),
                _ => self.batch(turn, &mut told),
            };
            if sent.is_none() {
                break;
            }
        }
        (told, self.outbox)
    }

    fn readings(&mut self, turn: u64) -> Vec<Value> {
        let many = 1 + self.dice.below(12);
        (0..many)
            .map(|n| {
                let id = format!("r-{}-{turn:05}-{n:02}", self.name);
                let note = "x".repeat(self.dice.below(400) as usize);
                let at = 1_791_021_600_000_i64 + self.dice.below(1_000_000) as i64;
                event(
                    &id,
                    "reading",
                    json!({"air_c": 9.5, "at_ms": at, "note": note}),
                )
            })
            .collect()
    }

    /// Writes into the phone's own stream and sends what waits, also from before a kill.
    fn batch(&mut self, turn: u64, told: &mut Told) -> Option<()> {
        for event in self.readings(turn) {
            self.outbox.write(event.to_string()).unwrap();
        }
        while let Some(batch) = self.outbox.batch(50) {
            let sent = serde_json::to_vec(&batch).unwrap();
            let said = self.post("/api/streams", &sent)?;
            let receipt: Receipt = serde_json::from_value(said).unwrap();
            let all = batch.bodies.len() as u64;
            assert_eq!(receipt.accepted, all, "{receipt:?}");
            for body in &batch.bodies {
                let event: Value = serde_json::from_str(body).unwrap();
                let id = event["id"].as_str().unwrap().to_owned();
                told.entries.insert(id, event);
            }
            let fresh = StreamId::new("never", "used").unwrap();
            assert_eq!(self.outbox.hear(&batch, &receipt, &fresh), None);
        }
        Some(())
    }

    /// Single entries without a stream, as other programs send them.
    fn entries(&mut self, turn: u64, told: &mut Told) -> Option<()> {
        let events = self.readings(turn);
        let body = json!({ "events": events }).to_string();
        let said = self.post("/api/events", body.as_bytes())?;
        assert_eq!(said["refused"], json!([]));
        for event in events {
            let id = event["id"].as_str().unwrap().to_owned();
            told.entries.insert(id, event);
        }
        Some(())
    }

    fn photo(&mut self, turn: u64, told: &mut Told) -> Option<()> {
        let id = format!("p-{}-{turn:05}", self.name);
        let tail = vec![turn as u8; 1 + self.dice.below(20_000) as usize];
        let bytes = [&self.picture[..], self.name.as_bytes(), &tail].concat();
        let path = format!("/api/sites/site-0001/photos?by=Ada&name=a.jpg&id={id}");
        let said = self.post(&path, &bytes)?;
        let hash = Hash32::of(&bytes);
        assert_eq!(said["photo"]["hash"], json!(hash));
        told.photos
            .push((said["event"].as_str().unwrap().to_owned(), hash));
        Some(())
    }
}

/// Reads what the dead hub has left and holds it against everything it ever acknowledged.
fn nothing_is_lost(dir: &Path, told: &Told, seed: u64, round: u64) {
    let log = SqliteLog::open_read_only(&dir.join("log.sqlite")).unwrap();
    let mut kept = BTreeMap::new();
    let mut after = 0;
    loop {
        let page = log.read_from(after, 1000).unwrap();
        let Some((last, _)) = page.last() else { break };
        after = *last;
        for (_, record) in page {
            let entry: Value = serde_json::from_str(&record.body).unwrap();
            let id = entry["id"].as_str().unwrap().to_owned();
            assert!(
                kept.insert(id, entry).is_none(),
                "twice; seed {seed}, round {round}"
            );
        }
    }
    for (id, sent) in &told.entries {
        let entry = kept.get(id);
        assert_eq!(
            entry,
            Some(sent),
            "{id} is lost; seed {seed}, round {round}"
        );
    }
    let blobs = FolderBlobs::open_existing(&dir.join("photos")).unwrap();
    for (id, hash) in &told.photos {
        let entry = kept.get(id).map(|e| &e["body"]["hash"]);
        assert_eq!(
            entry,
            Some(&json!(hash)),
            "{id} is lost; seed {seed}, round {round}"
        );
        assert!(
            blobs.verify(hash).unwrap(),
            "{id}; seed {seed}, round {round}"
        );
    }
    // What was not acknowledged may be there, but only whole: `verify` says so.
    let looked = said(&["verify", "--data", dir.to_str().unwrap()]);
    assert_eq!(looked.status, 0, "seed {seed}, round {round}: {looked:?}");
}

/// Kills a hub that has not answered yet.
fn killed_while_starting(dir: &Path, after: Duration) {
    let mut child = slowstone()
        .args(["hub", "--port", "0", "--empty", "--data"])
        .arg(dir)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    std::thread::sleep(after);
    child.kill().unwrap();
    child.wait().unwrap();
}

#[test]
fn nothing_acknowledged_is_lost_however_often_it_is_killed() {
    let seed = asked("SLOWSTONE_SEED").unwrap_or_else(|| u64::from(std::process::id()));
    let kills = asked("SLOWSTONE_KILLS").unwrap_or(KILLS);
    println!("SLOWSTONE_SEED={seed} SLOWSTONE_KILLS={kills}");
    let mut dice = Dice(seed);
    let dir = tempfile::tempdir().unwrap();
    let mut told = Told::default();
    let begun = Instant::now();
    let mut phones: Vec<Outbox> = (0..CLIENTS).map(phone).collect();
    for round in 0..kills {
        if dice.below(4) == 0 {
            killed_while_starting(dir.path(), Duration::from_millis(dice.below(150)));
        }
        let hub = Hub::start(dir.path(), &["--empty"]);
        if round == 0 {
            running::log(&hub, json!([the_site()]));
            told.entries.insert("site-0001".to_owned(), the_site());
        }
        let clients: Vec<_> = (0..)
            .zip(phones.drain(..))
            .map(|(n, outbox)| Client::new(&hub, round, n, seed, outbox))
            .map(|client| std::thread::spawn(move || client.send_until_it_dies()))
            .collect();
        std::thread::sleep(Duration::from_millis(dice.below(LONGEST)));
        hub.signal("KILL");
        for client in clients {
            let (more, outbox) = client.join().unwrap();
            phones.push(outbox);
            told.entries.extend(more.entries);
            told.photos.extend(more.photos);
        }
        assert_eq!(hub.end().0, None, "ended by the signal");
        if round % LOOK == LOOK - 1 || round + 1 == kills {
            nothing_is_lost(dir.path(), &told, seed, round);
        }
    }
    // It still goes on as if nothing had been.
    let hub = Hub::start(dir.path(), &["--empty"]);
    let events = hub.get("/api/sites/site-0001")["events"].as_u64().unwrap();
    assert!(events >= (told.entries.len() + told.photos.len()) as u64);
    let load = (told.entries.len() as u64, told.photos.len() as u64);
    assert!(load.0 > kills && load.1 > 0, "no load: {load:?}");
    hub.stop();
    println!(
        "{kills} kills, {} entries and {} photos acknowledged, none lost, {:?}",
        told.entries.len(),
        told.photos.len(),
        begun.elapsed()
    );
}

#[test]
fn a_backup_that_is_killed_leaves_the_earlier_one_whole() {
    let dir = tempfile::tempdir().unwrap();
    let (data, to) = (dir.path().join("data"), dir.path().join("copy"));
    let hub = Hub::start(&data, &["--empty"]);
    running::log(&hub, json!([the_site()]));
    let first = said(&[
        "backup",
        to.to_str().unwrap(),
        "--data",
        data.to_str().unwrap(),
    ]);
    assert_eq!(first.status, 0, "{first:?}");
    let seed = asked("SLOWSTONE_SEED").unwrap_or_else(|| u64::from(std::process::id()));
    println!("SLOWSTONE_SEED={seed}");
    let mut dice = Dice(seed);
    let client = Client::new(&hub, 0, 0, seed, phone(0));
    let sending = std::thread::spawn(move || client.send_until_it_dies());
    for round in 0..15 {
        let mut child = slowstone()
            .arg("backup")
            .arg(&to)
            .arg("--data")
            .arg(&data)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_millis(dice.below(120)));
        child.kill().unwrap();
        child.wait().unwrap();
        let looked = said(&["verify", "--data", to.to_str().unwrap()]);
        assert_eq!(looked.status, 0, "seed {seed}, round {round}: {looked:?}");
    }
    // And one that is left in peace, under load, is whole and has tidied up.
    let last = said(&[
        "backup",
        to.to_str().unwrap(),
        "--data",
        data.to_str().unwrap(),
    ]);
    assert_eq!(last.status, 0, "{last:?}");
    hub.signal("KILL");
    sending.join().unwrap();
    hub.end();
    let new = dir.path().join("new");
    let back = said(&[
        "restore",
        to.to_str().unwrap(),
        "--data",
        new.to_str().unwrap(),
    ]);
    assert_eq!(back.status, 0, "{back:?}");
    assert_eq!(said(&["verify", "--data", new.to_str().unwrap()]).status, 0);
    let mut left: Vec<_> = std::fs::read_dir(&to)
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    left.sort();
    assert_eq!(left, ["backup.json", "hub.lock", "log.sqlite", "photos"]);
}
