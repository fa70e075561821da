//! Invented sites whose truth is known, to ask of the engine: are its ranges honest, and
//! does it learn?
//!
//! Nothing here is the engine's own ensemble: weather is a random walk about a daily
//! course ([`weather`]), concrete a two-dimensional section with its own solver and one of
//! five published strength curves ([`concrete`]), people look and read with errors and
//! only now and then ([`site`]). The sun's position and the shape of facts are shared. The
//! questions are in `tests/`.

pub mod chance;
pub mod concrete;
pub mod site;
pub mod weather;
