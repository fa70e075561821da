//! The keys of a hub in its backup: real backups of a running hub, a real paired phone that
//! trusts nothing but the authority it once installed, and the hub that is restored.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(unix)]

mod phone;
mod running;

use phone::Phone;
use running::{Hub, Said, log, said, slowstone, the_site};
use serde_json::json;
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::Command;

const PASSPHRASE: &str = "nine steps to the canoe landing";

struct Site {
    dir: tempfile::TempDir,
    hub: Hub,
    phone: Phone,
}

impl Site {
    fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let data = dir.path().join("data");
        let hub = Hub::start(&data, &["--empty", "--lan", "127.0.0.1:0"]);
        log(&hub, json!([the_site()]));
        let phone = Phone::paired(&hub, &data, "Hanne\u{2019}s phone", "helper");
        assert_eq!(phone.get("/api/me").status, 200);
        Self { dir, hub, phone }
    }

    fn at(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    fn secret(&self, text: &str) -> String {
        let file = self.at("secret");
        fs::write(&file, format!("{text}\n")).unwrap();
        file.to_str().unwrap().to_owned()
    }

    fn backup(&self, more: &[&str]) -> Said {
        let (to, data) = (self.at("copy"), self.at("data"));
        let line = ["backup", text(&to), "--data", text(&data)];
        said(&[&line, more].concat())
    }

    fn restore(&self, to: &str, more: &[&str]) -> Said {
        let (from, data) = (self.at("copy"), self.at(to));
        let line = ["restore", text(&from), "--data", text(&data)];
        said(&[&line, more].concat())
    }

    /// The phone's address as a door.
    fn door(&self) -> String {
        self.phone.base.strip_prefix("https://").unwrap().to_owned()
    }

    /// Whether the phone reaches a hub, as it is.
    fn reaches(&self) -> Option<u16> {
        let mut request = self.phone.agent.get(format!("{}/api/me", self.phone.base));
        if let Some(cookie) = &self.phone.cookie {
            request = request.header("cookie", cookie);
        }
        request.call().ok().map(|answer| answer.status().as_u16())
    }
}

/// The program with the clock of the tests a day later: a hub is restored after its backup.
fn a_day_later() -> Command {
    let line = "exec \"$0\" \"${@/2026-10-03T/2026-10-04T}\"";
    let mut command = Command::new("bash");
    command.args(["-c", line]).arg(slowstone().get_program());
    command
}

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// Promise: "`--with-keys` puts the keys of the hub in as well, encrypted with a passphrase"
#[test]
fn with_its_keys_a_restored_hub_is_the_one_that_phones_trust() {
    let site = Site::new();
    let file = site.secret(PASSPHRASE);
    let done = site.backup(&["--with-keys", "--passphrase-file", &file]);
    assert_eq!((done.status, done.err.as_str()), (0, ""), "{done:?}");
    assert!(
        done.out.contains("keys.age") && done.out.contains("certificate authority"),
        "{done:?}"
    );
    let sealed = fs::read(site.at("copy/keys.age")).unwrap();
    // The open format (age-encryption.org/v1), with the work that age itself takes: 2^18.
    let head = String::from_utf8_lossy(&sealed[..120]).into_owned();
    let lines: Vec<&str> = head.lines().collect();
    assert_eq!(lines[0], "age-encryption.org/v1");
    assert!(
        lines[1].starts_with("-> scrypt ") && lines[1].ends_with(" 18"),
        "{}",
        lines[1]
    );
    let key = fs::read_to_string(site.at("data/trust/ca.key")).unwrap();
    let inner = key.lines().nth(1).unwrap();
    for path in ["keys.age", "log.sqlite", "backup.json"] {
        let bytes = fs::read(site.at("copy").join(path)).unwrap();
        assert!(
            !bytes.windows(inner.len()).any(|w| w == inner.as_bytes()),
            "{path}"
        );
    }
    let mode = fs::metadata(site.at("copy/keys.age"))
        .unwrap()
        .permissions()
        .mode();
    assert_eq!(mode & 0o777, 0o600);

    let wrong = site.secret("nine steps to the canoe");
    let no = site.restore("new", &["--passphrase-file", &wrong]);
    assert_eq!(no.status, 1, "{no:?}");
    assert!(
        no.err.contains("passphrase") && no.err.contains("--without-keys"),
        "{no:?}"
    );
    // Nobody there to ask: said, and nothing begun.
    let no = site.restore("new", &[]);
    assert_eq!(no.status, 2, "{no:?}");
    assert!(no.err.contains("--passphrase-file"), "{no:?}");
    assert!(!site.at("new").exists());

    let file = site.secret(PASSPHRASE);
    let back = site.restore("new", &["--passphrase-file", &file]);
    assert_eq!((back.status, back.err.as_str()), (0, ""), "{back:?}");
    assert!(
        back.out.contains("reach it as before") && back.out.contains("Hanne"),
        "{back:?}"
    );
    let mode = fs::metadata(site.at("new/trust/ca.key"))
        .unwrap()
        .permissions()
        .mode();
    assert_eq!(mode & 0o777, 0o600);
    let (door, new) = (site.door(), site.at("new"));
    let Site { dir, hub, phone } = site;
    hub.stop();
    let restored = Hub::start(&new, &["--empty", "--lan", &door]);
    assert_eq!(phone.get("/api/me").json["name"], "Hanne\u{2019}s phone");
    assert_eq!(restored.get("/api/devices")[0]["must_trust"], json!(false));
    restored.stop();
    drop(dir);
}

