//! The tray: what can be done now and next, as the hub says it, and the way back to the
//! window. Start at login and quitting are here too.
//!
//! A tray is a wish: on Linux it needs a library and a desktop that shows trays. Without
//! either the shell goes on, and closing the window ends it ([`is_shown`]). Next: window.rs.

use std::path::Path;
use std::time::Duration;

use slowstone_hub::Signal;
use slowstone_hub::shell::{Line, Seen, Shell};
use slowstone_hub::words::Words;
use tauri::menu::{CheckMenuItem, IsMenuItem, Menu, MenuEvent, MenuItem, PredefinedMenuItem};
use tauri::tray::{TrayIcon, TrayIconBuilder};
use tauri::{App, AppHandle, Manager, async_runtime};
use tauri_plugin_autostart::ManagerExt;
use tokio::sync::broadcast::Receiver;
use tokio::sync::broadcast::error::RecvError;
use tokio::time::{sleep, timeout};

use crate::note::{self, Note};
use crate::{place, window};

/// Name of the tray icon.
const TRAY: &str = "tray";
/// The menu is made again at least this often: times pass without a signal.
const EVERY: Duration = Duration::from_secs(60);
/// What comes within this time goes into the menu together.
const TOGETHER: Duration = Duration::from_millis(300);
/// Lines of what is due; the page has them all.
const LINES: usize = 8;

const SHOW: &str = "show";
const LOGIN: &str = "login";
const QUIT: &str = "quit";
/// Items that lead to a screen begin with this.
const GO: &str = "go:";

/// Puts the icon into the tray, if there can be one, and keeps its menu true. `keep` is a
/// folder for the icon's file.
pub fn start(app: &App, shell: Shell, signals: Receiver<Signal>, keep: &Path) {
    if !has_library() {
        eprintln!(
            "There will be no tray: install the library libayatana-appindicator3 for one. \
             Closing the window ends Slowstone."
        );
        return;
    }
    let mut builder = TrayIconBuilder::with_id(TRAY)
        .tooltip("Slowstone")
        .temp_dir_path(keep)
        .on_menu_event(chosen);
    if let Some(icon) = app.default_window_icon() {
        builder = builder.icon(icon.clone());
    }
    match builder.build(app) {
        Ok(tray) => drop(async_runtime::spawn(follow(tray, shell, signals))),
        Err(error) => eprintln!("There will be no tray: {error}"),
    }
}

/// True when the tray is there to be seen at this moment.
pub fn is_shown(app: &AppHandle) -> bool {
    app.tray_by_id(TRAY).is_some() && is_hosted()
}

/// Whether the desktop shows trays: it says so on the session bus (StatusNotifierItem
/// specification, `StatusNotifierWatcher`).
#[cfg(target_os = "linux")]
fn is_hosted() -> bool {
    let asked = || -> zbus::Result<bool> {
        let bus = zbus::blocking::Connection::session()?;
        let name = "org.kde.StatusNotifierWatcher";
        let watcher = zbus::blocking::Proxy::new(&bus, name, "/StatusNotifierWatcher", name)?;
        watcher.get_property("IsStatusNotifierHostRegistered")
    };
    asked().unwrap_or(false)
}

#[cfg(not(target_os = "linux"))]
fn is_hosted() -> bool {
    true
}

/// The library is loaded when the tray is made, and the crate that does it ends the program
/// when there is none: so it is looked for first, where Debian and others keep libraries.
#[cfg(target_os = "linux")]
fn has_library() -> bool {
    let triplet = format!("/usr/lib/{}-linux-gnu", std::env::consts::ARCH);
    let paths = std::env::var_os("LD_LIBRARY_PATH").unwrap_or_default();
    let usual = [triplet.as_str(), "/usr/lib64", "/usr/lib", "/usr/local/lib"];
    let usual = usual.into_iter().map(std::path::PathBuf::from);
    let names = ["libayatana-appindicator3.so.1", "libappindicator3.so.1"];
    let mut folders = std::env::split_paths(&paths).chain(usual);
    folders.any(|folder| names.iter().any(|name| folder.join(name).exists()))
}

