//! `slowstone backup`, `restore`, `verify`, `status` and `open` as a person types them,
//! beside a real hub.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(unix)]

mod running;

use running::{Hub, PICTURE, Said, event, log, said, send_photo, the_site};
use serde_json::{Value, json};
use std::fs;
use std::path::{Path, PathBuf};

fn reading(id: &str) -> Value {
    event(
        id,
        "reading",
        json!({ "at_ms": 1_791_021_600_000_i64, "air_c": 9.0 }),
    )
}

/// A hub with one site, `readings` readings and `photos` photos.
fn with_some(dir: &Path, readings: u32, photos: u8) -> Hub {
    let hub = Hub::start(dir, &["--empty"]);
    log(&hub, json!([the_site()]));
    for n in 0..readings {
        log(&hub, json!([reading(&format!("read-{n:04}"))]));
    }
    for n in 0..photos {
        send_photo(&hub, n);
    }
    hub
}

fn verify(dir: &Path) -> Said {
    said(&["verify", "--data", dir.to_str().unwrap()])
}

fn back_up(data: &Path, to: &Path) -> Said {
    let (data, to) = (data.to_str().unwrap(), to.to_str().unwrap());
    said(&["backup", to, "--data", data])
}

fn restore(from: &Path, data: &Path) -> Said {
    let (from, data) = (from.to_str().unwrap(), data.to_str().unwrap());
    said(&["restore", from, "--data", data])
}

/// Every file below a folder, by its path in it.
fn files(dir: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![dir.to_path_buf()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                found.push(path.strip_prefix(dir).unwrap().to_path_buf());
            }
        }
    }
    found.sort();
    found
}

fn a_photo(dir: &Path) -> PathBuf {
    let files = files(&dir.join("photos"));
    dir.join("photos").join(files.first().unwrap())
}

/// Promise: "log and photos, while the hub runs; again later: only what is new"
/// Promise: "a new folder; phones send again what it lacks"
#[test]
fn a_backup_beside_a_running_hub_and_the_way_back() {
    let dir = tempfile::tempdir().unwrap();
    let (data, to) = (dir.path().join("data"), dir.path().join("copy"));
    let hub = with_some(&data, 3, 2);
    let first = back_up(&data, &to);
    assert_eq!(first.status, 0, "{first:?}");
    assert!(
        first.out.contains("6 entries and 2 photos") && first.out.contains("2 of them"),
        "{first:?}"
    );
    // What comes later is added, and the photos of before are not copied again.
    log(&hub, json!([reading("read-late")]));
    send_photo(&hub, 9);
    let old = a_photo(&to);
    let before = fs::metadata(&old).unwrap().modified().unwrap();
    let second = back_up(&data, &to);
    assert_eq!(second.status, 0, "{second:?}");
    assert!(
        second.out.contains("8 entries") && second.out.contains("1 of them"),
        "{second:?}"
    );
    assert_eq!(fs::metadata(&old).unwrap().modified().unwrap(), before);
    let names = files(&to);
    let names: Vec<_> = names.iter().filter(|f| !f.starts_with("photos")).collect();
    assert_eq!(
        names,
        [
            Path::new("backup.json"),
            Path::new("hub.lock"),
            Path::new("log.sqlite")
        ]
    );
    let site = hub.get("/api/sites/site-0001");
    hub.stop();

    // A hub must not run on the backup itself.
    let on_it = said(&["hub", "--port", "0", "--data", to.to_str().unwrap()]);
    assert_eq!(on_it.status, 1, "{on_it:?}");
    assert!(on_it.err.contains("slowstone restore"), "{on_it:?}");

    let again = restore(&to, &data);
    assert_eq!(again.status, 1, "{again:?}");
    assert!(again.err.contains("not empty"), "{again:?}");
    let new = dir.path().join("new");
    let back = restore(&to, &new);
    assert_eq!(back.status, 0, "{back:?}");
    assert!(
        back.out.contains("8 entries") && back.out.contains("send again what they hold"),
        "{back:?}"
    );
    let looked = verify(&new);
    assert_eq!(looked.status, 0, "{looked:?}");
    assert!(
        looked.out.contains("8 entries in 1 chain and 3 photos"),
        "{looked:?}"
    );
    let epoch = |dir: &Path| {
        let log = slowstone_store::SqliteLog::open_read_only(&dir.join("log.sqlite")).unwrap();
        slowstone_store::EventLog::epoch(&log).clone()
    };
    assert_ne!(
        epoch(&new),
        epoch(&data),
        "phones notice that it was set back"
    );
    let hub = Hub::start(&new, &["--empty"]);
    assert_eq!(
        hub.get("/api/sites/site-0001")["steps"],
        site["steps"],
        "the same site"
    );
    log(&hub, json!([reading("read-after")]));
    hub.stop();
    let looked = verify(&new);
    assert!(looked.out.contains("9 entries in 2 chains"), "{looked:?}");
    // The backup of before does not hold the newest, so it may be brought up to date.
    assert_eq!(back_up(&new, &to).status, 0);
    // But not by the older life, which lacks that.
    let older = back_up(&data, &to);
    assert_eq!(older.status, 1, "{older:?}");
    assert!(older.err.contains("records that these data lack"));
    assert!(verify(&to).out.contains("9 entries"), "left as it was");
}

