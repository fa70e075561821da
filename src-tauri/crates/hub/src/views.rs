//! What screens show, reckoned beside the log and never while it is held.
//!
//! Each site has a book of its own here. Whoever asks for a view takes the entries of the
//! site out of the ledger (shared, not copied), lets the ledger go and reckons in the book of
//! the site: writes wait for no reckoning, and who looks at one site waits for none of
//! another. What was reckoned stays in the book for whoever asks next; over a restart it is
//! kept by [`crate::reckoned`].

use crate::ledger::Entries;
use crate::reckoned::OnDisk;
use crate::zones::Iana;
use slowstone_logbook::Book;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

/// The book of a site, and the number of the [`Entries`] that were added last.
#[derive(Debug)]
struct OfSite {
    book: Book,
    number: u64,
}

/// The books of all sites that somebody has looked at.
#[derive(Debug, Default)]
pub struct Views {
    shelf: Option<OnDisk>,
    sites: Mutex<BTreeMap<String, Arc<Mutex<OfSite>>>>,
}

impl Views {
    /// No book yet; predictions are kept on the shelf, if there is one.
    #[must_use]
    pub fn new(shelf: Option<OnDisk>) -> Self {
        let sites = Mutex::default();
        Self { shelf, sites }
    }

    /// Looks at a site that has these entries. Takes as long as its predictions take, on the
    /// thread that asks.
    pub fn look<T>(&self, site: &str, entries: &Entries, look: impl FnOnce(&mut Book) -> T) -> T {
        if entries.all.is_empty() {
            return look(&mut self.blank());
        }
        let of = {
            let mut sites = self.sites.lock().unwrap_or_else(PoisonError::into_inner);
            let fresh = || {
                let (book, number) = (self.blank(), 0);
                Arc::new(Mutex::new(OfSite { book, number }))
            };
            Arc::clone(sites.entry(site.to_owned()).or_insert_with(fresh))
        };
        // A view that failed leaves what was reckoned before as it was.
        let mut of = of.lock().unwrap_or_else(PoisonError::into_inner);
        if entries.number > of.number {
            of.number = entries.number;
            add(&mut of.book, entries);
            if of.book.site_len(site) != entries.all.len() {
                // An id that was used twice belongs to another site now.
                of.book = self.blank();
                add(&mut of.book, entries);
            }
        }
        look(&mut of.book)
    }

    fn blank(&self) -> Book {
        let mut book = Book::with_zones(Iana);
        if let Some(shelf) = &self.shelf {
            book.use_shelf(shelf.clone());
        }
        book
    }
}

fn add(book: &mut Book, entries: &Entries) {
    for entry in &entries.all {
        book.add_shared(Arc::clone(entry));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};
    use slowstone_curing::units::AtMs;
    use slowstone_logbook::Event;

    fn entries(number: u64, all: &[Value]) -> Entries {
        let all = all.iter().map(|e| Arc::new(Event::read(e).unwrap()));
        Entries {
            number,
            all: all.collect(),
        }
    }

    fn site(name: &str) -> Value {
        json!({"id": "site-0001", "site": "site-0001", "by": "Ada", "at_ms": 0, "kind": "site",
            "body": {"name": name, "tz": "Europe/Oslo"}})
    }

    fn flight(site: &str) -> Value {
        json!({"id": "flight-01", "site": site, "by": "Ada", "at_ms": 1, "kind": "flight",
            "body": {"name": "Stairs"}})
    }

    fn flights(views: &Views, entries: &Entries) -> usize {
        let view = views.look("site-0001", entries, |book| {
            book.site_view("site-0001", AtMs(1_781_074_800_000))
        });
        view.unwrap().flights.len()
    }

    #[test]
    fn entries_are_added_and_older_ones_take_nothing_away() {
        let views = Views::default();
        let before = entries(1, &[site("A")]);
        let after = entries(2, &[site("A"), flight("site-0001")]);
        assert_eq!(flights(&views, &after), 1);
        // Who asked earlier and comes later sees no less.
        assert_eq!(flights(&views, &before), 1);
    }

    #[test]
    fn an_entry_that_belongs_elsewhere_now_is_shown_no_longer() {
        let views = Views::default();
        assert_eq!(
            flights(&views, &entries(1, &[site("A"), flight("site-0001")])),
            1
        );
        assert_eq!(flights(&views, &entries(2, &[site("A")])), 0);
    }

    #[test]
    fn a_site_that_is_not_there_is_not_kept() {
        let views = Views::default();
        let none = views.look("site-0009", &entries(1, &[]), |book| {
            book.site_view("site-0009", AtMs(0))
        });
        assert_eq!(none, None);
        assert!(views.sites.lock().unwrap().is_empty());
    }
}
