//! Names: of streams, of a hub's life, and of bytes by their hash.
//!
//! Everything here is checked when it is made, also when it comes out of JSON, so that the
//! rest of the crate need not ask again. What is built from these names: [`crate::record`].

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;
use std::str::FromStr;

/// Longest device name, stream epoch or hub epoch, in characters.
pub const MAX_ID_CHARS: usize = 32;

/// A name that cannot be one.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "{what} = {value:?}: must be 1 to {MAX_ID_CHARS} characters of 0-9 and a-z; make a new one"
)]
pub struct BadId {
    /// Which name: `device`, `epoch`, `hub epoch` or `stream`.
    pub what: &'static str,
    /// What it was, cut to 80 characters.
    pub value: String,
}

fn check(what: &'static str, value: &str) -> Result<(), BadId> {
    let good = (1..=MAX_ID_CHARS).contains(&value.len())
        && value
            .bytes()
            .all(|b| b.is_ascii_digit() || b.is_ascii_lowercase());
    if good {
        Ok(())
    } else {
        Err(BadId {
            what,
            value: value.chars().take(80).collect(),
        })
    }
}

/// One line of records, written by one device during one life of its storage.
///
/// The epoch is random and made anew whenever the device starts without its old storage
/// (new phone, cleared browser, clone noticed), so that two lives never share a stream.
/// As text it is `device.epoch`.
///
/// ```
/// use slowstone_sync::StreamId;
/// let stream = StreamId::new("phone1", "k3v9").unwrap();
/// assert_eq!(stream.to_string(), "phone1.k3v9");
/// assert_eq!("phone1.k3v9".parse(), Ok(stream));
/// assert!(StreamId::new("Phone 1", "k3v9").is_err());
/// ```
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(try_from = "RawStreamId")]
pub struct StreamId {
    device: String,
    epoch: String,
}

#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawStreamId {
    device: String,
    epoch: String,
}

impl TryFrom<RawStreamId> for StreamId {
    type Error = BadId;
    fn try_from(raw: RawStreamId) -> Result<Self, BadId> {
        check("device", &raw.device)?;
        check("epoch", &raw.epoch)?;
        Ok(Self {
            device: raw.device,
            epoch: raw.epoch,
        })
    }
}

impl StreamId {
    /// The stream of `device` in its life `epoch`.
    ///
    /// # Errors
    /// If one of the two is not 1 to 32 characters of `0-9a-z`.
    pub fn new(device: &str, epoch: &str) -> Result<Self, BadId> {
        Self::try_from(RawStreamId {
            device: device.to_owned(),
            epoch: epoch.to_owned(),
        })
    }

    /// The device that writes it.
    #[must_use]
    pub fn device(&self) -> &str {
        &self.device
    }

    /// The life of that device's storage.
    #[must_use]
    pub fn epoch(&self) -> &str {
        &self.epoch
    }
}

impl fmt::Display for StreamId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.device, self.epoch)
    }
}

impl FromStr for StreamId {
    type Err = BadId;
    fn from_str(text: &str) -> Result<Self, BadId> {
        let Some((device, epoch)) = text.split_once('.') else {
            return Err(BadId {
                what: "stream",
                value: text.chars().take(80).collect(),
            });
        };
        Self::new(device, epoch)
    }
}

/// The life of a hub's log: made when the log is made, renewed when a backup is restored.
///
/// A client that sees another epoch than last time starts over (see [`crate::meet`]).
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct HubEpoch(String);

impl HubEpoch {
    /// A hub epoch from text.
    ///
    /// # Errors
    /// If it is not 1 to 32 characters of `0-9a-z`.
    pub fn new(text: &str) -> Result<Self, BadId> {
        check("hub epoch", text)?;
        Ok(Self(text.to_owned()))
    }

    /// As text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl TryFrom<String> for HubEpoch {
    type Error = BadId;
    fn try_from(text: String) -> Result<Self, BadId> {
        Self::new(&text)
    }
}

impl From<HubEpoch> for String {
    fn from(epoch: HubEpoch) -> Self {
        epoch.0
    }
}

impl fmt::Display for HubEpoch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A BLAKE3 hash of 32 bytes; 64 lower-case hexadecimal digits as text and in JSON.
///
/// ```
/// use slowstone_sync::Hash32;
/// let hash = Hash32::of(b"");
/// // First vector of the BLAKE3 test vectors (input length 0).
/// assert_eq!(
///     hash.to_string(),
///     "af1349b9f5f9a1a6a0404dea36dcc9499bcb25c9adc112b7cc9a93cae41f3262"
/// );
/// assert_eq!(hash.to_string().parse(), Ok(hash));
/// ```
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
#[cfg_attr(
    feature = "schema",
    derive(schemars::JsonSchema),
    schemars(with = "String")
)]
pub struct Hash32([u8; 32]);

/// A text that is not a hash.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("hash = {value:?}: must be 64 digits of 0-9 and a-f; send it as it was given")]
pub struct BadHash {
    /// What it was, cut to 80 characters.
    pub value: String,
}

impl Hash32 {
    /// All zero: the hash before the first record of a stream.
    pub const ZERO: Self = Self([0; 32]);

    /// From its bytes.
    #[must_use]
    pub const fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// Its bytes.
    #[must_use]
    pub const fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }

    /// The BLAKE3 hash of `bytes` as they are (how photos are named).
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self(*blake3::hash(bytes).as_bytes())
    }
}

impl fmt::Display for Hash32 {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|b| write!(f, "{b:02x}"))
    }
}

impl fmt::Debug for Hash32 {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Hash32({self})")
    }
}

fn digit(byte: u8) -> Option<u8> {
    match byte {
        b'0'..=b'9' => Some(byte - b'0'),
        b'a'..=b'f' => Some(byte - b'a' + 10),
        _ => None,
    }
}

impl FromStr for Hash32 {
    type Err = BadHash;
    fn from_str(text: &str) -> Result<Self, BadHash> {
        let bad = || BadHash {
            value: text.chars().take(80).collect(),
        };
        if text.len() != 64 {
            return Err(bad());
        }
        let mut bytes = [0u8; 32];
        for (slot, pair) in bytes.iter_mut().zip(text.as_bytes().chunks_exact(2)) {
            let [high, low] = pair else { return Err(bad()) };
            let (Some(high), Some(low)) = (digit(*high), digit(*low)) else {
                return Err(bad());
            };
            *slot = high << 4 | low;
        }
        Ok(Self(bytes))
    }
}

impl Serialize for Hash32 {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Hash32 {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}
