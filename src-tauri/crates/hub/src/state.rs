//! What all requests share: the ledger, the photos, the clock, and who is watching.
//!
//! The ledger is behind one lock, held only while something is stored or looked up, and
//! always on a thread that may block: [`Hub::with_ledger`]. What has to be reckoned is asked
//! of the books of the sites, when the ledger is free again: [`Hub::with_site`]. How the parts
//! are put together at the start: [`crate::start`].

use crate::caller::Door;
use crate::clock::Clock;
use crate::damage::Damage;
use crate::guard::Guard;
use crate::ledger::{Entries, Ledger};
use crate::refusal::Refusal;
use crate::remind::secrets::{NoSecret, Secrets};
use crate::trust::Trust;
use crate::uploads::{Turns, Uploads};
use crate::views::Views;
use serde::Serialize;
use slowstone_curing::units::AtMs;
use slowstone_logbook::Book;
use slowstone_logbook::view::Reminder;
use slowstone_store::BlobStore;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};
use tokio::sync::{Notify, Semaphore, broadcast, watch};

/// Something that watchers are told at once.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Signal {
    /// A site has new entries.
    Changed {
        /// Which site.
        site: String,
        /// Number of its entries now.
        events: usize,
    },
    /// Something is due.
    Due {
        /// On which site.
        site: String,
        /// What.
        #[serde(flatten)]
        reminder: Reminder,
    },
    /// Something is told, once, by the rules that people chose (quiet hours, what falls
    /// together): for a notification of the system.
    Remind {
        /// On which site.
        site: String,
        /// Id of the message.
        id: String,
        /// One line.
        title: String,
        /// One line for each thing.
        lines: Vec<String>,
    },
}

/// Makes what answers at a door.
pub type Router = fn(Arc<Hub>, Door) -> axum::Router;

/// The shared state of one hub.
#[derive(Debug)]
pub struct Hub {
    ledger: Mutex<Ledger>,
    views: Views,
    /// Photo bytes.
    pub blobs: Box<dyn BlobStore>,
    /// Small pictures; may be deleted at any time.
    pub thumbs: PathBuf,
    /// Photos on their way.
    pub parts: Uploads,
    /// What time it is.
    pub clock: Clock,
    /// The door of this computer.
    pub guard: Guard,
    /// Who may come in, and the doors to the network.
    pub trust: Trust,
    /// Pictures that are decoded at once: each takes a lot of memory.
    pub decoding: Semaphore,
    /// Photos that are held in memory at once; whoever waits for bytes of others has none.
    pub uploads: Semaphore,
    /// Photos that one device may send whole at once.
    pub receiving: Turns,
    /// Files of a site that one device may send at once.
    pub importing: Turns,
    /// Photos that cannot be shown.
    pub damage: Damage,
    /// Keys and passwords of the reminders.
    pub secrets: Secrets,
    /// Watchers hear of it here.
    pub signals: broadcast::Sender<Signal>,
    /// Wakes the reminders before their time.
    pub nudge: Notify,
    /// What answers at a door. It is made of everything that asks for this state, so it is
    /// given at the start.
    pub router: Router,
    /// Turns true when the hub stops.
    pub stopping: watch::Receiver<bool>,
}

/// The shared state as handlers get it.
pub type Shared = axum::extract::State<Arc<Hub>>;

impl Hub {
    /// Puts the parts together.
    pub(crate) fn new(
        (ledger, views): (Ledger, Views),
        blobs: Box<dyn BlobStore>,
        thumbs: PathBuf,
        parts: Uploads,
        clock: Clock,
        (guard, trust, router): (Guard, Trust, Router),
        stopping: watch::Receiver<bool>,
    ) -> Self {
        let secrets = Secrets::open(thumbs.parent().unwrap_or(&thumbs));
        Self {
            ledger: Mutex::new(ledger),
            views,
            blobs,
            thumbs,
            parts,
            clock,
            guard,
            trust,
            decoding: Semaphore::new(2),
            uploads: Semaphore::new(4),
            receiving: Turns::new(4),
            importing: Turns::new(1),
            damage: Damage::default(),
            secrets,
            signals: broadcast::channel(256).0,
            nudge: Notify::new(),
            router,
            stopping,
        }
    }

    /// The present instant by the hub's clock.
    pub fn now(&self) -> AtMs {
        self.clock.now()
    }

    /// Works on the ledger on a thread that may block. `None` if the work panicked, which
    /// the tests say it does not.
    pub async fn with_ledger<T, F>(self: &Arc<Self>, work: F) -> Option<T>
    where
        T: Send + 'static,
        F: FnOnce(&mut Ledger) -> T + Send + 'static,
    {
        let hub = Arc::clone(self);
        let run = move || {
            // Entries are on the disk before they are in the book, so a panic in a view
            // leaves nothing half done.
            let mut ledger = hub.ledger.lock().unwrap_or_else(PoisonError::into_inner);
            match ledger.catch_up() {
                Ok(touched) => {
                    for site in touched {
                        let events = ledger.book().site_len(&site);
                        hub.tell_changed(&site, events);
                    }
                }
                Err(e) => tracing::warn!("what other hubs stored is not seen yet: {e}"),
            }
            work(&mut ledger)
        };
        match tokio::task::spawn_blocking(run).await {
            Ok(done) => Some(done),
            Err(e) => {
                tracing::error!("work on the log failed: {e}");
                None
            }
        }
    }

    /// Looks at a site as it is now, on a thread that may block. The ledger is held only until
    /// its entries are known, so that nobody who writes waits for what is reckoned. `None` as
    /// in [`Self::with_ledger`].
    pub async fn with_site<T, F>(self: &Arc<Self>, site: &str, look: F) -> Option<T>
    where
        T: Send + 'static,
        F: FnOnce(&mut Book) -> T + Send + 'static,
    {
        let id = site.to_owned();
        let entries = self.with_ledger(move |ledger| ledger.entries(&id)).await?;
        self.with_entries(site, entries, look).await
    }

    /// Looks at a site that has these entries.
    pub async fn with_entries<T, F>(
        self: &Arc<Self>,
        site: &str,
        entries: Entries,
        look: F,
    ) -> Option<T>
    where
        T: Send + 'static,
        F: FnOnce(&mut Book) -> T + Send + 'static,
    {
        let (hub, site) = (Arc::clone(self), site.to_owned());
        let run = move || hub.views.look(&site, &entries, look);
        let done = tokio::task::spawn_blocking(run).await;
        done.inspect_err(|e| tracing::error!("reckoning a view failed: {e}"))
            .ok()
    }

    /// Works on the keys and passwords on a thread that may block: they lie in a file.
    ///
    /// # Errors
    /// If a key cannot be made or kept; as a fault if the work panicked.
    pub async fn with_secrets<T, F>(self: &Arc<Self>, work: F) -> Result<T, Refusal>
    where
        T: Send + 'static,
        F: FnOnce(&Secrets) -> Result<T, NoSecret> + Send + 'static,
    {
        let hub = Arc::clone(self);
        let done = tokio::task::spawn_blocking(move || work(&hub.secrets)).await;
        Ok(done.map_err(|_| Refusal::fault())??)
    }

    /// Tells watchers of a site and has the reminders looked at again.
    pub fn tell_changed(&self, site: &str, events: usize) {
        // Nobody listening is no error.
        let _ = self.signals.send(Signal::Changed {
            site: site.to_owned(),
            events,
        });
        self.nudge.notify_one();
    }
}
