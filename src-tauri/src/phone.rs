//! The way in on a phone, where there is no `main` and nobody to give an exit code to.
//! Never built for a phone yet; that it compiles is tested (`as-phone` in Cargo.toml).
//! Next: lib.rs.

// The function that a phone's system calls is exported by name.
#![allow(unsafe_code)]

/// Starts the shell.
#[tauri::mobile_entry_point]
pub fn run() {
    super::start();
}
