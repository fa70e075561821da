//! Data that are damaged, and data that can only be read: the hub does not start, says why
//! and what to do, and leaves everything as it is.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(unix)]

mod running;

use running::{Hub, Said, event, log, said, send_photo, slowstone, the_site};
use serde_json::json;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

/// Data of a hub that has ended.
fn made(dir: &Path) {
    let hub = Hub::start(dir, &["--empty"]);
    log(&hub, json!([the_site()]));
    for n in 0..60 {
        let body = json!({ "at_ms": 1_791_021_600_000_i64, "air_c": 9.0, "note": "x".repeat(500) });
        log(
            &hub,
            json!([event(&format!("read-{n:04}"), "reading", body)]),
        );
    }
    send_photo(&hub, 1);
    hub.stop();
}

fn start(dir: &Path) -> Said {
    said(&["hub", "--port", "0", "--data", dir.to_str().unwrap()])
}

fn refused(dir: &Path, what: &str) -> String {
    let path = dir.join("log.sqlite");
    let before = fs::read(&path).ok();
    let no = start(dir);
    assert_eq!((no.status, no.out.as_str()), (1, ""), "{what}: {no:?}");
    assert!(no.err.contains("log.sqlite"), "{what}: {no:?}");
    let at = dir.display();
    for way in [
        format!("slowstone verify --data {at}"),
        "slowstone restore BACKUP --data".to_owned(),
    ] {
        assert!(no.err.contains(&way), "{what}: {no:?}");
    }
    assert_eq!(fs::read(&path).ok(), before, "{what}: left as it is");
    let found = said(&["verify", "--data", dir.to_str().unwrap()]);
    if before.is_some() {
        assert_eq!(found.status, 1, "{what}: {found:?}");
        assert!(found.out.contains("log.sqlite"), "{what}: {found:?}");
    }
    no.err
}

/// Promise: "If the hub does not start because the log is damaged: leave the folder as it is and restore the last backup into a new one."
#[test]
fn a_damaged_log_starts_no_hub_and_the_backup_is_named_as_the_way_on() {
    let dir = tempfile::tempdir().unwrap();
    let (data, copy) = (dir.path().join("data"), dir.path().join("copy"));
    made(&data);
    let done = said(&[
        "backup",
        copy.to_str().unwrap(),
        "--data",
        data.to_str().unwrap(),
    ]);
    assert_eq!(done.status, 0, "{done:?}");
    let path = data.join("log.sqlite");
    let good = fs::read(&path).unwrap();
    assert!(
        good.len() > 40_000 && good.len() % 4096 == 0,
        "{}",
        good.len()
    );

    fs::write(&path, &good[..good.len() / 2]).unwrap();
    assert!(refused(&data, "half").contains("cut short"));
    fs::write(&path, b"").unwrap();
    assert!(refused(&data, "empty").contains("cut short: only 0 bytes"));
    fs::write(&path, vec![0; good.len()]).unwrap();
    assert!(refused(&data, "zeros").contains("does not begin like a database"));
    // A page in the middle: neither the first nor the one that is read first.
    let mut holes = 0;
    for page in 2..good.len() / 4096 {
        let mut bad = good.clone();
        bad[page * 4096..(page + 1) * 4096].fill(0xA5);
        fs::write(&path, bad).unwrap();
        refused(&data, &format!("page {page}"));
        holes += 1;
    }
    assert!(holes > 8, "{holes}");

    // A backup of damaged data is refused, and the good one stays.
    let no = said(&[
        "backup",
        copy.to_str().unwrap(),
        "--data",
        data.to_str().unwrap(),
    ]);
    assert_eq!(no.status, 1, "{no:?}");
    let new = dir.path().join("new");
    let back = said(&[
        "restore",
        copy.to_str().unwrap(),
        "--data",
        new.to_str().unwrap(),
    ]);
    assert_eq!(back.status, 0, "{back:?}");
    let hub = Hub::start(&new, &["--empty"]);
    assert_eq!(hub.get("/api/sites/site-0001")["events"], json!(62));
    hub.stop();
    fs::write(&path, &good).unwrap();
    Hub::start(&data, &["--empty"]).stop();
}

