//! Files of a hub that somebody started by hand, in a shell that leaves new files open to
//! everybody: real processes, real files, and the rights that the system says they have.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(unix)]

mod running;

use running::{Hub, event, log, send_photo, slowstone, the_site};
use serde_json::json;
use std::fs::{self, Permissions};
use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The program, by a shell that would leave everything open.
fn careless() -> Command {
    let program = slowstone().get_program().to_owned();
    let mut command = Command::new("sh");
    command
        .args(["-c", "umask 000; exec \"$0\" \"$@\""])
        .arg(program);
    command
        .env_remove("SLOWSTONE_LOG")
        .env_remove("SLOWSTONE_DATA");
    command
}

fn all(dir: &Path) -> Vec<PathBuf> {
    let mut found = vec![dir.to_path_buf()];
    for entry in fs::read_dir(dir).unwrap() {
        let entry = entry.unwrap();
        if entry.file_type().unwrap().is_dir() {
            found.extend(all(&entry.path()));
        } else {
            found.push(entry.path());
        }
    }
    found
}

fn mode(path: &Path) -> u32 {
    fs::symlink_metadata(path).unwrap().permissions().mode() & 0o777
}

/// What other accounts may read, write or enter.
fn open(dir: &Path) -> Vec<(PathBuf, String)> {
    let all = all(dir).into_iter().map(|path| (mode(&path), path));
    let open = all.filter(|(mode, _)| mode & 0o077 != 0);
    open.map(|(mode, path)| (path, format!("{mode:o}")))
        .collect()
}

fn used(hub: &Hub) {
    log(
        hub,
        json!([
            the_site(),
            event("flight-0001", "flight", json!({"name": "Bank"}))
        ]),
    );
    let hash = send_photo(hub, 1)["photo"]["hash"]
        .as_str()
        .unwrap()
        .to_owned();
    let part = ureq::put(format!("{}/api/uploads/part-00001?offset=0", hub.base))
        .header("authorization", format!("Bearer {}", hub.token))
        .send(&b"half a photo"[..]);
    assert_eq!(part.unwrap().status(), 200);
    hub.get("/api/sites/site-0001");
    assert_eq!(hash.len(), 64);
}

#[test]
fn new_files_are_for_this_account_whatever_the_shell_says() {
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name);
    let hub = Hub::launch(
        careless(),
        &at("data"),
        &["--empty", "--lan", "127.0.0.1:0"],
    );
    used(&hub);
    let files = all(&at("data"));
    for name in [
        "log.sqlite",
        "log.sqlite-wal",
        "hub.json",
        "hub.lock",
        "trust/ca.key",
        "uploads",
        "thumbs",
    ] {
        assert!(
            files.contains(&at("data").join(name)),
            "{name} is not there: {files:?}"
        );
    }
    assert_eq!(open(&at("data")), []);
    for args in [["backup", "copy"], ["export", "out"]] {
        let mut command = careless();
        let to = at(args[1]);
        match args[0] {
            "backup" => command.arg("backup").arg(&to),
            _ => command
                .args(["export", "--site", "Landing", "--out"])
                .arg(&to),
        };
        let done = command.arg("--data").arg(at("data")).output().unwrap();
        assert!(done.status.success(), "{done:?}");
        assert!(all(&to).len() > 3, "{to:?}");
        assert_eq!(open(&to), [], "{args:?}");
    }
    hub.stop();
}

/// Starts the hub and stops it; what it told on standard error.
fn told(data: &Path, closed: bool) -> String {
    let words = data.with_extension("words");
    let mut command = careless();
    command.stderr(Stdio::from(fs::File::create(&words).unwrap()));
    let hub = Hub::launch(command, data, &["--empty"]);
    // The many photos are gone through beside the start.
    for _ in 0..200 {
        if closed && !fs::read_to_string(&words).unwrap().contains("could read") {
            std::thread::sleep(std::time::Duration::from_millis(50));
        }
    }
    hub.stop();
    fs::read_to_string(words).unwrap()
}

