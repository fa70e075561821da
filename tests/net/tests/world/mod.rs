//! What outlives the crashes of a simulation: the hub's data folder, what the phones keep,
//! and what is believed of both.

use axum::Router;
use axum::body::Bytes;
use axum::extract::{Query, State};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use serde_json::{Value, json};
use slowstone_curing::units::AtMs;
use slowstone_hub::api::streams::{Whose, take};
use slowstone_hub::ledger::Ledger;
use slowstone_hub::trust::{Door, Role, Who};
use slowstone_store::{EventLog, Head, SqliteLog, verify};
use slowstone_sync::{Outbox, Receipt, StreamId};
use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicI64, Ordering};
use std::sync::{Arc, Mutex};
use std::time::Duration;
use tempfile::TempDir;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::time::{sleep, timeout};
use turmoil::net::{TcpListener, TcpStream};

/// Phones; the last two are copies that come to life when a phone is copied.
pub const PHONES: usize = 5;
const OWN: usize = PHONES - 2;
/// Entries that each phone logs at most.
const EACH: u32 = 60;
const PORT: u16 = 80;
const YEAR_MS: i64 = 365 * 24 * 3600 * 1000;

/// splitmix64, from memory.
pub struct Dice(pub u64);

impl Dice {
    pub fn below(&mut self, n: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        (z ^ (z >> 31)) % n
    }
}

pub fn name(phone: usize) -> String {
    format!("phone{phone}")
}

/// What one phone keeps.
struct Kept {
    outbox: Outbox,
    logged: u32,
    dice: Dice,
    /// How far its clock is off.
    skew_ms: i64,
}

pub struct World {
    dir: TempDir,
    clock: AtomicI64,
    finishing: AtomicBool,
    phones: Vec<Mutex<Option<Kept>>>,
    logged: Mutex<BTreeSet<String>>,
    /// What a phone was told is in the log, since that was last set back.
    acknowledged: Mutex<BTreeSet<String>>,
    tally: Mutex<[u32; 5]>,
}

fn entry(id: &str, kind: &str, at_ms: i64, body: &Value) -> Value {
    json!({ "id": id, "site": "site-0001", "by": "Ada", "at_ms": at_ms, "kind": kind, "body": body })
}

impl World {
    pub fn new(seed: u64) -> Arc<Self> {
        let own = |n: usize| {
            let mut dice = Dice(seed ^ (n as u64) << 40);
            let skew_ms = [0, 10 * YEAR_MS, -10 * YEAR_MS, 3000][dice.below(4) as usize];
            let stream = StreamId::new(&name(n), "e0").unwrap();
            let outbox = Outbox::new(stream);
            Kept {
                outbox,
                logged: 0,
                dice,
                skew_ms,
            }
        };
        let world = Self {
            dir: tempfile::tempdir().unwrap(),
            clock: AtomicI64::new(1_791_021_600_000),
            finishing: AtomicBool::new(false),
            phones: (0..PHONES)
                .map(|n| Mutex::new((n < OWN).then(|| own(n))))
                .collect(),
            logged: Mutex::default(),
            acknowledged: Mutex::default(),
            tally: Mutex::default(),
        };
        let mut ledger = Ledger::open(&world.path()).unwrap();
        let site = entry(
            "site-0001",
            "site",
            0,
            &json!({ "name": "Bank", "tz": "Europe/Oslo" }),
        );
        let taken = ledger.take(&[site], AtMs(0)).unwrap();
        assert_eq!(taken.refused, []);
        drop(ledger);
        world.backup();
        Arc::new(world)
    }

    fn path(&self) -> PathBuf {
        self.dir.path().join("log.sqlite")
    }

    fn backup_path(&self) -> PathBuf {
        self.dir.path().join("backup.sqlite")
    }

    pub fn backup(&self) {
        let _ = fs::remove_file(self.backup_path());
        let log = SqliteLog::open_read_only(&self.path()).unwrap();
        log.backup(&self.backup_path()).unwrap();
    }

    /// Puts the last backup in the place of the log, while the hub is down.
    pub fn restore(&self) {
        for ending in ["", "-wal", "-shm"] {
            let _ = fs::remove_file(format!("{}{ending}", self.path().display()));
        }
        fs::copy(self.backup_path(), self.path()).unwrap();
        self.acknowledged.lock().unwrap().clear();
        self.tally.lock().unwrap()[4] += 1;
    }

    pub fn jump_clock(&self, dice: &mut Dice) {
        let jump = (dice.below(20) as i64 - 10) * YEAR_MS;
        self.clock.fetch_add(jump, Ordering::Relaxed);
    }

