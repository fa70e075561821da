//! A site's record for people (PDF, HTML), for tables (CSV) and for another hub.
//!
//! Everything is made from the views that the screens show ([`Gathered`]): [`tell`] words them
//! as one [`doc::Doc`], which [`html`] and [`pdf`] draw. [`copy`] writes everything of a site
//! so that another hub can take it in; [`places`] takes positions out of entries. Nothing
//! about concrete is reckoned here, and nothing is asked of a log or a store.

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
pub mod tell;

use slowstone_logbook::Event;
use slowstone_logbook::view::colour::ColoursView;
use slowstone_logbook::view::{PourView, SiteView};
use slowstone_wording::formats as ways;
use std::io;

/// What somebody wants handed over.
#[derive(Clone, Debug, Default)]
pub struct Wanted {
    /// Positions stay in it. They are taken out when this is false.
    pub gps: bool,
    /// Languages, as in an `Accept-Language` header.
    pub languages: String,
    /// Only these photos, by their ids; all if none are named.
    pub photos: Option<Vec<String>>,
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
