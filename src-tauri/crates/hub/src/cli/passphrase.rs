//! The passphrase of the keys in a backup: asked for at the terminal without showing it, or read
//! from a file for a backup that a machine makes by itself. Never an argument: those are seen by
//! every account of the computer. What it opens: [`crate::backup::keys`].

use crate::backup::keys::SHORTEST;
use std::fs;
use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

/// The argument that names a file.
#[derive(Debug, clap::Args)]
pub struct From {
    /// Read the passphrase from the first line of this file instead of asking.
    #[arg(long, value_name = "FILE")]
    passphrase_file: Option<PathBuf>,
}

impl From {
    /// A passphrase for new keys: long enough, and typed twice where it is asked for.
    ///
    /// # Errors
    /// In words: none was given, it is too short, or the two differ.
    pub fn choose(&self) -> Result<String, String> {
        let chosen = match &self.passphrase_file {
            Some(file) => line(file)?,
            None => {
                let first = ask("A passphrase for the keys of the hub: ")?;
                if first.chars().count() >= SHORTEST && ask("The same once more: ")? != first {
                    return Err(
                        "the two passphrases differ, so no backup was made; try again".into(),
                    );
                }
                first
            }
        };
        if chosen.chars().count() < SHORTEST {
            return Err(format!(
                "this passphrase is too short: whoever finds the backup can try as many as they like. Take at least {SHORTEST} characters, at best some words; no backup was made"
            ));
        }
        Ok(chosen)
    }

    /// The passphrase of keys that are there.
    ///
    /// # Errors
    /// In words: none was given.
    pub fn of_keys(&self) -> Result<String, String> {
        match &self.passphrase_file {
            Some(file) => line(file),
            None => ask("This backup holds the keys of its hub. Their passphrase: "),
        }
    }
}

fn line(file: &Path) -> Result<String, String> {
    let text = fs::read_to_string(file).map_err(|e| {
        format!(
            "{}: the passphrase cannot be read ({e}); name a text file with --passphrase-file",
            file.display()
        )
    })?;
    let line = text.lines().next().unwrap_or_default();
    Ok(line.to_owned())
}

fn ask(question: &str) -> Result<String, String> {
    if !io::stdin().is_terminal() {
        return Err(
            "there is no terminal to ask for the passphrase of the keys; name a file that holds it with --passphrase-file".into(),
        );
    }
    rpassword::prompt_password(question)
        .map_err(|e| format!("the passphrase cannot be read from the terminal ({e})"))
}
