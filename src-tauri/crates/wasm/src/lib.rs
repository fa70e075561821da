//! The pure core for the browser: JSON in, JSON out, the same bytes as the hub gives.
//!
//! Compiled twice, because a phone on the site needs the one and seldom the other: with
//! the feature `log` it is [`Log`] (`core.wasm`), with `desk` it is [`desk`]
//! (`desk.wasm`). `abi` is the only way in for JavaScript and the only unsafe code of the
//! project; `ui/src/lib/core.ts` is its other side. There is no clock here: every question
//! brings its `now_ms`.

#[cfg(all(target_arch = "wasm32", any(feature = "log", feature = "desk")))]
mod abi;
mod ask;
#[cfg(feature = "desk")]
pub mod desk;
#[cfg(feature = "log")]
mod log;

pub use ask::Refused;
#[cfg(feature = "log")]
pub use log::Log;
