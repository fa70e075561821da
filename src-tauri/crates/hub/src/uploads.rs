//! Photos on their way in: of each, the part that has come so far.
//!
//! A phone sends a photo in pieces and asks after a break how many bytes are here; what is
//! acknowledged is on the disk. Every device has places of its own: `DEVICE/ID.part`, written
//! only at its end. Ages are hours that a hub was running, never those of a clock, which may
//! jump. A part that was left alone gives way to others, and after a week it is thrown away:
//! the phone still has the photo and begins again. What becomes of a whole one is in
//! [`crate::intake`].

use crate::intake::MOST;
use crate::presence::write_private;
use serde::{Deserialize, Serialize};
use slowstone_logbook::limits;
use slowstone_store::{Hash32, StoreError};
use std::collections::{BTreeMap, HashMap};
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

/// Most bytes of one piece.
pub const PIECE: usize = 1 << 20;

/// Photos of one device that may be on their way at once.
pub const MOST_OPEN: usize = 32;

/// Photos of all devices that may be on their way at once.
const MOST_IN_ALL: usize = 512;

/// How long nothing was added to a part that gives way to others.
const LEFT_ALONE: Duration = Duration::from_secs(600);

/// How long a part is kept when nothing is added to it: a week, hours of running.
const KEPT_H: u32 = 7 * 24;

/// How often ages are counted on.
pub const HOUR: Duration = Duration::from_secs(3600);

/// Ages of the parts, for the next start.
const AGES: &str = "ages.json";

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

/// A part: whose, and of which photo. Whose is empty for parts of an earlier version.
type Key = (String, String);

/// What is known of a part.
#[derive(Clone, Copy, Debug)]
struct Part {
    length: u64,
    /// Hours of running since something was added.
    idle_h: u32,
    /// When something was added, or the hub began to run.
    touched: Instant,
}

/// The age of a part as it is kept.
#[derive(Debug, Serialize, Deserialize)]
struct Age {
    length: u64,
    idle_h: u32,
}

/// The folder of parts.
#[derive(Debug)]
pub struct Uploads {
    root: PathBuf,
    /// One writes at a time.
    parts: Mutex<BTreeMap<Key, Part>>,
}

impl Uploads {
    /// Opens the folder `root`, made if need be.
    ///
    /// # Errors
    /// If it cannot be made.
    pub fn open(root: &Path) -> Result<Self, StoreError> {
        fs::create_dir_all(root)
            .map_err(|e| StoreError::io(root, "the folder for photos on their way", e))?;
        let ages: BTreeMap<String, Age> = fs::read(root.join(AGES))
            .ok()
            .and_then(|bytes| serde_json::from_slice(&bytes).ok())
            .unwrap_or_default();
        let mut parts = BTreeMap::new();
        let mut look = |folder: &Path, owner: &str| {
            for (id, length) in parts_in(folder) {
                let age = ages.get(&format!("{owner}/{id}"));
                let part = Part {
                    length,
                    // Whatever was added since has made it young again.
                    idle_h: age.filter(|a| a.length == length).map_or(0, |a| a.idle_h),
                    touched: Instant::now(),
                };
                parts.insert((owner.to_owned(), id), part);
            }
        };
        look(root, "");
        for entry in fs::read_dir(root).into_iter().flatten().flatten() {
            if entry.path().is_dir() {
                look(&entry.path(), &entry.file_name().to_string_lossy());
            }
        }
        Ok(Self {
            root: root.to_path_buf(),
            parts: Mutex::new(parts),
        })
    }

