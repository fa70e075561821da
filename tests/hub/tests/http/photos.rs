//! Photos over HTTP: whatever people drop on the page gets a plain answer.

use crate::client::{
    HOUR, Hub, NOW, SITE, a_flight_with_two_steps, a_mix, a_pour, empty_dir, event,
};
use crate::picture::{jpeg, with_exif};
use image::GenericImageView;
use serde_json::json;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::time::Duration;

fn hub_with_pours(dir: &Path) -> Hub {
    let hub = Hub::on(dir);
    hub.must(a_flight_with_two_steps());
    let mut second = a_pour("pour-0002", 4);
    second["body"]["step"] = json!("step-0002");
    hub.must(json!([a_mix(), a_pour("pour-0001", 48), second]));
    hub
}

#[test]
fn a_photo_finds_its_pour_and_stage_by_its_time() {
    let dir = empty_dir();
    let hub = hub_with_pours(dir.path());
    let plain = jpeg(64, 48, 0);
    // pour-0001 began at 10:00Z on 1 October, pour-0002 at 06:00Z on 3 October.
    for (date, offset, pour, taken) in [
        (
            "2026:10:01 12:20:00",
            Some("+02:00"),
            json!("pour-0001"),
            NOW - 48 * HOUR + HOUR / 3,
        ),
        (
            "2026:10:03 00:30:00",
            None,
            json!("pour-0002"),
            NOW - 7 * HOUR / 2,
        ),
        (
            "2026:08:03 00:30:00",
            Some("+00:00"),
            json!(null),
            NOW - (61 * 24 + 9) * HOUR - HOUR / 2,
        ),
    ] {
        let said = hub.photo("name=a.jpg", &with_exif(&plain, date, offset, 1));
        assert_eq!(said.status, 200, "{}", said.json);
        let photo = &said.json["photo"];
        assert_eq!(
            (&photo["pour"], &photo["taken_ms"]),
            (&pour, &json!(taken)),
            "{photo}"
        );
        let source = if offset.is_some() {
            "exif_offset"
        } else {
            "exif_site_zone"
        };
        assert_eq!(photo["time_source"], json!(source));
    }
    // The person knows better, and may move it later.
    let moved = with_exif(&plain, "2026:10:03 00:31:00", None, 1);
    let said = hub.photo(
        "name=b.jpg&pour=pour-0001&stage=form_off&id=photo-0001",
        &moved,
    );
    assert_eq!(
        (
            &said.json["event"],
            &said.json["photo"]["pour"],
            &said.json["photo"]["stage"]
        ),
        (
            &json!("photo-0001"),
            &json!("pour-0001"),
            &json!("form_off")
        )
    );
    hub.must(json!([event(
        "fix-00001",
        "correction",
        json!({ "target": "photo-0001", "changes": { "pour": "pour-0002" } })
    )]));
    assert_eq!(hub.pour("pour-0002")["photos"].as_array().unwrap().len(), 2);
    assert_eq!(hub.site()["loose_photos"].as_array().unwrap().len(), 1);
    // Without a date the arrival is used and said.
    let said = hub.photo("name=c.jpg", &plain);
    assert_eq!(
        (
            said.json["photo"]["taken_ms"].as_i64().unwrap() / HOUR,
            &said.json["photo"]["time_source"]
        ),
        (NOW / HOUR, &json!("arrival"))
    );
    assert!(
        said.json["said"].as_str().unwrap().contains("arrived"),
        "{}",
        said.json
    );
    hub.stop();
}

#[test]
fn the_same_bytes_are_one_photo_until_it_is_taken_back() {
    let dir = empty_dir();
    let hub = hub_with_pours(dir.path());
    let bytes = with_exif(&jpeg(64, 48, 0), "2026:10:03 00:30:00", None, 1);
    let first = hub.photo("name=a.jpg&id=photo-0001", &bytes);
    assert_eq!(first.json["known"], json!(false));
    for query in [
        "name=a.jpg&id=photo-0001",
        "name=again.jpg",
        "name=a.jpg&id=photo-0002",
    ] {
        let again = hub.photo(query, &bytes);
        assert_eq!(
            (again.status, &again.json["known"], &again.json["event"]),
            (200, &json!(true), &json!("photo-0001"))
        );
        assert_eq!(again.json["photo"], first.json["photo"]);
    }
    assert_eq!(hub.pour("pour-0002")["photos"].as_array().unwrap().len(), 1);
    hub.must(json!([event(
        "back-0001",
        "retraction",
        json!({ "target": "photo-0001" })
    )]));
    let anew = hub.photo("name=a.jpg&id=photo-0003", &bytes);
    assert_eq!(
        (&anew.json["known"], &anew.json["event"]),
        (&json!(false), &json!("photo-0003"))
    );
    hub.stop();
}

