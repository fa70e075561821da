//! How long small pictures take: 12 MP to 512 px, beside `vipsthumbnail` on this machine.
//!
//! The photo is made here: stone-like grain over slow shades, 4000 x 3000 pixels, as a JPEG
//! without subsampled colour, which is all that the encoder writes; a file named as argument
//! is taken instead. Each way runs in turn, several times, and the medians are told, with
//! their ratio. `cargo xtask bench` runs it.

use image::codecs::jpeg::JpegEncoder;
use image::{ImageBuffer, Rgb, RgbImage};
use serde_json::json;
use slowstone_hub::thumbs;
use slowstone_store::Hash32;
use std::error::Error;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

/// 12 million pixels.
const SIZE: (u32, u32) = (4000, 3000);
/// Turns of each way; the first one warms up and does not count.
const TURNS: usize = 12;

fn main() -> Result<(), Box<dyn Error>> {
    let dir = std::env::temp_dir().join(format!("slowstone-bench-{}", std::process::id()));
    std::fs::create_dir_all(&dir)?;
    let done = measure(&dir);
    let _ = std::fs::remove_dir_all(&dir);
    println!("photos {}", done?);
    Ok(())
}

fn measure(dir: &Path) -> Result<serde_json::Value, Box<dyn Error>> {
    let photo = dir.join("photo.jpg");
    let bytes = match std::env::args_os().nth(1) {
        Some(file) => std::fs::read(file)?,
        None => photo_of_stone()?,
    };
    std::fs::write(&photo, &bytes)?;
    let vips = Command::new("vipsthumbnail")
        .arg("--vips-version")
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|s| s.success());
    let (mut one, mut all, mut other) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..TURNS {
        one.push(timed(|| {
            let read = std::fs::read(&photo)?;
            std::fs::write(dir.join("own.jpg"), thumbs::only(&read, 512)?)?;
            Ok(())
        })?);
        all.push(timed(|| {
            let read = std::fs::read(&photo)?;
            let said = thumbs::make_all(dir, &Hash32::of(&read), &read);
            said.into_iter().next().map_or(Ok(()), |s| Err(s.into()))
        })?);
        if vips {
            other.push(timed(|| {
                let status = Command::new("vipsthumbnail")
                    .arg(&photo)
                    .args(["--size", "512x512", "-o"])
                    .arg(dir.join("vips.jpg"))
                    .status()?;
                let failed = || Err("vipsthumbnail failed".into());
                if status.success() { Ok(()) } else { failed() }
            })?);
        }
    }
    let (one, all) = (median(&mut one), median(&mut all));
    let beside = if vips {
        let other = median(&mut other);
        json!({ "to_512_ms": other.round(), "ratio": (one / other * 100.0).round() / 100.0 })
    } else {
        json!("not installed (libvips-tools)")
    };
    Ok(json!({
        "megabytes": format!("{:.1}", bytes.len() as f64 / 1e6),
        "to_512_ms": one.round(), "three_sizes_ms": all.round(), "vipsthumbnail": beside,
    }))
}

/// Milliseconds.
fn timed(work: impl FnOnce() -> Result<(), Box<dyn Error>>) -> Result<f64, Box<dyn Error>> {
    let begun = Instant::now();
    work()?;
    Ok(begun.elapsed().as_secs_f64() * 1e3)
}

fn median(times: &mut Vec<f64>) -> f64 {
    times.remove(0);
    times.sort_by(f64::total_cmp);
    times.get(times.len() / 2).copied().unwrap_or(f64::NAN)
}

/// Grain on shades; always the same bytes.
fn photo_of_stone() -> Result<Vec<u8>, Box<dyn Error>> {
    let mut seed = 0x2545_F491_4F6C_DD1D_u64;
    let pixels: RgbImage = ImageBuffer::from_fn(SIZE.0, SIZE.1, |x, y| {
        // Xorshift (Marsaglia 2003).
        seed ^= seed << 13;
        seed ^= seed >> 7;
        seed ^= seed << 17;
        let grain = (seed % 29) as f64 - 14.0;
        let slow = (f64::from(x) / 310.0).sin() * 30.0 + (f64::from(y) / 170.0).cos() * 24.0;
        let level = |base: f64| (base + slow + grain).clamp(0.0, 255.0) as u8;
        Rgb([level(150.0), level(138.0), level(118.0)])
    });
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, 90).encode_image(&pixels)?;
    Ok(jpeg)
}
