//! Real files in real trouble: cut short, overwritten, foreign, newer, locked, read-only,
//! altered behind our back; and copies out and back.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

use rusqlite::Connection;
use slowstone_store::{
    EventLog, HubEpoch, OpenOptions, SqliteLog, StoreError, StreamId, Verdict, restore, verify,
};
use slowstone_sync::{Chain, Record};
use std::fs;
use std::path::{Path, PathBuf};

fn options() -> OpenOptions {
    OpenOptions {
        busy_ms: 50,
        ..OpenOptions::new(HubEpoch::new("h1").unwrap())
    }
}

fn records(device: &str, n: usize) -> Vec<Record> {
    let mut chain = Chain::start(StreamId::new(device, "e1").unwrap());
    (0..n)
        .map(|i| {
            chain
                .next(format!("{{\"n\":{i},\"note\":\"{}\"}}", "x".repeat(200)))
                .unwrap()
        })
        .collect()
}

/// A log of 300 records, closed.
fn filled(dir: &Path) -> PathBuf {
    let path = dir.join("log.sqlite");
    let mut log = SqliteLog::open(&path, &options()).unwrap();
    log.append(&records("phone1", 200), 1).unwrap();
    log.append(&records("phone2", 100), 2).unwrap();
    path
}

fn refused(path: &Path) -> StoreError {
    let before = fs::read(path).unwrap();
    let (Err(error), Err(reading)) = (
        SqliteLog::open(path, &options()),
        SqliteLog::open_read_only(path),
    ) else {
        panic!("opened {}", path.display())
    };
    assert_eq!(reading.to_string(), error.to_string());
    assert_eq!(fs::read(path).unwrap(), before, "it is left as it was");
    error
}

fn damaged(path: &Path, words: &str) {
    let error = refused(path);
    assert!(matches!(error, StoreError::Corrupt { .. }), "{error:?}");
    let text = error.to_string();
    assert!(
        text.contains(words) && text.contains("restore a backup"),
        "{text}"
    );
    assert!(
        text.contains(path.file_name().unwrap().to_str().unwrap()),
        "{text}"
    );
}

#[test]
fn a_file_that_was_cut_short() {
    let dir = tempfile::tempdir().unwrap();
    let bytes = fs::read(filled(dir.path())).unwrap();
    let n = bytes.len();
    for left in [0, 1, 16, 99, 100, 512, 4096, n / 2, n - 4096, n - 1] {
        let path = dir.path().join(format!("cut-{left}.sqlite"));
        fs::write(&path, &bytes[..left]).unwrap();
        damaged(&path, "cut short");
    }
}

#[test]
fn a_file_that_is_something_else() {
    let dir = tempfile::tempdir().unwrap();
    let path = filled(dir.path());
    let mut bytes = fs::read(&path).unwrap();
    bytes[..3].copy_from_slice(&[0xff, 0xd8, 0xff]);
    let other = dir.path().join("photo.sqlite");
    fs::write(&other, &bytes).unwrap();
    damaged(&other, "does not begin like a database");

    let foreign = dir.path().join("foreign.sqlite");
    let db = Connection::open(&foreign).unwrap();
    db.execute_batch("CREATE TABLE t (x); PRAGMA user_version = 1;")
        .unwrap();
    drop(db);
    damaged(&foreign, "another program");

    let folder = dir.path().join("folder.sqlite");
    fs::create_dir(&folder).unwrap();
    let error = SqliteLog::open(&folder, &options()).unwrap_err();
    assert!(error.to_string().contains("not a file"), "{error}");
}

#[test]
fn a_page_that_was_overwritten() {
    let dir = tempfile::tempdir().unwrap();
    let path = filled(dir.path());
    let mut bytes = fs::read(&path).unwrap();
    for page in bytes.chunks_mut(4096).skip(8).step_by(3) {
        page.fill(0xa5);
    }
    fs::write(&path, bytes).unwrap();
    let log = SqliteLog::open_read_only(&path).unwrap();
    let complaints = log.check_file();
    assert!(
        !matches!(&complaints, Ok(lines) if lines.is_empty()),
        "{complaints:?}"
    );
    let error = verify(&log).unwrap_err();
    assert!(matches!(error, StoreError::Corrupt { .. }), "{error:?}");
    let to = dir.path().join("restored.sqlite");
    assert!(restore(&path, &to, &HubEpoch::new("h2").unwrap()).is_err());
    assert!(!to.exists());
}

#[test]
fn a_file_of_a_newer_version_is_left_alone() {
    let dir = tempfile::tempdir().unwrap();
    let path = filled(dir.path());
    Connection::open(&path)
        .unwrap()
        .pragma_update(None, "user_version", 99)
        .unwrap();
    let error = refused(&path);
    assert!(
        matches!(error, StoreError::Newer { found: 99, .. }),
        "{error:?}"
    );
    assert!(
        error.to_string().contains("made by a newer Slowstone"),
        "{error}"
    );
}

