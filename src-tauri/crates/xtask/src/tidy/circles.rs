//! No files of a crate use each other in a circle: a reader could enter such a room by no
//! door, and a change in it would be a change of everything. Which file uses which is read
//! from the paths in `use` and in code (`crate::`, `super::`, modules by name), followed
//! through re-exports to the file where a thing is made. Tests may use what they test.
//! That a file declares a module below it, or gives on a name of it that it does not use
//! itself (`pub use`), is no use of it.

use super::finding::Finding;
use proc_macro2::{Delimiter, TokenStream, TokenTree};
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::str::FromStr;

/// Crates that are not free of circles yet. A crate leaves the list when it is; none comes back.
const NOT_YET: &[&str] = &["src-tauri/crates/curing", "src-tauri/crates/logbook"];
/// How many re-exports are followed.
const DEEPEST: usize = 16;

/// Names as they stand in a path: `crate`, `ledger`, `Ledger`.
type Names = Vec<String>;

/// A module, in a file of its own or within one.
#[derive(Debug, Default)]
struct Module {
    file: String,
    items: BTreeSet<String>,
    /// What `use` calls what; the path is seen from this module.
    aliases: BTreeMap<String, Names>,
    globs: Vec<Names>,
    /// Names that are given on, and used only where they stand in code.
    given_on: BTreeSet<String>,
}

/// A path that stands in a file.
#[derive(Debug)]
struct Mention {
    module: Names,
    path: Names,
    line: usize,
}

/// All modules of a crate and what stands in them.
#[derive(Debug, Default)]
struct Crate {
    modules: BTreeMap<Names, Module>,
    mentions: Vec<Mention>,
    /// Single words in code: a mention, if it is a name that is given on.
    words: Vec<Mention>,
    /// Files that hold nothing but tests.
    tests: BTreeSet<Names>,
}

/// What a path leads to.
enum Found {
    Module(Names),
    File(String),
}

/// Circles in all crates; `files` are all files with their text.
pub fn check(files: &[(String, String)]) -> Vec<Finding> {
    let mut crates: BTreeMap<&str, Vec<(&str, &str)>> = BTreeMap::new();
    for (path, text) in files {
        if let Some((home, inside)) = path.split_once("/src/")
            && inside.ends_with(".rs")
        {
            crates.entry(home).or_default().push((path, text));
        }
    }
    let closed = crates
        .into_iter()
        .filter(|(home, _)| !NOT_YET.contains(home));
    closed
        .flat_map(|(home, files)| of_crate(home, &files))
        .collect()
}

fn of_crate(home: &str, files: &[(&str, &str)]) -> Vec<Finding> {
    let uses = uses(home, files);
    let mut findings = Vec::new();
    let mut done: BTreeSet<&str> = BTreeSet::new();
    for start in uses.keys() {
        if done.contains(start.as_str()) {
            continue;
        }
        let there = reached(&uses, start);
        let together: Vec<&str> = there
            .into_iter()
            .filter(|other| reached(&uses, other).contains(start.as_str()))
            .collect();
        if let Some(circle) = shortest(&uses, start).filter(|_| !together.is_empty()) {
            findings.push(finding(&uses, home, &circle, together.len()));
        }
        done.extend(together);
    }
    findings
}

/// Which file uses which others, and in which line first.
type Uses = BTreeMap<String, BTreeMap<String, usize>>;

fn uses(home: &str, files: &[(&str, &str)]) -> Uses {
    let all = read(home, files);
    let mut uses = Uses::new();
    for mention in &all.mentions {
        if all
            .tests
            .iter()
            .any(|test| mention.module.starts_with(test))
        {
            continue;
        }
        let from = all.modules.get(&mention.module).map(|module| &module.file);
        let to = all.resolve(&mention.module, &mention.path, 0);
        if let (Some(from), Some(Found::File(to))) = (from, to)
            && *from != to
        {
            let line = uses.entry(from.clone()).or_default().entry(to);
            let line = line.or_insert(mention.line);
            *line = mention.line.min(*line);
        }
    }
    uses
}

