//! The files of a watched folder: names, sizes, times, and the bytes of one.
//!
//! Hidden files, links and names by which programs mark what they still write are passed
//! over. Which of the rest are whole: [`super::looks`].

use super::looks::Stamp;
use std::fs::{self, File, Metadata};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::time::UNIX_EPOCH;

/// Folders within folders that are looked into.
const DEEP: u32 = 6;

/// Endings of files that browsers and copying programs still write (from memory).
const UNFINISHED: [&str; 5] = ["part", "partial", "crdownload", "download", "tmp"];

/// What a file is at this moment.
fn stamp(meta: &Metadata) -> Stamp {
    let changed = meta.modified().ok();
    let changed_ns = changed.map_or(0, |at| match at.duration_since(UNIX_EPOCH) {
        Ok(after) => i128::try_from(after.as_nanos()).unwrap_or(i128::MAX),
        Err(before) => i128::try_from(before.duration().as_nanos()).map_or(i128::MIN, |n| -n),
    });
    Stamp {
        size: meta.len(),
        changed_ns,
    }
}

/// Every file below `root`.
///
/// # Errors
/// If the folder itself cannot be read; one within it that cannot is passed over.
pub fn files(root: &Path) -> io::Result<Vec<(PathBuf, Stamp)>> {
    let mut found = Vec::new();
    let mut folders = vec![(root.to_path_buf(), 0)];
    while let Some((folder, depth)) = folders.pop() {
        let entries = match fs::read_dir(&folder) {
            Ok(entries) => entries,
            Err(e) if depth == 0 => return Err(e),
            Err(_) => continue,
        };
        for entry in entries.flatten() {
            let name = entry.file_name();
            if name.to_string_lossy().starts_with('.') {
                continue;
            }
            let path = entry.path();
            // Of the entry itself: links are not followed.
            match entry.metadata() {
                Ok(meta) if meta.is_dir() && depth < DEEP => folders.push((path, depth + 1)),
                Ok(meta) if meta.is_file() && !is_unfinished(&path) => {
                    found.push((path, stamp(&meta)));
                }
                _ => {}
            }
        }
    }
    Ok(found)
}

fn is_unfinished(path: &Path) -> bool {
    let ending = path.extension().unwrap_or_default().to_ascii_lowercase();
    UNFINISHED.iter().any(|u| ending == *u)
}

/// The bytes of a file; none if it is not as `stamp` says, before or after the reading.
///
/// # Errors
/// If it cannot be read.
pub fn read(path: &Path, expected: Stamp) -> io::Result<Option<Vec<u8>>> {
    let file = File::open(path)?;
    let mut bytes = Vec::new();
    let read = (&file)
        .take(expected.size.saturating_add(1))
        .read_to_end(&mut bytes)?;
    let same = stamp(&file.metadata()?) == expected && read as u64 == expected.size;
    Ok(same.then_some(bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(dir: &Path) -> Vec<String> {
        let mut names: Vec<_> = files(dir)
            .unwrap()
            .into_iter()
            .map(|(p, _)| p.file_name().unwrap().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn what_is_not_meant_is_passed_over() {
        let dir = tempfile::tempdir().unwrap();
        let deep = dir.path().join("2026/10");
        fs::create_dir_all(&deep).unwrap();
        fs::create_dir(dir.path().join(".trash")).unwrap();
        for name in [
            "a.jpg",
            "2026/10/b.heic",
            ".hidden.jpg",
            ".trash/c.jpg",
            "d.jpg.part",
            "e.TMP",
        ] {
            fs::write(dir.path().join(name), "x").unwrap();
        }
        #[cfg(unix)]
        std::os::unix::fs::symlink(dir.path(), dir.path().join("round")).unwrap();
        #[cfg(unix)]
        std::os::unix::fs::symlink("a.jpg", dir.path().join("link.jpg")).unwrap();
        assert_eq!(names(dir.path()), ["a.jpg", "b.heic"]);
        assert!(files(&dir.path().join("nothing")).is_err());
    }

    #[test]
    fn a_file_that_changes_under_the_reading_is_not_taken() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a");
        fs::write(&path, "first").unwrap();
        let (_, seen) = files(dir.path()).unwrap().remove(0);
        assert_eq!(read(&path, seen).unwrap().unwrap(), b"first");
        fs::write(&path, "first and more").unwrap();
        assert_eq!(read(&path, seen).unwrap(), None);
    }
}
