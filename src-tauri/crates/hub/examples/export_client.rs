//! Writes the types of the routes for the web app: `cargo xtask types`.
//!
//! Is given the file of the core's own types (`types.gen.ts`), and prints the file that the web
//! app imports as `routes.gen.ts`.

use slowstone_hub::api::routes::ROUTES;
use slowstone_hub::openapi::{document, typescript};

fn main() -> std::io::Result<()> {
    let file = std::env::args().nth(1).unwrap_or_default();
    let core = std::fs::read_to_string(file)?;
    print!("{}", typescript::file(&document(ROUTES), &core));
    Ok(())
}
