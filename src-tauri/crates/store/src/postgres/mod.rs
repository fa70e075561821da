//! The log in PostgreSQL, for a firm whose several hubs share one.
//!
//! Appending takes one lock of the database for the length of its transaction, so positions
//! are given in the order in which they become visible and have no holes; what a chain
//! demands is held by constraints and a trigger as well. A connection that broke is made
//! anew and the call tried once more, which is safe because appending is idempotent.
//! Settings: `settings.rs`; tables: `tables.rs`; whether it is encrypted: `address.rs`.

mod address;
mod settings;
mod tables;

use crate::append::{Tables, append};
use crate::error::StoreError;
use crate::log::EventLog;
use address::{Address, said};
use postgres::{Client, Config, GenericClient, Row};
use slowstone_sync::{Hash32, Head, HubEpoch, Record, StreamId, Verdict};
use std::sync::{Mutex, PoisonError};
use tables::{SCHEMA, VERSION};

const READING: &str = "reading the log";
const APPENDING: &str = "appending to the log";
const OPENING: &str = "opening the log";
/// The lock under which entries are appended: any number that nothing else uses.
const LOCK: i64 = 0x0051_0757_0E00;

/// An [`EventLog`] and [`crate::Settings`] in a PostgreSQL database.
pub struct PostgresLog {
    address: Address,
    place: String,
    client: Mutex<Option<Client>>,
    epoch: HubEpoch,
}

impl std::fmt::Debug for PostgresLog {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        // Not the password.
        f.debug_tuple("PostgresLog").field(&self.place).finish()
    }
}

impl PostgresLog {
    /// Opens the log in the database that `url` names (`postgres://…`), its tables made if
    /// need be; `fresh_epoch` is used for a log that is made now. With `?sslmode=require` or
    /// `verify-full` the connection is encrypted and the server's certificate checked, by the
    /// authorities in the file `sslrootcert` or by those of the system.
    ///
    /// # Errors
    /// If the address cannot be read, the server not reached, or the tables are of a newer
    /// version.
    pub fn open(url: &str, fresh_epoch: &HubEpoch) -> Result<Self, StoreError> {
        let address = Address::read(url)?;
        let mut log = Self {
            place: place(address.config()),
            address,
            client: Mutex::new(None),
            epoch: fresh_epoch.clone(),
        };
        let (version, epoch) = log.run(OPENING, |db| {
            let mut tx = db.transaction()?;
            tx.execute("SELECT pg_advisory_xact_lock($1)", &[&LOCK])?;
            let there: Option<String> = tx
                .query_one("SELECT to_regclass('slowstone_identity')::text", &[])?
                .get(0);
            if there.is_none() {
                tx.batch_execute(SCHEMA)?;
                tx.execute(
                    "INSERT INTO slowstone_identity VALUES (1, $1, $2)",
                    &[&VERSION, &fresh_epoch.as_str()],
                )?;
            }
            let row = tx.query_one("SELECT version, epoch FROM slowstone_identity", &[])?;
            tx.commit()?;
            Ok((row.get::<_, i64>(0), row.get::<_, String>(1)))
        })?;
        if version > VERSION {
            return Err(StoreError::Newer {
                path: log.place.clone().into(),
                found: version,
                known: VERSION,
            });
        }
        log.epoch = HubEpoch::new(&epoch).map_err(|e| log.odd(e.to_string()))?;
        Ok(log)
    }

    /// Where the log is, without the password.
    #[must_use]
    pub fn place(&self) -> &str {
        &self.place
    }

    fn odd(&self, detail: String) -> StoreError {
        StoreError::Corrupt {
            path: self.place.clone().into(),
            detail,
        }
    }

    /// Works on the connection, which is made first if there is none; once more if it was
    /// lost. On a thread of its own, because the client must not block one of Tokio's.
    fn run<T: Send>(
        &self,
        doing: &'static str,
        work: impl Fn(&mut Client) -> Result<T, postgres::Error> + Sync,
    ) -> Result<T, StoreError> {
        let go = || -> Result<Option<T>, postgres::Error> {
            let mut held = self.client.lock().unwrap_or_else(PoisonError::into_inner);
            let open = |held: &mut Option<Client>| match held {
                Some(client) if !client.is_closed() => Ok(()),
                _ => {
                    *held = Some(self.address.connect()?);
                    Ok(())
                }
            };
            open(&mut held)?;
            let first = held.as_mut().map(&work);
            match first {
                Some(Err(_)) if held.as_ref().is_some_and(Client::is_closed) => {}
                Some(done) => return done.map(Some),
                None => return Ok(None),
            }
            open(&mut held)?;
            held.as_mut().map(&work).transpose()
        };
        let done = std::thread::scope(|scope| scope.spawn(go).join());
        match done {
            Ok(Ok(Some(done))) => Ok(done),
            Ok(Err(e)) => Err(StoreError::Remote {
                place: self.place.clone(),
                doing,
                detail: said(&e),
            }),
            Ok(Ok(None)) | Err(_) => {
                Err(self.odd("the database answered what this program cannot read".into()))
            }
        }
    }
}

