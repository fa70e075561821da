//! Opening and closing the doors to the network, as [`super::lan`] says they should be.
//!
//! The network door speaks TLS only. The plain door, one port further, is open while guests may
//! read, or while a phone is being paired and needs the certificate ([`super::handout`]).

use super::authority::{Authority, Leaf, NoCertificate};
use super::names::{self, Own};
use super::opened::{Content, Doors, Opened};
use super::pairing::Stage;
use super::renewal::{self, Certificate, Warning};
use super::tls::{self, Shown};
use crate::caller::{Door, Gone};
use crate::listeners::{self, Pool, Serving};
use crate::state::Hub;
use rustls::ServerConfig;
use std::io;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::{Duration, Instant};
use time::OffsetDateTime;
use tokio::net::TcpListener;
use tokio::sync::watch;

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
    let now = renewal::instant(hub.now().0);
    let authority = authority(hub, doors, now).await?;
    if authority.local().is_some() && !at.ip().is_unspecified() && !names::is_private(at.ip()) {
        return Err(format!(
            "{} is a public address. Choose one of your own network, or bring a certificate for it with --tls-cert and --tls-key",
            at.ip()
        ));
    }
    let own = authority.narrowed(&Own::look(doors.tls.as_ref().map_or(at, |d| d.bound)));
    let none = own.ips.is_empty() && own.names.is_empty();
    let certify = || authority.certify(&own, now).map_err(|e| e.to_string());
    let leaf = if let Some(opened) = &mut doors.tls {
        let Some((shown, leaf)) = &mut opened.shown else {
            return Err("the network door has no certificate".to_owned());
        };
        let moved = opened.own != own;
        if moved || is_stale(&authority, leaf, now) {
            *leaf = certify()?;
            shown.change(Arc::clone(&leaf.key));
            tracing::info!(until = %leaf.span.until.date(), "shows a new certificate");
        }
        let leaf = leaf.clone();
        if moved {
            tracing::info!(addresses = ?own.ips, "this computer has other addresses now");
            opened.own = own.clone();
            lan.note(|seen| seen.own = own);
        }
        leaf
    } else {
        let leaf = certify()?;
        let shown = Shown::new(Arc::clone(&leaf.key));
        let config = tls::config(Arc::clone(&shown)).map_err(|e| cannot_listen(at, &e))?;
        let tcp = bind(at).await.map_err(|e| cannot_listen(at, &e))?;
        let bound = tcp.local_addr().map_err(|e| cannot_listen(at, &e))?;
        let (stop, stopping) = watch::channel(false);
        let app = (hub.router)(Arc::clone(hub), Door::Lan);
        let how = serving(hub, Some(config));
        tokio::spawn(listeners::serve(tcp, app, how, stopping));
        tracing::info!(address = %bound, "opened the network door");
        doors.tls = Some(Opened {
            wished: at,
            bound,
            shown: Some((shown, leaf.clone())),
            own: own.clone(),
            stop,
        });
        lan.note(|seen| (seen.own, seen.port) = (own, Some(bound.port())));
        leaf
    };
    let certificate = told(&authority, doors, &leaf, now);
    if let Some(warning) = &certificate.warning
        && lan.seen().certificate.and_then(|c| c.warning).as_ref() != Some(warning)
    {
        tracing::warn!("{warning}");
    }
    lan.note(|seen| seen.certificate = Some(certificate));
    if none {
        return Err("This computer is in no private network now. Connect it to the one that the phones are in".to_owned());
    }
    Ok(())
}

/// Whether another certificate is to be shown than `leaf`.
fn is_stale(authority: &Authority, leaf: &Leaf, now: OffsetDateTime) -> bool {
    if authority.local().is_some() {
        return renewal::is_due(now, leaf.span, authority.span());
    }
    // The files were read anew.
    authority
        .certify(&Own::default(), now)
        .is_ok_and(|ready| !Arc::ptr_eq(&ready.key, &leaf.key))
}

/// What people are told of the certificate.
fn told(authority: &Authority, doors: &Doors, leaf: &Leaf, now: OffsetDateTime) -> Certificate {
    let local = authority.local().is_some();
    let broken = doors.files.as_ref().and_then(|(_, why)| why.clone());
    let warning = if local {
        renewal::of_authority(now, authority.span())
    } else {
        broken.or_else(|| renewal::of_files(now, leaf.span))
    };
    Certificate {
        until_ms: renewal::millis(leaf.span.until),
        authority_until_ms: local.then(|| renewal::millis(authority.span().until)),
        warning,
    }
}

/// The authority, or the certificate files: read again when they have changed. What cannot be
/// used does not take the place of what can.
async fn authority(
    hub: &Arc<Hub>,
    doors: &mut Doors,
    now: OffsetDateTime,
) -> Result<Arc<Authority>, String> {
    let lan = &hub.trust.lan;
    let (files, dir) = (lan.setup.files.clone(), lan.data_dir.clone());
    let before = doors.files.take();
    if files.is_none()
        && let Some(authority) = &doors.authority
    {
        return Ok(Arc::clone(authority));
    }
    let have = doors.authority.is_some();
    let look = move || {
        let Some(files) = files else {
            return (None, Authority::of(&dir, now).map(Some));
        };
        let content = Content::of(&files);
        match before {
            Some((seen, why)) if have && seen == content => (Some((seen, why)), Ok(None)),
            _ => {
                let read = Authority::from_files(&files).map(Some);
                let why = |e: &NoCertificate| Warning::FilesBroken(e.to_string());
                (Some((content, read.as_ref().err().map(why))), read)
            }
        }
    };
    let (seen, read) = tokio::task::spawn_blocking(look)
        .await
        .map_err(|e| e.to_string())?;
    doors.files = seen;
    match (read, &doors.authority) {
        (Ok(None) | Err(_), Some(authority)) => Ok(Arc::clone(authority)),
        (Ok(Some(read)), _) => {
            let authority = Arc::new(read);
            lan.note(|seen| {
                seen.print = Some(authority.print());
                seen.authority = authority.local().map(|der| der.to_vec());
            });
            if authority.local().is_some() {
                let since = super::since::remember(hub, authority.print()).await;
                lan.note(|seen| seen.authority_since = since);
            }
            doors.authority = Some(Arc::clone(&authority));
            Ok(authority)
        }
        (Err(e), None) => Err(e.to_string()),
        (Ok(None), None) => Err("the certificate files were not read".to_owned()),
    }
}

/// How the doors to the network are served.
fn serving(hub: &Hub, tls: Option<Arc<ServerConfig>>) -> Serving {
    Serving {
        pool: Pool::Network,
        connections: Arc::clone(&hub.trust.connections),
        patience: hub.trust.patience,
        tls,
    }
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
    let (stop, stopping) = watch::channel(false);
    let app = super::handout::router(Arc::clone(hub));
    tokio::spawn(listeners::serve(tcp, app, serving(hub, None), stopping));
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
        match listeners::listen(at) {
            Err(e) if e.kind() == io::ErrorKind::AddrInUse => {
                tokio::time::sleep(Duration::from_millis(60)).await;
            }
            bound => return bound,
        }
    }
    listeners::listen(at)
}
