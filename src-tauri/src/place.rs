//! Where the shell finds things: the folder of the log, the port of its hub, what a
//! start asks for, the screens of the page and which addresses belong to its own
//! window. No window and no hub in here, so that it can be tested without either.
//! Next: lib.rs.

// A phone has one start and no tray.
#![cfg_attr(mobile, allow(dead_code))]

use std::ffi::OsString;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};

use tauri::Url;

/// The port the shell asks for first (the hub takes another if somebody has it). The
/// page keeps what was not sent yet under its address, so the address should be the
/// same on the next start.
pub const USUAL_PORT: u16 = 47_620;

/// The folder of the log: what `SLOWSTONE_DATA` says, else `slowstone` in the
/// platform's folder for application data.
pub fn data_dir(asked: Option<OsString>, platform: Option<PathBuf>) -> Option<PathBuf> {
    match asked {
        Some(asked) if !asked.is_empty() => Some(PathBuf::from(asked)),
        _ => platform.map(|platform| platform.join("slowstone")),
    }
}

/// The name by which a second start finds the first (a D-Bus name: letters, digits and
/// points): one for the usual log, and one for each other that `SLOWSTONE_DATA` asks for.
pub fn instance(asked: Option<OsString>) -> String {
    match asked.filter(|asked| !asked.is_empty()) {
        None => "org.slowstone.desktop".to_owned(),
        Some(asked) => {
            let mut hasher = DefaultHasher::new();
            std::path::absolute(&asked)
                .unwrap_or_else(|_| PathBuf::from(&asked))
                .hash(&mut hasher);
            format!("org.slowstone.desktop.log{:016x}", hasher.finish())
        }
    }
}

/// What the words of a start ask for.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Asked {
    /// Photos to take in.
    pub files: Vec<PathBuf>,
    /// Nobody asked for a window: the computer was turned on.
    pub hidden: bool,
    /// The running program is to end.
    pub quit: bool,
}

/// The word with which the program is started at login.
pub const HIDDEN: &str = "--hidden";

/// What `words` ask for, the program's name left out; files are seen from `folder`.
pub fn asked(words: impl IntoIterator<Item = OsString>, folder: &Path) -> Asked {
    let mut asked = Asked::default();
    for word in words {
        match word.to_str() {
            Some(HIDDEN) => asked.hidden = true,
            Some("--quit") => asked.quit = true,
            _ => asked.files.push(folder.join(word)),
        }
    }
    asked
}

/// The page's screen of a site, or of one of its pours (`ui/src/lib/router.ts`).
pub fn screen(site: &str, pour: Option<&str>) -> String {
    let Ok(mut address) = "http://localhost/".parse::<Url>() else {
        return "/".to_owned();
    };
    if let Ok(mut parts) = address.path_segments_mut() {
        parts.clear().extend(["site", site]);
        if let Some(pour) = pour {
            parts.extend(["pour", pour]);
        }
    }
    address.path().to_owned()
}

/// The site that the screen at `address` shows.
pub fn site(address: &Url) -> Option<String> {
    let mut parts = address.path_segments()?;
    let site = parts.next().filter(|first| *first == "site");
    site.and(parts.next()).map(str::to_owned)
}

/// True when `to` is a place the window may go: the hub's own address, or a file
/// that the page itself made for saving.
pub fn is_own(own: &Url, to: &Url) -> bool {
    match to.scheme() {
        "blob" => to
            .path()
            .parse::<Url>()
            .is_ok_and(|inner| inner.origin() == own.origin()),
        "data" => own.scheme() == "data",
        "about" => true,
        _ => own.origin() == to.origin(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn url(text: &str) -> Url {
        text.parse().unwrap()
    }

    #[test]
    fn the_asked_folder_comes_first() {
        let home = Some(PathBuf::from("home"));
        assert_eq!(
            data_dir(Some("here".into()), home.clone()),
            Some("here".into())
        );
        assert_eq!(
            data_dir(Some("".into()), home.clone()),
            Some("home/slowstone".into())
        );
        assert_eq!(data_dir(None, home), Some("home/slowstone".into()));
        assert_eq!(data_dir(None, None), None);
    }

    #[test]
    fn each_log_has_an_instance_of_its_own() {
        let usual = instance(None);
        assert_eq!(instance(Some("".into())), usual);
        let here = instance(Some("/a/log".into()));
        assert_eq!(here, instance(Some("/a/log".into())));
        assert_ne!(here, instance(Some("/b/log".into())));
        assert_ne!(here, usual);
    }

    #[test]
    fn a_start_says_what_it_wants() {
        let here = Path::new("/photos");
        let words = |all: &[&str]| asked(all.iter().map(OsString::from), here);
        assert_eq!(words(&[]), Asked::default());
        let start = words(&["--hidden", "a.jpg", "/b.jpg"]);
        assert!(start.hidden && !start.quit);
        assert_eq!(
            start.files,
            [PathBuf::from("/photos/a.jpg"), "/b.jpg".into()]
        );
        assert!(words(&["--quit"]).quit);
    }

    #[test]
    fn screens_have_addresses() {
        assert_eq!(screen("s1", None), "/site/s1");
        assert_eq!(screen("s1", Some("p 2")), "/site/s1/pour/p%202");
        assert_eq!(screen("a/b\"c", None), "/site/a%2Fb%22c");
        let at = |path: &str| site(&url(&format!("http://127.0.0.1:1{path}")));
        assert_eq!(at("/site/s1/pour/p2").as_deref(), Some("s1"));
        assert_eq!(at("/site/s1").as_deref(), Some("s1"));
        assert_eq!(at("/"), None);
        assert_eq!(at("/settings/phones"), None);
    }

    #[test]
    fn the_window_stays_at_home() {
        let own = url("http://127.0.0.1:47620/#t=abc");
        assert!(is_own(&own, &url("http://127.0.0.1:47620/site")));
        assert!(is_own(&own, &url("blob:http://127.0.0.1:47620/1-2-3")));
        assert!(!is_own(&own, &url("http://127.0.0.1:80/")));
        assert!(!is_own(&own, &url("https://example.org/")));
        assert!(!is_own(&own, &url("blob:https://example.org/1-2-3")));
        assert!(!is_own(&own, &url("data:text/html,hello")));
        assert!(!is_own(&own, &url("file:///etc/passwd")));
    }
}