impl Drop for PostgresLog {
    fn drop(&mut self) {
        let client = self
            .client
            .get_mut()
            .unwrap_or_else(PoisonError::into_inner);
        if let Some(client) = client.take() {
            // It closes its connection by blocking, which a thread of Tokio may not.
            let _ = std::thread::spawn(move || drop(client)).join();
        }
    }
}

fn place(config: &Config) -> String {
    let host = match config.get_hosts().first() {
        Some(postgres::config::Host::Tcp(name)) => name.clone(),
        #[cfg(unix)]
        Some(postgres::config::Host::Unix(path)) => path.display().to_string(),
        None => "this computer".to_owned(),
    };
    let name = config.get_dbname().or(config.get_user()).unwrap_or("");
    format!("PostgreSQL database {name} on {host}")
}

/// PostgreSQL counts to 2^63 - 1; what is beyond is beyond every record.
fn number(n: u64) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}

fn whole(n: i64) -> u64 {
    u64::try_from(n).unwrap_or(0)
}

fn hash(bytes: &[u8]) -> Hash32 {
    // The table takes no other length.
    Hash32::from_bytes(bytes.try_into().unwrap_or([0; 32]))
}

/// A row as it came, read into a record once the connection is free.
fn record(row: &Row, from: usize) -> Result<Record, slowstone_sync::BadId> {
    Ok(Record {
        stream: StreamId::new(row.get(from), row.get(from + 1))?,
        seq: whole(row.get(from + 2)),
        prev: hash(row.get(from + 3)),
        body: row.get(from + 4),
    })
}

fn key_of(db: &mut impl GenericClient, stream: &StreamId) -> Result<Option<i64>, postgres::Error> {
    let ask = "SELECT id FROM slowstone_stream WHERE device = $1 AND epoch = $2";
    let row = db.query_opt(ask, &[&stream.device(), &stream.epoch()])?;
    Ok(row.map(|row| row.get(0)))
}

/// The last record of the stream with this key.
fn end_of(
    db: &mut impl GenericClient,
    stream: &StreamId,
    key: i64,
) -> Result<Option<Head>, postgres::Error> {
    let ask = "SELECT seq, hash FROM slowstone_entry WHERE stream = $1
        ORDER BY seq DESC LIMIT 1";
    let row = db.query_opt(ask, &[&key])?;
    Ok(row.map(|row| Head {
        stream: stream.clone(),
        seq: whole(row.get(0)),
        hash: hash(row.get(1)),
    }))
}

/// The tables in one transaction, the position of the last record, and when the new ones
/// came.
struct Taking<'a, C> {
    db: &'a mut C,
    position: i64,
    received_ms: i64,
}

impl<C: GenericClient> Tables for Taking<'_, C> {
    type Error = postgres::Error;

    fn key(&mut self, stream: &StreamId) -> Result<Option<i64>, postgres::Error> {
        key_of(self.db, stream)
    }

    fn head(&mut self, stream: &StreamId, key: i64) -> Result<Option<Head>, postgres::Error> {
        end_of(self.db, stream, key)
    }

    fn hash_at(&mut self, key: i64, seq: u64) -> Result<Option<Hash32>, postgres::Error> {
        let ask = "SELECT hash FROM slowstone_entry WHERE stream = $1 AND seq = $2";
        let row = self.db.query_opt(ask, &[&key, &number(seq)])?;
        Ok(row.map(|row| hash(row.get(0))))
    }

    fn add_stream(&mut self, stream: &StreamId) -> Result<i64, postgres::Error> {
        let put = "INSERT INTO slowstone_stream (device, epoch) VALUES ($1, $2) RETURNING id";
        let row = self
            .db
            .query_one(put, &[&stream.device(), &stream.epoch()])?;
        Ok(row.get(0))
    }

    fn add_entry(
        &mut self,
        key: i64,
        record: &Record,
        hash: Hash32,
    ) -> Result<(), postgres::Error> {
        self.position += 1;
        self.db.execute(
            "INSERT INTO slowstone_entry (position, stream, seq, prev, hash, body, received_ms)
             VALUES ($1, $2, $3, $4, $5, $6, $7)",
            &[
                &self.position,
                &key,
                &number(record.seq),
                &&record.prev.as_bytes()[..],
                &&hash.as_bytes()[..],
                &record.body,
                &self.received_ms,
            ],
        )?;
        Ok(())
    }
}