    /// Where whole requests lie until they are read.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.root
    }

    fn parts(&self) -> MutexGuard<'_, BTreeMap<Key, Part>> {
        self.parts.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn place(&self, (owner, id): &Key) -> PathBuf {
        let folder = match owner.as_str() {
            "" => self.root.clone(),
            owner => self.root.join(owner),
        };
        folder.join(format!("{id}.{ENDING}"))
    }

    /// The part of this photo of this device. One that an earlier version left becomes that
    /// of whoever goes on with it.
    fn key(&self, device: &str, id: &str) -> Result<Key, UploadError> {
        limits::id("id", id).map_err(|_| UploadError::Name(id.chars().take(80).collect()))?;
        let key = (folder_of(device), id.to_owned());
        let earlier = (String::new(), id.to_owned());
        let mut parts = self.parts();
        if !parts.contains_key(&key)
            && let Some(part) = parts.get(&earlier).copied()
        {
            let (from, to) = (self.place(&earlier), self.place(&key));
            let moved = made_folder(&to).and_then(|()| fs::rename(&from, &to));
            moved.map_err(|e| StoreError::io(&from, WRITING, e))?;
            parts.remove(&earlier);
            parts.insert(key.clone(), part);
        }
        Ok(key)
    }

    /// How many bytes of a photo are here; 0 if it was never heard of.
    ///
    /// # Errors
    /// For a name that cannot be, or if the disk cannot be read.
    pub fn have(&self, device: &str, id: &str) -> Result<u64, UploadError> {
        let key = self.key(device, id)?;
        Ok(length(&self.place(&key))?)
    }

    /// Adds a piece at the end; it is on the disk when this returns. Gives how many bytes
    /// are here now.
    ///
    /// # Errors
    /// [`UploadError::Offset`] if the part does not end at `offset`; nothing is written
    /// then. A piece that could not be written whole leaves nothing behind.
    pub fn add(
        &self,
        device: &str,
        id: &str,
        offset: u64,
        piece: &[u8],
    ) -> Result<u64, UploadError> {
        self.add_at(device, id, offset, piece, Instant::now())
    }

    fn add_at(
        &self,
        device: &str,
        id: &str,
        offset: u64,
        piece: &[u8],
        now: Instant,
    ) -> Result<u64, UploadError> {
        let key = self.key(device, id)?;
        let path = self.place(&key);
        let mut parts = self.parts();
        let have = length(&path)?;
        if have != offset {
            return Err(UploadError::Offset { have });
        }
        let length = have.saturating_add(piece.len() as u64);
        if length > MOST as u64 {
            return Err(UploadError::TooLarge);
        }
        if !parts.contains_key(&key) {
            self.make_room(&mut parts, &key.0, now)?;
        }
        let failed = |e| StoreError::io(&path, WRITING, e);
        made_folder(&path).map_err(failed)?;
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
        let part = Part {
            length,
            idle_h: 0,
            touched: now,
        };
        parts.insert(key, part);
        Ok(length)
    }

    /// A place for one more part of `owner`; what was left alone gives way for it.
    fn make_room(
        &self,
        parts: &mut BTreeMap<Key, Part>,
        owner: &str,
        now: Instant,
    ) -> Result<(), UploadError> {
        let mut of_owner: HashMap<&str, usize> = HashMap::new();
        for (whose, _) in parts.keys() {
            *of_owner.entry(whose).or_default() += 1;
        }
        let whose = if of_owner.get(owner).copied().unwrap_or(0) >= MOST_OPEN {
            owner.to_owned()
        } else if parts.len() >= MOST_IN_ALL {
            let most = of_owner.iter().max_by_key(|(_, n)| **n);
            most.map_or_else(String::new, |(whose, _)| (*whose).to_owned())
        } else {
            return Ok(());
        };
        let left = parts
            .iter()
            .filter(|((o, _), p)| *o == whose && now.duration_since(p.touched) >= LEFT_ALONE)
            .max_by_key(|(_, p)| (p.idle_h, now.duration_since(p.touched)))
            .map(|(key, _)| key.clone());
        let Some(key) = left else {
            return Err(UploadError::TooMany);
        };
        self.remove(parts, &key);
        Ok(())
    }

    fn remove(&self, parts: &mut BTreeMap<Key, Part>, key: &Key) {
        match fs::remove_file(self.place(key)) {
            Err(e) if e.kind() != io::ErrorKind::NotFound => {
                tracing::warn!("{}: cannot be taken away: {e}", self.place(key).display());
            }
            _ => drop(parts.remove(key)),
        }
        // The folder of a device goes with its last part.
        if let (Some(folder), false) = (self.place(key).parent(), key.0.is_empty()) {
            let _ = fs::remove_dir(folder);
        }
    }

    /// The bytes of a photo that is here with all its `length` bytes.
    ///
    /// # Errors
    /// [`UploadError::Offset`] if it is not.
    pub fn whole(
        &self,
        device: &str,
        id: &str,
        length_wanted: u64,
    ) -> Result<Vec<u8>, UploadError> {
        let key = self.key(device, id)?;
        let path = self.place(&key);
        let _turn = self.parts();
        let have = length(&path)?;
        if have != length_wanted || have == 0 {
            return Err(UploadError::Offset { have });
        }
        let bytes = fs::read(&path).map_err(|e| StoreError::io(&path, WRITING, e))?;
        Ok(bytes)
    }

    /// Forgets a photo that was taken in, or can never be.
    pub fn forget(&self, device: &str, id: &str) {
        if let Ok(key) = self.key(device, id) {
            self.remove(&mut self.parts(), &key);
        }
    }

    /// An hour of running is over: parts to which nothing was added are an hour older, and
    /// those that are too old are thrown away.
    ///
    /// # Errors
    /// If the ages cannot be written.
    pub fn hour_is_over(&self, now: Instant) -> io::Result<()> {
        let mut parts = self.parts();
        for part in parts.values_mut() {
            if now.duration_since(part.touched) >= HOUR {
                part.idle_h = part.idle_h.saturating_add(1);
            }
        }
        let old = parts.iter().filter(|(_, part)| part.idle_h > KEPT_H);
        let old: Vec<Key> = old.map(|(key, _)| key.clone()).collect();
        for key in &old {
            self.remove(&mut parts, key);
        }
        let ages: BTreeMap<String, Age> = parts
            .iter()
            .map(|((owner, id), part)| {
                let (length, idle_h) = (part.length, part.idle_h);
                (format!("{owner}/{id}"), Age { length, idle_h })
            })
            .collect();
        drop(parts);
        let text = serde_json::to_vec(&ages).map_err(io::Error::other)?;
        write_private(&self.root.join(AGES), &text)
    }
}

