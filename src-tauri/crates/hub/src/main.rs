//! The program `slowstone`: everything is in the library, see [`slowstone_hub::cli`].

use std::process::ExitCode;

fn main() -> ExitCode {
    slowstone_hub::cli::run()
}
