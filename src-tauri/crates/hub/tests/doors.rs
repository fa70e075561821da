//! What the doors to the network let through: whom, under which names, and what never leaves.
//! A hub in a process of its own. Each test answers one threat of `tests/hub/THREATS.md`.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(unix)]

mod phone;
mod running;

use phone::{Phone, offer, trusting};
use rcgen::{CertificateParams, Issuer, KeyPair, SanType};
use running::{Hub, PICTURE, event, log, send_photo, the_site};
use rustls::client::WebPkiServerVerifier;
use rustls::client::danger::ServerCertVerifier;
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, ServerName, UnixTime};
use serde_json::{Value, json};
use slowstone_hub::api::routes::ROUTES;
use slowstone_hub::caller::Need;
use slowstone_hub::trust::Role;
use std::path::Path;
use std::sync::Arc;

fn with_lan(dir: &Path, more: &[&str]) -> Hub {
    Hub::start(dir, &[&["--empty", "--lan", "127.0.0.1:0"], more].concat())
}

fn filled(path: &str) -> String {
    let mut path = path.replace("{site}", "site-0001");
    while let (Some(a), Some(b)) = (path.find('{'), path.find('}')) {
        path.replace_range(a..=b, "none-0001");
    }
    path
}

#[test]
fn an_unpaired_phone_reaches_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let hub = with_lan(dir.path(), &[]);
    let phone = Phone::of(&hub, dir.path());
    let bearer = format!("Bearer {}", hub.token);
    let port = phone.base.rsplit(':').next().unwrap();
    // The token of the launch opens on this computer only, and a made-up key nowhere.
    let tries: [(&str, String); 3] = [
        ("x-none", String::new()),
        ("authorization", bearer),
        (
            "cookie",
            format!("__Host-slowstone-{port}={}", "0".repeat(32)),
        ),
    ];
    let mut limited = 0;
    for (name, value) in &tries {
        for route in ROUTES {
            let (method, path, need) = (route.method.name(), route.path, route.role);
            let said = phone.ask(method, &filled(path), &[(name, value)], b"{}");
            match need {
                Need::Nobody => assert!(![401, 403].contains(&said.status), "{method} {path}"),
                Need::At(_) if said.status == 429 => limited += 1,
                Need::At(_) => assert_eq!(said.json["error"]["code"], "locked", "{method} {path}"),
            }
        }
        assert!(
            [401, 429].contains(
                &phone
                    .ask("GET", "/api/nothing", &[(name, value)], b"")
                    .status
            )
        );
    }
    assert!(limited > 0, "wrong keys are never limited");
    // With the token in the address no browser is let in from the network either.
    assert!(
        !phone
            .get(&format!("/?t={}", hub.token))
            .headers
            .contains_key("set-cookie")
    );
    hub.stop();
}

#[test]
fn wrong_keys_are_limited_and_right_ones_never() {
    let dir = tempfile::tempdir().unwrap();
    let hub = with_lan(dir.path(), &[]);
    let phone = Phone::paired(&hub, dir.path(), "Tuva", "viewer");
    let mut thief = Phone::of(&hub, dir.path());
    let name = phone.cookie.as_ref().unwrap().split('=').next().unwrap();
    thief.cookie = Some(format!("{name}=wrong"));
    let said: Vec<u16> = (0..40).map(|_| thief.get("/api/me").status).collect();
    assert_eq!((said[0], said[29], said[39]), (401, 401, 429));
    // From the same address, with a right key.
    assert_eq!(phone.get("/api/me").status, 200);
    hub.stop();
}

/// Promise: "*viewer* reads, *helper* logs, *keeper* also looks after phones and settings"
#[test]
fn every_role_gets_what_the_table_says() {
    let dir = tempfile::tempdir().unwrap();
    let hub = with_lan(dir.path(), &[]);
    log(&hub, json!([the_site()]));
    for (name, role) in [
        ("viewer", Role::Viewer),
        ("helper", Role::Helper),
        ("keeper", Role::Keeper),
    ] {
        let phone = Phone::paired(&hub, dir.path(), name, name);
        for route in ROUTES {
            let (method, path, need) = (route.method.name(), route.path, route.role);
            if path == "/api/watch" {
                continue;
            }
            let said = phone.ask(method, &filled(path), &[], b"{}");
            let may = match need {
                Need::Nobody => true,
                Need::At(least) => role >= least,
            };
            if may {
                let kept_out = said.json["error"]["code"] == "role" || said.status == 401;
                assert!(!kept_out, "{name} {method} {path}: {}", said.json);
            } else {
                assert_eq!(said.json["error"]["code"], "role", "{name} {method} {path}");
            }
        }
        // Places are for keepers (more in places.rs).
        let places = phone.get("/api/sites/site-0001/record.jsonl?gps=1");
        assert_eq!(places.status == 200, role == Role::Keeper, "{name}");
        // So is putting a site away.
        let away = json!({ "events": [event("away-0001", "archive", json!({}))] });
        assert_eq!(
            phone.post("/api/events", &away).status != 403,
            role == Role::Keeper,
            "{name}"
        );
    }
    hub.stop();
}

