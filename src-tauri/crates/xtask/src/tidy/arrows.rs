//! Which crate of the house may use which. The arrows go one way: the pure crates
//! know nothing of the hub, the hub nothing of the window. Read from the tables of
//! dependencies in each Cargo.toml, development ones included: a test that needs an
//! arrow back belongs further up.

use super::finding::Finding;

/// Each crate and the crates of the house it may use.
const ARROWS: &[(&str, &[&str])] = &[
    ("slowstone-curing", &[]),
    ("slowstone-colour", &[]),
    ("slowstone-logbook", &["curing", "colour"]),
    ("slowstone-sync", &[]),
    ("slowstone-store", &["sync"]),
    ("slowstone-photo", &["colour"]),
    ("slowstone-wording", &["curing", "logbook"]),
    (
        "slowstone-record",
        &["curing", "logbook", "photo", "wording"],
    ),
    ("slowstone-remind", &["curing", "logbook", "wording"]),
    ("slowstone-wasm", &["curing", "logbook", "sync"]),
    (
        "slowstone-hub",
        &[
            "curing", "colour", "logbook", "sync", "store", "photo", "wording", "record", "remind",
        ],
    ),
    ("slowstone-desktop", &["hub"]),
    ("slowstone-xtask", &[]),
];

/// What the crates in the folder tests/ may use: anything but these.
const NOT_FOR_TESTS: &[&str] = &["desktop", "xtask"];

/// Crates that a pure crate has no use for: they bring a clock, files, the network,
/// threads, chance or a voice.
const NOT_PURE: &[&str] = &[
    "tokio",
    "async-std",
    "futures",
    "rayon",
    "tracing",
    "log",
    "env_logger",
    "rand",
    "getrandom",
    "fastrand",
    "reqwest",
    "ureq",
    "axum",
    "hyper",
    "rusqlite",
    "fs4",
    "tempfile",
    "uuid",
    "time",
];

/// Findings in the manifest at `path`; none in any other file.
pub fn check(path: &str, text: &str) -> Vec<Finding> {
    if path == "Cargo.toml" || !path.ends_with("Cargo.toml") {
        return Vec::new();
    }
    let name = package(text).unwrap_or_default();
    let allowed = ARROWS
        .iter()
        .find(|(known, _)| *known == name)
        .map(|(_, allowed)| *allowed);
    if allowed.is_none() && !path.starts_with("tests/") {
        let advice = format!("say in tidy/arrows.rs which crates `{name}` may use");
        return vec![Finding::new(path, 1, advice)];
    }
    let pure = super::purity::is_pure(path);
    let mut findings = Vec::new();
    for (line, dependency, development) in dependencies(text) {
        if let Some(own) = dependency.strip_prefix("slowstone-") {
            let fits = match allowed {
                Some(allowed) => allowed.contains(&own),
                None => !NOT_FOR_TESTS.contains(&own),
            };
            if !fits {
                let advice = format!(
                    "`{name}` must not use `{dependency}`: arrows go one way (DEVELOPERS.md); \
                     move the code down or pass a value in"
                );
                findings.push(Finding::new(path, line, advice));
            }
        } else if pure && !development && NOT_PURE.contains(&dependency.as_str()) {
            let advice = format!("`{name}` is pure: take `{dependency}` out, pass values in");
            findings.push(Finding::new(path, line, advice));
        }
    }
    findings
}

fn package(text: &str) -> Option<&str> {
    let line = text.lines().find(|line| line.starts_with("name = "))?;
    line.split('"').nth(1)
}

/// Line, name and whether only for development, of each dependency.
fn dependencies(text: &str) -> Vec<(usize, String, bool)> {
    let mut found = Vec::new();
    let mut table = "";
    for (index, line) in text.lines().enumerate() {
        let line = line.trim();
        if let Some(head) = line.strip_prefix('[') {
            table = head.trim_end_matches(']');
            // The long form: [dependencies.name]
            if let Some((kind, name)) = table.rsplit_once("dependencies.") {
                let development = kind.ends_with("dev-");
                found.push((index + 1, name.to_owned(), development));
            }
        } else if table.ends_with("dependencies") && !line.starts_with('#') {
            let name: String = line
                .chars()
                .take_while(|letter| letter.is_alphanumeric() || "-_".contains(*letter))
                .collect();
            if !name.is_empty() {
                found.push((index + 1, name, table.ends_with("dev-dependencies")));
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn manifest(name: &str, rest: &str) -> String {
        format!("[package]\nname = \"{name}\"\n\n{rest}\n")
    }

    #[test]
    fn an_arrow_back_is_found() {
        let text = manifest(
            "slowstone-store",
            "[dependencies]\nslowstone-hub.workspace = true",
        );
        let found = check("src-tauri/crates/store/Cargo.toml", &text);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].line, 5);
        assert!(found[0].advice.contains("must not use `slowstone-hub`"));
    }

    #[test]
    fn development_and_the_long_form_count() {
        for rest in [
            "[dev-dependencies]\nslowstone-logbook = { path = \"../logbook\" }",
            "[dependencies.slowstone-logbook]\npath = \"../logbook\"",
            "[target.'cfg(unix)'.dependencies]\nslowstone-logbook.workspace = true",
        ] {
            let text = manifest("slowstone-curing", rest);
            assert_eq!(
                check("src-tauri/crates/curing/Cargo.toml", &text).len(),
                1,
                "{rest}"
            );
        }
    }

    #[test]
    fn allowed_arrows_pass() {
        let text = manifest(
            "slowstone-hub",
            "[dependencies]\nslowstone-store.workspace = true\ntokio.workspace = true\n\
             [features]\nslowstone-x = []",
        );
        assert_eq!(check("src-tauri/crates/hub/Cargo.toml", &text), []);
        let text = manifest(
            "slowstone-tests",
            "[dependencies]\nslowstone-hub.workspace = true",
        );
        assert_eq!(check("tests/hub/Cargo.toml", &text), []);
    }

    #[test]
    fn pure_crates_take_no_runtime_but_tests_of_them_may() {
        let text = manifest("slowstone-sync", "[dependencies]\ntokio = \"1\"");
        assert_eq!(check("src-tauri/crates/sync/Cargo.toml", &text).len(), 1);
        let text = manifest("slowstone-sync", "[dev-dependencies]\nrand = \"1\"");
        assert_eq!(check("src-tauri/crates/sync/Cargo.toml", &text), []);
    }

    #[test]
    fn a_new_crate_must_take_its_place() {
        let text = manifest("slowstone-new", "");
        let found = check("src-tauri/crates/new/Cargo.toml", &text);
        assert!(found[0].advice.contains("`slowstone-new`"));
    }
}
