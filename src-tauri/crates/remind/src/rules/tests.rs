//! The rules by example and by chance: never twice, never lost, quiet hours kept, days on
//! which clocks change.

use super::*;
use proptest::prelude::*;
use slowstone_logbook::Zones;
use slowstone_logbook::view::Curing;
use slowstone_wording::zones::Iana;
use std::collections::BTreeMap;

/// 2026-10-03T10:00:00Z by `date -u -d ... +%s`; 12:00 in Oslo.
const NOON: i64 = 1_791_021_600_000;

fn oslo(at: AtMs) -> i32 {
    Iana.offset_min("Europe/Oslo", at).unwrap()
}

fn thing(n: u32, kind: MilestoneKind, from: i64, until: Option<i64>) -> Reminder {
    Reminder {
        pour: format!("pour-{n}"),
        step_number: Some(n),
        name: String::new(),
        kind,
        from_ms: AtMs(from),
        until_ms: until.map(AtMs),
        snoozed: false,
        test: None,
    }
}

/// What a log with these things shows at an instant.
fn seen(things: &[Reminder], now: i64) -> ToRemind {
    let mut out = ToRemind::default();
    for r in things {
        let closed = r.until_ms.is_some_and(|t| t.0 <= now);
        match (r.from_ms.0 > now, closed) {
            (true, _) => out.coming.push(r.clone()),
            (false, false) => out.due.push(r.clone()),
            (false, true) => out.closed.push(r.clone()),
        }
    }
    out
}

/// Everything that is told when the hub looks at these instants.
fn run(things: &[Reminder], rules: &Rules, looks: &[i64]) -> Vec<(i64, Vec<Item>)> {
    let mut told = Vec::new();
    let mut out = Vec::new();
    for now in looks {
        let (items, next) = tell(&seen(things, *now), rules, &told, &oslo, AtMs(*now));
        told = next;
        if !items.is_empty() {
            out.push((*now, items));
        }
    }
    out
}

fn plain() -> Rules {
    Rules {
        quiet_min: None,
        wake_for_window: false,
        ahead_min: 0,
        curing_min: None,
    }
}

#[test]
fn soon_then_due_and_each_once() {
    let rules = Rules {
        ahead_min: 30,
        ..plain()
    };
    let form = [thing(1, MilestoneKind::FormOff, NOON + HOUR, None)];
    let looks: Vec<i64> = (0..200).map(|i| NOON + i * MINUTE).collect();
    let told = run(&form, &rules, &looks);
    let stages: Vec<(i64, Stage)> = told
        .iter()
        .map(|(t, i)| ((t - NOON) / MINUTE, i[0].stage))
        .collect();
    assert_eq!(stages, [(30, Stage::Soon), (60, Stage::Due)]);
}

/// Promise: "Things that fall together come as one message"
#[test]
fn what_falls_together_is_one_message() {
    let things = [
        thing(1, MilestoneKind::FormOff, NOON, None),
        thing(2, MilestoneKind::Foot, NOON + 6 * MINUTE, None),
        thing(3, MilestoneKind::Foot, NOON + 16 * MINUTE, None),
    ];
    let looks: Vec<i64> = (0..60).map(|i| NOON + i * MINUTE).collect();
    let told = run(&things, &plain(), &looks);
    let counts: Vec<usize> = told.iter().map(|(_, i)| i.len()).collect();
    assert_eq!(counts, [2, 1]);
}

#[test]
fn a_window_that_closed_while_the_machine_slept_is_missed_once() {
    let window = [thing(1, MilestoneKind::Texture, NOON, Some(NOON + HOUR))];
    let told = run(
        &window,
        &plain(),
        &[NOON - HOUR, NOON + 3 * HOUR, NOON + 4 * HOUR],
    );
    assert_eq!(told.len(), 1);
    assert_eq!(
        (told[0].0, told[0].1[0].stage),
        (NOON + 3 * HOUR, Stage::Missed)
    );
    // Told in time, it is not missed as well.
    let told = run(&window, &plain(), &[NOON + MINUTE, NOON + 3 * HOUR]);
    assert_eq!(told.len(), 1);
    assert_eq!(told[0].1[0].stage, Stage::Due);
}

