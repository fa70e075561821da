//! Photos on their way in: of each, the part that has come so far.
//!
//! A phone sends a photo in pieces and asks after a break how many bytes are here; what is
//! acknowledged is on the disk. One file for each, `ID.part`, written only at its end. A
//! part that nobody went on with for a week is thrown away: the phone still has the photo
//! and begins again. What becomes of a whole one is in [`crate::intake`].

use crate::intake::MOST;
use slowstone_logbook::limits;
use slowstone_store::StoreError;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

/// Most bytes of one piece.
pub const PIECE: usize = 1 << 20;

/// Photos that may be on their way at once.
pub const MOST_OPEN: usize = 32;

/// How long a part is kept when nothing is added to it.
const KEPT: Duration = Duration::from_secs(7 * 24 * 3600);

const ENDING: &str = "part";
const WRITING: &str = "the part of a photo";

/// Why a piece is not taken.
#[derive(Debug, thiserror::Error)]
pub enum UploadError {
    /// The name could be no file's, or lead elsewhere.
    #[error("id = {0:?}: must be 8 to 40 characters of 0-9, a-z and -")]
    Name(String),
    /// The piece does not begin where the part ends: the phone goes on from there.
    #[error("The hub has {have} bytes of this photo. Go on from there.")]
    Offset {
        /// Bytes that are here.
        have: u64,
    },
    /// More than a photo may have.
    #[error(
        "A photo may have {} MB, and this is more. Make the picture smaller.",
        MOST >> 20
    )]
    TooLarge,
    /// Too many at once.
    #[error("{MOST_OPEN} photos are on their way already. Wait until some have arrived.")]
    TooMany,
    /// The disk.
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// The folder of parts.
#[derive(Debug)]
pub struct Uploads {
    root: PathBuf,
    /// One writes at a time.
    turn: Mutex<()>,
}

impl Uploads {
    /// Opens the folder `root`, made if need be, and throws away what is too old.
    ///
    /// # Errors
    /// If it cannot be made.
    pub fn open(root: &Path) -> Result<Self, StoreError> {
        fs::create_dir_all(root)
            .map_err(|e| StoreError::io(root, "the folder for photos on their way", e))?;
        let root = root.to_path_buf();
        tidy(&root, KEPT);
        let turn = Mutex::new(());
        Ok(Self { root, turn })
    }

    fn place(&self, id: &str) -> Result<PathBuf, UploadError> {
        limits::id("id", id).map_err(|_| UploadError::Name(id.chars().take(80).collect()))?;
        Ok(self.root.join(format!("{id}.{ENDING}")))
    }

    /// How many bytes of a photo are here; 0 if it was never heard of.
    ///
    /// # Errors
    /// For a name that cannot be, or if the disk cannot be read.
    pub fn have(&self, id: &str) -> Result<u64, UploadError> {
        let path = self.place(id)?;
        Ok(length(&path)?)
    }

    /// Adds a piece at the end; it is on the disk when this returns. Gives how many bytes
    /// are here now.
    ///
    /// # Errors
    /// [`UploadError::Offset`] if the part does not end at `offset`; nothing is written
    /// then. A piece that could not be written whole leaves nothing behind.
    pub fn add(&self, id: &str, offset: u64, piece: &[u8]) -> Result<u64, UploadError> {
        let path = self.place(id)?;
        let _turn = self.turn.lock().unwrap_or_else(PoisonError::into_inner);
        let have = length(&path)?;
        if have != offset {
            return Err(UploadError::Offset { have });
        }
        let now = have.saturating_add(piece.len() as u64);
        if now > MOST as u64 {
            return Err(UploadError::TooLarge);
        }
        if have == 0 && !path.exists() && tidy(&self.root, KEPT) >= MOST_OPEN {
            return Err(UploadError::TooMany);
        }
        let failed = |e| StoreError::io(&path, WRITING, e);
        let mut options = OpenOptions::new();
        let mut file = options
            .append(true)
            .create(true)
            .open(&path)
            .map_err(failed)?;
        if let Err(e) = file.write_all(piece).and_then(|()| file.sync_data()) {
            let _ = file.set_len(have);
            return Err(failed(e).into());
        }
        Ok(now)
    }

