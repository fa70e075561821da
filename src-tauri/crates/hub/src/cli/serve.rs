//! `slowstone hub`: starts the hub, prints one line with its address, and serves until it
//! is told to stop. How a hub starts and stops inside a program is in
//! [`crate::running`].

use super::{browse, logging, place};
use crate::clock::Clock;
use crate::demo::Demo;
use crate::error::HubError;
use crate::firm::Places;
use crate::inbox::Inboxes;
use crate::listeners::Patience;
use crate::running::{Config, start_on};
use crate::trust::authority::Files;
use crate::trust::lan::Setup;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// The port without a wish.
pub const USUAL_PORT: u16 = 8477;

/// Arguments of `slowstone hub`.
#[derive(Debug, clap::Args)]
pub struct Args {
    #[command(flatten)]
    data: place::Data,
    /// Port on this computer; 0 takes any free one.
    #[arg(long, value_name = "N", default_value_t = USUAL_PORT)]
    port: u16,
    /// Begin new data without the demonstration site.
    #[arg(long)]
    empty: bool,
    #[command(flatten)]
    places: Option<Places>,
    #[command(flatten)]
    inboxes: Watched,
    #[command(flatten)]
    network: Network,
    /// How many seconds a connection may stand still before the hub hangs up; more for a
    /// network that is very slow.
    #[arg(long, value_name = "SECONDS", value_parser = Patience::parse, default_value = "30")]
    patience: Patience,
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

/// The arguments about the local network; they hold for this run, settings for every one.
#[derive(Clone, Debug, Default, clap::Args)]
pub struct Network {
    /// Let paired phones of the local network in, over TLS [default: 0.0.0.0:8478].
    #[arg(long, value_name = "ADDR:PORT", num_args = 0..=1, default_missing_value = "0.0.0.0:8478")]
    lan: Option<SocketAddr>,
    /// Let anybody in the network read, over plain HTTP and without a password.
    #[arg(long, requires = "lan")]
    guest: bool,
    /// A certificate of your own (PEM) instead of the hub's local authority.
    #[arg(long, value_name = "FILE", requires = "tls_key")]
    tls_cert: Option<PathBuf>,
    /// Its key (PEM).
    #[arg(long, value_name = "FILE", requires = "tls_cert")]
    tls_key: Option<PathBuf>,
}

impl Network {
    fn setup(self) -> Setup {
        let files = self.tls_cert.zip(self.tls_key);
        Setup {
            at: self.lan,
            guest: self.guest,
            files: files.map(|(cert, key)| Files { cert, key }),
            ..Setup::default()
        }
    }
}

/// The arguments about watched folders.
#[derive(Clone, Debug, Default, clap::Args)]
pub struct Watched {
    /// Take in every photo that appears in this folder, and leave it there; may be given
    /// several times.
    #[arg(long, value_name = "DIR")]
    inbox: Vec<PathBuf>,
    /// Site for those photos, by its name or its id [default: the only one].
    #[arg(long, value_name = "NAME", requires = "inbox")]
    inbox_site: Option<String>,
}

impl Watched {
    /// The folders by their whole names, none of which lies with the data of the hub.
    ///
    /// # Errors
    /// Exit status 2 for a folder that cannot be watched; that is said.
    pub fn inboxes(&self, data: &Path) -> Result<Option<Inboxes>, ExitCode> {
        let mut folders = Vec::new();
        let data = std::fs::canonicalize(data).unwrap_or_else(|_| data.to_path_buf());
        for dir in &self.inbox {
            let whole = std::fs::canonicalize(dir).or_else(|_| std::path::absolute(dir));
            let whole = whole.unwrap_or_else(|_| dir.clone());
            if whole.starts_with(&data) || data.starts_with(&whole) {
                eprintln!(
                    "slowstone: {}: the hub keeps its own photos there, so it cannot be watched; name another folder with --inbox",
                    dir.display()
                );
                return Err(ExitCode::from(2));
            }
            folders.push(whole);
        }
        let site = self.inbox_site.clone();
        Ok((!folders.is_empty()).then_some(Inboxes { folders, site }))
    }
}

/// Runs the hub until Ctrl-C or SIGTERM.
pub fn run(args: Args) -> ExitCode {
    logging::begin(args.log);
    let data_dir = match args.data.dir() {
        Ok(dir) => dir,
        Err(status) => return status,
    };
    let inboxes = match args.inboxes.inboxes(&data_dir) {
        Ok(inboxes) => inboxes,
        Err(status) => return status,
    };
    let config = Config {
        data_dir,
        port: args.port,
        demo: if args.empty { Demo::Empty } else { Demo::IfNew },
        clock: args.clock.unwrap_or_default(),
        lan: Setup {
            patience: args.patience,
            ..args.network.setup()
        },
    };
    let runtime = match tokio::runtime::Runtime::new() {
        Ok(runtime) => runtime,
        Err(e) => {
            eprintln!("slowstone: the system gives no threads to work with: {e}");
            return ExitCode::FAILURE;
        }
    };
    let done = runtime.block_on(serve(config, args.places, inboxes, args.open));
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

async fn serve(
    config: Config,
    places: Option<Places>,
    inboxes: Option<Inboxes>,
    open: bool,
) -> Result<(), HubError> {
    // Asked for before anything is opened, so that no Ctrl-C is missed.
    let stop = stop_asked()?;
    let port = config.port;
    let mut running = start_on(config, places).await?;
    if let Some(inboxes) = inboxes {
        running.watch_folders(inboxes);
    }
    if port != 0 && running.addr().port() != port {
        eprintln!(
            "slowstone: port {port} is taken by another program, so {} is used this time",
            running.addr().port()
        );
    }
    super::print(&format!("Slowstone is running at {}", running.url()));
    if let Some(url) = running.phones_url() {
        super::print(&format!("Paired phones find it at {url}"));
    }
    if let Some(why) = running.lan_trouble() {
        eprintln!("slowstone: phones cannot reach the hub: {why}");
    }
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