#[cfg(not(target_os = "linux"))]
fn has_library() -> bool {
    true
}

/// Makes the menu anew whenever something else can be done, until the hub stops.
async fn follow(tray: TrayIcon, shell: Shell, mut signals: Receiver<Signal>) {
    let mut shown = None;
    loop {
        let now = (shell.seen().await, shell.words().await);
        if shown.as_ref() != Some(&(now.0.clone(), now.1.language().to_owned())) {
            let made = menu(tray.app_handle(), &now.0, &now.1);
            if let Err(error) = made.and_then(|menu| tray.set_menu(Some(menu))) {
                eprintln!("The menu of the tray could not be made: {error}");
            }
            shown = Some((now.0, now.1.language().to_owned()));
        }
        match timeout(EVERY, signals.recv()).await {
            Ok(Err(RecvError::Closed)) => return,
            _ => sleep(TOGETHER).await,
        }
        // What has come meanwhile is in what is looked at next.
        signals = signals.resubscribe();
    }
}

fn menu(app: &AppHandle, seen: &Seen, words: &Words) -> tauri::Result<Menu<tauri::Wry>> {
    let title = |key| MenuItem::new(app, words.say(key, &[]), false, None::<&str>);
    let item = |id, key| MenuItem::with_id(app, id, words.say(key, &[]), true, None::<&str>);
    let line = |line: &Line| {
        let id = format!("{GO}{}", place::screen(&line.site, Some(&line.pour)));
        MenuItem::with_id(app, id, &line.text, true, None::<&str>)
    };
    let menu = Menu::new(app)?;
    let mut items: Vec<Box<dyn IsMenuItem<tauri::Wry>>> = Vec::new();
    if seen.now.is_empty() {
        items.push(Box::new(title("desk-nothing")?));
    } else {
        items.push(Box::new(title("desk-now")?));
        for one in seen.now.iter().take(LINES) {
            items.push(Box::new(line(one)?));
        }
    }
    if !seen.next.is_empty() {
        items.push(Box::new(PredefinedMenuItem::separator(app)?));
        items.push(Box::new(title("desk-next")?));
        for one in &seen.next {
            items.push(Box::new(line(one)?));
        }
    }
    items.push(Box::new(PredefinedMenuItem::separator(app)?));
    items.push(Box::new(item(SHOW, "desk-open")?));
    // At login the usual log is opened, so another one does not offer it.
    if std::env::var_os("SLOWSTONE_DATA").is_none_or(|asked| asked.is_empty()) {
        let on = app.autolaunch().is_enabled().unwrap_or(false);
        let text = words.say("desk-login", &[]);
        let check = CheckMenuItem::with_id(app, LOGIN, text, true, on, None::<&str>)?;
        items.push(Box::new(check));
    }
    items.push(Box::new(item(QUIT, "desk-quit")?));
    for item in &items {
        menu.append(item.as_ref())?;
    }
    Ok(menu)
}

/// Does what an item of the menu says.
fn chosen(app: &AppHandle, event: MenuEvent) {
    match event.id().as_ref() {
        SHOW => window::show(app, None),
        QUIT => app.exit(0),
        LOGIN => login(app),
        other => {
            if let Some(screen) = other.strip_prefix(GO) {
                window::show(app, Some(screen));
            }
        }
    }
}

/// Turns starting at login on or off. The item has changed its mark by itself.
fn login(app: &AppHandle) {
    let login = app.autolaunch();
    let changed = match login.is_enabled() {
        Ok(true) => login.disable(),
        _ => {
            // The plugin does not make the folder above its own.
            let _ = app
                .path()
                .home_dir()
                .map(|home| std::fs::create_dir_all(home.join(".config")));
            login.enable()
        }
    };
    if let (Err(error), Some(shell)) = (changed, app.try_state::<Shell>()) {
        let (app, shell) = (app.clone(), shell.inner().clone());
        async_runtime::spawn(async move {
            let words = shell.words().await;
            let note = Note {
                title: words.say("desk-no-login", &[]),
                lines: vec![error.to_string()],
                screen: None,
            };
            note::show(&app, &words, note);
        });
    }
}
