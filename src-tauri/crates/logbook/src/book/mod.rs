//! The sum of the log: events in, in any order, and the same sum out.
//!
//! A record is an event of a fact kind; corrections change its fields, retractions take
//! events back. [`Book::add`] is idempotent and the result does not depend on the order of
//! arrival. Resolving one record is in [`resolve`], adding up a site in [`folded`]; what a
//! screen shows of it is in [`crate::view`].

mod folded;
mod history;
mod resolve;
mod table;

pub use folded::{Entry, Folded};
pub use table::{Ids, Table};

use crate::event::{Event, EventError};
use crate::facts::{self, Fact};
use crate::filing::Work;
use crate::view::Change;
use crate::view::cache::Reckoned;
use crate::zones::{Utc, Zones};
use serde::{Deserialize, Serialize};
use slowstone_curing::units::AtMs;
use std::sync::Arc;

/// An entry that could not be used, or only in part.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Problem {
    /// The event concerned.
    pub event: String,
    /// Its kind.
    pub kind: String,
    /// `unknown_kind`, `unreadable`, `time_outside` (a time in it lies outside the calendar),
    /// `clock_outside` (its device's clock showed such a time; it counts, but before all that
    /// have one), `missing_target`, `missing_reference`, `bad_correction` or `unknown_zone`.
    pub code: String,
    /// What is wrong, in plain words.
    pub text: String,
}

/// A site in a line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct SiteCard {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Where it is.
    pub place: String,
    /// Time zone.
    pub tz: String,
    /// How numbers are shown.
    pub units: crate::facts::Units,
    /// Number of steps.
    pub steps: u32,
    /// Number of pours.
    pub pours: u32,
    /// Newest entry, by the devices' clocks.
    pub last_ms: AtMs,
    /// It was put away: not in the list of sites, but found by a search.
    pub archived: bool,
}

/// The events of one site.
#[derive(Debug, Default)]
struct OfSite {
    ids: Ids,
    /// What they add up to, as long as that is still good.
    sum: Option<Folded>,
}

/// All events of all sites, and what they add up to.
///
/// ```
/// use serde_json::json;
/// use slowstone_logbook::{Book, Event};
/// let site = Event::read(&json!({"id": "site-0001", "site": "site-0001", "by": "Ada",
///     "at_ms": 0, "kind": "site", "body": {"name": "Landing", "tz": "UTC"}}))
/// .unwrap();
/// let mut book = Book::new();
/// book.check(&site).unwrap();
/// assert!(book.add(site.clone()));
/// assert!(!book.add(site), "it was there already");
/// assert_eq!(book.sites()[0].name, "Landing");
/// ```
#[derive(Debug)]
pub struct Book {
    pub(crate) zones: Arc<dyn Zones>,
    events: Table<Arc<Event>>,
    sites: Table<OfSite>,
    /// Corrections and retractions by target.
    touching: Table<Ids>,
    /// The sum of a site that there is not.
    nothing: Folded,
    /// Predictions that are still good.
    pub(crate) reckoned: Reckoned,
}

impl Default for Book {
    fn default() -> Self {
        Self::new()
    }
}

impl Book {
    /// An empty book that knows no time zone but UTC.
    #[must_use]
    pub fn new() -> Self {
        Self::with_zones(Utc)
    }

    /// An empty book that asks `zones` for the clocks of its sites.
    #[must_use]
    pub fn with_zones(zones: impl Zones + 'static) -> Self {
        Self {
            zones: Arc::new(zones),
            events: Table::default(),
            sites: Table::default(),
            touching: Table::default(),
            nothing: Folded::default(),
            reckoned: Reckoned::default(),
        }
    }

    /// From now on predictions are looked for on the shelf, and those that are made are put
    /// there.
    #[cfg(feature = "shelf")]
    pub fn use_shelf(&mut self, shelf: impl crate::view::Shelf + 'static) {
        self.reckoned.place.shelf = Some(Box::new(shelf));
    }

    /// Checks that an event can be stored: [`Event::check`], and that there is a time zone
    /// of the name that it gives to a site.
    ///
    /// # Errors
    /// Names the first field that cannot be, with its value and what is allowed.
    pub fn check(&self, event: &Event) -> Result<(), EventError> {
        event.check()?;
        self.check_zone(event)
    }

    /// Checks that an event that was logged elsewhere can be kept and passed on:
    /// [`Event::check_passed_on`], and its time zone.
    ///
    /// # Errors
    /// As [`Book::check`].
    pub fn check_passed_on(&self, event: &Event) -> Result<(), EventError> {
        event.check_passed_on()?;
        self.check_zone(event)
    }

    fn check_zone(&self, event: &Event) -> Result<(), EventError> {
        let tz = match event.kind.as_str() {
            "site" => event.body.get("tz"),
            "correction" => event.body.get("changes").and_then(|c| c.get("tz")),
            _ => None,
        };
        match tz.and_then(|tz| tz.as_str()) {
            Some(tz) if !self.knows_zone(tz) => Err(event.refusal(facts::unknown_zone(tz))),
            _ => Ok(()),
        }
    }

    /// The clocks that this book goes by.
    #[must_use]
    pub fn zones(&self) -> &dyn Zones {
        &*self.zones
    }

    fn knows_zone(&self, tz: &str) -> bool {
        self.zones.offset_min(tz, AtMs::default()).is_some()
    }

