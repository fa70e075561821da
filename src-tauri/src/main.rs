//! The desktop program. Everything is in the library, so that a phone build,
//! which has no `main`, starts the same way. Next: lib.rs.

// A release build on Windows opens no console beside the window.
#![cfg_attr(not(debug_assertions), windows_subsystem = "windows")]

fn main() -> std::process::ExitCode {
    slowstone_desktop::start()
}
