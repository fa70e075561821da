//! `slowstone photo-facts` as a process, over the corpus of `tests/hub`.
//!
//! That the facts are right is checked in `tests/hub/tests/photo_corpus.rs`; here, that
//! the program prints them as promised and answers for every file it is given.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use serde_json::Value;
use slowstone_hub::photo::photo_facts;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn slowstone(files: &[PathBuf]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_slowstone"));
    command.arg("photo-facts").args(files).output().unwrap()
}

fn answers(said: &Output) -> Vec<Value> {
    assert_eq!(said.status.code(), Some(0));
    assert_eq!(String::from_utf8_lossy(&said.stderr), "");
    serde_json::from_slice(&said.stdout).unwrap()
}

fn corpus() -> Vec<PathBuf> {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../tests/hub/data/exif-corpus");
    let mut files: Vec<PathBuf> = fs::read_dir(dir)
        .unwrap()
        .map(|f| f.unwrap().path())
        .collect();
    files.sort();
    files
}

/// Promise: "what photo files say about themselves"
#[test]
fn every_file_is_answered_in_order_and_as_the_library_reads_it() {
    let files = corpus();
    assert!(files.len() > 85);
    let said = answers(&slowstone(&files));
    assert_eq!(said.len(), files.len());
    for (path, answer) in files.iter().zip(&said) {
        let name = path.to_string_lossy();
        let facts = photo_facts(&name, &fs::read(path).unwrap());
        assert_eq!(*answer, serde_json::to_value(&facts).unwrap(), "{name}");
        assert_eq!(answer["file"], *name);
        assert!(
            answer["format"].is_string() || answer["problems"][0].is_string(),
            "{name}"
        );
    }
}

#[test]
fn the_fields_are_those_promised_in_that_order() {
    let file = corpus()
        .into_iter()
        .find(|p| p.ends_with("gen_gps_sw.jpg"))
        .unwrap();
    let said = slowstone(&[file]);
    let text = String::from_utf8(said.stdout).unwrap();
    let fields: Vec<&str> = text
        .lines()
        .filter_map(|l| l.trim().strip_prefix('"')?.split('"').next())
        .collect();
    let promised = [
        "file",
        "format",
        "taken_local",
        "offset_min",
        "subsec_ms",
        "orientation",
        "lat",
        "lon",
        "make",
        "model",
        "width",
        "height",
        "problems",
    ];
    assert_eq!(fields, promised);
    let one = &serde_json::from_str::<Value>(&text).unwrap()[0];
    // From expected.json, which is what ExifTool reads.
    assert_eq!(
        (&one["taken_local"], &one["offset_min"]),
        (&"2024-05-03T07:12:00".into(), &120.into())
    );
    assert_eq!(
        (&one["lat"], &one["lon"]),
        (&(-33.8675).into(), &(-70.1234).into())
    );
    assert_eq!(
        (&one["format"], &one["problems"]),
        (&"jpeg".into(), &Value::Array(vec![]))
    );
}

#[test]
fn what_cannot_be_opened_is_answered_too() {
    let dir = tempfile::tempdir().unwrap();
    let zip = dir.path().join("step.jpg");
    fs::write(&zip, b"PK\x03\x04 and so on").unwrap();
    let photo = corpus()
        .into_iter()
        .find(|p| p.ends_with("gen_exif.png"))
        .unwrap();
    let files = [
        dir.path().join("none.jpg"),
        dir.path().to_owned(),
        zip,
        photo,
    ];
    let said = answers(&slowstone(&files));
    let problem = |i: usize| {
        said[i]["problems"][0]
            .as_str()
            .unwrap_or_default()
            .to_owned()
    };
    for unread in [0, 1] {
        assert_eq!(said[unread]["format"], Value::Null);
        assert!(
            problem(unread).starts_with("This file cannot be read"),
            "{}",
            problem(unread)
        );
    }
    assert!(problem(2).contains("a ZIP archive"), "{}", problem(2));
    assert_eq!(said[3]["taken_local"], "2024-05-03T07:12:00");
}
