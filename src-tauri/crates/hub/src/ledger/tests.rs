//! A database that stores what it is given and whose answer is lost on the way.

use super::*;
use serde_json::json;
use slowstone_store::{EventLog, Head, MemoryLog, Record, Settings};

/// A shared log that loses so many answers to [`EventLog::append`].
#[derive(Debug)]
struct Losing {
    log: MemoryLog,
    answers: usize,
}

impl EventLog for Losing {
    fn append(&mut self, records: &[Record], received_ms: i64) -> Result<Vec<Verdict>, StoreError> {
        let verdicts = self.log.append(records, received_ms)?;
        if self.answers == 0 {
            return Ok(verdicts);
        }
        self.answers -= 1;
        Err(StoreError::Remote {
            place: "the database".into(),
            doing: "appending to the log",
            detail: "the connection broke".into(),
        })
    }
    fn heads(&self) -> Result<Vec<Head>, StoreError> {
        self.log.heads()
    }
    fn head(&self, stream: &StreamId) -> Result<Option<Head>, StoreError> {
        self.log.head(stream)
    }
    fn read_from(&self, after: u64, limit: usize) -> Result<Vec<(u64, Record)>, StoreError> {
        self.log.read_from(after, limit)
    }
    fn read_stream(
        &self,
        stream: &StreamId,
        from_seq: u64,
        limit: usize,
    ) -> Result<Vec<Record>, StoreError> {
        self.log.read_stream(stream, from_seq, limit)
    }
    fn received_ms(&self, position: u64) -> Result<Option<i64>, StoreError> {
        self.log.received_ms(position)
    }
    fn last_position(&self) -> Result<u64, StoreError> {
        self.log.last_position()
    }
    fn len(&self) -> Result<u64, StoreError> {
        self.log.len()
    }
    fn is_shared(&self) -> bool {
        true
    }
    fn epoch(&self) -> &HubEpoch {
        self.log.epoch()
    }
    fn renew_epoch(&mut self, fresh: &HubEpoch) -> Result<(), StoreError> {
        self.log.renew_epoch(fresh)
    }
}

impl Settings for Losing {
    fn get(&self, key: &str) -> Result<Option<String>, StoreError> {
        self.log.get(key)
    }
    fn set(&mut self, key: &str, value: &str) -> Result<(), StoreError> {
        self.log.set(key, value)
    }
    fn remove(&mut self, key: &str) -> Result<(), StoreError> {
        self.log.remove(key)
    }
    fn with_prefix(&self, prefix: &str) -> Result<Vec<(String, String)>, StoreError> {
        self.log.with_prefix(prefix)
    }
}

fn entry(id: &str, kind: &str, body: &Value) -> Value {
    json!({ "id": id, "site": "site-0001", "by": "Ada", "at_ms": 5, "kind": kind, "body": body })
}

#[test]
fn a_hub_goes_on_after_an_answer_of_the_database_was_lost() {
    let log = MemoryLog::new(HubEpoch::new("h1").unwrap());
    let log = Losing { log, answers: 1 };
    let mut ledger = Ledger::on(Box::new(log), None).unwrap();
    let site = entry("site-0001", "site", &json!({ "name": "A", "tz": "UTC" }));
    assert!(ledger.take(std::slice::from_ref(&site), AtMs(1)).is_err());
    // Somebody else logs something before the first one sends again.
    assert_eq!(ledger.catch_up().unwrap().len(), 1);
    let flight = entry("flight-01", "flight", &json!({ "name": "B" }));
    let next = ledger.take(&[flight], AtMs(2)).unwrap();
    assert_eq!((next.taken.len(), next.refused), (1, vec![]));
    let again = ledger.take(&[site], AtMs(3)).unwrap();
    assert_eq!(again.taken, ["site-0001"]);
    assert_eq!(ledger.log.len().unwrap(), 2, "stored once");
}
