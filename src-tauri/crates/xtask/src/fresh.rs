//! `cargo xtask fresh`: does the first command of README.md work on a bare machine?
//! A minimal Debian 12 is unpacked by debootstrap into a folder below `target`, the files
//! of this checkout are copied in, and there, with no compiler, no Rust and no Node,
//! `sh src-tauri/start.sh` runs until the page answers; then the quick tests.
//! Without root or debootstrap it says so and proves nothing. The network settings of this
//! machine (apt sources, certificates, npm's and cargo's files) go along.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use crate::outcome::Outcome;
use crate::process::{Job, find, root, target};

/// Where the checkout lies inside the bare machine.
const HOUSE: &str = "root/slowstone";
/// A port that is free on most machines; the bare machine shares this one's network.
const PORT: u16 = 8931;
/// How long the first build may take, on a slow machine too.
const PATIENCE: Duration = Duration::from_secs(60 * 60);
/// Crates whose tests need neither a browser nor a window.
const QUICK: &str = "cargo test -p slowstone-curing -p slowstone-logbook -p slowstone-sync";

/// Unpacks a bare Debian 12, starts Slowstone in it and runs the quick tests there.
///
/// # Errors
/// When the first command does not end with a page that answers, or a quick test fails.
pub fn run() -> Outcome {
    if let Some(reason) = cannot() {
        eprintln!("SKIPPED: {reason}. Nothing was proved about a bare machine.");
        return Ok(());
    }
    let bare = target().join("fresh");
    unpack(&bare)?;
    copy_checkout(&bare)?;
    copy_settings(&bare)?;
    let proc = bare.join("proc");
    Job::new("mount")
        .args(["-t", "proc", "proc"])
        .args([&proc])
        .run()?;
    let outcome = prove(&bare);
    let unmounted = Job::new("umount").args([&proc]).run();
    outcome.and(unmounted)
}

/// Why it cannot be proved here; none where it can.
fn cannot() -> Option<&'static str> {
    let is_root = Job::new("id")
        .args(["-u"])
        .text()
        .is_ok_and(|id| id.trim() == "0");
    if !is_root {
        return Some("unpacking a system into a folder needs root");
    }
    if find("debootstrap").is_none() {
        return Some("debootstrap is not installed (`apt-get install debootstrap`)");
    }
    None
}

fn unpack(bare: &Path) -> Outcome {
    if bare.exists() {
        std::fs::remove_dir_all(bare)
            .map_err(|error| format!("could not clear {}: {error}", bare.display()))?;
    }
    Job::new("debootstrap")
        .args(["--variant=minbase", "bookworm"])
        .args([bare])
        .run()
}

/// The files that git knows, as they are now; nothing that was built.
fn copy_checkout(bare: &Path) -> Outcome {
    let house = bare.join(HOUSE);
    let listed = Job::new("git")
        .args(["ls-files", "--cached", "--others", "--exclude-standard"])
        .text()?;
    for name in listed.lines() {
        let from = root().join(name);
        if from.is_file() {
            copy(&from, &house.join(name))?;
        }
    }
    Ok(())
}

fn copy(from: &Path, to: &Path) -> Outcome {
    let folder = to.parent().map_or(Ok(()), std::fs::create_dir_all);
    folder
        .and_then(|()| std::fs::copy(from, to))
        .map(|_| ())
        .map_err(|error| {
            format!(
                "could not copy {} to {}: {error}",
                from.display(),
                to.display()
            )
        })
}

/// How this machine reaches its package sources, where it differs from a new one.
fn copy_settings(bare: &Path) -> Outcome {
    let home = PathBuf::from(std::env::var_os("HOME").unwrap_or_else(|| "/root".into()));
    let mut files: Vec<(PathBuf, PathBuf)> = [
        "/etc/resolv.conf",
        "/etc/ssl/certs/ca-certificates.crt",
        "/etc/apt/sources.list",
    ]
    .map(|file| (PathBuf::from(file), bare.join(file.trim_start_matches('/'))))
    .into();
    for (from, to) in [
        (".npmrc", "root/.npmrc"),
        (".cargo/config.toml", "root/.cargo/config.toml"),
    ] {
        files.push((home.join(from), bare.join(to)));
    }
    for entry in std::fs::read_dir("/etc/apt/sources.list.d")
        .into_iter()
        .flatten()
        .flatten()
    {
        // Other people's repositories would bring what a bare Debian has not.
        if entry.file_name().to_string_lossy().starts_with("debian") {
            files.push((
                entry.path(),
                bare.join("etc/apt/sources.list.d").join(entry.file_name()),
            ));
        }
    }
    for (from, to) in files {
        if from.is_file() {
            copy(&from, &to)?;
        }
    }
    Ok(())
}

