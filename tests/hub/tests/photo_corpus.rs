//! Real and broken photo files against what ExifTool 12.57 reads from them.
//!
//! The files and where they come from: `data/exif-corpus/LICENCES.md`. Those named `mei_`
//! are not part of this tree; they are compared too when `../shared/exif-corpus` lies
//! beside the checkout. Every difference to ExifTool stands with its reason in
//! `differences.json`; one that is new, or that is gone, fails. What is not a photo file
//! at all, and what is broken at random, is in `photo_hostile.rs`; the program itself is
//! run over the same files in `src-tauri/crates/hub/tests/photo_facts.rs`.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use image::metadata::Orientation;
use image::{GenericImageView, ImageDecoder};
use serde_json::{Value, json};
use slowstone_colour::profile::of_icc;
use slowstone_colour::space::{linear, xyz_to_lab};
use slowstone_colour::{Profile, de2000};
use slowstone_hub::photo::photo_facts;
use slowstone_hub::thumbs;
use slowstone_store::Hash32;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

const FIELDS: [&str; 10] = [
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
];

fn data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data/exif-corpus")
}

/// The folder with the files that are not part of this tree.
fn beside() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../shared/exif-corpus")
}

fn parsed(name: &str) -> Vec<Value> {
    serde_json::from_slice(&fs::read(data().join(name)).unwrap()).unwrap()
}

/// Every file that can be compared, by its name.
fn corpus() -> BTreeMap<String, PathBuf> {
    let names = parsed("expected.json")
        .into_iter()
        .map(|e| e["SourceFile"].as_str().unwrap().to_owned());
    let (mut found, mut skipped) = (BTreeMap::new(), 0);
    for name in names {
        let own = !name.starts_with("mei_");
        let path = if own { data() } else { beside() }.join(&name);
        if own || path.exists() {
            found.insert(name, path);
        } else {
            skipped += 1;
        }
    }
    if skipped > 0 {
        println!(
            "{skipped} files named mei_ were skipped: there is no {}",
            beside().display()
        );
    }
    assert!(found.len() >= 85, "{}", found.len());
    found
}

/// What ExifTool says, in the fields and units of `slowstone photo-facts`. What does not
/// fit them stays as it is written, and is a difference.
fn expected(plain: &Value, detail: &Value) -> BTreeMap<&'static str, Value> {
    let text = |name: &str| match &plain[name] {
        Value::String(s) => Some(s.clone()),
        Value::Null => None,
        number => Some(number.to_string()),
    };
    let (date, zone) = match text("DateTimeOriginal") {
        // A date from XMP has its offset behind it.
        Some(t) if t.len() == 25 => (Some(t[..19].to_owned()), Some(t[19..].to_owned())),
        other => (other, None),
    };
    let size = |name: &str| {
        let groups = ["File", "PNG", "RIFF", "GIF", "IFD0"];
        let found = groups
            .iter()
            .find_map(|g| detail.get(format!("{g}:Image{name}")));
        found.cloned().unwrap_or_default()
    };
    BTreeMap::from([
        (
            "taken_local",
            date.map_or(Value::Null, |t| json!(iso(&t).unwrap_or(t))),
        ),
        (
            "offset_min",
            text("OffsetTimeOriginal")
                .or(zone)
                .map_or(Value::Null, |t| minutes(&t).map_or(json!(t), |n| json!(n))),
        ),
        (
            "subsec_ms",
            text("SubSecTimeOriginal").map_or(Value::Null, |t| {
                milliseconds(&t).map_or(json!(t), |n| json!(n))
            }),
        ),
        (
            "orientation",
            text("Orientation").map_or(Value::Null, |t| turn(&t).map_or(json!(t), |n| json!(n))),
        ),
        ("lat", plain["GPSLatitude"].clone()),
        ("lon", plain["GPSLongitude"].clone()),
        ("make", text("Make").into()),
        ("model", text("Model").into()),
        ("width", size("Width")),
        ("height", size("Height")),
    ])
}

/// `2024:05:03 07:12:00` as `2024-05-03T07:12:00`.
fn iso(text: &str) -> Option<String> {
    let (day, time) = text.split_once(' ')?;
    let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit() || b == b':');
    (text.len() == 19 && digits(day) && digits(time))
        .then(|| format!("{}T{time}", day.replace(':', "-")))
}

fn minutes(text: &str) -> Option<i32> {
    if text == "Z" {
        return Some(0);
    }
    let (hours, rest) = text.split_once(':')?;
    let sign = if hours.starts_with('-') { -1 } else { 1 };
    Some(hours.parse::<i32>().ok()? * 60 + sign * rest.parse::<i32>().ok()?)
}

/// The digits stand behind a decimal point: `7` is 700 ms (EXIF 2.32, 4.6.6).
fn milliseconds(text: &str) -> Option<u32> {
    format!("{text}00")
        .get(..3)?
        .parse()
        .ok()
        .filter(|_| !text.is_empty())
}

