//! Who is connected, and who gives way when there is no place left.
//!
//! A connection is a stranger's until a request on it was let in by a key ([`Link::known`]).
//! Strangers and known devices have places of their own, so that neither takes those of the
//! other. When the strangers' places are taken, or an address has as many as it may, the one
//! of them that has been connected longest gives way to the new one: silent connections can
//! hold a place, but never keep anybody out. Sockets are in [`super`], numbers in
//! [`super::open_files`].

use super::open_files::Totals;
use std::collections::{BTreeMap, HashMap};
use std::net::IpAddr;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use tokio::sync::Notify;

/// Strangers from one address in the network: a browser opens six connections for a page
/// (common practice, no source).
const MOST_OF_ADDRESS: usize = 16;

/// Known connections of one device: some pages, each with its stream and its pictures.
const MOST_OF_DEVICE: usize = 24;

/// From where connections come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Pool {
    /// This computer.
    Here,
    /// The local network.
    Network,
}

/// One that is connected.
#[derive(Debug)]
struct Connected {
    pool: Pool,
    from: IpAddr,
    /// Whose it is, if it is known.
    device: Option<String>,
    leaving: bool,
    hang_up: Arc<Notify>,
}

/// All that are connected, in the order in which they came.
#[derive(Debug)]
pub struct Connections {
    totals: Totals,
    all: Mutex<BTreeMap<u64, Connected>>,
    next: std::sync::atomic::AtomicU64,
    freed: Notify,
}

/// How many are connected to one pool.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Count {
    /// Those that no key let in yet.
    pub strangers: usize,
    /// Those of devices that are let in.
    pub known: usize,
}

impl Connections {
    /// Nobody is connected yet.
    #[must_use]
    pub fn new(totals: Totals) -> Arc<Self> {
        Arc::new(Self {
            totals,
            all: Mutex::default(),
            next: 1.into(),
            freed: Notify::new(),
        })
    }

    fn all(&self) -> MutexGuard<'_, BTreeMap<u64, Connected>> {
        self.all.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Half of a pool is for strangers, half for those that are known.
    fn half(&self, pool: Pool) -> usize {
        let whole = match pool {
            Pool::Here => self.totals.here,
            Pool::Network => self.totals.network,
        };
        (whole / 2).max(2)
    }

    fn most_of_address(&self, pool: Pool) -> usize {
        match pool {
            // All of this computer come from one address.
            Pool::Here => self.half(pool),
            Pool::Network => MOST_OF_ADDRESS.min(self.half(pool) / 4).max(2),
        }
    }

    /// How many are connected.
    #[must_use]
    pub fn count(&self, pool: Pool) -> Count {
        let all = self.all();
        let of_pool = all.values().filter(|c| c.pool == pool);
        of_pool.fold(Count::default(), |mut count, c| {
            match c.device {
                Some(_) => count.known += 1,
                None => count.strangers += 1,
            }
            count
        })
    }

    /// A place for somebody who connected from `from`; others give way for it if need be.
    pub(super) async fn admit(self: &Arc<Self>, pool: Pool, from: IpAddr) -> Place {
        let from = from.to_canonical();
        loop {
            let freed = self.freed.notified();
            tokio::pin!(freed);
            freed.as_mut().enable();
            if let Some(place) = self.try_admit(pool, from) {
                return place;
            }
            freed.await;
        }
    }

    /// A place, or none and somebody was told to leave.
    fn try_admit(self: &Arc<Self>, pool: Pool, from: IpAddr) -> Option<Place> {
        let mut all = self.all();
        let strangers = || {
            all.iter()
                .filter(|(_, c)| c.pool == pool && c.device.is_none())
        };
        let mut of_address: HashMap<IpAddr, usize> = HashMap::new();
        for (_, stranger) in strangers() {
            *of_address.entry(stranger.from).or_default() += 1;
        }
        let crowded = of_address.get(&from).copied().unwrap_or(0) >= self.most_of_address(pool);
        let full = strangers().count() >= self.half(pool);
        if !crowded && !full {
            let id = self.next.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
            let hang_up = Arc::new(Notify::new());
            let connected = Connected {
                pool,
                from,
                device: None,
                leaving: false,
                hang_up: Arc::clone(&hang_up),
            };
            all.insert(id, connected);
            let link = Link {
                id,
                connections: Arc::clone(self),
            };
            return Some(Place { link, hang_up });
        }
        // From the address itself if it has too many, else from one of those that have the most.
        let most = of_address.values().copied().max().unwrap_or(0);
        let gives = |c: &Connected| match crowded {
            true => c.from == from,
            false => of_address.get(&c.from).copied() == Some(most),
        };
        let oldest = strangers().find(|(_, c)| gives(c)).map(|(id, _)| *id);
        if let Some(connected) = oldest.and_then(|id| all.get_mut(&id))
            && !connected.leaving
        {
            connected.leaving = true;
            connected.hang_up.notify_one();
        }
        None
    }

