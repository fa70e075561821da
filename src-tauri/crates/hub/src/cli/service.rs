//! `slowstone service install|remove|print`: the hub as a systemd user unit, which runs
//! from when the account logs in.
//!
//! Writes and removes one file. The commands that make systemd notice are printed, and
//! run only with `--now`. The unit itself is in `service/slowstone.service`.

use super::{place, print, say, serve};
use std::env;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};

const TEMPLATE: &str = include_str!("../../service/slowstone.service");

/// Name of the unit.
const UNIT: &str = "slowstone.service";

/// Arguments of `slowstone service`.
#[derive(Debug, clap::Args)]
pub struct Args {
    #[command(subcommand)]
    action: Action,
}

#[derive(Debug, clap::Subcommand)]
enum Action {
    /// Write the unit for this account and print what makes systemd start it.
    Install {
        #[command(flatten)]
        how: How,
        /// Also run those commands.
        #[arg(long)]
        now: bool,
    },
    /// Remove the unit and print what makes systemd stop it; the data stay.
    Remove {
        /// Also run those commands.
        #[arg(long)]
        now: bool,
    },
    /// Print the unit and write nothing.
    Print {
        #[command(flatten)]
        how: How,
    },
}

/// How the hub is to run.
#[derive(Debug, clap::Args)]
struct How {
    #[command(flatten)]
    data: place::Data,
    /// Port on this computer.
    #[arg(long, value_name = "N", default_value_t = serve::USUAL_PORT)]
    port: u16,
    #[command(flatten)]
    inboxes: serve::Watched,
}

/// Why the unit could not be written or removed.
#[derive(Debug, thiserror::Error)]
enum Trouble {
    #[error(
        "this account has no home folder, so there is no place for the unit; write the output of `slowstone service print` where your system keeps units"
    )]
    Homeless,
    #[error("this program does not know where it lies ({0}); start it by its whole path")]
    Nowhere(io::Error),
    #[error(
        "{}: systemd runs no program whose path has quotes or backslashes; move it elsewhere",
        .0.display()
    )]
    OddProgram(PathBuf),
    #[error("{}: was not written by this command, so it is left alone; move it away first", .0.display())]
    Foreign(PathBuf),
    #[error("{}: {}. Check whether this account may write there", .0.display(), .1)]
    File(PathBuf, io::Error),
    #[error("`{0}` failed ({1}); run it yourself")]
    Command(String, String),
}

/// Does what is asked. Status 1 if it could not be done, 2 for arguments that cannot be.
pub fn run(args: &Args) -> ExitCode {
    let (how, done) = match &args.action {
        Action::Remove { now } => {
            return ended(remove(*now));
        }
        Action::Print { how } => (how, None),
        Action::Install { how, now } => (how, Some(*now)),
    };
    let text = match unit(how) {
        Ok(text) => text,
        Err(status) => return status,
    };
    match done {
        None => print(text.trim_end()),
        Some(now) => ended(install(&text, now)),
    }
}

fn ended(done: Result<(), Trouble>) -> ExitCode {
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            eprintln!("slowstone: {e}");
            ExitCode::FAILURE
        }
    }
}

/// The unit's text.
fn unit(how: &How) -> Result<String, ExitCode> {
    let data = how.data.dir()?;
    let inboxes = how.inboxes.inboxes(&data)?.unwrap_or_default();
    let program = env::current_exe().map_err(|e| ended(Err(Trouble::Nowhere(e))))?;
    if program.to_string_lossy().contains(['"', '\'', '\\']) {
        return Err(ended(Err(Trouble::OddProgram(program))));
    }
    let data = std::path::absolute(&data).unwrap_or(data);
    let mut words = vec![
        "hub".to_owned(),
        "--data".to_owned(),
        data.to_string_lossy().into_owned(),
        "--port".to_owned(),
        how.port.to_string(),
    ];
    for folder in &inboxes.folders {
        words.push("--inbox".to_owned());
        words.push(folder.to_string_lossy().into_owned());
    }
    if let Some(site) = inboxes.site {
        words.extend(["--inbox-site".to_owned(), site]);
    }
    let mut command = quoted(&program.to_string_lossy());
    for word in words {
        command.push(' ');
        // Variables are filled in everywhere but in the name of the program.
        command.push_str(&quoted(&word).replace('$', "$$"));
    }
    Ok(TEMPLATE.replace("@COMMAND@", &command))
}