/// The folder of a device: its id, which is no more than letters and digits unless somebody
/// wrote it into the database. This computer itself has none.
fn folder_of(device: &str) -> String {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit();
    match device {
        "" => "here".to_owned(),
        id if id.len() <= 40 && id.chars().all(plain) => id.to_owned(),
        odd => Hash32::of(odd.as_bytes()).to_string(),
    }
}

fn made_folder(of: &Path) -> io::Result<()> {
    of.parent().map_or(Ok(()), fs::create_dir_all)
}

/// The parts in a folder, with their lengths.
fn parts_in(folder: &Path) -> Vec<(String, u64)> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let parts = entries.filter_map(|entry| {
        let path = entry.path();
        let part = path.extension().is_some_and(|ending| ending == ENDING);
        let id = path.file_stem()?.to_str()?.to_owned();
        let length = entry.metadata().ok().filter(|data| data.is_file())?.len();
        (part && limits::id("id", &id).is_ok()).then_some((id, length))
    });
    parts.collect()
}

fn length(path: &Path) -> Result<u64, StoreError> {
    match File::open(path).and_then(|file| file.metadata()) {
        Ok(data) => Ok(data.len()),
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(0),
        Err(e) => Err(StoreError::io(path, WRITING, e)),
    }
}

/// Turns for each device: whoever is slow keeps nobody waiting but itself.
#[derive(Debug)]
pub struct Turns {
    most: usize,
    of: Mutex<HashMap<String, Arc<Semaphore>>>,
}

impl Turns {
    /// So many at once for each device.
    #[must_use]
    pub fn new(most: usize) -> Self {
        Self {
            most,
            of: Mutex::default(),
        }
    }