/// Promise: "Without them every phone has to trust the restored hub anew"
#[test]
fn without_keys_it_is_said_who_has_to_trust_anew_and_how() {
    let mut site = Site::new();
    let done = site.backup(&[]);
    assert_eq!((done.status, done.err.as_str()), (0, ""), "{done:?}");
    assert!(
        done.out.contains("keys of the hub are not in it") && done.out.contains("--with-keys"),
        "{done:?}"
    );
    assert!(!site.at("copy/keys.age").exists());
    let back = site.restore("new", &[]);
    assert_eq!((back.status, back.err.as_str()), (0, ""), "{back:?}");
    for part in [
        "do not reach the hub",
        "Hanne\u{2019}s phone",
        "Add a phone",
        "certificate",
    ] {
        assert!(back.out.contains(part), "{part} is not said: {}", back.out);
    }
    assert!(
        !back.out.contains("send again what they hold"),
        "{}",
        back.out
    );
    let (door, new) = (site.door(), site.at("new"));
    site.hub.stop();
    site.hub = Hub::launch(a_day_later(), &new, &["--empty", "--lan", &door]);
    assert_eq!(
        site.reaches(),
        None,
        "a phone takes a certificate that it does not trust"
    );
    let of_phone = |hub: &Hub| {
        let all = hub.get("/api/devices");
        all.as_array()
            .unwrap()
            .iter()
            .find(|d| d["via"] == "lan")
            .unwrap()
            .clone()
    };
    assert_eq!(of_phone(&site.hub)["must_trust"], json!(true));
    // It installs the new certificate and is known still, as restore said.
    site.phone.agent = phone::trusting(&fs::read(new.join("trust/ca.pem")).unwrap());
    assert_eq!(site.reaches(), Some(200));
    assert_eq!(of_phone(&site.hub)["must_trust"], json!(false));
    site.hub.stop();
}

#[test]
fn keys_are_put_in_only_under_a_passphrase_that_holds() {
    let site = Site::new();
    let short = site.secret("letmein");
    let no = site.backup(&["--with-keys", "--passphrase-file", &short]);
    assert_eq!(no.status, 2, "{no:?}");
    assert!(no.err.contains("too short"), "{no:?}");
    let no = site.backup(&["--with-keys"]);
    assert_eq!(no.status, 2, "{no:?}");
    assert!(no.err.contains("--passphrase-file"), "{no:?}");
    assert!(!site.at("copy").exists(), "a backup was begun");
    let file = site.secret(PASSPHRASE);
    assert_eq!(
        site.backup(&["--with-keys", "--passphrase-file", &file])
            .status,
        0
    );
    // A later backup without them says that they are there as they were.
    let later = site.backup(&[]);
    assert!(later.out.contains("also holds the keys"), "{later:?}");
    // They can be left out, and damaged ones are told of.
    assert_eq!(site.restore("plain", &["--without-keys"]).status, 0);
    assert!(!site.at("plain/trust").exists());
    let mut sealed = fs::read(site.at("copy/keys.age")).unwrap();
    let last = sealed.len() - 1;
    sealed[last] ^= 1;
    fs::write(site.at("copy/keys.age"), sealed).unwrap();
    let no = site.restore("new", &["--passphrase-file", &file]);
    assert_eq!(no.status, 1, "{no:?}");
    assert!(!site.at("new").exists());
    site.hub.stop();
}
