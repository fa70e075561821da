//! The log of this hub and its sum: what is stored is added up, and nothing else is.
//!
//! An entry that comes by itself becomes a record in the hub's own stream, records of
//! phones stay in theirs ([`streams`]); either is on the disk
//! before it is added to the [`Book`]. A body that this version cannot read stays in the
//! log and is passed over. No HTTP and no clock here; see [`crate::api`], [`crate::state`].

pub mod streams;
#[cfg(test)]
mod tests;

use crate::chance;
use crate::error::HubError;
use crate::named::{DEVICE, Named, NamedPhoto};
use crate::zones::Iana;
use serde::Serialize;
use serde_json::Value;
use slowstone_curing::units::AtMs;
use slowstone_logbook::book::{Folded, SiteCard};
use slowstone_logbook::misfit::MisfitCode;
use slowstone_logbook::view::PhotoPlace;
use slowstone_logbook::{Book, Event, EventError};
use slowstone_store::{
    Hash32, HubEpoch, HubLog, OpenOptions, SqliteLog, StoreError, StreamId, Verdict,
};
use slowstone_sync::Chain;
use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

/// Records read at once when the hub starts.
const PAGE: usize = 2000;

/// Bytes of entries after which a page of them ends.
const PAGE_BYTES: usize = 1 << 20;

/// Devices whose name begins so are hubs: no phone writes into their streams.
pub const HUBS: &str = "hub";

/// Log and book.
#[derive(Debug)]
pub struct Ledger {
    log: Box<dyn HubLog>,
    book: Book,
    chain: Chain,
    /// The name by which phones know this log, whichever hub they reach.
    name: String,
    /// Position up to which the log is added up.
    upto: u64,
    unread: u64,
    /// How often entries were given out, see [`Entries`].
    given: u64,
}

/// The entries of a site as they were at an instant.
#[derive(Clone, Debug)]
pub struct Entries {
    /// Of two, the later one has the larger number.
    pub number: u64,
    /// The entries, shared with the ledger.
    pub all: Vec<Arc<Event>>,
}

/// How an entry came to this hub.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// It is logged just now: everything about it can still be put right.
    Logged,
    /// It was written before, and is passed on: by a phone's stream, a saved copy, another
    /// hub. What its device's clock showed is no reason to lose it.
    PassedOn,
}

/// What became of the entries of one call.
#[derive(Debug, Default, PartialEq)]
pub struct Taken {
    /// Ids of those that are stored now or were before, in the order given.
    pub taken: Vec<String>,
    /// Why others were not, with the place of each among those given.
    pub refused: Vec<(usize, EventError)>,
    /// Sites that have new entries.
    pub touched: BTreeSet<String>,
    /// The new entries.
    pub fresh: Vec<Event>,
}

/// Entries of a site, as they were stored.
#[derive(Debug, Default, PartialEq)]
pub struct Page {
    /// The entries, in the hub's order.
    pub events: Vec<Event>,
    /// Position up to which the log was looked at: ask again after it.
    pub next: u64,
    /// Whether there is more behind it.
    pub more: bool,
}

impl Ledger {
    /// Opens the log at `path`, made if need be, and adds everything up.
    ///
    /// # Errors
    /// What the store says: damaged, newer, not writable.
    pub fn open(path: &Path) -> Result<Self, HubError> {
        let epoch = HubEpoch::new(&chance::word(20)?)?;
        let log = SqliteLog::open(path, &OpenOptions::new(epoch))?;
        Self::on(Box::new(log), None)
    }

