//! The body of a request, which has to come at a least rate while somebody waits for it.
//!
//! The bytes are counted on the wire ([`super::wire`]): over a weak signal a record of TLS
//! takes long to be there, and the sender is not idle meanwhile. What a handler does with
//! [`TooSlow`]: [`crate::api::piece`].

use super::patience::{Pace, Patience};
use super::wire::Came;
use axum::body::Bytes;
use http_body::{Body, Frame, SizeHint};
use hyper::body::Incoming;
use std::pin::Pin;
use std::task::{Context, Poll};

/// The sender is slower than the hub waits for.
#[derive(Clone, Copy, Debug, thiserror::Error)]
#[error("the rest did not come in time")]
pub struct TooSlow;

/// A body that does not take for ever.
pub(super) struct Paced {
    body: Incoming,
    came: Came,
    pace: Pace,
}

impl Paced {
    pub(super) fn new(body: Incoming, came: Came, patience: Patience) -> Self {
        let pace = Pace::new(patience);
        Self { body, came, pace }
    }
}

impl Body for Paced {
    type Data = Bytes;
    type Error = Box<dyn std::error::Error + Send + Sync>;

    fn poll_frame(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, Self::Error>>> {
        if let Poll::Ready(frame) = Pin::new(&mut self.body).poll_frame(cx) {
            self.pace.goes_on();
            return Poll::Ready(frame.map(|frame| frame.map_err(Into::into)));
        }
        let came = self.came.bytes();
        self.pace
            .waits(came, cx)
            .map(|()| Some(Err(TooSlow.into())))
    }

    fn is_end_stream(&self) -> bool {
        self.body.is_end_stream()
    }

    fn size_hint(&self) -> SizeHint {
        self.body.size_hint()
    }
}
