//! What a hub carries: entries in a second, many phones at once, memory, a phone's first sync.
//!
//! The hub is a process of its own: this same program, started again with `hub`. Everything
//! goes over HTTP on the loopback address as phones send it, without TLS, and every answer
//! waits for the disk. Parts: `hub.rs` (that process), `rate.rs` (entries in a second beside
//! raw SQLite), `start.rs` (its start beside a bare program), `crew.rs` (phones at once),
//! `stock.rs` (a large log). Told as rows of the table of `cargo xtask bench`; `--help` names
//! the sizes. Nothing is asserted but that nothing fails.

mod crew;
mod hub;
mod rate;
mod start;
mod stock;

use clap::Parser;
use std::error::Error;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Whatever goes wrong ends the measurement with its own words.
type Done<T> = Result<T, Box<dyn Error + Send + Sync>>;

/// The sizes.
#[derive(Debug, Parser)]
struct Sizes {
    /// Entries sent for the rate, in batches of 100 as phones send them.
    #[arg(long, default_value_t = 20_000)]
    entries: usize,
    /// Entries sent for the rate one at a time.
    #[arg(long, default_value_t = 1000)]
    singles: usize,
    /// Phones at once.
    #[arg(long, default_value_t = 200)]
    phones: usize,
    /// Entries of each phone.
    #[arg(long, default_value_t = 100)]
    each: usize,
    /// Photos of each phone.
    #[arg(long, default_value_t = 5)]
    photos: usize,
    /// Entries in the large log.
    #[arg(long, default_value_t = 100_000)]
    stock: usize,
    /// Photos in it.
    #[arg(long, default_value_t = 20_000)]
    stock_photos: usize,
    /// Folder on the disk that is to be measured; a folder inside is made and removed.
    #[arg(long, default_value = "target")]
    within: PathBuf,
}

fn main() -> ExitCode {
    if std::env::args().nth(1).as_deref() == Some("hub") {
        return slowstone_hub::cli::run();
    }
    let sizes = Sizes::parse();
    let dir = sizes.within.join(format!("load-{}", std::process::id()));
    let done = measure(&sizes, &dir);
    let _ = std::fs::remove_dir_all(&dir);
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            eprintln!("load: {e}");
            ExitCode::FAILURE
        }
    }
}

fn measure(sizes: &Sizes, dir: &Path) -> Done<()> {
    std::fs::create_dir_all(dir)?;
    rate::measure(sizes, dir)?;
    start::measure(&dir.join("start"))?;
    crew::measure(sizes, &dir.join("crew"))?;
    stock::measure(sizes, &dir.join("stock"))
}

/// A row of the table: what, how much of which unit, beside what if anything, and how.
fn row(what: &str, (value, unit): (f64, &str), anchor: Option<(&str, f64)>, how: &str) {
    let (anchor, beside) = match anchor {
        Some((name, value)) => (name, value.to_string()),
        None => ("", String::new()),
    };
    println!("hub: {what}\t{value}\t{unit}\t{anchor}\t{beside}\t{how}");
}

/// The value below which `share` of the times lie; sorts them.
fn at_share(times: &mut [f64], share: f64) -> f64 {
    times.sort_by(f64::total_cmp);
    let last = times.len().saturating_sub(1) as f64;
    let at = (last * share).round() as usize;
    times.get(at).copied().unwrap_or(f64::NAN)
}
