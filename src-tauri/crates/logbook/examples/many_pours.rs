//! How long it takes to reckon a site of 500 pours from scratch, and after one reading.
//!
//! Arguments, both optional: another number of pours, and a file into which the entries are
//! written, so that the core in the browser can be timed on the same (tests/bench/wasm.mjs).
//! Three pours a week, each with three batches, two readings and three observations: some
//! 5000 entries. Printed as JSON for `cargo xtask bench`; run it in the release profile.
//! The clock is the example's own; the crate has none.

use serde_json::{Value, json};
use slowstone_curing::units::AtMs;
use slowstone_logbook::{Book, Event};
use std::time::{Duration, Instant};

const HOUR: i64 = 3_600_000;
/// 2024-01-01T08:00Z.
const START: i64 = 1_704_096_000_000;
const SITE: &str = "site-0001";

fn event(id: String, at: i64, kind: &str, body: &Value) -> Event {
    Event {
        id,
        site: SITE.to_owned(),
        by: "Ada".to_owned(),
        at_ms: AtMs(at),
        kind: kind.to_owned(),
        body: body.as_object().cloned().unwrap_or_default(),
    }
}

/// When pour `n` began: three a week.
fn began(n: i64) -> i64 {
    START + HOUR * (n * 56)
}

fn events(pours: i64) -> Vec<Event> {
    let mut all = vec![event(
        SITE.to_owned(),
        START,
        "site",
        &json!({"name": "A", "tz": "UTC"}),
    )];
    let mix = json!({"name": "Bag", "bag_kg": 30.0, "yield_l": 14.0, "water_min_l": 2.2,
        "water_max_l": 3.0, "cement_pct": 14.0, "class_mpa": 27.6});
    all.push(event("mix-00001".into(), START, "mix", &mix));
    all.push(event(
        "flight-01".into(),
        START,
        "flight",
        &json!({"name": "F"}),
    ));
    for n in 0..pours {
        let (t, pour) = (began(n), format!("pour-{n:05}"));
        let swing = f64::from(u32::try_from(n * 37 % 11).unwrap_or(0));
        let step = json!({"flight": "flight-01", "number": n + 1, "width_m": 1.2,
            "depth_m": 0.4, "rise_m": 0.16});
        all.push(event(format!("step-{n:05}"), START, "step", &step));
        let body = json!({"step": format!("step-{n:05}"), "mix": "mix-00001", "started_ms": t,
            "finished_ms": t + HOUR, "air_c": 10.0 + swing, "concrete_c": 13.0 + swing,
            "rh_pct": 65.0, "wind_kmh": 8.0, "sky": "broken"});
        all.push(event(pour.clone(), t, "pour", &body));
        for b in 0..3 {
            let body = json!({"pour": pour, "bags": 2.0, "water_l": 5.2 + 0.1 * f64::from(b)});
            all.push(event(format!("batch-{n:05}-{b}"), t, "batch", &body));
        }
        for r in [8, 30] {
            let body = json!({"at_ms": t + r * HOUR, "air_c": 8.0 + swing});
            all.push(event(format!("read-{n:05}-{r}"), t, "reading", &body));
        }
        for (h, what) in [(4, "sheen_gone"), (7, "thumb_mark"), (50, "stripped_clean")] {
            let body = json!({"pour": pour, "at_ms": t + h * HOUR, "what": what});
            all.push(event(format!("seen-{n:05}-{h}"), t, "observation", &body));
        }
    }
    all
}

fn timed<T>(work: impl FnOnce() -> T) -> (Duration, T) {
    let began = Instant::now();
    let done = work();
    (began.elapsed(), done)
}

fn main() {
    let mut args = std::env::args().skip(1);
    let pours = args.next().and_then(|n| n.parse().ok()).unwrap_or(500);
    let now = AtMs(began(pours - 1) + 40 * HOUR);
    let all = events(pours);
    if let Some(file) = args.next() {
        let text = json!({"now_ms": now, "events": all}).to_string();
        if let Err(e) = std::fs::write(&file, text) {
            eprintln!("{file}: {e}");
        }
    }
    let count = all.len();
    let (scratch, mut book) = timed(|| {
        let mut book = Book::new();
        for e in all {
            book.add(e);
        }
        book.site_view(SITE, now);
        book
    });
    let before = book.reckonings();
    let mut anew = Vec::new();
    for n in 0..7 {
        let body = json!({"at_ms": now.0 - n * HOUR, "air_c": 11.0});
        let reading = event(format!("fresh-{n:04}"), now.0, "reading", &body);
        let (took, _) = timed(|| {
            book.add(reading);
            book.site_view(SITE, now)
        });
        anew.push(took);
    }
    anew.sort();
    let middle = anew.get(anew.len() / 2).copied().unwrap_or_default();
    let result = json!({
        "entries": count,
        "pours": pours,
        "scratch_ms": scratch.as_secs_f64() * 1e3,
        "after_one_reading_ms": middle.as_secs_f64() * 1e3,
        "pours_reckoned_again": (book.reckonings() - before) / 7,
        "ratio": scratch.as_secs_f64() / middle.as_secs_f64().max(1e-9),
    });
    println!("{result}");
}
