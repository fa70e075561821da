//! Batches and receipts from anywhere. A log that takes batches stays contiguous and chained
//! and answers the same again; a phone that hears any receipts loses nothing it wrote.
#![no_main]

use libfuzzer_sys::fuzz_target;
use slowstone_sync::{Batch, Outbox, Receipt, Record, StreamId, Verdict, admit};
use std::collections::BTreeMap;

fn take(log: &mut BTreeMap<StreamId, Vec<Record>>, batch: Batch) -> Option<Receipt> {
    let stream = batch.stream.clone();
    let records = batch.records().ok()?;
    let line = log.entry(stream).or_default();
    let mut receipt = Receipt::default();
    for record in records {
        let head = line.last().map(Record::head);
        let at = line.get(record.seq as usize - 1).map(Record::hash);
        let verdict = admit(head.as_ref(), at, &record);
        if verdict == Verdict::Append {
            line.push(record);
        }
        if !receipt.judge(&verdict) {
            break;
        }
    }
    Some(receipt)
}

fuzz_target!(|data: &[u8]| {
    let mut log = BTreeMap::new();
    let mut phone = Outbox::new(StreamId::new("phone1", "e0").unwrap());
    let mut written = 0;
    let mut refused = 0;
    for (n, line) in data.split(|b| *b == b'\n').enumerate().take(40) {
        let fresh = StreamId::new("phone1", &format!("e{}", n + 1)).unwrap();
        if let Ok(batch) = serde_json::from_slice::<Batch>(line) {
            let first = take(&mut log, batch.clone());
            assert_eq!(first, take(&mut log, batch));
        } else if let Ok(receipt) = serde_json::from_slice::<Receipt>(line) {
            if let Some(batch) = phone.batch(n) {
                refused += usize::from(phone.hear(&batch, &receipt, &fresh).is_some());
            }
            phone.meet(receipt.head.as_slice(), &fresh);
        } else if let Ok(body) = std::str::from_utf8(line) {
            written += usize::from(phone.write(body).is_ok());
        }
    }
    assert_eq!(phone.waiting().count() + phone.sent().count() + refused, written);
    for line in log.values() {
        for (seq, pair) in (2..).zip(line.windows(2)) {
            assert_eq!((pair[1].seq, pair[1].prev), (seq, pair[0].hash()));
        }
    }
});
