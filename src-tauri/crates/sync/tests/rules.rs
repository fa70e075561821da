//! The rules, case by case: names, hashes, admission, hand-over, a hub set back.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use slowstone_sync::{
    BadRecord, Bookmark, Chain, Hash32, Head, HubEpoch, HubState, MAX_BODY_BYTES, MAX_SEQ, Range,
    Record, StreamId, Verdict, admit, meet, missing,
};

fn stream(device: &str) -> StreamId {
    StreamId::new(device, "k3v9").unwrap()
}

fn records(device: &str, n: usize) -> Vec<Record> {
    let mut chain = Chain::start(stream(device));
    (0..n)
        .map(|i| chain.next(format!("{{\"n\":{i}}}")).unwrap())
        .collect()
}

#[test]
fn names_are_checked_also_when_they_come_as_json() {
    for bad in ["", "Phone", "a b", "a.b", "ä", "../x", &"x".repeat(33)] {
        assert!(StreamId::new(bad, "k3v9").is_err(), "{bad:?}");
        assert!(StreamId::new("phone1", bad).is_err(), "{bad:?}");
        assert!(HubEpoch::new(bad).is_err(), "{bad:?}");
        let json = serde_json::json!({ "device": bad, "epoch": "k3v9" });
        assert!(serde_json::from_value::<StreamId>(json).is_err(), "{bad:?}");
        assert!(serde_json::from_value::<HubEpoch>(serde_json::json!(bad)).is_err());
    }
    assert!(StreamId::new(&"x".repeat(32), "0").is_ok());
    let message = StreamId::new("Phone", "k").unwrap_err().to_string();
    assert!(message.contains("device = \"Phone\"") && message.contains("0-9 and a-z"));
    assert!("phone1".parse::<StreamId>().is_err());
}

#[test]
fn hashes_are_lower_hexadecimal_only() {
    let hash = Hash32::of(b"x");
    let json = serde_json::to_string(&hash).unwrap();
    assert_eq!(json, format!("\"{hash}\""));
    assert_eq!(serde_json::from_str::<Hash32>(&json).unwrap(), hash);
    let upper = hash.to_string().to_uppercase();
    for bad in [
        upper.as_str(),
        "",
        "00",
        &"g".repeat(64),
        &"ä".repeat(32),
        &"0".repeat(65),
    ] {
        assert!(bad.parse::<Hash32>().is_err(), "{bad:?}");
    }
}

/// The expected values were computed outside this program, with the `blake3` package of
/// Python over the layout that `Record::hash` documents.
#[test]
fn the_hash_is_the_documented_one() {
    let mut chain = Chain::start(stream("phone1"));
    let first = chain
        .next("{\"kind\":\"pour\",\"note\":\"20 °C\"}")
        .unwrap();
    let second = chain.next("{}").unwrap();
    assert_eq!(
        first.hash().to_string(),
        "030a4358a0d989a3ad4b920f79a09eda71a9c87b93fde088a6861450f11022b6"
    );
    assert_eq!(
        second.hash().to_string(),
        "c81b8f85d22f65d544cdcb648ec366b77fe7b460bbe99b3e05b4c22ed254ce1d"
    );
}

#[test]
fn every_field_counts_and_none_runs_into_the_next() {
    let base = records("ab", 2).remove(1);
    let mut others = vec![base.clone(); 5];
    others[0].stream = StreamId::new("a", "bk3v9").unwrap();
    others[1].seq = 3;
    others[2].prev = Hash32::of(b"other");
    others[3].body.push(' ');
    others[4].stream = StreamId::new("abk", "3v9").unwrap();
    for other in others {
        assert_ne!(other.hash(), base.hash(), "{other:?}");
    }
}

#[test]
fn a_record_survives_json_unchanged() {
    let record = records("phone1", 2).remove(1);
    let json = serde_json::to_string(&record).unwrap();
    let back: Record = serde_json::from_str(&json).unwrap();
    assert_eq!(back, record);
    assert_eq!(back.hash(), record.hash());
}

#[test]
fn what_cannot_be_a_record_is_said_to_be_bad() {
    let good = records("phone1", 1).remove(0);
    let with = |change: &dyn Fn(&mut Record)| {
        let mut record = good.clone();
        change(&mut record);
        record
    };
    let cases = [
        (with(&|r| r.seq = 0), BadRecord::Seq(0)),
        (with(&|r| r.seq = MAX_SEQ + 1), BadRecord::Seq(MAX_SEQ + 1)),
        (with(&|r| r.seq = 2), BadRecord::Prev(2)),
        (with(&|r| r.prev = Hash32::of(b"")), BadRecord::Prev(1)),
        (with(&|r| r.body.clear()), BadRecord::Empty),
        (with(&|r| r.body.push('\0')), BadRecord::Zero),
        (
            with(&|r| r.body = "x".repeat(MAX_BODY_BYTES + 1)),
            BadRecord::TooLong(MAX_BODY_BYTES + 1),
        ),
    ];
    for (record, why) in cases {
        assert_eq!(record.check(), Err(why.clone()));
        let reason = why.to_string();
        assert_eq!(admit(None, None, &record), Verdict::Bad { reason });
    }
    assert!(
        with(&|r| r.body = "x".repeat(MAX_BODY_BYTES))
            .check()
            .is_ok()
    );
}

