//! One record as it stands: its fields after corrections, and whether it was taken back.
//!
//! A correction lists the earlier ones that its author had seen. For each field the
//! corrections that no other one has seen stand; if they disagree, that is a conflict for
//! a person to settle, and until then the later one by its device's clock (then by id) is
//! shown. Arrival order never matters.

use super::{Book, Ids, Problem, Table};
use crate::event::Event;
use crate::facts::{Correction, Fact};
use crate::limits::FieldError;
use crate::misfit::MisfitCode;
use crate::view::{Conflict, Version};
use serde_json::{Map, Value};
use slowstone_curing::units::AtMs;

/// What became of one record.
pub(super) struct Resolved {
    pub fact: Option<Fact>,
    /// The body cannot be read; the problems say why.
    pub unreadable: bool,
    pub edited: bool,
    /// When it was logged: by its device's clock, or as somebody corrected that; none where
    /// that clock showed no time and nobody did.
    pub logged: Option<AtMs>,
    pub conflicts: Vec<Conflict>,
    pub problems: Vec<Problem>,
}

impl Book {
    /// Whether an event was taken back (and not restored).
    ///
    /// A retraction holds unless it was itself taken back. Works through the chain with a
    /// list instead of calls, so that no chain is too long; events that take back each
    /// other in a circle are each met once.
    pub(super) fn retracted(&self, id: &str) -> bool {
        if self.retractions(id).next().is_none() {
            return false;
        }
        let mut met: Vec<&str> = vec![id];
        let mut known = Ids::default();
        known.add(id);
        let mut next = 0;
        while let Some(of) = met.get(next).copied() {
            next += 1;
            let found = self.retractions(of).map(|e| e.id.as_str());
            met.extend(found.filter(|e| known.add(e)));
        }
        let mut gone = Ids::default();
        for of in met.into_iter().rev() {
            if self.retractions(of).any(|e| !gone.contains_key(&e.id)) {
                gone.add(of);
            }
        }
        gone.contains_key(id)
    }

    /// Retractions of an event, whether they hold or not.
    fn retractions(&self, of: &str) -> impl Iterator<Item = &Event> {
        let site = self.events.get(of).map(|e| e.site.as_str());
        self.touching(of)
            .filter(move |e| e.kind == "retraction" && Some(e.site.as_str()) == site)
    }

    /// Corrections and retractions of a record.
    pub(super) fn touching(&self, id: &str) -> impl Iterator<Item = &Event> {
        let ids = self.touching.get(id).into_iter();
        ids.flat_map(|ids| ids.keys())
            .filter_map(|e| self.events.get(e))
            .map(AsRef::as_ref)
    }

    /// The corrections of a record that can be read, by clock and id.
    pub(super) fn corrections(&self, of: &Event) -> Vec<(&Event, Correction)> {
        let mut found: Vec<(&Event, Correction)> = self
            .touching(&of.id)
            .filter(|e| e.kind == "correction" && e.site == of.site)
            .filter_map(|e| match Fact::parse(&e.kind, &e.body) {
                Ok(Some(Fact::Correction(c))) => Some((e, c)),
                _ => None,
            })
            .collect();
        found.sort_by(|(a, _), (b, _)| a.logged().cmp(&b.logged()).then(a.id.cmp(&b.id)));
        found
    }

    pub(super) fn resolve(&self, event: &Event) -> Resolved {
        let all = self.corrections(event);
        let seen = ancestors(&all);
        let live: Vec<&(&Event, Correction)> =
            all.iter().filter(|(e, _)| !self.retracted(&e.id)).collect();
        let mut body = event.body.clone();
        let mut conflicts = Vec::new();
        let mut problems = Vec::new();
        let mut fields = Ids::default();
        for (_, c) in &live {
            for field in c.changes.keys() {
                fields.add(field);
            }
        }
        for field in fields.keys() {
            let versions = standing(field, &live, &seen);
            if let Some(first) = versions.first() {
                set(&mut body, field, first.value.clone());
            }
            if versions
                .iter()
                .any(|v| Some(&v.value) != versions.first().map(|f| &f.value))
            {
                conflicts.push(Conflict {
                    target: event.id.clone(),
                    kind: event.kind.clone(),
                    field: field.clone(),
                    versions,
                });
            }
        }
        let (fact, unreadable) = match Fact::parse(&event.kind, &body) {
            Ok(fact) => (fact, false),
            Err(_) => self.resolve_one_by_one(event, &live, &mut problems),
        };
        let own = Some(event.at_ms).filter(|at| at.in_calendar());
        let said = live.iter().rev().find_map(|(_, c)| c.logged_ms);
        Resolved {
            fact,
            unreadable,
            logged: own.or(said),
            edited: !live.is_empty(),
            conflicts,
            problems,
        }
    }

