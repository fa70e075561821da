//! The one answer: what a pour is now, what may be done with it, what only a test by touch
//! decides, what must wait, and what comes next.
//!
//! Every place that speaks of a pour (card, page, list of what is due, reminders, calendar,
//! tray, record, `slowstone calc pour`) shows this answer, so that no two of them can
//! disagree. "Now" is said only of what is safe; from the likely time until then it is
//! "by touch", with the test that decides; what was done is due nowhere any more. What is
//! heavier never opens before what is lighter (the table in [`crate::predict`]).

use crate::predict::{Look, MilestoneKind, Prediction, Span, Test, Warning};
use crate::units::{AtMs, Hours};
use serde::Serialize;

/// What the log knows of a pour beside its prediction.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Logged {
    /// What was done, and when.
    pub done: Vec<(MilestoneKind, AtMs)>,
    /// What there is none of: nothing is cast on top of a sample.
    pub without: Vec<MilestoneKind>,
}

/// Where a pour is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Phase {
    /// Being placed, or water stands on it.
    Fresh,
    /// The surface perhaps takes a texture: a thumb decides.
    TextureByTouch,
    /// The surface takes a texture.
    Texture,
    /// Setting or too weak to strip.
    Setting,
    /// The form may come off.
    FormOff,
    /// Green: edges can be dressed and can break.
    Green,
    /// Hardening under cure.
    Curing,
    /// In full use.
    Usable,
    /// Sealed.
    Done,
    /// No prediction possible.
    Unknown,
}

/// State of a milestone at an instant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum May {
    /// It was seen or done.
    Done,
    /// Now, also by the cautious end of the range.
    Now,
    /// Likely, but not surely: a test by touch decides.
    Maybe,
    /// Not yet.
    Later,
    /// The window has closed.
    Passed,
    /// Not within the horizon.
    Never,
}

/// One milestone at an instant.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Window {
    /// Which.
    pub kind: MilestoneKind,
    /// State now.
    pub state: May,
    /// When it may begin: the safe end is `late`. Never before what is lighter.
    pub opens: Span,
    /// For windows: when it is too late. Never before it begins, but perhaps before it is
    /// safe to begin: then it is never "now".
    pub closes: Option<Span>,
    /// When it was seen or done.
    pub seen: Option<AtMs>,
    /// Until when it holds: to the cautious end while that lies ahead, then to the likely
    /// one. Never before it likely begins: a window whose cautious end lies before that is
    /// one to its likely end. None for what does not close, is done or past.
    pub until: Option<AtMs>,
}

/// What may perhaps be done, and the test that decides.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ByTouch {
    /// What.
    pub kind: MilestoneKind,
    /// The test.
    pub test: Test,
}

/// The one thing to do now.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Act {
    /// What.
    pub kind: MilestoneKind,
    /// The test that decides first; none if it is safe without.
    pub test: Option<Test>,
    /// Until when.
    pub until: Option<AtMs>,
}

/// The next thing to wait for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct NextUp {
    /// What.
    pub kind: MilestoneKind,
    /// Likely from; none once that lies behind.
    pub likely: Option<AtMs>,
    /// Safe from.
    pub safe: Option<AtMs>,
}

/// The answer for one pour at one instant.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Answer {
    /// Where it is.
    pub state: Phase,
    /// What may be done now, beginning with what presses most.
    pub now: Vec<MilestoneKind>,
    /// What may perhaps be done, in the same order.
    pub by_touch: Vec<ByTouch>,
    /// What must wait, in the same order.
    pub not_yet: Vec<MilestoneKind>,
    /// What was seen or done, in the order of the trade.
    pub done: Vec<MilestoneKind>,
    /// What comes next.
    pub next: Option<NextUp>,
    /// The one thing to do now.
    pub act: Option<Act>,
    /// What to look at next, the best first: for the wait that matters now.
    pub look_next: Vec<Look>,
    /// Every milestone, in the order of [`MilestoneKind::ALL`]; empty without a prediction.
    pub windows: Vec<Window>,
    /// What somebody should know now, most serious first.
    pub warnings: Vec<Warning>,
}

