//! Entries from anywhere: read, checked, added up and shown. What passes the check must
//! come out of its own JSON as it went in, and a screen of it must not fail.
#![no_main]

use libfuzzer_sys::fuzz_target;
use serde_json::Value;
use slowstone_curing::units::AtMs;
use slowstone_logbook::{Book, Event};

fuzz_target!(|data: &[u8]| {
    let Ok(sent) = serde_json::from_slice::<Value>(data) else {
        return;
    };
    let entries = match sent {
        Value::Array(entries) => entries,
        one => vec![one],
    };
    let mut book = Book::new();
    for entry in &entries {
        let Ok(event) = Event::read(entry) else {
            continue;
        };
        if book.check(&event).is_ok() {
            let text = serde_json::to_string(&event).unwrap();
            assert_eq!(serde_json::from_str::<Event>(&text).unwrap(), event);
            book.add(event);
        }
    }
    for site in book.sites() {
        let _ = book.site_view(&site.id, AtMs(1_790_000_000_000));
    }
});
