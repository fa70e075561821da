//! `slowstone photo-facts FILE...`: what photo files say about themselves, as one JSON
//! array with one object per file, in the order of the arguments.
//!
//! Reads files only; no site and no database are needed. The facts are read by
//! [`crate::photo::photo_facts`], which also says what the fields mean.

use crate::photo::{PhotoFacts, facts::Problem, photo_facts};
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Larger files are no photos that a phone makes.
const MOST: u64 = 512 << 20;

/// Arguments of `slowstone photo-facts`.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Photo files of any kind.
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
}

/// Prints the facts. A file that is no photo, or that cannot be opened, is answered with
/// its problem; the status is 0 unless the answer itself could not be given.
pub fn run(args: &Args) -> ExitCode {
    let facts: Vec<PhotoFacts> = args.files.iter().map(|path| of(path)).collect();
    match serde_json::to_string_pretty(&facts) {
        Ok(text) => super::print(&text),
        Err(e) => {
            eprintln!("slowstone: the facts cannot be written as JSON: {e}");
            ExitCode::FAILURE
        }
    }
}

fn of(path: &Path) -> PhotoFacts {
    let name = path.to_string_lossy();
    match read(path) {
        Ok(bytes) => photo_facts(&name, &bytes),
        Err(why) => PhotoFacts {
            file: name.into_owned(),
            problems: vec![Problem::new("unread", why)],
            ..PhotoFacts::default()
        },
    }
}

fn read(path: &Path) -> Result<Vec<u8>, String> {
    let odd =
        |e| format!("This file cannot be read ({e}). Check its name and whether you may read it.");
    let file = File::open(path).map_err(odd)?;
    let mut bytes = Vec::new();
    file.take(MOST + 1).read_to_end(&mut bytes).map_err(odd)?;
    if bytes.len() as u64 > MOST {
        return Err(format!(
            "This file is larger than {} MB, which no photo is. Nothing was read of it.",
            MOST >> 20
        ));
    }
    Ok(bytes)
}