/// Promise: "quiet hours go by the clock of the site; a window that cannot wait may wake you if you choose so"
#[test]
fn quiet_hours_hold_back_and_windows_may_break_through() {
    let night = NOON + 11 * HOUR; // 23:00 in Oslo
    let things = [
        thing(1, MilestoneKind::FormOff, night, None),
        thing(2, MilestoneKind::Texture, night, Some(night + HOUR)),
    ];
    let looks: Vec<i64> = (0..24 * 4).map(|i| NOON + i * 15 * MINUTE).collect();
    let quiet = Rules {
        quiet_min: Some((22 * 60, 6 * 60)),
        ..plain()
    };
    let told = run(&things, &quiet, &looks);
    let morning = NOON + 18 * HOUR;
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!(told[0].0, morning);
    let stages: Vec<Stage> = told[0].1.iter().map(|i| i.stage).collect();
    assert_eq!(stages, [Stage::Due, Stage::Missed]);
    let woken = run(
        &things,
        &Rules {
            wake_for_window: true,
            ..quiet
        },
        &looks,
    );
    assert_eq!((woken[0].0, woken[0].1.len()), (night, 1));
    assert_eq!(woken[0].1[0].kind, MilestoneKind::Texture);
    assert_eq!(
        (woken[1].0, woken[1].1[0].kind),
        (morning, MilestoneKind::FormOff)
    );
}

#[test]
fn told_again_after_a_snooze_or_when_it_moved_far() {
    let mut told = Vec::new();
    let mut say = |r: Reminder, now: i64| {
        let (items, next) = tell(&seen(&[r], now), &plain(), &told, &oslo, AtMs(now));
        told = next;
        items.len()
    };
    let form = thing(1, MilestoneKind::FormOff, NOON, None);
    assert_eq!(say(form.clone(), NOON), 1);
    // A reading moves it by half an hour, and it is due again then: not told anew.
    let later = Reminder {
        from_ms: AtMs(NOON + HOUR / 2),
        ..form.clone()
    };
    assert_eq!(
        (say(later.clone(), NOON + 1), say(later, NOON + HOUR)),
        (0, 0)
    );
    let far = Reminder {
        from_ms: AtMs(NOON + 5 * HOUR),
        ..form.clone()
    };
    assert_eq!(
        (say(far.clone(), NOON + HOUR + 1), say(far, NOON + 5 * HOUR)),
        (0, 1)
    );
    let snoozed = Reminder {
        from_ms: AtMs(NOON + 6 * HOUR),
        snoozed: true,
        ..form
    };
    assert_eq!(
        (
            say(snoozed.clone(), NOON + 5 * HOUR + 1),
            say(snoozed, NOON + 6 * HOUR)
        ),
        (0, 1)
    );
}

/// Promise: "Curing steps ask once a day to be kept wet and covered."
#[test]
fn curing_is_told_each_morning_until_it_ends_also_where_clocks_change() {
    // Clocks in Oslo go back on 2026-10-25 at 01:00 UTC: 08:00 is 06:00 UTC before, 07:00 after.
    let begin = 1_792_749_600_000; // 2026-10-23T10:00Z by `date -u -d ... +%s`
    let curing = |now: i64| {
        ToRemind {
            curing: vec![Curing {
                pour: "pour-1".into(),
                step_number: Some(1),
                name: String::new(),
                since_ms: AtMs(begin),
                until_ms: AtMs(begin + 4 * DAY),
            }],
            ..ToRemind::default()
        }
        .clone_at(now)
    };
    let rules = Rules {
        curing_min: Some(8 * 60),
        ..plain()
    };
    let mut told = Vec::new();
    let mut at = Vec::new();
    for i in 0..6 * 24 * 4 {
        let now = begin + i * 15 * MINUTE;
        let (items, next) = tell(&curing(now), &rules, &told, &oslo, AtMs(now));
        told = next;
        if !items.is_empty() {
            at.push((now - begin) / HOUR);
        }
    }
    // 06:00Z on the 24th, then 07:00Z on the 25th, 26th and 27th.
    assert_eq!(at, [20, 45, 69, 93]);
}