#[test]
fn a_byte_that_changed_in_an_entry_is_found_by_verify() {
    let dir = tempfile::tempdir().unwrap();
    made(dir.path());
    let path = dir.path().join("log.sqlite");
    let mut bytes = fs::read(&path).unwrap();
    // Wherever it stands: a page that was split keeps old copies in its free part.
    let needle = b"\"read-0030\"";
    let at: Vec<usize> = (0..bytes.len())
        .filter(|n| bytes[*n..].starts_with(needle))
        .collect();
    assert!(!at.is_empty());
    for n in at {
        bytes[n + 6] = b'9';
    }
    fs::write(&path, bytes).unwrap();
    // SQLite sees nothing wrong with that; the chain does.
    let found = said(&["verify", "--data", dir.path().to_str().unwrap()]);
    assert_eq!(found.status, 1, "{found:?}");
    assert!(found.out.lines().count() <= 2, "{found:?}");
    assert!(
        found.out.contains("the record before it is not the one"),
        "{found:?}"
    );
}

#[test]
fn a_folder_that_is_gone_or_is_a_file() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("file");
    fs::write(&file, "x").unwrap();
    let no = start(&file);
    assert_eq!(no.status, 1, "{no:?}");
    assert!(no.err.contains("the data folder cannot be used"), "{no:?}");
    let no = said(&["verify", "--data", dir.path().to_str().unwrap()]);
    assert_eq!(no.status, 1, "{no:?}");
    assert!(no.err.contains("there is no log here"), "{no:?}");
}

/// A command whose view of `dir` can only be read; none where the system lets nobody make
/// one.
#[cfg(target_os = "linux")]
fn reading_only(dir: &Path) -> Option<Command> {
    let script = "mount --bind \"$0\" \"$0\" && mount -o remount,bind,ro \"$0\" && exec \"$@\"";
    let unshared = |program: &str| {
        let mut command = Command::new("unshare");
        command.args(["--mount", "--map-root-user", "sh", "-c", script]);
        command.arg(dir).arg(program);
        command
    };
    let works = unshared("true").output().ok()?.status.success();
    let program = slowstone().get_program().to_str()?.to_owned();
    works.then(|| unshared(&program))
}

#[cfg(target_os = "linux")]
#[test]
fn data_that_can_only_be_read_are_said_to_be_so_and_can_still_be_saved() {
    let dir = tempfile::tempdir().unwrap();
    let (data, copy) = (dir.path().join("data"), dir.path().join("copy"));
    made(&data);
    let run = |args: &[&str]| {
        let mut command = reading_only(&data)?;
        command.args(args).arg("--data").arg(&data);
        let output = command.stdin(Stdio::null()).output().unwrap();
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        Some(Said {
            status: output.status.code().unwrap(),
            out: text(output.stdout),
            err: text(output.stderr),
        })
    };
    let Some(no) = run(&["hub", "--port", "0"]) else {
        println!("skipped: this system lets nobody mount a folder for reading");
        return;
    };
    assert_eq!((no.status, no.out.as_str()), (1, ""), "{no:?}");
    assert!(no.err.contains(data.to_str().unwrap()), "{no:?}");
    assert!(
        no.err.contains("right to write there") && no.err.contains("--data"),
        "{no:?}"
    );
    assert_eq!(no.err.lines().count(), 1, "{no:?}");

    let status = run(&["status"]).unwrap();
    assert_eq!(status.status, 3, "{status:?}");
    assert!(status.out.contains("62 entries"), "{status:?}");
    assert_eq!(run(&["verify"]).unwrap().status, 0);
    let saved = run(&["backup", copy.to_str().unwrap()]).unwrap();
    assert_eq!(saved.status, 0, "{saved:?}");
    let looked = said(&["verify", "--data", copy.to_str().unwrap()]);
    assert!(looked.out.contains("62 entries"), "{looked:?}");
}
