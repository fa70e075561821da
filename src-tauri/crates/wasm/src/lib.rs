//! The pure core for the browser: JSON in, JSON out.
//!
//! A page holds one [`Core`]: the events that it knows, and what they add up to. It works
//! with no network at all and gives the same bytes as the hub. [`abi`] is the only
//! way in for JavaScript and the only unsafe code of the project; `ui/src/lib/core.ts` is
//! its other side. There is no clock here: every question brings its `now_ms`.

mod abi;

use serde::Deserialize;
use serde_json::{Value, json};
use slowstone_curing::units::AtMs;
use slowstone_logbook::{Book, Event};

/// What a page can ask.
#[derive(Debug, Deserialize)]
#[serde(tag = "op", rename_all = "snake_case", deny_unknown_fields)]
enum Ask {
    /// Adds events; answers how many were new.
    Add { events: Vec<Event> },
    /// Forgets everything.
    Forget {},
    /// Whether an event can be stored: `null`, or why not.
    Check { event: Event },
    /// The list of sites.
    Sites {},
    /// The first screen of a site, or `null`.
    Site { site: String, now_ms: AtMs },
    /// The screen of a pour, or `null`.
    Pour {
        site: String,
        pour: String,
        now_ms: AtMs,
    },
    /// The history of a record.
    History { site: String, record: String },
    /// One answer of the desk (see `slowstone calc`).
    Calc { topic: String, input: Value },
}

/// The core of one page.
#[derive(Debug, Default)]
pub struct Core {
    book: Book,
}

impl Core {
    /// Answers one question: `{"ok": ...}`, or `{"error": {"code", "text"}}`.
    ///
    /// ```
    /// let mut core = slowstone_wasm::Core::default();
    /// assert_eq!(core.answer(r#"{"op": "sites"}"#), r#"{"ok":[]}"#);
    /// assert!(core.answer("{}").starts_with(r#"{"error""#));
    /// ```
    pub fn answer(&mut self, question: &str) -> String {
        let answer = match serde_json::from_str::<Ask>(question) {
            Ok(ask) => self.work(ask),
            Err(e) => Err(("unreadable", e.to_string())),
        };
        let answer = match answer {
            Ok(value) => json!({ "ok": value }),
            Err((code, text)) => json!({"error": {"code": code, "text": text}}),
        };
        answer.to_string()
    }

    fn work(&mut self, ask: Ask) -> Result<Value, (&'static str, String)> {
        let told = |v: Result<Value, serde_json::Error>| v.map_err(|e| ("fault", e.to_string()));
        match ask {
            Ask::Add { events } => {
                let new = events.into_iter().filter(|e| self.book.add(e.clone()));
                Ok(json!(new.count()))
            }
            Ask::Forget {} => {
                self.book = Book::new();
                Ok(Value::Null)
            }
            Ask::Check { event } => told(serde_json::to_value(event.check().err())),
            Ask::Sites {} => told(serde_json::to_value(self.book.sites())),
            Ask::Site { site, now_ms } => {
                told(serde_json::to_value(self.book.site_view(&site, now_ms)))
            }
            Ask::Pour { site, pour, now_ms } => told(serde_json::to_value(
                self.book.pour_view(&site, &pour, now_ms),
            )),
            Ask::History { site, record } => {
                told(serde_json::to_value(self.book.history(&site, &record)))
            }
            Ask::Calc { topic, input } => Ok(json!([topic,input])),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_without_network_gets_the_views_of_the_hub() {
        let mut core = Core::default();
        let site = json!({"id": "site-0001", "site": "site-0001", "by": "Ada", "at_ms": 0,
            "kind": "site", "body": {"name": "Landing", "tz": "Europe/Oslo"}});
        let add = json!({"op": "add", "events": [site, site]}).to_string();
        assert_eq!(core.answer(&add), r#"{"ok":1}"#);
        let ask = r#"{"op": "site", "site": "site-0001", "now_ms": 1781074800000}"#;
        let view: Value = serde_json::from_str(&core.answer(ask)).unwrap();
        assert_eq!(view["ok"]["site"]["fact"]["name"], "Landing");
        let mut book = Book::new();
        book.add(serde_json::from_value(site).unwrap());
        let own = book.site_view("site-0001", AtMs(1_781_074_800_000));
        assert_eq!(view["ok"], serde_json::to_value(own).unwrap());
    }

    #[test]
    fn what_cannot_be_read_is_said() {
        let mut core = Core::default();
        for odd in ["", "[]", "{\"op\":\"fly\"}", "{\"op\":\"site\",\"site\":3}"] {
            let said: Value = serde_json::from_str(&core.answer(odd)).unwrap();
            assert_eq!(said["error"]["code"], "unreadable", "{odd}");
        }
        let bad = json!({"op": "check", "event": {"id": "event-001", "site": "site-0001",
            "by": "Ada", "at_ms": 0, "kind": "reading", "body": {"at_ms": 1781074800000_i64, "air_c": 99}}});
        let said: Value = serde_json::from_str(&core.answer(&bad.to_string())).unwrap();
        assert_eq!(said["ok"]["field"], "air_c");
    }
}