#[test]
fn a_backup_goes_nowhere_else() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let hub = with_some(&data, 1, 1);
    let full = dir.path().join("letters");
    fs::create_dir(&full).unwrap();
    fs::write(full.join("letter.txt"), "dear").unwrap();
    let inside = data.join("deep/copy");
    for (to, word) in [
        (&full, "earlier backup"),
        (&data, "earlier backup"),
        (&inside, "within the data"),
    ] {
        let no = back_up(&data, to);
        assert_eq!(no.status, 1, "{no:?}");
        assert!(no.err.contains(word), "{no:?}");
        assert_eq!(no.err.lines().count(), 1, "{no:?}");
    }
    assert_eq!(files(&full), [Path::new("letter.txt")]);
    assert!(!data.join("deep").exists());
    let nowhere = back_up(&dir.path().join("nothing"), &dir.path().join("copy"));
    assert_eq!(nowhere.status, 1, "{nowhere:?}");
    assert!(!dir.path().join("copy").exists());
    hub.stop();
}

#[test]
fn a_backup_that_was_never_finished_is_not_restored_but_can_be_finished() {
    let dir = tempfile::tempdir().unwrap();
    let (data, to) = (dir.path().join("data"), dir.path().join("copy"));
    let hub = with_some(&data, 1, 1);
    // A folder in the way of the log stops the first one after its note.
    fs::create_dir_all(to.join("next.sqlite/x")).unwrap();
    fs::write(to.join("backup.json"), r#"{"format":1,"finished":false,"made_ms":1,"version":"0","records":0,"photos":0,"photo_bytes":0}"#).unwrap();
    assert_eq!(back_up(&data, &to).status, 1);
    let no = restore(&to, &dir.path().join("new"));
    assert_eq!(no.status, 1, "{no:?}");
    assert!(no.err.contains("never finished"), "{no:?}");
    assert!(!dir.path().join("new").exists());
    fs::remove_dir_all(to.join("next.sqlite")).unwrap();
    assert_eq!(back_up(&data, &to).status, 0);
    assert_eq!(restore(&to, &dir.path().join("new")).status, 0);
    hub.stop();
}

/// Promise: "reads every entry and every photo again and names what is damaged"
/// Promise: "A backup has the form of a data folder, so `slowstone verify --data /mnt/stick/site` checks it as well"
#[test]
fn verify_names_each_photo_that_is_damaged_or_gone() {
    let dir = tempfile::tempdir().unwrap();
    let (data, to) = (dir.path().join("data"), dir.path().join("copy"));
    let hub = with_some(&data, 2, 3);
    assert_eq!(back_up(&data, &to).status, 0);
    let clean = verify(&data);
    assert_eq!(
        (clean.status, clean.out.lines().count()),
        (0, 1),
        "{clean:?}"
    );
    let photos = files(&data.join("photos"));
    let (altered, gone) = (&photos[0], &photos[1]);
    let mut bytes = fs::read(data.join("photos").join(altered)).unwrap();
    bytes[1000] ^= 1;
    fs::write(data.join("photos").join(altered), bytes).unwrap();
    fs::remove_file(data.join("photos").join(gone)).unwrap();
    let found = verify(&data);
    assert_eq!(found.status, 1, "{found:?}");
    let lines: Vec<&str> = found.out.lines().collect();
    assert_eq!(lines.len(), 2, "{found:?}");
    assert!(lines[0].contains(altered.to_str().unwrap()), "{lines:?}");
    assert!(
        lines[0].contains("have changed since they were stored"),
        "{lines:?}"
    );
    assert!(lines[1].contains(gone.to_str().unwrap()), "{lines:?}");
    assert!(lines[1].contains("is not there"), "{lines:?}");
    // The backup keeps its good copies of both, and a new one says what it lacks.
    assert_eq!(back_up(&data, &to).status, 0);
    assert_eq!(verify(&to).status, 0);
    let short = back_up(&data, &dir.path().join("other"));
    assert_eq!(short.status, 1, "{short:?}");
    assert!(short.err.contains(altered.to_str().unwrap()), "{short:?}");
    // And what was damaged in the backup can be copied anew.
    let there = to.join("photos").join(&photos[2]);
    let mut bytes = fs::read(&there).unwrap();
    bytes[1000] ^= 1;
    fs::write(&there, bytes).unwrap();
    assert_eq!(verify(&to).status, 1);
    let (d, t) = (data.to_str().unwrap(), to.to_str().unwrap());
    said(&["backup", t, "--data", d, "--recheck"]);
    assert_eq!(verify(&to).status, 0);
    hub.stop();
}

/// Promise: "one line: running or not, address, certificate, sites, entries, photos, last backup"
/// Promise: "the page again, for whoever has lost its address"
/// Promise: "Status 0 is good, 1 trouble or a finding, 3 no hub running."
#[test]
fn status_and_open_know_the_running_hub() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let at = data.to_str().unwrap();
    let status = || said(&["status", "--data", at]);
    let none = status();
    assert_eq!(none.status, 3, "{none:?}");
    assert!(none.out.starts_with("not running · "), "{none:?}");
    let hub = with_some(&data, 3, 1);
    let one = status();
    assert_eq!((one.status, one.out.lines().count()), (0, 1), "{one:?}");
    let size = PICTURE.len() + 1;
    for part in [
        "running · ",
        &hub.base,
        "since 2026-10-03 10:00 UTC",
        "1 site · 5 entries · 1 photo, ",
        &format!("{}.", size / 1000),
        "no backup yet",
    ] {
        assert!(one.out.contains(part), "{part}: {one:?}");
    }
    assert!(!one.out.contains(&hub.token), "{one:?}");
    assert_eq!(back_up(&data, &dir.path().join("copy")).status, 0);
    assert!(status().out.contains("last backup 2"), "{:?}", status());
    let json: Value = serde_json::from_str(&said(&["status", "--json", "--data", at]).out).unwrap();
    assert_eq!(
        [&json["running"], &json["answers"], &json["entries"]],
        [&json!(true), &json!(true), &json!(5)]
    );
    let url = said(&["open", "--print", "--data", at]);
    assert_eq!(url.out.trim(), format!("{}/?t={}", hub.base, hub.token));
    let mode = fs::metadata(data.join("hub.json")).unwrap().permissions();
    assert_eq!(mode.mode() & 0o777, 0o600, "holds the token");

    // A hub that was killed is not running, whatever its note says.
    hub.signal("KILL");
    hub.end();
    assert!(data.join("hub.json").exists());
    let killed = status();
    assert_eq!(killed.status, 3, "{killed:?}");
    assert!(killed.out.contains("5 entries"), "{killed:?}");
    let no = said(&["open", "--print", "--data", at]);
    assert_eq!((no.status, no.out.as_str()), (3, ""), "{no:?}");
    assert!(no.err.contains("slowstone hub --data"), "{no:?}");
}

#[test]
fn many_looks_keep_no_hub_from_starting() {
    let dir = tempfile::tempdir().unwrap();
    let at = dir.path().to_str().unwrap().to_owned();
    Hub::start(dir.path(), &["--empty"]).stop();
    let looking = std::thread::spawn(move || {
        for _ in 0..40 {
            said(&["status", "--data", &at]);
        }
    });
    for _ in 0..10 {
        Hub::start(dir.path(), &["--empty"]).stop();
    }
    looking.join().unwrap();
}
