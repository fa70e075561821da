//! Pixels of HEIC and AVIF files, against libheif's own encoder and the public corpus.
//!
//! Needs libheif's converter and encoder (Debian: libheif-examples), which
//! `cargo xtask test` installs; says so and checks nothing where they are not.

use image::{GenericImageView, Rgb, RgbImage};
use slowstone_hub::photo::{decode, heif, photo_facts};
use std::path::Path;
use std::process::Command;

fn skipped() -> bool {
    let there = heif::is_there() && Command::new("heif-enc").arg("--help").output().is_ok();
    if !there {
        eprintln!("SKIPPED: libheif's programs are not on this machine (libheif-examples)");
    }
    !there
}

#[test]
fn files_of_the_corpus_have_the_size_that_their_header_says() {
    if skipped() {
        return;
    }
    let corpus = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/exif-corpus");
    for name in ["gen_exif.heic", "kex_exif.heic", "gen_exif.avif"] {
        let bytes = std::fs::read(corpus.join(name)).unwrap();
        let facts = photo_facts(name, &bytes);
        let picture = decode(&bytes).unwrap();
        assert_eq!(picture.instead_of, None, "{name}");
        let size = picture.upright().dimensions();
        assert_eq!(Some(size.0), facts.width, "{name}");
        assert_eq!(Some(size.1), facts.height, "{name}");
    }
    let cut = std::fs::read(corpus.join("gen_cut.heic")).unwrap();
    let why = decode(&cut).unwrap_err().to_string();
    assert!(
        why.contains("HEIC") && why.contains("kept as it is"),
        "{why}"
    );
}

#[test]
fn colours_come_out_as_they_went_in() {
    if skipped() {
        return;
    }
    // Greys, ochre and umber of a wet step; flat patches survive the coding (libheif, x265).
    let patches = [
        [200, 200, 198],
        [118, 117, 116],
        [176, 128, 62],
        [92, 70, 52],
    ];
    let pixels = RgbImage::from_fn(256, 64, |x, _| Rgb(patches[(x / 64) as usize]));
    let dir = tempfile::tempdir().unwrap();
    let png = dir.path().join("patches.png");
    pixels.save(&png).unwrap();
    for (name, coding) in [("a.heic", "--hevc"), ("b.avif", "--avif")] {
        let out = dir.path().join(name);
        let mut encoder = Command::new("heif-enc");
        encoder.args(["-q", "95", "-p", "chroma=444"]);
        if coding == "--avif" {
            encoder.arg("--avif");
        }
        let done = encoder.arg("-o").arg(&out).arg(&png).output().unwrap();
        assert!(done.status.success(), "{done:?}");
        let seen = decode(&std::fs::read(&out).unwrap()).unwrap().upright();
        assert_eq!(seen.dimensions(), (256, 64), "{name}");
        for (i, want) in patches.iter().enumerate() {
            let got = seen.get_pixel(i as u32 * 64 + 32, 32);
            for c in 0..3 {
                let off = i16::from(got[c]) - i16::from(want[c]);
                assert!(off.abs() <= 3, "{name}, patch {i}: {got:?} for {want:?}");
            }
        }
    }
}
