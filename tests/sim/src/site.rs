//! What people of an invented site log: a few readings with the errors of real
//! instruments, forecasts that are off, and what they saw.

use crate::chance::Chance;
use crate::concrete::{Mix, PRINTED_28_MPA, SCREED_H, Truth, truth};
use crate::weather::{BEFORE_H, PLACE, Weather};
use slowstone_curing::predict::{
    AirReading, ConcretePlace, ConcreteReading, DayRange, Happening, LinerFacts, PourFacts, Seen,
    plain_step,
};
use slowstone_curing::units::{Celsius, Hours, KmH, Metres, Mpa, Percent};

/// A pour with what really happened to it.
#[derive(Clone, Debug)]
pub struct Pour {
    /// What people know.
    pub facts: PourFacts,
    /// What they do not.
    pub truth: Truth,
    weather: Weather,
}

impl Pour {
    /// What a thermometer in the air reads.
    pub fn air_reading(&self, h: f64, c: &mut Chance) -> AirReading {
        read(&self.weather, h, c)
    }

    /// What a thermometer in the middle reads.
    pub fn core_reading(&self, h: f64, c: &mut Chance) -> ConcreteReading {
        let temp = self.truth.middle_at(h);
        thermometer(&self.weather, h, temp, ConcretePlace::Core, c)
    }
}

/// How much people log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Habit {
    /// One look at the thermometer when pouring.
    Once,
    /// Pouring, evening and next morning, and a forecast in three of four cases.
    Usual,
    /// A thermometer that is read every three hours for three days, also in the concrete.
    Keen,
}

/// A pour of this mix on a random day.
#[must_use]
pub fn pour(mix: &Mix, habit: Habit, lined: bool, c: &mut Chance) -> Pour {
    let weather = Weather::new(c);
    // Sand and water lay in the air of the night; mixing warms a little.
    let night = (weather.air_c(0.0) + weather.air_c(-6.0) + weather.air_c(-12.0)) / 3.0;
    let placed = night + c.normal(2.0, 1.2);
    let truth = truth(mix, &weather, placed, c);
    let mut facts = plain_step(weather.start);
    facts.finished = weather.start.plus(Hours(SCREED_H));
    facts.place = Some(PLACE);
    let (at_7, which) = mix.printed();
    facts.mix.class_28d = Mpa(PRINTED_28_MPA);
    facts.mix.class_7d = at_7.map(Mpa);
    facts.mix.strengths_are = which;
    // The truth is a section without ends.
    facts.piece.width = Metres(3.0);
    facts.liner = lined.then_some(LinerFacts {
        relief: Metres(0.012),
        undercut: false,
    });
    // The middle of the bag's range, read off a bucket.
    facts.dose.water_per_bag_l = Some(2.6 * c.factor(0.02));
    let hours: Vec<f64> = match habit {
        Habit::Once => vec![0.0],
        Habit::Usual => vec![0.0, 1.5, c.between(9.0, 13.0), c.between(22.0, 27.0)],
        Habit::Keen => (0..24).map(|i| 3.0 * f64::from(i)).collect(),
    };
    for h in &hours {
        let reading = read(&weather, *h, c);
        facts.air.push(reading);
    }
    if habit != Habit::Once {
        facts
            .concrete
            .push(thermometer(&weather, 0.3, placed, ConcretePlace::Fresh, c));
    }
    if habit == Habit::Keen {
        for (h, t) in [2.0, 8.0, 24.0].into_iter().zip(truth.core_c) {
            facts
                .concrete
                .push(thermometer(&weather, h, t, ConcretePlace::Core, c));
        }
    }
    if habit != Habit::Once && c.happens(0.75) {
        facts.days = forecast(&weather, c);
    }
    Pour {
        facts,
        truth,
        weather,
    }
}

fn read(w: &Weather, h: f64, c: &mut Chance) -> AirReading {
    AirReading {
        at: w.start.plus(Hours(h)),
        temp: Some(Celsius(w.air_c(h) + c.normal(0.0, 0.6))),
        rh: Some(Percent(
            (w.rh_pct(h) + c.normal(0.0, 5.0)).clamp(5.0, 100.0),
        )),
        wind: Some(KmH(w.wind_km_h(h) * c.factor(0.2))),
        sky: Some(w.sky(h)),
        ..AirReading::default()
    }
}

fn thermometer(
    w: &Weather,
    h: f64,
    temp: f64,
    place: ConcretePlace,
    c: &mut Chance,
) -> ConcreteReading {
    ConcreteReading {
        at: w.start.plus(Hours(h)),
        temp: Celsius(temp + c.normal(0.0, 0.5)),
        place,
        confirmed: false,
    }
}

/// A week's typed minima and maxima, worse from day to day.
fn forecast(w: &Weather, c: &mut Chance) -> Vec<DayRange> {
    (0..7)
        .map(|day| {
            let midnight = f64::from(day) * 24.0 + 24.0 - BEFORE_H as f64;
            let hours = (0..24).map(|h| w.air_c(midnight + f64::from(h)));
            let (low, high) = hours.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), t| {
                (f64::min(a, t), f64::max(b, t))
            });
            let off = 0.8 + 0.2 * f64::from(day);
            DayRange {
                day_start: w.start.plus(Hours(midnight)),
                min: Celsius(low + c.normal(0.0, off)),
                max: Celsius(high + c.normal(0.0, off)),
                rh: None,
                // Forecasts state the wind at 10 m; hedges and banks leave a third to two
                // thirds of it at the piece (judgement).
                wind: Some(KmH(
                    w.wind_km_h(midnight + 12.0) * c.factor(0.3) / c.between(0.35, 0.7)
                )),
                sky: Some(w.sky(midnight + 12.0)),
            }
        })
        .collect()
}

/// What somebody who keeps an eye on the step logs: sheen gone, a thumb or two, and how
/// the form came off. The eye errs by 15 %, the thumb by 12 %.
#[must_use]
pub fn watched(pour: &Pour, c: &mut Chance) -> PourFacts {
    let mut f = pour.facts.clone();
    let t = &pour.truth;
    let start = f.started;
    let mut see = |h: f64, what: Seen| {
        f.happened.push(Happening::new(start.plus(Hours(h)), what));
    };
    see(
        SCREED_H + (t.sheen - SCREED_H) * c.factor(0.15),
        Seen::SheenGone,
    );
    see(t.initial * c.factor(0.12), Seen::Thumb6mm);
    // Two looks at any time: what a thumb tells then.
    for share in [c.between(0.4, 1.0), c.between(1.2, 2.4)] {
        let h = t.initial * share;
        if h < t.initial * 0.9 {
            see(h, Seen::ThumbDeep);
        } else if h > t.last * c.factor(0.12) {
            see(h, Seen::ThumbNone);
        }
    }
    let edge = t.edge_mpa.get(1).copied().unwrap_or(0.0) * c.factor(0.3);
    let needed = if f.liner.is_some() { 3.5 } else { 1.4 };
    let stripped = if edge > needed {
        Seen::StrippedClean
    } else {
        Seen::StrippedStuck
    };
    let day = start.plus(Hours(24.0));
    f.happened.push(Happening::new(day, stripped));
    f
}
