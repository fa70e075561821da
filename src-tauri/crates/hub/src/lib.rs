//! The hub: the daemon that keeps the log and the photos and answers phones and browsers.
//!
//! [`start`] opens the data folder, listens on the loopback address and serves until
//! [`Running::stop`]. Requests come through [`guard`] and [`server`] to [`api`]; what is
//! stored goes through [`ledger`]; photos are understood by the crate `photo`. The command line is in
//! [`cli`], who may come in is in [`trust`]. Nothing about concrete is reckoned here: see the
//! crates `logbook` and `curing`. Public is what the desktop shell and the tests use.

mod admit;
pub mod api;
mod assets;
mod backup;
pub mod caller;
mod chance;
pub mod cli;
mod clock;
mod damage;
pub mod demo;
mod entered;
mod error;
mod firm;
mod forecast;
pub mod guard;
mod handover;
mod housework;
mod inbox;
mod inspect;
mod intake;
mod leaves;
pub mod ledger;
mod limits;
mod listeners;
mod lock;
mod move_store;
mod named;
pub mod openapi;
mod presence;
mod private;
mod reckoned;
mod refusal;
pub mod remind;
pub mod route;
mod running;
mod search;
mod server;
pub mod shell;
mod state;
pub mod trust;
mod uploads;
mod views;

use slowstone_photo::flats;
pub use slowstone_photo::{self as photo, colour, thumbs};
pub use slowstone_wording::words;
use slowstone_wording::zones;

pub use clock::Clock;
pub use demo::Demo;
pub use error::HubError;
pub use listeners::Patience;
pub use running::{Config, Running, start, start_on};
pub use state::Signal;
