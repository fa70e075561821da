//! Renders the photos of the demonstration site: concrete steps in and out of their
//! forms, tinted by the doses of the scenario, seen from the front.
//!
//! Then close-ups of each with a grey card, and the entries that measuring them gives, to be
//! put into `site.json` (a test of the hub holds them against the photos).
//!
//! A small ray caster: boxes on a gravel bank under an overcast sky. Always the same
//! bytes. Run it with `cargo run --release -p slowstone-hub --example render_demo_photos`.

mod close;
mod scene;

use close::Close;
use image::codecs::jpeg::JpegEncoder;
use image::{ImageBuffer, Rgb};
use scene::{Shot, colour_at};
use slowstone_colour::Lab;
use slowstone_colour::measure::Rect;
use slowstone_hub::colour::{CardAt, measure_photo};
use std::error::Error;
use std::path::Path;

const WIDTH: u32 = 1200;
const HEIGHT: u32 = 900;

/// Name, ochre and umber in per cent of cement, fresh in its form, seed.
const SHOTS: &[(&str, f64, f64, bool, u64)] = &[
    ("step1-fresh.jpg", 2.0, 0.0, true, 11),
    ("step1-stripped.jpg", 2.0, 0.0, false, 11),
    ("step2-fresh.jpg", 3.0, 0.0, true, 22),
    ("step2-stripped.jpg", 3.0, 0.0, false, 22),
    ("step3-fresh.jpg", 3.0, 0.5, true, 33),
    ("step3-stripped.jpg", 3.0, 0.5, false, 33),
    ("step4-fresh.jpg", 3.0, 1.0, true, 44),
    ("step4-stripped.jpg", 3.0, 1.0, false, 44),
    ("step5-fresh.jpg", 2.5, 1.5, true, 55),
];

/// Name, ochre and umber in per cent of cement, seed.
const CLOSE: &[(&str, f64, f64, u64)] = &[
    ("step1-card.jpg", 2.0, 0.0, 101),
    ("step2-card.jpg", 3.0, 0.0, 202),
    ("step3-card.jpg", 3.0, 0.5, 303),
    ("step4-card.jpg", 3.0, 1.0, 431),
];

fn main() -> Result<(), Box<dyn Error>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../demo-data/photos");
    std::fs::create_dir_all(&folder)?;
    for &(name, ochre, umber, fresh, seed) in SHOTS {
        let shot = Shot {
            ochre,
            umber,
            fresh,
            seed,
        };
        let picture = ImageBuffer::from_fn(WIDTH, HEIGHT, |x, y| Rgb(pixel(&shot, x, y)));
        let mut jpeg = Vec::new();
        JpegEncoder::new_with_quality(&mut jpeg, 74).encode_image(&picture)?;
        let bytes = with_exif(&jpeg)?;
        println!("{name}: {} KB", bytes.len() / 1024);
        std::fs::write(folder.join(name), bytes)?;
    }
    for &(name, ochre, umber, seed) in CLOSE {
        let doses = (ochre, umber);
        let close = Close { doses, seed };
        let shown = |x, y| Rgb(encoded(close::pixel(&close, x, y)));
        let picture = ImageBuffer::from_fn(close::WIDTH, close::HEIGHT, shown);
        let mut jpeg = Vec::new();
        JpegEncoder::new_with_quality(&mut jpeg, 80).encode_image(&picture)?;
        let bytes = with_exif(&jpeg)?;
        let [x0, y0, x1, y1] = close::CARD;
        let card = CardAt {
            rect: Rect { x0, y0, x1, y1 },
            lab: Lab::from_array([49.5, 0.0, 0.0]),
            sd: None,
        };
        let [x0, y0, x1, y1] = close::PATCH;
        let measured = measure_photo(&bytes, Rect { x0, y0, x1, y1 }, &[card])?;
        let entry = serde_json::json!({
            "patch": close::PATCH,
            "references": [{"card": "@card", "rect": close::CARD, "lab_d65": [49.5, 0.0, 0.0]}],
            "lab_d65": measured.lab.to_array(),
            "sd_lab": measured.sd,
            "own_sd_lab": measured.parts.own(),
            "state": "dry",
            "warnings": measured.warnings,
            "note": "",
        });
        println!("{name}: {} KB\n{entry}", bytes.len() / 1024);
        std::fs::write(folder.join(name), bytes)?;
    }
    Ok(())
}

