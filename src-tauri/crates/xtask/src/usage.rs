//! The commands as `cargo xtask help` lists them, and the words that may follow one.
//! A word that nobody knows is refused with the list beside it.
//! What the commands do is in a module each; main.rs calls them.

use crate::outcome::Outcome;

/// The list of commands.
pub const USAGE: &str = "\
cargo xtask COMMAND

  run [--empty] [--data DIR] [--port N] [--no-open]
             build what is out of date, then start the hub and open a browser on it
  desktop [--no-run | --bundle]
             the same in a window of its own (Tauri); --bundle makes a package for
             Debian of it (a .deb, from a release build: takes a while)
  check      format, lints, tidy and the fast tests of what changed, in a minute or two
  test       every test there is, with a summary at the end
  tidy       the rules of the house that no compiler checks
  setup [--all | --run | --desktop | --bench]
             install the system packages that are missing; --bench: what `bench`
             compares with, and works without
  ui         the web app into ui/dist
  wasm       the core for the browser into ui/public, with its size told
  types [--check | --core]
             the TypeScript types that the web app shares with core and hub (--core: those of
             events and views alone)
  bench [PART...] [--markdown] [-- SIZES]
             speed, each beside an anchor of the same run, in one table; parts are
             engine, fold, browser, photos, colour, hub and ui
  deny       licences, bans and sources of the crates (cargo-deny)
  outside    questions to a running hub, made from its OpenAPI document
  fresh      the first command of README.md on a bare Debian 12 (root, debootstrap)
  example    the worked example of DEVELOPERS.md, played through on a copy
";

/// The words of `given`, all of which must be among `known`.
pub fn flag<'a>(given: &'a [String], known: &[&str]) -> Outcome<Vec<&'a str>> {
    match given.iter().find(|word| !known.contains(&word.as_str())) {
        Some(word) => Err(format!("`{word}` is not known here.\n\n{USAGE}")),
        None => Ok(given.iter().map(String::as_str).collect()),
    }
}