#[test]
fn foreign_names_and_pages_reach_nothing_over_the_network() {
    let dir = tempfile::tempdir().unwrap();
    let hub = with_lan(dir.path(), &[]);
    let phone = Phone::paired(&hub, dir.path(), "Tuva", "keeper");
    let own = phone.base.strip_prefix("https://").unwrap();
    let port = own.rsplit(':').next().unwrap();
    let code = |said: &phone::Answer| {
        said.json["error"]["code"]
            .as_str()
            .unwrap_or("-")
            .to_owned()
    };
    for host in [
        "example.org",
        "127.0.0.1",
        "10.0.0.1:1",
        &format!("example.org:{port}"),
    ] {
        let said = phone.ask("GET", "/api/sites", &[("host", host)], b"");
        assert_eq!((said.status, code(&said).as_str()), (403, "host"), "{host}");
    }
    for origin in [
        "https://example.org",
        "null",
        &format!("http://{own}"),
        "https://127.0.0.1",
    ] {
        let said = phone.ask(
            "POST",
            "/api/events",
            &[("origin", origin)],
            b"{\"events\":[]}",
        );
        assert_eq!(
            (said.status, code(&said).as_str()),
            (403, "origin"),
            "{origin}"
        );
    }
    let said = phone.ask(
        "POST",
        "/api/events",
        &[("origin", &phone.base)],
        b"{\"events\":[]}",
    );
    assert_eq!(said.status, 200);
    // No other site's page may read an answer, and none may frame a screen.
    for path in ["/", "/pair", "/api/sites"] {
        let said = phone.ask("GET", path, &[("origin", &phone.base)], b"");
        assert!(
            !said
                .headers
                .keys()
                .any(|k| k.as_str().starts_with("access-control"))
        );
        let csp = said.headers["content-security-policy"].to_str().unwrap();
        assert!(
            csp.contains("frame-ancestors 'none'") && csp.contains("default-src 'self'"),
            "{csp}"
        );
        assert_eq!(said.headers["x-content-type-options"], "nosniff");
    }
    let asked = phone.ask(
        "OPTIONS",
        "/api/events",
        &[("origin", "https://example.org")],
        b"",
    );
    assert!(
        !asked
            .headers
            .keys()
            .any(|k| k.as_str().starts_with("access-control"))
    );
    hub.stop();
}

#[test]
fn guests_read_and_nothing_else() {
    let dir = tempfile::tempdir().unwrap();
    let hub = with_lan(dir.path(), &["--guest"]);
    log(&hub, json!([the_site()]));
    let base = hub.get("/api/lan")["guest_address"]
        .as_str()
        .unwrap()
        .to_owned();
    assert!(base.starts_with("http://127.0.0.1:"), "{base}");
    let guest = Phone {
        agent: trusting(&std::fs::read(dir.path().join("trust/ca.pem")).unwrap()),
        base,
        cookie: None,
    };
    let me = guest.get("/api/me").json;
    assert_eq!(
        (&me["role"], &me["via"], &me["guests"]),
        (&json!("viewer"), &json!("guest"), &json!(true))
    );
    assert_eq!(guest.get("/api/sites").json[0]["name"], "Landing");
    for route in ROUTES {
        let (method, path, need) = (route.method.name(), route.path, route.role);
        if matches!(need, Need::At(Role::Helper | Role::Keeper)) {
            let said = guest.ask(method, &filled(path), &[], b"{}");
            assert_eq!(said.json["error"]["code"], "role", "{method} {path}");
        }
    }
    // A key does not open there, so none is ever sent without TLS.
    let phone = Phone::paired(&hub, dir.path(), "Tuva", "keeper");
    let said = guest.ask(
        "GET",
        "/api/devices",
        &[("cookie", phone.cookie.as_ref().unwrap())],
        b"",
    );
    assert_eq!(said.status, 403);
    assert_eq!(
        guest
            .ask("GET", "/api/sites", &[("host", "example.org")], b"")
            .status,
        403
    );
    hub.stop();
}

