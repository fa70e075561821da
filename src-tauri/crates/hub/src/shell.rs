//! What a program around the hub asks of it within one process: what can be done now, in
//! words, and photos given as files. Browsers and phones ask over HTTP.
//!
//! No rules of its own: what is due the logbook reckons (`Book::to_remind`), photos go
//! through [`crate::intake`], and the language is the one chosen for reminders. The desktop
//! shell that shows it: src-tauri/src.

use crate::inbox;
use crate::intake::{self, Entered, MOST, Sent};
use crate::ledger::Ledger;
use crate::refusal::Refusal;
use crate::remind::settings::{KEY, Settings};
use crate::remind::{say, site_of};
use crate::state::Hub;
use crate::words::Words;
use slowstone_curing::predict::MilestoneKind;
use slowstone_curing::units::AtMs;
use slowstone_logbook::Book;
use slowstone_logbook::book::SiteCard;
use slowstone_logbook::view::ToRemind;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Name under which photos given as files are entered.
const BY: &str = "desktop";

/// Settings about what was told once begin with this.
const TOLD: &str = "shell/told/";

/// Lines of what comes next.
const NEXT: usize = 4;

/// Photos named in one answer; more are counted.
const NAMED: usize = 6;

/// The inside of a running hub. It may outlive [`crate::Running::stop`].
#[derive(Clone, Debug)]
pub struct Shell {
    hub: Arc<Hub>,
}

/// One thing to do, and where it is done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// In words.
    pub text: String,
    /// Site of the pour.
    pub site: String,
    /// The pour.
    pub pour: String,
}

/// What can be done, over all sites.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Seen {
    /// Due and not answered, the longest due first.
    pub now: Vec<Line>,
    /// What comes after, the soonest first.
    pub next: Vec<Line>,
}

/// What became of files, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filed {
    /// How many photos were added, and to which site.
    pub title: String,
    /// One line for each file, or why nothing could be added at all.
    pub lines: Vec<String>,
    /// The site, if there was one to add to.
    pub site: Option<String>,
}

impl Shell {
    pub(crate) fn new(hub: Arc<Hub>) -> Self {
        Self { hub }
    }

    /// The words of the language that was chosen for reminders.
    pub async fn words(&self) -> Words {
        let words = self.hub.with_ledger(|ledger| words(ledger)).await;
        words.unwrap_or_else(|| Words::of(""))
    }

    /// What can be done now and next.
    pub async fn seen(&self) -> Seen {
        let now = self.hub.now();
        let begun = self
            .hub
            .with_ledger(|ledger| (words(ledger), ledger.sites()));
        let Some((words, cards)) = begun.await else {
            return Seen::default();
        };
        let mut sites = Vec::new();
        for card in cards {
            let id = card.id.clone();
            let look = move |book: &mut Book| book.to_remind(&id, now);
            if let Some(seen) = self.hub.with_site(&card.id, look).await {
                sites.push((card, seen));
            }
        }
        seen(&words, sites, now)
    }

    /// True the first time that it is asked about `what`, in the life of the log.
    pub async fn first_time(&self, what: &str) -> bool {
        let key = format!("{TOLD}{what}");
        let first = move |ledger: &mut Ledger| {
            let told = ledger.setting(&key).ok().flatten().is_some();
            // What cannot be remembered is told again.
            told || ledger.remember(&key, "1").is_err()
        };
        !self.hub.with_ledger(first).await.unwrap_or(true)
    }

    /// Adds photos to `site`, or to the only one there is; each is filed under the pour of
    /// its time. A folder stands for the files in it.
    pub async fn take_files(&self, paths: Vec<PathBuf>, site: Option<String>) -> Filed {
        let words = self.words().await;
        let site = match self.site(site, &words).await {
            Ok(site) => site,
            Err(why) => {
                return Filed {
                    title: words.say("desk-none", &[]),
                    lines: vec![why],
                    site: None,
                };
            }
        };
        let found = tokio::task::spawn_blocking(move || spread(paths)).await;
        let (mut added, mut lines) = (0_u32, Vec::new());
        for path in found.unwrap_or_default() {
            let file = path.file_name().unwrap_or(path.as_os_str());
            let file = file.to_string_lossy().into_owned();
            let line = match self.take(&words, &path, &file, &site).await {
                Ok(done) => {
                    added += u32::from(!done.known);
                    Self::filed(&words, &file, &done)
                }
                Err(why) => words.say(
                    "desk-refused",
                    &[("file", file.into()), ("why", why.into())],
                ),
            };
            lines.push(line);
        }
        if lines.len() > NAMED {
            let more = lines.split_off(NAMED).len();
            lines.push(words.say("desk-more", &[("count", more.into())]));
        }
        let of = site.clone();
        let named = self.hub.with_ledger(move |ledger| site_of(ledger, &of).0);
        let name = named.await.unwrap_or_default();
        let title = match added {
            0 => words.say("desk-none", &[]),
            count => words.say(
                "desk-added",
                &[("count", count.into()), ("site", name.into())],
            ),
        };
        let site = Some(site);
        Filed { title, lines, site }
    }

