//! Checks against values from outside the project.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

mod colour;
mod colour_dose;
mod curing_time;
mod evaporation;
mod fit;
mod maturity;
mod nist;
mod pieces;
mod setting;
mod sky;
mod strength;
mod sun;
mod table;
mod thermal;