    /// The stranger that has been connected longest leaves: the system has no files left.
    pub(super) fn shed(&self, pool: Pool) {
        let mut all = self.all();
        let oldest = all
            .values_mut()
            .find(|c| c.pool == pool && c.device.is_none() && !c.leaving);
        if let Some(connected) = oldest {
            connected.leaving = true;
            connected.hang_up.notify_one();
        }
    }
}

/// The place of a connection, as long as it lives.
#[derive(Debug)]
pub(super) struct Place {
    pub(super) link: Link,
    hang_up: Arc<Notify>,
}

impl Place {
    /// Ready when it has to give way.
    pub(super) async fn asked_to_leave(&self) {
        self.hang_up.notified().await;
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        self.link.connections.all().remove(&self.link.id);
        self.link.connections.freed.notify_waiters();
    }
}

/// A connection as its requests know it: they find it among their extensions.
#[derive(Clone, Debug)]
pub struct Link {
    id: u64,
    connections: Arc<Connections>,
}

impl Link {
    /// A request of `device` was let in: the connection has one of the places for those that
    /// are known, unless the device has many already.
    pub fn known(&self, device: &str) {
        let mut all = self.connections.all();
        let Some(pool) = all
            .get(&self.id)
            .filter(|c| c.device.is_none())
            .map(|c| c.pool)
        else {
            return;
        };
        let known = all
            .values()
            .filter(|c| c.pool == pool && c.device.is_some());
        let (mut many, mut own) = (0, 0);
        for connected in known {
            many += 1;
            own += usize::from(connected.device.as_deref() == Some(device));
        }
        let most_own = MOST_OF_DEVICE.min(self.connections.half(pool));
        if many < self.connections.half(pool)
            && own < most_own
            && let Some(connected) = all.get_mut(&self.id)
        {
            connected.device = Some(device.to_owned());
            drop(all);
            self.connections.freed.notify_waiters();
        }
    }

    /// A request on it was not let in.
    pub(super) fn unknown(&self) {
        if let Some(connected) = self.connections.all().get_mut(&self.id) {
            connected.device = None;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ip(last: u8) -> IpAddr {
        IpAddr::from([10, 0, 0, last])
    }

    fn some() -> Arc<Connections> {
        Connections::new(Totals {
            here: 8,
            network: 64,
        })
    }

    /// Connects as somebody whose connection ends when it is asked to.
    async fn connect(all: &Arc<Connections>, pool: Pool, from: u8) -> tokio::task::JoinHandle<()> {
        let place = all.admit(pool, ip(from)).await;
        tokio::spawn(async move { place.asked_to_leave().await })
    }

    #[tokio::test]
    async fn an_address_with_many_gives_way_to_itself() {
        let all = some();
        let honest = connect(&all, Pool::Network, 1).await;
        let mut silent = Vec::new();
        for _ in 0..200 {
            silent.push(connect(&all, Pool::Network, 2).await);
        }
        // A quarter of the 32 places of strangers.
        assert_eq!(all.count(Pool::Network).strangers, 8 + 1);
        assert!(!honest.is_finished());
        let here = connect(&all, Pool::Here, 3).await;
        assert_eq!(all.count(Pool::Here).strangers, 1);
        here.abort();
    }

    #[tokio::test]
    async fn of_many_addresses_the_busiest_gives_way() {
        let all = some();
        let mut silent = Vec::new();
        for n in 0..100 {
            silent.push(connect(&all, Pool::Network, n % 10).await);
        }
        let honest = connect(&all, Pool::Network, 250).await;
        for n in 0..100 {
            silent.push(connect(&all, Pool::Network, n % 10).await);
        }
        assert_eq!(all.count(Pool::Network).strangers, 32);
        assert!(!honest.is_finished());
    }

    #[tokio::test]
    async fn the_known_keep_their_places_and_a_device_has_so_many() {
        let all = some();
        let mut places = Vec::new();
        for _ in 0..30 {
            let place = all.admit(Pool::Network, ip(1)).await;
            place.link.known("tuva");
            if all.count(Pool::Network).known == places.len() + 1 {
                places.push(place);
            }
        }
        assert_eq!(places.len(), MOST_OF_DEVICE);
        let mut silent = Vec::new();
        for n in 0..=255 {
            silent.push(connect(&all, Pool::Network, n).await);
        }
        let count = all.count(Pool::Network);
        assert_eq!((count.known, count.strangers), (MOST_OF_DEVICE, 32));
        // Who is no longer let in is a stranger again.
        places[0].link.unknown();
        assert_eq!(all.count(Pool::Network).known, MOST_OF_DEVICE - 1);
    }
}