    /// The bytes of a photo that is here with all its `length` bytes.
    ///
    /// # Errors
    /// [`UploadError::Offset`] if it is not.
    pub fn whole(&self, id: &str, length_wanted: u64) -> Result<Vec<u8>, UploadError> {
        let path = self.place(id)?;
        let _turn = self.turn.lock().unwrap_or_else(PoisonError::into_inner);
        let have = length(&path)?;
        if have != length_wanted || have == 0 {
            return Err(UploadError::Offset { have });
        }
        let bytes = fs::read(&path).map_err(|e| StoreError::io(&path, WRITING, e))?;
        Ok(bytes)
    }

    /// Forgets a photo that was taken in, or can never be.
    pub fn forget(&self, id: &str) {
        if let Ok(path) = self.place(id) {
            let _ = fs::remove_file(path);
        }
    }
}

fn length(path: &Path) -> Result<u64, StoreError> {
    match File::open(path).and_then(|file| file.metadata()) {
        Ok(data) => Ok(data.len()),
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(0),
        Err(e) => Err(StoreError::io(path, WRITING, e)),
    }
}

/// Throws away parts of which nothing came for `kept`; how many are left.
fn tidy(root: &Path, kept: Duration) -> usize {
    let Ok(entries) = fs::read_dir(root) else {
        return 0;
    };
    let parts = entries.flatten().filter(|entry| {
        let path = entry.path();
        path.extension().is_some_and(|ending| ending == ENDING)
    });
    parts
        .filter(|entry| {
            let still = entry.metadata().and_then(|data| data.modified());
            let old = still
                .ok()
                .and_then(|at| at.elapsed().ok())
                .is_some_and(|age| age > kept);
            !(old && fs::remove_file(entry.path()).is_ok())
        })
        .count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_photo_comes_in_pieces_and_goes_on_after_a_break() {
        let dir = tempfile::tempdir().unwrap();
        let uploads = Uploads::open(dir.path()).unwrap();
        assert_eq!(uploads.have("photo-001").unwrap(), 0);
        assert_eq!(uploads.add("photo-001", 0, b"abc").unwrap(), 3);
        // The answer was lost and the piece comes again.
        let again = uploads.add("photo-001", 0, b"abc").unwrap_err();
        assert!(matches!(again, UploadError::Offset { have: 3 }));
        let gap = uploads.add("photo-001", 5, b"xyz").unwrap_err();
        assert!(matches!(gap, UploadError::Offset { have: 3 }));
        drop(uploads);
        let uploads = Uploads::open(dir.path()).unwrap();
        assert_eq!(uploads.add("photo-001", 3, b"de").unwrap(), 5);
        assert!(uploads.whole("photo-001", 6).is_err());
        assert_eq!(uploads.whole("photo-001", 5).unwrap(), b"abcde");
        uploads.forget("photo-001");
        assert_eq!(uploads.have("photo-001").unwrap(), 0);
    }

    #[test]
    fn no_name_leads_out_of_the_folder() {
        let dir = tempfile::tempdir().unwrap();
        let uploads = Uploads::open(&dir.path().join("parts")).unwrap();
        for name in [
            "../../etc",
            "a/b-c-d-e",
            "",
            "short",
            "UPPER-CASE",
            "nul\0nul-nul",
        ] {
            let refused = uploads.add(name, 0, b"x").unwrap_err();
            assert!(matches!(refused, UploadError::Name(_)), "{name:?}");
        }
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
    }

    #[test]
    fn neither_one_photo_nor_many_fill_the_disk() {
        let dir = tempfile::tempdir().unwrap();
        let uploads = Uploads::open(dir.path()).unwrap();
        let file = File::create(dir.path().join("photo-big.part")).unwrap();
        file.set_len(MOST as u64 - 1).unwrap();
        let more = uploads
            .add("photo-big", MOST as u64 - 1, b"xy")
            .unwrap_err();
        assert!(matches!(more, UploadError::TooLarge));
        for n in 1..MOST_OPEN {
            uploads.add(&format!("photo-{n:03}"), 0, b"x").unwrap();
        }
        let more = uploads.add("photo-one-more", 0, b"x").unwrap_err();
        assert!(matches!(more, UploadError::TooMany));
        // One that is under way goes on.
        assert_eq!(uploads.add("photo-001", 1, b"y").unwrap(), 2);
        // A week later the rest makes room.
        assert_eq!(tidy(dir.path(), Duration::ZERO), 0);
        assert_eq!(uploads.add("photo-one-more", 0, b"x").unwrap(), 1);
    }
}
