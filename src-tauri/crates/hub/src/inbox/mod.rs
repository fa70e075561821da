//! Watched folders: photos that other programs drop there are taken in as if somebody had
//! sent them, and stay where they are.
//!
//! The folders are looked at every second or so ([`folder`]); a file that is whole
//! ([`looks`]) goes the way of every photo ([`crate::intake`]). What was dealt with is
//! remembered in the store, so that the next start does not begin again; the same bytes
//! under another name are recognised by their hash. A file that is no photo is said once.

mod folder;
mod looks;

use crate::intake::{self, MOST, Sent};
use crate::ledger::Ledger;
use crate::photo::photo_facts;
use crate::refusal::Refusal;
use crate::state::Hub;
use looks::{Looks, Ripe, Stamp};
use slowstone_store::StoreError;
use std::collections::{HashMap, HashSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

/// The shortest time between two looks; folders that take long to list are looked at less
/// often.
const EVERY: Duration = Duration::from_secs(1);

/// Part of the time that may go into listing folders: one in so many.
const SHARE: u32 = 20;

/// Looks for which a photo that seems cut short must stay as it is: its sender may have
/// paused.
const PAUSE: u32 = 60;

/// Looks until something that failed is tried again.
const AGAIN: u32 = 15;

/// Settings about files begin with this.
const REMEMBERED: &str = "inbox:";

/// Name under which these photos are entered.
const BY: &str = "inbox";

/// Which folders are watched, and for which site.
#[derive(Clone, Debug, Default)]
pub struct Inboxes {
    /// The folders.
    pub folders: Vec<PathBuf>,
    /// Name or id of the site; the only one if nobody says.
    pub site: Option<String>,
}

/// What became of a file.
enum Outcome {
    /// It is an entry of the log now, or was before.
    Taken,
    /// It is no photo that can be taken.
    Refused(String),
    /// It changed while it was read, or seems not to be whole yet.
    Wait(u32),
    /// Something else failed.
    Failed(String),
}

/// One watcher of all folders.
struct Inbox {
    hub: Arc<Hub>,
    asked: Inboxes,
    looks: Looks,
    /// What was said about a folder or a file, so that it is said once.
    said: HashMap<PathBuf, String>,
}

/// Watches until the hub stops.
pub async fn run(hub: Arc<Hub>, asked: Inboxes) {
    let mut stopping = hub.stopping.clone();
    let mut inbox = Inbox {
        hub,
        asked,
        looks: Looks::default(),
        said: HashMap::new(),
    };
    inbox.recall().await;
    loop {
        let listing = inbox.look().await;
        let pause = EVERY.max(listing.saturating_mul(SHARE));
        tokio::select! {
            () = tokio::time::sleep(pause) => {}
            _ = stopping.wait_for(|stop| *stop) => return,
        }
    }
}

/// The files of a folder, also of folders in it; none if it is no folder.
#[must_use]
pub fn files_of(folder: &Path) -> Option<Vec<PathBuf>> {
    let files = folder::files(folder).ok()?;
    Some(files.into_iter().map(|(path, _)| path).collect())
}

impl Inbox {
    /// What earlier starts have dealt with.
    async fn recall(&mut self) {
        let read = self.hub.with_ledger(|l| l.settings(REMEMBERED)).await;
        match read {
            Some(Ok(settings)) => {
                for (key, value) in settings {
                    let path = key.strip_prefix(REMEMBERED).unwrap_or_default();
                    if let Some(stamp) = from_text(&value) {
                        self.looks.done(Path::new(path), stamp);
                    }
                }
            }
            Some(Err(e)) => tracing::warn!("what was taken before is not known: {e}"),
            None => {}
        }
    }

    async fn remember(&mut self, file: &Ripe, refused: bool) -> Result<(), StoreError> {
        let key = format!("{REMEMBERED}{}", file.path.display());
        let value = to_text(file.stamp, refused);
        let kept = self.hub.with_ledger(move |l| l.remember(&key, &value));
        kept.await.unwrap_or(Ok(()))?;
        self.looks.done(&file.path, file.stamp);
        self.said.remove(&file.path);
        Ok(())
    }

    /// Says something about a folder or a file, unless it was said last.
    fn say(&mut self, path: &Path, text: &str) {
        if self.said.get(path).is_none_or(|old| old != text) {
            let path_said = (!path.as_os_str().is_empty()).then(|| path.display().to_string());
            tracing::warn!(path = path_said, "{text}");
            self.said.insert(path.to_path_buf(), text.to_owned());
        }
    }

    /// Looks once and deals with what is ripe; says how long listing the folders took.
    async fn look(&mut self) -> Duration {
        let begun = Instant::now();
        let found = self.list().await;
        let took = begun.elapsed();
        let ripe = self.looks.look(found);
        if ripe.is_empty() {
            return took;
        }
        let Some(site) = self.site().await else {
            return took;
        };
        for file in ripe {
            if *self.hub.stopping.borrow() {
                break;
            }
            self.deal_with(&site, &file).await;
        }
        took
    }

    async fn list(&mut self) -> Vec<(PathBuf, Stamp)> {
        let folders = self.asked.folders.clone();
        let listed = tokio::task::spawn_blocking(move || {
            folders
                .into_iter()
                .map(|f| (folder::files(&f), f))
                .collect::<Vec<_>>()
        });
        let (mut found, mut known) = (Vec::new(), HashSet::new());
        for (files, folder) in listed.await.unwrap_or_default() {
            match files {
                Ok(files) => {
                    self.said.remove(&folder);
                    // One folder may lie in another.
                    found.extend(files.into_iter().filter(|(p, _)| known.insert(p.clone())));
                }
                Err(e) => {
                    let text = format!(
                        "this watched folder cannot be read ({e}); it is tried again until it is there"
                    );
                    self.say(&folder, &text);
                }
            }
        }
        found
    }

    /// The site that photos go to; files wait while there is none.
    async fn site(&mut self) -> Option<String> {
        let asked = self.asked.site.clone();
        let chosen = self.hub.with_ledger(move |l| choose(l, asked.as_deref()));
        match chosen.await? {
            Ok(site) => {
                self.said.remove(Path::new(""));
                Some(site)
            }
            Err(why) => {
                self.say(Path::new(""), &why);
                None
            }
        }
    }

    async fn deal_with(&mut self, site: &str, file: &Ripe) {
        let outcome = self.take(site, file).await;
        let refused = matches!(outcome, Outcome::Refused(_));
        let kept = match outcome {
            Outcome::Taken => self.remember(file, refused).await,
            Outcome::Refused(why) => {
                self.say(&file.path, &format!("not taken: {why}"));
                self.remember(file, refused).await
            }
            Outcome::Wait(looks) => {
                self.looks.later(&file.path, looks);
                Ok(())
            }
            Outcome::Failed(why) => {
                self.say(&file.path, &format!("not taken yet: {why}"));
                self.looks.later(&file.path, AGAIN);
                Ok(())
            }
        };
        if let Err(e) = kept {
            self.say(&file.path, &format!("cannot be remembered as taken: {e}"));
            self.looks.later(&file.path, AGAIN);
        }
    }

    async fn take(&self, site: &str, file: &Ripe) -> Outcome {
        if file.stamp.size > MOST as u64 {
            let most = MOST >> 20;
            return Outcome::Refused(format!(
                "it is larger than the {most} MB that are taken; make the picture smaller"
            ));
        }
        let Ok(_turn) = self.hub.uploads.acquire().await else {
            return Outcome::Wait(1);
        };
        let name = file.path.file_name().unwrap_or_default().to_string_lossy();
        let name = name.into_owned();
        let (path, stamp, called) = (file.path.clone(), file.stamp, name.clone());
        let read = tokio::task::spawn_blocking(move || {
            let bytes = folder::read(&path, stamp)?;
            Ok::<_, std::io::Error>(bytes.map(|bytes| {
                let facts = photo_facts(&called, &bytes);
                let cut = facts.problems.iter().any(|p| p.code == "cut_short");
                (bytes, cut)
            }))
        });
        let bytes = match read.await {
            Ok(Ok(Some((_, true)))) if file.still < PAUSE => {
                return Outcome::Wait(PAUSE - file.still);
            }
            Ok(Ok(Some((bytes, _)))) => bytes,
            Ok(Ok(None)) => return Outcome::Wait(1),
            Ok(Err(e)) => return Outcome::Failed(format!("it cannot be read ({e})")),
            Err(e) => return Outcome::Refused(format!("reading it failed ({e})")),
        };
        let sent = Sent {
            site: site.to_owned(),
            name,
            by: BY.to_owned(),
            ..Sent::default()
        };
        let done = async {
            let zone = intake::zone_of(&self.hub, site).await?;
            intake::take_in(&self.hub, sent, zone, bytes).await
        };
        match done.await {
            Ok(done) => {
                tracing::info!(
                    path = %file.path.display(), site, entry = done.event, known = done.known,
                    pour = done.photo.pour, stage = done.photo.stage, "photo taken from a folder"
                );
                Outcome::Taken
            }
            Err(e) => outcome_of(&e),
        }
    }
}

/// What is wrong with the file itself stays wrong; the rest may pass.
fn outcome_of(e: &Refusal) -> Outcome {
    if e.status().is_client_error() && e.code() != "missing" {
        Outcome::Refused(e.text().to_owned())
    } else {
        Outcome::Failed(e.text().to_owned())
    }
}

/// The site of that name or id, or the only one.
fn choose(ledger: &mut Ledger, asked: Option<&str>) -> Result<String, String> {
    let sites = ledger.sites();
    let fits = |id: &str, name: &str| {
        asked.is_none_or(|a| id == a || name.trim().to_lowercase() == a.trim().to_lowercase())
    };
    let mut fitting = sites.iter().filter(|s| fits(&s.id, &s.name));
    match (fitting.next(), fitting.next(), asked) {
        (Some(one), None, _) => Ok(one.id.clone()),
        (None, _, Some(asked)) => Err(format!(
            "photos wait in the watched folders: there is no site {asked:?}; make it, or name another with --inbox-site"
        )),
        (None, _, None) => Err(
            "photos wait in the watched folders: there is no site yet; make one in the app"
                .to_owned(),
        ),
        (Some(_), Some(_), _) => Err(
            "photos wait in the watched folders: several sites fit; say which one with --inbox-site, by its name or its id"
                .to_owned(),
        ),
    }
}

/// Refusals of another version are forgotten: it may know more kinds of photos.
fn to_text(stamp: Stamp, refused: bool) -> String {
    let version = if refused {
        env!("CARGO_PKG_VERSION")
    } else {
        ""
    };
    format!("{} {} {version}", stamp.size, stamp.changed_ns)
}

fn from_text(text: &str) -> Option<Stamp> {
    let mut words = text.split(' ');
    let stamp = Stamp {
        size: words.next()?.parse().ok()?,
        changed_ns: words.next()?.parse().ok()?,
    };
    let version = words.next().unwrap_or_default();
    (version.is_empty() || version == env!("CARGO_PKG_VERSION")).then_some(stamp)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_remembered_is_read_again() {
        for (size, changed_ns) in [
            (0, -1),
            (u64::MAX, i128::MAX),
            (5, 1_791_021_600_123_456_789),
        ] {
            let stamp = Stamp { size, changed_ns };
            assert_eq!(from_text(&to_text(stamp, false)), Some(stamp));
            assert_eq!(from_text(&to_text(stamp, true)), Some(stamp));
        }
        assert_eq!(from_text("5 6 0.0.0-other"), None);
        for odd in ["", "5", "x y", "5 x"] {
            assert_eq!(from_text(odd), None, "{odd}");
        }
    }
}