/// The answer at `now` to a prediction, if there is one, and to what was logged.
///
/// ```
/// use slowstone_curing::answer::{Logged, Phase, answer};
/// use slowstone_curing::predict::{DayRange, MilestoneKind, plain_step, predict};
/// use slowstone_curing::units::{AtMs, Celsius, Hours};
/// let start = AtMs(1_781_074_800_000);
/// let mut step = plain_step(start);
/// step.days = vec![DayRange {
///     day_start: start.plus(Hours(-7.0)),
///     min: Celsius(12.0),
///     max: Celsius(20.0),
///     rh: None,
///     wind: None,
///     sky: None,
/// }];
/// let prediction = predict(&step).unwrap();
/// let fresh = answer(Some(&prediction), &Logged::default(), start);
/// assert_eq!(fresh.state, Phase::Fresh);
/// assert!(fresh.now.is_empty() && fresh.not_yet.contains(&MilestoneKind::FormOff));
/// assert_eq!(fresh.next.unwrap().kind, MilestoneKind::SheenGone);
/// ```
#[must_use]
pub fn answer(prediction: Option<&Prediction>, logged: &Logged, now: AtMs) -> Answer {
    let windows = prediction.map_or_else(Vec::new, |p| windows(p, logged, now));
    let of = |kind| state_of(&windows, kind);
    let doings: Vec<MilestoneKind> = MilestoneKind::doings()
        .filter(|k| !windows.is_empty() && !logged.without.contains(k))
        .collect();
    let all = |states: &[May]| {
        let mut kinds = doings.clone();
        kinds.retain(|k| states.contains(&of(*k)));
        kinds
    };
    let now_kinds = all(&[May::Now]);
    let by_touch: Vec<ByTouch> = all(&[May::Maybe])
        .into_iter()
        .map(|kind| ByTouch {
            kind,
            test: kind.row().test,
        })
        .collect();
    let done = match prediction {
        Some(_) => MilestoneKind::ALL
            .into_iter()
            .filter(|k| of(*k) == May::Done)
            .collect(),
        None => MilestoneKind::ALL
            .into_iter()
            .filter(|k| was_done(logged, *k, now))
            .collect(),
    };
    Answer {
        state: phase(&windows),
        act: act(&now_kinds, &by_touch, &windows),
        next: next(&windows, logged, now),
        look_next: prediction.map_or_else(Vec::new, |p| look_next(p, &windows, logged, now)),
        not_yet: all(&[May::Later, May::Never]),
        warnings: prediction.map_or_else(Vec::new, |p| warnings(p, &windows)),
        now: now_kinds,
        by_touch,
        done,
        windows,
    }
}

impl Answer {
    /// The state of one milestone.
    #[must_use]
    pub fn of(&self, kind: MilestoneKind) -> May {
        state_of(&self.windows, kind)
    }

    /// The window of one milestone.
    #[must_use]
    pub fn window(&self, kind: MilestoneKind) -> Option<&Window> {
        self.windows.iter().find(|w| w.kind == kind)
    }
}

fn state_of(windows: &[Window], kind: MilestoneKind) -> May {
    let found = windows.iter().find(|w| w.kind == kind);
    found.map_or(May::Never, |w| w.state)
}

/// When each milestone opens and closes, whatever the instant: what is heavier never
/// before what is lighter, and no window closes before it opens.
///
/// `logged` says what was done: it holds nothing back from then on.
#[must_use]
pub fn spans(prediction: &Prediction, logged: &Logged) -> Vec<(MilestoneKind, Span, Option<Span>)> {
    prediction
        .milestones
        .iter()
        .map(|m| {
            let opens = opens(prediction, logged, m.kind);
            let closes = m.closes.map(|c| later(c, opens));
            let closes = closes.map(|c| at_least_tried(prediction, logged, m.kind, c));
            (m.kind, opens, closes)
        })
        .collect()
}

/// The closing of a window whose cautious end leaves the time in which it is simply tried,
/// after what it builds on was done; never past its likely end.
fn at_least_tried(
    prediction: &Prediction,
    logged: &Logged,
    kind: MilestoneKind,
    closes: Span,
) -> Span {
    let done = kind.row().builds_on.iter();
    let done = done.filter_map(|k| seen(prediction, logged, *k)).max();
    let tried = done.and_then(|at| Some(at.plus(Hours(kind.row().tried_h?))));
    let end = tried.map(|t| closes.likely.map_or(t, |likely| t.min(likely)));
    Span {
        early: closes.early.map(|t| end.map_or(t, |end| t.max(end))),
        ..closes
    }
}

