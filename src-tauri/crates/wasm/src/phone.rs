//! What a phone has to send, by the rules of the crate `sync`: the page hands in what it stores,
//! and gets back what to change in it.
//!
//! Nothing is kept here from one question to the next: the page stores it in the same step in
//! which it asks (`ui/src/log/stream.ts`), so that two pages of one phone may do so at once.
//! Random names are the page's, since there is no chance here.

use crate::ask::{Refused, json};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use slowstone_logbook::Event;
use slowstone_sync::{Batch, End, Head, Outbox, Receipt, Record, Stored, StreamId};
use std::collections::BTreeMap;

/// What is asked.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Work {
    /// Writes entries, each under a place of its own.
    Write {
        stored: Stored,
        bodies: BTreeMap<u64, String>,
    },
    /// What is to be sent next.
    Batch { stored: Stored, most: usize },
    /// Hears what became of a batch.
    Hear {
        stored: Stored,
        batch: Batch,
        receipt: Receipt,
        fresh: StreamId,
    },
    /// Compares with what the hub has of this device, which it may know by another name.
    Meet {
        stored: Stored,
        heads: Vec<Head>,
        fresh: StreamId,
        paired: Option<StreamId>,
    },
}

/// What the page has to change in what it stores.
#[derive(Debug, Default, Serialize)]
struct Changes {
    /// Where the next record goes, if that changed.
    end: Option<End>,
    /// Records that wait now as they did not before.
    waiting: BTreeMap<u64, Record>,
    /// Records that are sent now and were not before.
    sent: BTreeMap<u64, Record>,
    /// Places that wait no longer.
    not_waiting: Vec<u64>,
    /// Places that count as sent no longer.
    not_sent: Vec<u64>,
    /// The entry that the hub refused, and then those that hang on it.
    lost: Vec<Event>,
}

impl Changes {
    fn between(before: &Stored, after: Stored) -> Self {
        let gone = |old: &BTreeMap<u64, Record>, new: &BTreeMap<u64, Record>| {
            let places = old.keys().filter(|n| !new.contains_key(n));
            places.copied().collect()
        };
        let (not_waiting, not_sent) = (
            gone(&before.waiting, &after.waiting),
            gone(&before.sent, &after.sent),
        );
        let changed = |old: &BTreeMap<u64, Record>, mut new: BTreeMap<u64, Record>| {
            new.retain(|n, record| old.get(n) != Some(record));
            new
        };
        Self {
            end: (after.end != before.end).then_some(after.end),
            waiting: changed(&before.waiting, after.waiting),
            sent: changed(&before.sent, after.sent),
            not_waiting,
            not_sent,
            lost: Vec::new(),
        }
    }
}

/// Answers a question about what a phone has to send.
pub(crate) fn work(question: Value) -> Result<String, Refused> {
    let work = serde_json::from_value(question).map_err(|e| Refused::new("unreadable", &e))?;
    match work {
        Work::Write { stored, bodies } => {
            let before = stored.clone();
            let mut outbox = Outbox::restore(stored);
            for (place, body) in bodies {
                outbox
                    .write_at(place, body)
                    .map_err(|e| Refused::new("refused", &e))?;
            }
            json(&Changes::between(&before, outbox.stored()))
        }
        Work::Batch { stored, most } => json(&Outbox::restore(stored).batch(most)),
        Work::Hear {
            stored,
            batch,
            receipt,
            fresh,
        } => {
            let before = stored.clone();
            let mut outbox = Outbox::restore(stored);
            let refused = outbox.hear(&batch, &receipt, &fresh);
            let mut lost = Vec::new();
            if let Some(refused) = refused.as_ref().and_then(event_of) {
                let waiting = outbox.stored().waiting;
                let hanging = waiting.iter().filter_map(|(place, record)| {
                    let event = event_of(record)?;
                    hangs_on(&event, &refused.id).then_some((*place, event))
                });
                let (places, events): (Vec<u64>, Vec<Event>) = hanging.unzip();
                outbox.remove(&places, &fresh);
                lost.push(refused);
                lost.extend(events);
            }
            let changes = Changes::between(&before, outbox.stored());
            json(&Changes { lost, ..changes })
        }
        Work::Meet {
            stored,
            heads,
            fresh,
            paired,
        } => {
            let before = stored.clone();
            let mut outbox = Outbox::restore(stored);
            outbox.meet(&heads, &fresh);
            if let Some(own) = paired {
                outbox.write_as(&own);
            }
            json(&Changes::between(&before, outbox.stored()))
        }
    }
}

