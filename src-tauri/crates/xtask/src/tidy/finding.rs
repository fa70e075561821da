//! What every rule of tidy gives and how it reads a line: a finding says where and what to
//! do; code is what stands neither in a comment nor in quotes.
//! The rules themselves are in the files beside this one.

/// One thing to put right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// The file, from the top folder.
    pub path: String,
    /// The line, from 1.
    pub line: usize,
    /// What to do.
    pub advice: String,
}

impl Finding {
    /// A finding in `path` at `line`.
    pub fn new(path: &str, line: usize, advice: impl Into<String>) -> Self {
        Self {
            path: path.to_owned(),
            line,
            advice: advice.into(),
        }
    }
}

/// `line` without its comment and without what stands in quotes, so that words in
/// either are not taken for code.
pub fn code_of(line: &str) -> String {
    let mut code = String::with_capacity(line.len());
    let mut letters = line.chars().peekable();
    let mut quoted = false;
    while let Some(letter) = letters.next() {
        match (quoted, letter) {
            (true, '\\') => {
                letters.next();
            }
            (_, '"') => {
                quoted = !quoted;
                code.push('"');
            }
            (true, _) => {}
            (false, '/') if letters.peek() == Some(&'/') => break,
            // The quote as a letter opens nothing.
            (false, '\'') if letters.peek() == Some(&'"') => {
                letters.next();
            }
            (false, other) => code.push(other),
        }
    }
    code
}

/// True when `text` holds `word` with nothing of a name before or after it.
pub fn has_word(text: &str, word: &str) -> bool {
    let part_of_name = |letter: char| letter.is_alphanumeric() || letter == '_';
    text.match_indices(word).any(|(at, _)| {
        let before = text.get(..at).and_then(|before| before.chars().next_back());
        let after = text
            .get(at + word.len()..)
            .and_then(|after| after.chars().next());
        !before.is_some_and(part_of_name) && !after.is_some_and(part_of_name)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_quotes_are_no_code() {
        assert_eq!(code_of("let a = 1; // std::fs"), "let a = 1; ");
        assert_eq!(code_of(r#"say("a // \" b", c) // d"#), r#"say("", c) "#);
        assert_eq!(code_of("//! tokio"), "");
        assert_eq!(code_of("let q = '\"'; f(); // x"), "let q = '; f(); ");
    }

    #[test]
    fn words_are_whole() {
        assert!(has_word("use rand::Rng", "rand"));
        assert!(!has_word("let operand = strand;", "rand"));
        assert!(!has_word("rand_core", "rand"));
    }
}