    /// A turn of this device, when it has one; none only by a fault.
    pub async fn take(&self, device: &str) -> Option<OwnedSemaphorePermit> {
        let turns = {
            let mut of = self.of.lock().unwrap_or_else(PoisonError::into_inner);
            of.retain(|_, turns| Arc::strong_count(turns) > 1);
            let turns = of.entry(device.to_owned());
            Arc::clone(turns.or_insert_with(|| Arc::new(Semaphore::new(self.most))))
        };
        turns.acquire_owned().await.ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_photo_comes_in_pieces_and_goes_on_after_a_break() {
        let dir = tempfile::tempdir().unwrap();
        let uploads = Uploads::open(dir.path()).unwrap();
        assert_eq!(uploads.have("a", "photo-001").unwrap(), 0);
        assert_eq!(uploads.add("a", "photo-001", 0, b"abc").unwrap(), 3);
        // The answer was lost and the piece comes again.
        let again = uploads.add("a", "photo-001", 0, b"abc").unwrap_err();
        assert!(matches!(again, UploadError::Offset { have: 3 }));
        let gap = uploads.add("a", "photo-001", 5, b"xyz").unwrap_err();
        assert!(matches!(gap, UploadError::Offset { have: 3 }));
        drop(uploads);
        let uploads = Uploads::open(dir.path()).unwrap();
        assert_eq!(uploads.add("a", "photo-001", 3, b"de").unwrap(), 5);
        assert!(uploads.whole("a", "photo-001", 6).is_err());
        assert_eq!(uploads.whole("a", "photo-001", 5).unwrap(), b"abcde");
        // Another device has a part of its own.
        assert_eq!(uploads.have("b", "photo-001").unwrap(), 0);
        uploads.forget("b", "photo-001");
        assert_eq!(uploads.have("a", "photo-001").unwrap(), 5);
        uploads.forget("a", "photo-001");
        assert_eq!(uploads.have("a", "photo-001").unwrap(), 0);
    }

    #[test]
    fn a_part_of_an_earlier_version_goes_on() {
        let dir = tempfile::tempdir().unwrap();
        fs::write(dir.path().join("photo-001.part"), b"abc").unwrap();
        let uploads = Uploads::open(dir.path()).unwrap();
        assert_eq!(uploads.add("a", "photo-001", 3, b"de").unwrap(), 5);
        assert_eq!(uploads.whole("a", "photo-001", 5).unwrap(), b"abcde");
    }

    #[test]
    fn no_name_leads_out_of_the_folder() {
        let dir = tempfile::tempdir().unwrap();
        let root = dir.path().join("parts");
        let uploads = Uploads::open(&root).unwrap();
        for name in [
            "../../etc",
            "a/b-c-d-e",
            "",
            "short",
            "UPPER-CASE",
            "nul\0nul-nul",
        ] {
            let refused = uploads.add("a", name, 0, b"x").unwrap_err();
            assert!(matches!(refused, UploadError::Name(_)), "{name:?}");
        }
        for device in ["../..", "a/b", "..", "Ä", &"x".repeat(300)] {
            assert_eq!(uploads.add(device, "photo-001", 0, b"x").unwrap(), 1);
        }
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
        assert_eq!(fs::read_dir(&root).unwrap().count(), 5);
    }

    #[test]
    fn neither_one_photo_nor_many_fill_the_disk() {
        let dir = tempfile::tempdir().unwrap();
        let uploads = Uploads::open(dir.path()).unwrap();
        uploads.add("a", "photo-big", 0, b"x").unwrap();
        let file = OpenOptions::new()
            .write(true)
            .open(dir.path().join("a/photo-big.part"));
        file.unwrap().set_len(MOST as u64 - 1).unwrap();
        let more = uploads
            .add("a", "photo-big", MOST as u64 - 1, b"xy")
            .unwrap_err();
        assert!(matches!(more, UploadError::TooLarge));
        for n in 1..MOST_OPEN {
            uploads.add("a", &format!("photo-{n:03}"), 0, b"x").unwrap();
        }
        let more = uploads.add("a", "photo-one-more", 0, b"x").unwrap_err();
        assert!(matches!(more, UploadError::TooMany));
        // One that is under way goes on, and so do the photos of others.
        assert_eq!(uploads.add("a", "photo-001", 1, b"y").unwrap(), 2);
        assert_eq!(uploads.add("b", "photo-one-more", 0, b"x").unwrap(), 1);
    }

    #[test]
    fn what_was_left_alone_gives_way_the_oldest_first() {
        let dir = tempfile::tempdir().unwrap();
        let uploads = Uploads::open(dir.path()).unwrap();
        let start = Instant::now();
        for n in 0..MOST_OPEN {
            let at = start + Duration::from_secs(n as u64);
            let id = format!("photo-{n:03}");
            uploads.add_at("a", &id, 0, b"x", at).unwrap();
        }
        let soon = start + LEFT_ALONE - Duration::from_secs(1);
        let no = uploads.add_at("a", "photo-new", 0, b"x", soon);
        assert!(matches!(no, Err(UploadError::TooMany)));
        let later = start + LEFT_ALONE;
        uploads.add_at("a", "photo-new", 0, b"x", later).unwrap();
        assert_eq!(uploads.have("a", "photo-000").unwrap(), 0);
        assert_eq!(uploads.have("a", "photo-001").unwrap(), 1);
    }

    #[test]
    fn a_week_of_running_is_over_and_no_clock_is_asked() {
        let dir = tempfile::tempdir().unwrap();
        let uploads = Uploads::open(dir.path()).unwrap();
        let start = Instant::now();
        uploads.add_at("a", "photo-old", 0, b"x", start).unwrap();
        uploads.add_at("a", "photo-new", 0, b"x", start).unwrap();
        for h in 1..=100 {
            uploads.hour_is_over(start + HOUR * h).unwrap();
        }
        let at = start + HOUR * 100;
        uploads.add_at("a", "photo-new", 1, b"y", at).unwrap();
        drop(uploads);
        // Another start; the files say that they are of the year 2001.
        let old = std::time::SystemTime::UNIX_EPOCH + Duration::from_secs(1_000_000_000);
        for id in ["photo-old", "photo-new"] {
            let file = File::options()
                .write(true)
                .open(dir.path().join(format!("a/{id}.part")));
            file.unwrap().set_modified(old).unwrap();
        }
        let uploads = Uploads::open(dir.path()).unwrap();
        let start = Instant::now();
        for h in 1..=68 {
            uploads.hour_is_over(start + HOUR * h).unwrap();
        }
        assert_eq!(uploads.have("a", "photo-old").unwrap(), 1);
        uploads.hour_is_over(start + HOUR * 69).unwrap();
        assert_eq!(uploads.have("a", "photo-old").unwrap(), 0);
        assert_eq!(uploads.have("a", "photo-new").unwrap(), 2);
    }

    #[tokio::test]
    async fn turns_of_one_device_are_not_those_of_another() {
        let turns = Turns::new(2);
        let _held = (turns.take("a").await, turns.take("a").await);
        let third = tokio::time::timeout(Duration::from_millis(20), turns.take("a")).await;
        assert!(third.is_err());
        assert!(turns.take("b").await.is_some());
    }
}