    /// The site that is meant: the one that is shown, else the only one.
    async fn site(&self, shown: Option<String>, words: &Words) -> Result<String, String> {
        let sites = self.hub.with_ledger(|ledger| ledger.sites()).await;
        let sites = sites.unwrap_or_default();
        let shown = shown.filter(|id| sites.iter().any(|site| site.id == *id));
        match (shown, sites.as_slice()) {
            (Some(shown), _) => Ok(shown),
            (None, [only]) => Ok(only.id.clone()),
            (None, []) => Err(words.say("desk-no-site", &[])),
            (None, _) => Err(words.say("desk-which", &[])),
        }
    }

    /// Adds one photo, or says why not.
    async fn take(
        &self,
        words: &Words,
        path: &Path,
        name: &str,
        site: &str,
    ) -> Result<Entered, String> {
        let unread = |e: std::io::Error| words.say("desk-unread", &[("why", e.to_string().into())]);
        let size = tokio::fs::metadata(path).await.map_err(unread)?.len();
        if size > MOST as u64 {
            return Err(words.say("desk-large", &[("most", (MOST >> 20).into())]));
        }
        let refused = |refusal: Refusal| refusal.text().to_owned();
        let turn = self.hub.uploads.acquire().await;
        let _turn = turn.map_err(|_| refused(Refusal::fault()))?;
        let bytes = tokio::fs::read(path).await.map_err(unread)?;
        let sent = Sent {
            site: site.to_owned(),
            name: name.to_owned(),
            by: BY.to_owned(),
            ..Sent::default()
        };
        let zone = intake::zone_of(&self.hub, site).await.map_err(refused)?;
        let done = intake::take_in(&self.hub, sent, zone, bytes).await;
        done.map_err(refused)
    }

    /// Where a photo went, in words.
    fn filed(words: &Words, file: &str, done: &Entered) -> String {
        let place = &done.place;
        let key = match (done.known, place.pour.is_some() || place.step.is_some()) {
            (true, _) => "desk-known",
            (false, false) => "desk-loose",
            (false, true) => "desk-filed",
        };
        let pour = say::name(words, place.step_number, &place.name);
        let stage = match place.stage.as_str() {
            "" => String::new(),
            stage => words.say(&format!("stage-{stage}"), &[]),
        };
        let values = [
            ("file", file.into()),
            ("pour", pour.into()),
            ("stage", stage.into()),
        ];
        words.say(key, &values)
    }
}

fn words(ledger: &Ledger) -> Words {
    let chosen = ledger.setting(KEY).ok().flatten();
    Words::of(&Settings::read(chosen.as_deref()).language)
}

/// Files as they are; for a folder the files in it, by name.
fn spread(paths: Vec<PathBuf>) -> Vec<PathBuf> {
    let mut out = Vec::new();
    for path in paths {
        match inbox::files_of(&path) {
            Some(mut files) => {
                files.sort();
                out.extend(files);
            }
            None => out.push(path),
        }
    }
    out
}