#[test]
fn a_log_whose_file_is_gone_but_not_its_changes() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("log.sqlite");
    fs::write(dir.path().join("log.sqlite-wal"), b"changes").unwrap();
    let error = SqliteLog::open(&path, &options()).unwrap_err();
    assert!(
        error.to_string().contains("log.sqlite-wal is there"),
        "{error}"
    );
    assert!(!path.exists());
    let nowhere = dir.path().join("no").join("log.sqlite");
    let error = SqliteLog::open(&nowhere, &options()).unwrap_err();
    assert!(matches!(error, StoreError::Missing { .. }), "{error:?}");
    assert!(matches!(
        SqliteLog::open_read_only(&path),
        Err(StoreError::Missing { .. })
    ));
}

#[test]
fn another_writer_is_waited_for_and_then_named() {
    let dir = tempfile::tempdir().unwrap();
    let path = filled(dir.path());
    let mut log = SqliteLog::open(&path, &options()).unwrap();
    let other = Connection::open(&path).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    let more = records("phone3", 2);
    let error = log.append(&more, 3).unwrap_err();
    assert!(matches!(error, StoreError::Locked { .. }), "{error:?}");
    assert!(
        error.to_string().contains("in use by another program"),
        "{error}"
    );
    assert_eq!(log.len().unwrap(), 300, "reading goes on");
    other.execute_batch("COMMIT").unwrap();
    assert_eq!(log.append(&more, 3).unwrap(), vec![Verdict::Append; 2]);
}

#[test]
fn several_writers_take_turns() {
    let dir = tempfile::tempdir().unwrap();
    let path = filled(dir.path());
    std::thread::scope(|scope| {
        for thread in 0..4 {
            let path = &path;
            scope.spawn(move || {
                let wait = OpenOptions::new(HubEpoch::new("h1").unwrap());
                let mut log = SqliteLog::open(path, &wait).unwrap();
                let own = records(&format!("own{thread}"), 20);
                let shared = records("shared", 20);
                for (a, b) in own.iter().zip(&shared) {
                    let verdicts = log.append(&[a.clone(), b.clone()], 5).unwrap();
                    assert!(verdicts.iter().all(Verdict::is_stored), "{verdicts:?}");
                }
            });
        }
    });
    let log = SqliteLog::open(&path, &options()).unwrap();
    assert_eq!(log.len().unwrap(), 300 + 4 * 20 + 20);
    assert!(verify(&log).unwrap().is_clean());
}

#[test]
fn looking_beside_a_running_hub() {
    let dir = tempfile::tempdir().unwrap();
    let path = filled(dir.path());
    let mut hub = SqliteLog::open(&path, &options()).unwrap();
    let mut look = SqliteLog::open_read_only(&path).unwrap();
    let more = records("phone3", 1);
    hub.append(&more, 3).unwrap();
    assert_eq!(look.len().unwrap(), 301);
    // What is there already needs no writing; anything new is refused.
    assert_eq!(look.append(&more, 3).unwrap(), [Verdict::Already]);
    let error = look.append(&records("phone4", 1), 3).unwrap_err();
    assert!(matches!(error, StoreError::ReadOnly { .. }), "{error:?}");
    let changed = look.renew_epoch(&HubEpoch::new("h2").unwrap());
    assert!(matches!(changed, Err(StoreError::ReadOnly { .. })));
    assert_eq!(look.epoch(), hub.epoch());
}

#[test]
fn records_altered_behind_our_back() {
    let dir = tempfile::tempdir().unwrap();
    let cases = [
        (
            "UPDATE entry SET body = '{}' WHERE stream = 1 AND seq = 7",
            8,
            "not the one that it names",
        ),
        (
            "UPDATE entry SET body = '{}' WHERE stream = 1 AND seq = 200",
            200,
            "not the one stored",
        ),
        (
            "DELETE FROM entry WHERE stream = 1 AND seq = 50",
            51,
            "records are missing",
        ),
        (
            "UPDATE entry SET prev = zeroblob(32) WHERE stream = 1 AND seq = 9",
            9,
            "prev",
        ),
        (
            "UPDATE entry SET hash = zeroblob(32) WHERE stream = 1 AND seq = 200",
            200,
            "not the one stored",
        ),
        (
            "UPDATE stream SET device = 'other' WHERE id = 1",
            2,
            "not the one that it names",
        ),
    ];
    for (i, (change, seq, why)) in cases.into_iter().enumerate() {
        let sub = dir.path().join(i.to_string());
        fs::create_dir(&sub).unwrap();
        let path = filled(&sub);
        let db = Connection::open(&path).unwrap();
        db.execute_batch(
            "DROP TRIGGER entry_no_update; DROP TRIGGER entry_no_delete;
             DROP TRIGGER stream_no_update;",
        )
        .unwrap();
        db.execute_batch(change).unwrap();
        drop(db);
        let log = SqliteLog::open_read_only(&path).unwrap();
        let report = verify(&log).unwrap();
        let first = report.faults.first().unwrap_or_else(|| panic!("{change}"));
        assert_eq!(first.seq, seq, "{change}: {first}");
        assert!(first.to_string().contains(why), "{change}: {first}");
        // Such a file is no backup.
        let to = sub.join("restored.sqlite");
        let error = restore(&path, &to, &HubEpoch::new("h2").unwrap()).unwrap_err();
        assert!(matches!(error, StoreError::Corrupt { .. }), "{error:?}");
        assert!(!to.exists());
    }
}

