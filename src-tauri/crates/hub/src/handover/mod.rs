//! Hand over: what the log knows of a site, gathered for its record, and a site that another
//! hub handed over, taken in.
//!
//! [`gather`] asks the book for the views that the screens show; the crate `record` words and
//! draws them. [`take`] reads what `record::copy` wrote. Nothing about concrete is reckoned
//! here. Addresses: [`crate::api::handover`]; commands: `slowstone export` and `import`.

pub mod take;

use crate::ledger::Ledger;
use slowstone_curing::units::AtMs;
use slowstone_logbook::view::PourView;
use slowstone_logbook::{Book, Event};
pub use slowstone_record::{Gathered, Wanted, copy, html, names, pdf, photos, tables, tell};
use slowstone_store::{BlobStore, Hash32, StoreError};
use std::io;

/// The bytes of a photo by its hash as text; none if they are not here.
///
/// # Errors
/// If the store cannot be read.
pub fn bytes_of(hash: &str, blobs: &dyn BlobStore) -> io::Result<Option<Vec<u8>>> {
    let Ok(name) = hash.parse::<Hash32>() else {
        return Ok(None);
    };
    match blobs.get(&name) {
        // One damaged photo does not keep the others here; `slowstone verify` tells of it.
        Err(StoreError::Altered { .. } | StoreError::Corrupt { .. }) => Ok(None),
        other => other.map_err(io::Error::other),
    }
}

/// Gathers what is known at `now` of a site with these entries ([`events`]); none if there is
/// no such site.
pub fn gather(book: &mut Book, events: Vec<Event>, site: &str, now: AtMs) -> Option<Gathered> {
    let view = book.site_view(site, now)?;
    let spans = book.work(site).pours;
    let ids: Vec<String> = spans.into_iter().map(|span| span.pour).collect();
    let each = ids.iter().filter_map(|id| book.pour_view(site, id, now));
    let mut pours: Vec<PourView> = each.collect();
    pours.sort_by(|a, b| {
        (a.pour.fact.started_ms, &a.pour.id).cmp(&(b.pour.fact.started_ms, &b.pour.id))
    });
    let colours = book.colours_view(site, None, now);
    Some(Gathered {
        site: view,
        pours,
        colours,
        events,
    })
}

/// Every entry of a site that this version can read: the one that made the site first, then
/// by the devices' clocks and ids, so that the same entries always stand in one order.
///
/// # Errors
/// If the log cannot be read.
pub fn events(ledger: &Ledger, site: &str) -> Result<Vec<Event>, StoreError> {
    let (mut all, mut after) = (Vec::new(), 0);
    loop {
        let page = ledger.entries_after(site, after)?;
        all.extend(page.events);
        after = page.next;
        if !page.more {
            break;
        }
    }
    all.sort_by(|a, b| {
        let first = |e: &Event| (e.id != site, e.at_ms, e.id.clone());
        first(a).cmp(&first(b))
    });
    Ok(all)
}
