//! How long it takes to reckon a site of many pours from scratch, and after one reading.
//!
//! Three pours a week, each with three batches, two readings and three observations: 200
//! pours are some 2000 entries. Arguments: `rows [POURS]` prints rows of the table of
//! `cargo xtask bench`, `scratch POURS` the milliseconds from scratch alone, and `entries
//! POURS` the entries as JSON, so that the core in the browser can be timed on the same
//! (tests/bench/wasm.mjs). The clock is the example's own; the crate has none.

use serde_json::{Value, json};
use slowstone_curing::units::AtMs;
use slowstone_logbook::{Book, Event};
use std::time::Instant;

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

/// Milliseconds.
fn timed<T>(work: impl FnOnce() -> T) -> (f64, T) {
    let began = Instant::now();
    let done = work();
    (began.elapsed().as_secs_f64() * 1e3, done)
}

fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times.get(times.len() / 2).copied().unwrap_or(f64::NAN)
}

/// Everything from the first entry to the first screen.
fn scratch(all: &[Event], now: AtMs) -> (f64, Book) {
    let all = all.to_vec();
    timed(|| {
        let mut book = Book::new();
        for e in all {
            book.add(e);
        }
        book.site_view(SITE, now);
        book
    })
}

/// From scratch and after one reading, in turn.
fn rows(all: &[Event], pours: i64, now: AtMs) {
    const TURNS: usize = 3;
    let (mut first, mut anew, mut again) = (Vec::new(), Vec::new(), 0);
    for turn in 0..TURNS {
        let (took, mut book) = scratch(all, now);
        first.push(took);
        let before = book.reckonings();
        for n in 0..5 {
            let at = now.0 - n * HOUR;
            let id = format!("fresh-{turn}-{n:04}");
            let reading = event(id, now.0, "reading", &json!({"at_ms": at, "air_c": 11.0}));
            let (took, _) = timed(|| {
                book.add(reading);
                book.site_view(SITE, now)
            });
            anew.push(took);
        }
        again = (book.reckonings() - before) / 5;
    }
    let (first, anew, entries) = (median(first), median(anew), all.len());
    let each = first / pours as f64;
    println!(
        "fold: site of {pours} pours after one reading\t{anew:.3}\tms\tfrom scratch\t{first:.3}\t\
         {entries} entries, {again} pours reckoned again; medians, {TURNS} turns"
    );
    println!("fold: one pour, from scratch\t{each:.4}\tms\t\t\tof {pours}, all included");
}

fn main() {
    let mut args = std::env::args().skip(1);
    let what = args.next().unwrap_or_default();
    let pours = args.next().and_then(|n| n.parse().ok()).unwrap_or(200);
    let now = AtMs(began(pours - 1) + 40 * HOUR);
    let all = events(pours);
    match what.as_str() {
        "entries" => println!("{}", json!({"now_ms": now, "events": all})),
        "scratch" => println!("{}", scratch(&all, now).0),
        _ => rows(&all, pours, now),
    }
}
