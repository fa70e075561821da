//! Pure maths of concrete that hardens: units, maturity, strength, setting, evaporation,
//! heat, prediction.
//!
//! No clock, files, network, randomness or threads: `now` is always an argument. All
//! transcendental functions come from the `libm` crate, so that the hub, the desktop and
//! the browser (WASM) compute the same bytes. Start reading at [`predict`].

mod air;
pub mod answer;
pub mod bags;
pub mod best_hour;
pub mod curing_time;
pub mod desk;
pub mod evaporation;
pub mod facts;
pub mod fit;
pub mod form_pressure;
pub mod handling;
pub mod heat;
pub mod lifting;
pub mod limits;
pub mod maturity;
pub mod milestone;
pub mod placing;
mod plain;
pub mod predict;
pub mod prediction;
pub mod protect;
pub mod setting;
pub mod stairs;
pub mod strength;
pub mod sun;
pub mod units;

pub use predict::learn;
