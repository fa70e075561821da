//! Every threat that the docs name has an answer that a test holds to: the last column of
//! the table in tests/hub/THREATS.md names tests, and each of them must be there, in Rust
//! (`fn name(`) or in a browser test (`check('name'`).

use super::finding::Finding;

/// The page of threats.
pub const PAGE: &str = "tests/hub/THREATS.md";

/// True when a test of that name can stand in this file.
pub fn may_hold_tests(path: &str) -> bool {
    path.ends_with(".rs") || path.ends_with(".spec.mjs")
}

/// Names of tests that are in none of `sources`, and rows without any.
pub fn check(page: &str, sources: &[String]) -> Vec<Finding> {
    let mut findings = Vec::new();
    let rows = page
        .lines()
        .enumerate()
        .filter(|(_, line)| line.starts_with("| "));
    for (index, line) in rows.skip(1) {
        let cell = line.trim_end_matches([' ', '|']).rsplit('|').next();
        let names: Vec<&str> = cell
            .unwrap_or_default()
            .split('`')
            .skip(1)
            .step_by(2)
            .collect();
        if names.is_empty() {
            let advice = "name a test that holds the answer, in the last column";
            findings.push(Finding::new(PAGE, index + 1, advice));
        }
        for name in names {
            let ways = [format!("fn {name}("), format!("check('{name}'")];
            let there = |source: &String| ways.iter().any(|way| source.contains(way.as_str()));
            if !sources.iter().any(there) {
                let advice = format!("there is no test `{name}`: correct the name, or write it");
                findings.push(Finding::new(PAGE, index + 1, advice));
            }
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_test_that_is_not_there_is_found() {
        let page = "| Threat | Answer | Test |\n|---|---|---|\n| a | b | `one`, `two words` |\n| c | d | `gone` |\n| e | f | |\n";
        let sources = ["fn one() {}".to_owned(), "check('two words', x)".to_owned()];
        let found = check(page, &sources);
        let lines: Vec<usize> = found.iter().map(|f| f.line).collect();
        assert_eq!(lines, [4, 5]);
        assert!(found[0].advice.contains("gone"));
    }
}