/// When a kind opens: when its own criteria are met and everything lighter is open.
fn opens(prediction: &Prediction, logged: &Logged, kind: MilestoneKind) -> Span {
    let found = prediction.milestones.iter().find(|m| m.kind == kind);
    let own = found.map(|m| m.opens).unwrap_or_default();
    kind.row()
        .builds_on
        .iter()
        .filter(|k| !logged.without.contains(k))
        .fold(own, |span, lighter| {
            // What people did holds nothing back from then on.
            let opened = match seen(prediction, logged, *lighter) {
                Some(at) => Span {
                    early: Some(at),
                    likely: Some(at),
                    late: Some(at),
                },
                None => opens(prediction, logged, *lighter),
            };
            later(span, opened)
        })
}

/// The later of two spans, end by end.
fn later(a: Span, b: Span) -> Span {
    let both = |x: Option<AtMs>, y: Option<AtMs>| Some(x?.max(y?));
    Span {
        early: both(a.early, b.early),
        likely: both(a.likely, b.likely),
        late: both(a.late, b.late),
    }
}

/// When it was first seen or done.
fn seen(prediction: &Prediction, logged: &Logged, kind: MilestoneKind) -> Option<AtMs> {
    let found = prediction.milestones.iter().find(|m| m.kind == kind);
    let done = logged.done.iter().filter(|d| d.0 == kind).map(|d| d.1);
    done.chain(found.and_then(|m| m.seen)).min()
}

fn was_done(logged: &Logged, kind: MilestoneKind, now: AtMs) -> bool {
    logged.done.iter().any(|(k, at)| *k == kind && *at <= now)
}

fn windows(prediction: &Prediction, logged: &Logged, now: AtMs) -> Vec<Window> {
    let done = |kind| seen(prediction, logged, kind).is_some_and(|at| at <= now);
    // Who dressed the edges had taken the form off, logged or not.
    let shown = |kind| {
        let by = |k: &MilestoneKind| k.row().shows.contains(&kind) && done(*k);
        MilestoneKind::ALL.iter().any(by)
    };
    spans(prediction, logged)
        .into_iter()
        .map(|(kind, opens, closes)| {
            let at = seen(prediction, logged, kind);
            let state = if done(kind) || shown(kind) {
                May::Done
            } else if kind.row().ended_by.iter().any(|k| done(*k)) {
                May::Passed
            } else {
                by_time(opens, closes, now)
            };
            let until = closes.and_then(|c| match state {
                May::Done | May::Passed | May::Never => None,
                _ => {
                    let from = opens.likely.map_or(now, |t| t.max(now));
                    c.early.filter(|t| *t > from).or(c.likely)
                }
            });
            Window {
                kind,
                state,
                opens,
                closes,
                seen: at,
                until,
            }
        })
        .collect()
}

/// The state by the clock alone.
fn by_time(opens: Span, closes: Option<Span>, now: AtMs) -> May {
    let reached = |t: Option<AtMs>| t.is_some_and(|t| t <= now);
    let closes = closes.unwrap_or_default();
    if reached(closes.likely) {
        May::Passed
    } else if reached(opens.late) && !reached(closes.early) {
        May::Now
    } else if reached(opens.likely) {
        May::Maybe
    } else if opens.likely.is_none() && opens.early.is_none() {
        May::Never
    } else {
        May::Later
    }
}

/// The next thing to wait for: the one that likely comes first among those that are not
/// surely open yet, with times that all lie ahead.
fn next(windows: &[Window], logged: &Logged, now: AtMs) -> Option<NextUp> {
    let ahead = |t: Option<AtMs>| t.filter(|t| *t > now);
    windows
        .iter()
        .filter(|w| matches!(w.state, May::Later | May::Maybe))
        .filter(|w| w.kind.row().pressing.is_some() || w.kind == MilestoneKind::SheenGone)
        .filter(|w| !logged.without.contains(&w.kind))
        .filter_map(|w| {
            let likely = ahead(w.opens.likely);
            // A window that may close before it is surely open has no safe time.
            let ends = w.closes.and_then(|c| c.early);
            let safe = ahead(w.opens.late).filter(|t| ends.is_none_or(|end| *t < end));
            let first = likely.or(safe)?;
            let next = NextUp {
                kind: w.kind,
                likely,
                safe,
            };
            Some((first, next))
        })
        .min_by_key(|(first, _)| *first)
        .map(|(_, next)| next)
}

