//! Unsafe code stands in one place, where JavaScript calls into the core: `wasm/src/abi.rs`.
//! The compiler denies it everywhere (`unsafe_code` in the top Cargo.toml), but a file can
//! allow it to itself; here nobody else may. Each block there says why it is safe.

use super::finding::{Finding, code_of};

/// The one file.
const PLACE: &str = "src-tauri/crates/wasm/src/abi.rs";
/// Has no unsafe code, but a macro of Tauri makes an exported name of its function, which
/// counts as such.
const EXPORT: &str = "src-tauri/src/phone.rs";
/// How unsafe code begins, and how it is allowed.
const WORDS: [&str; 7] = [
    "unsafe {",
    "unsafe fn",
    "unsafe impl",
    "unsafe trait",
    "unsafe extern",
    "[unsafe(",
    "unsafe_code",
];

/// Findings in a Rust file or a manifest; none in any other file.
pub fn check(path: &str, text: &str) -> Vec<Finding> {
    let manifest = path.ends_with("Cargo.toml") && path != "Cargo.toml";
    if manifest && path.starts_with("src-tauri") && !text.contains("[lints]\nworkspace = true") {
        let advice = "take the lints of the workspace: `[lints]`, `workspace = true`";
        return vec![Finding::new(path, 1, advice)];
    }
    if !path.ends_with(".rs") || path == PLACE {
        return Vec::new();
    }
    let lines = text.lines().enumerate();
    lines
        .filter(|(_, line)| {
            let code = code_of(line);
            let may = |word: &&str| path == EXPORT && *word == "unsafe_code";
            let mut words = WORDS.iter().filter(|word| !may(word));
            words.any(|word| code.contains(word))
        })
        .map(|(index, _)| {
            let advice = format!("unsafe code stands in {PLACE} alone: find a safe way");
            Finding::new(path, index + 1, advice)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_unsafe_is_found_everywhere_but_at_the_border() {
        let text = concat!("fn f() {\n    uns", "afe { g() }\n}\n");
        let found = check("src-tauri/crates/hub/src/a.rs", text);
        assert_eq!(found.iter().map(|f| f.line).collect::<Vec<_>>(), [2]);
        assert_eq!(check(PLACE, text), []);
        let allowed = concat!("#![allow(uns", "afe_code)]\n");
        assert_eq!(check("tests/sim/src/lib.rs", allowed).len(), 1);
        assert_eq!(check(EXPORT, allowed), []);
        assert_eq!(check(EXPORT, text).len(), 1);
        let said = "// unsafe { }\nlet a = \"unsafe {\";\n    style 'unsafe-inline';\n";
        assert_eq!(check("a.rs", said), []);
    }

    #[test]
    fn every_crate_takes_the_lints_of_the_workspace() {
        let path = "src-tauri/crates/new/Cargo.toml";
        assert_eq!(check(path, "[package]\nname = \"new\"\n").len(), 1);
        assert_eq!(check(path, "[lints]\nworkspace = true\n"), []);
    }
}
