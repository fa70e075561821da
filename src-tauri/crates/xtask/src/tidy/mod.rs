//! The rules of the house that no compiler checks: which crate may use which (arrows.rs),
//! that no files use each other in a circle (circles.rs), what the pure crates must not touch
//! (purity.rs), opening words and names of files (layout.rs), that nothing of one machine or
//! one registry mirror gets into the tree (origins.rs), that each threat has its test
//! (threats.rs) and each promise of README.md is played (promises.rs), and where unsafe code
//! may stand (unsafety.rs). Every rule is a function of text, so that its test needs no files.
//! A finding says where and what to do.

mod arrows;
mod circles;
mod finding;
mod layout;
mod origins;
mod promises;
mod purity;
mod threats;
mod unsafety;

use crate::outcome::Outcome;
use crate::process::{Job, root};
use finding::Finding;

/// Looks through every file under version control or about to be.
///
/// # Errors
/// When there is anything to put right, after printing it.
pub fn run() -> Outcome {
    let words = [
        "ls-files",
        "-z",
        "--cached",
        "--others",
        "--exclude-standard",
    ];
    let listed = Job::new("git").args(words).text()?;
    let paths: Vec<&str> = listed.split('\0').filter(|path| !path.is_empty()).collect();
    let mut findings = layout::top(&paths);
    let mut read = 0;
    let mut sources = Vec::new();
    let mut rust = Vec::new();
    let mut page = None;
    let mut readme = None;
    let mut quotes = Vec::new();
    for path in &paths {
        // A file that was taken away but not yet committed so is no fault.
        let Ok(bytes) = std::fs::read(root().join(path)) else {
            continue;
        };
        findings.extend(layout::name(path));
        if let Some(text) = as_text(bytes) {
            read += 1;
            findings.extend(check(path, &text));
            let (quoted, wrong) = promises::quotes(path, &text);
            quotes.extend(quoted);
            findings.extend(wrong);
            if path.ends_with(".rs") {
                rust.push(((*path).to_owned(), text.clone()));
            }
            if *path == promises::PAGE {
                readme = Some(text);
            } else if *path == threats::PAGE {
                page = Some(text);
            } else if threats::may_hold_tests(path) {
                sources.push(text);
            }
        }
    }
    findings.extend(circles::check(&rust));
    findings.extend(page.iter().flat_map(|page| threats::check(page, &sources)));
    findings.extend(
        readme
            .iter()
            .flat_map(|page| promises::check(page, &quotes)),
    );
    findings.sort_by(|a, b| (&a.path, a.line).cmp(&(&b.path, b.line)));
    findings.dedup();
    for finding in &findings {
        println!("{}:{}: {}", finding.path, finding.line, finding.advice);
    }
    match findings.len() {
        0 => {
            println!("tidy: {read} files are in order");
            Ok(())
        }
        1 => Err("one thing to put right".to_owned()),
        count => Err(format!("{count} things to put right")),
    }
}

/// Every rule that reads one file.
fn check(path: &str, text: &str) -> Vec<Finding> {
    let mut findings = origins::machine(path, text);
    findings.extend(origins::locks(path, text));
    findings.extend(layout::opening(path, text));
    findings.extend(arrows::check(path, text));
    findings.extend(purity::check(path, text));
    findings.extend(unsafety::check(path, text));
    findings
}

/// The text of a file, unless it is a picture or the like.
fn as_text(bytes: Vec<u8>) -> Option<String> {
    match bytes.contains(&0) {
        true => None,
        false => String::from_utf8(bytes).ok(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pictures_are_no_text() {
        assert_eq!(as_text(vec![0x89, b'P', 0]), None);
        assert_eq!(as_text(b"a".to_vec()), Some("a".to_owned()));
    }

    #[test]
    fn every_rule_is_asked() {
        let bad = "fn f() -> f64 { let x = std::fs::read(\"a\"); 1.0_f64.exp() }\n";
        let found = check("src-tauri/crates/curing/src/x.rs", bad);
        let advice: String = found.iter().map(|f| f.advice.as_str()).collect();
        for word in ["//!", "std::fs", "libm"] {
            assert!(advice.contains(word), "{word} in {advice}");
        }
    }
}
