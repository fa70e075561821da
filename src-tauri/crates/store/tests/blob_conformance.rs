//! One suite for every blob store, and the folder's own business with files.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

use slowstone_store::{BlobStore, FolderBlobs, Hash32, MemoryBlobs, StoreError, verify_blobs};
use std::fs;
use std::io::{self, Read};
use std::path::Path;

fn each_engine(check: impl Fn(&dyn BlobStore)) {
    check(&MemoryBlobs::default());
    #[cfg(feature = "firm")]
    check(&slowstone_store::ObjectBlobs::open("memory:///").unwrap());
    // An S3-compatible server, where one was started (tests/hub/outside/s3.py).
    #[cfg(feature = "firm")]
    if let Ok(bucket) = std::env::var("SLOWSTONE_TEST_S3") {
        let fresh = Hash32::of(format!("{:?}", std::thread::current().id()).as_bytes());
        let place = format!("{bucket}/{fresh}-{}", std::process::id());
        check(&slowstone_store::ObjectBlobs::open(&place).unwrap());
    }
    let dir = tempfile::tempdir().unwrap();
    check(&FolderBlobs::open(&dir.path().join("a").join("blobs")).unwrap());
}

#[test]
fn bytes_come_back_under_their_hash() {
    each_engine(|blobs| {
        let absent = Hash32::of(b"absent");
        assert_eq!(blobs.get(&absent).unwrap(), None);
        assert_eq!(blobs.size(&absent).unwrap(), None);
        assert!(!blobs.has(&absent).unwrap() && !blobs.verify(&absent).unwrap());
        let big: Vec<u8> = (0..300_000u32).map(|i| (i * 7 % 251) as u8).collect();
        let mut hashes = Vec::new();
        for bytes in [&b""[..], b"a photo", &big] {
            let hash = blobs.put(bytes).unwrap();
            assert_eq!(hash, Hash32::of(bytes));
            assert_eq!(blobs.put(bytes).unwrap(), hash, "again");
            assert_eq!(blobs.get(&hash).unwrap().unwrap(), bytes);
            assert_eq!(blobs.size(&hash).unwrap(), Some(bytes.len() as u64));
            assert!(blobs.has(&hash).unwrap() && blobs.verify(&hash).unwrap());
            hashes.push(hash);
        }
        hashes.sort();
        assert_eq!(blobs.list().unwrap(), hashes);
        let report = verify_blobs(blobs).unwrap();
        assert!(report.is_clean());
        assert_eq!(report.blobs, 3);
    });
}

/// Gives its bytes three at a time, and fails after them if told so.
struct Drip<'a>(&'a [u8], bool);

impl Read for Drip<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        if self.0.is_empty() && self.1 {
            return Err(io::Error::new(
                io::ErrorKind::ConnectionReset,
                "cable pulled",
            ));
        }
        let n = self.0.len().min(3).min(buffer.len());
        buffer[..n].copy_from_slice(&self.0[..n]);
        self.0 = &self.0[n..];
        Ok(n)
    }
}

#[test]
fn a_stream_is_stored_whole_or_not_at_all() {
    each_engine(|blobs| {
        let (hash, length) = blobs.put_reader(&mut Drip(b"ten bytes.", false)).unwrap();
        assert_eq!((hash, length), (Hash32::of(b"ten bytes."), 10));
        let broken = blobs.put_reader(&mut Drip(b"half of", true)).unwrap_err();
        assert!(broken.to_string().contains("cable pulled"), "{broken}");
        assert_eq!(blobs.list().unwrap(), [hash]);
    });
}

fn names(dir: &Path) -> Vec<String> {
    let entries = fs::read_dir(dir).unwrap();
    entries
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect()
}

#[test]
fn files_lie_where_the_hash_says_and_leftovers_go() {
    let dir = tempfile::tempdir().unwrap();
    let blobs = FolderBlobs::open(dir.path()).unwrap();
    let hash = blobs.put(b"abc").unwrap();
    // BLAKE3 of "abc": 6437b3ac..., as the `blake3` package of Python gives it too.
    let hex = "6437b3ac38465133ffb63b75273a8db548c558465d79db03fd359c6cd5bd9d85";
    let path = dir.path().join("64").join(&hex[2..]);
    assert_eq!(hash.to_string(), hex);
    assert_eq!(blobs.path(&hash), Some(path.clone()));
    assert_eq!(fs::read(&path).unwrap(), b"abc");
    blobs.put_reader(&mut Drip(b"x", true)).unwrap_err();
    assert_eq!(
        names(dir.path()),
        ["64"],
        "an interrupted write leaves nothing"
    );

    // What a killed process leaves goes at the next start; what is not ours stays.
    fs::write(dir.path().join(".part-1-0"), b"half").unwrap();
    fs::write(dir.path().join("notes.txt"), b"mine").unwrap();
    fs::write(dir.path().join("64").join("foreign"), b"mine").unwrap();
    assert_eq!(
        FolderBlobs::open_existing(dir.path())
            .unwrap()
            .list()
            .unwrap(),
        [hash]
    );
    assert!(
        dir.path().join(".part-1-0").exists(),
        "a look changes nothing"
    );
    let blobs = FolderBlobs::open(dir.path()).unwrap();
    assert_eq!(blobs.list().unwrap(), [hash]);
    let mut left = names(dir.path());
    left.sort();
    assert_eq!(left, ["64", "notes.txt"]);
    assert!(dir.path().join("64").join("foreign").exists());
    assert!(matches!(
        FolderBlobs::open_existing(&dir.path().join("nowhere")),
        Err(StoreError::Missing { .. })
    ));
}

#[test]
fn altered_bytes_are_noticed_and_healed_by_the_same_photo() {
    let dir = tempfile::tempdir().unwrap();
    let blobs = FolderBlobs::open(dir.path()).unwrap();
    let good = blobs.put(b"good").unwrap();
    let hash = blobs.put(b"photo bytes").unwrap();
    for damage in [&b"photo bytez"[..], b"photo"] {
        fs::write(blobs.path(&hash).unwrap(), damage).unwrap();
        let error = blobs.verify(&hash).unwrap_err();
        assert!(matches!(error, StoreError::Altered { .. }));
        assert!(
            error.to_string().contains("send the photo again"),
            "{error}"
        );
        assert_eq!(verify_blobs(&blobs).unwrap().altered, [hash]);
        blobs.put(b"photo bytes").unwrap();
        assert!(blobs.verify(&hash).unwrap() && blobs.verify(&good).unwrap());
    }
}

#[test]
fn many_at_once() {
    let dir = tempfile::tempdir().unwrap();
    let blobs = FolderBlobs::open(dir.path()).unwrap();
    std::thread::scope(|scope| {
        for thread in 0..4u8 {
            let blobs = &blobs;
            scope.spawn(move || {
                for i in 0..20u8 {
                    // Half of them the same in every thread.
                    let own = if i % 2 == 0 { thread } else { 99 };
                    blobs.put(&[i, own]).unwrap();
                }
            });
        }
    });
    assert_eq!(blobs.list().unwrap().len(), 4 * 10 + 10);
    assert!(verify_blobs(&blobs).unwrap().is_clean());
}

#[test]
fn a_file_in_the_way_is_a_plain_error() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("file");
    fs::write(&file, b"x").unwrap();
    let Err(error) = FolderBlobs::open(&file) else {
        panic!("a file is not a folder")
    };
    assert!(error.to_string().contains("file"), "{error}");
    assert_eq!(fs::read(&file).unwrap(), b"x");
}
