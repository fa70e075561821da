//! Watching: a page that is open hears at once what others logged and what is due.
//!
//! Server-sent events; a page that comes back after a break loads its screen again, so
//! nothing is repeated here.

use super::Shared;
use crate::state::{Hub, Signal};
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
) -> Sse<impl Stream<Item = Result<Event, Infallible>> + use<>> {
    let signals = hub.signals.subscribe();
    let stream = futures_util::stream::unfold((hub, signals), |(hub, mut signals)| async {
        let event = next(&hub, &mut signals).await?;
        Some((Ok(event), (hub, signals)))
    });
    let ping = KeepAlive::new().interval(Duration::from_secs(20));
    Sse::new(stream).keep_alive(ping.text("ping"))
}

/// The next thing to tell; none when the hub stops.
async fn next(hub: &Arc<Hub>, signals: &mut Receiver<Signal>) -> Option<Event> {
    let mut stopping = hub.stopping.clone();
    let heard = tokio::select! {
        _ = stopping.wait_for(|stop| *stop) => return None,
        heard = signals.recv() => heard,
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
    };
    Event::default().event(name).json_data(&signal).ok()
}