fn read(home: &str, files: &[(&str, &str)]) -> Crate {
    let mut all = Crate::default();
    let root = match files.iter().any(|(path, _)| path.ends_with("/src/lib.rs")) {
        true => "lib",
        false => "main",
    };
    for (path, text) in files {
        let inside = path.strip_prefix(home).unwrap_or(path);
        let inside = inside.trim_start_matches("/src/").trim_end_matches(".rs");
        let mut module: Names = inside.split('/').map(str::to_owned).collect();
        match module.last().map(String::as_str) {
            Some("mod") => drop(module.pop()),
            Some(last) if module.len() == 1 && last == root => module.clear(),
            // The other root: a program of few lines beside the library.
            Some("lib" | "main") if module.len() == 1 => continue,
            Some("tests") => drop(all.tests.insert(module.clone())),
            _ => {}
        }
        let code = TokenStream::from_str(text).unwrap_or_default();
        all.modules.entry(module.clone()).or_default().file = (*path).to_owned();
        all.walk(&module, path, code, true);
    }
    let words = std::mem::take(&mut all.words).into_iter();
    let used = words.filter(|word| {
        let of = all.modules.get(&word.module);
        of.is_some_and(|of| word.path.iter().all(|name| of.given_on.contains(name)))
    });
    let used: Vec<Mention> = used.collect();
    all.mentions.extend(used);
    all
}

impl Crate {
    /// Takes in what stands in `code`; `top` where names of the module are made.
    fn walk(&mut self, module: &Names, file: &str, code: TokenStream, top: bool) {
        let tokens: Vec<TokenTree> = code.into_iter().collect();
        let mut at = 0;
        while let Some(token) = tokens.get(at) {
            let rest = tokens.get(at..).unwrap_or_default();
            at += match token {
                TokenTree::Punct(p) if p.as_char() == '#' && is_for_tests(rest) => {
                    let (length, name) = skipped(rest);
                    if let Some(name) = name {
                        let mut test = module.clone();
                        test.push(name);
                        self.tests.insert(test);
                    }
                    length
                }
                TokenTree::Group(group) => {
                    self.walk(module, file, group.stream(), false);
                    1
                }
                TokenTree::Ident(word) => self.word(module, file, &word.to_string(), rest, top),
                _ => 1,
            };
        }
    }

    /// Takes in what begins with a word, and says how many tokens that were.
    fn word(
        &mut self,
        module: &Names,
        file: &str,
        word: &str,
        rest: &[TokenTree],
        top: bool,
    ) -> usize {
        let name = rest.get(1).and_then(ident);
        match (word, name) {
            ("mod", Some(name)) => {
                if let Some(TokenTree::Group(body)) = rest.get(2) {
                    let mut inner = module.clone();
                    inner.push(name);
                    let made = self.modules.entry(inner.clone()).or_default();
                    made.file = file.to_owned();
                    self.walk(&inner, file, body.stream(), true);
                    return 3;
                }
                2
            }
            // The parentheses of `pub(crate)` are a token of their own.
            ("pub", _) => {
                let given = rest
                    .iter()
                    .take(3)
                    .position(|t| ident(t).is_some_and(|w| w == "use"));
                let Some(at) = given else {
                    return 1;
                };
                let before = self.mentions.len();
                let length =
                    self.word(module, file, "use", rest.get(at..).unwrap_or_default(), top);
                // Of a module below or beside; what is used of it shows in the code.
                let names = self.mentions.split_off(before);
                let of = self.modules.entry(module.clone()).or_default();
                of.given_on
                    .extend(names.into_iter().filter_map(|m| m.path.last().cloned()));
                at + length
            }
            ("use", _) => {
                let end = rest.iter().position(|t| is_punct(t, ';'));
                let end = end.unwrap_or(rest.len());
                let tree = rest.get(1..end).unwrap_or_default();
                let line = rest.first().map_or(1, |t| t.span().start().line);
                self.used(module, Names::new(), tree, line);
                end
            }
            (
                "fn" | "struct" | "enum" | "trait" | "type" | "const" | "static" | "union",
                Some(name),
            ) => {
                if top {
                    self.item(module, name);
                }
                2
            }
            ("macro_rules", _) => {
                if let Some(name) = rest.get(2).and_then(ident) {
                    self.item(module, name);
                }
                3
            }
            _ => {
                let (path, length) = path(rest);
                let line = rest.first().map_or(1, |t| t.span().start().line);
                let (module, single) = (module.clone(), path.len() == 1);
                let mention = Mention { module, path, line };
                match single {
                    true => self.words.push(mention),
                    false => self.mentions.push(mention),
                }
                length
            }
        }
    }

