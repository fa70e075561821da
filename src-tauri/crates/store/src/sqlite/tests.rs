//! What needs the connection itself: a full disk, the guards of the tables, the settings.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

use super::{OpenOptions, SqliteLog};
use crate::error::StoreError;
use crate::log::{EventLog, Settings};
use crate::verify::verify;
use slowstone_sync::{Chain, HubEpoch, Record, StreamId, Verdict};
use std::io::Write;
use std::path::Path;

fn open(path: &Path) -> SqliteLog {
    SqliteLog::open(path, &OpenOptions::new(HubEpoch::new("h1").unwrap())).unwrap()
}

fn records(n: usize) -> Vec<Record> {
    let mut chain = Chain::start(StreamId::new("phone1", "e1").unwrap());
    let body = "x".repeat(1000);
    (0..n).map(|_| chain.next(body.clone()).unwrap()).collect()
}

#[test]
fn the_log_is_as_safe_as_promised() {
    let dir = tempfile::tempdir().unwrap();
    let log = open(&dir.path().join("log.sqlite"));
    let ask = |pragma: &str| -> String {
        log.db
            .pragma_query_value(None, pragma, |r| {
                r.get(0)
                    .or_else(|_| r.get::<_, i64>(0).map(|n| n.to_string()))
            })
            .unwrap()
    };
    assert_eq!(ask("journal_mode"), "wal");
    assert_eq!(ask("synchronous"), "2", "FULL");
    assert_eq!(ask("foreign_keys"), "1");
    let loose: i64 = log
        .db
        .query_row(
            "SELECT count(*) FROM pragma_table_list
             WHERE type = 'table' AND schema = 'main' AND strict = 0
             AND name NOT LIKE 'sqlite_%'",
            [],
            |r| r.get(0),
        )
        .unwrap();
    assert_eq!(loose, 0, "every table is STRICT");
}

/// SQLite itself says "full" here: the file may not grow any more.
#[test]
fn a_full_disk_loses_nothing_and_says_so() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("log.sqlite");
    let mut log = open(&path);
    let line = records(400);
    log.append(&line[..20], 1).unwrap();
    let pages: i64 = log
        .db
        .pragma_query_value(None, "page_count", |r| r.get(0))
        .unwrap();
    let limit = |log: &SqliteLog, n: i64| {
        log.db
            .pragma_update_and_check(None, "max_page_count", n, |r| r.get::<_, i64>(0))
            .unwrap()
    };
    limit(&log, pages + 3);
    let mut stored = 20;
    let error = loop {
        match log.append(&line[stored..stored + 10], 2) {
            Ok(verdicts) => {
                assert_eq!(verdicts, vec![Verdict::Append; 10]);
                stored += 10;
            }
            Err(e) => break e,
        }
    };
    assert!(matches!(error, StoreError::DiskFull { .. }), "{error:?}");
    let message = error.to_string();
    for word in [
        "log.sqlite",
        "disk is full",
        "stored before is safe",
        "Free some space",
    ] {
        assert!(message.contains(word), "{message}");
    }
    // All or none: nothing of the refused batch, everything that was acknowledged.
    let holds = |log: &SqliteLog| {
        let read = log.read_from(0, usize::MAX).unwrap();
        let read: Vec<_> = read.into_iter().map(|(_, r)| r).collect();
        assert_eq!(read, line[..stored]);
        assert!(verify(log).unwrap().is_clean());
        assert_eq!(log.check_file().unwrap(), Vec::<String>::new());
    };
    holds(&log);
    let big = "y".repeat(100_000);
    assert!(matches!(
        log.set("k", &big),
        Err(StoreError::DiskFull { .. })
    ));
    assert_eq!(log.get("k").unwrap(), None);
    holds(&log);
    // With room again the same hub goes on where it was.
    limit(&log, 1_000_000);
    log.append(&line[stored..], 3).unwrap();
    drop(log);
    let log = open(&path);
    assert_eq!(log.len().unwrap(), 400);
    assert!(verify(&log).unwrap().is_clean());
}

/// The system's own answer of a full device, for photos.
#[cfg(target_os = "linux")]
#[test]
fn a_full_device_is_told_from_other_failures() {
    let path = Path::new("/dev/full");
    let mut device = std::fs::OpenOptions::new().write(true).open(path).unwrap();
    let cause = device.write_all(b"x").unwrap_err();
    let error = StoreError::io(path, "the photo", cause);
    assert!(matches!(error, StoreError::DiskFull { .. }), "{error:?}");
    assert!(error.to_string().contains("no room for the photo"));
}

#[test]
fn no_program_alters_the_log_by_mistake() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("log.sqlite");
    let mut log = open(&path);
    let line = records(3);
    log.append(&line, 1).unwrap();
    // A foreign program with SQLite's own defaults.
    let db = rusqlite::Connection::open(&path).unwrap();
    let z = "zeroblob(32)";
    for attempt in [
        "UPDATE entry SET body = 'x' WHERE seq = 2",
        "UPDATE entry SET received_ms = 0",
        "DELETE FROM entry WHERE seq = 3",
        "DELETE FROM entry",
        "UPDATE stream SET device = 'other'",
        "DELETE FROM stream",
        "INSERT OR REPLACE INTO stream (id, device, epoch) VALUES (1, 'other', 'e')",
        "INSERT OR REPLACE INTO stream (device, epoch) VALUES ('phone1', 'e1')",
        &format!("INSERT OR REPLACE INTO entry VALUES (2, 1, 2, {z}, {z}, 'x', 0)"),
        &format!("INSERT OR REPLACE INTO entry VALUES (2, 1, 4, {z}, {z}, 'x', 0)"),
        &format!("INSERT OR REPLACE INTO entry VALUES (9, 1, 3, {z}, {z}, 'x', 0)"),
        &format!("INSERT INTO entry VALUES (9, 1, 5, {z}, {z}, 'a hole', 0)"),
        &format!("INSERT INTO entry VALUES (9, 1, 4, x'00', {z}, 'short hash', 0)"),
        &format!("INSERT INTO entry VALUES (9, 7, 1, {z}, {z}, 'no such stream', 0)"),
    ] {
        assert!(db.execute(attempt, []).is_err(), "{attempt}");
    }
    let read = log.read_from(0, 10).unwrap();
    let expected: Vec<_> = (1u64..).zip(line).collect();
    assert_eq!(read, expected);
    assert!(verify(&log).unwrap().is_clean());
}

#[test]
fn a_reader_that_holds_still_sees_one_moment() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("log.sqlite");
    let all = records(30);
    let mut hub = open(&path);
    hub.append(&all[..20], 0).unwrap();
    let still = SqliteLog::open_read_only(&path).unwrap();
    let moving = SqliteLog::open_read_only(&path).unwrap();
    still.hold_still().unwrap();
    hub.append(&all[20..], 0).unwrap();
    assert_eq!((still.len().unwrap(), moving.len().unwrap()), (20, 30));
    let walked = verify(&still).unwrap();
    assert!(walked.is_clean() && walked.records == 20, "{walked:?}");
}