/// A phone that did not hear the answer sends the photo again. The hub knows it by its id and
/// needs none of the bytes, but hears them out: an answer in the middle of them would break
/// the connection, and the phone would never hear it.
#[test]
fn a_photo_that_is_known_is_heard_out_before_the_answer() {
    let dir = empty_dir();
    let hub = hub_with_pours(dir.path());
    let bytes = with_exif(&jpeg(64, 48, 0), "2026:10:03 00:30:00", None, 1);
    hub.photo("name=a.jpg&id=photo-0001", &bytes);
    let host = hub.base.strip_prefix("http://").unwrap();
    let mut line = TcpStream::connect(host).unwrap();
    for site in [SITE, "site-9999"] {
        let head = format!(
            "POST /api/sites/{site}/photos?by=Tuva&name=a.jpg&id=photo-0001 HTTP/1.1\r\nhost: {host}\r\n\
             authorization: Bearer {}\r\ncontent-length: {}\r\n\r\n",
            hub.token,
            bytes.len()
        );
        let (one, two) = bytes.split_at(bytes.len() / 2);
        line.write_all(head.as_bytes()).unwrap();
        line.write_all(one).unwrap();
        // Time in which a hub that does not wait for the rest would answer and hang up.
        std::thread::sleep(Duration::from_millis(150));
        line.write_all(two).unwrap();
        let mut answer = [0; 4096];
        let n = line.read(&mut answer).unwrap();
        let answer = String::from_utf8_lossy(&answer[..n]);
        let status = if site == SITE { "200" } else { "404" };
        assert!(answer.contains(status), "{answer}");
        assert!(!answer.contains("connection: close"), "{answer}");
    }
    hub.stop();
}

#[test]
fn bytes_come_back_as_they_were_and_thumbnails_stand_upright() {
    let dir = empty_dir();
    let hub = hub_with_pours(dir.path());
    // Red at the top of the file; orientation 6 turns it clockwise, so red is on the right.
    let bytes = with_exif(&jpeg(640, 400, 0), "2026:10:03 00:30:00", None, 6);
    let said = hub.photo("name=a.jpg", &bytes).json;
    let hash = said["photo"]["hash"].as_str().unwrap().to_owned();
    assert_eq!(hash, slowstone_store::Hash32::of(&bytes).to_string());
    assert_eq!(
        (&said["photo"]["width_px"], &said["photo"]["height_px"]),
        (&json!(400), &json!(640))
    );
    let original = hub.get(&format!("/api/photos/{hash}?size=original"));
    assert_eq!(original.bytes, bytes);
    assert_eq!(original.headers["content-type"], "image/jpeg");
    for (size, wide, high) in [(160, 100, 160), (512, 320, 512), (1600, 400, 640)] {
        for _ in 0..2 {
            let small = hub.get(&format!("/api/photos/{hash}?size={size}"));
            assert_eq!(
                (
                    small.status,
                    small.headers["content-type"].to_str().unwrap()
                ),
                (200, "image/jpeg")
            );
            assert!(
                small.headers["cache-control"]
                    .to_str()
                    .unwrap()
                    .contains("immutable")
            );
            let seen = image::load_from_memory(&small.bytes).unwrap();
            assert_eq!(seen.dimensions(), (wide, high), "{size}");
            let (left, right) = (
                seen.get_pixel(wide / 8, high / 2),
                seen.get_pixel(wide - wide / 8, high / 2),
            );
            assert!(
                right[0] > 150 && right[2] < 90 && left[2] > 150 && left[0] < 90,
                "{left:?} {right:?}"
            );
        }
        // Thumbnails may be thrown away.
        std::fs::remove_dir_all(dir.path().join("thumbs")).unwrap();
        std::fs::create_dir(dir.path().join("thumbs")).unwrap();
    }
    let odd = hub.get(&format!("/api/photos/{hash}?size=77"));
    assert_eq!(
        (odd.status, &odd.json["error"]["field"]),
        (422, &json!("size"))
    );
    hub.stop();
}

