//! The one answer on every place that shows it: over many random logs (pours, readings,
//! observations that may contradict each other, marks, corrections, retractions) and at many
//! instants, no two places of a site may disagree, and none may contradict itself.
//!
//! The same for the engine alone: `curing/tests/prediction/answered.rs`.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]

mod making;

use making::*;
use proptest::prelude::*;
use serde_json::{Value, json};
use slowstone_curing::answer::{May, Phase};
use slowstone_curing::predict::{MilestoneKind, Warning};
use slowstone_curing::units::AtMs;
use slowstone_logbook::view::{HeadSays, MilestoneView, PourCard, PourView, Reminder, SiteView};
use slowstone_logbook::{Book, Event};
use std::collections::BTreeSet;

/// One entry of a random log. Numbers choose among what is there; hours count from the
/// morning of the first pour.
#[derive(Clone, Debug)]
enum Entry {
    Pour {
        step: Option<u32>,
        h: f64,
        air: Option<f64>,
        fresh: Option<f64>,
        second: Option<&'static str>,
    },
    Batch {
        pour: usize,
        water: f64,
        additive: bool,
    },
    Saw {
        pour: usize,
        after: f64,
        what: &'static str,
        confirmed: bool,
    },
    Read {
        pour: usize,
        h: f64,
        air: Option<f64>,
        concrete: Option<f64>,
    },
    Day {
        day: u32,
        min: f64,
        span: f64,
        wind: Option<f64>,
    },
    Mark {
        pour: usize,
        kind: MilestoneKind,
        after: f64,
        sleeps: Option<f64>,
    },
    Correct {
        entry: usize,
        h: f64,
        value: f64,
    },
    Retract {
        entry: usize,
    },
}

const SEEN: [&str; 26] = [
    "sheen_gone",
    "thumb_deep",
    "thumb_mark",
    "thumb_6mm",
    "thumb_faint",
    "thumb_none",
    "textured",
    "stripped_clean",
    "stripped_stuck",
    "scratch_deep",
    "scratch_faint",
    "scratch_none",
    "edge_damage",
    "dressed_easily",
    "dressed_hard",
    "wetted",
    "covered",
    "uncovered",
    "shaded",
    "rain",
    "frost",
    "walked",
    "curing_ended",
    "sealed",
    "strength",
    "note",
];

/// Hours after the start of a pour: mostly those in which something happens.
fn after() -> impl Strategy<Value = f64> {
    prop_oneof![3 => 0.0..14.0_f64, 3 => 10.0..96.0_f64, 1 => 72.0..720.0_f64, 1 => -6.0..0.0_f64]
}

fn maybe<S: Strategy>(probability: f64, of: S) -> impl Strategy<Value = Option<S::Value>> {
    prop::option::weighted(probability, of)
}

fn entry() -> impl Strategy<Value = Entry> {
    let temp = || prop_oneof![6 => 2.0..32.0_f64, 1 => -12.0..48.0_f64];
    let second = prop::sample::select(vec!["replaces", "layer"]);
    let kind = prop::sample::select(MilestoneKind::ALL.to_vec());
    prop_oneof![
        2 => (maybe(0.8, 1..=3_u32), -40.0..80.0_f64, maybe(0.8, temp()), maybe(0.5, temp()), maybe(0.3, second))
            .prop_map(|(step, h, air, fresh, second)| Entry::Pour { step, h, air, fresh, second }),
        1 => (any::<usize>(), 1.5..4.0_f64, any::<bool>())
            .prop_map(|(pour, water, additive)| Entry::Batch { pour, water, additive }),
        6 => (any::<usize>(), after(), prop::sample::select(SEEN.to_vec()), any::<bool>())
            .prop_map(|(pour, after, what, confirmed)| Entry::Saw { pour, after, what, confirmed }),
        2 => (any::<usize>(), -50.0..300.0_f64, maybe(0.8, temp()), maybe(0.3, temp()))
            .prop_map(|(pour, h, air, concrete)| Entry::Read { pour, h, air, concrete }),
        1 => (9..=16_u32, -5.0..22.0_f64, 0.0..16.0_f64, maybe(0.5, 0.0..50.0_f64))
            .prop_map(|(day, min, span, wind)| Entry::Day { day, min, span, wind }),
        4 => (any::<usize>(), kind, after(), maybe(0.6, 0.1..60.0_f64))
            .prop_map(|(pour, kind, after, sleeps)| Entry::Mark { pour, kind, after, sleeps }),
        2 => (any::<usize>(), -40.0..200.0_f64, temp())
            .prop_map(|(entry, h, value)| Entry::Correct { entry, h, value }),
        1 => any::<usize>().prop_map(|entry| Entry::Retract { entry }),
    ]
}

