//! Opening and closing the doors to the network, as [`super::lan`] says they should be.
//!
//! The network door speaks TLS only. The plain door, one port further, is open while guests may
//! read, or while a phone is being paired and needs the certificate ([`super::handout`]).

use super::authority::{Authority, NoCertificate};
use super::lan::Peer;
use super::names::{self, Own};
use super::pairing::Stage;
use super::tls::{Shown, TlsListener};
use super::{Door, Gone};
use crate::server;
use crate::state::Hub;
use std::io;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::{Duration, Instant};
use tokio::net::TcpListener;
use tokio::sync::watch;

struct Opened {
    wished: SocketAddr,
    bound: SocketAddr,
    shown: Option<Arc<Shown>>,
    own: Own,
    stop: watch::Sender<bool>,
}

/// The doors that are open.
#[derive(Default)]
pub(super) struct Doors {
    authority: Option<Arc<Authority>>,
    tls: Option<Opened>,
    plain: Option<Opened>,
}

/// Makes the doors be as wished, with the addresses of now.
pub async fn settle(hub: &Arc<Hub>) {
    let lan = &hub.trust.lan;
    let mut doors = lan.doors.lock().await;
    let mut wish = lan.wish();
    wish.on &= !*hub.stopping.borrow();
    if doors
        .tls
        .as_ref()
        .is_some_and(|d| !wish.on || d.wished != wish.at)
    {
        close(hub, &mut doors.tls, Door::Lan);
        lan.note(|seen| seen.port = None);
        hub.trust.pairing.close();
    }
    let trouble = if wish.on {
        open_lan(hub, &mut doors, wish.at).await.err()
    } else {
        None
    };
    if let Some(why) = &trouble
        && lan.seen().trouble.as_ref() != Some(why)
    {
        tracing::warn!("the network door is closed: {why}");
    }
    lan.note(|seen| seen.trouble = trouble);
    let local = doors
        .authority
        .as_ref()
        .is_some_and(|a| a.local().is_some());
    let pairing = local && hub.trust.pairing.stage(Instant::now()) == Stage::Open;
    let plain = doors.tls.is_some() && (wish.guest || pairing);
    if doors.plain.is_some()
        && (!plain
            || doors.plain.as_ref().map(|p| p.wished)
                != doors.tls.as_ref().map(|t| beside(t.bound)))
    {
        close(hub, &mut doors.plain, Door::Guest);
        lan.note(|seen| seen.plain = None);
    }
    if plain && doors.plain.is_none() {
        open_plain(hub, &mut doors).await;
    }
}

/// The plain door is one port further.
fn beside(tls: SocketAddr) -> SocketAddr {
    SocketAddr::new(tls.ip(), tls.port().saturating_add(1))
}

fn close(hub: &Hub, door: &mut Option<Opened>, which: Door) {
    if let Some(opened) = door.take() {
        let _ = opened.stop.send(true);
        hub.trust.tell(Gone::Door(which));
        tracing::info!(address = %opened.bound, "closed the {} door", if which == Door::Lan { "network" } else { "plain" });
    }
}