    fn item(&mut self, module: &Names, name: String) {
        self.modules
            .entry(module.clone())
            .or_default()
            .items
            .insert(name);
    }

    /// Takes in a tree of `use`: `a::{b, c as d, e::*}`.
    fn used(&mut self, module: &Names, mut path: Names, tree: &[TokenTree], line: usize) {
        let mut at = 0;
        while let Some(token) = tree.get(at) {
            match token {
                TokenTree::Ident(word) if word == "as" => {
                    // `as _` gives no name, but it uses the thing.
                    let name = tree.get(at + 1).and_then(ident).unwrap_or_default();
                    return self.alias(module, name, path, line);
                }
                TokenTree::Ident(word) => path.push(word.to_string()),
                TokenTree::Punct(p) if p.as_char() == '*' => {
                    let of = self.modules.entry(module.clone()).or_default();
                    of.globs.push(path.clone());
                    path.push("*".to_owned());
                    let module = module.clone();
                    return self.mentions.push(Mention { module, path, line });
                }
                TokenTree::Group(group) => {
                    let inner: Vec<TokenTree> = group.stream().into_iter().collect();
                    for one in inner
                        .split(|t| is_punct(t, ','))
                        .filter(|one| !one.is_empty())
                    {
                        let line = one.first().map_or(line, |t| t.span().start().line);
                        self.used(module, path.clone(), one, line);
                    }
                    return;
                }
                _ => {}
            }
            at += 1;
        }
        if path.last().is_some_and(|last| last == "self") {
            path.pop();
        }
        let name = path.last().cloned().unwrap_or_default();
        self.alias(module, name, path, line);
    }

    fn alias(&mut self, module: &Names, name: String, mut path: Names, line: usize) {
        if path.last().is_some_and(|last| last == "self") && path.len() > 1 {
            path.pop();
        }
        let of = self.modules.entry(module.clone()).or_default();
        of.aliases.insert(name, path.clone());
        let module = module.clone();
        self.mentions.push(Mention { module, path, line });
    }

    /// What a path that stands in `module` leads to; none if that is in another crate.
    fn resolve(&self, module: &Names, path: &[String], depth: usize) -> Option<Found> {
        if depth > DEEPEST {
            return None;
        }
        let (first, mut rest) = path.split_first()?;
        let mut here = match first.as_str() {
            "crate" => Names::new(),
            "self" => module.clone(),
            "super" => parent(module)?,
            name => match self.name(module, name, depth)? {
                Found::Module(found) => found,
                file => return Some(file),
            },
        };
        while let Some((name, others)) = rest.split_first() {
            rest = others;
            here = match name.as_str() {
                "super" => parent(&here)?,
                "*" => return self.file(&here),
                name => match self.name(&here, name, depth) {
                    Some(Found::Module(found)) => found,
                    Some(file) => return Some(file),
                    // Of another crate by a `use`, or made by a macro in this file.
                    None if self.is_outside(&here, name) => return None,
                    None => return self.file(&here),
                },
            };
        }
        Some(Found::Module(here))
    }

    /// What a name is in a module.
    fn name(&self, module: &Names, name: &str, depth: usize) -> Option<Found> {
        let mut below = module.clone();
        below.push(name.to_owned());
        if self.modules.contains_key(&below) {
            return Some(Found::Module(below));
        }
        let here = self.modules.get(module)?;
        if here.items.contains(name) {
            return Some(Found::File(here.file.clone()));
        }
        match here.aliases.get(name) {
            // `use name;` names another crate.
            Some(path) if *path == [name] => None,
            Some(path) => self.resolve(module, path, depth + 1),
            None => {
                here.globs
                    .iter()
                    .find_map(|glob| match self.resolve(module, glob, depth + 1)? {
                        Found::Module(from) if from != *module && depth < DEEPEST => {
                            self.name(&from, name, depth + 1)
                        }
                        _ => None,
                    })
            }
        }
    }

    fn is_outside(&self, module: &Names, name: &str) -> bool {
        let here = self.modules.get(module);
        here.is_some_and(|here| here.aliases.contains_key(name))
    }

    fn file(&self, module: &Names) -> Option<Found> {
        let module = self.modules.get(module)?;
        Some(Found::File(module.file.clone()))
    }
}

