//! Photo bytes by their hash.
//!
//! Bytes are kept exactly as they came; equal bytes are kept once. Nothing is ever
//! removed here. In a folder, the file of hash `abcdef...` is `ab/cdef...`, so that any
//! program can copy or read it.

use crate::error::StoreError;
use slowstone_sync::Hash32;
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{PoisonError, RwLock};

/// A store of bytes, each under its BLAKE3 hash.
pub trait BlobStore: Send + Sync + std::fmt::Debug {
    /// Stores `bytes`; safely on the disk when this returns. Bytes that are there already
    /// are not written again.
    ///
    /// # Errors
    /// If it cannot be written (disk full, read-only).
    fn put(&self, bytes: &[u8]) -> Result<Hash32, StoreError>;

    /// Stores all that `reader` gives, without holding it in memory, and says its hash and
    /// its length in bytes. The caller bounds the length (e.g. [`std::io::Read::take`]).
    ///
    /// # Errors
    /// If it cannot be read or written; nothing is stored then.
    fn put_reader(&self, reader: &mut dyn Read) -> Result<(Hash32, u64), StoreError>;

    /// The bytes under `hash`: those that were stored, and no others.
    ///
    /// # Errors
    /// [`StoreError::Altered`] if they do not have that hash, or if they cannot be read.
    fn get(&self, hash: &Hash32) -> Result<Option<Vec<u8>>, StoreError>;

    /// Number of bytes under `hash`.
    ///
    /// # Errors
    /// If it cannot be read.
    fn size(&self, hash: &Hash32) -> Result<Option<u64>, StoreError>;

    /// Whether there is something under `hash`.
    ///
    /// # Errors
    /// If it cannot be read.
    fn has(&self, hash: &Hash32) -> Result<bool, StoreError> {
        Ok(self.size(hash)?.is_some())
    }

    /// The file under which `hash` is (or would be) kept, if this engine keeps files.
    fn path(&self, hash: &Hash32) -> Option<PathBuf>;

    /// Reads the bytes and hashes them again. `Ok(false)` if there are none. An engine that
    /// need not hold them in memory for it has a way of its own.
    ///
    /// # Errors
    /// [`StoreError::Altered`] if they do not have that hash, or if they cannot be read.
    fn verify(&self, hash: &Hash32) -> Result<bool, StoreError> {
        Ok(self.get(hash)?.is_some())
    }

    /// Where the bytes under `hash` are (or would be) kept, for messages.
    fn place(&self, hash: &Hash32) -> PathBuf;

    /// Every hash, sorted.
    ///
    /// # Errors
    /// If it cannot be read.
    fn list(&self) -> Result<Vec<Hash32>, StoreError>;
}

/// Blobs as files of a folder.
///
/// ```
/// use slowstone_store::{BlobStore, FolderBlobs};
/// let dir = tempfile::tempdir().unwrap();
/// let blobs = FolderBlobs::open(&dir.path().join("blobs")).unwrap();
/// let hash = blobs.put(b"the bytes of a photo").unwrap();
/// assert_eq!(blobs.get(&hash).unwrap().unwrap(), b"the bytes of a photo");
/// assert!(blobs.verify(&hash).unwrap());
/// ```
#[derive(Debug)]
pub struct FolderBlobs {
    root: PathBuf,
    next_part: AtomicU64,
}

/// Files being written begin with this.
const PART: &str = ".part-";

const READING: &str = "reading a photo";
const WRITING: &str = "the photo";

impl FolderBlobs {
    /// Opens the folder `root`, made if need be, and removes what an interrupted write left
    /// behind. One process writes at a time: the hub, which locks its data folder.
    ///
    /// # Errors
    /// If the folder cannot be made, read or written.
    pub fn open(root: &Path) -> Result<Self, StoreError> {
        let made = !root.exists();
        fs::create_dir_all(root).map_err(|e| StoreError::io(root, "the folder for photos", e))?;
        if let (true, Some(parent)) = (made, root.parent()) {
            sync_dir(parent).map_err(|e| StoreError::io(root, "the folder for photos", e))?;
        }
        let blobs = Self::open_existing(root)?;
        for entry in read_dir(root)? {
            if entry.file_name().to_string_lossy().starts_with(PART) {
                let path = entry.path();
                fs::remove_file(&path)
                    .map_err(|e| StoreError::io(&path, "the tidying of photos", e))?;
            }
        }
        Ok(blobs)
    }

