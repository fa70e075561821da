//! Who changed what of a record, and when.
//!
//! Everything that touched the record is listed, also what was itself taken back. What the
//! record says now is worked out in [`super::resolve`].

use super::Book;
use super::resolve::set;
use crate::event::Event;
use crate::facts::Fact;
use crate::view::Change;
use serde_json::{Map, Value};

/// The history of a record, oldest first. Corrections stand in the order of their
/// devices' clocks, each with the value before and after.
pub(super) fn history(book: &Book, site: &str, record: &str) -> Vec<Change> {
    let Some(event) = book.get(record).filter(|e| e.site == site) else {
        return Vec::new();
    };
    let mut changes = vec![Change {
        event: event.id.clone(),
        by: event.by.clone(),
        entered_by: None,
        at_ms: event.logged(),
        what: "created".into(),
        fields: event
            .body
            .iter()
            .map(|(k, v)| (k.clone(), Value::Null, v.clone()))
            .collect(),
        retracted: book.retracted(&event.id),
    }];
    let mut body = event.body.clone();
    for (correction, c) in book.corrections(event) {
        let retracted = book.retracted(&correction.id);
        let fields = c
            .changes
            .iter()
            .map(|(field, new)| (field.clone(), old(&body, field), new.clone()))
            .collect();
        if !retracted {
            for (field, value) in &c.changes {
                set(&mut body, field, value.clone());
            }
        }
        changes.push(line(correction, "corrected", fields, retracted));
        takes_back(book, correction, 0, &mut changes);
    }
    takes_back(book, event, 0, &mut changes);
    changes
        .get_mut(1..)
        .unwrap_or_default()
        .sort_by(|a, b| a.at_ms.cmp(&b.at_ms).then(a.event.cmp(&b.event)));
    name_devices(book, site, &mut changes);
    changes
}

/// Says of each change whose device it came from, where the hub noted it.
fn name_devices(book: &Book, site: &str, changes: &mut [Change]) {
    let notes = book.ids(site).filter_map(|id| {
        let note = book.get(id).filter(|e| e.kind == "entered")?;
        match Fact::parse(&note.kind, &note.body) {
            Ok(Some(Fact::Entered(fact))) if !book.retracted(id) => Some(fact),
            _ => None,
        }
    });
    for note in notes {
        for change in changes.iter_mut().filter(|c| c.event == note.entry) {
            change.entered_by = Some(note.person.clone());
        }
    }
}

/// Adds the retractions of an event, and their own retractions (restorations).
fn takes_back(book: &Book, of: &Event, depth: usize, changes: &mut Vec<Change>) {
    if depth > 16 {
        return;
    }
    for e in book
        .touching(&of.id)
        .filter(|e| e.kind == "retraction" && e.site == of.site)
    {
        let what = if depth.is_multiple_of(2) {
            "retracted"
        } else {
            "restored"
        };
        changes.push(line(e, what, Vec::new(), book.retracted(&e.id)));
        takes_back(book, e, depth + 1, changes);
    }
}

fn line(event: &Event, what: &str, fields: Vec<(String, Value, Value)>, retracted: bool) -> Change {
    Change {
        event: event.id.clone(),
        by: event.by.clone(),
        entered_by: None,
        at_ms: event.logged(),
        what: what.into(),
        fields,
        retracted,
    }
}

fn old(body: &Map<String, Value>, field: &str) -> Value {
    body.get(field).cloned().unwrap_or(Value::Null)
}
