//! Reads a site that [`slowstone_record::copy`] wrote: the photos into the store first, then the entries,
//! so that no entry ever names a photo that is not there.
//!
//! The zip lies in a file meanwhile, one photo is in memory at a time, and nothing in it is
//! trusted: sizes are bounded, and a photo counts by the hash of its bytes, not by its name.
//! Lines are read by [`crate::api::import`], which calls this.

use crate::intake::MOST;
use crate::photo::Format;
use crate::thumbs;
use slowstone_record::copy::LINES;
use slowstone_store::{BlobStore, Hash32, StoreError};
use std::fs::File;
use std::io::{self, BufRead, BufReader, Read};
use std::path::Path;
use zip::ZipArchive;

/// Longest line: an entry in the largest request that ever was taken, so that one of an older
/// version is refused by name and not read as several damaged lines.
const MOST_LINE: u64 = 16 << 20;

/// Why a zip cannot be taken.
#[derive(Debug, thiserror::Error)]
pub enum TakeError {
    /// It is no zip, is cut short, or holds no site.
    #[error("{0}")]
    NoSite(String),
    /// The store refuses.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl From<io::Error> for TakeError {
    fn from(e: io::Error) -> Self {
        Self::NoSite(format!("the file cannot be read to its end ({e})"))
    }
}

/// What became of the photos of a zip.
#[derive(Debug, Default)]
pub struct Photos {
    /// How many are in the store now.
    pub stored: usize,
    /// Names of those that were not taken, and why.
    pub failed: Vec<(String, String)>,
}

/// Puts the photos of a zip into the store.
///
/// # Errors
/// If it is no zip with a site in it, or the store cannot be written.
pub fn photos(file: File, blobs: &dyn BlobStore, small: &Path) -> Result<Photos, TakeError> {
    let mut zip = open(file)?;
    let mut done = Photos::default();
    for n in 0..zip.len() {
        let mut entry = zip.by_index(n).map_err(no_site)?;
        let name = entry.name().map_err(no_site)?.into_owned();
        let Some(hash) = name
            .strip_prefix("photos/")
            .and_then(|n| n.split('.').next())
        else {
            continue;
        };
        let mut fail = |why: &str| {
            done.failed
                .push((name.chars().take(120).collect(), why.to_owned()))
        };
        let Ok(wanted) = hash.parse::<Hash32>() else {
            fail("its name is not the hash of a photo");
            continue;
        };
        let mut bytes = Vec::new();
        let most = MOST as u64;
        let read = (&mut entry).take(most + 1).read_to_end(&mut bytes);
        if read.is_err() || bytes.len() as u64 > most {
            fail("it is damaged, or larger than any photo");
            continue;
        }
        if blake3::hash(&bytes).to_hex().as_str() != wanted.to_string() {
            fail("its bytes are not those that it is named after");
            continue;
        }
        if Format::of(&bytes).is_err() {
            fail("it is no photo");
            continue;
        }
        let hash = blobs.put(&bytes)?;
        let _ = thumbs::make_all(small, &hash, &bytes);
        done.stored += 1;
    }
    Ok(done)
}

/// Gives every line of the site in a zip to `line`.
///
/// # Errors
/// If it is no zip with a site in it, or what `line` says.
pub fn lines(file: File, line: &mut dyn FnMut(Vec<u8>) -> bool) -> Result<(), TakeError> {
    let mut zip = open(file)?;
    let mut lines = BufReader::new(zip.by_name(LINES).map_err(no_site)?);
    loop {
        let mut text = Vec::new();
        let read = (&mut lines).take(MOST_LINE).read_until(b'\n', &mut text)?;
        if read == 0 || !line(text) {
            return Ok(());
        }
    }
}

fn open(file: File) -> Result<ZipArchive<BufReader<File>>, TakeError> {
    ZipArchive::new(BufReader::new(file)).map_err(no_site)
}

fn no_site(e: zip::result::ZipError) -> TakeError {
    TakeError::NoSite(format!("it is no whole copy of a site ({e})"))
}
