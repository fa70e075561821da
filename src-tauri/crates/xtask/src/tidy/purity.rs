//! What the pure crates must not touch: clock, files, network, threads, chance,
//! asynchronous code and logging, so that the same input gives the same answer on a
//! phone and in the hub. And no functions of f64 whose last bit depends on the
//! machine: those come from libm, which is the same code everywhere. A module of tests,
//! with which a file ends, is free to do what it likes.

use super::finding::{Finding, code_of, has_word};

const PURE: &[&str] = &["curing", "colour", "logbook", "sync"];

/// Words that must not stand in pure code, and what they would bring in.
const WORDS: &[(&str, &str)] = &[
    ("std::time", "a clock"),
    ("SystemTime", "a clock"),
    ("Instant::now", "a clock"),
    ("Utc::now", "a clock"),
    ("Local::now", "a clock"),
    ("chrono::Local", "the machine's time zone"),
    ("std::fs", "files"),
    ("std::io", "input and output"),
    ("std::env", "the environment"),
    ("std::process", "other programs"),
    ("std::net", "the network"),
    ("std::thread", "threads"),
    ("std::sync::mpsc", "threads"),
    ("thread_local", "threads"),
    ("tokio", "a runtime"),
    ("async fn", "asynchronous code"),
    ("async move", "asynchronous code"),
    ("tracing", "logging"),
    ("log::info", "logging"),
    ("println", "output"),
    ("eprintln", "output"),
    ("getrandom", "chance"),
    ("rand", "chance"),
    ("RandomState", "chance"),
];

/// Functions of f64 that are left to the machine's library. Square root, absolute
/// value and rounding are exact by IEEE 754 and may be used.
const INEXACT: &[&str] = &[
    "exp", "exp2", "exp_m1", "powf", "powi", "ln", "ln_1p", "log", "log2", "log10", "sin", "cos",
    "tan", "sin_cos", "asin", "acos", "atan", "atan2", "sinh", "cosh", "tanh", "asinh", "acosh",
    "atanh", "cbrt", "hypot",
];

/// True when `path` lies in a pure crate.
pub fn is_pure(path: &str) -> bool {
    let inside = path.strip_prefix("src-tauri/crates/");
    inside
        .and_then(|rest| rest.split('/').next())
        .is_some_and(|name| PURE.contains(&name))
}

/// Findings in a source file of a pure crate; none in any other file.
pub fn check(path: &str, text: &str) -> Vec<Finding> {
    let is_source = path.contains("/src/") && path.ends_with(".rs") && !path.ends_with("tests.rs");
    if !is_pure(path) || !is_source {
        return Vec::new();
    }
    let mut findings = Vec::new();
    for (index, line) in text.lines().enumerate() {
        let code = code_of(line);
        if code.starts_with("mod tests {") {
            break;
        }
        for (word, brings) in WORDS {
            if has_word(&code, word) {
                let advice =
                    format!("`{word}` brings {brings} into a pure crate: take it as an argument");
                findings.push(Finding::new(path, index + 1, advice));
            }
        }
        for name in INEXACT {
            if calls(&code, name) {
                let advice = format!(
                    "`{name}` of f64 differs between machines: use `libm`, or multiply out"
                );
                findings.push(Finding::new(path, index + 1, advice));
            }
        }
    }
    findings
}

/// True for `.name(` and `f64::name`, not for `libm::name(`.
fn calls(code: &str, name: &str) -> bool {
    code.contains(&format!(".{name}("))
        || has_word(code, &format!("f64::{name}"))
        || has_word(code, &format!("f32::{name}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    const PATH: &str = "src-tauri/crates/curing/src/age.rs";

    #[test]
    fn impure_words_are_found_where_they_stand() {
        let found = check(
            PATH,
            "//! x\nuse std::time::Duration;\nlet t = Utc::now();\n",
        );
        assert_eq!(found.iter().map(|f| f.line).collect::<Vec<_>>(), [2, 3]);
        for line in [
            "let x = rand::random();",
            "pub async fn f() {}",
            "tracing::warn!(1)",
        ] {
            assert_eq!(check(PATH, line).len(), 1, "{line}");
        }
    }

    #[test]
    fn the_machines_functions_are_found() {
        for line in [
            "let y = x.exp();",
            "x.powi(2)",
            "f64::ln(x)",
            "map(f64::sin)",
        ] {
            assert_eq!(check(PATH, line).len(), 1, "{line}");
        }
        for line in [
            "libm::exp(x)",
            "x.sqrt()",
            "x.abs().floor()",
            "b.expect_more()",
            "a.login()",
        ] {
            assert_eq!(check(PATH, line), [], "{line}");
        }
    }

    #[test]
    fn comments_tests_and_other_crates_are_free() {
        assert_eq!(check(PATH, "// never std::fs\nlet a = \"tokio\";"), []);
        assert_eq!(
            check(PATH, "#[cfg(test)]\nmod tests {\nuse std::fs;\n}"),
            []
        );
        // What is only for tests but no module of them hides nothing behind it.
        let below = "#[cfg(test)]\nmod tests;\nuse std::fs;";
        assert_eq!(check(PATH, below).len(), 1);
        assert_eq!(check("src-tauri/crates/hub/src/a.rs", "use std::fs;"), []);
        assert_eq!(
            check("src-tauri/crates/curing/tests/a.rs", "use std::fs;"),
            []
        );
        assert_eq!(
            check("src-tauri/crates/logbook/examples/a.rs", "use std::fs;"),
            []
        );
    }
}
