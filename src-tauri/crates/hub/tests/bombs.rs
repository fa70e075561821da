//! Small files that unpack to much more: taken, shown, and never unpacked. The
//! memory is that of a real hub, as the system counts it.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(target_os = "linux")]

mod running;

use flate2::Compression;
use flate2::write::ZlibEncoder;
use running::{Hub, log, send_photo, the_site};
use serde_json::json;
use std::io::Write;

/// What each bomb unpacks to.
const UNPACKED: usize = 96 << 20;

/// The most that a bomb may add to the memory of the hub.
const ALLOWED_KB: u64 = 40 << 10;

fn packed_zeros() -> Vec<u8> {
    let mut out = ZlibEncoder::new(Vec::new(), Compression::best());
    let zeros = vec![0; 1 << 20];
    for _ in 0..UNPACKED >> 20 {
        out.write_all(&zeros).unwrap();
    }
    out.finish().unwrap()
}

/// CRC-32 of PNG, third edition, annex D.
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, b| {
        (0..8).fold(crc ^ u32::from(*b), |c, _| {
            (c >> 1) ^ (0xEDB8_8320 * (c & 1))
        })
    })
}

fn chunk(kind: &[u8; 4], body: &[u8]) -> Vec<u8> {
    let named = [&kind[..], body].concat();
    let len = u32::try_from(body.len()).unwrap().to_be_bytes();
    [&len[..], &named, &crc(&named).to_be_bytes()].concat()
}

/// A PNG of some pixels with this chunk before them.
fn png_with(chunk: &[u8]) -> Vec<u8> {
    let mut out = std::io::Cursor::new(Vec::new());
    let pixels = image::RgbImage::from_pixel(40, 30, image::Rgb([180, 120, 60]));
    pixels.write_to(&mut out, image::ImageFormat::Png).unwrap();
    let plain = out.into_inner();
    // Signature and IHDR have 33 bytes.
    [&plain[..33], chunk, &plain[33..]].concat()
}

/// The most memory that the process ever had, in kilobytes (proc(5), VmHWM).
fn peak_kb(hub: &Hub) -> u64 {
    let status = std::fs::read_to_string(format!("/proc/{}/status", hub.child.id())).unwrap();
    let line = status.lines().find(|l| l.starts_with("VmHWM:")).unwrap();
    line.split_whitespace().nth(1).unwrap().parse().unwrap()
}

#[test]
fn what_is_packed_in_a_photo_stays_packed() {
    let zeros = packed_zeros();
    assert!(zeros.len() < 1 << 20, "{}", zeros.len());
    let profile = [&b"bomb\0\0"[..], &zeros].concat();
    let text = [&b"Comment\0\0"[..], &zeros].concat();
    let words = [&b"XML:com.adobe.xmp\0\x01\0\0\0"[..], &zeros].concat();
    let bombs = [
        ("iCCP", png_with(&chunk(b"iCCP", &profile))),
        ("zTXt", png_with(&chunk(b"zTXt", &text))),
        ("iTXt", png_with(&chunk(b"iTXt", &words))),
        // Sixteen at once.
        ("many", png_with(&chunk(b"zTXt", &text).repeat(16))),
    ];
    // It is a bomb: the decoder by itself unpacks all of it.
    let reader = image::ImageReader::new(std::io::Cursor::new(&bombs[0].1));
    let mut decoder = reader
        .with_guessed_format()
        .unwrap()
        .into_decoder()
        .unwrap();
    let profile = image::ImageDecoder::icc_profile(&mut decoder)
        .unwrap()
        .unwrap();
    assert_eq!(profile.len(), UNPACKED);
    drop(profile);
    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &["--empty"]);
    log(&hub, json!([the_site()]));
    send_photo(&hub, 1);
    let before = peak_kb(&hub);
    for (name, bytes) in &bombs {
        let path = format!("/api/sites/site-0001/photos?by=Jonas&name={name}.png");
        let said = hub.post(&path, bytes);
        assert_eq!(said["photo"]["width_px"], json!(40), "{name}");
        let hash = said["photo"]["hash"].as_str().unwrap();
        let small = ureq::get(format!("{}/api/photos/{hash}?size=512", hub.base))
            .header("authorization", format!("Bearer {}", hub.token))
            .call()
            .unwrap();
        assert_eq!(small.status(), 200, "{name}");
        let more = peak_kb(&hub).saturating_sub(before);
        // The largest file comes in whole, 16 times 95 kB; nothing is unpacked.
        assert!(more < ALLOWED_KB, "{name}: {more} kB more");
    }
    hub.stop();
}
