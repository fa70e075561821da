//! TLS at the network door: the certificate of now, which can change while the door is open.
//!
//! Connections that are open go on with the certificate they began with; the next one sees the
//! new one. Which certificate, and when it changes: [`super::authority`], [`super::doors`].
//! Sockets and their time limits: [`crate::listeners`].

use rustls::ServerConfig;
use rustls::crypto::ring::default_provider;
use rustls::server::{ClientHello, ResolvesServerCert};
use rustls::sign::CertifiedKey;
use std::io;
use std::sync::{Arc, PoisonError, RwLock};

/// The certificate of now.
#[derive(Debug)]
pub(super) struct Shown(RwLock<Arc<CertifiedKey>>);

impl Shown {
    pub(super) fn new(key: Arc<CertifiedKey>) -> Arc<Self> {
        Arc::new(Self(RwLock::new(key)))
    }

    pub(super) fn change(&self, key: Arc<CertifiedKey>) {
        *self.0.write().unwrap_or_else(PoisonError::into_inner) = key;
    }
}

impl ResolvesServerCert for Shown {
    fn resolve(&self, _: ClientHello<'_>) -> Option<Arc<CertifiedKey>> {
        let key = self.0.read().unwrap_or_else(PoisonError::into_inner);
        Some(Arc::clone(&key))
    }
}

/// What a listener needs to speak TLS with the certificate that is shown.
pub(super) fn config(shown: Arc<Shown>) -> io::Result<Arc<ServerConfig>> {
    let config = ServerConfig::builder_with_provider(Arc::new(default_provider()))
        .with_safe_default_protocol_versions()
        .map_err(io::Error::other)?;
    let mut config = config.with_no_client_auth().with_cert_resolver(shown);
    config.alpn_protocols = vec![b"http/1.1".to_vec()];
    Ok(Arc::new(config))
}
