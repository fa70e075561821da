//! The pure core for the browser: JSON in, JSON out.
//!
//! A page holds one [`Core`]: the events that it knows, and what they add up to. It works
//! with no network at all and gives the same bytes as the hub. [`abi`] is the only
//! way in for JavaScript and the only unsafe code of the project; `ui/src/lib/core.ts` is
//! its other side. There is no clock here: every question brings its `now_ms`.

#[cfg(target_arch = "wasm32")]
mod abi;

mod ask;

pub use ask::Refused;

use ask::Question;
use serde::Serialize;
use slowstone_curing::desk;
use slowstone_logbook::{Book, Event, Zones};

/// The core of one page.
#[derive(Debug)]
pub struct Core {
    book: Book,
}

impl Core {
    /// A core that asks `zones` for the clocks of the sites.
    #[must_use]
    pub fn new(zones: impl Zones + 'static) -> Self {
        Self {
            book: Book::with_zones(zones),
        }
    }

    /// Answers one question: `{"ok": ...}`, or `{"error": {"code", "text"}}`.
    ///
    /// ```
    /// use slowstone_logbook::zones::Utc;
    /// let mut core = slowstone_wasm::Core::new(Utc);
    /// assert_eq!(core.answer(r#"{"op": "sites"}"#), r#"{"ok":[]}"#);
    /// assert!(core.answer("{}").starts_with(r#"{"error""#));
    /// ```
    pub fn answer(&mut self, question: &str) -> String {
        let answer = Question::read(question).and_then(|question| self.work(question));
        match answer {
            Ok(json) => format!("{{\"ok\":{json}}}"),
            Err(why) => format!("{{\"error\":{}}}", why.json()),
        }
    }

    fn work(&mut self, mut ask: Question) -> Result<String, Refused> {
        let op = ask.text("op")?;
        let answer = match op.as_str() {
            // Adds events; answers how many were new.
            "add" => {
                let events = ask.list("events")?;
                let events: Result<Vec<Event>, _> = events.iter().map(Event::read).collect();
                let events = events.map_err(|e| Refused::new("unreadable", &e))?;
                let new = events.into_iter().filter(|e| self.book.add(e.clone()));
                json(&new.count())
            }
            // Whether an event can be stored: `null`, or why not.
            "check" => {
                let event = Event::read(&ask.value("event")?);
                json(&event.and_then(|e| self.book.check(&e)).err())
            }
            // The list of sites.
            "sites" => json(&self.book.sites()),
            // The first screen of a site, or `null`.
            "site" => {
                let (site, now) = (ask.text("site")?, ask.instant("now_ms")?);
                json(&self.book.site_view(&site, now))
            }
            // The screen of a pour, or `null`.
            "pour" => {
                let (site, pour) = (ask.text("site")?, ask.text("pour")?);
                json(&self.book.pour_view(&site, &pour, ask.instant("now_ms")?))
            }
            // The history of a record.
            "history" => {
                let (site, record) = (ask.text("site")?, ask.text("record")?);
                json(&self.book.history(&site, &record))
            }
            // One answer of the desk (see `slowstone calc`).
            "calc" => {
                let (topic, input) = (ask.text("topic")?, ask.value("input")?);
                let answer = desk::calc(&topic, &input);
                json(&answer.map_err(|e| Refused::new("refused", &e))?)
            }
            _ => {
                return Err(Refused::new(
                    "unreadable",
                    &format_args!("op {op} is not known"),
                ));
            }
        };
        answer.map_err(|e| Refused::new("fault", &e))
    }
}

fn json<T: Serialize>(value: &T) -> serde_json::Result<String> {
    serde_json::to_string(value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};
    use slowstone_curing::units::AtMs;
    use slowstone_logbook::zones::Utc;

    #[test]
    fn a_page_without_network_gets_the_views_of_the_hub() {
        let mut core = Core::new(Utc);
        let site = json!({"id": "site-0001", "site": "site-0001", "by": "Ada", "at_ms": 0,
            "kind": "site", "body": {"name": "Landing", "tz": "Europe/Oslo"}});
        let add = json!({"op": "add", "events": [site, site]}).to_string();
        assert_eq!(core.answer(&add), r#"{"ok":1}"#);
        let ask = r#"{"op": "site", "site": "site-0001", "now_ms": 1781074800000}"#;
        let view: Value = serde_json::from_str(&core.answer(ask)).unwrap();
        assert_eq!(view["ok"]["site"]["fact"]["name"], "Landing");
        let mut book = Book::with_zones(Utc);
        book.add(serde_json::from_value(site).unwrap());
        let own = book.site_view("site-0001", AtMs(1_781_074_800_000));
        assert_eq!(view["ok"], serde_json::to_value(own).unwrap());
    }

    #[test]
    fn what_cannot_be_read_is_said() {
        let mut core = Core::new(Utc);
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
