//! Reads tauri.conf.json and the icons for the shell.
fn main() {
    tauri_build::build();
}
