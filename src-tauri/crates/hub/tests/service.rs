//! `slowstone service`: the unit that it writes, as systemd reads it, and what it leaves
//! alone.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(target_os = "linux")]

mod running;

use running::slowstone;
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn service(program: &Path, config: &Path, args: &[&str]) -> Output {
    Command::new(program)
        .arg("service")
        .args(args)
        .env("XDG_CONFIG_HOME", config)
        .env_remove("SLOWSTONE_DATA")
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn program() -> PathBuf {
    PathBuf::from(slowstone().get_program())
}

/// Keys and values of the sections of a unit, in order.
fn parsed(unit: &str) -> Vec<(String, String, String)> {
    let mut section = String::new();
    let mut found = Vec::new();
    for line in unit.lines() {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        if let Some(name) = line.strip_prefix('[').and_then(|l| l.strip_suffix(']')) {
            section = name.to_owned();
            continue;
        }
        let (key, value) = line.split_once('=').expect(line);
        found.push((section.clone(), key.to_owned(), value.to_owned()));
    }
    found
}

/// What `systemd-analyze verify` complains about; none if this system has none.
fn complaints(unit: &Path, dir: &Path) -> Option<String> {
    // Without a runtime folder it does not know where user units lie.
    let analyze = |args: &[&str]| {
        Command::new("systemd-analyze")
            .args(args)
            .env("XDG_RUNTIME_DIR", dir)
            .output()
    };
    analyze(&["--version"])
        .ok()
        .filter(|o| o.status.success())?;
    let out = analyze(&["verify", "--user", unit.to_str()?]).unwrap();
    Some(format!("{}{}", text(&out.stdout), text(&out.stderr)))
}

/// Promise: "a systemd user unit: the hub runs from when you log in; --now starts it"
#[test]
fn the_unit_is_what_systemd_understands_with_odd_names_too() {
    let dir = tempfile::tempdir().unwrap();
    // A program and data whose names mean something to systemd.
    let odd = dir.path().join("50% off $HOME");
    fs::create_dir(&odd).unwrap();
    let copy = odd.join("slow stone");
    fs::copy(program(), &copy).unwrap();
    let data = odd.join("the data");
    let (inbox, config) = (dir.path().join("in box"), dir.path().join("config"));
    let args = [
        "install",
        "--data",
        data.to_str().unwrap(),
        "--inbox",
        inbox.to_str().unwrap(),
        "--inbox-site",
        "Canoe landing",
    ];
    let done = service(&copy, &config, &args);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let said = text(&done.stdout);
    for line in [
        "systemctl --user daemon-reload",
        "systemctl --user enable slowstone.service",
        "systemctl --user restart slowstone.service",
        "journalctl --user",
    ] {
        assert!(said.contains(line), "{said}");
    }
    let unit = config.join("systemd/user/slowstone.service");
    let read = parsed(&fs::read_to_string(&unit).unwrap());
    let value = |section: &str, key: &str| {
        let one = read.iter().find(|(s, k, _)| s == section && k == key);
        one.map(|(_, _, v)| v.as_str())
            .unwrap_or_default()
            .to_owned()
    };
    assert_eq!(value("Install", "WantedBy"), "default.target");
    assert_eq!(value("Service", "Restart"), "on-failure");
    let odd = odd.to_str().unwrap().replace('%', "%%");
    assert_eq!(
        value("Service", "ExecStart"),
        format!(
            "\"{odd}/slow stone\" hub --data \"{}/the data\" --port 8477 --inbox \"{}\" --inbox-site \"Canoe landing\"",
            odd.replace('$', "$$"),
            inbox.display()
        )
    );
    match complaints(&unit, dir.path()) {
        Some(found) => assert_eq!(found, ""),
        None => println!("systemd-analyze is not here: the unit was only parsed"),
    }
}

#[test]
fn a_complaint_would_be_noticed() {
    let dir = tempfile::tempdir().unwrap();
    let printed = service(&program(), dir.path(), &["print", "--data", "/srv/site"]);
    let good = text(&printed.stdout);
    let unit = dir.path().join("slowstone.service");
    for (from, to) in [("Restart=", "Restrat="), ("ExecStart=/", "ExecStart=/no")] {
        let bad = good.replace(from, to);
        assert_ne!(bad, good);
        fs::write(&unit, bad).unwrap();
        if let Some(found) = complaints(&unit, dir.path()) {
            assert_ne!(found, "", "{to}");
        }
    }
}

#[test]
fn installed_again_removed_and_never_over_somebody_elses() {
    let dir = tempfile::tempdir().unwrap();
    let user = dir.path().join("systemd/user");
    let unit = user.join("slowstone.service");
    let run = |args: &[&str]| service(&program(), dir.path(), args);
    assert_eq!(run(&["remove"]).status.code(), Some(0));
    assert!(!user.exists());
    assert_eq!(
        run(&["print", "--data", "/srv/site"]).status.code(),
        Some(0)
    );
    assert!(!user.exists(), "printing writes nothing");
    for port in ["8500", "8501"] {
        let done = run(&["install", "--data", "/srv/site", "--port", port]);
        assert_eq!(done.status.code(), Some(0));
        let port = format!("--port {port}\n");
        assert!(fs::read_to_string(&unit).unwrap().contains(&port));
    }
    let wants = user.join("default.target.wants");
    fs::create_dir(&wants).unwrap();
    std::os::unix::fs::symlink(&unit, wants.join("slowstone.service")).unwrap();
    let done = run(&["remove"]);
    assert_eq!(done.status.code(), Some(0));
    assert!(text(&done.stdout).contains("systemctl --user stop slowstone.service"));
    assert!(!unit.exists() && fs::read_dir(&wants).unwrap().next().is_none());

    fs::write(&unit, "[Service]\nExecStart=/usr/bin/true\n").unwrap();
    for action in [&["install", "--data", "/srv/site"][..], &["remove"]] {
        let no = run(action);
        assert_eq!(no.status.code(), Some(1));
        assert!(text(&no.stderr).contains("left alone"));
    }
    assert!(fs::read_to_string(&unit).unwrap().contains("/usr/bin/true"));
}

/// Systemd itself is not started by tests: its command is played by one that writes down
/// what it is asked.
#[test]
fn with_now_it_asks_systemd_and_says_when_that_fails() {
    let dir = tempfile::tempdir().unwrap();
    let (fake, asked) = (dir.path().join("systemctl"), dir.path().join("asked"));
    let play = |status: u8| {
        let script = format!(
            "#!/bin/sh\necho \"$@\" >> '{}'\nexit {status}\n",
            asked.display()
        );
        fs::write(&fake, script).unwrap();
        fs::set_permissions(&fake, fs::Permissions::from_mode(0o755)).unwrap();
    };
    let run = |args: &[&str]| {
        slowstone()
            .arg("service")
            .args(args)
            .env("XDG_CONFIG_HOME", dir.path().join("config"))
            .env("PATH", format!("{}:/usr/bin:/bin", dir.path().display()))
            .output()
            .unwrap()
    };
    play(0);
    run(&["install", "--data", "/srv/site"]);
    assert!(!asked.exists(), "never by itself");
    assert_eq!(
        run(&["install", "--data", "/srv/site", "--now"])
            .status
            .code(),
        Some(0)
    );
    assert_eq!(run(&["remove", "--now"]).status.code(), Some(0));
    let lines = fs::read_to_string(&asked).unwrap();
    let lines: Vec<&str> = lines.lines().collect();
    assert_eq!(
        lines,
        [
            "--user daemon-reload",
            "--user enable slowstone.service",
            "--user restart slowstone.service",
            "--user stop slowstone.service",
            "--user daemon-reload"
        ]
    );
    play(1);
    let no = run(&["install", "--data", "/srv/site", "--now"]);
    assert_eq!(no.status.code(), Some(1));
    let said = text(&no.stderr);
    assert!(
        said.contains("`systemctl --user daemon-reload` failed"),
        "{said}"
    );
}
