//! The pure core for the browser: JSON in, JSON out, the same bytes as the hub gives.
//!
//! [`Log`] keeps entries and answers with the views of the hub; the topics of `slowstone
//! calc` (`desk`) it answers too, and it works on what a phone has to send (`phone`). `abi` is the only way in for JavaScript and the only unsafe
//! code of the project; `ui/src/lib/core.ts` is its other side. There is no clock here: every
//! question brings its `now_ms`.

#[cfg(target_arch = "wasm32")]
mod abi;
mod ask;
mod desk;
mod log;
mod phone;

pub use ask::Refused;
pub use log::Log;