    /// Opens the folder `root` as it is, to look beside a running hub or in a backup:
    /// makes and removes nothing.
    ///
    /// # Errors
    /// If the folder is not there or cannot be read.
    pub fn open_existing(root: &Path) -> Result<Self, StoreError> {
        read_dir(root)?;
        Ok(Self {
            root: root.to_path_buf(),
            next_part: AtomicU64::new(0),
        })
    }

    fn file(&self, hash: &Hash32) -> PathBuf {
        let hex = hash.to_string();
        let (shard, name) = hex.split_at_checked(2).unwrap_or(("", &hex));
        self.root.join(shard).join(name)
    }

    /// Writes a part file to its end, down to the disk; gives its hash and length.
    fn fill(part: &Path, reader: &mut dyn Read) -> Result<(Hash32, u64), StoreError> {
        let writing = |e| StoreError::io(part, WRITING, e);
        let mut file = File::create_new(part).map_err(writing)?;
        let mut hasher = blake3::Hasher::new();
        let mut length = 0u64;
        let mut buffer = vec![0u8; 64 * 1024];
        loop {
            let n = match reader.read(&mut buffer) {
                Ok(0) => break,
                Ok(n) => n,
                Err(e) if e.kind() == io::ErrorKind::Interrupted => continue,
                Err(e) => return Err(StoreError::reading(part, "receiving a photo", e)),
            };
            let bytes = buffer.get(..n).unwrap_or_default();
            hasher.update(bytes);
            file.write_all(bytes).map_err(writing)?;
            length = length.saturating_add(n as u64);
        }
        file.sync_all().map_err(writing)?;
        let hash = Hash32::from_bytes(*hasher.finalize().as_bytes());
        Ok((hash, length))
    }

    /// Gives a filled part file its name, down to the disk.
    fn settle(&self, part: &Path, hash: &Hash32) -> Result<(), StoreError> {
        let to = self.file(hash);
        let writing = |e| StoreError::io(&to, WRITING, e);
        let shard = to.parent().unwrap_or(&self.root);
        match fs::create_dir(shard) {
            Ok(()) => sync_dir(&self.root).map_err(writing)?,
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {}
            Err(e) => return Err(writing(e)),
        }
        fs::rename(part, &to).map_err(writing)?;
        sync_dir(shard).map_err(writing)
    }

    /// Whether the file of `hash` holds the right bytes; `None` if there is no file.
    fn intact(&self, hash: &Hash32) -> Result<Option<bool>, StoreError> {
        let path = self.file(hash);
        let mut hasher = blake3::Hasher::new();
        let copied = File::open(&path).and_then(|mut file| io::copy(&mut file, &mut hasher));
        match copied {
            Ok(_) => Ok(Some(hasher.finalize().as_bytes() == hash.as_bytes())),
            Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(e) => Err(StoreError::reading(&path, READING, e)),
        }
    }
}

impl BlobStore for FolderBlobs {
    fn put(&self, bytes: &[u8]) -> Result<Hash32, StoreError> {
        let hash = Hash32::of(bytes);
        // Damaged bytes are not kept: the good ones take their place.
        if self.intact(&hash)? == Some(true) {
            let path = self.file(&hash);
            let shard = path.parent().unwrap_or(&self.root);
            // Another thread may have put it there a moment ago.
            sync_dir(shard).map_err(|e| StoreError::io(&path, WRITING, e))?;
            return Ok(hash);
        }
        let (written, _) = self.put_reader(&mut &*bytes)?;
        Ok(written)
    }

    fn put_reader(&self, reader: &mut dyn Read) -> Result<(Hash32, u64), StoreError> {
        let number = self.next_part.fetch_add(1, Ordering::Relaxed);
        let name = format!("{PART}{}-{number}", std::process::id());
        let part = self.root.join(name);
        let done = Self::fill(&part, reader)
            .and_then(|(hash, length)| self.settle(&part, &hash).map(|()| (hash, length)));
        if done.is_err() {
            // Makes room again on a full disk; if it fails, the next start tidies up.
            let _ = fs::remove_file(&part);
        }
        done
    }

