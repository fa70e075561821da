//! A watched folder of a real hub: what is dropped there, by whom and how fast ever.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(unix)]

mod running;

use running::{Hub, PICTURE, event, log, said, send_photo, slowstone, the_site};
use serde_json::{Value, json};
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::time::{Duration, Instant};

/// Looks again until it is so; the hub looks about once a second.
fn soon(what: &str, mut is_so: impl FnMut() -> bool) {
    let begun = Instant::now();
    while !is_so() {
        assert!(begun.elapsed() < Duration::from_secs(60), "never: {what}");
        std::thread::sleep(Duration::from_millis(100));
    }
}

/// Longer than several looks.
fn a_while() {
    std::thread::sleep(Duration::from_secs(4));
}

struct Scene {
    _dir: tempfile::TempDir,
    data: PathBuf,
    inbox: PathBuf,
    words: PathBuf,
}

impl Scene {
    fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let path = |name: &str| dir.path().join(name);
        fs::create_dir(path("inbox")).unwrap();
        Self {
            data: path("data"),
            inbox: path("inbox"),
            words: path("words"),
            _dir: dir,
        }
    }

    /// A hub that watches the folder and writes its messages into a file.
    fn hub(&self, more: &[&str]) -> Hub {
        let mut command = slowstone();
        let words = fs::File::options()
            .append(true)
            .create(true)
            .open(&self.words)
            .unwrap();
        command
            .env("SLOWSTONE_LOG", "info")
            .stderr(Stdio::from(words));
        let inbox = self.inbox.to_str().unwrap();
        let args = [&["--empty", "--log", "json", "--inbox", inbox], more].concat();
        Hub::launch(command, &self.data, &args)
    }

    fn drop(&self, name: &str, bytes: &[u8]) -> PathBuf {
        let path = self.inbox.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, bytes).unwrap();
        path
    }

    /// Messages that contain `part`; each line is JSON.
    fn messages(&self, part: &str) -> Vec<Value> {
        let text = fs::read_to_string(&self.words).unwrap();
        let lines = text.lines().map(|l| serde_json::from_str(l).expect(l));
        let all: Vec<Value> = lines.collect();
        all.into_iter()
            .filter(|m| m.to_string().contains(part))
            .collect()
    }
}

fn numbered(n: u8) -> Vec<u8> {
    [PICTURE, &[n]].concat()
}

/// The same with another date in its EXIF.
fn dated(date: &[u8; 19]) -> Vec<u8> {
    let mut bytes = PICTURE.to_vec();
    let old = b"2000:01:01 00:00:00";
    let at: Vec<usize> = (0..bytes.len() - old.len())
        .filter(|n| bytes[*n..].starts_with(old))
        .collect();
    assert!(!at.is_empty());
    for n in at {
        bytes[n..n + old.len()].copy_from_slice(date);
    }
    bytes
}

/// The photos that belong to no pour.
fn loose(hub: &Hub) -> Vec<Value> {
    let site = hub.get("/api/sites/site-0001");
    site["loose_photos"].as_array().unwrap().clone()
}

fn entries(hub: &Hub) -> u64 {
    hub.get("/api/sites/site-0001")["events"].as_u64().unwrap()
}

/// Promise: "photos that other programs drop there are filed by their own date"
#[test]
fn photos_are_filed_once_and_stay_where_they_are() {
    let scene = Scene::new();
    let early = scene.drop("early.jpg", &numbered(1));
    let hub = scene.hub(&[]);
    soon("it says that there is no site", || {
        scene.messages("there is no site yet").len() == 1
    });
    log(&hub, json!([the_site()]));
    soon("the early one", || entries(&hub) == 2);
    scene.drop("2026/10/deep.JPG", &numbered(2));
    scene.drop("copy of early.jpg", &numbered(1));
    scene.drop("list.txt", b"two bags of cement\n");
    scene.drop(".hidden.jpg", &numbered(8));
    soon("the one in a folder", || entries(&hub) == 3);
    // The same bytes as a phone has sent before.
    send_photo(&hub, 3);
    scene.drop("phone.jpg", &numbered(3));
    soon("the one of a phone", || {
        scene.messages("phone.jpg").len() == 1 && scene.messages("copy of early").len() == 1
    });
    a_while();
    assert_eq!(entries(&hub), 4, "one site and three photos");
    let no = scene.messages("list.txt");
    assert_eq!(no.len(), 1, "{no:?}");
    assert_eq!(no[0]["level"], "WARN");
    assert!(
        no[0]["message"]
            .as_str()
            .unwrap()
            .starts_with("not taken: ")
    );
    assert_eq!(scene.messages(".hidden").len(), 0);
    let known = scene.messages("phone.jpg");
    assert_eq!(known[0]["known"], json!(true));
    assert_eq!(fs::read(&early).unwrap(), numbered(1));
    assert_eq!(loose(&hub)[0]["by"], "inbox");
    hub.stop();

    // The next start begins with what is new, and says nothing twice.
    scene.drop("late.jpg", &numbered(4));
    let hub = scene.hub(&[]);
    soon("the late one", || entries(&hub) == 5);
    a_while();
    assert_eq!(entries(&hub), 5);
    for name in [
        "\"early.jpg",
        "/early.jpg",
        "deep.JPG",
        "list.txt",
        "phone.jpg",
    ] {
        assert!(scene.messages(name).len() <= 1, "{name}");
    }
    assert_eq!(scene.messages("late.jpg").len(), 1);
    hub.stop();
    let looked = said(&["verify", "--data", scene.data.to_str().unwrap()]);
    assert_eq!(looked.status, 0, "{looked:?}");
}

