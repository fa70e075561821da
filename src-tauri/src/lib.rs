//! The desktop shell: starts the hub in this process on the loopback address and
//! opens one window onto it. The page is the hub's own page and gets no Tauri
//! permission; it talks to the hub as a phone would.
//!
//! No domain code and no page of its own, but for one that says why the hub could
//! not start (failure.rs). Where the data lies is in place.rs; what only a desktop
//! has (tray, notifications, one instance) begins in desktop.rs.

#[cfg(desktop)]
mod desktop;
mod failure;
#[cfg(desktop)]
mod files;
#[cfg(desktop)]
mod note;
#[cfg(mobile)]
pub mod phone;
mod place;
#[cfg(desktop)]
mod remind;
#[cfg(desktop)]
mod tray;
#[cfg(desktop)]
mod window;

use std::process::ExitCode;
use std::sync::Mutex;

use slowstone_hub::trust::lan::Setup;
use slowstone_hub::{Clock, Config, Demo, HubError, Running};
use tauri::webview::NewWindowResponse;
use tauri::{App, Manager, RunEvent, Url, WebviewUrl, WebviewWindowBuilder, async_runtime};

/// The hub of this process, taken out when the program ends.
struct Hub(Mutex<Option<Running>>);

/// Starts the shell and returns when it ends: when its window is closed, or where it
/// lives on in a tray, when somebody quits. The code is a failure when no window could be
/// opened at all (no display, no web view).
pub fn start() -> ExitCode {
    let builder = tauri::Builder::default();
    #[cfg(desktop)]
    let builder = desktop::plugins(builder);
    let built = builder
        .setup(|app| {
            open(app)?;
            Ok(())
        })
        .build(tauri::generate_context!());
    let app = match built {
        Ok(app) => app,
        Err(error) => {
            eprintln!("Slowstone could not open a window: {error}");
            return ExitCode::FAILURE;
        }
    };
    app.run(|app, event| {
        if let RunEvent::Exit = event {
            let hub = app.try_state::<Hub>();
            let running = hub.and_then(|hub| hub.0.lock().ok().and_then(|mut hub| hub.take()));
            if let Some(running) = running {
                async_runtime::block_on(running.stop());
            }
        }
    });
    ExitCode::SUCCESS
}

/// Starts the hub and opens the window on it, or on the reason why it did not.
fn open(app: &mut App) -> tauri::Result<()> {
    #[cfg(desktop)]
    let asked = desktop::asked(app);
    let home = app.path().data_dir().ok();
    let data_dir = place::data_dir(std::env::var_os("SLOWSTONE_DATA"), home);
    let started = match &data_dir {
        Some(data_dir) => hub(Config {
            data_dir: data_dir.clone(),
            port: place::USUAL_PORT,
            demo: Demo::IfNew,
            clock: Clock::System,
            // Whatever was chosen under Settings, Phones.
            lan: Setup::default(),
        })
        .map_err(|error| error.to_string()),
        None => Err(
            "This account has no folder for application data. Set SLOWSTONE_DATA \
                     to the folder that should hold the log and start again."
                .to_owned(),
        ),
    };
    #[cfg_attr(mobile, allow(unused_mut))]
    let (address, mut running) = match started {
        Ok(running) => match running.url().parse::<Url>() {
            Ok(address) => (address, Some(running)),
            Err(error) => (failure::page(&error.to_string())?, Some(running)),
        },
        Err(reason) => {
            eprintln!("{reason}");
            (failure::page(&reason)?, None)
        }
    };
    // What the page keeps belongs to the log beside it, not to the account.
    let beside = data_dir
        .filter(|_| running.is_some())
        .map(|data_dir| data_dir.join("window"));
    let own = address.clone();
    let mut window = WebviewWindowBuilder::new(app, "main", WebviewUrl::External(address))
        .title("Slowstone")
        .inner_size(1180.0, 820.0)
        .min_inner_size(360.0, 480.0)
        .zoom_hotkeys_enabled(true)
        // The window shows the hub and nothing else.
        .on_navigation(move |to| place::is_own(&own, to))
        .on_new_window(|_, _| NewWindowResponse::Deny);
    #[cfg(desktop)]
    if running.is_some() {
        window = window.visible(!asked.hidden);
    }
    if let Some(beside) = &beside {
        window = window.data_directory(beside.clone());
    }
    window.build()?;
    #[cfg(desktop)]
    if let (Some(running), Some(beside)) = (&mut running, &beside) {
        desktop::settle(app, running, beside, asked.files);
    }
    app.manage(Hub(Mutex::new(running)));
    Ok(())
}

/// Starts the hub and waits until it answers.
fn hub(config: Config) -> Result<Running, HubError> {
    async_runtime::block_on(slowstone_hub::start(config))
}
