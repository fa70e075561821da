//! One suite for every log: what holds for one engine holds for all.
//!
//! A new engine is added to `engines!`; files in trouble are in `file_trouble.rs`.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use proptest::prelude::*;
use slowstone_store::{
    EventLog, HubEpoch, MemoryLog, OpenOptions, Settings, SqliteLog, StreamId, Verdict, verify,
};
use slowstone_sync::{Chain, Record};

#[cfg(all(unix, feature = "firm"))]
mod database;
#[cfg(all(unix, feature = "firm"))]
use slowstone_store::PostgresLog;

fn epoch(text: &str) -> HubEpoch {
    HubEpoch::new(text).unwrap()
}

fn memory() -> ((), MemoryLog) {
    ((), MemoryLog::new(epoch("h1")))
}

fn sqlite() -> (tempfile::TempDir, SqliteLog) {
    let dir = tempfile::tempdir().unwrap();
    let options = OpenOptions::new(epoch("h1"));
    let log = SqliteLog::open(&dir.path().join("log.sqlite"), &options).unwrap();
    (dir, log)
}

/// Every check below, for every engine.
macro_rules! engines {
    ($($check:ident),+ $(,)?) => {
        mod on_memory { $(#[test] fn $check() { let (_dir, mut log) = super::memory(); super::$check(&mut log); })+ }
        /// One server for all of them, a database for each.
        #[cfg(all(unix, feature = "firm"))]
        #[test]
        fn on_postgres() {
            let Some(server) = database::Server::start() else { return };
            $({
                let url = server.database(stringify!($check));
                $check(&mut PostgresLog::open(&url, &epoch("h1")).unwrap());
            })+
            two_hubs_write_one_chain(&server);
            goes_on_when_the_server_comes_back(&server);
        }
        mod on_sqlite { $(#[test] fn $check() { let (_dir, mut log) = super::sqlite(); super::$check(&mut log); })+ }
    };
}
engines!(
    starts_empty,
    appends_and_reads_back,
    answers_again_the_same,
    reports_gaps_forks_and_bad_ones_and_takes_the_rest,
    keeps_positions_across_streams,
    reads_in_pages,
    renews_its_epoch,
    keeps_any_text,
    remembers_settings,
);

fn records(device: &str, n: usize) -> Vec<Record> {
    let mut chain = Chain::start(StreamId::new(device, "e1").unwrap());
    (0..n)
        .map(|i| chain.next(format!("{{\"n\":{i}}}")).unwrap())
        .collect()
}

fn all(log: &dyn EventLog) -> Vec<Record> {
    let read = log.read_from(0, usize::MAX).unwrap();
    read.into_iter().map(|(_, r)| r).collect()
}

fn starts_empty(log: &mut dyn EventLog) {
    assert!(log.is_empty().unwrap());
    assert_eq!((log.len().unwrap(), log.last_position().unwrap()), (0, 0));
    assert_eq!(log.heads().unwrap(), []);
    assert_eq!(log.read_from(0, 10).unwrap(), []);
    assert_eq!(log.append(&[], 0).unwrap(), []);
    let nobody = StreamId::new("nobody", "e1").unwrap();
    assert_eq!(log.head(&nobody).unwrap(), None);
    assert_eq!(log.read_stream(&nobody, 1, 10).unwrap(), []);
    assert_eq!(log.received_ms(1).unwrap(), None);
    assert!(verify(log).unwrap().is_clean());
}

fn appends_and_reads_back(log: &mut dyn EventLog) {
    let line = records("phone1", 3);
    assert_eq!(
        log.append(&line, 1234).unwrap(),
        [const { Verdict::Append }; 3]
    );
    assert_eq!(all(log), line);
    assert_eq!(log.len().unwrap(), 3);
    assert!(!log.is_empty().unwrap());
    assert_eq!(log.heads().unwrap(), [line[2].head()]);
    assert_eq!(log.head(&line[0].stream).unwrap(), Some(line[2].head()));
    let last = log.last_position().unwrap();
    assert_eq!(log.received_ms(last).unwrap(), Some(1234));
    let report = verify(log).unwrap();
    assert!(report.is_clean());
    assert_eq!((report.records, report.streams), (3, 1));
}

fn answers_again_the_same(log: &mut dyn EventLog) {
    let line = records("phone1", 4);
    log.append(&line[..3], 1).unwrap();
    let again = log.append(&line, 2).unwrap();
    let (a, n) = (Verdict::Already, Verdict::Append);
    assert_eq!(again, [a.clone(), a.clone(), a.clone(), n]);
    // Twice in one message is once in the log.
    let other = records("phone2", 1);
    let twice = log
        .append(&[other[0].clone(), other[0].clone()], 3)
        .unwrap();
    assert_eq!(twice, [Verdict::Append, a]);
    assert_eq!(log.len().unwrap(), 5);
    // The first arrival counts.
    assert_eq!(log.received_ms(1).unwrap(), Some(1));
}

fn reports_gaps_forks_and_bad_ones_and_takes_the_rest(log: &mut dyn EventLog) {
    let (line, other) = (records("phone1", 5), records("phone2", 1));
    log.append(&line[..3], 1).unwrap();
    let mut fork = Chain::resume(line[0].head());
    let (mut forked, mut late) = (fork.next("{\"x\":1}").unwrap(), line[3].clone());
    late.prev = forked.hash();
    let mut bad = line[4].clone();
    bad.body.clear();
    let verdicts = log
        .append(
            &[
                forked.clone(),
                late.clone(),
                line[4].clone(),
                bad,
                other[0].clone(),
            ],
            2,
        )
        .unwrap();
    assert_eq!(verdicts[0], Verdict::Fork { seq: 2 });
    assert_eq!(verdicts[1], Verdict::Fork { seq: 3 });
    assert_eq!(verdicts[2], Verdict::Gap { have: 3 });
    assert!(matches!(&verdicts[3], Verdict::Bad { reason } if reason.contains("empty")));
    assert_eq!(verdicts[4], Verdict::Append);
    assert_eq!(all(log), [&line[..3], &other[..]].concat());
    // A fork at the very end of the stream, and at its beginning.
    forked.seq = 3;
    assert_eq!(
        log.append(&[forked], 3).unwrap(),
        [Verdict::Fork { seq: 3 }]
    );
    let mut first = line[0].clone();
    first.body.push(' ');
    assert_eq!(log.append(&[first], 3).unwrap(), [Verdict::Fork { seq: 1 }]);
    assert!(verify(log).unwrap().is_clean());
}

fn keeps_positions_across_streams(log: &mut dyn EventLog) {
    let (a, b) = (records("phone2", 3), records("phone1", 3));
    for (x, y) in a.iter().zip(&b) {
        log.append(std::slice::from_ref(x), 0).unwrap();
        log.append(&[y.clone(), x.clone()], 0).unwrap();
    }
    let read = log.read_from(0, 100).unwrap();
    assert!(read.windows(2).all(|w| w[0].0 < w[1].0), "positions grow");
    let expected: Vec<_> = a
        .iter()
        .zip(&b)
        .flat_map(|(x, y)| [x, y])
        .cloned()
        .collect();
    assert_eq!(all(log), expected);
    assert_eq!(log.last_position().unwrap(), read[5].0);
    assert_eq!(
        log.heads().unwrap(),
        [b[2].head(), a[2].head()],
        "sorted by stream"
    );
}

fn reads_in_pages(log: &mut dyn EventLog) {
    let line = records("phone1", 10);
    log.append(&line, 0).unwrap();
    let (mut got, mut after) = (Vec::new(), 0);
    loop {
        let page = log.read_from(after, 3).unwrap();
        assert!(page.len() <= 3);
        let Some((last, _)) = page.last() else { break };
        after = *last;
        got.extend(page.into_iter().map(|(_, r)| r));
    }
    assert_eq!(got, line);
    let stream = &line[0].stream;
    assert_eq!(log.read_stream(stream, 4, 3).unwrap(), line[3..6]);
    assert_eq!(log.read_stream(stream, 0, 2).unwrap(), line[..2]);
    assert_eq!(log.read_stream(stream, 9, 100).unwrap(), line[8..]);
    for beyond in [11, u64::MAX] {
        assert_eq!(log.read_stream(stream, beyond, 100).unwrap(), []);
        assert_eq!(log.read_from(beyond, 100).unwrap(), []);
        assert_eq!(log.received_ms(beyond).unwrap(), None);
    }
    assert_eq!(log.read_from(0, 0).unwrap(), []);
}

fn renews_its_epoch(log: &mut dyn EventLog) {
    assert_eq!(log.epoch(), &epoch("h1"));
    log.renew_epoch(&epoch("h2")).unwrap();
    assert_eq!(log.epoch(), &epoch("h2"));
}

fn keeps_any_text(log: &mut dyn EventLog) {
    let mut chain = Chain::start(StreamId::new("0", "z").unwrap());
    let bodies = [
        "{\"note\":\"20 °C, 'quoted' \\\" -- ; 石 🪜\"}".to_owned(),
        " {\r\n\t\"spaced\" : 1.0 } ".to_owned(),
        "\u{feff}{}\u{202e}".to_owned(),
        "x".repeat(slowstone_sync::MAX_BODY_BYTES),
    ];
    let line: Vec<_> = bodies
        .iter()
        .map(|b| chain.next(b.clone()).unwrap())
        .collect();
    log.append(&line, i64::MIN).unwrap();
    assert_eq!(all(log), line);
    assert_eq!(log.received_ms(1).unwrap(), Some(i64::MIN));
}

fn remembers_settings<S: Settings>(log: &mut S) {
    assert_eq!(log.get("a").unwrap(), None);
    for (key, value) in [
        ("token/b", "2"),
        ("token/a", "1"),
        ("tokens", "x"),
        ("ä%_", "ö"),
    ] {
        log.set(key, value).unwrap();
    }
    log.set("token/a", "one").unwrap();
    assert_eq!(log.get("token/a").unwrap().as_deref(), Some("one"));
    let pair = |k: &str, v: &str| (k.to_owned(), v.to_owned());
    let tokens = [pair("token/a", "one"), pair("token/b", "2")];
    assert_eq!(log.with_prefix("token/").unwrap(), tokens);
    assert_eq!(log.with_prefix("%").unwrap(), []);
    assert_eq!(log.with_prefix("").unwrap().len(), 4);
    log.remove("token/b").unwrap();
    log.remove("never there").unwrap();
    assert_eq!(log.with_prefix("token/").unwrap(), tokens[..1]);
    assert!(log.replace("told", None, "1").unwrap());
    assert!(
        !log.replace("told", None, "2").unwrap(),
        "somebody was quicker"
    );
    assert!(!log.replace("told", Some("0"), "2").unwrap());
    assert!(log.replace("told", Some("1"), "2").unwrap());
    assert_eq!(log.get("told").unwrap().as_deref(), Some("2"));
}

/// Two hubs append at once, also to the same stream: every record is in once, positions have
/// no holes, and each shows what the other stored.
#[cfg(all(unix, feature = "firm"))]
fn two_hubs_write_one_chain(server: &database::Server) {
    let url = server.database("two_hubs");
    let shared = records("phone1", 60);
    std::thread::scope(|scope| {
        for own in ["huba", "hubb"] {
            let (url, shared) = (&url, &shared);
            scope.spawn(move || {
                let mut log = PostgresLog::open(url, &epoch(own)).unwrap();
                for (mine, both) in records(own, 60).iter().zip(shared) {
                    let verdicts = log.append(&[mine.clone(), both.clone()], 0).unwrap();
                    assert_eq!(verdicts[0], Verdict::Append);
                    // The other hub may be behind or ahead, never elsewhere.
                    assert!(verdicts[1].is_stored(), "{:?}", verdicts[1]);
                }
            });
        }
    });
    let (a, b) = (
        PostgresLog::open(&url, &epoch("x")).unwrap(),
        PostgresLog::open(&url, &epoch("y")).unwrap(),
    );
    assert_eq!((a.len().unwrap(), a.last_position().unwrap()), (180, 180));
    assert!(verify(&a).unwrap().is_clean());
    assert_eq!(
        (a.epoch(), all(&a)),
        (b.epoch(), all(&b)),
        "one life, one log"
    );
    for statement in [
        "UPDATE slowstone_entry SET body = ''",
        "DELETE FROM slowstone_entry",
        "TRUNCATE slowstone_entry",
        "INSERT INTO slowstone_entry SELECT 999, stream, 999, prev, hash, body, 0 FROM slowstone_entry LIMIT 1",
    ] {
        let said = server.ask("two_hubs", statement);
        assert!(said.contains("append-only"), "{statement}: {said}");
    }
}

/// A server that is away is said as such; when it is back, the same log goes on.
#[cfg(all(unix, feature = "firm"))]
fn goes_on_when_the_server_comes_back(server: &database::Server) {
    let url = server.database("comes_back");
    let mut log = PostgresLog::open(&url, &epoch("h1")).unwrap();
    let line = records("phone1", 2);
    log.append(&line[..1], 0).unwrap();
    server.down();
    let said = log.append(&line, 0).unwrap_err().to_string();
    assert!(
        said.contains("comes_back") && said.contains("see that the server runs"),
        "{said}"
    );
    server.up();
    let verdicts = log.append(&line, 0).unwrap();
    assert_eq!(verdicts, [Verdict::Already, Verdict::Append]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Whatever comes, the engine on disk answers as the plain one does, holds the same, and
    /// still does when it is opened again.
    #[test]
    fn both_engines_agree(
        batches in prop::collection::vec(
            prop::collection::vec((0usize..3, 0usize..6, 0u8..12), 0..8), 1..8),
    ) {
        let lines: Vec<_> = ["phone1", "phone2", "phone3"].iter().map(|d| records(d, 6)).collect();
        let (_, mut plain) = memory();
        let (dir, mut disk) = sqlite();
        for (time, batch) in batches.iter().enumerate() {
            let batch: Vec<Record> = batch.iter().map(|(line, at, change)| {
                let mut record = lines[*line][*at].clone();
                match change {
                    0 => record.body.push('x'),
                    1 => record.prev = slowstone_sync::Hash32::of(b"x"),
                    2 => record.seq += 1,
                    _ => {}
                }
                record
            }).collect();
            let ms = i64::try_from(time).unwrap();
            prop_assert_eq!(plain.append(&batch, ms).unwrap(), disk.append(&batch, ms).unwrap());
        }
        drop(disk);
        let options = OpenOptions::new(epoch("other"));
        let disk = SqliteLog::open(&dir.path().join("log.sqlite"), &options).unwrap();
        prop_assert_eq!(all(&disk), all(&plain));
        prop_assert_eq!(disk.heads().unwrap(), plain.heads().unwrap());
        prop_assert_eq!(disk.epoch(), plain.epoch());
        prop_assert_eq!(verify(&disk).unwrap(), verify(&plain).unwrap());
        prop_assert!(verify(&disk).unwrap().is_clean());
    }
}
