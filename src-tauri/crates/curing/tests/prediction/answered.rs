//! The one answer never contradicts itself: over random pours, times and observations, and
//! over spans of any kind that an engine may give.

use crate::any::{Kind, facts};
use crate::scene::{JUNE, cool, mild, opens, textured, told, warm, with};
use proptest::prelude::*;
use slowstone_curing::answer::{Answer, Logged, May, Phase, answer};
use slowstone_curing::predict::*;
use slowstone_curing::units::{AtMs, Hours};
use std::sync::LazyLock;

/// Everything that an answer must hold to.
fn sound(found: &Answer, logged: &Logged, now: AtMs) -> Result<(), TestCaseError> {
    let by_touch: Vec<MilestoneKind> = found.by_touch.iter().map(|b| b.kind).collect();
    for kind in MilestoneKind::doings().filter(|k| !logged.without.contains(k)) {
        let groups = [&found.now, &by_touch, &found.not_yet, &found.done];
        let times = groups.iter().filter(|g| g.contains(&kind)).count();
        let past = found.of(kind) == May::Passed;
        prop_assert_eq!(times, usize::from(!past), "{:?}: {:?}", kind, found);
    }
    for w in &found.windows {
        let [early, likely, late] =
            [w.opens.early, w.opens.likely, w.opens.late].map(|t| t.map_or(i64::MAX, |t| t.0));
        prop_assert!(early <= likely && likely <= late, "{:?}", w);
        if let Some(c) = w.closes {
            // A window never ends before it begins.
            let ends = [c.early, c.likely].map(|t| t.map_or(i64::MAX, |t| t.0));
            prop_assert!(early <= ends[0] && likely <= ends[1], "{:?}", w);
        }
        if found.now.contains(&w.kind) {
            prop_assert!(w.opens.late.is_some_and(|t| t <= now), "{:?}", w);
            let open = w.closes.and_then(|c| c.early).is_none_or(|t| t > now);
            prop_assert!(open, "not safe any more: {:?}", w);
            for lighter in w.kind.row().builds_on {
                let state = found.of(*lighter);
                prop_assert!(
                    logged.without.contains(lighter) || matches!(state, May::Now | May::Done),
                    "{:?} now and {:?} {:?}",
                    w.kind,
                    lighter,
                    state
                );
            }
        }
        if by_touch.contains(&w.kind) {
            prop_assert!(w.opens.likely.is_some_and(|t| t <= now), "{:?}", w);
        }
        prop_assert!(w.until.is_none_or(|t| t > now), "{:?}", w);
        // What is said beside each other: "likely from ... until ...".
        if let (Some(from), Some(until)) = (w.opens.likely, w.until) {
            prop_assert!(from <= until, "ends before it likely begins: {:?}", w);
        }
    }
    if let Some(next) = found.next {
        prop_assert!(next.likely.or(next.safe).is_some(), "{:?}", next);
        prop_assert!(next.likely.is_none_or(|t| t > now), "{:?}", next);
        prop_assert!(next.safe.is_none_or(|t| t > now), "{:?}", next);
        let state = found.of(next.kind);
        prop_assert!(matches!(state, May::Later | May::Maybe), "{:?}", next);
    }
    match found.act {
        Some(act) if act.test.is_some() => prop_assert!(by_touch.contains(&act.kind)),
        Some(act) => prop_assert!(found.now.contains(&act.kind)),
        None => {
            let work = |k: &&MilestoneKind| k.row().work;
            prop_assert!(found.now.iter().chain(&by_touch).find(work).is_none());
        }
    }
    let says = |kind, phase| found.state != phase || found.now.contains(&kind);
    prop_assert!(says(MilestoneKind::Texture, Phase::Texture), "{:?}", found);
    prop_assert!(says(MilestoneKind::FormOff, Phase::FormOff), "{:?}", found);
    if found.state == Phase::Usable {
        prop_assert!(!found.not_yet.contains(&MilestoneKind::Foot), "{:?}", found);
    }
    let hard = [May::Done, May::Now].contains(&found.of(MilestoneKind::FormOff));
    for w in &found.warnings {
        let drying = matches!(w, Warning::DriesFast { .. } | Warning::ShortWindow { .. });
        prop_assert!(!(hard && drying), "{:?}", found);
    }
    Ok(())
}

/// Predicted once: its times are taken from the case.
static MILD: LazyLock<Prediction> = LazyLock::new(|| told(&mild()));

fn logged() -> impl Strategy<Value = Logged> {
    let kinds = prop::sample::select(MilestoneKind::ALL.to_vec());
    let done = prop::collection::vec((kinds, 0.0..900.0_f64), 0..3);
    (done, any::<bool>()).prop_map(|(done, sample)| Logged {
        done: done
            .into_iter()
            .map(|(kind, h)| (kind, JUNE.plus(Hours(h))))
            .collect(),
        without: if sample {
            vec![MilestoneKind::NextStep]
        } else {
            Vec::new()
        },
    })
}

