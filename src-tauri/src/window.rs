//! The one window after it was opened: brought to the front, led to a screen, asked which
//! site it shows. The page gets no permission for any of it; screens have addresses, and
//! going to one is what a link of the page does. It is opened in lib.rs.

use tauri::{AppHandle, Manager};

use crate::place;

/// The label of the window.
pub const MAIN: &str = "main";

/// Brings the window to the front, at `screen` if one is given.
pub fn show(app: &AppHandle, screen: Option<&str>) {
    let Some(window) = app.get_webview_window(MAIN) else {
        return;
    };
    if let Some(screen) = screen {
        // As the page's own router goes: without loading anything anew, so that nothing
        // half written is lost.
        let _ = window.eval(format!(
            "history.pushState(null, '', {screen:?}); dispatchEvent(new PopStateEvent('popstate'));"
        ));
    }
    // A window manager may refuse; there is nobody to tell.
    let _ = window.show();
    let _ = window.unminimize();
    let _ = window.set_focus();
}

/// The site that the window shows.
pub fn site(app: &AppHandle) -> Option<String> {
    let address = app.get_webview_window(MAIN)?.url().ok()?;
    place::site(&address)
}
