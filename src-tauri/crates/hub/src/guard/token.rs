//! The key of this computer's own door: a token that each launch makes anew, and the names
//! under which the hub is reached here.
//!
//! The token is compared in a time that does not depend on where two differ.

use crate::chance::{self, NoChance};
use subtle::ConstantTimeEq;

/// The loopback door: its port, and the token that this launch printed.
#[derive(Debug)]
pub struct Guard {
    token: String,
    pub(super) port: u16,
}

impl Guard {
    /// A guard with a fresh token for a hub on `port`.
    ///
    /// # Errors
    /// If the system gives no randomness.
    pub fn new(port: u16) -> Result<Self, NoChance> {
        Ok(Self {
            token: chance::word(32)?,
            port,
        })
    }

    /// The address to open, token and all.
    #[must_use]
    pub fn url(&self) -> String {
        format!("http://127.0.0.1:{}/?t={}", self.port, self.token)
    }

    pub(super) fn is_token(&self, given: &str) -> bool {
        given.as_bytes().ct_eq(self.token.as_bytes()).into()
    }

    pub(super) fn is_own_host(&self, host: &str) -> bool {
        let names = ["127.0.0.1", "localhost", "[::1]"];
        let host = host.to_ascii_lowercase();
        names.iter().any(|name| {
            // A browser leaves the port of plain HTTP out.
            host == format!("{name}:{}", self.port) || (self.port == 80 && host == *name)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn guard() -> Guard {
        Guard {
            token: "abc".into(),
            port: 8477,
        }
    }

    #[test]
    fn only_own_names_and_this_port() {
        for good in [
            "127.0.0.1:8477",
            "localhost:8477",
            "LOCALHOST:8477",
            "[::1]:8477",
        ] {
            assert!(guard().is_own_host(good), "{good}");
        }
        for bad in [
            "127.0.0.1",
            "127.0.0.1:8478",
            "example.org:8477",
            "localhost.example.org:8477",
            "",
        ] {
            assert!(!guard().is_own_host(bad), "{bad}");
        }
    }

    #[test]
    fn the_token_is_compared_whole() {
        assert!(guard().is_token("abc"));
        for bad in ["", "a", "ab", "abcd", "abd", "ABC"] {
            assert!(!guard().is_token(bad), "{bad}");
        }
    }
}