/// Opens the network door, or renews its certificate when addresses have changed.
async fn open_lan(hub: &Arc<Hub>, doors: &mut Doors, at: SocketAddr) -> Result<(), String> {
    let lan = &hub.trust.lan;
    let authority = match &doors.authority {
        Some(authority) => Arc::clone(authority),
        None => {
            let (files, dir) = (lan.setup.files.clone(), lan.data_dir.clone());
            let made = tokio::task::spawn_blocking(move || match files {
                Some(files) => Authority::from_files(&files),
                None => Authority::of(&dir),
            });
            let made = made.await.map_err(|e| e.to_string())?;
            let authority = Arc::new(made.map_err(|e: NoCertificate| e.to_string())?);
            lan.note(|seen| {
                seen.print = Some(authority.print());
                seen.authority = authority.local().map(|der| der.to_vec());
            });
            doors.authority = Some(Arc::clone(&authority));
            authority
        }
    };
    if authority.local().is_some() && !at.ip().is_unspecified() && !names::is_private(at.ip()) {
        return Err(format!(
            "{} is a public address. Choose one of your own network, or bring a certificate for it with --tls-cert and --tls-key",
            at.ip()
        ));
    }
    let own = authority.narrowed(&Own::look(doors.tls.as_ref().map_or(at, |d| d.bound)));
    let none = own.ips.is_empty() && own.names.is_empty();
    if let Some(opened) = &mut doors.tls {
        if opened.own != own {
            if let Some(shown) = &opened.shown {
                shown.change(authority.certify(&own).map_err(|e| e.to_string())?);
            }
            tracing::info!(addresses = ?own.ips, "this computer has other addresses now");
            opened.own = own.clone();
            lan.note(|seen| seen.own = own);
        }
    } else {
        let shown = Shown::new(authority.certify(&own).map_err(|e| e.to_string())?);
        let tcp = bind(at).await.map_err(|e| cannot_listen(at, &e))?;
        let bound = tcp.local_addr().map_err(|e| cannot_listen(at, &e))?;
        let listener =
            TlsListener::new(tcp, Arc::clone(&shown)).map_err(|e| cannot_listen(at, &e))?;
        let (stop, mut stopping) = watch::channel(false);
        let app = server::router(Arc::clone(hub), Door::Lan);
        let app = app.into_make_service_with_connect_info::<Peer>();
        tokio::spawn(async move {
            let end = async move { drop(stopping.wait_for(|stop| *stop).await) };
            let served = axum::serve(listener, app).with_graceful_shutdown(end).await;
            if let Err(e) = served {
                tracing::error!("serving the network ended: {e}");
            }
        });
        tracing::info!(address = %bound, "opened the network door");
        doors.tls = Some(Opened {
            wished: at,
            bound,
            shown: Some(shown),
            own: own.clone(),
            stop,
        });
        lan.note(|seen| (seen.own, seen.port) = (own, Some(bound.port())));
    }
    if none {
        return Err("This computer is in no private network now. Connect it to the one that the phones are in".to_owned());
    }
    Ok(())
}

/// Opens the plain door, one port further if that is free.
async fn open_plain(hub: &Arc<Hub>, doors: &mut Doors) {
    let Some(tls) = doors.tls.as_ref() else {
        return;
    };
    let wished = beside(tls.bound);
    let tcp = match bind(wished).await {
        Ok(tcp) => Ok(tcp),
        Err(_) => bind(SocketAddr::new(wished.ip(), 0)).await,
    };
    let (tcp, bound) = match tcp.and_then(|tcp| tcp.local_addr().map(|at| (tcp, at))) {
        Ok(opened) => opened,
        Err(e) => {
            tracing::warn!("{}", cannot_listen(wished, &e));
            return;
        }
    };
    let (stop, mut stopping) = watch::channel(false);
    let app = super::handout::router(Arc::clone(hub));
    let app = app.into_make_service_with_connect_info::<Peer>();
    tokio::spawn(async move {
        let end = async move { drop(stopping.wait_for(|stop| *stop).await) };
        let served = axum::serve(tcp, app).with_graceful_shutdown(end).await;
        if let Err(e) = served {
            tracing::error!("serving without TLS ended: {e}");
        }
    });
    tracing::info!(address = %bound, "opened the plain door");
    let own = tls.own.clone();
    doors.plain = Some(Opened {
        wished,
        bound,
        shown: None,
        own,
        stop,
    });
    hub.trust.lan.note(|seen| seen.plain = Some(bound.port()));
}

fn cannot_listen(at: SocketAddr, e: &io::Error) -> String {
    format!(
        "The hub cannot listen at {at} ({e}). Close the program that uses it, or choose another port"
    )
}

/// A door that was just closed takes a moment to be free.
async fn bind(at: SocketAddr) -> io::Result<TcpListener> {
    for _ in 0..5 {
        match TcpListener::bind(at).await {
            Err(e) if e.kind() == io::ErrorKind::AddrInUse => {
                tokio::time::sleep(Duration::from_millis(60)).await;
            }
            bound => return bound,
        }
    }
    TcpListener::bind(at).await
}
