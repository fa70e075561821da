//! Sockets in: who connects gets a place, has so long for every step, and is answered.
//!
//! All doors are served here, that of this computer as well: each connection is counted
//! ([`connections`]), by as many as the system lets this process hold ([`open_files`]), and
//! nobody may let the hub wait for long ([`patience`]). HTTP/1.1 only. Which doors there are:
//! [`crate::trust::lan`]; who is let in: [`crate::guard`].

mod body;
mod connections;
mod open_files;
mod patience;
mod wire;

pub use body::TooSlow;
pub use connections::{Connections, Link, Pool};
pub use open_files::Totals;
pub use patience::Patience;

use axum::Router;
use axum::extract::Request;
use axum::extract::connect_info::ConnectInfo;
use axum::http::StatusCode;
use axum::middleware::Next;
use axum::response::Response;
use body::Paced;
use connections::Place;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper::service::{Service, service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use rustls::ServerConfig;
use std::io;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::{TcpListener, TcpSocket, TcpStream};
use tokio::sync::{mpsc, watch};
use tokio_rustls::TlsAcceptor;
use wire::{Came, Wire};

/// Most bytes of the head of a request: some cookies and a long address.
const HEAD: usize = 32 << 10;

/// Most lines of the head of a request.
const MOST_HEADERS: usize = 64;

/// What a socket keeps of an answer that is not read yet; the system doubles it.
const UNREAD: u32 = 128 << 10;

/// Connections that the system keeps waiting.
const BACKLOG: u32 = 1024;

/// The address of whoever connected.
#[derive(Clone, Copy, Debug)]
pub struct Peer(pub SocketAddr);

/// How one door is served.
#[derive(Clone)]
pub struct Serving {
    /// Whose places are taken.
    pub pool: Pool,
    /// Who is connected.
    pub connections: Arc<Connections>,
    /// How long the hub waits.
    pub patience: Patience,
    /// TLS, if the door has it.
    pub tls: Option<Arc<ServerConfig>>,
}

/// Listens at `at`.
///
/// # Errors
/// What the system says.
pub fn listen(at: SocketAddr) -> io::Result<TcpListener> {
    let socket = if at.is_ipv4() {
        TcpSocket::new_v4()?
    } else {
        TcpSocket::new_v6()?
    };
    // Windows would let another program listen at the same address.
    if !cfg!(windows) {
        socket.set_reuseaddr(true)?;
    }
    // Connections have what their listener has.
    socket.set_send_buffer_size(UNREAD)?;
    socket.bind(at)?;
    socket.listen(BACKLOG)
}

/// Serves `app` to whoever connects, until `stop` turns true; returns when all that were
/// connected then have had their answers.
pub async fn serve(tcp: TcpListener, app: Router, how: Serving, mut stop: watch::Receiver<bool>) {
    let tls = how.tls.clone().map(TlsAcceptor::from);
    let (alive, mut ended) = mpsc::channel::<()>(1);
    let mut pause = Pause::default();
    loop {
        let accepted = tokio::select! {
            () = stopped(&mut stop) => break,
            accepted = tcp.accept() => accepted,
        };
        let (stream, from) = match accepted {
            Ok(accepted) => accepted,
            Err(e) if is_theirs(&e) => continue,
            Err(e) => {
                // Too many open files, say: it will pass, sooner if somebody leaves.
                let wait = pause.longer();
                tracing::warn!("a connection could not be taken: {e}");
                how.connections.shed(how.pool);
                tokio::time::sleep(wait).await;
                continue;
            }
        };
        pause = Pause::default();
        let place = tokio::select! {
            () = stopped(&mut stop) => break,
            place = how.connections.admit(how.pool, from.ip()) => place,
        };
        let one = One {
            from,
            patience: how.patience,
            app: app.clone(),
            stop: stop.clone(),
        };
        let (tls, alive) = (tls.clone(), alive.clone());
        tokio::spawn(async move {
            tokio::select! {
                () = place.asked_to_leave() => tracing::debug!("{from}: gave way to others"),
                () = one.serve(stream, tls, &place) => {}
            }
            drop(alive);
        });
    }
    drop((tcp, alive));
    let _ = ended.recv().await;
}

/// Whether whoever connected was gone before they were taken; as in accept(2).
fn is_theirs(e: &io::Error) -> bool {
    matches!(
        e.kind(),
        io::ErrorKind::ConnectionAborted
            | io::ErrorKind::ConnectionReset
            | io::ErrorKind::ConnectionRefused
    )
}

/// Ready when the hub stops, or is gone.
async fn stopped(stop: &mut watch::Receiver<bool>) {
    let _ = stop.wait_for(|stop| *stop).await;
}

/// How long nobody is taken after trouble: longer each time.
struct Pause(Duration);

impl Default for Pause {
    fn default() -> Self {
        Self(Duration::from_millis(10))
    }
}

impl Pause {
    fn longer(&mut self) -> Duration {
        let now = self.0;
        self.0 = (now * 2).min(Duration::from_secs(1));
        now
    }
}

/// One connection.
struct One {
    from: SocketAddr,
    patience: Patience,
    app: Router,
    stop: watch::Receiver<bool>,
}

impl One {
    async fn serve(self, stream: TcpStream, tls: Option<TlsAcceptor>, place: &Place) {
        let from = self.from;
        // Answers are small; a page waits for each.
        let _ = stream.set_nodelay(true);
        let wire = Wire::new(stream, self.patience);
        let came = wire.came();
        let Some(tls) = tls else {
            return self.answer(wire, came, &place.link).await;
        };
        match tokio::time::timeout(self.patience.handshake(), tls.accept(wire)).await {
            Ok(Ok(stream)) => self.answer(stream, came, &place.link).await,
            // A phone that does not trust the certificate ends it here.
            Ok(Err(e)) => tracing::debug!("{from}: no secure connection: {e}"),
            Err(_) => tracing::debug!("{from}: the secure connection took too long"),
        }
    }

    async fn answer<S>(mut self, stream: S, came: Came, link: &Link)
    where
        S: AsyncRead + AsyncWrite + Unpin + Send + 'static,
    {
        let (from, patience) = (self.from, self.patience);
        let app = TowerToHyperService::new(self.app);
        let service = service_fn(|request: hyper::Request<Incoming>| {
            let mut request =
                request.map(|body| axum::body::Body::new(Paced::new(body, came.clone(), patience)));
            request.extensions_mut().insert(ConnectInfo(Peer(from)));
            request.extensions_mut().insert(link.clone());
            let answered = app.call(request);
            async move {
                let answer = answered.await;
                if answer
                    .as_ref()
                    .is_ok_and(|a| a.status() == StatusCode::UNAUTHORIZED)
                {
                    link.unknown();
                }
                answer
            }
        });
        let serving = http1::Builder::new()
            .timer(TokioTimer::new())
            .header_read_timeout(patience.head())
            .max_headers(MOST_HEADERS)
            .max_buf_size(HEAD)
            .serve_connection(TokioIo::new(stream), service);
        tokio::pin!(serving);
        let ended = tokio::select! {
            ended = serving.as_mut() => Some(ended),
            () = stopped(&mut self.stop) => None,
        };
        let ended = match ended {
            Some(ended) => ended,
            None => {
                serving.as_mut().graceful_shutdown();
                serving.await
            }
        };
        if let Err(e) = ended {
            tracing::debug!("{from}: {e}");
        }
    }
}

/// Tells the connection of a request whose it is. Stands behind the guard, so only what was
/// let in comes here.
pub async fn tell_known(request: Request, next: Next) -> Response {
    let link = request.extensions().get::<Link>();
    let who = request.extensions().get::<crate::trust::Who>();
    if let (Some(link), Some(who)) = (link, who)
        && who.via != crate::trust::Door::Guest
    {
        link.known(&who.device);
    }
    next.run(request).await
}
