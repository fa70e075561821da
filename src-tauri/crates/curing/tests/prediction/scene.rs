//! Pours in invented weather, and short ways to read a prediction.
//!
//! The weather is steady: the same minimum and maximum every day, so that a number in a
//! test means something to a reader.

use slowstone_curing::predict::{
    ConcretePlace, ConcreteReading, DayRange, Happening, LinerFacts, MilestoneKind, PlaceSource,
    PourFacts, Prediction, Seen, Sky, Span, plain_step, predict,
};
use slowstone_curing::units::{AtMs, Celsius, Hours, KmH, Metres, Percent};

/// 2026-06-10T07:00Z; the site's clock is UTC.
pub const JUNE: AtMs = AtMs(1_781_074_800_000);
/// 2026-10-10T07:00Z.
pub const OCTOBER: AtMs = AtMs(JUNE.0 + 122 * 86_400_000);

/// A plain step cast at 07:00, screeded at 07:45, in days of `low` to `high` °C, at 45° north.
pub fn step(start: AtMs, low: f64, high: f64, sky: Sky) -> PourFacts {
    let mut f = plain_step(start);
    f.finished = start.plus(Hours(0.75));
    f.place = Some((45.0, 0.0));
    f.place_from = PlaceSource::Place;
    f.days = (-1..30)
        .map(|d| DayRange {
            day_start: start.plus(Hours(f64::from(d) * 24.0 - 7.0)),
            min: Celsius(low),
            max: Celsius(high),
            rh: Some(Percent(60.0)),
            wind: Some(KmH(7.0)),
            sky: Some(sky),
        })
        .collect();
    f
}

/// Warm, mild, cool and cold weather as a builder of steps knows it.
pub fn warm() -> PourFacts {
    step(JUNE, 22.0, 30.0, Sky::Broken)
}
pub fn mild() -> PourFacts {
    step(JUNE, 14.0, 22.0, Sky::Overcast)
}
pub fn cool() -> PourFacts {
    step(OCTOBER, 5.0, 13.0, Sky::Overcast)
}
pub fn cold() -> PourFacts {
    step(OCTOBER, 1.0, 9.0, Sky::Overcast)
}

/// With a texture liner of 10 mm relief.
pub fn textured(mut f: PourFacts) -> PourFacts {
    f.liner = Some(LinerFacts {
        relief: Metres(0.01),
        undercut: false,
    });
    f
}

/// Concrete that is held at one temperature: it is read there every quarter day.
pub fn held_at(temp: f64) -> PourFacts {
    let mut f = step(JUNE, temp, temp, Sky::Shade);
    f.concrete = (0..112)
        .map(|i| ConcreteReading {
            at: JUNE.plus(Hours(f64::from(i) * 1.5)),
            temp: Celsius(temp),
            place: if i == 0 {
                ConcretePlace::Fresh
            } else {
                ConcretePlace::Core
            },
            confirmed: false,
        })
        .collect();
    let on_top: Vec<ConcreteReading> = f
        .concrete
        .iter()
        .skip(1)
        .map(|c| ConcreteReading {
            place: ConcretePlace::Surface,
            ..*c
        })
        .collect();
    f.concrete.extend(on_top);
    f
}

/// With something that happened `h` hours after the start.
pub fn with(mut f: PourFacts, h: f64, what: Seen) -> PourFacts {
    let at = f.started.plus(Hours(h));
    f.happened.push(Happening::new(at, what));
    f
}

pub fn told(f: &PourFacts) -> Prediction {
    predict(f).expect("these facts can be predicted")
}

fn hours(f: &PourFacts, s: Span) -> [f64; 3] {
    [s.early, s.likely, s.late]
        .map(|t| t.map_or(f64::INFINITY, |t| t.hours_since(f.started).value()))
}

/// Early, likely and late hour at which something opens; infinite beyond the horizon.
pub fn opens(f: &PourFacts, p: &Prediction, kind: MilestoneKind) -> [f64; 3] {
    let m = p.milestones.iter().find(|m| m.kind == kind).expect("told");
    hours(f, m.opens)
}

/// The same of the closing of a window.
pub fn closes(f: &PourFacts, p: &Prediction, kind: MilestoneKind) -> [f64; 3] {
    let m = p.milestones.iter().find(|m| m.kind == kind).expect("told");
    hours(f, m.closes.expect("a window"))
}
