//! Checks against values from outside the project.

mod curing_time;
mod evaporation;
mod maturity;
mod nist;
mod pieces;
mod setting;
mod strength;
mod sun;
mod table;
mod thermal;
