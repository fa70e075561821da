//! The hub: the daemon that keeps the log and the photos and answers phones and browsers.
//!
//! [`start`] opens the data folder, listens on the loopback address and serves until
//! [`Running::stop`]. Requests come through [`guard`] and [`server`] to [`api`]; what is
//! stored goes through [`ledger`]; photos are understood by [`photo`]. The command line
//! is in [`cli`]. Who may come in is in [`trust`]. Nothing about concrete is reckoned here: see the crates `logbook` and
//! `curing`.

pub mod api;
mod assets;
pub mod backup;
pub mod chance;
pub mod cli;
pub mod clock;
pub mod colour;
pub mod demo;
mod error;
pub mod firm;
pub mod flats;
pub mod forecast;
pub mod guard;
pub mod handover;
pub mod hourly;
pub mod inbox;
pub mod inspect;
pub mod intake;
pub mod ledger;
pub mod lock;
pub mod move_store;
pub mod openapi;
pub mod photo;
pub mod presence;
pub mod reckoned;
pub mod remind;
pub mod running;
pub mod search;
pub mod server;
pub mod shell;
pub mod state;
pub mod thumbs;
pub mod trust;
pub mod uploads;
pub mod words;
pub mod zones;

pub use clock::Clock;
pub use demo::Demo;
pub use error::HubError;
pub use running::{Config, Running, start, start_on};
pub use state::Signal;
