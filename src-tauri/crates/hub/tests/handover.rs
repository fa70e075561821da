//! `slowstone export` and `slowstone import` beside real hubs, and what an outside reader says
//! of the files: ExifTool of the photos, QPDF and Poppler of the record, where this machine
//! has them (`cargo xtask setup` brings them).

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(unix)]

mod running;

use exif::{Context, Reader, Tag};
use running::{Hub, Said, log, said, the_site};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{Cursor, Read};
use std::path::Path;
use std::process::{Command, Output};
use zip::ZipArchive;

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

fn export(site: &str, data: &Path, out: &Path, more: &[&str]) -> Said {
    let line = [
        "export",
        "--site",
        site,
        "--out",
        text(out),
        "--data",
        text(data),
    ];
    said(&[&line, more].concat())
}

fn import(file: &Path, data: &Path) -> Said {
    said(&["import", text(file), "--data", text(data)])
}

/// Files of a zip by name.
fn unzipped(path: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut zip = ZipArchive::new(File::open(path).unwrap()).unwrap();
    let mut files = BTreeMap::new();
    for n in 0..zip.len() {
        let mut file = zip.by_index(n).unwrap();
        let name = file.name().unwrap().into_owned();
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).unwrap();
        files.insert(name, bytes);
    }
    files
}

/// Runs a program of the machine; none if it is not there.
fn outside(program: &str, args: &[&str]) -> Option<Output> {
    match Command::new(program).args(args).output() {
        Ok(output) => Some(output),
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => {
            eprintln!("{program} is not on this machine: not checked with it");
            None
        }
        Err(e) => panic!("{program}: {e}"),
    }
}

/// Promise: "record as PDF and HTML, tables, photos, a copy; --gps keeps positions"
/// Promise: "the running hub takes in a site that another one exported"
#[test]
fn a_site_goes_to_files_and_from_there_into_another_hub() {
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name);
    let (data, out) = (at("data"), at("out"));
    let hub = Hub::start(&data, &[]);
    let card = hub.get("/api/sites")[0].clone();
    let (id, name) = (card["id"].as_str().unwrap(), card["name"].as_str().unwrap());

    let odd = export("Nowhere", &data, &out, &[]);
    assert_eq!(odd.status, 1, "{odd:?}");
    assert!(
        odd.err.contains("Nowhere") && odd.err.contains(name),
        "{odd:?}"
    );
    assert!(!out.exists());

    let done = export(name, &data, &out, &[]);
    assert_eq!((done.status, done.err.as_str()), (0, ""), "{done:?}");
    assert!(
        done.out.contains(name) && done.out.contains(text(&out)),
        "{done:?}"
    );
    let mut names: Vec<String> = fs::read_dir(&out)
        .unwrap()
        .map(|f| f.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    let all = [
        "entries.jsonl",
        "photos.zip",
        "record.html",
        "record.pdf",
        "site.zip",
        "tables.zip",
    ];
    assert_eq!(names, all);
    let view = hub.get(&format!("/api/sites/{id}"));
    the_record_holds(&out.join("record.pdf"), &view);

    // Without a hub nothing is taken in, and how to start one is said.
    let other = at("other");
    fs::create_dir(&other).unwrap();
    let none = import(&out.join("site.zip"), &other);
    assert_eq!(none.status, 3, "{none:?}");
    assert!(none.err.contains("slowstone hub"), "{none:?}");

    let second = Hub::start(&other, &["--empty"]);
    let taken = import(&out.join("site.zip"), &other);
    assert_eq!((taken.status, taken.err.as_str()), (0, ""), "{taken:?}");
    assert!(taken.out.contains("13 photos"), "{taken:?}");
    assert_eq!(second.get("/api/sites")[0]["name"], name);
    // What came by a file goes on the same to the byte; the entries alone change nothing more.
    let lines = import(&out.join("entries.jsonl"), &other);
    assert_eq!(lines.status, 0, "{lines:?}");
    assert_eq!(export(id, &other, &at("again"), &[]).status, 0);
    let bytes = |dir: &str| fs::read(at(dir).join("site.zip")).unwrap();
    assert!(
        bytes("out") == bytes("again"),
        "the copy of the copy differs"
    );

    let half = at("half.zip");
    fs::write(&half, &bytes("out")[..5000]).unwrap();
    let refused = import(&half, &other);
    assert_eq!(refused.status, 1, "{refused:?}");
    assert!(
        refused.err.contains("half.zip") && refused.err.contains("not taken"),
        "{refused:?}"
    );
    let missing = import(&at("missing.zip"), &other);
    assert_eq!(missing.status, 1, "{missing:?}");
    assert!(missing.err.contains("missing.zip"), "{missing:?}");
    second.stop();
    hub.stop();
}