#[test]
fn what_is_no_picture_is_named_and_nothing_is_kept() {
    let dir = empty_dir();
    let hub = hub_with_pours(dir.path());
    let cases: [(&[u8], &str); 4] = [
        (b"PK\x03\x04 and so on", "ZIP"),
        (b"", "empty"),
        (b"two bags of cement\n", "text"),
        (&[0; 4096], "zeros"),
    ];
    for (bytes, word) in cases {
        let said = hub.photo("name=step.jpg", bytes);
        assert_eq!(
            (said.status, &said.json["error"]["code"]),
            (415, &json!("not_a_photo")),
            "{word}"
        );
        assert!(
            said.json["error"]["text"].as_str().unwrap().contains(word),
            "{}",
            said.json
        );
    }
    assert_eq!(hub.site()["loose_photos"], json!([]));
    let kept = std::fs::read_dir(dir.path().join("photos"))
        .unwrap()
        .count();
    assert_eq!(kept, 0);
    hub.stop();
}

#[test]
fn a_truncated_jpeg_is_kept_and_said() {
    let dir = empty_dir();
    let hub = hub_with_pours(dir.path());
    let whole = with_exif(&jpeg(1600, 1200, 0), "2026:10:03 00:30:00", None, 1);
    let cut = &whole[..whole.len() / 2];
    let said = hub.photo("name=cut.jpg", cut);
    assert_eq!(said.status, 200, "{}", said.json);
    let problems = said.json["photo"]["problems"].as_array().unwrap();
    assert!(
        !problems.is_empty() && problems[0].as_str().unwrap().len() > 20,
        "{problems:?}"
    );
    assert_eq!(said.json["photo"]["pour"], "pour-0002");
    let hash = said.json["photo"]["hash"].as_str().unwrap();
    assert_eq!(
        hub.get(&format!("/api/photos/{hash}?size=original")).bytes,
        cut
    );
    assert!([200, 415].contains(&hub.get(&format!("/api/photos/{hash}?size=512")).status));
    // The rest goes on.
    assert_eq!(hub.photo("name=whole.jpg", &whole).status, 200);
    hub.stop();
}

#[test]
fn forty_megabytes_are_taken_and_seventy_are_answered() {
    let dir = empty_dir();
    let hub = hub_with_pours(dir.path());
    // A JPEG with much behind its end, as a motion photo has it.
    let mut big = with_exif(&jpeg(64, 48, 0), "2026:10:03 00:30:00", None, 1);
    big.resize(40 << 20, 7);
    let said = hub.photo("name=big.jpg", &big);
    assert_eq!(
        (said.status, &said.json["photo"]["bytes"]),
        (200, &json!(40 << 20)),
        "{}",
        said.json
    );
    big.resize(70 << 20, 7);
    let said = hub.photo("name=huge.jpg", &big);
    assert_eq!(
        (said.status, &said.json["error"]["code"]),
        (413, &json!("too_large")),
        "{}",
        said.json
    );
    assert!(
        said.json["error"]["text"]
            .as_str()
            .unwrap()
            .contains("64 MB")
    );
    // A header that claims a picture of 65000 by 65000 pixels asks for no memory.
    let mut bomb = jpeg(64, 48, 0);
    let sof = bomb.windows(2).position(|w| w == [0xFF, 0xC0]).unwrap();
    bomb[sof + 5..sof + 9].copy_from_slice(&[0xFD, 0xE8, 0xFD, 0xE8]);
    let said = hub.photo("name=bomb.jpg", &bomb);
    assert!([200, 415].contains(&said.status), "{}", said.json);
    assert_eq!(hub.get("/api/sites").status, 200);
    hub.stop();
}

#[test]
fn an_upload_that_cannot_be_entered_says_why() {
    let dir = empty_dir();
    let hub = hub_with_pours(dir.path());
    let bytes = jpeg(64, 48, 0);
    let said = hub.post("/api/sites/site-9999/photos?by=Tuva&name=a.jpg", &bytes);
    assert_eq!(said.status, 404);
    for (query, field) in [
        ("by=&name=a.jpg", "by"),
        ("by=Tuva&id=NO", "id"),
        ("by=Tuva&id=pour-0001", "id"),
    ] {
        let said = hub.post(&format!("/api/sites/site-0001/photos?{query}"), &bytes);
        assert_eq!(
            (said.status, &said.json["error"]["field"]),
            (422, &json!(field)),
            "{}",
            said.json
        );
    }
    let said = hub.post("/api/sites/site-0001/photos?by=A&by=B", &bytes);
    assert_eq!(
        (said.status, said.json["error"]["text"].is_string()),
        (400, true)
    );
    // Names are kept without folders.
    let said = hub.photo("name=..%2F..%2Fetc%2Fp%00asswd.jpg", &bytes);
    assert_eq!(said.json["photo"]["name"], "passwd.jpg");
    hub.stop();
}

