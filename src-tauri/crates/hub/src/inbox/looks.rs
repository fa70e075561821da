//! Which files of a folder are whole and new, judged by looking at it again and again.
//!
//! A file is whole when neither its size nor its time of change differs between two looks.
//! No files are read here and nothing is filed; see [`super`].

use std::collections::HashMap;
use std::path::{Path, PathBuf};

/// What tells a file from what it was before: it changes with every writing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stamp {
    /// Bytes.
    pub size: u64,
    /// Time of change in nanoseconds since 1970.
    pub changed_ns: i128,
}

/// A file that has not been dealt with.
#[derive(Debug)]
struct Waiting {
    stamp: Stamp,
    /// Looks at which it was as it is.
    still: u32,
    /// It is not offered before this many.
    enough: u32,
}

/// A file that may be taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ripe {
    /// Where it is.
    pub path: PathBuf,
    /// What it was when it was looked at.
    pub stamp: Stamp,
    /// Looks at which it was like that.
    pub still: u32,
}

/// What was seen so far.
#[derive(Debug, Default)]
pub struct Looks {
    waiting: HashMap<PathBuf, Waiting>,
    done: HashMap<PathBuf, Stamp>,
}

/// Looks at which a file must be the same.
const TWO: u32 = 2;

impl Looks {
    /// The file needs no more looks until it changes.
    pub fn done(&mut self, path: &Path, stamp: Stamp) {
        self.waiting.remove(path);
        self.done.insert(path.to_path_buf(), stamp);
    }

    /// The file is offered again after so many more looks.
    pub fn later(&mut self, path: &Path, looks: u32) {
        if let Some(waiting) = self.waiting.get_mut(path) {
            waiting.enough = waiting.still.saturating_add(looks);
        }
    }

    /// Takes note of all files that are there now; those that may be taken, by name.
    pub fn look(&mut self, found: Vec<(PathBuf, Stamp)>) -> Vec<Ripe> {
        let mut before = std::mem::take(&mut self.waiting);
        let mut ripe = Vec::new();
        for (path, stamp) in found {
            if self.done.get(&path) == Some(&stamp) {
                continue;
            }
            let mut waiting =
                before
                    .remove(&path)
                    .filter(|w| w.stamp == stamp)
                    .unwrap_or(Waiting {
                        stamp,
                        still: 0,
                        enough: TWO,
                    });
            waiting.still = waiting.still.saturating_add(1);
            if stamp.size > 0 && waiting.still >= waiting.enough {
                let (path, still) = (path.clone(), waiting.still);
                ripe.push(Ripe { path, stamp, still });
            }
            self.waiting.insert(path, waiting);
        }
        ripe.sort_by(|a, b| a.path.cmp(&b.path));
        ripe
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(name: &str, size: u64, changed_ns: i128) -> (PathBuf, Stamp) {
        (name.into(), Stamp { size, changed_ns })
    }

    fn names(ripe: &[Ripe]) -> Vec<&str> {
        ripe.iter().map(|r| r.path.to_str().unwrap()).collect()
    }

    #[test]
    fn a_file_that_still_grows_is_waited_for() {
        let mut looks = Looks::default();
        assert!(looks.look(vec![at("a", 1, 1)]).is_empty());
        assert!(looks.look(vec![at("a", 2, 1)]).is_empty(), "grew");
        assert!(looks.look(vec![at("a", 2, 2)]).is_empty(), "was touched");
        let ripe = looks.look(vec![at("a", 2, 2), at("b", 1, 1)]);
        assert_eq!((names(&ripe), ripe[0].still), (vec!["a"], 2));
        // Whoever does not deal with it is offered it again.
        assert_eq!(
            names(&looks.look(vec![at("b", 1, 1), at("a", 2, 2)])),
            ["a", "b"]
        );
    }

    #[test]
    fn an_empty_file_is_never_whole() {
        let mut looks = Looks::default();
        for _ in 0..5 {
            assert!(looks.look(vec![at("a", 0, 1)]).is_empty());
        }
    }

    #[test]
    fn what_is_done_is_done_until_it_changes() {
        let mut looks = Looks::default();
        let (path, stamp) = at("a", 1, 1);
        looks.done(&path, stamp);
        for _ in 0..3 {
            assert!(looks.look(vec![at("a", 1, 1)]).is_empty());
        }
        assert!(looks.look(vec![at("a", 1, 2)]).is_empty());
        assert_eq!(names(&looks.look(vec![at("a", 1, 2)])), ["a"]);
    }

    #[test]
    fn later_means_later_and_going_away_starts_anew() {
        let mut looks = Looks::default();
        looks.look(vec![at("a", 1, 1)]);
        assert_eq!(looks.look(vec![at("a", 1, 1)]).len(), 1);
        looks.later(Path::new("a"), 2);
        assert!(looks.look(vec![at("a", 1, 1)]).is_empty());
        assert_eq!(looks.look(vec![at("a", 1, 1)]).len(), 1);
        assert!(looks.look(Vec::new()).is_empty());
        assert!(looks.look(vec![at("a", 1, 1)]).is_empty());
    }
}
