//! What the hub writes is for its own account: folders 0700, files 0600.
//!
//! New files are so from the first moment, whatever the shell that started the program would
//! have them be ([`only_for_this_account`]). What an earlier version left open, or somebody
//! opened since, is closed at the start ([`mend`]): first what lies in the folder itself, with
//! keys and log, then the many photos. Only what the hub keeps there is touched, and no link is
//! followed. Windows gives a new folder the rights of the account's own folders.

use std::path::Path;

/// Files of the hub in its data folder; beside `log.sqlite` lie SQLite's own.
#[cfg(unix)]
const FILES: [&str; 12] = [
    "log.sqlite",
    "log.sqlite-wal",
    "log.sqlite-shm",
    "hub.json",
    "hub.lock",
    "reminders.key",
    "last-backup.json",
    "firm.json",
    "stream-name",
    // Of a backup.
    "backup.json",
    "keys.age",
    "next.sqlite",
];

/// Folders of the hub in its data folder with few files.
#[cfg(unix)]
const FEW: [&str; 3] = ["trust", "uploads", "reckoned"];

/// Folders of the hub in its data folder with many files.
#[cfg(unix)]
const MANY: [&str; 2] = ["photos", "thumbs"];

/// Has every file that this process makes from now on be for this account only.
pub fn only_for_this_account() {
    #[cfg(unix)]
    {
        use rustix::fs::Mode;
        // What was before is of no use: it was too open or it is the same.
        let _ = rustix::process::umask(Mode::RWXG | Mode::RWXO);
    }
}

/// Closes what other accounts may read or write in a data folder or a backup. How many files
/// and folders were open; none on systems without such rights.
///
/// What cannot be changed (it belongs to another account) is left and told.
#[must_use]
pub fn mend(dir: &Path) -> usize {
    mend_few(dir) + mend_photos(dir)
}

/// The folder itself, log and keys: a handful of files.
#[cfg(unix)]
fn mend_few(dir: &Path) -> usize {
    let files = FILES.iter().filter(|name| close(&dir.join(name))).count();
    let inner: usize = FEW.iter().map(|name| inside(&dir.join(name))).sum();
    usize::from(close(dir)) + files + inner
}

/// The photos and small pictures: tens of thousands of files.
#[cfg(unix)]
fn mend_photos(dir: &Path) -> usize {
    MANY.iter().map(|name| inside(&dir.join(name))).sum()
}

#[cfg(not(unix))]
fn mend_few(_: &Path) -> usize {
    0
}

#[cfg(not(unix))]
fn mend_photos(_: &Path) -> usize {
    0
}

/// Closes a folder and everything in it.
#[cfg(unix)]
fn inside(dir: &Path) -> usize {
    let mut open = usize::from(close(dir));
    let Ok(entries) = std::fs::read_dir(dir) else {
        return open;
    };
    for entry in entries.flatten() {
        let path = entry.path();
        open += match entry.file_type() {
            Ok(kind) if kind.is_dir() => inside(&path),
            _ => usize::from(close(&path)),
        };
    }
    open
}

/// Takes the rights of others from a file or a folder; whether they had any.
#[cfg(unix)]
fn close(path: &Path) -> bool {
    use std::os::unix::fs::PermissionsExt;
    let Ok(there) = std::fs::symlink_metadata(path) else {
        return false;
    };
    let mode = there.permissions().mode();
    if there.is_symlink() || mode & 0o077 == 0 {
        return false;
    }
    let own = std::fs::Permissions::from_mode(mode & 0o700);
    match std::fs::set_permissions(path, own) {
        Ok(()) => true,
        Err(e) => {
            tracing::warn!(
                "{}: other accounts of this computer may read it, and that cannot be changed ({e}). Change its rights, or have it belong to the account of the hub",
                path.display()
            );
            false
        }
    }
}

/// Mends a data folder and tells of it, once. The photos are gone through beside the start:
/// nobody else gets at them once the folder around them is closed.
pub fn mend_and_tell(dir: &Path) {
    let (few, dir) = (mend_few(dir), dir.to_path_buf());
    std::thread::spawn(move || {
        let open = few + mend_photos(&dir);
        if open > 0 {
            tracing::warn!(
                "{}: other accounts of this computer could read this folder, or files in it ({open} in all); now only this account can",
                dir.display()
            );
        }
    });
}
