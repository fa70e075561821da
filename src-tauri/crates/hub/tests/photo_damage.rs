//! A photo whose file went bad on the disk: never shown as if it were whole, kept by no browser,
//! named by the page as by `slowstone verify`, and mended by sending it again.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(unix)]

mod running;

use running::{Hub, PICTURE, log, said, the_site};
use serde_json::{Value, json};
use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

const SEND: &str = "/api/sites/site-0001/photos?by=Jonas&name=a.jpg&id=photo-0001";

/// Status, caching and body of a picture.
fn picture(hub: &Hub, hash: &str, size: &str) -> (u16, String, Vec<u8>) {
    let mut answer = ureq::get(format!("{}/api/photos/{hash}?size={size}", hub.base))
        .config()
        .http_status_as_error(false)
        .build()
        .header("authorization", format!("Bearer {}", hub.token))
        .call()
        .unwrap();
    let cached = answer.headers()["cache-control"]
        .to_str()
        .unwrap()
        .to_owned();
    let bytes = answer.body_mut().read_to_vec().unwrap();
    (answer.status().as_u16(), cached, bytes)
}

fn code(bytes: &[u8]) -> Value {
    serde_json::from_slice::<Value>(bytes).unwrap()["error"]["code"].clone()
}

fn file(dir: &Path, hash: &str) -> PathBuf {
    dir.join("photos").join(&hash[..2]).join(&hash[2..])
}

/// The ways in which a file goes bad, and what the page calls it.
fn spoil(path: &Path, how: usize) -> &'static str {
    let mut bytes = fs::read(path).unwrap();
    match how {
        0 => {
            let middle = bytes.len() / 2;
            bytes[middle] ^= 1;
            fs::write(path, bytes).unwrap();
        }
        1 => fs::write(path, &bytes[..bytes.len() / 3]).unwrap(),
        2 => fs::write(path, b"").unwrap(),
        _ => {
            fs::remove_file(path).unwrap();
            return "missing";
        }
    }
    "damaged"
}

#[test]
fn a_damaged_photo_is_refused_named_and_mended_by_sending_it_again() {
    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &["--empty"]);
    log(&hub, json!([the_site()]));
    let sent = hub.post(SEND, PICTURE);
    let hash = sent["photo"]["hash"].as_str().unwrap();
    let path = file(dir.path(), hash);
    assert_eq!(picture(&hub, hash, "original").2, PICTURE);
    assert_eq!(hub.get("/api/photos"), json!({ "damaged": [] }));
    for how in 0..4 {
        let lack = spoil(&path, how);
        fs::remove_dir_all(dir.path().join("thumbs")).unwrap();
        for size in ["original", "512"] {
            let (status, cached, bytes) = picture(&hub, hash, size);
            let status_of = if lack == "missing" { 404 } else { 500 };
            assert_eq!(status, status_of, "{how} {size}");
            assert_eq!(cached, "no-store", "{how} {size}");
            assert_eq!(code(&bytes), format!("photo_{lack}"), "{how} {size}");
        }
        // The page and the command name the same one.
        let listed =
            json!([{ "event": "photo-0001", "site": "site-0001", "hash": hash, "lack": lack }]);
        assert_eq!(hub.get("/api/photos")["damaged"], listed, "{how}");
        let found = said(&["verify", "--data", dir.path().to_str().unwrap()]);
        assert_eq!(found.status, 1, "{how}: {found:?}");
        assert!(
            found.out.contains(path.to_str().unwrap()),
            "{how}: {found:?}"
        );

        // Another picture is not taken for it, and the entry stays.
        let (status, no) = hub.try_post(SEND, &[PICTURE, b"x"].concat());
        assert_eq!(
            (status, &no["error"]["code"]),
            (422, &json!("other_photo")),
            "{how}"
        );
        // Whoever only asks whether it arrived hears that the entry is there.
        assert_eq!(hub.post(SEND, b"")["mended"], json!(false), "{how}");

        let again = match how % 2 {
            0 => hub.post(SEND, PICTURE),
            _ => in_pieces(&hub),
        };
        assert_eq!(again["event"], "photo-0001", "{how}");
        assert_eq!(again["mended"], json!(true), "{how}");
        let (status, cached, bytes) = picture(&hub, hash, "original");
        assert_eq!((status, bytes.as_slice()), (200, PICTURE), "{how}");
        assert!(cached.contains("immutable"), "{how}: {cached}");
        assert_eq!(picture(&hub, hash, "512").0, 200, "{how}");
        assert_eq!(hub.get("/api/photos"), json!({ "damaged": [] }), "{how}");
    }
    // Sent as a new photo, it mends the old one as well and is no second entry.
    spoil(&path, 0);
    assert_eq!(picture(&hub, hash, "original").0, 500);
    let other = "/api/sites/site-0001/photos?by=Jonas&name=b.jpg&id=photo-0002";
    let again = hub.post(other, PICTURE);
    assert_eq!(
        (&again["event"], &again["mended"]),
        (&json!("photo-0001"), &json!(true))
    );
    assert_eq!(hub.get("/api/sites/site-0001")["events"], json!(2));
    let found = said(&["verify", "--data", dir.path().to_str().unwrap()]);
    assert_eq!(found.status, 0, "{found:?}");
    hub.stop();
}

/// As a phone sends it.
fn in_pieces(hub: &Hub) -> Value {
    let half = PICTURE.len() / 2;
    for (offset, piece) in [(0, &PICTURE[..half]), (half, &PICTURE[half..])] {
        let sent = ureq::put(format!(
            "{}/api/uploads/photo-0001?offset={offset}",
            hub.base
        ))
        .header("authorization", format!("Bearer {}", hub.token))
        .send(piece);
        assert_eq!(sent.unwrap().status(), 200);
    }
    hub.post(
        &format!("{SEND}&from=photo-0001&bytes={}", PICTURE.len()),
        b"",
    )
}

#[test]
fn a_small_picture_that_went_bad_is_made_again() {
    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &["--empty"]);
    log(&hub, json!([the_site()]));
    let sent = hub.post(SEND, PICTURE);
    let hash = sent["photo"]["hash"].as_str().unwrap();
    let good = picture(&hub, hash, "160").2;
    let path = dir.path().join(format!("thumbs/{hash}-160.jpg"));
    let mut bytes = fs::read(&path).unwrap();
    let middle = good.len() / 2;
    bytes[middle] ^= 0x10;
    fs::write(&path, bytes).unwrap();
    let (status, _, again) = picture(&hub, hash, "160");
    assert_eq!((status, again), (200, good));
    hub.stop();
}

#[test]
fn damage_is_found_without_anybody_looking_at_the_photo() {
    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &["--empty"]);
    log(&hub, json!([the_site()]));
    let sent = hub.post(SEND, PICTURE);
    let hash = sent["photo"]["hash"].as_str().unwrap();
    hub.stop();
    spoil(&file(dir.path(), hash), 0);
    let hub = Hub::start(dir.path(), &["--empty"]);
    let began = Instant::now();
    while hub.get("/api/photos")["damaged"][0]["hash"] != json!(hash) {
        assert!(began.elapsed() < Duration::from_secs(120), "never found");
        std::thread::sleep(Duration::from_millis(50));
    }
    hub.stop();
}