    /// Adds an event; `false` when its id was there already.
    ///
    /// Of two events with one id the one is kept that says more exactly where things are (the
    /// other is a copy from which that was taken out), and of two alike the smaller one by
    /// its JSON, so that the order of arrival does not matter.
    pub fn add(&mut self, event: Event) -> bool {
        self.add_shared(Arc::new(event))
    }

    /// Adds an event of another book ([`Self::events_of`]), as [`Self::add`] does.
    pub fn add_shared(&mut self, event: Arc<Event>) -> bool {
        let known = self.events.contains_key(&event.id);
        if let Some(old) = self.events.get(&event.id) {
            if Arc::ptr_eq(old, &event) {
                return false;
            }
            let text = |e: &Event| serde_json::to_string(e).unwrap_or_default();
            let before = |e: &Event| (core::cmp::Reverse(e.exactness()), text(e));
            if before(&event) >= before(old) {
                return false;
            }
            let old = old.clone();
            self.forget(&old);
        }
        self.sites.change(&event.site, |site| {
            site.sum = None;
            site.ids.add(&event.id);
        });
        if let Some(target) = target_of(&event) {
            self.touching.change(target, |ids| ids.add(&event.id));
        }
        self.events.insert(event.id.clone(), event);
        !known
    }

    fn forget(&mut self, old: &Event) {
        if let Some(site) = self.sites.get_mut(&old.site) {
            site.sum = None;
            site.ids.remove(&old.id);
        }
        if let Some(ids) = target_of(old).and_then(|t| self.touching.get_mut(t)) {
            ids.remove(&old.id);
        }
    }

    /// The event with this id.
    #[must_use]
    pub fn get(&self, id: &str) -> Option<&Event> {
        self.events.get(id).map(Arc::as_ref)
    }

    /// The events of a site, shared with this book: for another book that is to show the site.
    #[must_use]
    pub fn events_of(&self, site: &str) -> Vec<Arc<Event>> {
        let ids = self.ids(site);
        ids.filter_map(|id| self.events.get(id).cloned()).collect()
    }

    /// Number of events.
    #[must_use]
    pub fn len(&self) -> usize {
        self.events.len()
    }

    /// Whether there are no events.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.events.is_empty()
    }

    /// Number of events of a site.
    #[must_use]
    pub fn site_len(&self, site: &str) -> usize {
        self.sites.get(site).map_or(0, |s| s.ids.len())
    }

    /// What the events of a site add up to; kept until an event of the site comes.
    pub fn folded(&mut self, site: &str) -> &Folded {
        if self.sites.get(site).is_some_and(|s| s.sum.is_none()) {
            let sum = self.fold_site(site);
            if let Some(site) = self.sites.get_mut(site) {
                site.sum = Some(sum);
            }
        }
        let kept = self.sites.get(site).and_then(|s| s.sum.as_ref());
        kept.unwrap_or(&self.nothing)
    }

    /// The ids of the events of a site.
    fn ids(&self, site: &str) -> impl Iterator<Item = &String> {
        let site = self.sites.get(site).into_iter();
        site.flat_map(|s| s.ids.keys())
    }

    /// Every site that was not taken back, newest activity first.
    pub fn sites(&mut self) -> Vec<SiteCard> {
        let ids: Vec<String> = self.sites.keys().cloned().collect();
        let mut cards = Vec::new();
        for id in ids {
            let last_ms = self
                .ids(&id)
                .filter_map(|e| self.get(e))
                .map(Event::logged)
                .max()
                .unwrap_or_default();
            let sum = self.folded(&id);
            let Some(Entry {
                fact: Fact::Site(site),
                ..
            }) = sum.entries.get(&id)
            else {
                continue;
            };
            let (mut steps, mut pours) = (0, 0);
            let mut archived: Option<(AtMs, bool)> = None;
            for entry in sum.entries.values() {
                match &entry.fact {
                    Fact::Step(_) => steps += 1,
                    Fact::Pour(_) => pours += 1,
                    // What was said last counts; of the same instant, that with the later id.
                    Fact::Archive(said) if archived.is_none_or(|(at, _)| at <= entry.at_ms) => {
                        archived = Some((entry.at_ms, said.done));
                    }
                    _ => {}
                }
            }
            cards.push(SiteCard {
                id: id.clone(),
                name: site.name.clone(),
                place: site.place.clone(),
                tz: site.tz.clone(),
                units: site.units,
                steps,
                pours,
                last_ms,
                archived: archived.is_some_and(|(_, done)| done),
            });
        }
        cards.sort_by(|a, b| b.last_ms.cmp(&a.last_ms).then(a.id.cmp(&b.id)));
        cards
    }

    /// The work of a site, by which photos are filed.
    pub fn work(&mut self, site: &str) -> Work {
        Work::of(self.folded(site))
    }

    /// Who changed what of a record, and when; oldest first. Empty if there is no such
    /// record on the site.
    #[must_use]
    pub fn history(&self, site: &str, record: &str) -> Vec<Change> {
        history::history(self, site, record)
    }
}

/// The target of a correction or a retraction.
fn target_of(event: &Event) -> Option<&str> {
    match event.kind.as_str() {
        "correction" | "retraction" => event.body.get("target").and_then(|t| t.as_str()),
        _ => None,
    }
}
