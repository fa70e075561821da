//! Hand over: a site's record for people (PDF, HTML), for tables (CSV) and for another hub.
//!
//! [`gather`] asks the book for the views that the screens show; [`tell`] words them as one
//! [`doc::Doc`], which [`html`] and [`pdf`] draw. [`copy`] writes everything of a site so that
//! [`take`] can read it again; [`places`] takes positions out of entries and photos. Nothing
//! about concrete is reckoned here. Addresses: [`crate::api::handover`]; commands:
//! `slowstone export` and `import`.

pub mod copy;
pub mod curve;
pub mod doc;
pub mod html;
pub mod names;
pub mod pdf;
pub mod photos;
mod pieces;
pub mod places;
pub mod tables;
pub mod take;
pub mod tell;

use crate::ledger::Ledger;
use slowstone_curing::units::AtMs;
use slowstone_logbook::Event;
use slowstone_logbook::view::colour::ColoursView;
use slowstone_logbook::view::{PourView, SiteView};
use slowstone_store::{BlobStore, Hash32, StoreError};
pub use slowstone_wording::formats as ways;
use std::io;

/// What somebody wants handed over.
#[derive(Clone, Debug, Default)]
pub struct Wanted {
    /// Positions stay in it. They are taken out when this is false.
    pub gps: bool,
    /// Languages, as in an `Accept-Language` header.
    pub languages: String,
}

/// Everything that a record of a site is made from.
#[derive(Debug)]
pub struct Gathered {
    /// The site.
    pub site: SiteView,
    /// Every pour, in the order in which they were poured.
    pub pours: Vec<PourView>,
    /// Its colours.
    pub colours: Option<ColoursView>,
    /// Every entry of the site, in the order of [`copy`].
    pub events: Vec<Event>,
}

/// Gives the bytes of a photo by its hash as text; none if they are not here.
pub type Originals<'a> = &'a dyn Fn(&str) -> io::Result<Option<Vec<u8>>>;

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
        Err(StoreError::Corrupt { .. }) => Ok(None),
        other => other.map_err(io::Error::other),
    }
}

/// Gathers what is known of a site at `now`; none if there is no such site.
///
/// # Errors
/// If the log cannot be read.
pub fn gather(ledger: &mut Ledger, site: &str, now: AtMs) -> Result<Option<Gathered>, StoreError> {
    let Some(view) = ledger.book().site_view(site, now) else {
        return Ok(None);
    };
    let events = events(ledger, site)?;
    let spans = ledger.book().pour_spans(site);
    let ids: Vec<String> = spans.into_iter().map(|span| span.pour).collect();
    let each = ids
        .iter()
        .filter_map(|id| ledger.book().pour_view(site, id, now));
    let mut pours: Vec<PourView> = each.collect();
    pours.sort_by(|a, b| {
        (a.pour.fact.started_ms, &a.pour.id).cmp(&(b.pour.fact.started_ms, &b.pour.id))
    });
    let colours = ledger.book().colours_view(site, None, now);
    Ok(Some(Gathered {
        site: view,
        pours,
        colours,
        events,
    }))
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