/// Without its position a site keeps the degree in which it lies: another hub shows the same
/// times, and nothing that leaves tells more of the place.
#[test]
fn a_site_that_leaves_without_its_position_keeps_its_times() {
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name);
    let (data, out) = (at("data"), at("out"));
    let hub = Hub::start(&data, &["--empty"]);
    let mut site = the_site();
    // The zone lies on the other half of the earth: without a place the times would differ.
    site["body"] = json!({"name": "Landing", "tz": "Europe/Oslo", "lat": -33.8732, "lon": 151.2061,
        "located": "position"});
    let pour = running::event(
        "pour-0001",
        "pour",
        json!({"started_ms": 1_781_074_800_000_i64, "air_c": 18.0, "sky": "sun"}),
    );
    let moved = running::event(
        "moved-001",
        "correction",
        json!({"target": "site-0001", "changes": {"lat": -33.8599}}),
    );
    log(&hub, json!([site, pour, moved]));
    let times = |hub: &Hub| {
        let view = hub.get("/api/sites/site-0001/pours/pour-0001");
        let opens: Vec<Value> = view["milestones"]
            .as_array()
            .unwrap()
            .iter()
            .map(|m| m["opens"].clone())
            .collect();
        (opens, view["basis"]["place"].clone())
    };
    let here = times(&hub);
    assert_eq!(here.1, "place");
    assert_eq!(export("site-0001", &data, &out, &[]).status, 0);
    for file in ["site.zip", "tables.zip"] {
        for (name, bytes) in unzipped(&out.join(file)) {
            let text = String::from_utf8_lossy(&bytes).into_owned();
            for finer in ["33.8", "151.2"] {
                assert!(!text.contains(finer), "{finer} in {name} of {file}");
            }
        }
    }
    for file in ["entries.jsonl", "record.html"] {
        let text = fs::read_to_string(out.join(file)).unwrap();
        // With its sign, and to the place: a drawing may well have a 33.8 in it.
        assert!(
            !text.contains("-33.8") && !text.contains("151.20"),
            "{file}"
        );
    }
    let other = at("other");
    fs::create_dir(&other).unwrap();
    let second = Hub::start(&other, &["--empty"]);
    let taken = import(&out.join("site.zip"), &other);
    assert_eq!(taken.status, 0, "{taken:?}");
    assert_eq!(times(&second), here);

    // With positions it is the whole of it.
    assert_eq!(
        export("site-0001", &data, &at("full"), &["--gps"]).status,
        0
    );
    let full = fs::read_to_string(at("full").join("entries.jsonl")).unwrap();
    assert!(
        full.contains("-33.8732") && full.contains("-33.8599"),
        "{full}"
    );
    second.stop();
    hub.stop();
}

/// The PDF is in order and names every pour, by readers that others made.
fn the_record_holds(pdf: &Path, site: &Value) {
    if let Some(checked) = outside("qpdf", &["--check", text(pdf)]) {
        // Status 0: neither errors nor warnings (QPDF manual, "Exit status").
        assert_eq!(checked.status.code(), Some(0), "{checked:?}");
    }
    if let Some(read) = outside("pdftotext", &["-layout", text(pdf), "-"]) {
        let words = String::from_utf8(read.stdout).unwrap();
        let steps = site["steps"].as_array().unwrap();
        let pours: Vec<&Value> = steps
            .iter()
            .filter_map(|s| s.get("pour"))
            .filter(|p| !p.is_null())
            .collect();
        assert!(pours.len() > 4, "{site}");
        for pour in pours {
            let step = format!("Step {}", pour["step_number"]);
            assert!(words.contains(&step), "{step} is not in the record");
        }
    }
}

/// Fields of a photo's EXIF that say where it was taken, by kamadak-exif.
fn places(bytes: &[u8]) -> usize {
    let Ok(read) = Reader::new().read_from_container(&mut Cursor::new(bytes)) else {
        return 0;
    };
    let of_place =
        |f: &&exif::Field| f.tag.context() == Context::Gps || f.tag == Tag::GPSInfoIFDPointer;
    read.fields().filter(of_place).count()
}

/// How many files of a folder tell a place, by ExifTool; none without it.
fn told(folder: &Path) -> Option<usize> {
    let all = outside("exiftool", &["-j", "-a", "-G1", "-ee", "-n", text(folder)])?;
    let all: Vec<Value> = serde_json::from_slice(&all.stdout).unwrap();
    let place = |key: &String| {
        let key = key.to_lowercase();
        // The version of the directory says nothing of a place.
        ["gps", "geotag", "location"]
            .iter()
            .any(|w| key.contains(w))
            && !key.ends_with("gpsversionid")
    };
    let tells = |file: &&Value| file.as_object().unwrap().keys().any(place);
    Some(all.iter().filter(tells).count())
}