    /// The first phone's storage appears in another one.
    pub fn copy_a_phone(&self) {
        let first = self.phones[0].lock().unwrap();
        let free = self
            .phones
            .iter()
            .skip(OWN)
            .find(|p| p.lock().unwrap().is_none());
        if let (Some(kept), Some(place)) = (first.as_ref(), free) {
            let copy = Kept {
                outbox: kept.outbox.clone(),
                logged: EACH / 2,
                dice: Dice(kept.dice.0 ^ 0x5555),
                skew_ms: 0,
            };
            *place.lock().unwrap() = Some(copy);
        }
    }

    pub fn finish(&self) {
        self.finishing.store(true, Ordering::Relaxed);
    }

    pub fn is_settled(&self) -> bool {
        self.phones.iter().all(|phone| {
            let phone = phone.lock().unwrap();
            phone.as_ref().is_none_or(|k| k.outbox.batch(1).is_none())
        }) && self.lost(&self.logged.lock().unwrap()).is_empty()
    }

    /// Which of these entries the log on the disk does not have.
    fn lost(&self, ids: &BTreeSet<String>) -> Vec<String> {
        let log = SqliteLog::open_read_only(&self.path()).unwrap();
        let all = log.read_from(0, usize::MAX).unwrap();
        let id = |body: &str| -> String {
            let entry: Value = serde_json::from_str(body).unwrap();
            entry["id"].as_str().unwrap().to_owned()
        };
        let kept: BTreeSet<String> = all.iter().map(|(_, r)| id(&r.body)).collect();
        ids.difference(&kept).cloned().collect()
    }

    pub fn check_acknowledged(&self) {
        let lost = self.lost(&self.acknowledged.lock().unwrap());
        assert!(lost.is_empty(), "acknowledged and lost: {lost:?}");
    }

    pub fn check_all(&self, seed: u64) {
        self.check_acknowledged();
        let logged = self.logged.lock().unwrap();
        let lost = self.lost(&logged);
        assert!(lost.is_empty(), "logged and lost, seed {seed}: {lost:?}");
        assert!(
            logged.len() > 60,
            "seed {seed}: only {} logged",
            logged.len()
        );
        for (n, phone) in self.phones.iter().enumerate() {
            let phone = phone.lock().unwrap();
            let waiting = phone.as_ref().map_or(0, |k| k.outbox.waiting().count());
            assert_eq!(waiting, 0, "phone {n} still waits, seed {seed}");
        }
        let log = SqliteLog::open_read_only(&self.path()).unwrap();
        assert!(verify(&log).unwrap().is_clean());
        drop(log);
        // What the hub shows: the site and each entry once, whatever stream it came by.
        let ledger = Ledger::open(&self.path()).unwrap();
        assert_eq!(ledger.book().len(), logged.len() + 1, "seed {seed}");
    }

    /// Answers heard, answers lost, forks, gaps, and backups restored.
    pub fn tally(&self) -> [u32; 5] {
        *self.tally.lock().unwrap()
    }
}

/// The hub: axum on a simulated socket, the ledger on the disk.
pub async fn serve(world: Arc<World>) -> turmoil::Result {
    let ledger = Arc::new(Mutex::new(Ledger::open(&world.path())?));
    let interface = Router::new()
        .route("/api/streams", post(receive))
        .route("/api/streams", get(heads))
        .with_state((world, ledger));
    let listener = Listener(TcpListener::bind(("0.0.0.0", PORT)).await?);
    axum::serve(listener, interface).await?;
    Ok(())
}

type Shared = State<(Arc<World>, Arc<Mutex<Ledger>>)>;

async fn receive(State((world, ledger)): Shared, bytes: Bytes) -> Response {
    let who = Who {
        device: String::new(),
        name: String::new(),
        role: Role::Helper,
        via: Door::Lan,
    };
    let now = AtMs(world.clock.load(Ordering::Relaxed));
    match take(&mut ledger.lock().unwrap(), &bytes, &who, now) {
        Ok((answer, _)) => serde_json::to_string(&answer).unwrap().into_response(),
        Err(refusal) => refusal.into_response(),
    }
}

async fn heads(State((_, ledger)): Shared, Query(whose): Query<Whose>) -> Response {
    let heads = ledger.lock().unwrap().heads_of(&whose.device).unwrap();
    json!(heads).to_string().into_response()
}

struct Listener(TcpListener);

impl axum::serve::Listener for Listener {
    type Io = TcpStream;
    type Addr = std::net::SocketAddr;

    async fn accept(&mut self) -> (Self::Io, Self::Addr) {
        loop {
            if let Ok(pair) = self.0.accept().await {
                return pair;
            }
        }
    }

    fn local_addr(&self) -> std::io::Result<Self::Addr> {
        self.0.local_addr()
    }
}