/// Three instants in order, of which the last ones may lie beyond the horizon.
fn span() -> impl Strategy<Value = Span> {
    (prop::array::uniform3(0.0..900.0_f64), 0..4_usize).prop_map(|(mut h, given)| {
        h.sort_by(f64::total_cmp);
        let at = |i: usize| (i < given).then(|| JUNE.plus(Hours(h[i])));
        Span {
            early: at(0),
            likely: at(1),
            late: at(2),
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]

    /// Whatever times an engine gives, in whatever order.
    #[test]
    fn no_times_make_it_contradict_itself(
        spans in prop::collection::vec((span(), span(), prop::option::of(0.0..900.0_f64)), 11),
        logged in logged(),
        at in 0.0..900.0_f64,
    ) {
        let mut prediction = MILD.clone();
        prediction.milestones.iter_mut().zip(spans).for_each(|(m, (opens, closes, seen))| {
            m.opens = opens;
            m.closes = m.closes.map(|_| closes);
            m.seen = seen.filter(|_| m.kind.row().pressing.is_some()).map(|h| JUNE.plus(Hours(h)));
        });
        let now = JUNE.plus(Hours(at));
        sound(&answer(Some(&prediction), &logged, now), &logged, now)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    /// The engine's own times, at many instants of each pour.
    #[test]
    fn no_pour_makes_it_contradict_itself(
        facts in facts(Kind::Odd),
        logged in logged(),
        ats in prop::collection::vec(0.0..700.0_f64, 20),
    ) {
        let Ok(prediction) = predict_with(&facts, 8) else {
            return Ok(());
        };
        let own = prediction.milestones.iter().flat_map(|m| {
            let closes = m.closes.unwrap_or_default();
            [m.opens.early, m.opens.likely, m.opens.late, closes.early, closes.likely]
        });
        let ats = ats.into_iter().map(|h| facts.started.plus(Hours(h)));
        for now in own.flatten().chain(ats) {
            sound(&answer(Some(&prediction), &logged, now), &logged, now)?;
        }
    }
}

fn at(facts: &PourFacts, h: f64) -> Answer {
    let now = facts.started.plus(Hours(h));
    answer(Some(&told(facts)), &Logged::default(), now)
}

/// "Takes a texture now" is said only in the safe part of the window; around it a thumb
/// decides.
#[test]
fn the_headline_says_texture_only_where_it_is_safe() {
    let mut phases = Vec::new();
    for i in 0..200 {
        let found = at(&cool(), f64::from(i) * 0.1);
        if found.state == Phase::Texture {
            assert!(found.now.contains(&MilestoneKind::Texture), "{found:?}");
        }
        if found.state == Phase::TextureByTouch {
            let act = found.act.expect("a thing to try");
            assert_eq!(
                (act.kind, act.test),
                (MilestoneKind::Texture, Some(Test::Thumb))
            );
        }
        phases.push(found.state);
    }
    assert!(phases.contains(&Phase::TextureByTouch));
    assert!(!phases.is_empty());
}

/// A step six days old has no fresh surface that dries.
#[test]
fn drying_of_the_surface_is_no_matter_once_it_has_set() {
    let mut dry = warm();
    for day in &mut dry.days {
        day.rh = Some(slowstone_curing::units::Percent(20.0));
        day.wind = Some(slowstone_curing::units::KmH(30.0));
    }
    let drying = |h: f64| {
        let all = at(&dry, h).warnings;
        all.iter().any(|w| matches!(w, Warning::DriesFast { .. }))
    };
    assert!(drying(0.5), "it warns while it is wet");
    assert!(!drying(24.0) && !drying(144.0));
}

/// Edges that were dressed were free: the form is off, logged or not, and neither is due.
#[test]
fn what_was_done_is_due_no_more() {
    let dressed = with(mild(), 40.0, Seen::DressedHard);
    let found = at(&dressed, 41.0);
    for done in [MilestoneKind::FormOff, MilestoneKind::Dress] {
        assert!(found.done.contains(&done), "{found:?}");
        assert!(found.act.is_none_or(|a| a.kind != done), "{found:?}");
    }
    // What is logged for later is not done yet.
    assert!(!at(&dressed, 39.0).done.contains(&MilestoneKind::Dress));
}

/// Between likely and safe there is a test, and no "not yet" beside it.
#[test]
fn perhaps_names_the_test_and_is_not_not_yet() {
    let off = told(&mild());
    let off = off
        .milestones
        .iter()
        .find(|m| m.kind == MilestoneKind::FormOff);
    let opens = off.expect("a form").opens;
    let (likely, late) = (opens.likely.expect("likely"), opens.late.expect("late"));
    let between = (late.hours_since(JUNE).value() + likely.hours_since(JUNE).value()) * 0.5;
    let found = at(&mild(), between);
    let touch = found
        .by_touch
        .iter()
        .find(|b| b.kind == MilestoneKind::FormOff);
    assert_eq!(touch.map(|b| b.test), Some(Test::Scratch));
    assert!(!found.not_yet.contains(&MilestoneKind::FormOff));
    assert!(!found.now.contains(&MilestoneKind::FormOff));
}

/// A relief that locks in lets the form off late, when the edges of a strong mix may be hard
/// already. Trying them then harms nothing: for the first hours no test is asked for, and only
/// after them a scratch decides.
#[test]
fn edges_are_simply_dressed_on_the_day_the_form_comes_off() {
    let safe = opens(
        &textured(mild()),
        &told(&textured(mild())),
        MilestoneKind::FormOff,
    )[2];
    let stripped = with(textured(mild()), safe, Seen::StrippedClean);
    for h in [0.1, 1.0, 6.0, 11.9] {
        let found = at(&stripped, safe + h);
        assert_eq!(found.of(MilestoneKind::Dress), May::Now, "{h}");
        assert_eq!(found.state, Phase::Green);
        let act = found.act.expect("something to do");
        assert_eq!((act.kind, act.test), (MilestoneKind::Dress, None));
        let until = act.until.expect("a window");
        assert!(until.hours_since(stripped.started).value() >= safe + 11.9);
    }
    assert_eq!(
        at(&stripped, safe + 13.0).of(MilestoneKind::Dress),
        May::Maybe
    );
    // Where even the likely end is past, they are too hard.
    let late = with(textured(mild()), 400.0, Seen::StrippedClean);
    assert_eq!(at(&late, 400.5).of(MilestoneKind::Dress), May::Passed);
}
