//! The `slowstone` program.
fn main() {}
