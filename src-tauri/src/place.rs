//! Where the shell finds things: the folder of the log, the port of its hub, and
//! which addresses belong to its own window. No window and no hub in here, so
//! that it can be tested without either. Next: lib.rs.

use std::ffi::OsString;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::PathBuf;

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
