//! Names of files that every file system takes: small Latin letters, digits, dash, underscore
//! and dot, short, and none that a system keeps for itself. Also text without its accents, for
//! searching. Which photo is called what: [`super::photos`].

use std::collections::BTreeSet;
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// Longest part of a name.
const MOST: usize = 40;

/// Text without accents and capitals, for comparing and for names.
#[must_use]
pub fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text
        .nfkd()
        .filter(|c| !is_combining_mark(*c))
        .flat_map(char::to_lowercase)
    {
        match c {
            'ß' => out.push_str("ss"),
            'æ' => out.push_str("ae"),
            'œ' => out.push_str("oe"),
            'ø' => out.push('o'),
            'đ' | 'ð' => out.push('d'),
            'ł' => out.push('l'),
            'ı' => out.push('i'),
            c => out.push(c),
        }
    }
    out
}

/// A text as part of a file name; empty if nothing of it can stand there.
#[must_use]
pub fn part(text: &str) -> String {
    let mut out = String::new();
    for c in plain(text).chars() {
        if c.is_ascii_alphanumeric() {
            out.push(c);
        } else if !out.ends_with('-') && !out.is_empty() {
            out.push('-');
        }
        if out.len() >= MOST {
            break;
        }
    }
    out.trim_end_matches('-').to_owned()
}

/// A text as the beginning of a file name; never empty.
#[must_use]
pub fn stem(text: &str) -> String {
    let stem = part(text);
    // Names that Windows keeps for devices.
    let kept = ["con", "prn", "aux", "nul"].contains(&stem.as_str())
        || (stem.len() == 4 && (stem.starts_with("com") || stem.starts_with("lpt")));
    match (stem.is_empty(), kept) {
        (true, _) => "site".to_owned(),
        (_, true) => format!("{stem}-site"),
        _ => stem,
    }
}

/// Gives every file a name of its own: one that is taken gets a number.
#[derive(Debug, Default)]
pub struct Taken(BTreeSet<String>);

impl Taken {
    /// `stem.ending`, or `stem_2.ending` and so on.
    pub fn name(&mut self, stem: &str, ending: &str) -> String {
        let mut name = format!("{stem}.{ending}");
        let mut n = 1u32;
        while !self.0.insert(name.clone()) {
            n += 1;
            name = format!("{stem}_{n}.{ending}");
        }
        name
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_plain() {
        for (text, name) in [
            ("Große Bühne / Süd", "grosse-buhne-sud"),
            ("../../etc/passwd", "etc-passwd"),
            ("Peldaño nº 3", "peldano-no-3"),
            ("  ", ""),
            ("写真", ""),
            ("a:b*c?d", "a-b-c-d"),
        ] {
            assert_eq!(part(text), name, "{text}");
        }
        assert_eq!(stem("CON"), "con-site");
        assert_eq!(stem("写真"), "site");
        assert!(part(&"x".repeat(500)).len() <= MOST);
    }

    #[test]
    fn no_name_is_given_twice() {
        let mut taken = Taken::default();
        assert_eq!(taken.name("a", "jpg"), "a.jpg");
        assert_eq!(taken.name("a", "jpg"), "a_2.jpg");
        assert_eq!(taken.name("a", "jpg"), "a_3.jpg");
        assert_eq!(taken.name("a", "png"), "a.png");
    }
}
