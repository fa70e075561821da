//! A phone as the hub meets it: TLS with nothing but the hub's own authority to trust, a
//! cookie jar for one cookie, and its half of the pairing, written anew and not taken from
//! the hub.

use crate::running::Hub;
use ring::digest::{SHA256, digest};
use serde_json::{Value, json};
use std::path::Path;
use std::sync::Arc;
use ureq::Agent;
use ureq::tls::{Certificate, RootCerts, TlsConfig};

/// Status and answer.
#[derive(Debug)]
pub struct Answer {
    pub status: u16,
    pub json: Value,
    pub headers: ureq::http::HeaderMap,
    #[allow(dead_code)] // not by every test program
    pub bytes: Vec<u8>,
}

pub struct Phone {
    pub agent: Agent,
    pub base: String,
    /// Name and value, as it is sent back.
    pub cookie: Option<String>,
}

/// An agent that trusts the certificate in this PEM file and no other.
pub fn trusting(pem: &[u8]) -> Agent {
    let root = Certificate::from_pem(pem).unwrap();
    let tls = TlsConfig::builder()
        .root_certs(RootCerts::Specific(Arc::new(vec![root])))
        .unversioned_rustls_crypto_provider(Arc::new(rustls::crypto::ring::default_provider()))
        .build();
    Agent::config_builder()
        .http_status_as_error(false)
        // A hub that refuses without reading closes the connection.
        .max_idle_connections(0)
        .max_redirects(0)
        // Who is kept out says so instead of waiting for ever.
        .timeout_global(Some(std::time::Duration::from_secs(120)))
        .max_redirects_will_error(false)
        .tls_config(tls)
        .build()
        .into()
}

/// An agent for the plain door.
#[allow(dead_code)] // not by every test program
pub fn plain() -> Agent {
    Agent::config_builder()
        .http_status_as_error(false)
        .max_idle_connections(0)
        .max_redirects(0)
        .max_redirects_will_error(false)
        .build()
        .into()
}

/// The address of the network door.
pub fn address(hub: &Hub) -> String {
    let lan = hub.get("/api/lan");
    lan["addresses"][0]
        .as_str()
        .unwrap_or_else(|| panic!("{lan}"))
        .to_owned()
}

fn answer(mut response: ureq::http::Response<ureq::Body>) -> Answer {
    let bytes = response.body_mut().read_to_vec().unwrap();
    Answer {
        status: response.status().as_u16(),
        json: serde_json::from_slice(&bytes).unwrap_or(Value::Null),
        headers: response.headers().clone(),
        bytes,
    }
}

/// What an offer's address carries behind its `#`.
pub struct Offer {
    pub secret: String,
    pub print: String,
}

/// The keeper presses "Add a phone".
pub fn offer(hub: &Hub) -> Offer {
    let said = hub.post("/api/pairing", b"{}");
    let url = said["url"].as_str().unwrap();
    let (page, rest) = url.split_once('#').unwrap();
    assert_eq!(page, format!("{}/pair", address(hub)));
    let (secret, print) = rest.split_once('.').unwrap();
    Offer {
        secret: secret.to_owned(),
        print: print.to_owned(),
    }
}

impl Phone {
    /// A phone that installed the certificate in the hub's data folder.
    pub fn of(hub: &Hub, dir: &Path) -> Self {
        let pem = std::fs::read(dir.join("trust/ca.pem")).unwrap();
        Self {
            agent: trusting(&pem),
            base: address(hub),
            cookie: None,
        }
    }

    pub fn ask(&self, method: &str, path: &str, more: &[(&str, &str)], body: &[u8]) -> Answer {
        let mut request = ureq::http::Request::builder()
            .method(method)
            .uri(format!("{}{path}", self.base));
        if let Some(cookie) = &self.cookie {
            request = request.header("cookie", cookie);
        }
        for (name, value) in more {
            request = request.header(*name, *value);
        }
        if matches!(method, "GET" | "HEAD" | "DELETE") {
            return answer(self.agent.run(request.body(()).unwrap()).unwrap());
        }
        answer(self.agent.run(request.body(body).unwrap()).unwrap())
    }

    pub fn get(&self, path: &str) -> Answer {
        self.ask("GET", path, &[], b"")
    }

    pub fn post(&self, path: &str, body: &Value) -> Answer {
        self.ask("POST", path, &[], body.to_string().as_bytes())
    }

    /// Asks to be let in; claim and code on success.
    pub fn begin(&self, offer: &Offer, name: &str) -> Result<(String, String), Box<Answer>> {
        let nonce = "0123456789abcdef";
        let said = self.post(
            "/api/pair",
            &json!({ "secret": offer.secret, "name": name, "nonce": nonce }),
        );
        if said.status != 200 {
            return Err(Box::new(said));
        }
        let theirs = said.json["nonce"].as_str().unwrap();
        let parts = [
            "slowstone pairing 1",
            &offer.secret,
            theirs,
            nonce,
            &offer.print,
            name,
        ];
        let hash = digest(&SHA256, parts.join("\n").as_bytes());
        let head: [u8; 4] = hash.as_ref()[..4].try_into().unwrap();
        let code = format!("{:06}", u32::from_be_bytes(head) % 1_000_000);
        Ok((said.json["claim"].as_str().unwrap().to_owned(), code))
    }

    /// Fetches the keeper's answer and keeps the cookie.
    pub fn take(&mut self, claim: &str) -> Answer {
        let said = self.post("/api/pair/take", &json!({ "claim": claim }));
        if let Some(cookie) = said.headers.get("set-cookie") {
            let pair = cookie.to_str().unwrap().split(';').next().unwrap();
            self.cookie = Some(pair.to_owned());
        }
        said
    }

    /// The whole way.
    pub fn paired(hub: &Hub, dir: &Path, name: &str, role: &str) -> Self {
        let mut phone = Self::of(hub, dir);
        let (claim, code) = phone.begin(&offer(hub), name).unwrap();
        let shown = hub.get("/api/pairing");
        assert_eq!(
            (&shown["name"], &shown["code"]),
            (&json!(name), &json!(code))
        );
        assert_eq!(phone.take(&claim).json["waiting"], json!(true));
        let yes = json!({ "code": code, "role": role }).to_string();
        hub.post("/api/pairing/answer", yes.as_bytes());
        let said = phone.take(&claim);
        assert_eq!((said.status, &said.json["role"]), (200, &json!(role)));
        phone
    }
}