fn prove(bare: &Path) -> Outcome {
    let start = format!("sh src-tauri/start.sh --no-open --port {PORT}");
    let mut hub = inside(bare, &start)
        .spawn()
        .map_err(|error| format!("could not enter the bare machine: {error}"))?;
    let answered = wait_for_page(&mut hub);
    let stopped = stop(&mut hub);
    answered?;
    stopped?;
    eprintln!("\nThe page answers. Now the quick tests there.");
    let tests = format!(". src-tauri/toolchain.sh && {QUICK}");
    let status = inside(bare, &tests)
        .status()
        .map_err(|error| format!("could not enter the bare machine: {error}"))?;
    match status.success() {
        true => Ok(()),
        false => Err(format!(
            "the quick tests failed on the bare machine ({status})"
        )),
    }
}

/// `script`, run by the bare machine's shell in its checkout with nothing of this
/// machine's environment.
fn inside(bare: &Path, script: &str) -> Command {
    let mut command = Command::new("chroot");
    command
        .arg(bare)
        .args(["/usr/bin/env", "-i", "HOME=/root", "LANG=C.UTF-8"])
        .arg("PATH=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin")
        // Node has authorities of its own; those of this machine go along.
        .arg("NODE_EXTRA_CA_CERTS=/etc/ssl/certs/ca-certificates.crt")
        .args(["/bin/sh", "-c"])
        .arg(format!("cd /{HOUSE} && {script}"))
        .stdin(Stdio::null());
    command
}

fn wait_for_page(hub: &mut Child) -> Outcome {
    let begun = Instant::now();
    loop {
        if let Ok(Some(status)) = hub.try_wait() {
            return Err(format!(
                "the first command ended before the page answered ({status})"
            ));
        }
        if page().is_some_and(|page| is_the_app(&page)) {
            return Ok(());
        }
        if begun.elapsed() > PATIENCE {
            return Err("no page after an hour".to_owned());
        }
        std::thread::sleep(Duration::from_secs(2));
    }
}

/// What the hub answers to the question for its page, with the head.
fn page() -> Option<String> {
    let mut stream = TcpStream::connect(("127.0.0.1", PORT)).ok()?;
    stream
        .set_read_timeout(Some(Duration::from_secs(10)))
        .ok()?;
    let question = format!("GET / HTTP/1.1\r\nHost: 127.0.0.1:{PORT}\r\nConnection: close\r\n\r\n");
    stream.write_all(question.as_bytes()).ok()?;
    let mut answer = String::new();
    stream.read_to_string(&mut answer).ok()?;
    Some(answer)
}

/// The built app, not a placeholder: it loads a script of the build.
fn is_the_app(answer: &str) -> bool {
    answer.starts_with("HTTP/1.1 200") && answer.contains("/assets/")
}

/// Ends the hub as a service manager would: it stops by itself when told.
fn stop(hub: &mut Child) -> Outcome {
    let id = hub.id().to_string();
    Job::new("kill").args(["-TERM", &id]).run()?;
    let status = hub
        .wait()
        .map_err(|error| format!("the hub could not be waited for: {error}"))?;
    match status.success() {
        true => Ok(()),
        false => Err(format!(
            "the hub did not end well when told to stop ({status})"
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Promise: "On a fresh Debian 12 (or a relative of it), as root or with sudo:"
    #[test]
    fn a_placeholder_is_not_the_app() {
        assert!(is_the_app(
            "HTTP/1.1 200 OK\r\n\r\n<script src=\"/assets/index-1.js\">"
        ));
        assert!(!is_the_app("HTTP/1.1 200 OK\r\n\r\n<p>not built</p>"));
        assert!(!is_the_app("HTTP/1.1 403 Forbidden\r\n\r\n/assets/"));
    }
}
