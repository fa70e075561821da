//! What must hold for any order, any repetition and any partner.
//!
//! `Shelf` is a plain log in memory that knows the rules only through the crate.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use proptest::prelude::*;
use slowstone_sync::{
    Bookmark, Chain, Head, HubEpoch, HubState, Range, Record, StreamId, Verdict, admit, meet,
    missing,
};
use std::collections::BTreeMap;

#[derive(Clone, Debug, Default, PartialEq)]
struct Shelf(BTreeMap<StreamId, Vec<Record>>);

impl Shelf {
    fn offer(&mut self, record: &Record) -> Verdict {
        let line = self.0.entry(record.stream.clone()).or_default();
        let head = line.last().map(Record::head);
        let at = line
            .get((record.seq as usize).wrapping_sub(1))
            .map(Record::hash);
        let verdict = admit(head.as_ref(), at, record);
        if verdict == Verdict::Append {
            line.push(record.clone());
        }
        verdict
    }

    fn heads(&self) -> Vec<Head> {
        let lines = self.0.values();
        lines.filter_map(|l| l.last().map(Record::head)).collect()
    }

    fn read(&self, range: &Range) -> Vec<Record> {
        let line = self.0.get(&range.stream).map_or(&[][..], Vec::as_slice);
        line.iter()
            .filter(|r| r.seq >= range.from_seq)
            .cloned()
            .collect()
    }

    /// Hands over everything that `to` lacks.
    fn send(&self, to: &mut Shelf) -> Vec<Verdict> {
        let ranges = missing(&self.heads(), &to.heads());
        let records: Vec<_> = ranges.iter().flat_map(|r| self.read(r)).collect();
        records.iter().map(|r| to.offer(r)).collect()
    }
}

fn streams(lengths: &[usize], salt: u32) -> Vec<Vec<Record>> {
    lengths
        .iter()
        .enumerate()
        .map(|(i, n)| {
            let id = StreamId::new(&format!("phone{i}"), &format!("e{salt}")).unwrap();
            let mut chain = Chain::start(id);
            (0..*n)
                .map(|k| chain.next(format!("[{salt},{i},{k}]")).unwrap())
                .collect()
        })
        .collect()
}