/// A log with at least one pour.
fn a_log() -> impl Strategy<Value = Vec<Event>> {
    let air = prop_oneof![Just(18.0), 3.0..30.0_f64];
    let first = (prop::option::weighted(0.9, 1..=2_u32), air).prop_map(|(step, air)| Entry::Pour {
        step,
        h: 0.0,
        air: Some(air),
        fresh: None,
        second: None,
    });
    (first, prop::collection::vec(entry(), 1..24)).prop_map(|(first, rest)| {
        let mut all = vec![first];
        all.extend(rest);
        events(&all)
    })
}

fn events(entries: &[Entry]) -> Vec<Event> {
    let mut out = plan();
    let sealer = json!({"name": "Sugar", "kind": "retarder"});
    out.push(event("delay-001", hours(-48.0), "additive", sealer));
    let planned = out.len();
    // Id and start of each pour, in hours.
    let mut pours: Vec<(String, f64)> = Vec::new();
    for (n, entry) in entries.iter().enumerate() {
        let id = format!("entry-{n:04}");
        let pour = |of: &usize| pours[of % pours.len()].clone();
        let made = match entry {
            Entry::Pour {
                step,
                h,
                air,
                fresh,
                second,
            } => {
                let mut body = json!({"mix": "mix-00001", "form": "form-0001",
                    "liner": "liner-001", "started_ms": hours(*h).0, "rh_pct": 55.0});
                let fields = [
                    ("step", step.map(|n| json!(format!("step-{n:04}")))),
                    ("air_c", air.map(Value::from)),
                    ("concrete_c", fresh.map(Value::from)),
                    ("second_pour", second.map(Value::from)),
                ];
                for (name, value) in fields {
                    if let Some(value) = value {
                        body[name] = value;
                    }
                }
                pours.push((id.clone(), *h));
                event(&id, hours(*h), "pour", body)
            }
            Entry::Batch {
                pour: of,
                water,
                additive,
            } => {
                let (of, h) = pour(of);
                let dose = json!({"additive": if *additive { "delay-001" } else { "ochre-001" }, "amount": 60.0});
                let body = json!({"pour": of, "bags": 1.0, "water_l": water, "additives": [dose]});
                event(&id, hours(h), "batch", body)
            }
            Entry::Saw {
                pour: of,
                after,
                what,
                confirmed,
            } => {
                let (of, h) = pour(of);
                let at = hours(h + after);
                let mut body =
                    json!({"pour": of, "at_ms": at.0, "what": what, "confirmed": confirmed});
                if *what == "strength" {
                    body["mpa"] = json!(after.abs().min(60.0) + 0.5);
                }
                event(&id, at, "observation", body)
            }
            Entry::Read {
                pour: of,
                h,
                air,
                concrete,
            } => {
                let mut body = json!({"at_ms": hours(*h).0, "rh_pct": 60.0});
                if let Some(air) = air {
                    body["air_c"] = json!(air);
                }
                if let Some(concrete) = concrete {
                    body["pour"] = json!(pour(of).0);
                    body["concrete_c"] = json!(concrete);
                }
                event(&id, hours(*h), "reading", body)
            }
            Entry::Day {
                day,
                min,
                span,
                wind,
            } => {
                let mut body = json!({"date": format!("2026-06-{day:02}"), "min_c": min,
                    "max_c": min + span, "rh_pct": 40.0});
                if let Some(wind) = wind {
                    body["wind_kmh"] = json!(wind);
                }
                event(&id, hours(-5.0), "forecast", body)
            }
            Entry::Mark {
                pour: of,
                kind,
                after,
                sleeps,
            } => {
                let (of, h) = pour(of);
                let at = h + after;
                let mut body = json!({"pour": of, "milestone": kind, "what": "done"});
                if let Some(sleeps) = sleeps {
                    body["what"] = json!("snoozed");
                    body["until_ms"] = json!(hours(at + sleeps).0);
                }
                event(&id, hours(at), "mark", body)
            }
            Entry::Correct { entry, h, value } => {
                let target: &Event = &out[planned + entry % (out.len() - planned)];
                let changes = match target.kind.as_str() {
                    "pour" if *value > 20.0 => json!({"started_ms": hours(*h).0}),
                    "pour" => json!({"air_c": value}),
                    "observation" if *value > 20.0 => {
                        let at = (value.abs() * 10.0) as usize;
                        json!({"what": SEEN[at % 24]})
                    }
                    "observation" => json!({"at_ms": hours(*h).0}),
                    "reading" => json!({"air_c": value}),
                    "mark" => json!({"what": "done"}),
                    _ => json!({"note": "looked at"}),
                };
                let target = target.id.clone();
                correction(&id, hours(*h), &target, changes, &[])
            }
            Entry::Retract { entry } => {
                // The pour that came first stays, so that there is something to look at.
                let behind = (out.len() - planned).saturating_sub(1).max(1);
                let target = out.get(planned + 1 + entry % behind).map(|e| e.id.clone());
                let target = target.unwrap_or_else(|| "step-0003".to_owned());
                retraction(&id, hours(200.0), &target)
            }
        };
        out.push(made);
    }
    out
}

