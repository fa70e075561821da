//! `slowstone hub`: starts the hub, prints one line with its address, and serves until it
//! is told to stop. How a hub starts and stops inside a program is in
//! [`crate::running`].

use super::{browse, logging, place};
use crate::clock::Clock;
use crate::demo::Demo;
use crate::error::HubError;
use crate::running::{Config, start};
use std::process::ExitCode;

/// Arguments of `slowstone hub`.
#[derive(Debug, clap::Args)]
pub struct Args {
    #[command(flatten)]
    data: place::Data,
    /// Port on this computer; 0 takes any free one.
    #[arg(long, value_name = "N", default_value_t = 8477)]
    port: u16,
    /// Begin new data without the demonstration site.
    #[arg(long)]
    empty: bool,
    /// Open the page in the browser.
    #[arg(long)]
    open: bool,
    /// How the messages on standard error are written; SLOWSTONE_LOG says which: error,
    /// warn, info, debug.
    #[arg(long, value_name = "FORM", value_enum, default_value_t)]
    log: logging::Form,
    /// For trying out: a clock that starts at this time and runs on, e.g.
    /// 2026-10-03T10:00:00Z.
    #[arg(long, value_name = "TIME", value_parser = Clock::parse)]
    clock: Option<Clock>,
}

/// Runs the hub until Ctrl-C or SIGTERM.
pub fn run(args: Args) -> ExitCode {
    logging::begin(args.log);
    let data_dir = match args.data.dir() {
        Ok(dir) => dir,
        Err(status) => return status,
    };
    let config = Config {
        data_dir,
        port: args.port,
        demo: if args.empty { Demo::Empty } else { Demo::IfNew },
        clock: args.clock.unwrap_or_default(),
    };
    let runtime = match tokio::runtime::Runtime::new() {
        Ok(runtime) => runtime,
        Err(e) => {
            eprintln!("slowstone: the system gives no threads to work with: {e}");
            return ExitCode::FAILURE;
        }
    };
    let done = runtime.block_on(serve(config, args.open));
    // Whoever is still connected has had their time.
    runtime.shutdown_timeout(std::time::Duration::from_millis(300));
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            eprintln!("slowstone: {e}");
            ExitCode::from(e.exit_code())
        }
    }
}

async fn serve(config: Config, open: bool) -> Result<(), HubError> {
    // Asked for before anything is opened, so that no Ctrl-C is missed.
    let stop = stop_asked()?;
    let port = config.port;
    let running = start(config).await?;
    if port != 0 && running.addr().port() != port {
        eprintln!(
            "slowstone: port {port} is taken by another program, so {} is used this time",
            running.addr().port()
        );
    }
    super::print(&format!("Slowstone is running at {}", running.url()));
    if open {
        browse(running.url());
    }
    stop.await;
    running.stop().await;
    super::print("Slowstone has stopped. Everything that was logged is stored.");
    Ok(())
}

/// Ready when the hub is told to stop: Ctrl-C, or SIGTERM from the system.
#[cfg(unix)]
fn stop_asked() -> Result<impl Future<Output = ()>, HubError> {
    use tokio::signal::unix::{SignalKind, signal};
    let mut term = signal(SignalKind::terminate()).map_err(HubError::Listen)?;
    let mut interrupt = signal(SignalKind::interrupt()).map_err(HubError::Listen)?;
    Ok(async move {
        tokio::select! {
            _ = term.recv() => {}
            _ = interrupt.recv() => {}
        }
    })
}

/// Ready when the hub is told to stop.
#[cfg(not(unix))]
fn stop_asked() -> Result<impl Future<Output = ()>, HubError> {
    Ok(async {
        let _ = tokio::signal::ctrl_c().await;
    })
}
