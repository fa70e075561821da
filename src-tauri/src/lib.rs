//! The desktop shell: starts the hub in this process on the loopback address and
//! opens one window onto it. The page is the hub's own page and gets no Tauri
//! permission; it talks to the hub as a phone would.
//!
//! No domain code and no page of its own, but for one that says why the hub could
//! not start (failure.rs). Where the data lies is in place.rs.

mod failure;
mod place;
#[cfg(desktop)]
mod remind;

use std::process::ExitCode;
use std::sync::Mutex;

use slowstone_hub::trust::lan::Setup;
use slowstone_hub::{Clock, Config, Demo, HubError, Running};
use tauri::webview::NewWindowResponse;
use tauri::{App, Manager, RunEvent, Url, WebviewUrl, WebviewWindowBuilder, async_runtime};

/// The hub of this process, taken out when the program ends.
struct Hub(Mutex<Option<Running>>);

/// Starts the shell on a phone, where there is nobody to give an exit code to.
#[cfg_attr(mobile, tauri::mobile_entry_point)]
pub fn run() {
    start();
}

/// Starts the shell and returns when its window is closed. The code is a failure
/// when no window could be opened at all (no display, no web view).
pub fn start() -> ExitCode {
    let builder = tauri::Builder::default();
    // A second start shows the window of the first and ends well. Another log may
    // have a window of its own. Without a session bus every start is a first one, and
    // the hub's lock on the log says what is wrong.
    #[cfg(desktop)]
    let builder = builder.plugin(
        tauri_plugin_single_instance::Builder::new()
            .callback(|app, _, _| show(app))
            .dbus_id(place::instance(std::env::var_os("SLOWSTONE_DATA")))
            .build(),
    );
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
    let runs = running.is_some();
    #[cfg(desktop)]
    if let Some(running) = &mut running {
        async_runtime::spawn(remind::follow(
            app.handle().clone(),
            running.signals_since_start(),
        ));
    }
    app.manage(Hub(Mutex::new(running)));

    let own = address.clone();
    let mut window = WebviewWindowBuilder::new(app, "main", WebviewUrl::External(address))
        .title("Slowstone")
        .inner_size(1180.0, 820.0)
        .min_inner_size(360.0, 480.0)
        // Files dropped on the window go to the page, as in a browser.
        .disable_drag_drop_handler()
        .zoom_hotkeys_enabled(true)
        // The window shows the hub and nothing else.
        .on_navigation(move |to| place::is_own(&own, to))
        .on_new_window(|_, _| NewWindowResponse::Deny);
    if let Some(data_dir) = data_dir.filter(|_| runs) {
        // What the page keeps belongs to the log beside it, not to the account.
        window = window.data_directory(data_dir.join("window"));
    }
    window.build()?;
    Ok(())
}

/// Brings the window to the front.
#[cfg(desktop)]
fn show(app: &tauri::AppHandle) {
    if let Some(window) = app.get_webview_window("main") {
        // A window manager may refuse; there is nobody to tell.
        let _ = window.show();
        let _ = window.unminimize();
        let _ = window.set_focus();
    }
}

/// Starts the hub and waits until it answers.
fn hub(config: Config) -> Result<Running, HubError> {
    async_runtime::block_on(slowstone_hub::start(config))
}