#[test]
fn photos_of_the_corpus_leave_without_their_places() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let hub = Hub::start(&data, &["--empty"]);
    log(&hub, json!([the_site()]));
    let corpus = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../tests/hub/data/exif-corpus");
    let mut files: Vec<_> = fs::read_dir(&corpus)
        .unwrap()
        .map(|f| f.unwrap().path())
        .collect();
    files.sort();
    let (mut sent, mut with_place) = (0, 0);
    for path in files {
        let bytes = fs::read(&path).unwrap();
        let name = path.file_name().unwrap().to_str().unwrap();
        let (status, said) = hub.try_post(
            &format!("/api/sites/site-0001/photos?by=Jonas&name={name}"),
            &bytes,
        );
        assert!(
            status == 200 || status == 422 || status == 415,
            "{name}: {status} {said}"
        );
        if status == 200 && said["known"] == json!(false) {
            sent += 1;
            with_place += usize::from(places(&bytes) > 0);
        }
    }
    assert!(
        sent > 60 && with_place > 4,
        "{sent} sent, {with_place} with a place"
    );

    // The same look at photos that keep their places finds them, so it could find what is left.
    let seen = |more: &[&str], to: &str| {
        let out = dir.path().join(to);
        let done = export("Landing", &data, &out, more);
        assert_eq!(done.status, 0, "{done:?}");
        let folder = out.join("photos");
        fs::create_dir(&folder).unwrap();
        let mut found = Vec::new();
        for (name, bytes) in unzipped(&out.join("photos.zip"))
            .into_iter()
            .chain(unzipped(&out.join("site.zip")))
        {
            let name = name.trim_start_matches("photos/").to_owned();
            if !name.ends_with(".txt") && !name.ends_with(".jsonl") {
                fs::write(folder.join(&name), &bytes).unwrap();
                found.push((name, places(&bytes)));
            }
        }
        let places = found.iter().filter(|(_, n)| *n > 0).count();
        (found.len(), places, told(&folder))
    };
    let (files, places, outside) = seen(&["--gps"], "with");
    assert_eq!((files, places), (2 * sent, 2 * with_place));
    assert!(
        outside.is_none_or(|n| n >= places),
        "{outside:?} of {places}"
    );
    let (files, places, outside) = seen(&[], "without");
    assert!(files > sent, "{files} of {sent}");
    assert_eq!((places, outside.unwrap_or(0)), (0, 0));
    hub.stop();
}

/// A line of `/proc/PID/status` in KiB (proc(5)).
#[cfg(target_os = "linux")]
fn kib(hub: &Hub, what: &str) -> u64 {
    let status = fs::read_to_string(format!("/proc/{}/status", hub.child.id())).unwrap();
    let line = status.lines().find(|l| l.starts_with(what)).unwrap();
    line.split_whitespace().nth(1).unwrap().parse().unwrap()
}

#[test]
#[cfg(target_os = "linux")]
fn a_zip_of_many_photos_needs_the_memory_of_a_few() {
    // A small picture, so that its thumbnails take no time, and what makes its file large.
    const SMALL: &[u8] = include_bytes!("../../../../tests/hub/data/exif-corpus/gen_orient_1.jpg");
    const PHOTOS: u8 = 100;
    const PADDING: usize = 2 << 20;
    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &["--empty"]);
    log(&hub, json!([the_site()]));
    for n in 0..PHOTOS {
        let bytes = [SMALL, &vec![n; PADDING]].concat();
        hub.post(
            &format!("/api/sites/site-0001/photos?by=Jonas&name={n}.jpg"),
            &bytes,
        );
    }
    // From here on the most that it ever needed counts (proc(5), clear_refs).
    fs::write(format!("/proc/{}/clear_refs", hub.child.id()), "5").unwrap();
    let before = kib(&hub, "VmHWM");
    for file in ["photos.zip", "record.zip"] {
        let answer = ureq::get(format!("{}/api/sites/site-0001/{file}?gps=1", hub.base))
            .header("authorization", format!("Bearer {}", hub.token))
            .call()
            .unwrap();
        let mut body = answer.into_body();
        let got = std::io::copy(&mut body.as_reader(), &mut std::io::sink()).unwrap();
        assert!(
            got > u64::from(PHOTOS) * PADDING as u64,
            "{file}: {got} bytes"
        );
    }
    let more = kib(&hub, "VmHWM").saturating_sub(before);
    assert!(more < 48 << 10, "{more} KiB more for 200 MiB of photos");
    hub.stop();
}