proptest! {
    #[test]
    fn any_order_and_repetition_ends_in_the_same_heads(
        lengths in prop::collection::vec(1usize..8, 1..5),
        order in prop::collection::vec(any::<prop::sample::Index>(), 0..80),
        salt: u32,
    ) {
        let lines = streams(&lengths, salt);
        let all: Vec<Record> = lines.concat();
        let mut whole = Shelf::default();
        for record in &all {
            prop_assert_eq!(whole.offer(record), Verdict::Append);
        }
        let mut shelf = Shelf::default();
        for index in order {
            let verdict = shelf.offer(index.get(&all));
            let fine = matches!(
                verdict,
                Verdict::Append | Verdict::Already | Verdict::Gap { .. }
            );
            prop_assert!(fine, "{:?}", verdict);
        }
        let rest = whole.send(&mut shelf);
        prop_assert!(rest.iter().all(|v| *v == Verdict::Append), "sent more than was missing");
        prop_assert_eq!(shelf.heads(), whole.heads());
        prop_assert_eq!(shelf, whole);
    }

    #[test]
    fn asking_twice_changes_nothing(
        lengths in prop::collection::vec(1usize..8, 1..4),
        order in prop::collection::vec(any::<prop::sample::Index>(), 1..60),
        salt: u32,
    ) {
        let all = streams(&lengths, salt).concat();
        let mut shelf = Shelf::default();
        for index in order {
            let record = index.get(&all);
            let first = shelf.offer(record);
            let after = shelf.clone();
            let second = shelf.offer(record);
            let expected = match first {
                Verdict::Append => Verdict::Already,
                other => other,
            };
            prop_assert_eq!(second, expected);
            prop_assert_eq!(&shelf, &after);
        }
    }

    #[test]
    fn a_changed_record_is_a_fork(
        length in 2usize..10,
        at: prop::sample::Index,
        body in "[a-z]{1,12}",
        salt: u32,
    ) {
        let line = streams(&[length], salt).concat();
        let at = at.index(length);
        let mut changed = line[at].clone();
        changed.body = body;
        prop_assert_ne!(changed.hash(), line[at].hash());

        // The true history is here, the changed record comes.
        let mut shelf = Shelf::default();
        for record in &line {
            shelf.offer(record);
        }
        let before = shelf.clone();
        let fork = Verdict::Fork { seq: changed.seq };
        prop_assert_eq!(shelf.offer(&changed), fork.clone());
        prop_assert_eq!(shelf, before);

        // The changed record was first: the true history does not fit any more.
        let mut shelf = Shelf::default();
        for record in line.iter().take(at) {
            shelf.offer(record);
        }
        prop_assert_eq!(shelf.offer(&changed), Verdict::Append);
        prop_assert_eq!(shelf.offer(&line[at]), fork.clone());
        if let Some(next) = line.get(at + 1) {
            prop_assert_eq!(shelf.offer(next), fork);
        }
    }

    #[test]
    fn every_pair_that_meets_ends_equal_and_a_hub_set_back_is_refilled(
        lengths in prop::collection::vec(1usize..6, 2..5),
        meetings in prop::collection::vec(any::<prop::sample::Index>(), 0..20),
        kept in prop::collection::vec(0usize..6, 5),
        salt: u32,
    ) {
        let lines = streams(&lengths, salt);
        let mut phones: Vec<Shelf> = Vec::new();
        for line in &lines {
            let mut phone = Shelf::default();
            for record in line {
                phone.offer(record);
            }
            phones.push(phone);
        }
        let mut hub = Shelf::default();
        // Some meet the hub more than once, in any order; at last everybody does, twice.
        let chosen: Vec<usize> = meetings.iter().map(|i| i.index(lines.len())).collect();
        let everybody = 0..lines.len();
        for i in chosen.into_iter().chain(everybody.clone()).chain(everybody) {
            phones[i].send(&mut hub);
            hub.send(&mut phones[i]);
            prop_assert_eq!(phones[i].heads(), hub.heads());
        }
        for phone in &phones {
            prop_assert_eq!(phone, &hub);
        }

        // Last week's backup: the beginning of every stream. One phone is enough.
        let whole = hub.clone();
        for (line, n) in hub.0.values_mut().zip(kept) {
            line.truncate(n);
        }
        hub.0.retain(|_, line| !line.is_empty());
        let records = |shelf: &Shelf| shelf.0.values().map(Vec::len).sum::<usize>() as u64;
        let state = HubState {
            epoch: HubEpoch::new("h2").unwrap(),
            position: records(&hub),
            heads: hub.heads(),
        };
        let bookmark = Bookmark {
            epoch: HubEpoch::new("h1").unwrap(),
            position: records(&whole),
        };
        let meeting = meet(&phones[0].heads(), Some(&bookmark), &state);
        prop_assert!(meeting.renewed && meeting.fetch.is_empty());
        for range in &meeting.send {
            for record in phones[0].read(range) {
                prop_assert_eq!(hub.offer(&record), Verdict::Append);
            }
        }
        prop_assert_eq!(hub, whole);
    }

    #[test]
    fn any_text_is_read_or_refused_in_words(text in ".{0,80}", number: u64) {
        let read: Result<StreamId, _> = text.parse();
        if let Ok(stream) = read {
            prop_assert_eq!(stream.to_string(), text.clone());
        }
        let record = Record {
            stream: StreamId::new("a", "b").unwrap(),
            seq: number,
            prev: slowstone_sync::Hash32::of(text.as_bytes()),
            body: text,
        };
        // Never a panic, and never taken: nothing stands before it.
        prop_assert!(!admit(None, None, &record).is_stored());
    }
}
