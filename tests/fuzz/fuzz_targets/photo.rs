//! Photos: whatever the bytes, facts within their ranges and an answer about the pixels.
//! Decoders from outside are caught when they panic; our own reader may not.
#![no_main]

use libfuzzer_sys::fuzz_target;
use slowstone_photo::{photo_facts, scaled::decode_for};

fuzz_target!(|data: &[u8]| {
    let facts = photo_facts("photo.jpg", data);
    assert!(facts.problems.iter().all(|p| p.code != "reader_failed"));
    assert!(facts.orientation.is_none_or(|o| (1..=8).contains(&o)));
    assert!(facts.subsec_ms.is_none_or(|ms| ms < 1000));
    assert!(facts.lat.is_none_or(|d| d.abs() <= 90.0));
    assert!(facts.lon.is_none_or(|d| d.abs() <= 180.0));
    let _ = decode_for(data, 160);
});
