//! Entries accepted in a second, beside raw SQLite on the same disk.
//!
//! Raw is: the same bytes (what a row of the log holds), as many to a transaction as a request
//! has entries, the same settings (WAL, synchronous FULL), one table with one index and
//! nothing else: no HTTP, no checks, no sums. Both ways take turns, since others may use the
//! machine.

use crate::hub::{Hub, NOW, reading};
use crate::{Done, Sizes, at_share, row};
use rusqlite::{Connection, params};
use slowstone_sync::{Chain, Outbox, Receipt, Record, StreamId};
use std::path::Path;
use std::time::{Duration, Instant};

/// What a phone sends at once (`MOST` in `ui/src/log/stream.ts`).
pub const BATCH: usize = 100;

/// Sites over which the entries are spread.
const SITES: usize = 10;

/// Turns of each way.
const TURNS: usize = 4;

/// Batches by one phone and by eight, then single entries by one and by 32.
pub fn measure(sizes: &Sizes, dir: &Path) -> Done<()> {
    let ways = [
        ("in batches of 100, one phone", sizes.entries, BATCH, 1),
        ("in batches of 100, 8 phones", sizes.entries, BATCH, 8),
        ("one at a time, one phone", sizes.singles, 1, 1),
        ("one at a time, 32 phones", sizes.singles, 1, 32),
    ];
    for (name, count, size, phones) in ways {
        let folder = dir.join(format!("rate-{size}-{phones}"));
        std::fs::create_dir_all(&folder)?;
        let hub = Hub::start(&folder.join("hub"))?;
        hub.connect().make_sites(SITES)?;
        let mut raw = Raw::open(&folder.join("raw.sqlite"))?;
        let (mut ours, mut theirs, mut times) = (Duration::ZERO, Duration::ZERO, Vec::new());
        for turn in 0..TURNS {
            let share = count / TURNS / phones;
            ours += crowd(&hub, turn, phones, share, size, &mut times)?;
            theirs += raw.insert(&records(&format!("raw{turn}"), share * phones)?, size)?;
        }
        let sent = (count / TURNS / phones * phones * TURNS) as f64;
        let (ours, theirs) = (sent / ours.as_secs_f64(), sent / theirs.as_secs_f64());
        let half = at_share(&mut times, 0.5);
        let most = at_share(&mut times, 0.99);
        let how = format!(
            "{sent} entries over HTTP, each answer after the disk, in {half:.1} ms (99 of 100: \
             {most:.1}); {TURNS} turns"
        );
        let what = format!("entries {name}");
        row(&what, (ours, "/s"), Some(("raw SQLite", theirs)), &how);
    }
    Ok(())
}

/// Each phone writes `share` entries and sends them, `size` at a time; how long all take.
fn crowd(
    hub: &Hub,
    turn: usize,
    phones: usize,
    share: usize,
    size: usize,
    times: &mut Vec<f64>,
) -> Done<Duration> {
    let mut boxes = Vec::new();
    for phone in 0..phones {
        let name = format!("p{turn}x{phone}");
        let mut outbox = Outbox::new(StreamId::new(&name, "e1")?);
        for n in 0..share {
            outbox.write(reading(
                &format!("{name}-read-{n:06}"),
                (phone + n) % SITES,
                NOW,
            ))?;
        }
        boxes.push(outbox);
    }
    let begun = Instant::now();
    let spent = std::thread::scope(|scope| -> Done<Vec<f64>> {
        let running: Vec<_> = boxes
            .into_iter()
            .map(|outbox| scope.spawn(move || send_all(hub, outbox, size)))
            .collect();
        let mut spent = Vec::new();
        for phone in running {
            spent.extend(phone.join().map_err(|_| "a phone's thread ended")??);
        }
        Ok(spent)
    })?;
    times.extend(spent);
    Ok(begun.elapsed())
}

/// Sends what waits; how long each answer took, in milliseconds.
fn send_all(hub: &Hub, mut outbox: Outbox, size: usize) -> Done<Vec<f64>> {
    let (link, mut spent) = (hub.connect(), Vec::new());
    let unused = StreamId::new("never", "used")?;
    while let Some(batch) = outbox.batch(size) {
        let body = serde_json::to_vec(&batch)?;
        let begun = Instant::now();
        let said = link.json("POST", "/api/streams", &body)?;
        spent.push(begun.elapsed().as_secs_f64() * 1e3);
        let receipt: Receipt = serde_json::from_value(said.clone())?;
        if receipt.accepted != batch.bodies.len() as u64 {
            return Err(format!("a batch was not taken: {said}").into());
        }
        outbox.hear(&batch, &receipt, &unused);
    }
    Ok(spent)
}

/// The same entries as records of one stream.
fn records(name: &str, count: usize) -> Done<Vec<Record>> {
    let mut chain = Chain::start(StreamId::new(name, "e1")?);
    let mut all = Vec::with_capacity(count);
    for n in 0..count {
        all.push(chain.next(reading(&format!("{name}-read-{n:06}"), n % SITES, NOW))?);
    }
    Ok(all)
}

/// SQLite alone.
struct Raw(Connection);

impl Raw {
    fn open(path: &Path) -> Done<Self> {
        let db = Connection::open(path)?;
        // As in `store/src/schema.rs`.
        db.pragma_update(None, "journal_mode", "WAL")?;
        db.pragma_update(None, "synchronous", "FULL")?;
        db.execute_batch(
            "CREATE TABLE entry (position INTEGER PRIMARY KEY AUTOINCREMENT, stream TEXT NOT NULL,
             seq INTEGER NOT NULL, prev BLOB NOT NULL, hash BLOB NOT NULL, body TEXT NOT NULL,
             received_ms INTEGER NOT NULL, UNIQUE (stream, seq)) STRICT",
        )?;
        Ok(Self(db))
    }

    /// `size` rows to a transaction; how long all take.
    fn insert(&mut self, records: &[Record], size: usize) -> Done<Duration> {
        let begun = Instant::now();
        for part in records.chunks(size) {
            let tx = self.0.transaction()?;
            {
                let mut row = tx.prepare_cached(
                    "INSERT INTO entry (stream, seq, prev, hash, body, received_ms)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                )?;
                for record in part {
                    let seq = i64::try_from(record.seq)?;
                    row.execute(params![
                        record.stream.device(),
                        seq,
                        record.prev.as_bytes(),
                        record.hash().as_bytes(),
                        record.body,
                        NOW
                    ])?;
                }
            }
            tx.commit()?;
        }
        Ok(begun.elapsed())
    }
}
