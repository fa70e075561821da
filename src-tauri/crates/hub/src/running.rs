//! Starting and stopping a hub.
//!
//! Order matters at the start: lock, store, log, demonstration site, port, and only then
//! an answer to anybody. Stopping lets open requests end, for at most two seconds;
//! whatever was answered is on the disk already.

use crate::clock::Clock;
use crate::demo::{self, Demo};
use crate::error::HubError;
use crate::firm::{self, Note, Places};
use crate::guard::Guard;
use crate::inbox::{self, Inboxes};
use crate::inspect::{LOG, PHOTOS};
use crate::ledger::Ledger;
use crate::listeners::{self, Pool, Serving};
use crate::lock::Lock;
use crate::presence::Presence;
use crate::reckoned::OnDisk;
use crate::remind::subscriptions;
use crate::shell::Shell;
use crate::state::{Hub, Signal};
use crate::trust::devices::{Devices, PREFIX};
use crate::trust::keeping;
use crate::trust::lan::{self, Lan};
use crate::trust::{Door, Trust};
use crate::uploads::Uploads;
use crate::views::Views;
use crate::{backup, forecast, housework, private, remind, server};
use slowstone_store::{BlobStore, FolderBlobs, SqliteLog, StoreError};
use std::fs;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::sync::{broadcast, watch};
use tokio::task::JoinHandle;

/// How long open requests may take to end.
const GRACE: Duration = Duration::from_millis(1500);

/// How to start a hub.
#[derive(Clone, Debug)]
pub struct Config {
    /// Folder of the log and the photos; made if need be.
    pub data_dir: PathBuf,
    /// Port on the loopback address; 0 takes any. If it is taken, any free one is used.
    pub port: u16,
    /// Whether new data begin with the demonstration site.
    pub demo: Demo,
    /// The hub's clock.
    pub clock: Clock,
    /// What is asked of the network doors; the settings count where it is silent.
    pub lan: lan::Setup,
}

/// A hub that runs. It stops when this is dropped, but only [`Running::stop`] waits.
#[derive(Debug)]
pub struct Running {
    hub: Arc<Hub>,
    url: String,
    addr: SocketAddr,
    stop: watch::Sender<bool>,
    serving: JoinHandle<()>,
    reminding: JoinHandle<((), ())>,
    keeping: JoinHandle<()>,
    watching: Option<JoinHandle<()>>,
    data_dir: PathBuf,
    lock: Lock,
    /// Keeps what happened since the start, for who listens first.
    early: broadcast::Receiver<Signal>,
}

impl Running {
    /// The address to open in a browser, with the token.
    #[must_use]
    pub fn url(&self) -> &str {
        &self.url
    }

    /// The address that it listens on.
    #[must_use]
    pub fn addr(&self) -> SocketAddr {
        self.addr
    }

    /// Where paired phones find it, if the network door is open.
    #[must_use]
    pub fn phones_url(&self) -> Option<String> {
        self.hub.trust.lan.seen().addresses().into_iter().next()
    }

    /// Why the network door is not open although it should be.
    #[must_use]
    pub fn lan_trouble(&self) -> Option<String> {
        self.hub.trust.lan.seen().trouble
    }

    /// What happens from now on: changes and due reminders.
    #[must_use]
    pub fn signals(&self) -> broadcast::Receiver<Signal> {
        self.hub.signals.subscribe()
    }

    /// What happened since the start and happens from now on. At the start itself something
    /// may be told as due, and it is told once: [`Running::signals`] would come too late.
    /// The second call gives what happens since the first.
    #[must_use]
    pub fn signals_since_start(&mut self) -> broadcast::Receiver<Signal> {
        std::mem::replace(&mut self.early, self.hub.signals.subscribe())
    }

    /// Its inside, for a program around it.
    #[must_use]
    pub fn shell(&self) -> Shell {
        Shell::new(Arc::clone(&self.hub))
    }