    /// Adds up a log that is open. `own` names the stream into which this hub writes, where
    /// several share the log.
    ///
    /// # Errors
    /// If it cannot be read or written.
    pub fn on(mut log: Box<dyn HubLog>, own: Option<String>) -> Result<Self, HubError> {
        let device = match log.get(DEVICE)? {
            Some(device) => device,
            None => {
                let device = format!("{}{}", HUBS, chance::word(12)?);
                log.replace(DEVICE, None, &device)?;
                // Another hub may have been quicker.
                log.get(DEVICE)?.unwrap_or(device)
            }
        };
        // A log set back to a backup has a new epoch, and so this stream has one too: two
        // lives never share a stream.
        let own = own.unwrap_or_else(|| device.clone());
        let stream = StreamId::new(&own, log.epoch().as_str())?;
        let chain = match log.head(&stream)? {
            Some(head) => Chain::resume(head),
            None => Chain::start(stream),
        };
        let mut ledger = Self {
            log,
            book: Book::with_zones(Iana),
            chain,
            name: device,
            upto: 0,
            unread: 0,
            given: 0,
        };
        ledger.add_up(&mut BTreeSet::new())?;
        Ok(ledger)
    }

    /// Looks at the log at `path` without changing anything, also beside a running hub.
    ///
    /// # Errors
    /// What the store says: not there, damaged, newer.
    pub fn look(path: &Path) -> Result<Self, HubError> {
        let log = SqliteLog::open_read_only(path)?;
        log.hold_still()?;
        let log: Box<dyn HubLog> = Box::new(log);
        let stream = StreamId::new("reader", log.epoch().as_str())?;
        let mut ledger = Self {
            name: log.get(DEVICE)?.unwrap_or_default(),
            log,
            book: Book::with_zones(Iana),
            chain: Chain::start(stream),
            upto: 0,
            unread: 0,
            given: 0,
        };
        ledger.add_up(&mut BTreeSet::new())?;
        Ok(ledger)
    }

    /// Adds up what other hubs have stored since; the sites that it changed. Costs nothing
    /// where no other hub writes.
    ///
    /// # Errors
    /// If the log cannot be read.
    pub fn catch_up(&mut self) -> Result<BTreeSet<String>, StoreError> {
        let mut touched = BTreeSet::new();
        if self.is_shared() && self.log.last_position()? > self.upto {
            self.add_up(&mut touched)?;
        }
        Ok(touched)
    }

    /// Whether other hubs write on the same log.
    #[must_use]
    pub fn is_shared(&self) -> bool {
        self.log.is_shared()
    }

    /// The photos that the log names.
    ///
    /// # Errors
    /// If it cannot be read.
    pub fn named_photos(&self) -> Result<BTreeMap<Hash32, NamedPhoto>, StoreError> {
        Ok(Named::read(&*self.log)?.photos)
    }

    fn add_up(&mut self, touched: &mut BTreeSet<String>) -> Result<(), StoreError> {
        loop {
            let page = self.log.read_from(self.upto, PAGE)?;
            if page.is_empty() {
                return Ok(());
            }
            for (position, record) in page {
                self.upto = position;
                if record.stream == *self.chain.stream() {
                    // It may be here although storing it seemed to fail: the answer was lost.
                    self.chain = Chain::resume(record.head());
                }
                match serde_json::from_str::<Event>(&record.body) {
                    Ok(event) => {
                        let site = event.site.clone();
                        if self.book.add(event) {
                            touched.insert(site);
                        }
                    }
                    Err(_) => self.unread += 1,
                }
            }
        }
    }

    /// Records whose body this version cannot read; they are kept as they are.
    #[must_use]
    pub fn unread(&self) -> u64 {
        self.unread
    }

    /// An entry of the log.
    #[must_use]
    pub fn entry(&self, id: &str) -> Option<&Event> {
        self.book.get(id)
    }

    /// Whether somebody entered something under this name, of what `leave_out` does not name.
    ///
    /// # Errors
    /// If the log cannot be read.
    pub fn has_entry_by(
        &self,
        name: &str,
        leave_out: impl Fn(&str) -> bool,
    ) -> Result<bool, StoreError> {
        let mut upto = 0;
        loop {
            let page = self.log.read_from(upto, PAGE)?;
            let Some((last, _)) = page.last() else {
                return Ok(false);
            };
            upto = *last;
            let mut events = page
                .iter()
                .filter_map(|(_, r)| serde_json::from_str::<Event>(&r.body).ok());
            if events.any(|e| e.by.trim() == name && !leave_out(&e.id)) {
                return Ok(true);
            }
        }
    }