#[test]
fn without_tls_there_is_only_the_certificate_and_only_while_pairing() {
    let dir = tempfile::tempdir().unwrap();
    let hub = with_lan(dir.path(), &[]);
    assert_eq!(hub.get("/api/lan")["certificate_page"], Value::Null);
    offer(&hub);
    let page = hub.get("/api/lan")["certificate_page"]
        .as_str()
        .unwrap()
        .to_owned();
    let base = page.strip_suffix("/certificate").unwrap().to_owned();
    let anybody = Phone {
        agent: ureq::Agent::config_builder()
            .http_status_as_error(false)
            .build()
            .into(),
        base,
        cookie: None,
    };
    let text = String::from_utf8(anybody.get("/certificate").bytes).unwrap();
    let print = hub.get("/api/lan")["fingerprint"]
        .as_str()
        .unwrap()
        .to_owned();
    assert!(text.contains(&print) && !text.contains("trust-"), "{text}");
    let pem = std::fs::read(dir.path().join("trust/ca.pem")).unwrap();
    let der = CertificateDer::from_pem_slice(&pem).unwrap();
    assert_eq!(anybody.get("/slowstone.crt").bytes, der.as_ref());
    for path in ["/api/sites", "/api/me", "/api/devices", "/api/watch"] {
        assert_eq!(anybody.get(path).status, 401, "{path}");
    }
    // Its key is for this account alone and at no address.
    let key = std::fs::read_to_string(dir.path().join("trust/ca.key")).unwrap();
    let line = key.lines().nth(1).unwrap();
    for path in [
        "/ca.key",
        "/trust/ca.key",
        "/api/lan/certificate",
        "/../trust/ca.key",
        "/slowstone.key",
    ] {
        let said = anybody.get(path);
        assert!(
            !String::from_utf8_lossy(&said.bytes).contains(line),
            "{path}"
        );
    }
    let gone = ureq::delete(format!("{}/api/pairing", hub.base))
        .header("authorization", format!("Bearer {}", hub.token))
        .call();
    assert_eq!(gone.unwrap().status().as_u16(), 200);
    let closed = (0..40).any(|_| {
        std::thread::sleep(std::time::Duration::from_millis(50));
        anybody.agent.get(&page).call().is_err()
    });
    assert!(closed, "the plain door is still open");
    hub.stop();
}

#[test]
fn the_authority_counts_for_private_addresses_only() {
    let dir = tempfile::tempdir().unwrap();
    with_lan(dir.path(), &[]).stop();
    let pem = std::fs::read(dir.path().join("trust/ca.pem")).unwrap();
    let root = CertificateDer::from_pem_slice(&pem).unwrap();
    let key = std::fs::read_to_string(dir.path().join("trust/ca.key")).unwrap();
    // A thief of the key signs for whom he likes.
    let issuer = Issuer::from_ca_cert_der(&root, KeyPair::from_pem(&key).unwrap()).unwrap();
    let mut roots = rustls::RootCertStore::empty();
    roots.add(root.clone()).unwrap();
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let verifier = WebPkiServerVerifier::builder_with_provider(Arc::new(roots), provider)
        .build()
        .unwrap();
    let holds = |name: &str| {
        let mut params = CertificateParams::new(Vec::<String>::new()).unwrap();
        params.subject_alt_names = vec![match name.parse() {
            Ok(ip) => SanType::IpAddress(ip),
            Err(_) => SanType::DnsName(name.try_into().unwrap()),
        }];
        let key = KeyPair::generate().unwrap();
        let leaf = params.signed_by(&key, &issuer).unwrap();
        let server = ServerName::try_from(name.to_owned()).unwrap();
        verifier
            .verify_server_cert(leaf.der(), &[], &server, &[], UnixTime::now())
            .is_ok()
    };
    for private in [
        "192.168.1.5",
        "10.0.0.1",
        "172.16.9.9",
        "fd00::1",
        "localhost",
    ] {
        assert!(holds(private), "{private}");
    }
    for public in [
        "203.0.113.7",
        "8.8.8.8",
        "2001:db8::1",
        "example.org",
        "bank.example",
    ] {
        assert!(!holds(public), "{public}");
    }
}

