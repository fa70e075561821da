//! Who sends a request: by which door, as which device, and what that may do.
//!
//! Plain words of the whole hub, below everything else. How somebody becomes known is in
//! [`crate::trust`]; what a request asks for is in [`crate::guard::rules`].

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What somebody may do; each may also do what those before may.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum Role {
    /// Reads.
    Viewer,
    /// Logs entries and photos, and corrects them.
    Helper,
    /// Also looks after phones, settings, the archive, and what leaves with places in it.
    Keeper,
}

/// Whom an address is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Anybody who reaches the hub.
    Nobody,
    /// Whoever was let in and has at least this role.
    At(Role),
}

/// By which way a request came.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Door {
    /// The loopback address: a browser or the window on this computer.
    Here,
    /// The local network, over TLS.
    Lan,
    /// The local network, over plain HTTP: reading only.
    Guest,
}

/// Who sent a request. Handlers find it among the request's extensions.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Who {
    /// Id of the device; empty for a guest and for whoever shows the token of this launch.
    pub device: String,
    /// Name of the device; empty as above.
    pub name: String,
    /// What it may do.
    pub role: Role,
    /// How it came.
    pub via: Door,
}

impl Who {
    /// Whether what leaves the hub may say to them where a site or a photo is. A helper's phone
    /// gets the originals of its own photos besides ([`crate::api::pictures`]).
    #[must_use]
    pub fn may_have_places(&self) -> bool {
        self.role == Role::Keeper
    }
}

/// Somebody who was let in is let in no longer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Gone {
    /// A device was revoked, or its role changed.
    Device(String),
    /// A door was closed.
    Door(Door),
}

impl Gone {
    /// Whether it concerns `who`.
    #[must_use]
    pub fn is(&self, who: &Who) -> bool {
        match self {
            Self::Device(id) => *id == who.device,
            Self::Door(door) => *door == who.via,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn roles_rise_and_are_written_as_words() {
        assert!(Role::Viewer < Role::Helper && Role::Helper < Role::Keeper);
        assert_eq!(serde_json::to_string(&Role::Keeper).unwrap(), "\"keeper\"");
    }

    #[test]
    fn who_is_gone() {
        let who = |device: &str, via| Who {
            device: device.into(),
            name: String::new(),
            role: Role::Viewer,
            via,
        };
        assert!(Gone::Device("a".into()).is(&who("a", Door::Lan)));
        assert!(!Gone::Device("a".into()).is(&who("b", Door::Lan)));
        assert!(Gone::Door(Door::Guest).is(&who("", Door::Guest)));
        assert!(!Gone::Door(Door::Guest).is(&who("", Door::Here)));
    }
}