    fn get(&self, hash: &Hash32) -> Result<Option<Vec<u8>>, StoreError> {
        let path = self.file(hash);
        match fs::read(&path) {
            Ok(bytes) if Hash32::of(&bytes) == *hash => Ok(Some(bytes)),
            Ok(_) => Err(StoreError::Altered { path }),
            Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(e) => Err(StoreError::reading(&path, READING, e)),
        }
    }

    fn size(&self, hash: &Hash32) -> Result<Option<u64>, StoreError> {
        let path = self.file(hash);
        match fs::metadata(&path) {
            Ok(meta) => Ok(Some(meta.len())),
            Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(e) => Err(StoreError::reading(&path, READING, e)),
        }
    }

    fn path(&self, hash: &Hash32) -> Option<PathBuf> {
        Some(self.file(hash))
    }

    fn verify(&self, hash: &Hash32) -> Result<bool, StoreError> {
        match self.intact(hash)? {
            None => Ok(false),
            Some(true) => Ok(true),
            Some(false) => Err(StoreError::Altered {
                path: self.place(hash),
            }),
        }
    }

    fn place(&self, hash: &Hash32) -> PathBuf {
        self.file(hash)
    }

    fn list(&self) -> Result<Vec<Hash32>, StoreError> {
        let mut hashes = Vec::new();
        for shard in read_dir(&self.root)? {
            let first = shard.file_name();
            if first.len() != 2 || !shard.path().is_dir() {
                continue;
            }
            for entry in read_dir(&shard.path())? {
                let (a, b) = (first.to_string_lossy(), entry.file_name());
                // Foreign files are left alone.
                if let Ok(hash) = format!("{a}{}", b.to_string_lossy()).parse() {
                    hashes.push(hash);
                }
            }
        }
        hashes.sort_unstable();
        Ok(hashes)
    }
}

fn read_dir(path: &Path) -> Result<Vec<fs::DirEntry>, StoreError> {
    fs::read_dir(path)
        .and_then(Iterator::collect)
        .map_err(|e| StoreError::reading(path, "reading the folder for photos", e))
}

/// Makes the names in a folder durable. Windows does that by itself and cannot be asked.
pub(crate) fn sync_dir(path: &Path) -> io::Result<()> {
    if cfg!(windows) {
        return Ok(());
    }
    let path = if path.as_os_str().is_empty() {
        Path::new(".")
    } else {
        path
    };
    File::open(path)?.sync_all()
}

/// Blobs in memory, for tests and for looking at a log without keeping anything.
#[derive(Debug, Default)]
pub struct MemoryBlobs {
    blobs: RwLock<BTreeMap<Hash32, Vec<u8>>>,
}

impl BlobStore for MemoryBlobs {
    fn put(&self, bytes: &[u8]) -> Result<Hash32, StoreError> {
        let hash = Hash32::of(bytes);
        let mut blobs = self.blobs.write().unwrap_or_else(PoisonError::into_inner);
        blobs.entry(hash).or_insert_with(|| bytes.to_vec());
        Ok(hash)
    }

    fn put_reader(&self, reader: &mut dyn Read) -> Result<(Hash32, u64), StoreError> {
        let mut bytes = Vec::new();
        reader
            .read_to_end(&mut bytes)
            .map_err(|e| StoreError::reading(Path::new("(memory)"), "receiving a photo", e))?;
        Ok((self.put(&bytes)?, bytes.len() as u64))
    }

    fn get(&self, hash: &Hash32) -> Result<Option<Vec<u8>>, StoreError> {
        let blobs = self.blobs.read().unwrap_or_else(PoisonError::into_inner);
        Ok(blobs.get(hash).cloned())
    }

    fn size(&self, hash: &Hash32) -> Result<Option<u64>, StoreError> {
        let blobs = self.blobs.read().unwrap_or_else(PoisonError::into_inner);
        Ok(blobs.get(hash).map(|b| b.len() as u64))
    }

    fn path(&self, _: &Hash32) -> Option<PathBuf> {
        None
    }

    fn place(&self, hash: &Hash32) -> PathBuf {
        PathBuf::from(hash.to_string())
    }

    fn list(&self) -> Result<Vec<Hash32>, StoreError> {
        let blobs = self.blobs.read().unwrap_or_else(PoisonError::into_inner);
        Ok(blobs.keys().copied().collect())
    }
}
