//! The way in on a phone, where there is no `main` and nobody to give an exit code to.
//! Never built for a phone yet; that it compiles is tested (`as-phone` in Cargo.toml).
//! Next: lib.rs.

// The function that a phone's system calls is exported by name.
#![allow(unsafe_code, missing_docs)]

#[cfg(not(feature = "as-phone"))]
use tauri::mobile_entry_point;
// Tauri passes it on for phones alone.
#[cfg(feature = "as-phone")]
use tauri_macros::mobile_entry_point;

/// Starts the shell.
#[mobile_entry_point]
pub fn run() {
    super::start();
}