/// The words of ExifTool for the eight orientations, in their order.
fn turn(words: &str) -> Option<usize> {
    let all = [
        "Horizontal (normal)",
        "Mirror horizontal",
        "Rotate 180",
        "Mirror vertical",
        "Mirror horizontal and rotate 270 CW",
        "Rotate 90 CW",
        "Mirror horizontal and rotate 90 CW",
        "Rotate 270 CW",
    ];
    all.iter().position(|w| *w == words).map(|i| i + 1)
}

fn same(ours: &Value, theirs: &Value) -> bool {
    match (ours.as_f64(), theirs.as_f64()) {
        // ExifTool rounds degrees to 15 digits.
        (Some(a), Some(b)) => (a - b).abs() < 1e-9,
        _ => ours == theirs,
    }
}

#[test]
fn every_fact_is_as_exiftool_reads_it_but_for_the_listed_differences() {
    let by_name = |entries: Vec<Value>| -> BTreeMap<String, Value> {
        entries
            .into_iter()
            .map(|e| (e["SourceFile"].as_str().unwrap().to_owned(), e))
            .collect()
    };
    let (plain, detail) = (
        by_name(parsed("expected.json")),
        by_name(parsed("expected-detail.json")),
    );
    let mut listed: BTreeMap<(String, String), Value> = BTreeMap::new();
    let corpus = corpus();
    for d in parsed("differences.json") {
        let of = |key: &str| d[key].as_str().unwrap().to_owned();
        assert!(
            of("why").len() > 20 && FIELDS.contains(&of("field").as_str()),
            "{d}"
        );
        if corpus.contains_key(&of("file")) {
            listed.insert((of("file"), of("field")), d);
        }
    }
    let mut wrong = Vec::new();
    for (name, path) in &corpus {
        let facts = serde_json::to_value(photo_facts(name, &fs::read(path).unwrap())).unwrap();
        for (field, theirs) in expected(&plain[name], &detail[name]) {
            let ours = &facts[field];
            if same(ours, &theirs) {
                continue;
            }
            let found = json!({ "file": name, "field": field, "ours": ours, "exiftool": theirs });
            match listed.remove(&(name.clone(), field.to_owned())) {
                Some(l) if same(&l["ours"], ours) && l["exiftool"] == theirs => {}
                Some(l) => wrong.push(format!("listed otherwise: {l}, now {found}")),
                None => wrong.push(format!("not listed: {found}")),
            }
            // What was left out of a date, a place or a turn is never left unsaid.
            if ours.is_null() && !["offset_min", "subsec_ms"].contains(&field) {
                assert_ne!(facts["problems"], json!([]), "{name} {field}");
            }
        }
    }
    wrong.extend(listed.values().map(|l| format!("listed but gone: {l}")));
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The small picture of `side` pixels of a file of the corpus.
fn small(name: &str, side: u32) -> Vec<u8> {
    let dir = tempfile::tempdir().unwrap();
    let bytes = fs::read(data().join(name)).unwrap();
    thumbs::make(dir.path(), &Hash32::of(&bytes), &bytes, side).unwrap()
}

/// Which of red, green, blue and yellow (or grey) the four quarters of a picture are.
fn quarters(jpeg: &[u8]) -> String {
    let seen = image::load_from_memory(jpeg).unwrap();
    let (w, h) = seen.dimensions();
    let name = |x: u32, y: u32| match seen.get_pixel(x, y).0.map(|c| c > 128) {
        [true, false, false, _] => 'r',
        [false, true, false, _] => 'g',
        [false, false, true, _] => 'b',
        [true, true, false, _] => 'y',
        _ => '?',
    };
    [(1, 1), (3, 1), (1, 3), (3, 3)]
        .iter()
        .map(|(x, y)| name(w * x / 4, h * y / 4))
        .collect()
}

#[test]
fn small_pictures_of_all_eight_orientations_stand_upright() {
    // generated.json: the display of each is 160 x 120 with these corners.
    let mut names: Vec<String> = (1..=8).map(|n| format!("gen_orient_{n}.jpg")).collect();
    names.push("gen_exif.webp".into());
    for name in names {
        let jpeg = small(&name, 160);
        assert_eq!(
            image::load_from_memory(&jpeg).unwrap().dimensions(),
            (160, 120),
            "{name}"
        );
        assert_eq!(quarters(&jpeg), "rgby", "{name}");
        // Turned pixels must not be turned again by whoever shows them.
        let mut decoder =
            image::codecs::jpeg::JpegDecoder::new(std::io::Cursor::new(&jpeg)).unwrap();
        assert_eq!(decoder.orientation().unwrap(), Orientation::NoTransforms);
        assert_eq!(decoder.exif_metadata().unwrap(), None);
    }
}

#[test]
fn a_profile_stays_with_the_pixels_it_explains() {
    let profile = |bytes: &[u8]| {
        let mut decoder =
            image::codecs::jpeg::JpegDecoder::new(std::io::Cursor::new(bytes)).unwrap();
        decoder.icc_profile().unwrap()
    };
    let original = profile(&fs::read(data().join("gen_p3.jpg")).unwrap());
    assert!(original.is_some());
    assert_eq!(profile(&small("gen_p3.jpg", 512)), original);
}

/// Patches of wide colours and stone, four by two, as a phone writes them.
const PATCHES: [[u8; 3]; 8] = [
    [200, 60, 40],
    [60, 170, 70],
    [40, 70, 190],
    [200, 160, 60],
    [176, 142, 108],
    [128, 128, 128],
    [92, 70, 55],
    [225, 222, 214],
];

#[test]
fn a_small_picture_of_display_p3_keeps_its_colours() {
    let icc = |bytes: &[u8]| {
        let reader = std::io::Cursor::new(bytes);
        let mut decoder = image::codecs::jpeg::JpegDecoder::new(reader).unwrap();
        decoder.icc_profile().unwrap().unwrap()
    };
    let p3 = icc(&fs::read(data().join("gen_p3.jpg")).unwrap());
    let large = image::RgbImage::from_fn(2400, 1200, |x, y| {
        image::Rgb(PATCHES[(x / 600 + y / 600 * 4) as usize])
    });
    let mut bytes = Vec::new();
    let mut encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, 92);
    image::ImageEncoder::set_icc_profile(&mut encoder, p3).unwrap();
    large.write_with_encoder(encoder).unwrap();
    let lab = |profile: Profile, levels: [f64; 3]| {
        let light = levels.map(linear);
        let xyz = profile
            .to_xyz()
            .map(|row| (0..3).map(|i| row[i] * light[i]).sum());
        xyz_to_lab(xyz)
    };
    for side in thumbs::SIDES {
        let small = thumbs::only(&bytes, side).unwrap();
        let profile = of_icc(&icc(&small)).unwrap();
        assert_eq!(profile, Profile::DisplayP3);
        let seen = image::load_from_memory(&small).unwrap().into_rgb8();
        let patch = seen.width() / 4;
        let mut apart: f64 = 0.0;
        for (n, wanted) in (0u32..).zip(PATCHES) {
            // The inner half of the patch.
            let (left, top) = (n % 4 * patch + patch / 4, n / 4 * patch + patch / 4);
            let inner = image::imageops::crop_imm(&seen, left, top, patch / 2, patch / 2);
            let inner = inner.to_image();
            let mean = [0, 1, 2].map(|c| {
                let sum: f64 = inner.pixels().map(|p| f64::from(p.0[c])).sum();
                sum / f64::from(inner.width() * inner.height())
            });
            let wanted = lab(Profile::DisplayP3, wanted.map(f64::from));
            let off = de2000(lab(profile, mean), wanted);
            assert!(off <= 1.0, "{side}: patch {n} is off by {off:.2}");
            apart = apart.max(de2000(lab(Profile::Srgb, mean), wanted));
        }
        // Without its profile the picture would be plainly wrong.
        assert!(apart > 2.0, "{side}: {apart:.2}");
    }
}