/// What an instant is for one pour: its line on the first screen, its page, what of it is due
/// and comes.
struct Shown<'a> {
    now: AtMs,
    card: &'a PourCard,
    page: &'a PourView,
    due: Vec<&'a Reminder>,
    coming: Vec<&'a Reminder>,
}

impl Shown<'_> {
    fn milestone(&self, kind: MilestoneKind) -> Option<&MilestoneView> {
        self.page.milestones.iter().find(|m| m.kind == kind)
    }

    fn state(&self, kind: MilestoneKind) -> May {
        self.milestone(kind).map_or(May::Never, |m| m.state)
    }

    /// One "until" for one window, on every place.
    fn one_until(&self) -> Result<(), TestCaseError> {
        for r in self.due.iter().chain(&self.coming) {
            let on_page = self.milestone(r.kind).and_then(|m| m.until);
            prop_assert_eq!(r.until_ms, on_page, "due list and page: {:?}", r);
        }
        if let Some(act) = self.card.act {
            let on_page = self.milestone(act.kind).and_then(|m| m.until);
            prop_assert_eq!(act.until, on_page, "card and page: {:?}", act);
        }
        prop_assert_eq!(self.card, &self.page.card, "the card is one");
        prop_assert_eq!(self.card.warning, self.page.warnings.first().copied());
        Ok(())
    }

    /// Nothing ends before it begins, and what is said of the time to come lies ahead.
    fn ranges(&self) -> Result<(), TestCaseError> {
        let now = self.now;
        for m in &self.page.milestones {
            if let Some(until) = m.until {
                prop_assert!(until > now, "ended: {:?}", m);
                prop_assert!(
                    m.safe.is_none_or(|safe| safe < until),
                    "safe from after until: {:?}",
                    m
                );
                prop_assert!(m.opens.early.is_none_or(|t| t <= until), "{:?}", m);
                prop_assert!(
                    m.opens.likely.is_none_or(|t| t <= until),
                    "likely from after until: {:?}",
                    m
                );
            }
            if let (Some(closes), Some(early)) = (m.closes, m.opens.early) {
                prop_assert!(closes.early.is_none_or(|t| t >= early), "{:?}", m);
            }
            if let (Some(closes), Some(likely)) = (m.closes, m.opens.likely) {
                prop_assert!(closes.likely.is_none_or(|t| t >= likely), "{:?}", m);
            }
            prop_assert!(m.state != May::Done || m.until.is_none(), "{:?}", m);
        }
        for r in &self.due {
            prop_assert!(r.from_ms <= now, "due before its time: {:?}", r);
            prop_assert!(r.until_ms.is_none_or(|t| t > now), "due and ended: {:?}", r);
        }
        for r in &self.coming {
            prop_assert!(r.from_ms > now, "comes and came: {:?}", r);
        }
        for r in self.due.iter().chain(&self.coming) {
            prop_assert!(
                r.until_ms.is_none_or(|t| t > r.from_ms),
                "ends before it begins: {:?}",
                r
            );
        }
        if let Some(act) = self.card.act {
            prop_assert!(
                act.until.is_none_or(|t| t > now),
                "act now on what ended: {:?}",
                act
            );
        }
        if let Some(next) = self.card.next {
            let ahead = |t: Option<AtMs>| t.is_none_or(|t| t > now);
            prop_assert!(ahead(next.likely) && ahead(next.safe), "{:?}", next);
            if let (Some(likely), Some(safe)) = (next.likely, next.safe) {
                prop_assert!(likely <= safe, "{:?}", next);
            }
        }
        Ok(())
    }

    /// What may be done, tried, must wait and was done exclude each other, and agree with
    /// the states on the page; nothing heavier is "now" while a lighter one is not.
    fn groups(&self) -> Result<(), TestCaseError> {
        let card = self.card;
        let by_touch: Vec<MilestoneKind> = card.maybe.iter().map(|b| b.kind).collect();
        for kind in MilestoneKind::ALL {
            let groups = [&card.can, &by_touch, &card.not_yet, &card.done];
            let times = groups.iter().filter(|g| g.contains(&kind)).count();
            prop_assert!(times <= 1, "{:?} {} times: {:?}", kind, times, card);
        }
        let agree = |kinds: &[MilestoneKind], states: &[May]| {
            kinds
                .iter()
                .find(|k| !states.contains(&self.state(**k)))
                .copied()
        };
        prop_assert_eq!(agree(&card.can, &[May::Now]), None);
        prop_assert_eq!(agree(&by_touch, &[May::Maybe]), None);
        prop_assert_eq!(agree(&card.not_yet, &[May::Later, May::Never]), None);
        if card.no_prediction.is_none() {
            prop_assert_eq!(agree(&card.done, &[May::Done]), None);
        }
        for heavy in &card.can {
            for light in heavy.row().builds_on {
                prop_assert!(
                    !card.not_yet.contains(light) && !by_touch.contains(light),
                    "{:?} now and {:?} not: {:?}",
                    heavy,
                    light,
                    card
                );
            }
        }
        for touched in &by_touch {
            let waits = touched
                .row()
                .builds_on
                .iter()
                .find(|k| card.not_yet.contains(k));
            prop_assert_eq!(waits, None, "try {:?}: {:?}", touched, card);
        }
        for r in &self.due {
            let state = self.state(r.kind);
            let fits = match r.test {
                Some(test) => state == May::Maybe && test == r.kind.row().test,
                None => state == May::Now,
            };
            prop_assert!(fits, "{:?} is {:?}", r, state);
            prop_assert!(!card.not_yet.contains(&r.kind), "due and not yet: {:?}", r);
        }
        for r in self.due.iter().chain(&self.coming) {
            prop_assert!(
                !card.done.contains(&r.kind),
                "due after it was done: {:?}",
                r
            );
        }
        for r in &self.coming {
            // What comes without a test is safe by then.
            let m = self.milestone(r.kind).unwrap();
            let ends = m.closes.and_then(|c| c.early);
            let safe = m.safe.is_some_and(|t| t <= r.from_ms) && ends.is_none_or(|t| t > r.from_ms);
            prop_assert_eq!(r.test.is_none(), safe, "{:?}: {:?}", r, m);
        }
        Ok(())
    }

    /// The headline says what the lists say.
    fn head(&self) -> Result<(), TestCaseError> {
        let card = self.card;
        let by_touch = |k| card.maybe.iter().any(|b| b.kind == k);
        match (card.head.says, card.head.kind) {
            (HeadSays::Now, Some(kind)) => prop_assert!(card.can.contains(&kind), "{:?}", card),
            (HeadSays::Try, Some(kind)) => prop_assert!(by_touch(kind), "{:?}", card),
            (HeadSays::Phase, None) => {}
            other => prop_assert!(false, "{:?}", other),
        }
        let says = |phase, kind| card.phase != phase || card.can.contains(&kind);
        prop_assert!(says(Phase::Texture, MilestoneKind::Texture), "{:?}", card);
        prop_assert!(says(Phase::FormOff, MilestoneKind::FormOff), "{:?}", card);
        prop_assert!(
            card.phase != Phase::TextureByTouch || by_touch(MilestoneKind::Texture),
            "{:?}",
            card
        );
        prop_assert!(
            card.phase != Phase::Usable || !card.not_yet.contains(&MilestoneKind::Foot),
            "{:?}",
            card
        );
        let off = [May::Done, May::Now].contains(&self.state(MilestoneKind::FormOff));
        let drying =
            |w: &Warning| matches!(w, Warning::DriesFast { .. } | Warning::ShortWindow { .. });
        prop_assert!(
            !(off && self.page.warnings.iter().any(drying)),
            "{:?}",
            card
        );
        Ok(())
    }
}

