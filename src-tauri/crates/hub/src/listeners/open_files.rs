//! How many connections this process can hold, by the files that the system lets it open.
//!
//! Every connection is an open file. Some are left for the log, the photos and what the hub
//! asks of others; the rest is shared out between this computer and the network, so that the
//! network can never take what a page on this computer needs.

/// More is of no use to a site, and each connection takes memory.
const MOST: usize = 4096;

/// What is left for the log, photos and programs that the hub starts, at least.
const OWN: usize = 40;

/// How many connections there may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Totals {
    /// From this computer.
    pub here: usize,
    /// From the network, over TLS and without.
    pub network: usize,
}

impl Totals {
    /// What a process that may have `files` open can hold.
    #[must_use]
    pub fn of(files: usize) -> Self {
        let own = OWN.max(files / 4);
        let rest = files.saturating_sub(own).clamp(16, MOST);
        let here = rest / 4;
        Self {
            here,
            network: rest - here,
        }
    }

    /// What this process can hold, after asking the system for as many files as it gives.
    #[must_use]
    pub fn of_this_process() -> Self {
        Self::of(files())
    }
}

/// Files that may be open; the soft limit is raised as far as it is of use and allowed.
#[cfg(unix)]
fn files() -> usize {
    use rustix::process::{Resource, Rlimit, getrlimit, setrlimit};
    let wanted = 2 * MOST as u64;
    let limit = getrlimit(Resource::Nofile);
    let now = limit.current.unwrap_or(wanted);
    let could = limit.maximum.unwrap_or(wanted).min(wanted);
    let more = Rlimit {
        current: Some(could),
        maximum: limit.maximum,
    };
    let have = if could > now && setrlimit(Resource::Nofile, more).is_ok() {
        could
    } else {
        now
    };
    usize::try_from(have).unwrap_or(usize::MAX)
}

/// Sockets are no files there, and memory is the limit.
#[cfg(not(unix))]
fn files() -> usize {
    2 * MOST
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn something_is_left_for_the_log_and_for_this_computer() {
        for files in [64, 128, 256, 1024, 65_536, usize::MAX] {
            let totals = Totals::of(files);
            let all = totals.here + totals.network;
            assert!(
                totals.here >= 4 && totals.network >= 12,
                "{files}: {totals:?}"
            );
            assert!(all <= MOST, "{files}: {totals:?}");
            assert!(files - all >= OWN, "{files}: {totals:?}");
        }
    }
}
