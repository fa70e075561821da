//! Starting other programs: each is shown before it runs, and a failure names it.
//! Also where the checkout is and where programs are found. Nothing here knows
//! what the programs do. Next: setup.rs, which installs the missing ones.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::outcome::Outcome;

/// The top folder of the checkout, from where this crate was built.
pub fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(3).unwrap_or(here).to_path_buf()
}

/// Where cargo puts what it builds for this machine.
pub fn target() -> PathBuf {
    match std::env::var_os("CARGO_TARGET_DIR") {
        Some(dir) => root().join(dir),
        None => root().join("target"),
    }
}

/// The program `name` as cargo built it in the dev profile.
pub fn built(name: &str) -> PathBuf {
    let file = format!("{name}{}", std::env::consts::EXE_SUFFIX);
    target().join("debug").join(file)
}

/// The first place in PATH that holds `name`.
pub fn find(name: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    let endings = if cfg!(windows) {
        &[".exe", ".cmd"][..]
    } else {
        &[""]
    };
    std::env::split_paths(&path)
        .flat_map(|dir| {
            endings
                .iter()
                .map(move |end| dir.join(format!("{name}{end}")))
        })
        .find(|file| file.is_file())
}

/// One program to start, in the top folder unless said otherwise.
pub struct Job {
    command: Command,
    shown: String,
}

impl Job {
    /// The program called `name`.
    pub fn new(name: impl AsRef<OsStr>) -> Self {
        let name = name.as_ref();
        let mut command = Command::new(name);
        command.current_dir(root());
        Self {
            command,
            shown: name.to_string_lossy().into_owned(),
        }
    }

    /// The cargo that started this program.
    pub fn cargo() -> Self {
        let mut job = Self::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
        job.shown = "cargo".to_owned();
        // What cargo told this crate is not for the ones it builds next.
        for (name, _) in std::env::vars_os() {
            if name.to_string_lossy().starts_with("CARGO_PKG_") {
                job.command.env_remove(name);
            }
        }
        job.command
            .env_remove("CARGO_MANIFEST_DIR")
            .env_remove("CARGO_MANIFEST_PATH");
        job
    }

    /// npm, which is a script with another name on Windows.
    pub fn npm() -> Self {
        Self::new(if cfg!(windows) { "npm.cmd" } else { "npm" })
    }

    /// Adds arguments.
    pub fn args<S: AsRef<OsStr>>(mut self, args: impl IntoIterator<Item = S>) -> Self {
        for arg in args {
            self.shown.push(' ');
            self.shown.push_str(&arg.as_ref().to_string_lossy());
            self.command.arg(arg);
        }
        self
    }

    /// Sets a variable of its environment.
    pub fn env(mut self, name: &str, value: impl AsRef<OsStr>) -> Self {
        self.command.env(name, value);
        self
    }

    /// Takes a variable out of its environment.
    pub fn without(mut self, name: &str) -> Self {
        self.command.env_remove(name);
        self
    }

    /// Starts it in `dir`, which is below the top folder.
    pub fn dir(mut self, dir: impl AsRef<Path>) -> Self {
        self.command.current_dir(root().join(&dir));
        let dir = dir.as_ref();
        self.shown = format!("({}) {}", dir.display(), self.shown);
        self
    }

    /// Shows the command, runs it to its end with our input and output.
    pub fn run(mut self) -> Outcome {
        eprintln!("> {}", self.shown);
        let status = self
            .command
            .status()
            .map_err(|error| self.missing(&error))?;
        match status.success() {
            true => Ok(()),
            false => Err(format!("`{}` failed ({status})", self.shown)),
        }
    }

    /// Runs it silently and gives what it wrote to its output.
    pub fn output(mut self) -> Outcome<Vec<u8>> {
        self.command.stdin(Stdio::null()).stderr(Stdio::piped());
        let output = self
            .command
            .output()
            .map_err(|error| self.missing(&error))?;
        match output.status.success() {
            true => Ok(output.stdout),
            false => Err(format!(
                "`{}` failed ({})\n{}",
                self.shown,
                output.status,
                String::from_utf8_lossy(&output.stderr).trim_end()
            )),
        }
    }

    /// Shows the command, runs it with our error output, and gives what it wrote to its own.
    pub fn loud(mut self) -> Outcome<String> {
        eprintln!("> {}", self.shown);
        self.command.stdin(Stdio::null()).stderr(Stdio::inherit());
        let output = self
            .command
            .output()
            .map_err(|error| self.missing(&error))?;
        match output.status.success() {
            true => Ok(String::from_utf8_lossy(&output.stdout).into_owned()),
            false => Err(format!("`{}` failed ({})", self.shown, output.status)),
        }
    }

    /// Runs it to its end without a word, and gives the command, all that it wrote and how it
    /// ended: for programs that run side by side, whose lines would mix.
    pub fn kept(mut self) -> (String, Outcome) {
        self.command.stdin(Stdio::null());
        let output = match self.command.output() {
            Ok(output) => output,
            Err(error) => return (String::new(), Err(self.missing(&error))),
        };
        let text = format!(
            "> {}\n{}{}",
            self.shown,
            String::from_utf8_lossy(&output.stdout),
            String::from_utf8_lossy(&output.stderr)
        );
        let outcome = match output.status.success() {
            true => Ok(()),
            false => Err(format!("`{}` failed ({})", self.shown, output.status)),
        };
        (text, outcome)
    }

    /// `output` as text.
    pub fn text(self) -> Outcome<String> {
        self.output()
            .map(|bytes| String::from_utf8_lossy(&bytes).into_owned())
    }

    /// Becomes the program, so that Ctrl-C goes straight to it. Returns on failure
    /// (or, where one program cannot become another, when it ends).
    pub fn become_it(mut self) -> Outcome {
        eprintln!("> {}", self.shown);
        #[cfg(unix)]
        {
            use std::os::unix::process::CommandExt;
            let error = self.command.exec();
            Err(self.missing(&error))
        }
        #[cfg(not(unix))]
        self.run()
    }

    fn missing(&self, error: &std::io::Error) -> String {
        format!("could not start `{}`: {error}", self.shown)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_top_folder_holds_the_workspace() {
        let manifest = std::fs::read_to_string(root().join("Cargo.toml")).unwrap();
        assert!(manifest.contains("[workspace]"));
    }

    #[test]
    fn a_failure_names_the_program() {
        let reason = Job::new("no-such-program-here")
            .args(["--x"])
            .text()
            .unwrap_err();
        assert!(reason.contains("no-such-program-here --x"), "{reason}");
    }

    #[test]
    fn programs_are_found_in_path() {
        assert!(find("cargo").is_some());
        assert!(find("no-such-program-here").is_none());
    }
}
