//! Nothing of one machine and nothing of one registry mirror gets into the tree:
//! paths that exist on one machine only, names of mirrors, download addresses in
//! lock files other than the registries' own. Such a thing works for one person and
//! breaks the build of the next.

use super::finding::Finding;

/// Beginnings of paths that are somebody's own. Put together from halves, so that
/// this file does not hold what it looks for.
const PATHS: &[&str] = &[
    concat!("/wo", "rk/"),
    concat!("/ro", "ot/"),
    concat!("/ho", "me/"),
    concat!("/Us", "ers/"),
    concat!("C:\\", "Users\\"),
];
/// The folder for passing files; tests should ask the system for it.
const PASSING: &str = concat!("/tm", "p/");
/// Names that only mirrors and their front doors have.
const MIRRORS: &[&str] = &[
    concat!("arti", "factory"),
    concat!("index.cra", "tes.io"),
    concat!("static.cra", "tes.io"),
    concat!("_auth", "Token"),
];

const CARGO: &str = "registry+https://github.com/rust-lang/crates.io-index";
const NPM: &str = "https://registry.npmjs.org/";

/// Paths and hosts of one machine in any text.
pub fn machine(path: &str, text: &str) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (index, line) in text.lines().enumerate() {
        for start in PATHS.iter().chain([&PASSING]) {
            if begins_a_path(line, start) {
                let advice = format!(
                    "`{start}` is a path of one machine: make it relative, or ask for it at run time"
                );
                findings.push(Finding::new(path, index + 1, advice));
            }
        }
        for mirror in MIRRORS {
            if line.contains(mirror) {
                let advice = format!("`{mirror}` belongs to one registry mirror: take it out");
                findings.push(Finding::new(path, index + 1, advice));
            }
        }
    }
    findings
}

/// True when `start` stands in `line` where a path begins, not in the midst of one.
fn begins_a_path(line: &str, start: &str) -> bool {
    line.match_indices(start).any(|(at, _)| {
        let before = line.get(..at).and_then(|before| before.chars().next_back());
        !before.is_some_and(|letter| letter.is_alphanumeric() || "._-*/}$".contains(letter))
    })
}

/// Download addresses in lock files that are not the registries' own.
pub fn locks(path: &str, text: &str) -> Vec<Finding> {
    let file = path.rsplit('/').next().unwrap_or(path);
    let (key, own) = match file {
        "Cargo.lock" => ("source = ", CARGO),
        "package-lock.json" => ("\"resolved\": ", NPM),
        _ => return Vec::new(),
    };
    let mut findings = Vec::new();
    for (index, line) in text.lines().enumerate() {
        let Some(value) = line.trim_start().strip_prefix(key) else {
            continue;
        };
        let address = value.trim_end_matches(',').trim_matches('"');
        let fits = match file {
            "Cargo.lock" => address == own,
            _ => address.starts_with(own),
        };
        if !fits {
            let advice = format!("`{address}` is not the public registry: lock the file anew");
            findings.push(Finding::new(path, index + 1, advice));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_of_one_machine_are_found() {
        for start in PATHS.iter().chain([&PASSING]) {
            let text = format!("fine\nopen(\"{start}x\")\n");
            let found = machine("a.md", &text);
            assert_eq!(found.len(), 1, "{start}");
            assert_eq!(found[0].line, 2);
        }
        let inside = format!("https://example.org{}a and src{}b", PATHS[0], PASSING);
        assert_eq!(machine("a.md", &inside), []);
    }

    #[test]
    fn mirrors_are_found() {
        let text = format!("see {}", MIRRORS[0]);
        assert_eq!(machine("a.md", &text).len(), 1);
    }

    #[test]
    fn strange_lock_addresses_are_found() {
        let good = format!("source = \"{CARGO}\"\n");
        assert_eq!(locks("Cargo.lock", &good), []);
        assert_eq!(
            locks("Cargo.lock", "source = \"git+https://example.org/a\"\n").len(),
            1
        );
        let good = format!("      \"resolved\": \"{NPM}a/-/a-1.0.0.tgz\",\n");
        assert_eq!(locks("ui/package-lock.json", &good), []);
        let bad = "\"resolved\": \"https://example.org/a.tgz\",\n";
        assert_eq!(locks("ui/package-lock.json", bad).len(), 1);
        assert_eq!(locks("notes.md", bad), []);
    }
}