/// Four rays to a pixel, so that edges are smooth.
fn pixel(shot: &Shot, x: u32, y: u32) -> [u8; 3] {
    let mut sum = [0.0; 3];
    for (dx, dy) in [(0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75)] {
        let u = (f64::from(x) + dx) / f64::from(WIDTH) * 2.0 - 1.0;
        let v = (f64::from(HEIGHT) / 2.0 - f64::from(y) - dy) / f64::from(WIDTH) * 2.0;
        let c = colour_at(shot, u, v);
        for (s, c) in sum.iter_mut().zip(c) {
            *s += c / 4.0;
        }
    }
    encoded(sum)
}

/// sRGB transfer (IEC 61966-2-1).
fn encoded(linear: [f64; 3]) -> [u8; 3] {
    linear.map(|c| {
        let c = c.clamp(0.0, 1.0);
        let e = if c <= 0.003_130_8 {
            12.92 * c
        } else {
            1.055 * c.powf(1.0 / 2.4) - 0.055
        };
        (e * 255.0).round() as u8
    })
}

/// Puts an EXIF block behind the first marker: maker, model, upright, and a date that the
/// hub replaces when it enters the demonstration site.
fn with_exif(jpeg: &[u8]) -> Result<Vec<u8>, Box<dyn Error>> {
    let rest = jpeg.strip_prefix(&[0xFF, 0xD8]).ok_or("no JPEG")?;
    let tiff = tiff_block();
    let length = u16::try_from(2 + 6 + tiff.len())?;
    let mut out = vec![0xFF, 0xD8, 0xFF, 0xE1];
    out.extend(length.to_be_bytes());
    out.extend(b"Exif\0\0");
    out.extend(tiff);
    out.extend(rest);
    Ok(out)
}

/// TIFF 6.0, little-endian: IFD0 with Make, Model, Orientation and a pointer to the Exif
/// IFD, which holds DateTimeOriginal.
fn tiff_block() -> Vec<u8> {
    let (make, model, date): (&[u8], &[u8], &[u8]) =
        (b"Slowstone\0", b"rendered\0", b"2000:01:01 00:00:00\0");
    let ifd0_end = 8 + 2 + 4 * 12 + 4;
    let make_at = ifd0_end;
    let model_at = make_at + make.len() as u32;
    let exif_at = (model_at + model.len() as u32).next_multiple_of(2);
    let date_at = exif_at + 2 + 12 + 4;
    let mut out = b"II*\0\x08\0\0\0".to_vec();
    let field = |out: &mut Vec<u8>, tag: u16, kind: u16, count: u32, value: u32| {
        out.extend(tag.to_le_bytes());
        out.extend(kind.to_le_bytes());
        out.extend(count.to_le_bytes());
        out.extend(value.to_le_bytes());
    };
    out.extend(4u16.to_le_bytes());
    field(&mut out, 0x010F, 2, make.len() as u32, make_at);
    field(&mut out, 0x0110, 2, model.len() as u32, model_at);
    field(&mut out, 0x0112, 3, 1, 1);
    field(&mut out, 0x8769, 4, 1, exif_at);
    out.extend(0u32.to_le_bytes());
    out.extend(make);
    out.extend(model);
    out.resize(exif_at as usize, 0);
    out.extend(1u16.to_le_bytes());
    field(&mut out, 0x9003, 2, date.len() as u32, date_at);
    out.extend(0u32.to_le_bytes());
    out.extend(date);
    out
}
