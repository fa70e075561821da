//! Under which addresses and names this computer is reached in its own network.
//!
//! Only private ones count: a certificate of the local authority is for nothing else, and a
//! hub does not belong on the open Internet. Nothing is listened on or sent here.

use std::collections::BTreeSet;
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr, UdpSocket};

/// Private networks, with the length of their prefix. Sources: RFC 1918 (private), RFC 3927
/// and RFC 4291 2.5.6 (link-local), RFC 1122 3.2.1.3 and RFC 4291 2.5.3 (loopback), RFC 4193
/// (unique local).
pub const PRIVATE: &[(IpAddr, u8)] = &[
    (IpAddr::V4(Ipv4Addr::new(10, 0, 0, 0)), 8),
    (IpAddr::V4(Ipv4Addr::new(172, 16, 0, 0)), 12),
    (IpAddr::V4(Ipv4Addr::new(192, 168, 0, 0)), 16),
    (IpAddr::V4(Ipv4Addr::new(169, 254, 0, 0)), 16),
    (IpAddr::V4(Ipv4Addr::new(127, 0, 0, 0)), 8),
    (IpAddr::V6(Ipv6Addr::new(0xfc00, 0, 0, 0, 0, 0, 0, 0)), 7),
    (IpAddr::V6(Ipv6Addr::new(0xfe80, 0, 0, 0, 0, 0, 0, 0)), 10),
    (IpAddr::V6(Ipv6Addr::LOCALHOST), 128),
];

/// Whether an address is of one of the [`PRIVATE`] networks.
#[must_use]
pub fn is_private(ip: IpAddr) -> bool {
    let bits = |ip: IpAddr| match ip {
        IpAddr::V4(ip) => (u128::from(ip.to_bits()), 32),
        IpAddr::V6(ip) => (ip.to_bits(), 128),
    };
    let (number, length) = bits(ip);
    PRIVATE.iter().any(|(net, prefix)| {
        let (net, of) = bits(*net);
        let rest = u32::from(of - *prefix);
        of == length && number.checked_shr(rest) == net.checked_shr(rest)
    })
}

/// Addresses and names, best first.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Own {
    /// Addresses.
    pub ips: Vec<IpAddr>,
    /// Names, in lower case.
    pub names: Vec<String>,
}

impl Own {
    /// Those under which a listener at `bound` is reached.
    #[must_use]
    pub fn look(bound: SocketAddr) -> Self {
        let ip = bound.ip();
        if ip.is_loopback() {
            return Self {
                ips: vec![ip],
                names: vec!["localhost".to_owned()],
            };
        }
        if !ip.is_unspecified() {
            return Self {
                ips: vec![ip],
                names: host_names(),
            };
        }
        let mut all: Vec<(bool, bool, IpAddr)> = Vec::new();
        let main = main_address();
        for interface in if_addrs::get_if_addrs().unwrap_or_default() {
            let ip = interface.ip();
            // A link-local address of IPv6 needs a zone, which no browser takes.
            let zoned = matches!(ip, IpAddr::V6(v6) if v6.segments().first() == Some(&0xfe80));
            let same_kind = ip.is_ipv4() || bound.is_ipv6();
            if ip.is_loopback() || zoned || !same_kind || !is_private(ip) {
                continue;
            }
            all.push((Some(ip) != main, is_virtual(&interface.name), ip));
        }
        all.sort_unstable();
        all.dedup();
        Self {
            ips: all.into_iter().map(|(_, _, ip)| ip).collect(),
            names: host_names(),
        }
    }

    /// Whether a Host header names this computer, with `port` (which browsers leave out when
    /// it is `usual`).
    #[must_use]
    pub fn is_host(&self, host: &str, port: u16, usual: u16) -> bool {
        let host = host.to_ascii_lowercase();
        self.written()
            .any(|name| host == format!("{name}:{port}") || (port == usual && host == name))
    }

    /// All of them as they stand in an address.
    pub fn written(&self) -> impl Iterator<Item = String> + '_ {
        let ips = self.ips.iter().map(|ip| written(*ip));
        ips.chain(self.names.iter().cloned())
    }
}

/// An address as it stands in a URL.
#[must_use]
pub fn written(ip: IpAddr) -> String {
    match ip {
        IpAddr::V4(ip) => ip.to_string(),
        IpAddr::V6(ip) => format!("[{ip}]"),
    }
}

/// The name of this computer, plain and as multicast DNS has it (RFC 6762).
#[must_use]
pub fn host_names() -> Vec<String> {
    let name = gethostname::gethostname()
        .to_string_lossy()
        .to_ascii_lowercase();
    let name = name.split('.').next().unwrap_or_default().to_owned();
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '-';
    if name.is_empty() || name.len() > 63 || !name.chars().all(plain) || name == "localhost" {
        return Vec::new();
    }
    BTreeSet::from([format!("{name}.local"), name])
        .into_iter()
        .rev()
        .collect()
}

/// The address that the system would send from: asking sends nothing. The far end is of a
/// network for documentation (RFC 5737).
fn main_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    Some(socket.local_addr().ok()?.ip())
}

/// Networks inside of this computer come last: phones are not in them.
fn is_virtual(interface: &str) -> bool {
    const KINDS: [&str; 8] = [
        "docker", "br-", "veth", "virbr", "vmnet", "vboxnet", "tun", "tap",
    ];
    KINDS.iter().any(|kind| interface.starts_with(kind))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn private_is_what_the_standards_call_so() {
        for yes in [
            "10.1.2.3",
            "172.31.0.1",
            "192.168.0.1",
            "169.254.3.4",
            "127.0.0.1",
            "fd00::1",
            "fe80::1",
            "::1",
        ] {
            assert!(is_private(yes.parse().unwrap()), "{yes}");
        }
        for no in [
            "11.0.0.1",
            "172.32.0.1",
            "192.169.0.1",
            "8.8.8.8",
            "2001:db8::1",
            "::2",
            "100.64.0.1",
        ] {
            assert!(!is_private(no.parse().unwrap()), "{no}");
        }
    }

    #[test]
    fn hosts_are_compared_whole() {
        let own = Own {
            ips: vec!["192.168.1.5".parse().unwrap(), "fd00::1".parse().unwrap()],
            names: vec!["site.local".into()],
        };
        for good in ["192.168.1.5:8478", "[fd00::1]:8478", "SITE.local:8478"] {
            assert!(own.is_host(good, 8478, 443), "{good}");
        }
        for bad in [
            "192.168.1.5",
            "192.168.1.5:8479",
            "192.168.1.50:8478",
            "example.org:8478",
            "",
            "xsite.local:8478",
        ] {
            assert!(!own.is_host(bad, 8478, 443), "{bad}");
        }
        assert!(own.is_host("site.local", 443, 443));
    }

    #[test]
    fn a_bound_address_is_the_only_one() {
        let own = Own::look("127.0.0.1:1".parse().unwrap());
        assert_eq!(own.ips, vec![IpAddr::V4(Ipv4Addr::LOCALHOST)]);
        let all = Own::look("0.0.0.0:1".parse().unwrap());
        assert!(
            all.ips
                .iter()
                .all(|ip| is_private(*ip) && !ip.is_loopback()),
            "{all:?}"
        );
    }
}
