//! The certificate is renewed while the hub runs, and the doors stay open meanwhile. A real TLS
//! client with a clock of its own; the hub's clock is moved, or its certificate files change.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(unix)]

mod running;

use rcgen::{CertificateParams, KeyPair, SanType};
use running::{Hub, said, slowstone};
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, ServerName, UnixTime};
use rustls::time_provider::TimeProvider;
use rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};
use serde_json::Value;
use slowstone_hub::trust::lan::Setup;
use slowstone_hub::{Clock, Config, Demo};
use std::io::{Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use std::time::{Duration, SystemTime, UNIX_EPOCH};

const DAY_MS: i64 = 24 * 3600 * 1000;

/// A clock that is so many days ahead.
#[derive(Debug)]
struct Ahead(i64);

impl TimeProvider for Ahead {
    fn current_time(&self) -> Option<UnixTime> {
        let now = SystemTime::now().duration_since(UNIX_EPOCH).unwrap();
        let ahead = Duration::from_secs(u64::try_from(self.0 * 24 * 3600).unwrap());
        Some(UnixTime::since_unix_epoch(now + ahead))
    }
}

type Line = StreamOwned<ClientConnection, TcpStream>;

/// Connects as a phone that trusts this certificate and whose clock is days ahead; the
/// certificate that it was shown, or why it does not go on.
fn connect(at: &str, trusts: &[u8], ahead: i64) -> Result<(Line, Vec<u8>), String> {
    let mut roots = RootCertStore::empty();
    roots
        .add(CertificateDer::from_pem_slice(trusts).unwrap())
        .unwrap();
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let config = ClientConfig::builder_with_details(provider, Arc::new(Ahead(ahead)))
        .with_safe_default_protocol_versions()
        .unwrap()
        .with_root_certificates(roots)
        .with_no_client_auth();
    let host = at.strip_prefix("https://").unwrap();
    let name = ServerName::try_from("127.0.0.1").unwrap();
    let client = ClientConnection::new(Arc::new(config), name).unwrap();
    let tcp = TcpStream::connect(host).unwrap();
    tcp.set_read_timeout(Some(Duration::from_secs(120)))
        .unwrap();
    let mut line = StreamOwned::new(client, tcp);
    health(&mut line, host)?;
    let shown = line.conn.peer_certificates().unwrap()[0].to_vec();
    Ok((line, shown))
}

/// A request on an open connection.
fn health(line: &mut Line, host: &str) -> Result<(), String> {
    let ask = format!("GET /api/health HTTP/1.1\r\nHost: {host}\r\n\r\n");
    line.write_all(ask.as_bytes()).map_err(|e| e.to_string())?;
    let mut said = String::new();
    while !said.ends_with('}') {
        let mut bytes = [0; 1024];
        let n = line.read(&mut bytes).map_err(|e| e.to_string())?;
        assert!(n > 0, "{said}");
        said.push_str(&String::from_utf8_lossy(&bytes[..n]));
    }
    assert!(said.starts_with("HTTP/1.1 200"), "{said}");
    Ok(())
}

/// Has the hub look at its doors now; how they are then.
fn look(base: &str, token: &str) -> Value {
    let answer = ureq::put(format!("{base}/api/lan"))
        .header("authorization", format!("Bearer {token}"))
        .send("{}");
    answer.unwrap().body_mut().read_json().unwrap()
}

fn status(dir: &Path) -> String {
    let said = said(&["status", "--data", dir.to_str().unwrap()]);
    assert_eq!(said.status, 0, "{said:?}");
    said.out
}

/// Promise: "its own certificate it renews in time"
#[test]
fn a_hub_that_runs_for_months_shows_a_new_certificate_in_time() {
    let dir = tempfile::tempdir().unwrap();
    let by_ms: &'static AtomicI64 = Box::leak(Box::default());
    let runtime = tokio::runtime::Runtime::new().unwrap();
    let config = Config {
        data_dir: dir.path().to_path_buf(),
        port: 0,
        demo: Demo::Empty,
        clock: Clock::Moved { by_ms },
        lan: Setup {
            at: Some("127.0.0.1:0".parse().unwrap()),
            ..Setup::default()
        },
    };
    let hub = runtime.block_on(slowstone_hub::start(config)).unwrap();
    let (base, token) = hub.url().split_once("/?t=").unwrap();
    let at = hub.phones_url().unwrap();
    let host = at.strip_prefix("https://").unwrap().to_owned();
    let trusts = std::fs::read(dir.path().join("trust/ca.pem")).unwrap();
    let set = |days: i64| {
        by_ms.store(days * DAY_MS, Ordering::SeqCst);
        look(base, token)
    };

    let (mut line, first) = connect(&at, &trusts, 0).unwrap();
    set(59);
    assert_eq!(connect(&at, &trusts, 59).unwrap().1, first);
    assert!(connect(&at, &trusts, 91).is_err(), "90 days and no more");
    let seen = set(61);
    let (_, second) = connect(&at, &trusts, 91).unwrap();
    assert_ne!(second, first);
    // A phone whose clock is right when the hub's was ahead takes the new one too.
    assert_eq!(connect(&at, &trusts, 0).unwrap().1, second);
    // The door stayed open, and so did the connection from before.
    health(&mut line, &host).unwrap();
    assert_eq!(seen["addresses"][0], at.as_str());
    assert_eq!(seen["certificate"]["warning"], Value::Null);
    let until = seen["certificate"]["until_ms"].as_i64().unwrap();
    let now = i64::try_from(
        SystemTime::now()
            .duration_since(UNIX_EPOCH)
            .unwrap()
            .as_millis(),
    );
    let days = (until - now.unwrap()) / DAY_MS;
    assert!((150..=151).contains(&days), "{days}");
    let line = status(dir.path());
    assert!(
        line.contains(&format!("phones at {at} · certificate until ")),
        "{line}"
    );

    // The clock falls back to 1970, and is said to be wrong.
    let seen = set(-20_000);
    assert_eq!(seen["certificate"]["warning"]["code"], "clock_behind");
    assert_eq!(connect(&at, &trusts, 91).unwrap().1, second);
    assert!(status(dir.path()).contains("clock is wrong"));
    // It jumps ahead by years, and is set right again.
    set(2000);
    assert!(connect(&at, &trusts, 0).is_err(), "not valid yet");
    set(61);
    connect(&at, &trusts, 61).unwrap();
    // The authority itself nears its end.
    let seen = set(3600);
    assert_eq!(seen["certificate"]["warning"]["code"], "authority_ends");
    assert!(status(dir.path()).contains("add every phone again"));
    runtime.block_on(hub.stop());
}

/// A certificate of somebody's own for this computer, with its key.
fn made() -> (String, String) {
    let mut params = CertificateParams::default();
    params
        .subject_alt_names
        .push(SanType::IpAddress("127.0.0.1".parse().unwrap()));
    let key = KeyPair::generate().unwrap();
    let cert = params.self_signed(&key).unwrap();
    (cert.pem(), key.serialize_pem())
}

/// Promise: "When those files change, the hub takes them up while it runs"
#[test]
fn certificate_files_that_change_are_taken_up_and_broken_ones_are_not() {
    let dir = tempfile::tempdir().unwrap();
    let (cert, key) = (dir.path().join("own.pem"), dir.path().join("own.key"));
    let put = |(c, k): (&str, &str)| {
        std::fs::write(&cert, c).unwrap();
        std::fs::write(&key, k).unwrap();
    };
    let (first, second) = (made(), made());
    put((&first.0, &first.1));
    let data = dir.path().join("data");
    let more = ["--empty", "--lan", "127.0.0.1:0", "--tls-cert"];
    let files = [cert.to_str().unwrap(), "--tls-key", key.to_str().unwrap()];
    let hub = Hub::launch(slowstone(), &data, &[&more[..], &files[..]].concat());
    let lan = look(&hub.base, &hub.token);
    let at = lan["addresses"][0].as_str().unwrap().to_owned();
    let shown = |trusts: &str| connect(&at, trusts.as_bytes(), 0).map(|(_, shown)| shown);
    let (mut line, before) = connect(&at, first.0.as_bytes(), 0).unwrap();

    // A renewal that is half done: the key is still the old one.
    put((&second.0, &first.1));
    let seen = look(&hub.base, &hub.token);
    assert_eq!(seen["certificate"]["warning"]["code"], "files_broken");
    assert_eq!(shown(&first.0).unwrap(), before);
    for odd in ["", "no certificate", &first.1] {
        put((odd, &second.1));
        let seen = look(&hub.base, &hub.token);
        assert_eq!(
            seen["certificate"]["warning"]["code"], "files_broken",
            "{odd}"
        );
        assert_eq!(seen["open"], true);
    }
    assert_eq!(shown(&first.0).unwrap(), before);
    assert!(status(&data).contains("new certificate files cannot be used"));
    std::fs::remove_file(&key).unwrap();
    let seen = look(&hub.base, &hub.token);
    assert_eq!(seen["certificate"]["warning"]["code"], "files_broken");

    put((&second.0, &second.1));
    let seen = look(&hub.base, &hub.token);
    assert_eq!(seen["certificate"]["warning"], Value::Null);
    let after = shown(&second.0).unwrap();
    assert_ne!(after, before);
    assert!(shown(&first.0).is_err(), "the old one is shown no more");
    let host = at.strip_prefix("https://").unwrap();
    health(&mut line, host).unwrap();
    hub.stop();
}
