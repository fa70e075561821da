//! The one page the shell has of its own: what it shows when the hub could not
//! start. It carries its text in its address, needs no server and runs no script.
//! Next: lib.rs.

use tauri::{Error, Url};

/// The address of a page that gives `reason` in plain text.
///
/// # Errors
/// Only if the address could not be read back, which no text should bring about.
pub fn page(reason: &str) -> tauri::Result<Url> {
    let page = format!(
        "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\">\
         <title>Slowstone</title>\
         <style>body{{font:1.25rem/1.5 system-ui,sans-serif;color:#2b1c10;\
         background:#f3e9d8;max-width:38rem;margin:12vh auto;padding:0 1.5rem}}</style>\
         <h1>Slowstone did not start</h1>\
         <p role=\"alert\" data-testid=\"start-failure\">{}</p>\
         <p>Nothing in the log was changed. Close this window, put it right \
         and start again.</p></html>",
        escaped(reason)
    );
    let address = format!("data:text/html;charset=utf-8,{}", encoded(&page));
    address.parse().map_err(Error::InvalidUrl)
}

/// `text` with the characters that mean something in HTML made harmless.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            other => out.push(other),
        }
    }
    out
}

/// Percent-encoding of everything but letters and digits (RFC 3986, section 2.1).
fn encoded(text: &str) -> String {
    let mut out = String::with_capacity(text.len() * 2);
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markup_in_a_reason_stays_text() {
        assert_eq!(escaped("a <b> & \"c\""), "a &lt;b&gt; &amp; &quot;c&quot;");
    }

    #[test]
    fn the_address_is_the_page() {
        // RFC 3986 writes a space as %20 and a percent sign as %25.
        assert_eq!(encoded("50 %"), "50%20%25");
        let page = page("The log in \u{2018}caf\u{e9}\u{2019} is in use. <script>").unwrap();
        assert_eq!(page.scheme(), "data");
        assert!(page.as_str().contains("caf%C3%A9"));
        assert!(
            page.as_str().contains("%26lt%3Bscript"),
            "escaped, then encoded: {page}"
        );
        assert!(!page.as_str().contains("%3Cscript"));
    }
}