trait CloneAt {
    fn clone_at(self, now: i64) -> Self;
}

impl CloneAt for ToRemind {
    fn clone_at(mut self, now: i64) -> Self {
        self.curing.retain(|c| c.until_ms.0 > now);
        self
    }
}

#[test]
fn quiet_hours_end_when_the_clock_says_so_on_the_days_it_changes() {
    let rules = Rules {
        quiet_min: Some((22 * 60, 6 * 60)),
        ..plain()
    };
    for (evening_s, hours) in [
        // 2026-03-28T22:00 in Oslo (21:00Z) and 2026-10-24T22:00 (20:00Z), by `date`.
        (1_774_731_600, 7),
        (1_792_872_000, 9),
    ] {
        let evening = AtMs(evening_s * 1000);
        let end = quiet_until(&rules, &oslo, evening).unwrap();
        assert_eq!((end.0 - evening.0) / HOUR, hours);
        assert_eq!(quiet_until(&rules, &oslo, end), None);
    }
}

proptest! {
    #[test]
    fn never_twice_never_lost_and_quiet_kept(
        things in proptest::collection::vec((0u32..4, 0usize..4, 0i64..72 * 60, proptest::option::of(20i64..600)), 1..8),
        steps in proptest::collection::vec(1i64..400, 30..60),
        quiet in proptest::option::of((0u16..1440, 0u16..1440)),
        wake in any::<bool>(),
        ahead in 0u16..90,
        start in 0i64..365,
    ) {
        let kinds = [MilestoneKind::Texture, MilestoneKind::FormOff, MilestoneKind::Foot, MilestoneKind::Seal];
        let begin = NOON + start * DAY;
        let mut all: BTreeMap<(u32, usize), Reminder> = BTreeMap::new();
        for (n, k, from, length) in things {
            let until = length.filter(|_| k == 0).map(|l| begin + (from + l) * MINUTE);
            all.insert((n, k), thing(n, kinds[k], begin + from * MINUTE, until));
        }
        let all: Vec<Reminder> = all.into_values().collect();
        let rules = Rules { quiet_min: quiet, wake_for_window: wake, ahead_min: ahead, curing_min: None };
        let mut looks: Vec<i64> = steps.iter().scan(begin, |t, s| { *t += s * MINUTE; Some(*t) }).collect();
        // At last everything is over and the quiet ends.
        let last = looks.last().copied().unwrap().max(begin + 83 * HOUR);
        looks.extend((1..=26).map(|h| last + h * HOUR));
        let told = run(&all, &rules, &looks);
        let mut count: BTreeMap<(String, MilestoneKind, Stage), u32> = BTreeMap::new();
        for (now, items) in &told {
            let end = quiet_until(&rules, &oslo, AtMs(*now));
            for i in items {
                *count.entry((i.pour.clone(), i.kind, i.stage)).or_default() += 1;
                if let Some(end) = end {
                    prop_assert!(wake && i.until_ms.is_some_and(|t| t < end), "told in the quiet: {i:?}");
                }
            }
        }
        prop_assert!(count.values().all(|n| *n == 1), "twice: {count:?}");
        for r in &all {
            let of = |s| count.get(&(r.pour.clone(), r.kind, s)).copied().unwrap_or(0);
            // A quiet that lasts almost the whole day may outlast what is news.
            let (due, missed) = (of(Stage::Due), of(Stage::Missed));
            let loud = looks.iter().any(|t| *t >= r.from_ms.0 && quiet_until(&rules, &oslo, AtMs(*t)).is_none()
                && r.until_ms.is_none_or(|u| *t - u.0 < STALE));
            prop_assert!(!loud || due + missed == 1, "{r:?} was told {due} and {missed} times");
        }
    }
}