#[test]
fn a_refused_body_leaves_the_chain_as_it_was() {
    let mut chain = Chain::start(stream("phone1"));
    let first = chain.next("{}").unwrap();
    assert!(chain.next("").is_err());
    assert_eq!(chain.head(), Some(first.head()));
    let mut full = Chain::resume(Head {
        seq: MAX_SEQ,
        ..first.head()
    });
    assert_eq!(full.next("{}"), Err(BadRecord::Seq(MAX_SEQ + 1)));
    assert_eq!(Chain::start(stream("phone1")).head(), None);
}

#[test]
fn admission_case_by_case() {
    let r = records("phone1", 4);
    let head = |i: usize| r[i].head();
    assert_eq!(admit(None, None, &r[0]), Verdict::Append);
    assert_eq!(admit(None, None, &r[2]), Verdict::Gap { have: 0 });
    assert_eq!(admit(Some(&head(0)), None, &r[1]), Verdict::Append);
    assert_eq!(admit(Some(&head(0)), None, &r[3]), Verdict::Gap { have: 1 });
    assert_eq!(
        admit(Some(&head(2)), Some(r[1].hash()), &r[1]),
        Verdict::Already
    );
    // The last one is known by the head alone.
    assert_eq!(admit(Some(&head(2)), None, &r[2]), Verdict::Already);

    let mut other = Chain::resume(head(0));
    let (b1, b2) = (
        other.next("{\"b\":1}").unwrap(),
        other.next("{\"b\":2}").unwrap(),
    );
    assert_eq!(
        admit(Some(&head(2)), Some(r[1].hash()), &b1),
        Verdict::Fork { seq: 2 }
    );
    assert_eq!(admit(Some(&head(1)), None, &b1), Verdict::Fork { seq: 2 });
    // Only what follows the other history comes: it names a record that is not here.
    assert_eq!(admit(Some(&head(1)), None, &b2), Verdict::Fork { seq: 2 });

    // Questions that a sound caller does not ask are answered, not guessed.
    let foreign = records("phone2", 1).remove(0).head();
    assert!(matches!(
        admit(Some(&foreign), None, &r[0]),
        Verdict::Bad { .. }
    ));
    assert!(matches!(
        admit(Some(&head(2)), None, &r[0]),
        Verdict::Bad { .. }
    ));
}

#[test]
fn verdicts_as_json() {
    let json = |v: &Verdict| serde_json::to_string(v).unwrap();
    assert_eq!(json(&Verdict::Append), r#"{"verdict":"append"}"#);
    assert_eq!(
        json(&Verdict::Gap { have: 3 }),
        r#"{"verdict":"gap","have":3}"#
    );
    let fork = Verdict::Fork { seq: 7 };
    assert_eq!(serde_json::from_str::<Verdict>(&json(&fork)).unwrap(), fork);
    assert!(Verdict::Append.is_stored() && Verdict::Already.is_stored());
    assert!(!fork.is_stored() && !Verdict::Gap { have: 0 }.is_stored());
}

#[test]
fn what_is_missing() {
    let (a, b) = (records("phone1", 5), records("phone2", 2));
    let range = |device: &str, from_seq| Range {
        stream: stream(device),
        from_seq,
    };
    let mine = [b[1].head(), a[4].head()];
    assert_eq!(
        missing(&mine, &[]),
        [range("phone1", 1), range("phone2", 1)]
    );
    assert_eq!(
        missing(&mine, &[a[2].head(), b[1].head()]),
        [range("phone1", 4)]
    );
    assert_eq!(missing(&[], &mine), []);
    // The same number with another hash is offered, so that the fork comes to light.
    let mut other = Chain::resume(a[3].head());
    let forked = other.next("{\"other\":true}").unwrap().head();
    assert_eq!(missing(&[a[4].head()], &[forked]), [range("phone1", 5)]);
}

#[test]
fn a_hub_set_back_is_noticed_and_refilled() {
    let (mine, theirs) = (records("phone1", 5), records("phone2", 3));
    let phone = [mine[4].head(), theirs[2].head()];
    let hub = |epoch: &str, position, heads: &[Head]| HubState {
        epoch: HubEpoch::new(epoch).unwrap(),
        position,
        heads: heads.to_vec(),
    };
    let bookmark = Bookmark {
        epoch: HubEpoch::new("h1").unwrap(),
        position: 8,
    };

    let usual = meet(&phone, Some(&bookmark), &hub("h1", 8, &phone));
    assert!(!usual.renewed && usual.send.is_empty() && usual.fetch.is_empty());
    assert_eq!(usual.bookmark, bookmark);

    // Restored by the program: a new epoch. Copied back by hand: the old one, but shorter.
    let old = [mine[1].head()];
    for state in [hub("h2", 2, &old), hub("h1", 2, &old)] {
        let back = meet(&phone, Some(&bookmark), &state);
        assert!(back.renewed);
        assert_eq!(
            (back.bookmark.position, &back.bookmark.epoch),
            (0, &state.epoch)
        );
        let offered = [(stream("phone1"), 3), (stream("phone2"), 1)];
        let offered = offered.map(|(stream, from_seq)| Range { stream, from_seq });
        assert_eq!(back.send, offered, "also the records of others");
    }

    let first = meet(&[], None, &hub("h1", 8, &phone));
    assert!(!first.renewed && first.bookmark.position == 0);
    assert_eq!(first.fetch.len(), 2);
}