#[test]
fn what_was_left_open_is_closed_at_the_start_and_told_once() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let hub = Hub::launch(careless(), &data, &["--empty", "--lan", "127.0.0.1:0"]);
    used(&hub);
    hub.stop();
    let (mine, elsewhere) = (data.join("notes.txt"), dir.path().join("elsewhere"));
    fs::write(&mine, "of somebody else").unwrap();
    fs::write(&elsewhere, "not of the hub").unwrap();
    symlink(&elsewhere, data.join("photos/link")).unwrap();
    for path in all(&data) {
        let is_link = fs::symlink_metadata(&path).unwrap().is_symlink();
        let mode = if path.is_dir() { 0o755 } else { 0o644 };
        if !is_link {
            fs::set_permissions(&path, Permissions::from_mode(mode)).unwrap();
        }
    }
    fs::set_permissions(&elsewhere, Permissions::from_mode(0o644)).unwrap();
    let first = told(&data, true);
    assert_eq!(first.matches("could read").count(), 1, "{first}");
    let mut left: Vec<PathBuf> = open(&data).into_iter().map(|(path, _)| path).collect();
    left.sort();
    // What the hub did not put there is not the hub's to change.
    assert_eq!(left, [mine, data.join("photos/link")], "{left:?}");
    assert_eq!(mode(&elsewhere), 0o644);
    assert_eq!(told(&data, false), "");
}

#[test]
fn an_earlier_backup_is_closed_too() {
    let dir = tempfile::tempdir().unwrap();
    let (data, to) = (dir.path().join("data"), dir.path().join("copy"));
    let hub = Hub::launch(careless(), &data, &["--empty"]);
    used(&hub);
    let line = |to: &Path| {
        let mut command = careless();
        let done = command
            .arg("backup")
            .arg(to)
            .arg("--data")
            .arg(&data)
            .output()
            .unwrap();
        (done.status.code(), String::from_utf8(done.stderr).unwrap())
    };
    assert_eq!(line(&to), (Some(0), String::new()));
    for path in all(&to) {
        let mode = if path.is_dir() { 0o755 } else { 0o644 };
        fs::set_permissions(&path, Permissions::from_mode(mode)).unwrap();
    }
    let (status, err) = line(&to);
    assert_eq!(status, Some(0), "{err}");
    assert!(err.contains("other accounts"), "{err}");
    assert_eq!(open(&to), []);
    assert_eq!(line(&to), (Some(0), String::new()));
    hub.stop();
}

#[test]
fn a_cookie_of_this_computer_opens_at_its_port_only() {
    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &["--empty"]);
    let agent: ureq::Agent = ureq::Agent::config_builder()
        .max_redirects(0)
        .max_redirects_will_error(false)
        .http_status_as_error(false)
        .build()
        .into();
    let said = agent
        .get(format!("{}/?t={}", hub.base, hub.token))
        .call()
        .unwrap();
    let cookie = said.headers()["set-cookie"].to_str().unwrap().to_owned();
    let (name, key) = cookie.split(';').next().unwrap().split_once('=').unwrap();
    let port = hub.base.rsplit(':').next().unwrap().to_owned();
    assert_eq!(name, format!("slowstone-{port}"));
    let me = |base: &str, name: &str| {
        let asked = agent
            .get(format!("{base}/api/me"))
            .header("cookie", format!("{name}={key}"));
        asked.call().unwrap().status().as_u16()
    };
    assert_eq!(me(&hub.base, name), 200);
    hub.stop();
    // The same data at another port: whoever was sent the cookie there has nothing of it.
    let other = Hub::start(dir.path(), &["--empty", "--port", "0"]);
    let at = other.base.rsplit(':').next().unwrap().to_owned();
    assert_ne!(at, port);
    assert_eq!(me(&other.base, &format!("slowstone-{at}")), 401);
    other.stop();
    let again = Hub::start(dir.path(), &["--empty", "--port", &port]);
    if again.base.ends_with(&format!(":{port}")) {
        assert_eq!(me(&again.base, name), 200);
    }
    again.stop();
}
