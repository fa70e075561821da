//! Who is told what when: a function of what there is to tell, the rules that people chose,
//! what was told before, and the clock of the site.
//!
//! Pure: no store, no network, no clock of its own. Whatever is to be told at one instant is
//! one message; what falls due within [`JOIN`] of it is told along. During quiet hours things
//! wait, unless their window closes before the quiet ends and people chose to be woken. A
//! thing that was told is told again only after a snooze, or when it has moved away by more
//! than [`MOVED`]. What is done with a message: [`super::journal`].

use serde::{Deserialize, Serialize};
use slowstone_curing::predict::{MilestoneKind, Test};
use slowstone_curing::units::AtMs;
use slowstone_logbook::view::{Reminder, ToRemind};
use std::collections::BTreeSet;

const MINUTE: i64 = 60_000;
const HOUR: i64 = 60 * MINUTE;
const DAY: i64 = 24 * HOUR;
/// Things within this of each other are one reminder, ms.
pub const JOIN: i64 = 10 * MINUTE;
/// A thing that moved away by more than this is told again, ms.
pub const MOVED: i64 = HOUR;
/// A window that closed longer ago is no news, ms.
const STALE: i64 = 2 * DAY;
/// A curing reminder that could not be given by then waits for the next day, ms.
const CURING_LATE: i64 = 12 * HOUR;
/// What was told is remembered for so long after it is no longer due, ms.
const REMEMBERED: i64 = 90 * DAY;
/// Fresh concrete is not sprayed: the first curing reminder comes after this, ms.
/// Source: common practice, no source (after final set).
const UNTOUCHED: i64 = 8 * HOUR;

/// What people chose.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "ReminderRules")]
pub struct Rules {
    /// Quiet hours by the clock of the site: from and until, minutes of the day.
    pub quiet_min: Option<(u16, u16)>,
    /// A window that closes before the quiet hours end is told all the same.
    pub wake_for_window: bool,
    /// Also told so long before, minutes; 0 for not.
    pub ahead_min: u16,
    /// Daily reminder to keep curing concrete wet and covered, minute of the day.
    pub curing_min: Option<u16>,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            quiet_min: Some((22 * 60, 6 * 60)),
            wake_for_window: false,
            ahead_min: 30,
            curing_min: Some(8 * 60),
        }
    }
}

/// In which way something is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// Before its time.
    Soon,
    /// Its time has come.
    Due,
    /// Its window has closed and nobody was told.
    Missed,
    /// To be kept wet today.
    Curing,
}

/// One thing to tell.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Item {
    /// Which pour.
    pub pour: String,
    /// Number of its step.
    pub step_number: Option<u32>,
    /// Name of the step or sample.
    pub name: String,
    /// For what.
    pub kind: MilestoneKind,
    /// In which way.
    pub stage: Stage,
    /// From when it holds.
    pub from_ms: AtMs,
    /// A window: until when.
    pub until_ms: Option<AtMs>,
    /// Asked again after a snooze, or for which day: tells it from the one before.
    pub again: Option<AtMs>,
    /// Not surely open: the test that decides.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub test: Option<Test>,
}

impl Item {
    fn of(r: &Reminder, stage: Stage) -> Self {
        Self {
            pour: r.pour.clone(),
            step_number: r.step_number,
            name: r.name.clone(),
            kind: r.kind,
            stage,
            from_ms: r.from_ms,
            until_ms: r.until_ms,
            again: r.snoozed.then_some(r.from_ms),
            test: r.test,
        }
    }

    fn is(&self, told: &Told) -> bool {
        (&self.pour, self.kind, self.stage, self.again)
            == (&told.pour, told.kind, told.stage, told.again)
    }
}

/// What was told.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Told {
    pour: String,
    kind: MilestoneKind,
    stage: Stage,
    again: Option<AtMs>,
    /// From when it was said to hold.
    from_ms: AtMs,
    told_ms: AtMs,
}

/// The clock of a site: minutes ahead of UTC at an instant.
pub type Offset<'a> = &'a dyn Fn(AtMs) -> i32;

/// Instant as if the clock of the site showed UTC.
fn local(at: AtMs, offset: Offset<'_>) -> i64 {
    at.0.saturating_add(i64::from(offset(at)) * MINUTE)
}

/// The end of the quiet hours that `now` lies in; none if it lies in none.
#[must_use]
pub fn quiet_until(rules: &Rules, offset: Offset<'_>, now: AtMs) -> Option<AtMs> {
    let (from, until) = rules.quiet_min.filter(|(from, until)| from != until)?;
    let here = local(now, offset);
    let minute = here.rem_euclid(DAY) / MINUTE;
    let (from, until) = (i64::from(from), i64::from(until));
    let within = match from < until {
        true => (from..until).contains(&minute),
        false => minute >= from || minute < until,
    };
    if !within {
        return None;
    }
    let left = (until - minute).rem_euclid(24 * 60) * MINUTE - here.rem_euclid(MINUTE);
    let end = AtMs(now.0.saturating_add(left));
    // Where clocks change in the night it is an hour shorter or longer.
    let change = i64::from(offset(end)) - i64::from(offset(now));
    Some(AtMs(end.0.saturating_sub(change * MINUTE)))
}

