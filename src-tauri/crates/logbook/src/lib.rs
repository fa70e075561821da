//! The site log: events, what they add up to, and when each step may be touched.
//!
//! Pure: no clock, files, network, randomness or threads; `now` is an argument. Events
//! ([`event`]) are facts that are never altered; [`book::Book`] adds them up, in any order;
//! [`view`] turns the sum into what a screen shows, asking `slowstone_curing` when each
//! thing may be done; [`plan`] says what to lay out, buy and do in which order. Numbers that
//! cannot be are refused by [`limits`], why is said by [`misfit`]; time zones come from
//! outside through [`zones`].

pub mod book;
pub mod event;
pub mod facts;
pub mod filing;
pub mod limits;
pub mod logger;
pub mod misfit;
pub mod plan;
pub mod view;
pub mod zone_places;
pub mod zones;

pub use book::{Book, Problem};
pub use event::{Event, EventError};
pub use view::fold;
pub use zones::Zones;
