//! Many phones that come back to the signal at the same moment.
//!
//! Each does what the web app does (`ui/src/log/send.ts`, `photos.ts`): asks how far the
//! hub has its stream, sends its batches, then its photos in pieces, and at the end asks for
//! what the others have logged. A phone that is told to wait (429) waits and tries again;
//! that is counted, and so is everything that failed.

use crate::hub::{Hub, Link, NOW, number, reading, site};
use crate::rate::BATCH;
use crate::{Done, Sizes, at_share, row};
use image::codecs::jpeg::JpegEncoder;
use image::{ImageBuffer, Rgb, RgbImage};
use slowstone_sync::{Outbox, Receipt, StreamId};
use std::path::Path;
use std::time::{Duration, Instant};

/// Sites of the firm.
const SITES: usize = 10;

/// Bytes of a piece (`PIECE` in `ui/src/log/photos.ts`).
const PIECE: usize = 1 << 19;

/// What one phone met.
#[derive(Default)]
struct Met {
    seconds: f64,
    waits: usize,
    failed: Vec<String>,
}

/// All of them at once.
pub fn measure(sizes: &Sizes, dir: &Path) -> Done<()> {
    std::fs::create_dir_all(dir)?;
    let hub = Hub::start(dir)?;
    hub.connect().make_sites(SITES)?;
    let picture = picture()?;
    let begun = Instant::now();
    let mut met: Vec<Met> = std::thread::scope(|scope| {
        let (hub, picture) = (&hub, &picture);
        let running: Vec<_> = (0..sizes.phones)
            .map(|n| scope.spawn(move || phone(hub, n, sizes, picture)))
            .collect();
        let gone = || Met {
            failed: vec!["a phone's thread ended".to_owned()],
            ..Met::default()
        };
        running
            .into_iter()
            .map(|phone| phone.join().unwrap_or_else(|_| gone()))
            .collect()
    });
    let seconds = begun.elapsed().as_secs_f64();
    let mut each: Vec<f64> = met.iter().map(|m| m.seconds).collect();
    let waits: usize = met.iter().map(|m| m.waits).sum();
    let failed: Vec<String> = met.iter_mut().flat_map(|m| m.failed.drain(..)).collect();
    let there = held(&hub)?;
    let sent = sizes.phones * (sizes.each + sizes.photos) + SITES;
    if there != sent || !failed.is_empty() {
        let first = failed.first().cloned().unwrap_or_default();
        let many = failed.len();
        return Err(format!("{there} of {sent} are there, {many} failed: {first}").into());
    }
    let what = format!("{} phones come back at once", sizes.phones);
    let how = format!(
        "{} entries and {} photos of {} KB each; half are done in {:.1} s, told to wait {waits} \
         times, none failed; hub at most {} MB",
        sizes.each,
        sizes.photos,
        picture.len() / 1024,
        at_share(&mut each, 0.5),
        hub.megabytes("VmHWM").unwrap_or(f64::NAN),
    );
    row(&what, (seconds, "s"), None, &how);
    Ok(())
}

/// Entries that the hub has on all sites.
fn held(hub: &Hub) -> Done<usize> {
    let link = hub.connect();
    let mut there = 0;
    for n in 0..SITES {
        let view = link.json("GET", &format!("/api/sites/{}", site(n)), b"")?;
        there += number(&view, "events");
    }
    Ok(there)
}

fn phone(hub: &Hub, n: usize, sizes: &Sizes, picture: &[u8]) -> Met {
    let (link, begun, mut met) = (hub.connect(), Instant::now(), Met::default());
    if let Err(e) = entries(&link, n, sizes.each) {
        met.failed.push(format!("phone {n}: {e}"));
    }
    for photo in 0..sizes.photos {
        let tail = format!("{n:05}{photo:05}");
        let bytes = [picture, tail.as_bytes()].concat();
        if let Err(e) = send(&link, n, &format!("photo-{tail}"), &bytes, &mut met.waits) {
            met.failed.push(format!("phone {n}, photo {photo}: {e}"));
        }
    }
    let others = format!("/api/sites/{}", site(n % SITES));
    if let Err(e) = link.json("GET", &others, b"") {
        met.failed.push(format!("phone {n}: {e}"));
    }
    met.seconds = begun.elapsed().as_secs_f64();
    met
}

fn entries(link: &Link, n: usize, each: usize) -> Done<()> {
    let name = format!("phone{n}");
    link.json("GET", &format!("/api/hub?device={name}"), b"")?;
    let mut outbox = Outbox::new(StreamId::new(&name, "e1")?);
    let unused = StreamId::new("never", "used")?;
    for i in 0..each {
        outbox.write(reading(&format!("{name}-read-{i:05}"), n % SITES, NOW))?;
    }
    while let Some(batch) = outbox.batch(BATCH) {
        let said = link.json("POST", "/api/streams", &serde_json::to_vec(&batch)?)?;
        let receipt: Receipt = serde_json::from_value(said.clone())?;
        if receipt.accepted != batch.bodies.len() as u64 {
            return Err(format!("a batch was not taken: {said}").into());
        }
        outbox.hear(&batch, &receipt, &unused);
    }
    Ok(())
}

/// One photo in pieces.
fn send(link: &Link, n: usize, id: &str, bytes: &[u8], waits: &mut usize) -> Done<()> {
    let upload = format!("/api/uploads/{id}");
    let mut have = number(&link.json("GET", &upload, b"")?, "bytes");
    while have < bytes.len() {
        let end = bytes.len().min(have + PIECE);
        let piece = bytes.get(have..end).unwrap_or_default();
        let (status, said) = link.ask("PUT", &format!("{upload}?offset={have}"), piece)?;
        match status {
            200 => have = end,
            429 => {
                *waits += 1;
                std::thread::sleep(Duration::from_millis(500));
            }
            _ => return Err(format!("{status} {}", String::from_utf8_lossy(&said)).into()),
        }
    }
    let to = format!(
        "/api/sites/{}/photos?by=Ada&name=a.jpg&id={id}&from={id}&bytes={}",
        site(n % SITES),
        bytes.len()
    );
    link.json("POST", &to, b"")?;
    Ok(())
}

/// A small photo: 800 x 600 of grain on grey.
fn picture() -> Done<Vec<u8>> {
    let mut seed = 0x2545_F491_4F6C_DD1D_u64;
    let pixels: RgbImage = ImageBuffer::from_fn(800, 600, |_, _| {
        // Xorshift (Marsaglia 2003).
        seed ^= seed << 13;
        seed ^= seed >> 7;
        seed ^= seed << 17;
        let level = 120 + (seed % 24) as u8;
        Rgb([level, level, level - 8])
    });
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, 75).encode_image(&pixels)?;
    Ok(jpeg)
}
