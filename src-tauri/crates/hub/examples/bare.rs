//! The least that a hub could be: its log opened and an axum router that answers one
//! address. `load/start.rs` starts it beside the real one, to tell how long that takes
//! to start. Argument: the file of the log. Prints its address and ends when it is killed.

use axum::Router;
use axum::routing::get;
use slowstone_store::{EventLog, OpenOptions, SqliteLog};
use slowstone_sync::HubEpoch;
use std::path::PathBuf;
use tokio::net::TcpListener;

#[tokio::main]
async fn main() -> Result<(), Box<dyn std::error::Error>> {
    let file: PathBuf = std::env::args_os().nth(1).ok_or("which log?")?.into();
    let epoch = HubEpoch::new("bare")?;
    let log = SqliteLog::open(&file, &OpenOptions::new(epoch))?;
    let entries = log.len()?;
    let listener = TcpListener::bind(("127.0.0.1", 0)).await?;
    println!("http://{}/", listener.local_addr()?);
    let app = Router::new().route("/", get(move || async move { entries.to_string() }));
    axum::serve(listener, app).await?;
    Ok(())
}
