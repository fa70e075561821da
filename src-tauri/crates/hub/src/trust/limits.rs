//! Who tries too often: wrong keys and pairing attempts, counted for each address.
//!
//! Keys have 160 random bits and are not to be guessed; what this keeps down is noise and the
//! work it makes. A device with a right key is never kept out, so nobody can lock others out
//! by trying wrong ones beside them. Where it is asked: [`crate::guard`], [`crate::api::pair`].

use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

/// What is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Act {
    /// A key that nobody has.
    WrongKey,
    /// An attempt to pair.
    Pair,
}

impl Act {
    /// So many times in so long.
    const fn most(self) -> (u32, Duration) {
        match self {
            Self::WrongKey => (30, Duration::from_secs(60)),
            Self::Pair => (10, Duration::from_secs(300)),
        }
    }
}

/// Addresses that are remembered at once; a network has fewer.
const MOST_ADDRESSES: usize = 4096;

/// The counts.
#[derive(Debug, Default)]
pub struct Limits {
    counts: Mutex<HashMap<(IpAddr, Act), (u32, Instant)>>,
}

impl Limits {
    /// Counts one `act` of `from`.
    pub fn count(&self, act: Act, from: IpAddr, now: Instant) {
        let mut counts = self.counts.lock().unwrap_or_else(PoisonError::into_inner);
        if counts.len() >= MOST_ADDRESSES {
            counts.retain(|(_, act), (_, since)| now.duration_since(*since) < act.most().1);
            if counts.len() >= MOST_ADDRESSES {
                return;
            }
        }
        let (n, since) = counts.entry((from, act)).or_insert((0, now));
        if now.duration_since(*since) >= act.most().1 {
            (*n, *since) = (0, now);
        }
        *n += 1;
    }

    /// How long `from` has to wait before it may try again; `None` if it may now.
    #[must_use]
    pub fn wait(&self, act: Act, from: IpAddr, now: Instant) -> Option<Duration> {
        let counts = self.counts.lock().unwrap_or_else(PoisonError::into_inner);
        let (n, since) = counts.get(&(from, act))?;
        let (most, within) = act.most();
        let left = within.checked_sub(now.duration_since(*since))?;
        (*n >= most && !left.is_zero()).then_some(left)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn too_many_have_to_wait_and_others_need_not() {
        let limits = Limits::default();
        let (a, b): (IpAddr, IpAddr) = ("10.0.0.1".parse().unwrap(), "10.0.0.2".parse().unwrap());
        let start = Instant::now();
        for _ in 0..10 {
            assert_eq!(limits.wait(Act::Pair, a, start), None);
            limits.count(Act::Pair, a, start);
        }
        assert_eq!(
            limits.wait(Act::Pair, a, start),
            Some(Duration::from_secs(300))
        );
        assert_eq!(limits.wait(Act::Pair, b, start), None);
        assert_eq!(limits.wait(Act::WrongKey, a, start), None);
        let later = start + Duration::from_secs(300);
        assert_eq!(limits.wait(Act::Pair, a, later), None);
        limits.count(Act::Pair, a, later);
        assert_eq!(limits.wait(Act::Pair, a, later), None);
    }
}
