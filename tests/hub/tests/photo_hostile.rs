//! Files that are no photos, and photos broken at random: always an answer.
//!
//! Nothing may panic or hang, whatever the bytes; a panic inside a decoder from outside is
//! caught and said, one in our own reader fails here. What whole photos say is checked in
//! `photo_corpus.rs`.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use proptest::prelude::*;
use proptest::sample::Index;
use slowstone_hub::photo::scaled::decode_for;
use slowstone_hub::photo::{PhotoFacts, PictureError, decode, photo_facts};
use std::fs;
use std::path::Path;
use std::sync::LazyLock;

static CORPUS: LazyLock<Vec<(String, Vec<u8>)>> = LazyLock::new(|| {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/exif-corpus");
    let mut files: Vec<_> = fs::read_dir(dir)
        .unwrap()
        .map(|f| f.unwrap().path())
        .map(|p| {
            (
                p.file_name().unwrap().to_string_lossy().into_owned(),
                fs::read(p).unwrap(),
            )
        })
        .filter(|(name, _)| !name.ends_with(".json") && !name.ends_with(".md"))
        .collect();
    files.sort();
    files
});

/// What holds for the facts of any bytes.
fn sound(facts: &PhotoFacts) {
    let codes: Vec<&str> = facts.problems.iter().map(|p| p.code).collect();
    assert!(!codes.contains(&"reader_failed"), "{codes:?}");
    assert!(codes.len() < 20, "{codes:?}");
    assert!(facts.orientation.is_none_or(|o| (1..=8).contains(&o)));
    assert!(
        facts.lat.is_none_or(|d| d.abs() <= 90.0) && facts.lon.is_none_or(|d| d.abs() <= 180.0)
    );
    assert!(facts.offset_min.is_none_or(|m| (-720..=840).contains(&m)));
    assert!(facts.subsec_ms.is_none_or(|ms| ms < 1000));
    assert!(facts.format.is_some() || codes == ["not_a_photo"]);
    for p in &facts.problems {
        assert!(p.text.len() < 1000 && p.text.ends_with('.'), "{}", p.text);
    }
}

/// A file of the corpus with some bytes changed, and perhaps an end cut off. Most changes
/// fall near the beginning, where the structure is.
fn broken() -> impl Strategy<Value = (String, Vec<u8>)> {
    let change = (prop::bool::weighted(0.7), any::<Index>(), any::<u8>());
    let changes = prop::collection::vec(change, 0..24);
    (
        any::<Index>(),
        changes,
        prop::option::weighted(0.3, any::<Index>()),
    )
        .prop_map(|(file, changes, cut)| {
            let (name, mut bytes) = file.get(&CORPUS).clone();
            for (early, at, to) in changes {
                let reach = if early {
                    bytes.len().min(400)
                } else {
                    bytes.len()
                };
                if reach > 0 {
                    bytes[at.index(reach)] = to;
                }
            }
            if let Some(cut) = cut.filter(|_| !bytes.is_empty()) {
                let at = cut.index(bytes.len());
                bytes.truncate(at);
            }
            (name, bytes)
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn broken_photos_get_an_answer((name, bytes) in broken()) {
        sound(&photo_facts(&name, &bytes));
        let small = decode_for(&bytes, 30);
        match decode(&bytes) {
            Ok(picture) => {
                prop_assert!(small.is_ok(), "only the small picture fails");
                let seen = picture.upright();
                prop_assert!(u64::from(seen.width()) * u64::from(seen.height()) <= 120_000_000);
            }
            Err(why) => prop_assert!(why.to_string().ends_with('.')),
        }
    }

    #[test]
    fn any_bytes_get_an_answer(head in 0..8_usize, tail in prop::collection::vec(any::<u8>(), 0..300)) {
        let heads: [&[u8]; 8] = [
            b"", b"\xff\xd8\xff\xe1\x01\x00Exif\0\0II*\0\x08\0\0\0", b"\x89PNG\r\n\x1a\n", b"RIFF\xff\0\0\0WEBPVP8X",
            b"MM\0*\0\0\0\x08", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic\0\0\0\xf0meta\0\0\0\0", b"GIF89a", b"II+\0\x08\0\0\0",
        ];
        let bytes = [heads[head], &tail].concat();
        sound(&photo_facts("a.jpg", &bytes));
        if let Err(why) = decode(&bytes) {
            prop_assert!(why.to_string().len() > 40);
        }
    }
}

#[test]
fn what_is_no_photo_is_named() {
    for (bytes, word) in [
        (&b"PK\x03\x04\x14\0 and so on"[..], "a ZIP archive"),
        (b"%PDF-1.7", "a PDF document"),
        (b"", "an empty file"),
        (b"two bags of cement\n", "a text file"),
    ] {
        let facts = photo_facts("step.jpg", bytes);
        sound(&facts);
        assert!(
            facts.problems[0].text.contains(word),
            "{}",
            facts.problems[0].text
        );
        assert!(matches!(decode(bytes), Err(PictureError::NotAPhoto(w)) if w == word));
    }
}

#[test]
fn forty_megabytes_of_anything_get_an_answer() {
    // A generator from Numerical Recipes stands in for noise.
    let mut state = 1_u32;
    let mut noise = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 24) as u8
    };
    let noise: Vec<u8> = (0..40 << 20).map(|_| noise()).collect();
    let zeros = vec![0; 40 << 20];
    let ones = vec![0xFF; 40 << 20];
    for body in [&noise, &zeros, &ones] {
        for head in [
            &b""[..],
            b"\xff\xd8",
            b"\x89PNG\r\n\x1a\n",
            b"RIFF\0\0\0\0WEBP",
            b"II*\0\x08\0\0\0",
            b"\0\0\0\x18ftypheic",
        ] {
            let bytes = [head, body].concat();
            let facts = photo_facts("a.jpg", &bytes);
            sound(&facts);
            assert!(!facts.problems.is_empty());
            assert!(decode(&bytes).is_err());
        }
    }
}
