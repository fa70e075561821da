use super::*;
use crate::units::{Celsius, Hours, KmH, Percent};

/// 2026-06-10T07:00Z.
const START: AtMs = AtMs(1_781_074_800_000);

fn steady(low: f64, high: f64) -> PourFacts {
    let mut f = plain_step(START);
    f.days = (-1..29)
        .map(|d| DayRange {
            day_start: START.plus(Hours(f64::from(d) * 24.0 - 7.0)),
            min: Celsius(low),
            max: Celsius(high),
            rh: Some(Percent(60.0)),
            wind: Some(KmH(7.0)),
            sky: Some(Sky::Broken),
        })
        .collect();
    f
}

fn hours(f: &PourFacts, p: &Prediction, kind: MilestoneKind) -> ([f64; 3], Option<[f64; 3]>) {
    let m = p.milestones.iter().find(|m| m.kind == kind).unwrap();
    let h = |s: Span| {
        [s.early, s.likely, s.late]
            .map(|t| t.map_or(f64::INFINITY, |t| t.hours_since(f.started).value()))
    };
    (h(m.opens), m.closes.map(h))
}

#[test]
fn print_it() {
    let mut f = plain_step(START);
    f.air = vec![AirReading {
        at: START,
        temp: Some(Celsius(26.0)),
        rh: None,
        wind: None,
        sky: None,
    }];
    let p = predict(&f).unwrap();
    for k in MilestoneKind::ALL {
        println!("{k:?} {:.1?}", hours(&f, &p, k));
    }
    println!("{:?} {:?}", p.warnings, p.evaporation);
    for (low, high) in [
        (22.0, 30.0),
        (14.0, 22.0),
        (5.0, 13.0),
        (1.0, 9.0),
        (-4.0, 4.0),
    ] {
        let f = steady(low, high);
        let t = std::time::Instant::now();
        let p = predict(&f).unwrap();
        println!("== {low}..{high} in {:?}", t.elapsed());
        for k in MilestoneKind::ALL {
            println!("{k:?} {:.1?}", hours(&f, &p, k));
        }
        println!("{:?} {:?}", p.warnings, p.evaporation);
        let c = p
            .curve
            .iter()
            .find(|c| c.at >= START.plus(Hours(24.0)))
            .unwrap();
        println!("{c:.2?} n {}", p.curve.len());
    }
}
