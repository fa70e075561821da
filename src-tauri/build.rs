//! Reads tauri.conf.json and the icons for the shell. With the feature `as-phone` it says
//! what Tauri says for a phone, so that a compiler of this machine sees the phone's code.
fn main() {
    if std::env::var_os("CARGO_FEATURE_AS_PHONE").is_none() {
        tauri_build::build();
        return;
    }
    println!("cargo::rustc-check-cfg=cfg(desktop, mobile)");
    println!("cargo::rustc-cfg=mobile");
    println!("cargo::rustc-env=TAURI_ANDROID_PACKAGE_NAME_PREFIX=org_slowstone");
    println!("cargo::rustc-env=TAURI_ANDROID_PACKAGE_NAME_APP_NAME=desktop");
}
