//! `tests/data/streams.json`: conversations of a phone with its hub, hash by hash. What phones
//! stored by earlier versions must go on as it was begun, so a change of these rules shows here;
//! `ui/test/streams.test.ts` plays the same through the core of the browser.
//!
//! The file is what these rules say; `SLOWSTONE_WRITE=1` writes it anew.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use serde_json::{Value, json};
use slowstone_sync::{
    Batch, Chain, Hash32, Head, Outbox, Receipt, Record, StreamId, Verdict, admit,
};
use std::collections::BTreeMap;

const FILE: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/../../../tests/data/streams.json"
);

/// splitmix64, from memory.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        (z ^ (z >> 31)) % n
    }
}

/// A hub that refuses bodies with "never" in them.
#[derive(Clone, Default)]
struct Hub(BTreeMap<StreamId, Vec<Record>>);

impl Hub {
    fn take(&mut self, batch: &Batch) -> Receipt {
        let line = self.0.entry(batch.stream.clone()).or_default();
        let mut receipt = Receipt::default();
        for record in batch.clone().records().unwrap() {
            let head = line.last().map(Record::head);
            let at = line.get(record.seq as usize - 1).map(Record::hash);
            let verdict = admit(head.as_ref(), at, &record);
            if verdict == Verdict::Append && record.body.contains("never") {
                receipt.refused = true;
                break;
            }
            if !receipt.judge(&verdict) {
                break;
            }
            if verdict == Verdict::Append {
                line.push(record);
            }
        }
        receipt.head = line.last().map(Record::head);
        receipt
    }

    fn heads(&self) -> Vec<Head> {
        let lines = self.0.values();
        lines.filter_map(|l| Some(l.last()?.head())).collect()
    }
}

/// Everything that a phone has, in one hash.
fn digest(phone: &Outbox) -> Hash32 {
    let line = |r: &Record| format!("{} {} {} {}\n", r.stream, r.seq, r.prev, r.body);
    let waiting: String = phone.waiting().map(line).collect();
    let sent: String = phone.sent().map(line).collect();
    let text = format!("{}\n{waiting}--\n{sent}", phone.stream());
    Hash32::of(text.as_bytes())
}

fn talk(number: u64) -> Value {
    let mut dice = Dice(number);
    let mut lives = 0;
    let mut fresh = || {
        lives += 1;
        StreamId::new("phone1", &format!("e{number}x{lives}")).unwrap()
    };
    let first = fresh();
    let mut phone = Outbox::new(first.clone());
    let mut clone: Option<Outbox> = None;
    let (mut hub, mut backup) = (Hub::default(), Hub::default());
    let mut steps = Vec::new();
    for n in 0..40 {
        let mut step = match dice.below(12) {
            0..=4 => {
                let word = ["grün", "sheen", "\u{1f9f1}", "never"][dice.below(4) as usize];
                let word = if dice.below(2) == 0 { "set" } else { word };
                let body = json!({ "n": n, "note": word }).to_string();
                phone.write(body.clone()).unwrap();
                json!({ "write": body })
            }
            5..=8 => {
                let most = 1 + dice.below(3);
                let Some(batch) = phone.batch(most as usize) else {
                    steps.push(json!({ "batch": most, "is": null, "after": digest(&phone) }));
                    continue;
                };
                let mut receipt = hub.take(&batch);
                if dice.below(4) == 0 {
                    // The answer is lost; the same again has the same answer.
                    let again = hub.take(&batch);
                    assert_eq!(receipt, again);
                    receipt = again;
                }
                let fresh = fresh();
                let refused = phone.hear(&batch, &receipt, &fresh).map(|r| r.body);
                json!({ "batch": most, "is": batch, "hear": receipt, "fresh": fresh, "refused": refused })
            }
            9 => {
                if dice.below(2) == 0 {
                    backup = hub.clone();
                } else {
                    hub = backup.clone();
                }
                let (heads, fresh) = (hub.heads(), fresh());
                phone.meet(&heads, &fresh);
                json!({ "meet": heads, "fresh": fresh })
            }
            10 => {
                // Set back without a word: noticed by the answers alone.
                hub = backup.clone();
                continue;
            }
            _ => {
                let other = clone.get_or_insert_with(|| phone.clone());
                other.write(json!({ "clone": n }).to_string()).unwrap();
                while let Some(batch) = other.batch(5) {
                    let receipt = hub.take(&batch);
                    other.hear(&batch, &receipt, &fresh());
                }
                continue;
            }
        };
        step["after"] = json!(digest(&phone));
        steps.push(step);
    }
    json!({ "start": first, "steps": steps })
}

#[test]
fn the_file_is_what_these_rules_say() {
    let bodies = [
        "{}",
        r#"{"note":"Schalung gelöst"}"#,
        "\"\u{1f9f1}\\ud800\\u0000\"",
        "[1.0e3,\r\n2]",
    ];
    let mut chain = Chain::start(StreamId::new("phone1", "k3v9").unwrap());
    let mut records: Vec<Value> = Vec::new();
    let long = format!("\"{}\"", "x".repeat(5000));
    for body in bodies.iter().map(|b| (*b).to_owned()).chain([long]) {
        let record = chain.next(body).unwrap();
        let mut value = serde_json::to_value(&record).unwrap();
        value["hash"] = json!(record.hash());
        records.push(value);
    }
    let big = Record {
        stream: StreamId::new("a", "b").unwrap(),
        seq: (1 << 53) - 1,
        prev: Hash32::of(b"x"),
        body: "{}".to_owned(),
    };
    let mut value = serde_json::to_value(&big).unwrap();
    value["hash"] = json!(big.hash());
    records.push(value);
    let talks: Vec<Value> = (1..=10).map(talk).collect();
    // Everything that can be answered is in it.
    let text = json!({ "records": records, "talks": talks });
    let all = text.to_string();
    for kind in ["\"gap\":", "\"fork\":", "\"refused\":true", "\"meet\":"] {
        assert!(all.matches(kind).count() >= 5, "{kind} is rare");
    }
    let lines: Vec<String> = talks.iter().map(Value::to_string).collect();
    let text = format!(
        "{{\"records\":{},\"talks\":[\n{}\n]}}\n",
        json!(records),
        lines.join(",\n")
    );
    if std::env::var("SLOWSTONE_WRITE").is_ok() {
        std::fs::write(FILE, &text).unwrap();
    }
    let kept = std::fs::read_to_string(FILE).unwrap();
    assert!(
        kept == text,
        "the rules changed: look, then SLOWSTONE_WRITE=1"
    );
}
