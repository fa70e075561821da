//! `slowstone photo-facts FILE...`: what photo files say about themselves, as one JSON
//! array.

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

/// Prints the facts. Status 0 if every file could be read, whatever it turned out to be.
pub fn run(args: &Args) -> ExitCode {
    let mut unread = false;
    let facts: Vec<PhotoFacts> = args
        .files
        .iter()
        .map(|path| {
            let name = path.to_string_lossy();
            match read(path) {
                Ok(bytes) => photo_facts(&name, &bytes),
                Err(why) => {
                    unread = true;
                    PhotoFacts {
                        file: name.into_owned(),
                        problems: vec![Problem::new("unread", why)],
                        ..PhotoFacts::default()
                    }
                }
            }
        })
        .collect();
    let printed = match serde_json::to_string_pretty(&facts) {
        Ok(text) => super::print(&text),
        Err(e) => {
            eprintln!("slowstone: {e}");
            ExitCode::FAILURE
        }
    };
    if unread { ExitCode::FAILURE } else { printed }
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
