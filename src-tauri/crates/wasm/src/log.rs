//! The log on a page: events in, views out, as the hub gives them.
//!
//! It is kept in the memory of the page and nowhere else; storing and sending are done by
//! the web app (`ui/src/log`).

use crate::ask::{Question, Refused, json, reply};
use crate::desk;
use crate::phone;
use serde_json::json;
use slowstone_logbook::facts::Fact;
use slowstone_logbook::{Book, Event, Zones, logger};

/// The log of one page.
#[derive(Debug)]
pub struct Log {
    book: Book,
}

impl Log {
    /// An empty log that asks `zones` for the clocks of the sites.
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
    /// let mut log = slowstone_wasm::Log::new(Utc);
    /// assert_eq!(log.answer(r#"{"op": "sites"}"#), r#"{"ok":[]}"#);
    /// assert!(log.answer("{}").starts_with(r#"{"error""#));
    /// ```
    pub fn answer(&mut self, question: &str) -> String {
        reply(Question::read(question).and_then(|ask| self.work(ask)))
    }

    fn work(&mut self, mut ask: Question) -> Result<String, Refused> {
        let op = ask.text("op")?;
        match op.as_str() {
            // Adds events; answers how many were new.
            "add" => {
                let events = ask.list("events")?;
                // One that cannot be read takes none of the others with it.
                let events = events.iter().flat_map(Event::read_stored);
                let new = events.map(|e| u32::from(self.book.add(e)));
                json(&new.sum::<u32>())
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
            // What is in a table of a logger, or why it is none; its bytes as letters up to U+00FF.
            "table" => {
                let bytes = ask.bytes("bytes")?;
                json(&match logger::look(&bytes) {
                    Ok(preview) => json!({"preview": preview}),
                    Err(why) => json!({"no_table": why}),
                })
            }
            // Its rows by the columns that were confirmed, and the entries that they make.
            "table_rows" => {
                let (bytes, tz) = (ask.bytes("bytes")?, ask.text("tz")?);
                let source = ask.text("source")?;
                let pour = ask.text("pour")?;
                let columns = serde_json::from_value(ask.value("columns")?)
                    .map_err(|e| Refused::new("unreadable", &e))?;
                json(
                    &match logger::take(&bytes, &columns, self.book.zones(), &tz) {
                        Ok(taken) => {
                            let pour = Some(pour.as_str()).filter(|p| !p.is_empty());
                            json!({"bodies": taken.bodies(&source, pour), "taken": taken})
                        }
                        Err(why) => json!({"no_table": why}),
                    },
                )
            }
            // Photos by step and stage, or `null`.
            "photos" => {
                let site = ask.text("site")?;
                json(&self.book.photos_view(&site, ask.instant("now_ms")?))
            }
            // Where a photo that is not in the log yet will be: `photo` as it will be entered.
            "place" => {
                let site = ask.text("site")?;
                let entry = ask.value("photo")?;
                let body = entry.as_object().cloned().unwrap_or_default();
                match Fact::parse("photo", &body) {
                    Ok(Some(Fact::Photo(photo))) => json(&self.book.place_to_be(&site, photo)),
                    Ok(_) => Err(Refused::new("unreadable", &"photo is no photo")),
                    Err(e) => Err(Refused::new("refused", &format_args!("{}", e))),
                }
            }
            // The history of a record.
            "history" => {
                let (site, record) = (ask.text("site")?, ask.text("record")?);
                json(&self.book.history(&site, &record))
            }
            // What a phone has to send, by the rules of `sync`.
            "outbox" => phone::work(ask.value("work")?),
            // What `slowstone calc` answers.
            "calc" => desk::calc(ask),
            _ => Err(Refused::new(
                "unreadable",
                &format_args!("op {op} is not known"),
            )),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};
    use slowstone_curing::units::AtMs;
    use slowstone_logbook::zones::Utc;

    #[test]
    fn a_page_without_network_gets_the_views_of_the_hub() {
        let mut log = Log::new(Utc);
        let site = json!({"id": "site-0001", "site": "site-0001", "by": "Ada", "at_ms": 0,
            "kind": "site", "body": {"name": "Landing", "tz": "Europe/Oslo"}});
        let add = json!({"op": "add", "events": [site, site]}).to_string();
        assert_eq!(log.answer(&add), r#"{"ok":1}"#);
        let ask = r#"{"op": "site", "site": "site-0001", "now_ms": 1781074800000}"#;
        let view: Value = serde_json::from_str(&log.answer(ask)).unwrap();
        assert_eq!(view["ok"]["site"]["fact"]["name"], "Landing");
        let mut book = Book::with_zones(Utc);
        book.add(serde_json::from_value(site).unwrap());
        let own = book.site_view("site-0001", AtMs(1_781_074_800_000));
        assert_eq!(view["ok"], serde_json::to_value(own).unwrap());
    }

    #[test]
    fn what_cannot_be_read_is_said() {
        let mut log = Log::new(Utc);
        for odd in ["", "[]", "{\"op\":\"fly\"}", "{\"op\":\"site\",\"site\":3}"] {
            let said: Value = serde_json::from_str(&log.answer(odd)).unwrap();
            assert_eq!(said["error"]["code"], "unreadable", "{odd}");
        }
        let bad = json!({"op": "check", "event": {"id": "event-001", "site": "site-0001",
            "by": "Ada", "at_ms": 0, "kind": "reading", "body": {"at_ms": 1781074800000_i64, "air_c": 99}}});
        let said: Value = serde_json::from_str(&log.answer(&bad.to_string())).unwrap();
        assert_eq!(said["ok"]["field"], "air_c");
    }
}
