//! Streams of phones: their records are kept as they were written, in their own order.
//!
//! What a record says is judged as any entry is; what cannot be ends the batch, so that the
//! phone's stream in the log has neither holes nor nonsense. An entry that is known already
//! (from a saved copy, from another stream) is kept in the stream and added up once. The
//! rule by which a record fits its stream is [`slowstone_sync::admit`]; over HTTP:
//! [`crate::api::streams`].

pub use super::HUBS;
use super::{Ledger, Origin};
use serde_json::Value;
use slowstone_curing::units::AtMs;
use slowstone_logbook::event::MAX_DEPTH;
use slowstone_logbook::misfit::{Misfit, MisfitCode};
use slowstone_logbook::{Event, EventError};
use slowstone_store::{Head, StoreError, StreamId, Verdict};
use slowstone_sync::{Receipt, Record, admit};
use std::collections::BTreeSet;

/// What became of a batch.
#[derive(Debug, Default, PartialEq)]
pub struct Received {
    /// What the phone goes on by.
    pub receipt: Receipt,
    /// Why the record after the accepted ones was not taken.
    pub why: Option<EventError>,
    /// Sites that have new entries.
    pub touched: BTreeSet<String>,
    /// The new entries.
    pub fresh: Vec<Event>,
}

impl Ledger {
    /// Takes records of one stream in their order, up to the first that does not fit; what
    /// is accepted is on the disk when this returns. `received` is the hub's clock; `may` says
    /// of an entry, with those that came before it, whether the sender may log it.
    ///
    /// # Errors
    /// If the log cannot be read or written: then nothing new was stored.
    pub fn receive(
        &mut self,
        stream: &StreamId,
        records: &[Record],
        received: AtMs,
        may: impl Fn(&Self, &Event, &[Event]) -> bool,
    ) -> Result<Received, StoreError> {
        let mut out = Received::default();
        let mut head = self.log.head(stream)?;
        let have = head.as_ref().map_or(0, |h| h.seq);
        let stored = match records.first() {
            Some(first) if first.seq <= have => {
                self.log.read_stream(stream, first.seq, records.len())?
            }
            _ => Vec::new(),
        };
        let mut stored = stored.iter().map(Record::hash);
        let mut fresh: Vec<Event> = Vec::new();
        let mut fitting: Vec<Record> = Vec::new();
        // Of each of these, whether its entry is among the fresh ones.
        let mut news: Vec<bool> = Vec::new();
        for record in records {
            let verdict = admit(head.as_ref(), stored.next(), record);
            if verdict != Verdict::Append {
                if let Verdict::Bad { reason } = &verdict {
                    out.why = Some(unreadable("", reason));
                }
                if out.receipt.judge(&verdict) {
                    continue;
                }
                break;
            }
            let understood = self
                .understand(record, &fresh)
                .and_then(|event| match event {
                    Some(event) if !may(self, &event, &fresh) => Err(beyond(&event)),
                    other => Ok(other),
                });
            match understood {
                Ok(event) => {
                    news.push(event.is_some());
                    fresh.extend(event);
                }
                Err(why) => {
                    out.receipt.refused = true;
                    out.why = Some(why);
                    break;
                }
            }
            head = Some(record.head());
            fitting.push(record.clone());
        }
        let mut fresh = fresh.into_iter().peekable();
        let verdicts = self.log.append(&fitting, received.0)?;
        for (verdict, is_new) in verdicts.iter().zip(news) {
            // Another hub on the same log may have been quicker with the same stream.
            if !out.receipt.judge(verdict) {
                break;
            }
            if let Some(event) = fresh.next_if(|_| is_new) {
                out.touched.insert(event.site.clone());
                out.fresh.push(event.clone());
                self.book.add(event);
            }
        }
        out.receipt.head = self.log.head(stream)?;
        Ok(out)
    }

    /// Reads and judges what a record says; none if that entry is here already.
    fn understand(&self, record: &Record, fresh: &[Event]) -> Result<Option<Event>, EventError> {
        let entry: Value = serde_json::from_str(&record.body).map_err(|e| {
            if e.to_string().starts_with("recursion limit") {
                return too_deep();
            }
            unreadable("body", &format!("this is not the JSON of an entry ({e})"))
        })?;
        let (event, known) = self.judge(&entry, fresh, Origin::PassedOn)?;
        Ok((!known).then_some(event))
    }

    /// The heads of all streams of a device.
    ///
    /// # Errors
    /// If the log cannot be read.
    pub fn heads_of(&self, device: &str) -> Result<Vec<Head>, StoreError> {
        let mut heads = self.log.heads()?;
        heads.retain(|head| head.stream.device() == device);
        Ok(heads)
    }
}

fn beyond(event: &Event) -> EventError {
    EventError {
        event: event.id.clone(),
        field: "kind".to_owned(),
        value: event.kind.clone(),
        reason: Box::new(MisfitCode::KeeperOnly.into()),
    }
}

fn too_deep() -> EventError {
    EventError {
        event: String::new(),
        field: "body".to_owned(),
        value: String::new(),
        reason: Box::new(Misfit::most(MisfitCode::TooDeep, MAX_DEPTH as f64, "")),
    }
}

fn unreadable(field: &str, why: &str) -> EventError {
    EventError {
        event: String::new(),
        field: field.to_owned(),
        value: String::new(),
        reason: Box::new(Misfit::allowing(MisfitCode::Unreadable, why.to_owned())),
    }
}