fn seen(words: &Words, sites: Vec<(SiteCard, ToRemind)>, now: AtMs) -> Seen {
    let (mut due, mut next) = (Vec::new(), Vec::new());
    let several = sites.len() != 1;
    for (site, told) in sites {
        let line = |pour: String, text: String| Line {
            // With one site everybody knows which.
            text: match several {
                false => text,
                true => words.say(
                    "desk-at-site",
                    &[("site", site.name.as_str().into()), ("text", text.into())],
                ),
            },
            site: site.id.clone(),
            pour,
        };
        for one in told.due {
            // What is only likely is not called "now".
            let may = match one.test {
                Some(_) => {
                    let ask = milestone(words, one.kind, "ask");
                    words.say("head-try", &[("ask", ask.into())])
                }
                None => milestone(words, one.kind, "now"),
            };
            let values = [
                ("what", say::name(words, one.step_number, &one.name).into()),
                ("may", may.into()),
            ];
            let text = words.say("desk-line", &values);
            due.push((one.from_ms, line(one.pour, text)));
        }
        for one in told.coming {
            let values = [
                ("name", say::name(words, one.step_number, &one.name).into()),
                ("ask", milestone(words, one.kind, "ask").into()),
                ("from", say::clock(one.from_ms, now, &site.tz).into()),
            ];
            let key = match one.test {
                Some(_) => "remind-try-soon",
                None => "remind-soon",
            };
            let text = words.say(key, &values);
            next.push((one.from_ms, line(one.pour, text)));
        }
    }
    due.sort_by_key(|(from, _)| *from);
    next.sort_by_key(|(from, _)| *from);
    let lines = |all: Vec<(AtMs, Line)>| all.into_iter().map(|(_, line)| line);
    Seen {
        now: lines(due).collect(),
        next: lines(next).take(NEXT).collect(),
    }
}

/// The words of a milestone in one of their forms (`now`, `ask`, ...).
fn milestone(words: &Words, kind: MilestoneKind, form: &str) -> String {
    let kind = serde_json::to_value(kind).unwrap_or_default();
    words.say(
        &format!("m-{}.{form}", kind.as_str().unwrap_or_default()),
        &[],
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trust::lan::Setup;
    use crate::{Clock, Config, Demo, Running};
    use tempfile::TempDir;

    async fn begun() -> (Running, TempDir) {
        let dir = tempfile::tempdir().unwrap();
        let config = Config {
            data_dir: dir.path().join("log"),
            port: 0,
            demo: Demo::IfNew,
            clock: Clock::System,
            lan: Setup::default(),
        };
        (crate::start(config).await.unwrap(), dir)
    }

    fn photo() -> PathBuf {
        let here = Path::new(env!("CARGO_MANIFEST_DIR"));
        here.join("../../../tests/hub/data/exif-corpus/gen_gps_ne.jpg")
    }

    #[tokio::test]
    async fn files_are_filed_and_each_is_answered() {
        let (running, dir) = begun().await;
        let shell = running.shell();
        let folder = dir.path().join("card");
        std::fs::create_dir(&folder).unwrap();
        std::fs::copy(photo(), folder.join("a.jpg")).unwrap();
        std::fs::write(folder.join("b.txt"), "no photo").unwrap();
        let gone = dir.path().join("gone.jpg");
        let filed = shell.take_files(vec![folder.clone(), gone], None).await;
        assert!(filed.title.starts_with("1 photo added to "), "{filed:?}");
        let [a, b, c] = filed.lines.as_slice() else {
            unreachable!("{filed:?}")
        };
        assert!(a.starts_with("a.jpg: "), "{a}");
        assert!(b.starts_with("b.txt: ") && b.contains("not a photo"), "{b}");
        assert!(c.starts_with("gone.jpg: "), "{c}");
        // Its time is long before the demonstration site: it belongs to no pour.
        assert!(a.contains("no pour"), "{a}");
        let again = shell
            .take_files(vec![folder.join("a.jpg")], filed.site)
            .await;
        assert_eq!(again.title, "No photo was added");
        assert_eq!(again.lines, ["a.jpg: here already"]);
        running.stop().await;
    }

    #[tokio::test]
    async fn what_can_be_done_is_in_words() {
        let (running, _dir) = begun().await;
        let shell = running.shell();
        let seen = shell.seen().await;
        assert!(
            !seen.now.is_empty(),
            "the demonstration site has something due"
        );
        for line in seen.now.iter().chain(&seen.next) {
            assert!(line.text.contains(": "), "{line:?}");
            assert!(!line.text.contains("m-"), "a word is missing: {line:?}");
        }
        assert!(seen.next.len() <= NEXT);
        running.stop().await;
    }

    #[tokio::test]
    async fn something_is_told_once() {
        let (running, _dir) = begun().await;
        let shell = running.shell();
        assert!(shell.first_time("closed").await);
        assert!(!shell.first_time("closed").await);
        assert!(shell.first_time("other").await);
        running.stop().await;
    }
}
