//! Predictions as a whole, against what the trade and published tables say of them.
//!
//! Through the public API alone. Each check names its source; `scene` builds pours in
//! invented weather. Unit tests of the parts stand beside them in `src`.

#![allow(clippy::expect_used, clippy::indexing_slicing)]

mod answered;
mod any;
mod criteria;
mod doubted;
mod observed;
mod order;
mod placed;
mod published;
mod scene;
mod trade;
mod warned;
mod weight;