/// Wherever a view carries a range, its ends are in order; wherever it carries a time, the
/// time is one of the calendar, so that a screen can give it its date.
fn in_order(value: &Value, path: &str) -> Result<(), TestCaseError> {
    match value {
        Value::Object(map) => {
            let end = |name: &str| map.get(name).and_then(Value::as_i64);
            let ends = [end("early"), end("likely"), end("late")];
            let known: Vec<i64> = ends.into_iter().flatten().collect();
            prop_assert!(
                known.windows(2).all(|w| w[0] <= w[1]),
                "{}: {:?}",
                path,
                ends
            );
            let pairs = [
                ("low_mpa", "mid_mpa"),
                ("min_c", "max_c"),
                ("from_ms", "until_ms"),
            ];
            for (low, high) in pairs {
                let of = |name| map.get(name).and_then(Value::as_f64);
                if let (Some(low), Some(high)) = (of(low), of(high)) {
                    prop_assert!(low <= high, "{}: {} above {}", path, low, high);
                }
            }
            for (name, value) in map {
                if let Some(at) = value.as_i64().filter(|_| name.ends_with("_ms")) {
                    prop_assert!(AtMs(at).in_calendar(), "{}.{}: {}", path, name, at);
                }
                in_order(value, &format!("{path}.{name}"))?;
            }
            Ok(())
        }
        Value::Array(list) => list.iter().try_for_each(|v| in_order(v, path)),
        _ => Ok(()),
    }
}

