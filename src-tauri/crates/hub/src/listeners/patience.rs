//! How long somebody who is connected may let the hub wait.
//!
//! One number, from which every limit follows: the TLS handshake, the head of a request, the
//! bytes of its body and of its answer. Time counts only while the hub waits for the other
//! side: a body that nobody reads yet, or an answer that is still made, is never slow. No
//! sockets here: see [`super::wire`] and [`super::body`].

use std::pin::Pin;
use std::task::{Context, Poll};
use std::time::Duration;
use tokio::time::{Instant, Sleep, sleep_until};

/// The least that has to move while the hub waits, bytes a second: a tenth of what the
/// slowest mobile networks give (GPRS, from memory).
const LEAST_RATE: f64 = 256.0;

/// How long the hub waits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patience {
    /// How long nothing, or next to nothing, may move.
    pub still: Duration,
}

impl Default for Patience {
    fn default() -> Self {
        Self {
            still: Duration::from_secs(30),
        }
    }
}

impl Patience {
    /// From seconds, as they are written on the command line.
    ///
    /// # Errors
    /// If it is no number from 0.1 to 600.
    pub fn parse(text: &str) -> Result<Self, String> {
        match text.parse::<f64>() {
            Ok(s) if (0.1..=600.0).contains(&s) => Ok(Self {
                still: Duration::from_secs_f64(s),
            }),
            _ => Err(format!(
                "{text:?} is no number of seconds from 0.1 to 600; write it like 30"
            )),
        }
    }

    /// For the whole TLS handshake.
    pub(super) fn handshake(self) -> Duration {
        self.still / 3
    }

    /// For the whole head of a request, and for a connection on which nothing is asked.
    pub(super) fn head(self) -> Duration {
        self.still
    }

    /// For an answer that is not read. Longer than for a body: a socket says that it was read
    /// from only when a third of it is free.
    pub(super) fn unread(self) -> Self {
        Self {
            still: self.still * 2,
        }
    }

    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "seconds of at most minutes, never negative"
    )]
    fn least(self) -> u64 {
        ((self.still.as_secs_f64() * LEAST_RATE) as u64).max(1)
    }
}

/// Whether enough moves while the hub waits for somebody.
#[derive(Debug)]
pub(super) struct Pace {
    patience: Patience,
    /// Bytes that had moved when the time began.
    before: u64,
    /// How long was waited since then.
    waited: Duration,
    since: Option<Instant>,
    timer: Option<Pin<Box<Sleep>>>,
}

impl Pace {
    pub(super) fn new(patience: Patience) -> Self {
        Self {
            patience,
            before: 0,
            waited: Duration::ZERO,
            since: None,
            timer: None,
        }
    }

    /// The hub waits; `moved` bytes have come or gone in all. Ready when it has been too slow.
    pub(super) fn waits(&mut self, moved: u64, cx: &mut Context<'_>) -> Poll<()> {
        loop {
            let now = Instant::now();
            let Some(left) = self.left(moved, now) else {
                return Poll::Ready(());
            };
            let timer = self
                .timer
                .get_or_insert_with(|| Box::pin(sleep_until(now + left)));
            timer.as_mut().reset(now + left);
            if timer.as_mut().poll(cx).is_pending() {
                return Poll::Pending;
            }
        }
    }

    /// How long the hub goes on waiting from `now` on; none if it has been too slow.
    fn left(&mut self, moved: u64, now: Instant) -> Option<Duration> {
        let since = *self.since.get_or_insert(now);
        let waited = self.waited + now.duration_since(since);
        let left = self.patience.still.saturating_sub(waited);
        if !left.is_zero() {
            return Some(left);
        }
        if moved.saturating_sub(self.before) < self.patience.least() {
            return None;
        }
        (self.before, self.waited, self.since) = (moved, Duration::ZERO, Some(now));
        Some(self.patience.still)
    }

    /// The hub waits no longer.
    pub(super) fn goes_on(&mut self) {
        self.went_on(Instant::now());
    }

    fn went_on(&mut self, now: Instant) {
        if let Some(since) = self.since.take() {
            self.waited += now.duration_since(since);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// After how many pieces of `bytes`, each waited for so long, a sender was too slow.
    fn slow_after(bytes: u64, apart: Duration, times: u32) -> Option<u32> {
        let mut pace = Pace::new(Patience::default());
        let (mut now, mut moved) = (Instant::now(), 0);
        for n in 0..times {
            let until = now + apart;
            while let Some(left) = pace.left(moved, now) {
                now = until.min(now + left);
                if now == until {
                    break;
                }
            }
            if pace.left(moved, now).is_none() {
                return Some(n);
            }
            pace.went_on(now);
            moved += bytes;
        }
        None
    }

    #[test]
    fn a_byte_now_and_then_is_too_slow_and_a_weak_signal_is_not() {
        let apart = Duration::from_secs(15);
        assert_eq!(slow_after(1, apart, 100), Some(1));
        assert_eq!(slow_after(0, apart, 100), Some(1));
        assert_eq!(slow_after(8192, apart, 1000), None);
        // 4 kB once a minute and a half.
        assert!(slow_after(4096, apart * 6, 10).is_some());
    }

    #[test]
    fn time_in_which_the_hub_does_not_wait_is_free() {
        let mut pace = Pace::new(Patience::default());
        let mut now = Instant::now();
        for _ in 0..5 {
            assert!(pace.left(0, now).is_some());
            now += Duration::from_secs(5);
            assert!(pace.left(0, now).is_some());
            pace.went_on(now);
            now += Duration::from_secs(3600);
        }
    }

    #[test]
    fn patience_is_written_in_seconds() {
        assert_eq!(
            Patience::parse("0.5").unwrap().still,
            Duration::from_millis(500)
        );
        for bad in ["", "0", "-1", "601", "inf", "NaN", "soon"] {
            assert!(
                Patience::parse(bad).unwrap_err().contains("like 30"),
                "{bad}"
            );
        }
    }
}
