//! How what is known is written for people: the words of a language, and times, numbers and
//! units in the way of a site.
//!
//! [`words`] are the Fluent messages that the web app reads too, [`formats`] put a site's
//! clock, units and codes into them, [`zones`] are the clocks of the world. Nothing about
//! concrete is reckoned here, and nothing is drawn: see the crates `record` and `remind`.

pub mod formats;
pub mod words;
pub mod zones;
