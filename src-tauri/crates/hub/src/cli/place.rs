//! Where the data lie when nobody says: `slowstone` in the account's folder for
//! application data, the same one that the desktop program uses. Nothing is made or
//! opened here.

use std::env;
use std::ffi::OsString;
use std::path::PathBuf;
use std::process::ExitCode;

/// The argument that names the data folder.
#[derive(Clone, Debug, clap::Args)]
pub struct Data {
    /// Folder of the log and the photos [default: slowstone in the account's folder for
    /// application data].
    #[arg(long, value_name = "DIR")]
    data: Option<PathBuf>,
}

impl Data {
    /// The folder.
    ///
    /// # Errors
    /// Exit status 1 if nobody named one and the account has none; that is said.
    pub fn dir(&self) -> Result<PathBuf, ExitCode> {
        let asked = self.data.clone().filter(|dir| !dir.as_os_str().is_empty());
        asked.or_else(data_dir).ok_or_else(|| {
            eprintln!(
                "slowstone: this account has no folder for application data; name one with --data DIR"
            );
            ExitCode::FAILURE
        })
    }
}

/// The folder that `SLOWSTONE_DATA` names, else the usual one of this system; none if the
/// account has no home.
fn data_dir() -> Option<PathBuf> {
    pick(|name| env::var_os(name).filter(|v| !v.is_empty()))
}

fn pick(var: impl Fn(&str) -> Option<OsString>) -> Option<PathBuf> {
    if let Some(asked) = var("SLOWSTONE_DATA") {
        return Some(asked.into());
    }
    let base = if cfg!(windows) {
        var("APPDATA").map(PathBuf::from)
    } else if cfg!(target_os = "macos") {
        var("HOME").map(|h| PathBuf::from(h).join("Library/Application Support"))
    } else {
        // The XDG base directory specification: a relative path is to be ignored.
        let xdg = var("XDG_DATA_HOME").map(PathBuf::from);
        xdg.filter(|p| p.is_absolute())
            .or_else(|| var("HOME").map(|h| PathBuf::from(h).join(".local/share")))
    };
    base.map(|base| base.join("slowstone"))
}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::*;

    fn with(vars: &[(&str, &str)]) -> Option<PathBuf> {
        pick(|name| {
            let found = vars.iter().find(|(n, _)| *n == name);
            found.map(|(_, v)| OsString::from(v))
        })
    }

    #[test]
    fn asked_for_then_xdg_then_home() {
        let home = ("HOME", "/h");
        assert_eq!(with(&[("SLOWSTONE_DATA", "d"), home]), Some("d".into()));
        assert_eq!(
            with(&[("XDG_DATA_HOME", "/x"), home]),
            Some("/x/slowstone".into())
        );
        assert_eq!(
            with(&[("XDG_DATA_HOME", "x"), home]),
            Some("/h/.local/share/slowstone".into())
        );
        assert_eq!(with(&[]), None);
    }
}