/// The looks that lie ahead for the first wait that is not over by its safe end, each kind
/// once, at its best hour, the best first.
fn look_next(prediction: &Prediction, windows: &[Window], logged: &Logged, now: AtMs) -> Vec<Look> {
    let waits = |w: &&Window| {
        matches!(w.state, May::Later | May::Maybe)
            && !logged.without.contains(&w.kind)
            && prediction
                .looks
                .iter()
                .any(|l| l.milestone == w.kind && l.at >= now)
    };
    let Some(wait) = windows
        .iter()
        .filter(waits)
        .min_by_key(|w| w.opens.late.map_or(i64::MAX, |t| t.0))
    else {
        return Vec::new();
    };
    let mut ahead: Vec<Look> = prediction
        .looks
        .iter()
        .filter(|l| l.milestone == wait.kind && l.at >= now)
        .copied()
        .collect();
    ahead.sort_by(|a, b| b.narrows.0.total_cmp(&a.narrows.0).then(a.at.cmp(&b.at)));
    let mut found: Vec<Look> = Vec::new();
    for look in ahead {
        if !found.iter().any(|f| f.what == look.what) {
            found.push(look);
        }
    }
    found
}

/// The one thing to do: the most pressing that is safe, then the most pressing to try.
fn act(now: &[MilestoneKind], by_touch: &[ByTouch], windows: &[Window]) -> Option<Act> {
    let until = |kind| windows.iter().find(|w| w.kind == kind)?.until;
    let work = |kind: &MilestoneKind| kind.row().work;
    let safe = now.iter().copied().find(work).map(|kind| (kind, None));
    let tried = by_touch.iter().find(|b| work(&b.kind));
    let (kind, test) = safe.or(tried.map(|b| (b.kind, Some(b.test))))?;
    Some(Act {
        kind,
        test,
        until: until(kind),
    })
}

fn phase(windows: &[Window]) -> Phase {
    use MilestoneKind as K;
    let is = |kind, states: &[May]| states.contains(&state_of(windows, kind));
    if windows.is_empty() {
        Phase::Unknown
    } else if is(K::Seal, &[May::Done]) {
        Phase::Done
    } else if is(K::FullUse, &[May::Now, May::Done]) {
        Phase::Usable
    } else if is(K::FormOff, &[May::Done]) {
        if is(K::Dress, &[May::Now, May::Maybe]) {
            Phase::Green
        } else {
            Phase::Curing
        }
    } else if is(K::FormOff, &[May::Now]) {
        Phase::FormOff
    } else if is(K::Texture, &[May::Now]) {
        Phase::Texture
    } else if is(K::Texture, &[May::Maybe]) {
        Phase::TextureByTouch
    } else if is(K::SheenGone, &[May::Later, May::Maybe, May::Never])
        && is(K::InitialSet, &[May::Later, May::Maybe, May::Never])
    {
        Phase::Fresh
    } else {
        Phase::Setting
    }
}

/// The warnings that still hold: nothing can be done any more for the drying of a surface
/// that has set, nor about the length of a window that is used or past.
fn warnings(prediction: &Prediction, windows: &[Window]) -> Vec<Warning> {
    let is = |kind, states: &[May]| states.contains(&state_of(windows, kind));
    let set = is(MilestoneKind::FinalSet, &[May::Done, May::Now, May::Maybe])
        || is(MilestoneKind::FormOff, &[May::Done, May::Now]);
    let textured = is(MilestoneKind::Texture, &[May::Done, May::Passed]);
    prediction
        .warnings
        .iter()
        .filter(|w| match w {
            Warning::DriesFast { .. } => !set,
            Warning::ShortWindow { .. } => !set && !textured,
            _ => true,
        })
        .copied()
        .collect()
}