/// Promise: "A certificate of your own goes in with `--tls-cert` and `--tls-key`."
#[test]
fn own_certificate_files_are_used_as_they_are() {
    let dir = tempfile::tempdir().unwrap();
    let key = KeyPair::generate().unwrap();
    let mut params = CertificateParams::new(vec!["localhost".to_owned()]).unwrap();
    params
        .subject_alt_names
        .push(SanType::IpAddress("127.0.0.1".parse().unwrap()));
    let cert = params.self_signed(&key).unwrap();
    let (cert_file, key_file) = (dir.path().join("own.pem"), dir.path().join("own.key"));
    std::fs::write(&cert_file, cert.pem()).unwrap();
    std::fs::write(&key_file, key.serialize_pem()).unwrap();
    let [cert_name, key_name] = [&cert_file, &key_file].map(|p| p.to_str().unwrap());
    let data = dir.path().join("data");
    let hub = with_lan(&data, &["--tls-cert", cert_name, "--tls-key", key_name]);
    let lan = hub.get("/api/lan");
    assert_eq!(
        (&lan["local_authority"], &lan["trouble"]),
        (&json!(false), &Value::Null)
    );
    let base = lan["addresses"][0].as_str().unwrap().to_owned();
    let agent = trusting(cert.pem().as_bytes());
    let phone = Phone {
        agent,
        base,
        cookie: None,
    };
    assert_eq!(phone.get("/api/health").status, 200);
    assert!(
        !data.join("trust").exists(),
        "no authority is made that nobody needs"
    );
    hub.stop();
    // A key that is another one's is said, and the hub itself runs.
    std::fs::write(&key_file, KeyPair::generate().unwrap().serialize_pem()).unwrap();
    let hub = with_lan(&data, &["--tls-cert", cert_name, "--tls-key", key_name]);
    let trouble = hub.get("/api/lan")["trouble"].as_str().unwrap().to_owned();
    assert!(
        trouble.contains("own.key") && trouble.contains("not the key"),
        "{trouble}"
    );
    hub.stop();
}

#[test]
fn no_path_of_a_client_reaches_the_file_system() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let secret = "not for clients";
    std::fs::write(dir.path().join("secret.txt"), secret).unwrap();
    let hub = with_lan(&data, &[]);
    log(&hub, json!([the_site()]));
    send_photo(&hub, 1);
    let phone = Phone::paired(&hub, &data, "Tuva", "keeper");
    let ways = [
        "../secret.txt",
        "..%2fsecret.txt",
        "%2e%2e%2f%2e%2e%2fsecret.txt",
        "..%5csecret.txt",
        "%00",
        "....//secret.txt",
    ];
    // Short, so that it is all sent before a refusal that does not read it.
    let piece = &PICTURE[..600];
    let before = listing(dir.path());
    for way in ways {
        for path in [
            "/api/photos/",
            "/api/uploads/",
            "/api/sites/site-0001/plan/drawing/",
            "/assets/",
            "/",
            "/api/sites/",
        ] {
            let said = phone.get(&format!("{path}{way}"));
            assert!(
                !String::from_utf8_lossy(&said.bytes).contains(secret),
                "{path}{way}"
            );
        }
        let put = phone.ask("PUT", &format!("/api/uploads/{way}?offset=0"), &[], piece);
        assert!(put.status >= 400, "{way}: {}", put.status);
        let name = format!("/api/sites/site-0001/photos?by=Jonas&name={way}&id={way}");
        let said = phone.ask("POST", &name, &[], &[piece, way.as_bytes()].concat());
        assert!(said.status >= 400, "{way}: {}", said.json);
        let from = format!("/api/sites/site-0001/photos?by=Jonas&from={way}&bytes=9&id=photo-0009");
        assert!(phone.ask("POST", &from, &[], b"").status >= 400, "{way}");
    }
    // A name with a path in it is a name, and the file lies under the hash of its bytes.
    let odd = "/api/sites/site-0001/photos?by=Jonas&id=photo-0010&name=../../odd.jpg";
    let said = phone.ask("POST", odd, &[], &[PICTURE, b"2"].concat());
    assert_eq!(said.status, 200, "{}", said.json);
    let after = listing(dir.path());
    let strange: Vec<&String> = after
        .iter()
        .filter(|p| !before.contains(p) && !p.starts_with("data/"))
        .collect();
    assert!(strange.is_empty(), "{strange:?}");
    assert!(!after.iter().any(|p| p.contains("odd")), "{after:?}");
    hub.stop();
}

/// Every file below a folder.
fn listing(top: &Path) -> Vec<String> {
    let mut found = Vec::new();
    let mut folders = vec![top.to_path_buf()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                found.push(
                    path.strip_prefix(top)
                        .unwrap()
                        .to_string_lossy()
                        .into_owned(),
                );
            }
        }
    }
    found
}
