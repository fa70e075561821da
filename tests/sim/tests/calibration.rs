//! Ranges that mean something: of many invented pours, nine in ten come within the 5 to
//! 95 % range.
//!
//! Asked for 85 to 95 % for set, sheen and stripping, over people who log little, as usual
//! and much, and for at most 7 % after "safe". Each is held with twice the standard error
//! of a binomial sample of 160: habits differ in what is logged of the same pours, so that
//! all habits together are no larger sample. The pours are others than those by which any number of the engine was chosen.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use slowstone_curing::predict::{LinerFacts, MilestoneKind, PourFacts, Prediction, predict};
use slowstone_curing::units::{AtMs, Metres};
use slowstone_sim_tests::chance::Chance;
use slowstone_sim_tests::concrete::Mix;
use slowstone_sim_tests::site::{Habit, pour};
use std::collections::BTreeMap;

const POURS: u64 = 160;
/// The first of the pours; `SLOWSTONE_SEED` asks others.
const SEED: u64 = 2_026_000;

/// How truths lie to their ranges.
#[derive(Clone, Copy, Default, Debug)]
struct Tally {
    before: f64,
    within: f64,
    after: f64,
    /// Sum of the logarithms of truth over likely.
    off: f64,
}

impl Tally {
    fn count(&self) -> f64 {
        self.before + self.within + self.after
    }

    fn share(&self) -> f64 {
        self.within / self.count()
    }

    /// Per cent within the range and after it are as asked, give or take chance.
    fn holds(&self) -> bool {
        let chance = |p: f64| 2.0 * (p * (1.0 - p) / POURS as f64).sqrt();
        self.share() >= 0.85 - chance(0.85)
            && self.share() <= 0.95 + chance(0.95)
            && self.after / self.count() <= 0.07 + chance(0.07)
    }

    fn add(self, o: Tally) -> Tally {
        Tally {
            before: self.before + o.before,
            within: self.within + o.within,
            after: self.after + o.after,
            off: self.off + o.off,
        }
    }

    fn of(facts: &PourFacts, told: &Prediction, kind: MilestoneKind, truth: f64) -> Tally {
        let m = told.milestones.iter().find(|m| m.kind == kind).unwrap();
        let hour =
            |t: Option<AtMs>| t.map_or(f64::INFINITY, |t| t.hours_since(facts.started).value());
        let [early, likely, late] = [m.opens.early, m.opens.likely, m.opens.late].map(hour);
        let mut tally = Tally::default();
        // Six minutes are no miss: 12 warm hours are 12 hours for everybody.
        if truth < early - 0.1 {
            tally.before = 1.0;
        } else if truth > late + 0.1 {
            tally.after = 1.0;
        } else {
            tally.within = 1.0;
        }
        if likely.is_finite() && truth.is_finite() {
            tally.off = (truth / likely).ln();
        }
        tally
    }
}

/// What a tally is kept of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum What {
    Sheen,
    InitialSet,
    FinalSet,
    StripPlain,
    StripLined,
}

fn tallies(habit: Habit) -> BTreeMap<What, Tally> {
    let mut all: BTreeMap<What, Tally> = BTreeMap::new();
    let first = std::env::var("SLOWSTONE_SEED")
        .ok()
        .map_or(SEED, |text| text.parse().unwrap());
    for seed in 0..POURS {
        let mut c = Chance::new(first + seed);
        let mix = Mix::new(&mut c).of_day(&mut c);
        let mut p = pour(&mix, habit, false, &mut c);
        let t = p.truth;
        let plain = predict(&p.facts).unwrap();
        p.facts.liner = Some(LinerFacts {
            relief: Metres(0.012),
            undercut: false,
        });
        let lined = predict(&p.facts).unwrap();
        for (what, told, kind, truth) in [
            (What::Sheen, &plain, MilestoneKind::SheenGone, t.sheen),
            (
                What::InitialSet,
                &plain,
                MilestoneKind::InitialSet,
                t.initial,
            ),
            (What::FinalSet, &plain, MilestoneKind::FinalSet, t.last),
            (
                What::StripPlain,
                &plain,
                MilestoneKind::FormOff,
                t.strip_plain,
            ),
            (
                What::StripLined,
                &lined,
                MilestoneKind::FormOff,
                t.strip_lined,
            ),
        ] {
            let slot = all.entry(what).or_default();
            *slot = slot.add(Tally::of(&p.facts, told, kind, truth));
        }
    }
    all
}

#[test]
fn nine_in_ten_come_within_the_range() {
    let by_habit = std::thread::scope(|s| {
        [Habit::Once, Habit::Usual, Habit::Keen]
            .map(|h| (h, s.spawn(move || tallies(h))))
            .map(|(h, t)| (h, t.join().unwrap()))
    });
    let mut together: BTreeMap<What, Tally> = BTreeMap::new();
    let mut missed = Vec::new();
    for (habit, all) in by_habit {
        for (what, t) in all {
            println!("{habit:?} {what:?} {:.3} {t:?}", t.share());
            if !t.holds() {
                missed.push(format!("{habit:?} {what:?} {t:?}"));
            }
            let slot = together.entry(what).or_default();
            *slot = slot.add(t);
        }
    }
    for (what, t) in together {
        println!("together {what:?} {:.3} {t:?}", t.share());
        if !t.holds() {
            missed.push(format!("together {what:?} {t:?}"));
        }
        // What is likely is off by little: set by less than a tenth (here it is told a little
        // late, by the simulator of other physics a little early), the sheen, which hangs on
        // evaporation, and forms, which hang on air that nobody read, by a tenth.
        assert!(t.before + t.after > 0.0, "{what:?} {t:?}");
        let most = match what {
            What::InitialSet | What::FinalSet => 0.075,
            What::Sheen | What::StripPlain | What::StripLined => 0.10,
        };
        assert!((t.off / t.count()).abs() < most, "{what:?} {t:?}");
    }
    assert!(missed.is_empty(), "{missed:#?}");
}
