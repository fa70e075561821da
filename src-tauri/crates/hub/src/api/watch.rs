//! Watching: a page that is open hears at once what others logged and what is due.
//!
//! Server-sent events; a page that comes back after a break loads its screen again, so
//! nothing is repeated here. It ends when the device is revoked.

use super::Shared;
use crate::leaves::Leaves;
use crate::state::{Hub, Signal};
use crate::trust::{Gone, Who};
use axum::Extension;
use axum::extract::State;
use axum::response::sse::{Event, KeepAlive, Sse};
use futures_util::Stream;
use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::broadcast::Receiver;
use tokio::sync::broadcast::error::RecvError;

/// `GET /api/watch`.
pub async fn watch(
    State(hub): Shared,
    Extension(who): Extension<Who>,
) -> (
    Extension<Leaves>,
    Sse<impl Stream<Item = Result<Event, Infallible>> + use<>>,
) {
    let watcher = Watcher {
        signals: hub.signals.subscribe(),
        gone: hub.trust.gone.subscribe(),
        hub,
        who,
    };
    let stream = futures_util::stream::unfold(watcher, |mut watcher| async {
        let event = watcher.next().await?;
        Some((Ok(event), watcher))
    });
    let ping = KeepAlive::new().interval(Duration::from_secs(20));
    // Which site, how many entries, what is due: never a position.
    let stream = Sse::new(stream).keep_alive(ping.text("ping"));
    (Extension(Leaves::MadeWithout), stream)
}

struct Watcher {
    hub: Arc<Hub>,
    who: Who,
    signals: Receiver<Signal>,
    gone: Receiver<Gone>,
}

impl Watcher {
    /// The next thing to tell; none when the hub stops or whoever watches may no longer.
    async fn next(&mut self) -> Option<Event> {
        let mut stopping = self.hub.stopping.clone();
        let heard = loop {
            tokio::select! {
                _ = stopping.wait_for(|stop| *stop) => return None,
                gone = self.gone.recv() => match gone {
                    Ok(gone) if !gone.is(&self.who) => {}
                    // It is them, or nobody knows: a page that may come back does.
                    _ => return None,
                },
                heard = self.signals.recv() => break heard,
            }
        };
        let signal = match heard {
            Ok(signal) => signal,
            // This watcher was too slow: everything may have changed.
            Err(RecvError::Lagged(_)) => Signal::Changed {
                site: String::new(),
                events: 0,
            },
            Err(RecvError::Closed) => return None,
        };
        let name = match signal {
            Signal::Changed { .. } => "changed",
            Signal::Due { .. } => "due",
            Signal::Remind { .. } => "remind",
        };
        Event::default().event(name).json_data(&signal).ok()
    }
}