#[test]
fn by_its_exif_a_photo_goes_to_the_pour_of_its_time() {
    let scene = Scene::new();
    let hub = scene.hub(&["--inbox-site", "canoe LANDING"]);
    let mut other = the_site();
    other["id"] = json!("site-0002");
    other["site"] = json!("site-0002");
    let mut own = the_site();
    own["body"]["name"] = json!("Canoe landing");
    // The clock of the hub stands at 2026-10-03 10:00 UTC, which is noon in Oslo.
    let taken = 1_791_021_600_000_i64 - 3_600_000;
    let pour = json!({ "step": "1", "started_ms": taken - 600_000 });
    log(&hub, json!([other, own, event("pour-0001", "pour", pour)]));
    scene.drop("a.jpg", &dated(b"2026:10:03 11:00:00"));
    soon("it is filed", || entries(&hub) == 3);
    assert_eq!(loose(&hub), Vec::<Value>::new());
    let pour = hub.get("/api/sites/site-0001/pours/pour-0001");
    let photo = &pour["photos"][0];
    assert_eq!(photo["by"], "inbox", "{pour}");
    assert_eq!(photo["fact"]["taken_ms"], json!(taken));
    assert_eq!(photo["fact"]["time_source"], "exif_site_zone");
    hub.stop();
}

#[test]
fn a_file_that_is_still_written_is_waited_for() {
    let scene = Scene::new();
    let hub = scene.hub(&[]);
    log(&hub, json!([the_site()]));
    let path = scene.inbox.join("slow.jpg");
    let mut file = fs::File::create(&path).unwrap();
    let whole = numbered(7);
    // A piece each half second, then a pause that is longer than several looks.
    for piece in whole.chunks(whole.len() / 6 + 1).take(4) {
        file.write_all(piece).unwrap();
        std::thread::sleep(Duration::from_millis(500));
    }
    a_while();
    assert_eq!(entries(&hub), 1, "half a photo is no photo");
    let have = fs::metadata(&path).unwrap().len() as usize;
    file.write_all(&whole[have..]).unwrap();
    drop(file);
    soon("the whole one", || entries(&hub) == 2);
    let hash = blake3::hash(&whole).to_hex().to_string();
    assert_eq!(loose(&hub)[0]["fact"]["hash"], json!(hash));
    assert_eq!(scene.messages("slow.jpg").len(), 1);
    hub.stop();
}

#[test]
fn a_folder_that_is_not_there_yet_and_one_that_cannot_be() {
    let scene = Scene::new();
    fs::remove_dir(&scene.inbox).unwrap();
    let hub = scene.hub(&[]);
    log(&hub, json!([the_site()]));
    soon("it says so", || scene.messages("cannot be read").len() == 1);
    scene.drop("a.jpg", &numbered(1));
    soon("the folder has come", || entries(&hub) == 2);
    assert_eq!(scene.messages("cannot be read").len(), 1, "said once");
    hub.stop();
    for bad in [
        scene.data.clone(),
        scene.data.join("photos"),
        scene.data.parent().unwrap().into(),
    ] {
        let no = refused(&scene.data, &bad);
        assert!(no.contains("keeps its own photos there"), "{no}");
    }
}

fn refused(data: &Path, inbox: &Path) -> String {
    let args = ["hub", "--port", "0", "--data", data.to_str().unwrap()];
    let no = said(&[&args[..], &["--inbox", inbox.to_str().unwrap()]].concat());
    assert_eq!((no.status, no.out.as_str()), (2, ""), "{no:?}");
    no.err
}