fn cards(site: &SiteView) -> Vec<&PourCard> {
    let of_steps = site
        .steps
        .iter()
        .flat_map(|s| s.pour.iter().chain(&s.others));
    of_steps.chain(&site.samples).collect()
}

/// Everything that every place of a site must hold to at one instant.
fn sound(book: &mut Book, now: AtMs) -> Result<(), TestCaseError> {
    let site = book.site_view(SITE, now).unwrap();
    in_order(&serde_json::to_value(&site).unwrap(), "site")?;
    for card in cards(&site) {
        let page = book.pour_view(SITE, &card.id, now).unwrap();
        in_order(&serde_json::to_value(&page).unwrap(), "pour")?;
        let of = |all: &'_ [Reminder]| -> Vec<usize> {
            (0..all.len()).filter(|i| all[*i].pour == card.id).collect()
        };
        let shown = Shown {
            now,
            card,
            page: &page,
            due: of(&site.due).into_iter().map(|i| &site.due[i]).collect(),
            coming: of(&site.coming)
                .into_iter()
                .map(|i| &site.coming[i])
                .collect(),
        };
        if card.replaced {
            prop_assert!(
                shown.due.is_empty() && shown.coming.is_empty(),
                "{:?}",
                card
            );
        }
        shown.one_until()?;
        shown.ranges()?;
        shown.groups()?;
        shown.head()?;
    }
    // One line for one thing.
    let lines: Vec<(&str, MilestoneKind)> = site
        .due
        .iter()
        .chain(&site.coming)
        .map(|r| (r.pour.as_str(), r.kind))
        .collect();
    let once: BTreeSet<_> = lines.iter().collect();
    prop_assert_eq!(once.len(), lines.len(), "{:?}", lines);
    told_outside(book, &site, now)
}

/// What reminders and the calendar tell is what the screens show.
fn told_outside(book: &mut Book, site: &SiteView, now: AtMs) -> Result<(), TestCaseError> {
    let told = book.to_remind(SITE, now);
    prop_assert_eq!(&told.due, &site.due);
    prop_assert!(told.coming.starts_with(&site.coming));
    let cards = cards(site);
    let card = |id: &str| cards.iter().find(|c| c.id == id).copied();
    for r in &told.closed {
        prop_assert!(
            r.until_ms.is_some_and(|t| t <= now),
            "closed before its time: {:?}",
            r
        );
        let open = told
            .due
            .iter()
            .chain(&told.coming)
            .any(|d| (&d.pour, d.kind) == (&r.pour, r.kind));
        prop_assert!(!open, "closed and due: {:?}", r);
    }
    for c in &told.curing {
        let card = card(&c.pour).unwrap();
        prop_assert!(c.until_ms > now && c.since_ms <= c.until_ms, "{:?}", c);
        let over = [&card.can, &card.done]
            .iter()
            .any(|g| g.contains(&MilestoneKind::CuringEnds));
        prop_assert!(!over, "to be kept wet, and curing has ended: {:?}", card);
    }
    Ok(())
}