/// A word of a command line as systemd reads it: systemd.service(5), "Command lines", and
/// systemd.unit(5), "Specifiers".
fn quoted(word: &str) -> String {
    let mut out = String::from("\"");
    for c in word.chars() {
        match c {
            '\\' => out.push_str("\\\\"),
            '"' => out.push_str("\\\""),
            '%' => out.push_str("%%"),
            '\n' => out.push_str("\\n"),
            c => out.push(c),
        }
    }
    out.push('"');
    let plain = |c: char| c.is_ascii_alphanumeric() || "/._-+,:@=".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        return word.to_owned();
    }
    out
}

/// Where units of this account lie: systemd.unit(5), "User unit search path".
fn units() -> Result<PathBuf, Trouble> {
    let var = |name| env::var_os(name).map(PathBuf::from);
    let xdg = var("XDG_CONFIG_HOME").filter(|p| p.is_absolute());
    let home = || var("HOME").filter(|p| p.is_absolute());
    let config = xdg.or_else(|| home().map(|h| h.join(".config")));
    let config = config.ok_or(Trouble::Homeless)?;
    Ok(config.join("systemd/user"))
}

/// Whether the file is there and was written by this command.
fn is_ours(path: &Path) -> Result<bool, Trouble> {
    match fs::read_to_string(path) {
        Ok(text) if text.lines().next() == TEMPLATE.lines().next() => Ok(true),
        Ok(_) => Err(Trouble::Foreign(path.to_path_buf())),
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(e) if e.kind() == io::ErrorKind::InvalidData => {
            Err(Trouble::Foreign(path.to_path_buf()))
        }
        Err(e) => Err(Trouble::File(path.to_path_buf(), e)),
    }
}

fn install(text: &str, now: bool) -> Result<(), Trouble> {
    let path = units()?.join(UNIT);
    let at = |e| Trouble::File(path.clone(), e);
    is_ours(&path)?;
    fs::create_dir_all(units()?).map_err(at)?;
    fs::write(&path, text).map_err(at)?;
    print(&format!("Wrote {}.", say::argument(&path)));
    let notice = [
        "daemon-reload",
        "enable slowstone.service",
        "restart slowstone.service",
    ];
    tell_systemd(&notice, now)?;
    print(
        "\nThen `slowstone open` opens its page, `slowstone status` says how it is, and\n`journalctl --user -u slowstone` shows its messages. To have it run while nobody is\nlogged in: `loginctl enable-linger`.",
    );
    Ok(())
}

fn remove(now: bool) -> Result<(), Trouble> {
    let path = units()?.join(UNIT);
    if !is_ours(&path)? {
        print("There is no unit of Slowstone in this account.");
        return Ok(());
    }
    fs::remove_file(&path).map_err(|e| Trouble::File(path.clone(), e))?;
    // What `systemctl enable` has made.
    let link = units()?.join("default.target.wants").join(UNIT);
    match fs::remove_file(&link) {
        Err(e) if e.kind() != io::ErrorKind::NotFound => return Err(Trouble::File(link, e)),
        _ => {}
    }
    print(&format!("Removed {}. The data stay.", say::argument(&path)));
    tell_systemd(&["stop slowstone.service", "daemon-reload"], now)
}

/// Prints the commands, or runs them.
fn tell_systemd(orders: &[&str], now: bool) -> Result<(), Trouble> {
    if !now {
        print("\nMake systemd notice:");
    }
    for order in orders {
        let line = format!("systemctl --user {order}");
        print(&format!("  {line}"));
        if !now {
            continue;
        }
        let ran = Command::new("systemctl")
            .arg("--user")
            .args(order.split(' '))
            .status();
        let why = match ran {
            Ok(status) if status.success() => continue,
            Ok(status) => status.to_string(),
            Err(e) => e.to_string(),
        };
        return Err(Trouble::Command(line, why));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_quoted_as_systemd_reads_them() {
        assert_eq!(quoted("/usr/bin/slowstone"), "/usr/bin/slowstone");
        assert_eq!(quoted("a b"), "\"a b\"");
        assert_eq!(quoted("100%"), "\"100%%\"");
        assert_eq!(quoted(r#"a\"b"#), r#""a\\\"b""#);
        assert_eq!(quoted(""), "\"\"");
    }
}
