//! The desktop shell.
fn main() {}
