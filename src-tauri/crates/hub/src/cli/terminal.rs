//! What every command does at a terminal: print an answer, open a browser.
//!
//! A reader that went away is no trouble; a browser that is not there is said.

use std::process::{Command as Process, ExitCode, Stdio};

/// Prints to standard output; a reader that went away is no trouble.
pub fn print(text: &str) -> ExitCode {
    use std::io::Write;
    let mut out = std::io::stdout().lock();
    let done = writeln!(out, "{text}").and_then(|()| out.flush());
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) if e.kind() == std::io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(e) => {
            eprintln!("slowstone: the answer cannot be written: {e}");
            ExitCode::FAILURE
        }
    }
}

/// Opens the system's browser, if it has one.
pub fn browse(url: &str) {
    let mut command = if cfg!(windows) {
        let mut c = Process::new("rundll32");
        c.arg("url.dll,FileProtocolHandler");
        c
    } else if cfg!(target_os = "macos") {
        Process::new("open")
    } else {
        Process::new("xdg-open")
    };
    let opened = command
        .arg(url)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn();
    if opened.is_err() {
        eprintln!("slowstone: no browser could be opened; open the address yourself");
    }
}
