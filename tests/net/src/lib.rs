//! Nothing here: the simulations are in `tests/`.
//!
//! They need no hub on this machine's network: `turmoil` runs phones, hub, network and time
//! in one thread, by a seed. What a real process leaves behind when it is killed is in
//! `src-tauri/crates/hub/tests/crash.rs`.
