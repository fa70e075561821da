//! How long photos take, as rows of the table of `cargo xtask bench`.
//!
//! `small`: 12 MP to 512 px, beside `vipsthumbnail` on this machine. `colour [PYTHON]`: one
//! photo measured and one curve of doses fitted, beside numpy ([`colour`]). The photo is made
//! here: stone-like grain over slow shades with a grey card, 4000 x 3000 pixels, as a JPEG
//! without subsampled colour, which is all that the encoder writes. What is measured and
//! what it is held against take turns, and medians are told.

mod colour;

use image::codecs::jpeg::JpegEncoder;
use image::{ImageBuffer, Rgb, RgbImage};
use slowstone_hub::thumbs;
use slowstone_store::Hash32;
use std::error::Error;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

/// Whatever goes wrong ends the measurement with its own words.
type Done<T> = Result<T, Box<dyn Error>>;

/// 12 million pixels.
const SIZE: (u32, u32) = (4000, 3000);
/// Turns of each way; the first one warms up and does not count.
const TURNS: usize = 12;

fn main() -> Done<()> {
    let mut args = std::env::args().skip(1);
    let what = args.next().unwrap_or_default();
    let dir = tempfile::tempdir()?;
    let photo = dir.path().join("photo.jpg");
    std::fs::write(&photo, photo_of_stone()?)?;
    match what.as_str() {
        "small" => small(dir.path(), &photo),
        "colour" => colour::measure(&photo, args.next().as_deref()),
        _ => Err("small, or colour [PYTHON]".into()),
    }
}

fn small(dir: &Path, photo: &Path) -> Done<()> {
    let megabytes = std::fs::metadata(photo)?.len() as f64 / 1e6;
    let vips = Command::new("vipsthumbnail")
        .arg("--vips-version")
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|s| s.success());
    let (mut one, mut all, mut other) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..TURNS {
        one.push(timed(|| {
            let read = std::fs::read(photo)?;
            std::fs::write(dir.join("own.jpg"), thumbs::only(&read, 512)?)?;
            Ok(())
        })?);
        all.push(timed(|| {
            let read = std::fs::read(photo)?;
            let said = thumbs::make_all(dir, &Hash32::of(&read), &read);
            said.into_iter().next().map_or(Ok(()), |s| Err(s.into()))
        })?);
        if vips {
            other.push(timed(|| {
                let status = Command::new("vipsthumbnail")
                    .arg(photo)
                    .args(["--size", "512x512", "-o"])
                    .arg(dir.join("vips.jpg"))
                    .status()?;
                let failed = || Err("vipsthumbnail failed".into());
                if status.success() { Ok(()) } else { failed() }
            })?);
        }
    }
    let (anchor, beside, note) = if vips {
        let other = format!("{:.2}", median(&mut other));
        ("vipsthumbnail", other, "the process started each time")
    } else {
        (
            "",
            String::new(),
            "vipsthumbnail is not installed (libvips-tools)",
        )
    };
    let (one, all) = (median(&mut one), median(&mut all));
    let how = format!("12 MP JPEG of {megabytes:.1} MB, disk to disk");
    println!(
        "photos: small picture, 512 px\t{one:.2}\tms\t{anchor}\t{beside}\t{how}; {note}; {} turns",
        TURNS - 1
    );
    println!("photos: all three sizes at once\t{all:.2}\tms\t\t\t{how}");
    Ok(())
}

/// Milliseconds.
fn timed(work: impl FnOnce() -> Done<()>) -> Done<f64> {
    let begun = Instant::now();
    work()?;
    Ok(begun.elapsed().as_secs_f64() * 1e3)
}

/// The median of all turns but the first.
fn median(times: &mut Vec<f64>) -> f64 {
    times.remove(0);
    times.sort_by(f64::total_cmp);
    times.get(times.len() / 2).copied().unwrap_or(f64::NAN)
}

/// Grain on shades, and a card of 18 % grey in it; always the same bytes.
fn photo_of_stone() -> Done<Vec<u8>> {
    let mut seed = 0x2545_F491_4F6C_DD1D_u64;
    let card = colour::CARD;
    let pixels: RgbImage = ImageBuffer::from_fn(SIZE.0, SIZE.1, |x, y| {
        // Xorshift (Marsaglia 2003).
        seed ^= seed << 13;
        seed ^= seed >> 7;
        seed ^= seed << 17;
        let grain = (seed % 29) as f64 - 14.0;
        if (card.x0..card.x1).contains(&x) && (card.y0..card.y1).contains(&y) {
            return Rgb([(118.0 + grain / 7.0) as u8; 3]);
        }
        let slow = (f64::from(x) / 310.0).sin() * 30.0 + (f64::from(y) / 170.0).cos() * 24.0;
        let level = |base: f64| (base + slow + grain).clamp(0.0, 255.0) as u8;
        Rgb([level(150.0), level(138.0), level(118.0)])
    });
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, 90).encode_image(&pixels)?;
    Ok(jpeg)
}