fn parent(module: &Names) -> Option<Names> {
    let (_, above) = module.split_last()?;
    Some(above.to_vec())
}

fn ident(token: &TokenTree) -> Option<String> {
    match token {
        TokenTree::Ident(word) => Some(word.to_string()),
        _ => None,
    }
}

fn is_punct(token: &TokenTree, letter: char) -> bool {
    matches!(token, TokenTree::Punct(p) if p.as_char() == letter)
}

/// True for `#[cfg(test)]` at the beginning.
fn is_for_tests(tokens: &[TokenTree]) -> bool {
    let inside = match tokens.get(1) {
        Some(TokenTree::Group(group)) => group.stream().to_string(),
        _ => return false,
    };
    inside.replace(' ', "") == "cfg(test)"
}

/// How many tokens an item with its attributes is, and its name if it is `mod name;`.
fn skipped(tokens: &[TokenTree]) -> (usize, Option<String>) {
    let ends = |token: &TokenTree| {
        let body = matches!(token, TokenTree::Group(g) if g.delimiter() == Delimiter::Brace);
        body || is_punct(token, ';')
    };
    let end = tokens.iter().position(ends).unwrap_or(tokens.len());
    let item = tokens.get(..end).unwrap_or_default();
    let at = item
        .iter()
        .position(|t| ident(t).is_some_and(|w| w == "mod"));
    let name = at.and_then(|at| item.get(at + 1)).and_then(ident);
    (end + 1, name)
}

/// The path at the beginning, and how many tokens it is.
fn path(tokens: &[TokenTree]) -> (Names, usize) {
    let mut names: Names = tokens.first().and_then(ident).into_iter().collect();
    let mut at = 1;
    while let (Some(a), Some(b)) = (tokens.get(at), tokens.get(at + 1))
        && is_punct(a, ':')
        && is_punct(b, ':')
    {
        at += 2;
        match tokens.get(at).and_then(ident) {
            Some(name) => names.push(name),
            None => break,
        }
        at += 1;
    }
    (names, at)
}

/// Every file that is used from `start` on, by however many others.
fn reached<'a>(uses: &'a Uses, start: &str) -> BTreeSet<&'a str> {
    let mut seen = BTreeSet::new();
    let mut next: Vec<&str> = uses
        .get(start)
        .into_iter()
        .flat_map(BTreeMap::keys)
        .map(String::as_str)
        .collect();
    while let Some(file) = next.pop() {
        if seen.insert(file) {
            next.extend(
                uses.get(file)
                    .into_iter()
                    .flat_map(BTreeMap::keys)
                    .map(String::as_str),
            );
        }
    }
    seen
}

/// The shortest way from `start` back to it.
fn shortest<'a>(uses: &'a Uses, start: &'a str) -> Option<Vec<&'a str>> {
    let mut ways = VecDeque::from([vec![start]]);
    let mut seen = BTreeSet::new();
    while let Some(way) = ways.pop_front() {
        for next in way
            .last()
            .and_then(|last| uses.get(*last))
            .into_iter()
            .flat_map(BTreeMap::keys)
        {
            let mut longer = way.clone();
            longer.push(next);
            if next == start {
                return Some(longer);
            }
            if seen.insert(next) {
                ways.push_back(longer);
            }
        }
    }
    None
}

