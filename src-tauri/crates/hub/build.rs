//! Sees to it that there is a page to embed, so that the hub builds before the web app
//! was built: then it embeds a plain page that says so.

use std::path::Path;
use std::{env, fs, io};

const PLACEHOLDER: &str = r#"<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width,initial-scale=1">
<title>Slowstone</title>
<h1>The hub is running</h1>
<p>Its pages were not built yet. Run <code>cargo xtask run</code>, which builds them and
starts the hub again.</p>
</html>
"#;

fn main() -> io::Result<()> {
    let here = env::var_os("CARGO_MANIFEST_DIR").unwrap_or_default();
    let top = Path::new(&here).join("../../..");
    let dist = top.join("ui/dist");
    let page = dist.join("index.html");
    if !page.exists() {
        fs::create_dir_all(&dist)?;
        fs::write(&page, PLACEHOLDER)?;
    }
    // A new or changed file must be embedded again.
    println!("cargo:rerun-if-changed={}", dist.display());
    println!(
        "cargo:rerun-if-changed={}",
        top.join("ui/src/words").display()
    );
    println!("cargo:rerun-if-changed={}", top.join("demo-data").display());
    println!("cargo:rerun-if-changed=build.rs");
    Ok(())
}