/// The instants that a view speaks of: where it is most likely to contradict itself.
fn instants(value: &Value, out: &mut BTreeSet<i64>) {
    match value {
        Value::Object(map) => map.values().for_each(|v| instants(v, out)),
        Value::Array(list) => list.iter().for_each(|v| instants(v, out)),
        Value::Number(n) => {
            let near = hours(-60.0).0..hours(900.0).0;
            out.extend(n.as_i64().filter(|at| near.contains(at)));
        }
        _ => {}
    }
}

fn of_kind(all: &[Reminder], kind: MilestoneKind) -> Option<&Reminder> {
    all.iter().find(|r| r.kind == kind)
}

fn on_page(page: &PourView, kind: MilestoneKind) -> &MilestoneView {
    page.milestones.iter().find(|m| m.kind == kind).unwrap()
}

/// A step poured in mild weather, and what was logged of it after.
fn poured(after: &[Event]) -> Book {
    let mut events = plan();
    events.push(pour(1, MORNING));
    events.extend_from_slice(after);
    book(&events)
}

fn mark(id: &str, at: AtMs, kind: &str, until: Option<AtMs>) -> Event {
    let what = if until.is_some() { "snoozed" } else { "done" };
    let mut body = json!({"pour": "pour-0001", "milestone": kind, "what": what});
    if let Some(until) = until {
        body["until_ms"] = json!(until.0);
    }
    event(id, at, "mark", body)
}

#[test]
fn one_until_in_the_list_of_what_is_due_on_the_card_and_on_the_page() {
    let off = observation("strip-001", "pour-0001", hours(40.0), "stripped_clean");
    for (kind, after, step_h) in [
        (MilestoneKind::Texture, vec![], 0.1),
        (MilestoneKind::Dress, vec![off], 1.0),
    ] {
        let mut b = poured(&after);
        let mut untils = BTreeSet::new();
        for n in 0..120 {
            let now = hours(f64::from(n) * step_h);
            let site = b.site_view(SITE, now).unwrap();
            let Some(due) = of_kind(&site.due, kind) else {
                continue;
            };
            let page = b.pour_view(SITE, "pour-0001", now).unwrap();
            let card = site.steps[0].pour.as_ref().unwrap();
            assert_eq!(due.until_ms, on_page(&page, kind).until, "{kind:?} {n}");
            if let Some(act) = card.act.filter(|a| a.kind == kind) {
                assert_eq!(act.until, due.until_ms, "{kind:?} {n}");
                untils.extend(due.until_ms);
            }
        }
        assert!(!untils.is_empty(), "{kind:?} is never the thing to do");
    }
}

/// Where a window may have closed before it is surely open there is no "safe from": not on the
/// page, not under what is next, and what is due says the test that decides.
#[test]
fn safe_from_never_crosses_until() {
    let mut crossed = 0;
    for n in 0..12 {
        let mut events = plan();
        let mut entry = pour(1, MORNING);
        entry
            .body
            .insert("air_c".into(), json!(6.0 + 2.0 * f64::from(n)));
        entry
            .body
            .insert("wind_kmh".into(), json!(4.0 * f64::from(n)));
        events.push(entry);
        let mut b = book(&events);
        let page = b.pour_view(SITE, "pour-0001", hours(0.2)).unwrap();
        let m = on_page(&page, MilestoneKind::Texture);
        let (late, ends) = (m.opens.late, m.closes.and_then(|c| c.early));
        let (Some(late), Some(ends)) = (late, ends) else {
            continue;
        };
        if late < ends {
            assert_eq!(m.safe, Some(late));
            continue;
        }
        crossed += 1;
        assert_eq!(m.safe, None, "{m:?}");
        assert!(m.until >= m.opens.likely, "{m:?}");
        let site = b.site_view(SITE, hours(0.2)).unwrap();
        let comes = of_kind(&site.coming, MilestoneKind::Texture).unwrap();
        assert!(
            comes.test.is_some() && comes.until_ms > Some(comes.from_ms),
            "{comes:?}"
        );
        if let Some(next) = page.card.next.filter(|n| n.kind == MilestoneKind::Texture) {
            assert_eq!(next.safe, None);
        }
    }
    assert!(crossed > 0, "no such window among these");
}

