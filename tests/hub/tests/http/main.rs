//! The hub over HTTP, as a phone meets it: a real server on a real port, a real SQLite
//! file, real picture bytes. What needs the program itself is in
//! `src-tauri/crates/hub/tests/process.rs`.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]

mod client;
mod colours;
mod edges;
mod hostile_phone;
mod import;
mod job;
mod monsters;
mod offline;
mod photos;
mod picture;
mod plan;
mod refusals;
mod safety;
mod search;
mod streams;