    /// The entries of the log. Nothing is reckoned here: what screens show is asked of
    /// [`crate::views`], with the [`Entries`] of a site.
    #[must_use]
    pub fn book(&self) -> &Book {
        &self.book
    }

    /// Every site that was not taken back, newest activity first.
    pub fn sites(&mut self) -> Vec<SiteCard> {
        self.book.sites()
    }

    /// What the entries of a site add up to.
    pub fn folded(&mut self, site: &str) -> &Folded {
        self.book.folded(site)
    }

    /// Where a photo is filed.
    pub fn photo_place(&mut self, site: &str, photo: &str) -> Option<PhotoPlace> {
        self.book.photo_place(site, photo)
    }

    /// The entries of a site as they are now.
    pub fn entries(&mut self, site: &str) -> Entries {
        self.given += 1;
        Entries {
            number: self.given,
            all: self.book.events_of(site),
        }
    }

    /// Whether nothing was ever logged.
    ///
    /// # Errors
    /// If the log cannot be read.
    pub fn is_blank(&self) -> Result<bool, StoreError> {
        self.log.is_empty()
    }

    /// Checks entries in the order given and stores those that can be, all in one
    /// transaction that is on the disk when this returns. `received` is the hub's clock.
    ///
    /// # Errors
    /// If the log cannot be written: then none was stored.
    pub fn take(&mut self, entries: &[Value], received: AtMs) -> Result<Taken, StoreError> {
        self.take_from(Origin::Logged, entries, received)
    }

    /// As [`Ledger::take`], for entries that came so.
    ///
    /// # Errors
    /// As [`Ledger::take`].
    pub fn take_from(
        &mut self,
        origin: Origin,
        entries: &[Value],
        received: AtMs,
    ) -> Result<Taken, StoreError> {
        let mut out = Taken::default();
        let mut fresh: Vec<Event> = Vec::new();
        for (place, entry) in entries.iter().enumerate() {
            match self.judge(entry, &fresh, origin) {
                Ok((event, known)) => {
                    out.taken.push(event.id.clone());
                    if !known {
                        out.touched.insert(event.site.clone());
                        fresh.push(event);
                    }
                }
                Err(why) => out.refused.push((place, why)),
            }
        }
        self.store(&fresh, received)?;
        for event in &fresh {
            self.book.add(event.clone());
        }
        out.fresh = fresh;
        Ok(out)
    }

    /// Reads and checks one entry; whether it is here already, from before or from `fresh`.
    fn judge(
        &self,
        entry: &Value,
        fresh: &[Event],
        origin: Origin,
    ) -> Result<(Event, bool), EventError> {
        let event = Event::read(entry)?;
        let refuse = |field: &str, value: &str, why: MisfitCode| EventError {
            event: event.id.clone(),
            field: field.to_owned(),
            value: value.chars().take(80).collect(),
            reason: Box::new(why.into()),
        };
        let find = |id: &str| {
            let new = fresh.iter().find(|e| e.id == id);
            new.or_else(|| self.book.get(id))
        };
        if let Some(old) = find(&event.id) {
            // A hub that was set back is refilled by phones, and some hold copies without
            // positions: such a copy is the entry that is here, and the fuller one is taken.
            if *old == event {
                return Ok((event, true));
            }
            let more = event.exactness().cmp(&old.exactness());
            if more == Ordering::Equal || !old.is_same_but_for_places(&event) {
                return Err(refuse("id", &event.id, MisfitCode::IdTaken));
            }
            if more == Ordering::Less {
                return Ok((event, true));
            }
        }
        match origin {
            Origin::Logged => self.book.check(&event)?,
            Origin::PassedOn => self.book.check_passed_on(&event)?,
        }
        if event.kind == "site" {
            if event.site != event.id {
                return Err(refuse("site", &event.site, MisfitCode::SiteIsNotId));
            }
        } else if find(&event.site).is_none_or(|e| e.kind != "site") {
            return Err(refuse("site", &event.site, MisfitCode::UnknownSite));
        }
        Ok((event, false))
    }

