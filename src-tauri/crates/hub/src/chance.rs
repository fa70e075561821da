//! Randomness of the hub: ids of its own entries, names of streams, the access token.
//!
//! Ids are 26 characters of Crockford's base 32 in lower case, the time first, so that
//! they sort by time; two of one millisecond sort by chance.

use slowstone_curing::units::AtMs;

const DIGITS: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";

/// The system gave no randomness: without it nothing may be named or let in.
#[derive(Debug, thiserror::Error)]
#[error("the system gives no random numbers ({0}); restart the computer and try again")]
pub struct NoChance(getrandom::Error);

/// `N` random bytes.
///
/// # Errors
/// If the system has none.
pub fn bytes<const N: usize>() -> Result<[u8; N], NoChance> {
    let mut out = [0; N];
    getrandom::fill(&mut out).map_err(NoChance)?;
    Ok(out)
}

/// `length` random characters of `0-9a-z`, five bits each; at most 32.
///
/// # Errors
/// If the system has no randomness.
pub fn word(length: usize) -> Result<String, NoChance> {
    let raw = bytes::<32>()?;
    Ok(raw
        .iter()
        .take(length)
        .map(|b| digit(u64::from(*b)))
        .collect())
}

/// An id for an entry of the instant `at`.
///
/// # Errors
/// If the system has no randomness.
pub fn id(at: AtMs) -> Result<String, NoChance> {
    let ms = u64::try_from(at.0).unwrap_or(0);
    let mut text: String = (0..10).rev().map(|i| digit(ms >> (5 * i))).collect();
    text.push_str(&word(16)?);
    Ok(text)
}

fn digit(value: u64) -> char {
    let at = usize::try_from(value & 31).unwrap_or(0);
    char::from(DIGITS.get(at).copied().unwrap_or(b'0'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_sort_by_time_and_differ() {
        // ULID specification: the time 1469918176385 is written 01ARYZ6S41.
        let a = id(AtMs(1_469_918_176_385)).unwrap();
        assert!(a.starts_with("01aryz6s41") && a.len() == 26, "{a}");
        assert!(id(AtMs(1_469_918_176_386)).unwrap() > a);
        assert_ne!(id(AtMs(5)).unwrap(), id(AtMs(5)).unwrap());
        assert_eq!(slowstone_logbook::limits::id("id", &a), Ok(()));
    }
}