/// The daily instant of curing that came last; none without the rule.
fn curing_time(rules: &Rules, offset: Offset<'_>, now: AtMs) -> Option<AtMs> {
    let minute = i64::from(rules.curing_min?);
    let here = local(now, offset);
    let mut at = here.div_euclid(DAY) * DAY + minute * MINUTE;
    if at > here {
        at -= DAY;
    }
    let guess = AtMs(now.0.saturating_sub(here - at));
    // As above, for the offset that held then.
    let change = i64::from(offset(guess)) - i64::from(offset(now));
    Some(AtMs(guess.0.saturating_sub(change * MINUTE)))
}

/// What is to be told at `now`, all of it in one message (empty: nothing), and what counts
/// as told after it.
#[must_use]
pub fn tell(
    seen: &ToRemind,
    rules: &Rules,
    before: &[Told],
    offset: Offset<'_>,
    now: AtMs,
) -> (Vec<Item>, Vec<Told>) {
    let mut told: Vec<Told> = before
        .iter()
        .filter(|t| keeps(t, seen, now))
        .cloned()
        .collect();
    let quiet = quiet_until(rules, offset, now);
    let may = |item: &Item| match quiet {
        None => true,
        Some(end) => rules.wake_for_window && item.until_ms.is_some_and(|until| until < end),
    };
    let fresh = |item: &Item| !told.iter().any(|t| item.is(t)) && may(item);
    let mut items: Vec<Item> = candidates(seen, rules, &told, offset, (now, 0))
        .into_iter()
        .filter(fresh)
        .collect();
    if !items.is_empty() {
        // Something is told now: what would follow within minutes comes along.
        let known: BTreeSet<(String, MilestoneKind)> =
            items.iter().map(|i| (i.pour.clone(), i.kind)).collect();
        let more = candidates(seen, rules, &told, offset, (now, JOIN));
        let more = more
            .into_iter()
            .filter(|i| !known.contains(&(i.pour.clone(), i.kind)) && fresh(i));
        items.extend(more);
    }
    told.extend(items.iter().map(|i| Told {
        pour: i.pour.clone(),
        kind: i.kind,
        stage: i.stage,
        again: i.again,
        from_ms: i.from_ms,
        told_ms: now,
    }));
    (items, told)
}

/// Whether it still counts that something was told.
fn keeps(t: &Told, seen: &ToRemind, now: AtMs) -> bool {
    let moved = seen.coming.iter().any(|r| {
        let same = r.pour == t.pour && r.kind == t.kind;
        same && !r.snoozed && t.again.is_none() && r.from_ms.0 > t.from_ms.0.saturating_add(MOVED)
    });
    let due = seen
        .due
        .iter()
        .any(|r| r.pour == t.pour && r.kind == t.kind);
    let recent = now.0.saturating_sub(t.told_ms.0) < REMEMBERED;
    match t.stage {
        Stage::Soon | Stage::Due => !moved && (due || recent),
        Stage::Missed | Stage::Curing => recent,
    }
}

/// What holds at `now`, or will within `within` ms of it.
fn candidates(
    seen: &ToRemind,
    rules: &Rules,
    told: &[Told],
    offset: Offset<'_>,
    (now, within): (AtMs, i64),
) -> Vec<Item> {
    let mut out: Vec<Item> = seen.due.iter().map(|r| Item::of(r, Stage::Due)).collect();
    let ahead = i64::from(rules.ahead_min) * MINUTE;
    for r in &seen.coming {
        let left = r.from_ms.0.saturating_sub(now.0);
        if left <= within {
            out.push(Item::of(r, Stage::Due));
        } else if ahead > 0 && !r.snoozed && left <= ahead + within && left > ahead.min(JOIN) / 2 {
            out.push(Item::of(r, Stage::Soon));
        }
    }
    for r in &seen.closed {
        let was_told = told
            .iter()
            .any(|t| t.stage == Stage::Due && t.pour == r.pour && t.kind == r.kind);
        let closed = r.until_ms.unwrap_or(r.from_ms);
        if !was_told && now.0.saturating_sub(closed.0) < STALE {
            out.push(Item::of(r, Stage::Missed));
        }
    }
    if let Some(at) = curing_time(rules, offset, now)
        && now.0 - at.0 < CURING_LATE
    {
        let wet = seen
            .curing
            .iter()
            .filter(|c| c.since_ms.0.saturating_add(UNTOUCHED) <= at.0 && at < c.until_ms);
        out.extend(wet.map(|c| Item {
            pour: c.pour.clone(),
            step_number: c.step_number,
            name: c.name.clone(),
            kind: MilestoneKind::CuringEnds,
            stage: Stage::Curing,
            from_ms: at,
            until_ms: Some(c.until_ms),
            again: Some(at),
            test: None,
        }));
    }
    out
}

#[cfg(test)]
mod tests;
