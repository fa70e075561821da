//! Every promise of README.md is played by a test, and every browser test plays a promise.
//! A test quotes the words that it holds the program to, in a comment of one line:
//! `Promise: "words of the README"`. A quote that the README no longer says, a line of the
//! README that nobody quotes, and a browser test without a quote are found. Whether a test
//! is good enough is for people to judge; tests/e2e/README.md says how they are written.

use super::finding::Finding;

/// The page that promises.
pub const PAGE: &str = "README.md";
/// What makes no promise: it leads elsewhere.
const LEFT_OUT: &[&str] = &["## For developers"];
/// A quote that is shorter would be found anywhere.
const SHORTEST: usize = 12;

/// A quote, and where it stands.
#[derive(Debug, PartialEq, Eq)]
pub struct Quote {
    path: String,
    line: usize,
    words: String,
}

/// True for a file whose quotes count: it plays something.
fn is_test(path: &str, text: &str) -> bool {
    is_spec(path)
        || path == "tests/e2e/desktop.mjs"
        || path.ends_with(".rs") && text.contains("test]")
}

fn is_spec(path: &str) -> bool {
    path.starts_with("tests/e2e/") && path.ends_with(".spec.mjs")
}

/// What a file quotes, and what is wrong with it.
pub fn quotes(path: &str, text: &str) -> (Vec<Quote>, Vec<Finding>) {
    if !is_test(path, text) {
        return (Vec::new(), Vec::new());
    }
    let found: Vec<Quote> = text
        .lines()
        .enumerate()
        .filter_map(|(index, line)| {
            let comment = line.trim_start().strip_prefix("//")?;
            let comment = comment.trim_start_matches(['/', '!']).trim();
            let words = comment.strip_prefix("Promise: \"")?.strip_suffix('"')?;
            let (path, words) = (path.to_owned(), words.to_owned());
            Some(Quote {
                path,
                line: index + 1,
                words,
            })
        })
        .collect();
    let mut findings = Vec::new();
    if found.is_empty() && is_spec(path) {
        let advice = "say at its head which words of README.md it plays: // Promise: \"…\"";
        findings.push(Finding::new(path, 1, advice));
    }
    (found, findings)
}

/// Quotes that the page does not say, and lines of the page that nobody quotes.
pub fn check(page: &str, quotes: &[Quote]) -> Vec<Finding> {
    let mut findings = Vec::new();
    for quote in quotes {
        let short = quote.words.len() < SHORTEST;
        if short || !page.contains(&quote.words) {
            let advice = match short {
                true => "quote more of README.md, so that it can be found there",
                false => "README.md does not say this any more: quote what it says now",
            };
            findings.push(Finding::new(&quote.path, quote.line, advice));
        }
    }
    for (line, words) in promises(page) {
        if !quotes.iter().any(|quote| words.contains(&quote.words)) {
            let advice =
                "no test quotes these words: // Promise: \"…\" at the head of one that plays them";
            findings.push(Finding::new(PAGE, line, advice));
        }
    }
    findings
}

/// The lines of the page that promise something: paragraphs, points, rows, commands.
fn promises(page: &str) -> Vec<(usize, &str)> {
    let mut found = Vec::new();
    let mut open = false;
    let mut fenced = false;
    let lines: Vec<&str> = page.lines().collect();
    for (index, line) in lines.iter().enumerate() {
        if line.starts_with("```") {
            fenced = !fenced;
        } else if line.starts_with("## ") && !fenced {
            open = !LEFT_OUT.contains(line);
        } else if open && !line.trim().is_empty() && !is_frame(line, lines.get(index + 1)) {
            found.push((index + 1, *line));
        }
    }
    found
}

/// The head of a table and the rule below it say nothing by themselves.
fn is_frame(line: &str, next: Option<&&str>) -> bool {
    let is_rule = |line: &str| line.starts_with("|---");
    is_rule(line) || line.starts_with('|') && next.is_some_and(|next| is_rule(next))
}

#[cfg(test)]
mod tests {
    use super::*;

    const README: &str = "# Name\n\nWhat it is for.\n\n## Use\n\n1. Press the red button.\n2. Wait for a minute.\n\n| When | What |\n|---|---|\n| later | it opens by itself |\n\n```sh\nslowstone status\n```\n\n## For developers\n\nElsewhere.\n";

    fn of(path: &str, text: &str) -> Vec<Quote> {
        quotes(path, text).0
    }

    #[test]
    fn lines_that_nobody_quotes_are_found() {
        let spec = "// A button.\n// Promise: \"Press the red button\"\ncheck('x', y)\n";
        let rust = "/// Promise: \"it opens by itself\"\n#[test]\nfn opens() {}\n";
        let mut all = of("tests/e2e/button.spec.mjs", spec);
        all.extend(of("src-tauri/crates/hub/tests/open.rs", rust));
        let found: Vec<usize> = check(README, &all).iter().map(|f| f.line).collect();
        assert_eq!(found, [8, 15]);
    }

    #[test]
    fn a_quote_that_is_gone_or_too_short_is_found() {
        let spec = "// Promise: \"Press the green button\"\n// Promise: \"Press\"\n";
        let found = check("# Name\n", &of("tests/e2e/button.spec.mjs", spec));
        assert_eq!(found.len(), 2);
        assert!(found[0].advice.contains("any more") && found[1].advice.contains("quote more"));
    }

    #[test]
    fn a_browser_test_without_a_promise_is_found_and_other_files_do_not_count() {
        assert_eq!(
            quotes("tests/e2e/lost.spec.mjs", "check('x', y)\n").1.len(),
            1
        );
        assert!(
            of(
                "src-tauri/crates/hub/src/main.rs",
                "// Promise: \"Press the red button\"\n"
            )
            .is_empty()
        );
        assert!(of("DEVELOPERS.md", "// Promise: \"Press the red button\"\n").is_empty());
    }
}
