//! The listener of the network door: TCP, then TLS, then the same HTTP as everywhere.
//!
//! Handshakes run beside each other, each with its time, so that one that stalls keeps nobody
//! waiting; connections are counted. The certificate can be changed while it runs. Which one:
//! [`super::authority`]; who opens and closes it: [`super::lan`].

use axum::extract::connect_info::Connected;
use axum::serve::{IncomingStream, Listener};
use rustls::ServerConfig;
use rustls::crypto::ring::default_provider;
use rustls::server::{ClientHello, ResolvesServerCert};
use rustls::sign::CertifiedKey;
use std::io;
use std::net::SocketAddr;
use std::pin::Pin;
use std::sync::{Arc, PoisonError, RwLock};
use std::task::{Context, Poll};
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{OwnedSemaphorePermit, Semaphore, mpsc};
use tokio_rustls::TlsAcceptor;
use tokio_rustls::server::TlsStream;

/// Connections that are open at once.
const MOST: usize = 512;

/// How long a handshake may take.
const HANDSHAKE: Duration = Duration::from_secs(10);

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

/// The address of whoever connected.
#[derive(Clone, Copy, Debug)]
pub struct Peer(pub SocketAddr);

impl Connected<IncomingStream<'_, TlsListener>> for Peer {
    fn connect_info(stream: IncomingStream<'_, TlsListener>) -> Self {
        Self(*stream.remote_addr())
    }
}

impl Connected<IncomingStream<'_, TcpListener>> for Peer {
    fn connect_info(stream: IncomingStream<'_, TcpListener>) -> Self {
        Self(*stream.remote_addr())
    }
}

/// A connection, counted as long as it lives.
pub struct Counted {
    stream: TlsStream<TcpStream>,
    _permit: OwnedSemaphorePermit,
}

impl AsyncRead for Counted {
    fn poll_read(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        buf: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_read(cx, buf)
    }
}

impl AsyncWrite for Counted {
    fn poll_write(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        buf: &[u8],
    ) -> Poll<io::Result<usize>> {
        Pin::new(&mut self.stream).poll_write(cx, buf)
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_flush(cx)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(cx)
    }
}

/// Listens for TLS connections until it is dropped.
pub struct TlsListener {
    ready: mpsc::Receiver<(Counted, SocketAddr)>,
    bound: SocketAddr,
}

impl TlsListener {
    pub(super) fn new(tcp: TcpListener, shown: Arc<Shown>) -> io::Result<Self> {
        let config = ServerConfig::builder_with_provider(Arc::new(default_provider()))
            .with_safe_default_protocol_versions()
            .map_err(io::Error::other)?;
        let mut config = config.with_no_client_auth().with_cert_resolver(shown);
        config.alpn_protocols = vec![b"http/1.1".to_vec()];
        let acceptor = TlsAcceptor::from(Arc::new(config));
        let bound = tcp.local_addr()?;
        let (done, ready) = mpsc::channel(16);
        tokio::spawn(accept(tcp, acceptor, done));
        Ok(Self { ready, bound })
    }
}

/// Takes connections until nobody wants them any more.
async fn accept(
    tcp: TcpListener,
    acceptor: TlsAcceptor,
    done: mpsc::Sender<(Counted, SocketAddr)>,
) {
    let places = Arc::new(Semaphore::new(MOST));
    loop {
        let permit = tokio::select! {
            () = done.closed() => return,
            permit = Arc::clone(&places).acquire_owned() => permit,
        };
        let Ok(permit) = permit else { return };
        let accepted = tokio::select! {
            () = done.closed() => return,
            accepted = tcp.accept() => accepted,
        };
        let (stream, from) = match accepted {
            Ok(accepted) => accepted,
            Err(e) => {
                // Too many open files, say: it will pass.
                tracing::warn!("a connection could not be taken: {e}");
                tokio::time::sleep(Duration::from_millis(200)).await;
                continue;
            }
        };
        let (acceptor, done) = (acceptor.clone(), done.clone());
        tokio::spawn(async move {
            let shaken = tokio::time::timeout(HANDSHAKE, acceptor.accept(stream)).await;
            match shaken {
                Ok(Ok(stream)) => {
                    let counted = Counted {
                        stream,
                        _permit: permit,
                    };
                    let _ = done.send((counted, from)).await;
                }
                // A phone that does not trust the certificate ends it here.
                Ok(Err(e)) => tracing::debug!("{from}: no secure connection: {e}"),
                Err(_) => tracing::debug!("{from}: the secure connection took too long"),
            }
        });
    }
}

impl Listener for TlsListener {
    type Io = Counted;
    type Addr = SocketAddr;

    async fn accept(&mut self) -> (Self::Io, Self::Addr) {
        match self.ready.recv().await {
            Some(accepted) => accepted,
            // The task ended, which it does only when this is dropped.
            None => std::future::pending().await,
        }
    }

    fn local_addr(&self) -> io::Result<Self::Addr> {
        Ok(self.bound)
    }
}