    /// From now on photos that appear in these folders are taken in.
    pub fn watch_folders(&mut self, inboxes: Inboxes) {
        let task = tokio::spawn(inbox::run(Arc::clone(&self.hub), inboxes));
        if let Some(before) = self.watching.replace(task) {
            before.abort();
        }
    }

    /// Stops it: no new requests, open ones may end, watchers are sent home. Takes less
    /// than two seconds.
    pub async fn stop(self) {
        let _ = self.stop.send(true);
        let serving = self.serving.abort_handle();
        let reminding = self.reminding.abort_handle();
        let keeping = self.keeping.abort_handle();
        let watching = self.watching.as_ref().map(JoinHandle::abort_handle);
        let all = async {
            let _ = self.serving.await;
            let _ = self.reminding.await;
            let _ = self.keeping.await;
            if let Some(watching) = self.watching {
                let _ = watching.await;
            }
        };
        if tokio::time::timeout(GRACE, all).await.is_err() {
            serving.abort();
            reminding.abort();
            keeping.abort();
            if let Some(watching) = watching {
                watching.abort();
            }
        }
        drop(self.hub);
        Presence::remove(&self.data_dir);
        drop(self.lock);
        tracing::info!("stopped");
    }
}

/// Starts a hub and returns when it answers. Call it within a Tokio runtime.
///
/// # Errors
/// When another hub has the data ([`HubError::AlreadyRunning`]), when the data cannot be
/// opened, or when there is no port to listen on.
pub async fn start(config: Config) -> Result<Running, HubError> {
    start_on(config, None).await
}

/// The same on a log and photos that are not in the data folder, if `places` are named.
///
/// # Errors
/// As [`start`].
pub async fn start_on(config: Config, places: Option<Places>) -> Result<Running, HubError> {
    private::only_for_this_account();
    let (dir, clock, demo) = (config.data_dir.clone(), config.clock, config.demo);
    let opened = tokio::task::spawn_blocking(move || open(dir, clock, demo, places)).await;
    let (lock, (mut ledger, views), blobs) =
        opened.map_err(|e| HubError::Fault(e.to_string()))??;
    let listener = listen(config.port).map_err(HubError::Listen)?;
    let shared = ledger.is_shared();
    let addr = listener.local_addr().map_err(HubError::Listen)?;
    let guard = Guard::new(addr.port())?;
    let devices = Devices::read(&ledger.settings(PREFIX)?);
    subscriptions::tidy(&mut ledger, &devices)?;
    let wish = ledger.setting(Lan::setting())?;
    let doors = Lan::new(config.lan, config.data_dir.clone(), wish.as_deref());
    let trust = Trust::new(devices, doors);
    let url = guard.url();
    let (stop, stopping) = watch::channel(false);
    let thumbs = config.data_dir.join("thumbs");
    let parts = Uploads::open(&config.data_dir.join("uploads"))?;
    let hub = Arc::new(Hub::new(
        (ledger, views),
        blobs,
        thumbs,
        parts,
        clock,
        (guard, trust, server::router),
        stopping.clone(),
    ));
    let app = server::router(Arc::clone(&hub), Door::Here);
    let how = Serving {
        pool: Pool::Here,
        connections: Arc::clone(&hub.trust.connections),
        patience: hub.trust.patience,
        tls: None,
    };
    let serving = tokio::spawn(listeners::serve(listener, app, how, stopping));
    let early = hub.signals.subscribe();
    let reminding = {
        let (one, two) = (Arc::clone(&hub), Arc::clone(&hub));
        tokio::spawn(async move { tokio::join!(remind::run(one), forecast::run(two)) })
    };
    if shared {
        tokio::spawn(firm::follow(Arc::clone(&hub)));
    }
    lan::settle(&hub).await;
    let presence = Presence {
        pid: std::process::id(),
        url: url.clone(),
        address: format!("http://{addr}"),
        since_ms: clock.now().0,
        version: env!("CARGO_PKG_VERSION").to_owned(),
        phones: None,
    };
    if let Err(e) = presence.write(&config.data_dir) {
        tracing::warn!(
            "`slowstone status` will not know of this hub: its note cannot be written: {e}"
        );
    }
    // It looks at the doors at once, and at the note after that.
    hub.trust.lan.nudge();
    let keeping = {
        let (one, two) = (Arc::clone(&hub), Arc::clone(&hub));
        tokio::spawn(async move {
            tokio::join!(keeping::keep(one), housework::run(two));
        })
    };
    let data = config.data_dir.display();
    tracing::info!(address = %addr, %data, version = presence.version, "serving");
    Ok(Running {
        hub,
        url,
        addr,
        stop,
        serving,
        reminding,
        keeping,
        watching: None,
        data_dir: config.data_dir,
        lock,
        early,
    })
}

