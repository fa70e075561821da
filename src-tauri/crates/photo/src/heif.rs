//! Pixels of HEIC, HEIF and AVIF files, by a program of the system if it has one.
//!
//! libheif's converter (`heif-dec`, before 1.18 `heif-convert`; in Debian the package
//! libheif-examples) runs as a process of its own, so that a file which breaks its decoder
//! breaks nothing here: with a limit on memory and time where the system can set one
//! (`prlimit`, of util-linux), and it sees one file in an empty folder. It turns the
//! picture upright itself. Without the program the picture is not decoded:
//! see `super::picture` for what is shown instead.

use super::bounds::{MOST_BYTES, MOST_PIXELS, PictureError};
use super::{container, isobmff};
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits};
use std::env;
use std::fs::File;
use std::io::{BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::LazyLock;
use std::time::{Duration, Instant};

/// A picture of 50 million pixels takes a slow computer about this long.
const MOST_TIME: Duration = Duration::from_secs(60);

static PROGRAM: LazyLock<Option<PathBuf>> =
    LazyLock::new(|| in_path("heif-dec").or_else(|| in_path("heif-convert")));
static LIMITER: LazyLock<Option<PathBuf>> = LazyLock::new(|| in_path("prlimit"));

/// Whether the system can decode such files.
#[must_use]
pub fn is_there() -> bool {
    PROGRAM.is_some()
}

/// Decodes a file; the pixels stand upright. `name` is the format as people call it.
///
/// # Errors
/// If there is no program, the header claims too much, or the program gives up.
pub(super) fn decode(
    bytes: &[u8],
    name: &'static str,
) -> Result<(DynamicImage, Option<Vec<u8>>), PictureError> {
    let program = PROGRAM.as_ref().ok_or(PictureError::NoDecoder(name))?;
    let found = isobmff::heif(bytes);
    let (width, height) = (found.width.unwrap_or(0), found.height.unwrap_or(0));
    let pixels = u64::from(width) * u64::from(height);
    if pixels > MOST_PIXELS || pixels * 3 > MOST_BYTES {
        return Err(PictureError::TooLarge { width, height });
    }
    let failed = |what: String| PictureError::Damaged(format!("{name}: {what}"));
    let dir = tempfile::tempdir().map_err(|e| failed(e.to_string()))?;
    let (from, to) = (dir.path().join("photo.heic"), dir.path().join("photo.png"));
    File::create(&from)
        .and_then(|mut f| f.write_all(bytes))
        .map_err(|e| failed(format!("no room to decode it: {e}")))?;
    let mut child = command(program, &from, &to)
        .spawn()
        .map_err(|e| failed(e.to_string()))?;
    if !ended_well(&mut child) {
        return Err(failed("its data cannot be read".into()));
    }
    // Of several pictures in one file each gets a number.
    let first = dir.path().join("photo-1.png");
    let written = if to.exists() { to } else { first };
    read(&written, (width, height)).map_err(failed)
}

fn command(program: &Path, from: &Path, to: &Path) -> Command {
    let mut command = match LIMITER.as_ref() {
        Some(limiter) => {
            let mut limited = Command::new(limiter);
            // Pixels as they are decoded, as they are written, and room for tiles.
            let (memory, seconds) = (MOST_BYTES * 5, MOST_TIME.as_secs());
            limited.arg(format!("--as={memory}"));
            limited.arg(format!("--cpu={seconds}"));
            limited.arg(program);
            limited
        }
        None => Command::new(program),
    };
    command.arg(from).arg(to);
    command.stdin(Stdio::null());
    command.stdout(Stdio::null()).stderr(Stdio::null());
    command
}

/// Waits for the end, but not for ever.
fn ended_well(child: &mut Child) -> bool {
    let until = Instant::now() + MOST_TIME;
    let mut pause = Duration::from_millis(5);
    loop {
        match child.try_wait() {
            Ok(Some(status)) => return status.success(),
            Ok(None) if Instant::now() < until => {
                std::thread::sleep(pause);
                pause = (pause * 2).min(Duration::from_millis(100));
            }
            _ => {
                let _ = child.kill();
                let _ = child.wait();
                return false;
            }
        }
    }
}

fn read(path: &Path, said: (u32, u32)) -> Result<(DynamicImage, Option<Vec<u8>>), String> {
    let file = File::open(path).map_err(|_| "it holds no picture".to_owned())?;
    let mut reader = ImageReader::with_format(BufReader::new(file), ImageFormat::Png);
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_BYTES);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(|e| e.to_string())?;
    let (w, h) = decoder.dimensions();
    // The header may claim little and hold much.
    if u64::from(w) * u64::from(h) > MOST_PIXELS {
        return Err(format!("it holds {w} x {h} pixels and says {said:?}"));
    }
    let icc = decoder.icc_profile().ok().flatten();
    let icc = icc.filter(|p| container::is_rgb_profile(p));
    let pixels = DynamicImage::from_decoder(decoder).map_err(|e| e.to_string())?;
    Ok((pixels, icc))
}

fn in_path(program: &str) -> Option<PathBuf> {
    let path = env::var_os("PATH")?;
    let mut all = env::split_paths(&path).map(|dir| dir.join(program));
    all.find(|candidate| candidate.is_file())
}