#[test]
fn four_components_and_one_make_pictures_too() {
    for (name, wanted) in [
        ("gen_cmyk.jpg", "rgby"),
        ("gen_progressive.jpg", "rgby"),
        ("gen_exif.png", "rgby"),
    ] {
        assert_eq!(quarters(&small(name, 160)), wanted, "{name}");
    }
    let grey = image::load_from_memory(&small("gen_grey.jpg", 160)).unwrap();
    let [r, g, b, _] = grey.get_pixel(40, 30).0;
    assert!(r.abs_diff(g) < 3 && g.abs_diff(b) < 3, "{r} {g} {b}");
}

#[test]
fn every_file_gives_pictures_or_one_plain_sentence_why_not() {
    let (mut shown, mut told) = (0, 0);
    for (name, path) in corpus() {
        let dir = tempfile::tempdir().unwrap();
        let bytes = fs::read(path).unwrap();
        let hash = Hash32::of(&bytes);
        let said = thumbs::make_all(dir.path(), &hash, &bytes);
        let kept = thumbs::SIDES
            .iter()
            .filter(|s| thumbs::kept(dir.path(), &hash, **s).is_some())
            .count();
        match kept {
            3 => shown += 1,
            0 => {
                assert_eq!(said.len(), 1, "{name}");
                told += 1;
            }
            n => panic!("{name}: {n} pictures"),
        }
        for text in said {
            let plain = text.len() > 40
                && text.len() < 400
                && text.ends_with('.')
                && !text.contains("our fault");
            assert!(plain, "{name}: {text}");
        }
    }
    assert!(shown >= 60 && told >= 12, "{shown} {told}");
}
