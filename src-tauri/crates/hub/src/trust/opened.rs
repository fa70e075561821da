//! The doors to the network that are open, and what stands at each: plain data.
//!
//! They are opened and closed by [`super::doors`].

use super::authority::{Authority, Files, Leaf};
use super::names::Own;
use super::renewal::Warning;
use super::tls::Shown;
use std::net::SocketAddr;
use std::sync::Arc;
use tokio::sync::watch;

pub(super) struct Opened {
    pub(super) wished: SocketAddr,
    pub(super) bound: SocketAddr,
    /// What is shown at it, if it speaks TLS.
    pub(super) shown: Option<(Arc<Shown>, Leaf)>,
    pub(super) own: Own,
    pub(super) stop: watch::Sender<bool>,
}

/// The doors that are open.
#[derive(Default)]
pub(super) struct Doors {
    pub(super) authority: Option<Arc<Authority>>,
    /// What the certificate files were when they were looked at last, and why they cannot be
    /// used if they cannot.
    pub(super) files: Option<(Content, Option<Warning>)>,
    pub(super) tls: Option<Opened>,
    pub(super) plain: Option<Opened>,
}

/// What is in the certificate files, or why they cannot be read.
#[derive(PartialEq)]
pub(super) struct Content([Result<Vec<u8>, String>; 2]);

impl Content {
    pub(super) fn of(files: &Files) -> Self {
        let read = |path| std::fs::read(path).map_err(|e| e.to_string());
        Self([read(&files.cert), read(&files.key)])
    }
}