/// The form of the next step is photographed before it is poured, from its own screen or by
/// its time; the answer says where it went; its stage follows what is logged later.
#[test]
fn a_step_that_is_not_poured_has_photos_and_stages_follow_the_log() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.must(a_flight_with_two_steps());
    hub.must(json!([a_mix(), a_pour("pour-0001", 48)]));
    let plain = jpeg(64, 48, 0);
    // pour-0001 began at 10:00Z on 1 October. Its form is not off by the log: set, in its form.
    let early = with_exif(&plain, "2026:10:02 10:00:00", Some("+00:00"), 1);
    let said = hub.photo("name=a.jpg&id=photo-0001", &early).json;
    assert_eq!(said["place"]["stage"], json!("setting"), "{said}");
    assert_eq!(said["place"]["pour"], json!("pour-0001"), "{said}");
    // From the screen of step 2, whose form is being set up.
    let form = with_exif(&plain, "2026:10:03 09:00:00", Some("+00:00"), 1);
    let said = hub
        .photo("name=b.jpg&id=photo-0002&step=step-0002", &form)
        .json;
    let place = &said["place"];
    assert_eq!(
        (
            &place["step"],
            &place["step_number"],
            &place["pour"],
            &place["stage"]
        ),
        (&json!("step-0002"), &json!(2), &json!(null), &json!("form")),
        "{said}"
    );
    // The form came off on the second day: entered only now.
    let stripped = json!({"pour": "pour-0001", "at_ms": NOW - 25 * HOUR, "what": "stripped_clean"});
    hub.must(json!([event("strip-001", "observation", stripped)]));
    let stage = |n: usize| hub.pour("pour-0001")["photos"][n]["fact"]["stage"].clone();
    assert_eq!(stage(0), json!("form_off"));
    // By its time alone a photo of today shows the next step.
    let today = with_exif(&plain, "2026:10:03 09:59:00", Some("+00:00"), 1);
    let said = hub.photo("name=c.jpg&id=photo-0003", &today).json;
    assert_eq!(said["place"]["step"], json!("step-0002"), "{said}");
    let photos = hub.site()["steps"][1]["photos"].clone();
    assert_eq!(photos.as_array().unwrap().len(), 2, "{photos}");
    // The grid: what is there, what was missed, and the one thing to photograph now.
    let grid = hub.get(&format!("/api/sites/{SITE}/photos")).json;
    let states = |row: usize| -> Vec<String> {
        let cells = grid["rows"][row]["cells"].as_array().unwrap();
        cells
            .iter()
            .map(|c| c["state"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(
        states(0),
        ["missed", "missed", "missed", "missed", "taken", "coming"]
    );
    assert_eq!(
        states(1),
        ["missed", "taken", "coming", "coming", "coming", "coming"]
    );
    // Set by a person it stays, and every photo leaves with the site.
    let set = json!({"target": "photo-0001", "changes": {"stage": "texture"}});
    hub.must(json!([event("fix-00001", "correction", set)]));
    assert_eq!(stage(0), json!("texture"));
    let sizes = hub.get(&format!("/api/sites/{SITE}/handover")).json;
    assert_eq!(sizes["photos"], json!(3), "{sizes}");
    // Those that were chosen leave as files, named by step and stage.
    let names = |only: &str| -> Vec<String> {
        let bytes = hub
            .get(&format!("/api/sites/{SITE}/photos.zip{only}"))
            .bytes;
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let jpg = |n: &&str| text.contains(*n);
        ["step-01_", "step-02_2026-10-03_form_"]
            .iter()
            .filter(|n| jpg(n))
            .map(|n| (*n).to_owned())
            .collect()
    };
    assert_eq!(names("")[..2], ["step-01_", "step-02_2026-10-03_form_"]);
    assert_eq!(
        names("?only=photo-0002").first().map(String::as_str),
        Some("step-02_2026-10-03_form_")
    );
    hub.stop();
}