fn event_of(record: &Record) -> Option<Event> {
    serde_json::from_str(&record.body).ok()
}

/// Whether an entry means nothing without the one of this id.
fn hangs_on(event: &Event, id: &str) -> bool {
    let names = ["pour", "flight", "target"];
    let named = names
        .iter()
        .filter_map(|name| event.body.get(*name)?.as_str());
    event.site == id || named.into_iter().any(|name| name == id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn entry(id: &str, body: Value) -> String {
        json!({"id": id, "site": "site-0001", "by": "Ada", "at_ms": 0, "kind": "pour", "body": body})
            .to_string()
    }

    fn ask(question: Value) -> Value {
        serde_json::from_str(&work(question).unwrap()).unwrap()
    }

    /// Puts changes into what is stored, as the page does.
    fn store(stored: &mut Value, changes: &Value) {
        if changes["end"].is_object() {
            stored["end"] = changes["end"].clone();
        }
        for (area, without) in [("waiting", "not_waiting"), ("sent", "not_sent")] {
            let rows = stored[area].as_object_mut().unwrap();
            for place in changes[without].as_array().unwrap() {
                rows.remove(&place.to_string());
            }
            rows.extend(changes[area].as_object().unwrap().clone());
        }
    }

    #[test]
    fn what_hangs_on_a_refused_entry_goes_with_it_and_the_rest_is_sent() {
        let stream = |epoch: &str| json!({"device": "phone1", "epoch": epoch});
        let mut stored = json!({"waiting": {}, "sent": {},
            "end": {"stream": stream("e1"), "seq": 0, "hash": "0".repeat(64)}});
        let bodies = json!({"4": entry("pour-0001", json!({})), "5": entry("batch-0001", json!({"pour": "pour-0001"})),
            "6": entry("other-0001", json!({}))});
        let changes = ask(json!({"write": {"stored": stored, "bodies": bodies}}));
        store(&mut stored, &changes);
        let batch = ask(json!({"batch": {"stored": stored, "most": 100}}));
        assert_eq!(
            (&batch["from"], batch["bodies"].as_array().unwrap().len()),
            (&json!(1), 3)
        );
        let receipt = json!({"head": null, "accepted": 0, "refused": true});
        let changes = ask(
            json!({"hear": {"stored": stored, "batch": batch, "receipt": receipt,
            "fresh": stream("e2")}}),
        );
        let lost: Vec<&str> = changes["lost"]
            .as_array()
            .unwrap()
            .iter()
            .map(|e| e["id"].as_str().unwrap())
            .collect();
        assert_eq!(lost, ["pour-0001", "batch-0001"]);
        store(&mut stored, &changes);
        let waiting = stored["waiting"].as_object().unwrap();
        assert_eq!(waiting.keys().collect::<Vec<_>>(), ["6"]);
        assert_eq!(waiting["6"]["stream"], stream("e2"));
        assert_eq!(
            (&waiting["6"]["seq"], &stored["end"]["seq"]),
            (&json!(1), &json!(1))
        );
        // The hub has it; then it is set back and has nothing, so it waits once more.
        let batch = ask(json!({"batch": {"stored": stored, "most": 100}}));
        let receipt = json!({"head": null, "accepted": 1});
        let changes = ask(
            json!({"hear": {"stored": stored, "batch": batch, "receipt": receipt,
            "fresh": stream("e3")}}),
        );
        store(&mut stored, &changes);
        assert_eq!(
            (
                &stored["waiting"],
                stored["sent"].as_object().unwrap().len()
            ),
            (&json!({}), 1)
        );
        let changes = ask(
            json!({"meet": {"stored": stored, "heads": [], "fresh": stream("e4"), "paired": null}}),
        );
        assert_eq!(
            (&changes["not_sent"], &changes["lost"]),
            (&json!([6]), &json!([]))
        );
        // Paired under another name, it goes on in a stream of that.
        let own = json!({"device": "tablet1", "epoch": "e5"});
        let changes = ask(
            json!({"meet": {"stored": stored, "heads": [], "fresh": stream("e4"), "paired": own}}),
        );
        assert_eq!(
            (
                &changes["waiting"]["6"]["stream"],
                &changes["end"]["stream"]
            ),
            (&own, &own)
        );
    }

    #[test]
    fn what_is_no_question_is_refused_in_words() {
        let no = work(json!({"write": {"bodies": {}}})).unwrap_err();
        assert_eq!(no.code, "unreadable");
        assert!(no.text.contains("stored"), "{}", no.text);
    }
}