    fn store(&mut self, events: &[Event], received: AtMs) -> Result<(), StoreError> {
        if events.is_empty() {
            return Ok(());
        }
        let mut chain = self.chain.clone();
        let odd = |detail: String| StoreError::Corrupt {
            path: "the log".into(),
            detail,
        };
        let mut records = Vec::with_capacity(events.len());
        for event in events {
            let body = as_text(&event.id, event)?;
            let record = chain.next(body).map_err(|e| odd(e.to_string()))?;
            records.push(record);
        }
        let verdicts = self.log.append(&records, received.0)?;
        if let Some(other) = verdicts.iter().find(|v| !stored(v)) {
            return Err(odd(format!(
                "another program has written into this hub's stream: {other:?}"
            )));
        }
        self.chain = chain;
        Ok(())
    }

    /// The entries of a site that were stored after position `after`, in the order in
    /// which they were stored; some at once, see [`Page::more`].
    ///
    /// # Errors
    /// If the log cannot be read.
    pub fn entries_after(&self, site: &str, after: u64) -> Result<Page, StoreError> {
        let mut page = Page {
            next: after,
            ..Page::default()
        };
        let mut bytes = 0;
        let records = self.log.read_from(after, PAGE)?;
        page.more = records.len() == PAGE;
        for (position, record) in records {
            if bytes > PAGE_BYTES {
                page.more = true;
                break;
            }
            page.next = position;
            // What this version cannot read is no entry that a phone could use.
            if let Ok(event) = serde_json::from_str::<Event>(&record.body)
                && event.site == site
            {
                bytes += record.body.len();
                page.events.push(event);
            }
        }
        Ok(page)
    }

    /// The name of this hub, and the life of its log: another one after a backup was
    /// restored.
    #[must_use]
    pub fn name(&self) -> (&str, &str) {
        (&self.name, self.log.epoch().as_str())
    }

    /// The name of the stream into which this hub itself writes.
    #[must_use]
    pub fn own(&self) -> &str {
        self.chain.stream().device()
    }

    /// A small thing that the hub remembers.
    ///
    /// # Errors
    /// If it cannot be read.
    pub fn setting(&self, key: &str) -> Result<Option<String>, StoreError> {
        self.log.get(key)
    }

    /// All small things whose key begins with `prefix`.
    ///
    /// # Errors
    /// If they cannot be read.
    pub fn settings(&self, prefix: &str) -> Result<Vec<(String, String)>, StoreError> {
        self.log.with_prefix(prefix)
    }

    /// Remembers a small thing; on the disk when this returns.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn remember(&mut self, key: &str, value: &str) -> Result<(), StoreError> {
        self.log.set(key, value)
    }

    /// Remembers a small thing as JSON; on the disk when this returns.
    ///
    /// # Errors
    /// If it cannot be written down or stored.
    pub fn remember_as(&mut self, key: &str, value: &impl Serialize) -> Result<(), StoreError> {
        self.remember(key, &as_text(key, value)?)
    }

    /// Remembers a small thing in place of `before`, if that is what is there; whether it
    /// did. Of several hubs one does.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn replace(
        &mut self,
        key: &str,
        before: Option<&str>,
        value: &str,
    ) -> Result<bool, StoreError> {
        self.log.replace(key, before, value)
    }

    /// Forgets a small thing.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn forget(&mut self, key: &str) -> Result<(), StoreError> {
        self.log.remove(key)
    }
}

/// What is to be stored under a name, as JSON. Nothing is stored in its place if that fails.
///
/// # Errors
/// What cannot be written down.
pub fn as_text(name: &str, value: &impl Serialize) -> Result<String, StoreError> {
    serde_json::to_string(value)
        .map_err(|e| StoreError::io(Path::new(name), "writing it down as JSON", e.into()))
}

/// Whether a record of the own stream is in the log now: `Already` where the answer to a
/// first try was lost.
fn stored(verdict: &Verdict) -> bool {
    matches!(verdict, Verdict::Append | Verdict::Already)
}