fn finding(uses: &Uses, home: &str, circle: &[&str], together: usize) -> Finding {
    let line = |from: &str, to: &str| {
        uses.get(from)
            .and_then(|to_| to_.get(to))
            .copied()
            .unwrap_or(1)
    };
    let short = |path: &str| {
        path.strip_prefix(home)
            .unwrap_or(path)
            .trim_start_matches("/src/")
            .to_owned()
    };
    let steps: Vec<String> = circle
        .windows(2)
        .filter_map(|pair| match pair {
            [from, to] => Some(format!(
                "{}:{} uses {}",
                short(from),
                line(from, to),
                short(to)
            )),
            _ => None,
        })
        .collect();
    let (path, first) = match circle {
        [from, to, ..] => (*from, line(from, to)),
        _ => (home, 1),
    };
    let advice = format!(
        "files use each other in a circle ({together} hang together): {}. Move what both need \
         into a file below them, or pass a value in",
        steps.join(", ")
    );
    Finding::new(path, first, advice)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn crate_of(files: &[(&str, &str)]) -> Vec<(String, String)> {
        let path = |file: &str| format!("src-tauri/crates/new/src/{file}");
        files
            .iter()
            .map(|(file, text)| (path(file), (*text).to_owned()))
            .collect()
    }

    fn advice(files: &[(&str, &str)]) -> Vec<String> {
        check(&crate_of(files))
            .into_iter()
            .map(|f| f.advice)
            .collect()
    }

    #[test]
    fn two_files_that_use_each_other_are_found() {
        let files = crate_of(&[
            ("lib.rs", "mod a;\nmod b;\n"),
            ("a.rs", "use crate::b::B;\npub struct A(B);\n"),
            (
                "b.rs",
                "pub struct B;\n\nfn f() { let _ = crate::a::A::new(); }\n",
            ),
        ]);
        let found = check(&files);
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(
            (found[0].path.as_str(), found[0].line),
            ("src-tauri/crates/new/src/a.rs", 1)
        );
        assert!(
            found[0]
                .advice
                .contains("a.rs:1 uses b.rs, b.rs:3 uses a.rs"),
            "{found:?}"
        );
    }

    #[test]
    fn a_circle_over_several_files_and_folders_is_found() {
        let found = advice(&[
            ("lib.rs", "mod a;\nmod b;\n"),
            (
                "a.rs",
                "use crate::b::deep::{self, D};\npub fn a() { deep::d() }\n",
            ),
            (
                "b/mod.rs",
                "pub mod deep;\nuse super::a;\npub fn b() { a::a() }\n",
            ),
            (
                "b/deep.rs",
                "use super::b;\npub struct D;\npub fn d() { b() }\n",
            ),
        ]);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].contains("3 hang together"), "{found:?}");
    }

    #[test]
    fn one_way_is_no_circle_nor_is_a_module_that_is_declared_or_given_on() {
        let found = advice(&[
            ("lib.rs", "mod a;\nmod b;\npub use a::A;\n"),
            ("a.rs", "pub struct A;\n"),
            // By its name in the root, which only gives it on.
            ("b/mod.rs", "mod c;\npub use c::C;\n"),
            (
                "b/c.rs",
                "use crate::A;\nuse std::fmt::Debug;\npub struct C(A);\n",
            ),
        ]);
        assert_eq!(found, Vec::<String>::new());
    }

    #[test]
    fn a_name_that_is_given_on_is_used_where_it_stands_in_code() {
        let with = |code: &str| {
            let above = format!("mod c;\npub(crate) use c::C;\npub struct B;\n{code}");
            let below = "use super::B;\npub struct C(B);\n";
            advice(&[
                ("lib.rs", "mod b;\n"),
                ("b/mod.rs", &above),
                ("b/c.rs", below),
            ])
            .len()
        };
        assert_eq!(with("pub fn b() {}\n"), 0);
        assert_eq!(with("pub fn b(c: C) {}\n"), 1);
        assert_eq!(with("pub fn b() { C::new() }\n"), 1);
    }

    #[test]
    fn tests_may_use_what_they_test() {
        let found = advice(&[
            ("lib.rs", "mod a;\nmod b;\n"),
            ("a.rs", "use crate::b::B;\npub struct A(B);\n"),
            (
                "b.rs",
                "pub struct B;\n#[cfg(test)]\nmod tests { use crate::a::A; }\n#[cfg(test)]\nmod more;\n",
            ),
            ("b/more.rs", "use crate::a::A;\nuse super::B;\n"),
        ]);
        assert_eq!(found, Vec::<String>::new());
    }

    #[test]
    fn what_stands_in_macros_strings_and_comments_is_told_apart() {
        let inside = |b: &str| {
            advice(&[
                ("lib.rs", "mod a;\nmod b;\n"),
                ("a.rs", "use crate::b::B;\npub struct A(B);\n"),
                ("b.rs", b),
            ])
            .len()
        };
        assert_eq!(
            inside("pub struct B;\nfn f() { print!(\"{}\", crate::a::A) }\n"),
            1
        );
        assert_eq!(
            inside("/// [`crate::a::A`]\npub struct B;\nconst T: &str = \"crate::a::A\";\n"),
            0
        );
    }

    #[test]
    fn crates_that_are_not_free_yet_are_there() {
        for home in NOT_YET {
            assert!(crate::process::root().join(home).is_dir(), "{home}");
        }
    }
}
