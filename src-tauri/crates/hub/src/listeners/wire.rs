//! A socket that is looked at: how many bytes came, and whether what is sent is read.
//!
//! It stands below TLS, so that bytes are counted when they come and not when a whole record
//! is there. Somebody who does not read an answer is hung up on after a while; an answer
//! without an end, as those of [`crate::api::watch`], may last as long as it is read.

use super::patience::{Pace, Patience};
use std::io;
use std::pin::Pin;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::task::{Context, Poll};
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::TcpStream;

/// How many bytes came over a socket.
#[derive(Clone, Debug, Default)]
pub(super) struct Came(Arc<AtomicU64>);

impl Came {
    pub(super) fn bytes(&self) -> u64 {
        self.0.load(Ordering::Relaxed)
    }
}

/// The socket of one connection.
#[derive(Debug)]
pub(super) struct Wire {
    tcp: TcpStream,
    came: Came,
    sent: u64,
    pace: Pace,
}

impl Wire {
    pub(super) fn new(tcp: TcpStream, patience: Patience) -> Self {
        Self {
            tcp,
            came: Came::default(),
            sent: 0,
            pace: Pace::new(patience.unread()),
        }
    }

    pub(super) fn came(&self) -> Came {
        self.came.clone()
    }

    /// What was sent, or why whoever should read it is not waited for any longer.
    fn sent(
        &mut self,
        sent: Poll<io::Result<usize>>,
        cx: &mut Context<'_>,
    ) -> Poll<io::Result<usize>> {
        match sent {
            Poll::Ready(Ok(n)) => {
                self.pace.goes_on();
                self.sent = self.sent.saturating_add(n as u64);
                Poll::Ready(Ok(n))
            }
            Poll::Ready(Err(e)) => Poll::Ready(Err(e)),
            Poll::Pending => self.pace.waits(self.sent, cx).map(|()| {
                let why = "the answer is not read";
                Err(io::Error::new(io::ErrorKind::TimedOut, why))
            }),
        }
    }
}

impl AsyncRead for Wire {
    fn poll_read(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        buf: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        let before = buf.filled().len();
        let read = Pin::new(&mut self.tcp).poll_read(cx, buf);
        let came = buf.filled().len().saturating_sub(before);
        self.came.0.fetch_add(came as u64, Ordering::Relaxed);
        read
    }
}

impl AsyncWrite for Wire {
    fn poll_write(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        buf: &[u8],
    ) -> Poll<io::Result<usize>> {
        let sent = Pin::new(&mut self.tcp).poll_write(cx, buf);
        self.sent(sent, cx)
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        bufs: &[io::IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        let sent = Pin::new(&mut self.tcp).poll_write_vectored(cx, bufs);
        self.sent(sent, cx)
    }

    fn is_write_vectored(&self) -> bool {
        self.tcp.is_write_vectored()
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.tcp).poll_flush(cx)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.tcp).poll_shutdown(cx)
    }
}