#[test]
fn what_was_done_is_due_nowhere_any_more() {
    let now = hours(72.0);
    let stripped = || observation("done-0001", "pour-0001", hours(71.0), "stripped_clean");
    let walked = || observation("done-0001", "pour-0001", hours(71.0), "walked");
    for (kind, entry) in [
        (MilestoneKind::FormOff, stripped()),
        (
            MilestoneKind::FormOff,
            mark("done-0001", hours(71.0), "form_off", None),
        ),
        (MilestoneKind::Foot, walked()),
        (
            MilestoneKind::Foot,
            mark("done-0001", hours(71.0), "foot", None),
        ),
    ] {
        let before = poured(&[]).site_view(SITE, now).unwrap();
        assert!(
            of_kind(&before.due, kind).is_some(),
            "{kind:?} is not due at all"
        );
        let mut b = poured(std::slice::from_ref(&entry));
        let site = b.site_view(SITE, now).unwrap();
        assert!(of_kind(&site.due, kind).is_none(), "{entry:?}");
        assert!(of_kind(&site.coming, kind).is_none(), "{entry:?}");
        let card = site.steps[0].pour.clone().unwrap();
        assert!(card.done.contains(&kind) && card.act.is_none_or(|a| a.kind != kind));
        // Taken back, it is due as before.
        let mut b = poured(&[entry, retraction("back-0001", hours(71.5), "done-0001")]);
        assert_eq!(b.site_view(SITE, now).unwrap().due, before.due);
    }
}

/// "Later" beyond the end of a window: no line says that it comes from a time after its end.
#[test]
fn what_sleeps_past_the_end_of_its_window_comes_no_more() {
    let first = poured(&[]).pour_view(SITE, "pour-0001", MORNING).unwrap();
    let texture = on_page(&first, MilestoneKind::Texture);
    let (from, until) = (texture.opens.likely.unwrap(), texture.until.unwrap());
    let now = AtMs(from.0 + 1);
    let awake = poured(&[]).site_view(SITE, now).unwrap();
    assert!(of_kind(&awake.due, MilestoneKind::Texture).is_some());
    let later = AtMs(until.0 + 3_600_000);
    let site = poured(&[mark("mark-0001", now, "texture", Some(later))]).site_view(SITE, now);
    let site = site.unwrap();
    let all = || site.due.iter().chain(&site.coming);
    assert!(
        all().all(|r| r.kind != MilestoneKind::Texture),
        "{:?}",
        site.coming
    );
}

/// A form that came off ends the texture window at once, but nobody is told that a window has
/// closed which lies ahead.
#[test]
fn no_window_is_said_to_have_closed_before_its_time() {
    let off = observation("strip-001", "pour-0001", hours(0.6), "stripped_clean");
    let mut b = poured(&[off]);
    assert_eq!(b.to_remind(SITE, hours(0.7)).closed, []);
    assert_eq!(poured(&[]).to_remind(SITE, hours(30.0)).closed.len(), 1);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, max_shrink_iters: 150, ..ProptestConfig::default() })]

    /// Whatever was logged, in whatever order, and at whatever instant somebody looks.
    #[test]
    fn no_log_makes_two_places_of_a_site_disagree(
        log in a_log(),
        ats in prop::collection::vec(-30.0..60.0_f64, 4),
        late in prop::collection::vec(60.0..800.0_f64, 2),
        picks in prop::collection::vec(any::<prop::sample::Index>(), 10),
    ) {
        let mut book = book(&log);
        let site = book.site_view(SITE, hours(3.0)).unwrap();
        let mut spoken_of = BTreeSet::new();
        let of_page = ["milestones", "card", "batches"];
        for card in cards(&site) {
            let page = serde_json::to_value(book.pour_view(SITE, &card.id, hours(3.0)).unwrap()).unwrap();
            of_page.iter().for_each(|part| instants(&page[part], &mut spoken_of));
        }
        instants(&serde_json::to_value((&site.due, &site.coming)).unwrap(), &mut spoken_of);
        log.iter().for_each(|e| instants(&json!([e.at_ms, e.body]), &mut spoken_of));
        let spoken_of: Vec<i64> = spoken_of.into_iter().collect();
        let own = picks.iter().flat_map(|i| {
            let at = *i.get(&spoken_of);
            [AtMs(at - 1), AtMs(at), AtMs(at + 1)]
        });
        for now in ats.into_iter().chain(late).map(hours).chain(own) {
            sound(&mut book, now)?;
        }
    }
}
