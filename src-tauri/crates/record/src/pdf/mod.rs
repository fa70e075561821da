//! The record as PDF: laid out on pages ([`flow`]), then drawn and tagged ([`draw`]).
//!
//! A4, or US Letter where a site is built in inches. Text stays text (its font is embedded, in
//! the part that is used), the document has a title, a language, bookmarks and a tree of tags
//! for screen readers. What it says is in [`super::tell`].

mod draw;
mod face;
mod figures;
mod flow;
mod grid;

use super::doc::Doc;
use face::Faces;

/// The file. `picture` gives a small JPEG of a photo by its hash, or none.
///
/// # Errors
/// Why it cannot be written, for the log of the hub.
pub fn write(doc: &Doc, picture: &dyn Fn(&str) -> Option<Vec<u8>>) -> Result<Vec<u8>, String> {
    let faces = Faces::read()?;
    let laid = flow::lay(doc, &faces, picture);
    draw::draw(doc, laid, &faces)
}
