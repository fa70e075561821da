//! From the sum of the log to what a screen shows.
//!
//! [`inputs`] turns records into what the engine needs, [`cache`] keeps predictions whose
//! inputs did not change, `told` joins each with what was logged to the one answer
//! ([`slowstone_curing::answer`]), [`site`] and [`pour`] lay out the two screens, `due` the
//! list of what is due. Data types are in [`types`].

mod advice;
mod ahead;
pub(crate) mod cache;
mod clocks;
pub mod colour;
mod differed;
pub mod dose;
mod due;
mod inputs;
mod learned;
mod photos;
mod pour;
mod remind;
mod site;
mod told;
pub mod types;
pub use advice::{Advice, BestHours};
pub(crate) use ahead::{Ahead, Times};
pub use cache::Shelf;
pub use clocks::{ClockDoubt, ClockWhy, Shifted};
pub(crate) use inputs::assumed_mix;
pub use photos::{CellState, Column, PhotoCell, PhotoPlace, PhotoRow, PhotosView};
pub(crate) use pour::mixed;
pub use remind::{Curing, ToRemind};
pub use site::fold;
pub(crate) use told::begun;
pub use types::*;
