//! Requests that the hub sends out: webhooks, push messages, forecasts.
//!
//! No redirect is followed, a request ends after ten seconds, and of the answer only its
//! status (of a forecast: its body, to a limit) is used. The keeper may name any HTTP address,
//! also of the own network: whoever keeps the hub reaches that anyway. What devices name
//! ([`Reach::Public`]) must be HTTPS and resolve to no private address, so that a paired phone
//! cannot have the hub knock there. Plain HTTP is signed, not secret: small devices have no TLS.

use slowstone_logbook::misfit::MisfitCode;
use std::io::Read;
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::time::Duration;
use ureq::http::{Request, Uri};
use ureq::unversioned::resolver::{DefaultResolver, ResolvedSocketAddrs, Resolver};
use ureq::unversioned::transport::{DefaultConnector, NextTimeout};
use ureq::{Agent, config::Config};

/// How long a request may take.
const PATIENCE: Duration = Duration::from_secs(10);

/// Which addresses may be reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reach {
    /// Any.
    Any,
    /// HTTPS to what is no private address.
    Public,
}

/// Checks an address that a person typed.
///
/// # Errors
/// What is wrong with it.
pub fn address(text: &str) -> Result<Uri, MisfitCode> {
    let uri: Uri = text.parse().map_err(|_| MisfitCode::NotAnAddress)?;
    let scheme = uri.scheme_str().unwrap_or_default();
    if !matches!(scheme, "http" | "https") || uri.host().is_none_or(str::is_empty) {
        return Err(MisfitCode::NotAnAddress);
    }
    if uri.authority().is_some_and(|a| a.as_str().contains('@')) {
        return Err(MisfitCode::PasswordInAddress);
    }
    Ok(uri)
}

/// Whether an address belongs to the public network.
/// Source: IANA special-purpose address registries (RFC 6890), from memory.
#[must_use]
pub fn is_public(ip: IpAddr) -> bool {
    match ip {
        IpAddr::V4(v4) => {
            let [a, b, c, _] = v4.octets();
            !(v4.is_private()
                || v4.is_loopback()
                || v4.is_link_local()
                || v4.is_broadcast()
                || v4.is_documentation()
                || v4.is_multicast()
                || a == 0
                || a >= 240
                || (a == 100 && (64..128).contains(&b))
                || (a == 192 && b == 0 && c == 0)
                || (a == 198 && (b == 18 || b == 19)))
        }
        IpAddr::V6(v6) => {
            if let Some(v4) = v6.to_ipv4_mapped() {
                return is_public(IpAddr::V4(v4));
            }
            let first = v6.segments().first().copied().unwrap_or(0);
            let second = v6.segments().get(1).copied().unwrap_or(0);
            // 64:ff9b::/96 and 2002::/16 carry IPv4 addresses inside.
            (first & 0xe000) == 0x2000
                && first != 0x2002
                && !(first == 0x2001 && second < 0x200)
                && !(first == 0x2001 && second == 0xdb8)
        }
    }
}

#[derive(Debug)]
struct PublicOnly(DefaultResolver);

impl Resolver for PublicOnly {
    fn resolve(
        &self,
        uri: &Uri,
        config: &Config,
        timeout: NextTimeout,
    ) -> Result<ResolvedSocketAddrs, ureq::Error> {
        let found = self.0.resolve(uri, config, timeout)?;
        let mut kept =
            ResolvedSocketAddrs::from_fn(|_| SocketAddr::from((Ipv4Addr::UNSPECIFIED, 0)));
        for addr in found.iter().filter(|a| is_public(a.ip())) {
            kept.push(*addr);
        }
        if kept.is_empty() {
            return Err(ureq::Error::HostNotFound);
        }
        Ok(kept)
    }
}

fn agent(reach: Reach) -> Agent {
    let config = Agent::config_builder()
        .timeout_global(Some(PATIENCE))
        .max_redirects(0)
        .max_redirects_will_error(false)
        .http_status_as_error(false)
        .https_only(reach == Reach::Public)
        .proxy(None)
        .user_agent(concat!("slowstone/", env!("CARGO_PKG_VERSION")))
        .build();
    match reach {
        Reach::Any => Agent::with_parts(
            config,
            DefaultConnector::default(),
            DefaultResolver::default(),
        ),
        Reach::Public => Agent::with_parts(
            config,
            DefaultConnector::default(),
            PublicOnly(DefaultResolver::default()),
        ),
    }
}

/// Sends a request and gives the status of its answer. Blocks.
///
/// # Errors
/// Why there was no answer, in words.
pub fn send(request: Request<Vec<u8>>, reach: Reach) -> Result<u16, String> {
    let answer = agent(reach).run(request).map_err(|e| e.to_string())?;
    Ok(answer.status().as_u16())
}

/// Fetches a text of at most `most` bytes. Blocks.
///
/// # Errors
/// Why it did not come, in words.
pub fn fetch(uri: Uri, most: u64) -> Result<Vec<u8>, String> {
    let request = Request::get(uri)
        .header("accept", "application/json")
        .body(())
        .map_err(|e| e.to_string())?;
    let mut answer = agent(Reach::Any).run(request).map_err(|e| e.to_string())?;
    if answer.status().as_u16() != 200 {
        return Err(format!(
            "it answered with status {}",
            answer.status().as_u16()
        ));
    }
    let mut bytes = Vec::new();
    let mut reader = answer.body_mut().as_reader().take(most + 1);
    reader.read_to_end(&mut bytes).map_err(|e| e.to_string())?;
    if bytes.len() as u64 > most {
        return Err("its answer is too long".to_owned());
    }
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn private_and_special_addresses_are_not_public() {
        for no in [
            "127.0.0.1",
            "10.1.2.3",
            "172.16.0.1",
            "192.168.1.1",
            "169.254.169.254",
            "100.64.0.1",
            "0.0.0.0",
            "224.0.0.1",
            "255.255.255.255",
            "192.0.2.1",
            "::1",
            "::",
            "fe80::1",
            "fd00::1",
            "ff02::1",
            "::ffff:127.0.0.1",
            "64:ff9b::7f00:1",
            "2002:7f00:1::",
            "2001:db8::1",
        ] {
            assert!(!is_public(no.parse().unwrap()), "{no}");
        }
        for yes in ["1.1.1.1", "172.32.0.1", "100.128.0.1", "2606:4700::1111"] {
            assert!(is_public(yes.parse().unwrap()), "{yes}");
        }
    }

    #[test]
    fn addresses_are_of_the_web_and_hold_no_password() {
        for bad in [
            "",
            "hook",
            "/hook",
            "ftp://a/b",
            "file:///etc/passwd",
            "http://",
            "https://u:p@a/",
        ] {
            assert!(address(bad).is_err(), "{bad}");
        }
        assert!(address("https://example.org/hook?x=1").is_ok());
        assert!(address("http://192.168.1.7:8080/bell").is_ok());
    }

    #[test]
    fn what_devices_name_never_reaches_this_computer() {
        let listener = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
        listener.set_nonblocking(true).unwrap();
        let port = listener.local_addr().unwrap().port();
        for to in [
            format!("https://127.0.0.1:{port}/"),
            format!("https://localhost:{port}/"),
            format!("http://127.0.0.1:{port}/"),
        ] {
            let request = Request::post(&to).body(Vec::new()).unwrap();
            assert!(send(request, Reach::Public).is_err(), "{to}");
        }
        assert!(listener.accept().is_err(), "nobody knocked");
    }
}