    /// Applies corrections in order and leaves out those that would make the record
    /// unreadable.
    fn resolve_one_by_one(
        &self,
        event: &Event,
        live: &[&(&Event, Correction)],
        problems: &mut Vec<Problem>,
    ) -> (Option<Fact>, bool) {
        let mut body = event.body.clone();
        let mut unread = Vec::new();
        let mut fact = match Fact::parse(&event.kind, &body) {
            Ok(fact) => fact,
            Err(e) => {
                unread.push(Problem {
                    event: event.id.clone(),
                    kind: event.kind.clone(),
                    code: if is_time(&e) {
                        "time_outside"
                    } else {
                        "unreadable"
                    }
                    .into(),
                    text: e.to_string(),
                });
                None
            }
        };
        for (correction, c) in live {
            let mut tried = body.clone();
            for (field, value) in &c.changes {
                set(&mut tried, field, value.clone());
            }
            match Fact::parse(&event.kind, &tried) {
                Ok(good) => {
                    body = tried;
                    fact = good;
                    // What was wrong with the record was put right.
                    unread.clear();
                }
                Err(e) => problems.push(Problem {
                    event: correction.id.clone(),
                    kind: correction.kind.clone(),
                    code: "bad_correction".into(),
                    text: format!("left out, because {e}; correct it again"),
                }),
            }
        }
        let unreadable = !unread.is_empty();
        problems.extend(unread);
        (fact, unreadable)
    }
}

/// Whether a body cannot be read because of a time in it.
fn is_time(e: &FieldError) -> bool {
    let odd = matches!(e.reason.code, MisfitCode::OutOfRange | MisfitCode::NotATime);
    odd && e.field.ends_with("_ms")
}

/// Sets a field; `null` takes it out.
pub(super) fn set(body: &mut Map<String, Value>, field: &str, value: Value) {
    if value.is_null() {
        body.remove(field);
    } else {
        body.insert(field.to_owned(), value);
    }
}

/// For each correction, every correction that its author had seen, directly or not.
fn ancestors(all: &[(&Event, Correction)]) -> Table<Ids> {
    let mut direct: Table<&[String]> = Table::default();
    for (event, correction) in all {
        direct.insert(event.id.clone(), &correction.seen);
    }
    let mut result = Table::default();
    for (event, _) in all {
        let mut reached = Ids::default();
        let mut open = vec![event.id.as_str()];
        while let Some(id) = open.pop() {
            for seen in direct.get(id).copied().unwrap_or_default() {
                if seen != &event.id && reached.add(seen) {
                    open.push(seen);
                }
            }
        }
        result.insert(event.id.clone(), reached);
    }
    result
}

/// The versions of a field that no other version has seen, the one to show first.
fn standing(field: &str, live: &[&(&Event, Correction)], seen: &Table<Ids>) -> Vec<Version> {
    let holders: Vec<(&Event, &Value)> = live
        .iter()
        .filter_map(|(e, c)| c.changes.get(field).map(|v| (*e, v)))
        .collect();
    let undominated = |id: &str| {
        !holders
            .iter()
            .any(|(e, _)| seen.get(&e.id).is_some_and(|s| s.contains_key(id)))
    };
    let version = |(e, v): &(&Event, &Value)| Version {
        event: e.id.clone(),
        by: e.by.clone(),
        entered_by: None,
        at_ms: e.logged(),
        value: (*v).clone(),
    };
    let unseen = holders.iter().filter(|(e, _)| undominated(&e.id));
    let mut versions: Vec<Version> = unseen.map(version).collect();
    if versions.is_empty() {
        // Two that claim to have seen each other: neither can be trusted, keep both.
        versions = holders.iter().map(version).collect();
    }
    versions.sort_by(|a, b| b.at_ms.cmp(&a.at_ms).then(b.event.cmp(&a.event)));
    versions
}