/// The body of the answer; none if it did not come.
async fn ask(method: &str, path: &str, body: &str) -> Option<Value> {
    let work = async {
        let mut socket = TcpStream::connect(("hub", PORT)).await.ok()?;
        let head = format!(
            "{method} {path} HTTP/1.1\r\nhost: hub\r\nconnection: close\r\ncontent-length: {}\r\n\r\n",
            body.len()
        );
        socket.write_all(head.as_bytes()).await.ok()?;
        socket.write_all(body.as_bytes()).await.ok()?;
        let mut answer = Vec::new();
        socket.read_to_end(&mut answer).await.ok()?;
        let text = String::from_utf8(answer).ok()?;
        let (head, body) = text.split_once("\r\n\r\n")?;
        assert!(head.starts_with("HTTP/1.1 200"), "{text}");
        serde_json::from_str(body).ok()
    };
    timeout(Duration::from_secs(3), work).await.ok()?
}

/// A phone: logs, meets, sends, waits, for ever. What it keeps is in the world.
pub async fn phone(world: Arc<World>, n: usize) -> turmoil::Result {
    let mut met = false;
    loop {
        let pause = match world.phones[n].lock().unwrap().as_mut() {
            None => 500,
            Some(kept) => {
                world.log(n, kept);
                20 + kept.dice.below(400)
            }
        };
        sleep(Duration::from_millis(pause)).await;
        let alive = world.phones[n].lock().unwrap().is_some();
        if alive && world.exchange(n, &mut met).await.is_none() {
            world.tally.lock().unwrap()[1] += 1;
            met = false;
        }
    }
}

impl World {
    fn log(&self, n: usize, kept: &mut Kept) {
        for _ in 0..kept.dice.below(5) {
            if self.finishing.load(Ordering::Relaxed) || kept.logged >= EACH {
                return;
            }
            kept.logged += 1;
            let id = format!("read-{n}-{:04}", kept.logged);
            let at = self.clock.load(Ordering::Relaxed) + kept.skew_ms;
            let body = json!({ "air_c": 9.0, "at_ms": 1_791_021_600_000_i64 });
            let body = entry(&id, "reading", at, &body);
            kept.outbox.write(body.to_string()).unwrap();
            self.logged.lock().unwrap().insert(id);
        }
    }

    /// Meets the hub if it was away, and sends a batch, sometimes twice at once. None if no
    /// answer came.
    async fn exchange(&self, n: usize, met: &mut bool) -> Option<()> {
        if !*met {
            let device = self.phones[n]
                .lock()
                .unwrap()
                .as_ref()?
                .outbox
                .stream()
                .device()
                .to_owned();
            let heads = ask("GET", &format!("/api/streams?device={device}"), "").await?;
            let heads: Vec<Head> = serde_json::from_value(heads).unwrap();
            let mut phone = self.phones[n].lock().unwrap();
            let kept = phone.as_mut()?;
            let fresh = fresh(n, kept);
            kept.outbox.meet(&heads, &fresh);
            *met = true;
        }
        let (batch, twice) = {
            let mut phone = self.phones[n].lock().unwrap();
            let kept = phone.as_mut()?;
            let most = 1 + kept.dice.below(8) as usize;
            (kept.outbox.batch(most), kept.dice.below(4) == 0)
        };
        let Some(batch) = batch else {
            // Now and then it looks whether the hub is still the one that it was.
            *met = false;
            return Some(());
        };
        let text = serde_json::to_string(&batch).unwrap();
        let life = self.tally()[4];
        let sent = ask("POST", "/api/streams", &text);
        let said = if twice {
            let (one, two) = tokio::join!(sent, ask("POST", "/api/streams", &text));
            one.or(two)?
        } else {
            sent.await?
        };
        let receipt: Receipt = serde_json::from_value(said).unwrap();
        let mut tally = self.tally.lock().unwrap();
        tally[0] += 1;
        tally[2] += u32::from(receipt.fork.is_some());
        tally[3] += u32::from(receipt.gap.is_some());
        assert!(!receipt.refused);
        // An answer that was on its way while the log was set back says nothing of it now.
        let told = if tally[4] == life {
            receipt.accepted
        } else {
            0
        };
        for body in batch.bodies.iter().take(told as usize) {
            let entry: Value = serde_json::from_str(body).unwrap();
            let id = entry["id"].as_str().unwrap().to_owned();
            self.acknowledged.lock().unwrap().insert(id);
        }
        let mut phone = self.phones[n].lock().unwrap();
        let kept = phone.as_mut()?;
        let fresh = fresh(n, kept);
        assert_eq!(kept.outbox.hear(&batch, &receipt, &fresh), None);
        Some(())
    }
}

/// A new random epoch of the phone's device.
fn fresh(n: usize, kept: &mut Kept) -> StreamId {
    let epoch = format!("e{n}x{:x}", kept.dice.below(u64::MAX));
    StreamId::new(kept.outbox.stream().device(), &epoch).unwrap()
}