#[test]
fn a_backup_of_a_running_hub_and_back() {
    let dir = tempfile::tempdir().unwrap();
    let path = filled(dir.path());
    let mut hub = SqliteLog::open(&path, &options()).unwrap();
    let backup = dir.path().join("it's 100% safe?#.sqlite");
    hub.backup(&backup).unwrap();
    hub.append(&records("phone3", 5), 3).unwrap();
    let again = hub.backup(&backup).unwrap_err();
    assert!(matches!(again, StoreError::Occupied { .. }), "{again:?}");

    let fresh = HubEpoch::new("h2").unwrap();
    let onto = restore(&backup, &path, &fresh).unwrap_err();
    assert!(matches!(onto, StoreError::Occupied { .. }), "{onto:?}");
    assert_eq!(hub.len().unwrap(), 305);

    let new = dir.path().join("new.sqlite");
    let report = restore(&backup, &new, &fresh).unwrap();
    assert_eq!((report.records, report.streams), (300, 2));
    let mut back = SqliteLog::open(&new, &options()).unwrap();
    assert_eq!(back.epoch(), &fresh);
    assert_eq!(hub.epoch().as_str(), "h1");
    let first_300 = hub.read_from(0, 300).unwrap();
    assert_eq!(back.read_from(0, 1000).unwrap(), first_300, "positions too");
    // The phones bring the rest; nothing gets a position twice.
    back.append(&records("phone3", 5), 4).unwrap();
    assert_eq!(back.heads().unwrap(), hub.heads().unwrap());
    assert!(verify(&back).unwrap().is_clean());
    let mut left: Vec<_> = fs::read_dir(dir.path())
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.contains("part"))
        .collect();
    left.sort();
    assert_eq!(left, Vec::<String>::new());
}

/// Opens the log named by the parent and says what happens.
#[test]
#[ignore = "run by a_disk_that_can_only_be_read, as somebody who may not write"]
fn as_somebody_else() {
    let path = PathBuf::from(std::env::var_os("SLOWSTONE_TEST_LOG").unwrap());
    let say = |what: &str, error: Option<StoreError>| {
        println!(
            "{what}: {}",
            error.map_or("fine".to_owned(), |e| e.to_string())
        );
    };
    say("open", SqliteLog::open(&path, &options()).err());
    let new = path.with_file_name("new.sqlite");
    say("new", SqliteLog::open(&new, &options()).err());
    match SqliteLog::open_read_only(&path) {
        Ok(log) => println!("read: {} records", log.len().unwrap()),
        Err(e) => println!("read: {e}"),
    }
}

#[cfg(unix)]
#[test]
fn a_disk_that_can_only_be_read() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt};
    use std::os::unix::process::CommandExt;
    let dir = tempfile::tempdir().unwrap();
    let mode = |path: &Path, mode| {
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    };
    // Root may write everywhere: the child is somebody else, with a copy of this test.
    let test = dir.path().join("test");
    fs::copy(std::env::current_exe().unwrap(), &test).unwrap();
    let folder = dir.path().join("folder");
    fs::create_dir(&folder).unwrap();
    let path = filled(&folder);
    let root = fs::metadata(&path).unwrap().uid() == 0;
    let child = |file_mode, folder_mode| {
        mode(&path, file_mode);
        mode(&folder, folder_mode);
        let mut run = std::process::Command::new(&test);
        run.args(["as_somebody_else", "--exact", "--ignored", "--nocapture"])
            .env("SLOWSTONE_TEST_LOG", &path)
            .current_dir("/");
        if root {
            run.uid(65534).gid(65534);
        }
        let out = run.output().unwrap();
        mode(&folder, 0o755);
        let out = String::from_utf8(out.stdout).unwrap();
        let line = |what: &str| {
            let found = out
                .lines()
                .find_map(|l| Some(l.split_once(what)?.1.to_owned()));
            found.unwrap_or_else(|| panic!("no {what} in {out}"))
        };
        [line("open: "), line("new: "), line("read: ")]
    };
    mode(dir.path(), 0o755);
    mode(&test, 0o755);
    let before = fs::read(&path).unwrap();

    let [open, new, read] = child(0o444, 0o555);
    assert!(open.contains("log.sqlite: can only be read"), "{open}");
    assert!(new.contains("new.sqlite: can only be read"), "{new}");
    assert!(new.contains("right to write"), "{new}");
    assert_eq!(
        read, "300 records",
        "a backup on such a disk can be looked at"
    );
    // The file may be written, but not its folder.
    let [open, _, _] = child(0o666, 0o555);
    assert!(open.contains("can only be read"), "{open}");
    let [open, _, read] = child(0o000, 0o555);
    assert!(open.contains("permission denied"), "{open}");
    assert!(read.contains("permission denied"), "{read}");

    mode(&path, 0o644);
    assert_eq!(fs::read(&path).unwrap(), before);
}