impl EventLog for PostgresLog {
    fn append(&mut self, records: &[Record], received_ms: i64) -> Result<Vec<Verdict>, StoreError> {
        self.run(APPENDING, |db| {
            let mut tx = db.transaction()?;
            tx.execute("SET LOCAL synchronous_commit = on", &[])?;
            tx.execute("SELECT pg_advisory_xact_lock($1)", &[&LOCK])?;
            let last = "SELECT coalesce(max(position), 0) FROM slowstone_entry";
            let mut taking = Taking {
                position: tx.query_one(last, &[])?.get(0),
                db: &mut tx,
                received_ms,
            };
            let verdicts = append(&mut taking, records)?;
            tx.commit()?;
            Ok(verdicts)
        })
    }

    fn heads(&self) -> Result<Vec<Head>, StoreError> {
        let rows = self.run(READING, |db| {
            db.query(
                "SELECT DISTINCT ON (s.device, s.epoch) s.device, s.epoch, e.seq, e.hash
                 FROM slowstone_stream s JOIN slowstone_entry e ON e.stream = s.id
                 ORDER BY s.device, s.epoch, e.seq DESC",
                &[],
            )
        })?;
        let head = |row: &Row| {
            Ok(Head {
                stream: StreamId::new(row.get(0), row.get(1))?,
                seq: whole(row.get(2)),
                hash: hash(row.get(3)),
            })
        };
        let heads: Result<Vec<_>, slowstone_sync::BadId> = rows.iter().map(head).collect();
        heads.map_err(|e| self.odd(e.to_string()))
    }

    fn head(&self, stream: &StreamId) -> Result<Option<Head>, StoreError> {
        self.run(READING, |db| match key_of(db, stream)? {
            Some(key) => end_of(db, stream, key),
            None => Ok(None),
        })
    }

    fn read_from(&self, after: u64, limit: usize) -> Result<Vec<(u64, Record)>, StoreError> {
        let (after, limit) = (number(after), number(limit as u64));
        let rows = self.run(READING, |db| {
            db.query(
                "SELECT e.position, s.device, s.epoch, e.seq, e.prev, e.body
                 FROM slowstone_entry e JOIN slowstone_stream s ON s.id = e.stream
                 WHERE e.position > $1 ORDER BY e.position LIMIT $2",
                &[&after, &limit],
            )
        })?;
        let rows = rows.iter();
        let read: Result<_, _> = rows
            .map(|row| Ok((whole(row.get(0)), record(row, 1)?)))
            .collect();
        read.map_err(|e: slowstone_sync::BadId| self.odd(e.to_string()))
    }

    fn read_stream(
        &self,
        stream: &StreamId,
        from_seq: u64,
        limit: usize,
    ) -> Result<Vec<Record>, StoreError> {
        let (from, limit) = (number(from_seq), number(limit as u64));
        let rows = self.run(READING, |db| {
            db.query(
                "SELECT s.device, s.epoch, e.seq, e.prev, e.body
                 FROM slowstone_entry e JOIN slowstone_stream s ON s.id = e.stream
                 WHERE s.device = $1 AND s.epoch = $2 AND e.seq >= $3 ORDER BY e.seq LIMIT $4",
                &[&stream.device(), &stream.epoch(), &from, &limit],
            )
        })?;
        let read: Result<_, _> = rows.iter().map(|row| record(row, 0)).collect();
        read.map_err(|e| self.odd(e.to_string()))
    }

    fn received_ms(&self, position: u64) -> Result<Option<i64>, StoreError> {
        let ask = "SELECT received_ms FROM slowstone_entry WHERE position = $1";
        let row = self.run(READING, |db| db.query_opt(ask, &[&number(position)]))?;
        Ok(row.map(|row| row.get(0)))
    }

    fn last_position(&self) -> Result<u64, StoreError> {
        let ask = "SELECT coalesce(max(position), 0) FROM slowstone_entry";
        let row = self.run(READING, |db| db.query_one(ask, &[]))?;
        Ok(whole(row.get(0)))
    }

    fn len(&self) -> Result<u64, StoreError> {
        let row = self.run(READING, |db| {
            db.query_one("SELECT count(*) FROM slowstone_entry", &[])
        })?;
        Ok(whole(row.get(0)))
    }

    fn is_shared(&self) -> bool {
        true
    }

    fn epoch(&self) -> &HubEpoch {
        &self.epoch
    }

    fn renew_epoch(&mut self, fresh: &HubEpoch) -> Result<(), StoreError> {
        self.run("storing the new epoch", |db| {
            db.execute(
                "UPDATE slowstone_identity SET epoch = $1",
                &[&fresh.as_str()],
            )
        })?;
        self.epoch = fresh.clone();
        Ok(())
    }
}
