//! What only a desktop has: one instance for a log, a tray, notifications, a window that
//! may close while the hub goes on, and files from outside. Puts them together; each has a
//! file of its own (tray.rs, remind.rs, files.rs, window.rs).

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use slowstone_hub::Running;
use slowstone_hub::shell::Shell;
use tauri::{
    App, AppHandle, Builder, DragDropEvent, Manager, Window, WindowEvent, Wry, async_runtime,
};
use tauri_plugin_autostart as autostart;
use tauri_plugin_single_instance as single_instance;

use crate::note::{self, Note};
use crate::place::{self, Asked};
use crate::{files, remind, tray, window};

/// Adds the plugins, of which none gives the page anything, and listens to the window.
pub fn plugins(builder: Builder<Wry>) -> Builder<Wry> {
    // A second start hands over what it was asked for, shows the window of the first and
    // ends well. Another log may have a window of its own. Without a session bus every
    // start is a first one, and the hub's lock on the log says what is wrong.
    let one = single_instance::Builder::new()
        .callback(|app, words, folder| again(app, words, &folder))
        .dbus_id(place::instance(std::env::var_os("SLOWSTONE_DATA")))
        .build();
    let login = autostart::Builder::new().arg(place::HIDDEN).build();
    builder.plugin(one).plugin(login).on_window_event(happened)
}

/// What this start was asked for. Ends the program if that was to end it: then there is no
/// other, or it would have been told.
pub fn asked(app: &App) -> Asked {
    let folder = std::env::current_dir().unwrap_or_default();
    let asked = place::asked(std::env::args_os().skip(1), &folder);
    if asked.quit {
        app.cleanup_before_exit();
        std::process::exit(0);
    }
    asked
}

/// Lets the desktop see the hub: tray and notifications. Takes in the files of the start.
pub fn settle(app: &App, running: &mut Running, beside: &Path, given: Vec<PathBuf>) {
    let (handle, shell) = (app.handle().clone(), running.shell());
    app.manage(shell.clone());
    tray::start(app, shell.clone(), running.signals(), beside);
    let signals = running.signals_since_start();
    async_runtime::spawn(remind::follow(handle.clone(), shell, signals));
    files::take(&handle, given);
}

/// A second start: `words` begin with the program's name.
fn again(app: &AppHandle, words: Vec<String>, folder: &str) {
    let words = words.into_iter().skip(1).map(OsString::from);
    let asked = place::asked(words, Path::new(folder));
    if asked.quit {
        app.exit(0);
        return;
    }
    files::take(app, asked.files);
    if !asked.hidden {
        window::show(app, None);
    }
}

fn happened(window: &Window, event: &WindowEvent) {
    let app = window.app_handle();
    match event {
        WindowEvent::DragDrop(DragDropEvent::Drop { paths, .. }) => {
            files::take(app, paths.clone());
        }
        // Without a tray nobody would find the way back: the program ends, as others do.
        WindowEvent::CloseRequested { api, .. } if tray::is_shown(app) => {
            api.prevent_close();
            // A window manager may refuse; there is nobody to tell.
            let _ = window.hide();
            tell_closed(app);
        }
        _ => {}
    }
}

/// Says once, in the life of the log, that closing the window is not the end.
fn tell_closed(app: &AppHandle) {
    let Some(shell) = app.try_state::<Shell>().map(|shell| shell.inner().clone()) else {
        return;
    };
    let app = app.clone();
    async_runtime::spawn(async move {
        if shell.first_time("closed").await {
            let words = shell.words().await;
            let note = Note {
                title: words.say("desk-closed", &[]),
                lines: vec![words.say("desk-closed-what", &[])],
                screen: None,
            };
            note::show(&app, &words, note);
        }
    });
}
