//! A disk that is really full: the hub says so, loses nothing, and goes on when there is
//! room again. The disk is a small one in memory, mounted for the hub alone; where the
//! system does not allow that, the test says that it was skipped.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::indexing_slicing)]
#![cfg(target_os = "linux")]

mod running;

use running::{Hub, event, log, slowstone, the_site};
use serde_json::json;
use std::io::Cursor;
use std::path::Path;
use std::process::Command;

const DISK: &str = "size=6m";

/// A command that gives the program a small disk of its own at `dir`.
fn on_a_small_disk(dir: &Path) -> Option<Command> {
    let script = format!("mount -t tmpfs -o {DISK} none \"$0\" && exec \"$@\"");
    let unshared = |args: &[&str]| {
        let mut command = Command::new("unshare");
        command.args(["--mount", "--map-root-user", "sh", "-c", &script]);
        command.arg(dir).args(args);
        command
    };
    let works = unshared(&["true"]).output().ok()?.status.success();
    let program = slowstone().get_program().to_str()?.to_owned();
    works.then(|| unshared(&[&program]))
}

/// A picture that no packing makes smaller; each seed gives another one.
fn picture(seed: u32) -> Vec<u8> {
    let mut state = seed.wrapping_mul(2_654_435_761) | 1;
    let noise = image::RgbImage::from_fn(640, 480, |_, _| {
        state ^= state << 13;
        state ^= state >> 17;
        state ^= state << 5;
        image::Rgb([state as u8, (state >> 8) as u8, (state >> 16) as u8])
    });
    let mut bytes = Cursor::new(Vec::new());
    noise.write_to(&mut bytes, image::ImageFormat::Png).unwrap();
    bytes.into_inner()
}

#[test]
fn a_full_disk_is_said_and_nothing_is_lost() {
    let dir = tempfile::tempdir().unwrap();
    let Some(command) = on_a_small_disk(dir.path()) else {
        println!("skipped: this system lets nobody mount a small disk");
        return;
    };
    let hub = Hub::launch(command, dir.path(), &["--empty"]);
    log(&hub, json!([the_site()]));
    let mut kept = 0;
    let refusal = (0..20).find_map(|n| {
        let (status, said) = hub.try_post(
            &format!("/api/sites/site-0001/photos?by=Ada&name={n}.png"),
            &picture(n),
        );
        kept += u64::from(status == 200);
        (status != 200).then_some((status, said))
    });
    let (status, said) = refusal.expect("6 MB took 20 pictures of 900 kB");
    // RFC 4918, 11.5: 507 Insufficient Storage.
    assert_eq!(status, 507, "{said}");
    let text = said["error"]["text"].as_str().unwrap();
    assert!(
        text.contains("disk is full") && text.contains("Free"),
        "{text}"
    );
    assert!(kept > 0);
    let photos = || {
        hub.get("/api/sites/site-0001")["loose_photos"]
            .as_array()
            .unwrap()
            .len()
    };
    assert_eq!(photos() as u64, kept);
    // Fill the rest, so that not even a line fits into the log.
    let inside = format!("/proc/{}/root{}", hub.child.id(), dir.path().display());
    let filler = Path::new(&inside).join("filler");
    let _ = std::fs::write(&filler, vec![7_u8; 6 << 20]);
    let reading = |n: u32| {
        json!({"events": [event(&format!("read-{n:04}"), "reading",
            json!({"air_c": 12.5, "at_ms": 1_791_021_600_000_i64, "note": "x".repeat(2000)}))]})
        .to_string()
    };
    let mut stored = 0;
    let refused = (0..2000).find_map(|n| {
        let (status, said) = hub.try_post("/api/events", reading(n).as_bytes());
        stored += u64::from(status == 200);
        (status != 200).then_some((status, said))
    });
    assert_eq!(refused.as_ref().map(|r| r.0), Some(507), "{refused:?}");
    assert_eq!(
        hub.get("/api/sites/site-0001")["events"],
        json!(1 + kept + stored)
    );
    // Room again: the same entry, sent again, is taken.
    std::fs::remove_file(&filler).unwrap();
    let again = u32::try_from(stored).unwrap();
    assert_eq!(
        hub.try_post("/api/events", reading(again).as_bytes()).0,
        200
    );
    assert_eq!(
        hub.get("/api/sites/site-0001")["events"],
        json!(2 + kept + stored)
    );
    hub.signal("TERM");
    assert_eq!(hub.end().0, Some(0));
}
