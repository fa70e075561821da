//! Pure maths of concrete that hardens: units, maturity, strength, setting, evaporation,
//! heat, prediction.
//!
//! No clock, files, network, randomness or threads: `now` is always an argument. All
//! transcendental functions come from the `libm` crate, so that the hub, the desktop and
//! the browser (WASM) compute the same bytes. Start reading at [`predict`].

mod air;
pub mod bags;
pub mod best_hour;
pub mod curing_time;
pub mod desk;
pub mod evaporation;
pub mod fit;
pub mod form_pressure;
pub mod handling;
pub mod heat;
pub mod learn;
pub mod lifting;
pub mod limits;
pub mod maturity;
pub mod placing;
pub mod predict;
pub mod protect;
pub mod setting;
pub mod stairs;
pub mod strength;
pub mod sun;
pub mod units;