type Opened = (Lock, (Ledger, Views), Box<dyn BlobStore>);

/// Everything of the start that reads and writes files.
fn open(
    dir: PathBuf,
    clock: Clock,
    demo: Demo,
    places: Option<Places>,
) -> Result<Opened, HubError> {
    if backup::is_backup(&dir) {
        return Err(HubError::IsBackup(dir));
    }
    let lock = Lock::take(&dir)?;
    private::mend_and_tell(&dir);
    let thumbs = dir.join("thumbs");
    if let Err(source) = fs::create_dir_all(&thumbs) {
        return Err(HubError::Folder {
            path: thumbs,
            source,
        });
    }
    let shelf = OnDisk::open(&dir);
    let opened = match (places, Note::read(&dir)) {
        (Some(places), _) => places.open(&dir),
        (None, Some(Note { store, photos })) => {
            return Err(HubError::HasMoved { dir, store, photos });
        }
        (None, None) => in_folder(&dir),
    };
    let (mut ledger, blobs) = opened.map_err(|e| match e {
        HubError::Store(e @ StoreError::Corrupt { .. }) => {
            let source = Box::new(e);
            HubError::Damaged { dir, source }
        }
        other => other,
    })?;
    if ledger.unread() > 0 {
        tracing::warn!(
            "{} entries are of a kind that this version cannot read; they are kept as they are",
            ledger.unread()
        );
    }
    let views = Views::new(
        shelf
            .inspect_err(|e| tracing::warn!("predictions are reckoned anew after every start: {e}"))
            .ok(),
    );
    demo::begin(&mut ledger, &*blobs, demo, clock.now())?;
    Ok((lock, (ledger, views), blobs))
}

/// The log and the photos in the data folder itself.
fn in_folder(dir: &Path) -> Result<(Ledger, Box<dyn BlobStore>), HubError> {
    let blobs = FolderBlobs::open(&dir.join(PHOTOS))?;
    let log = dir.join(LOG);
    whole(&log)?;
    Ok((Ledger::open(&log)?, Box::new(blobs)))
}

/// Looks at every page of a log that is there: a hub on a damaged one would make it worse.
/// A hundred thousand entries take about a fifth of a second.
fn whole(log: &Path) -> Result<(), HubError> {
    if !log.exists() {
        return Ok(());
    }
    let lines = SqliteLog::open_read_only(log)?.check_file()?;
    match lines.first().and_then(|l| l.lines().next()) {
        None => Ok(()),
        Some(first) => Err(HubError::Store(StoreError::Corrupt {
            path: log.to_path_buf(),
            detail: first.to_owned(),
        })),
    }
}

/// Listens on `port`, or on any if it is taken.
fn listen(port: u16) -> std::io::Result<TcpListener> {
    match listeners::listen((Ipv4Addr::LOCALHOST, port).into()) {
        Err(e) if port != 0 => {
            let any = listeners::listen((Ipv4Addr::LOCALHOST, 0).into())?;
            tracing::info!("port {port}: {e}");
            Ok(any)
        }
        bound => bound,
    }
}
