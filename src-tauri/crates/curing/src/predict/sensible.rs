//! Whether facts are numbers that can be: the engine's last guard before it reckons.
//!
//! The log refuses impossible values with a message at the form; here they only must not
//! lead to a wrong answer. Odd but possible values are taken and clamped where they enter.

use crate::facts::PourFacts;

/// All numbers are numbers, and those that divide are above zero.
pub(crate) fn sensible(f: &PourFacts) -> bool {
    let m = &f.mix;
    let l = &f.learned;
    let positive = [
        f.piece.thickness.value(),
        f.piece.width.value(),
        f.piece.depth.value(),
        m.class_28d.value(),
        m.cement_kg_m3,
        m.cement_per_bag_kg,
    ];
    let finite = [
        m.class_7d.map_or(0.0, |x| x.value()),
        m.water_range_l.0,
        m.water_range_l.1,
        f.dose.water_per_bag_l.unwrap_or(0.0),
        f.dose.pigment_pct,
        f.form.thickness.value(),
        f.liner.map_or(0.0, |x| x.relief.value()),
        f.place.map_or(0.0, |p| p.0 + p.1),
        l.set_ln_mean,
        l.set_ln_sd,
        l.strength_ln_mean,
        l.strength_ln_sd,
        l.sheen_ln_mean,
        l.sheen_ln_sd,
    ];
    let air = f.air.iter().chain(&f.hourly).all(|r| {
        let parts = [
            r.temp.map(|x| x.value()),
            r.rh.map(|x| x.value()),
            r.wind.map(|x| x.value()),
        ];
        parts.into_iter().flatten().all(f64::is_finite)
    });
    let days = f.days.iter().all(|d| {
        let parts = [d.rh.map(|x| x.value()), d.wind.map(|x| x.value())];
        d.min.value().is_finite()
            && d.max.value().is_finite()
            && parts.into_iter().flatten().all(f64::is_finite)
    });
    let concrete = f.concrete.iter().all(|c| c.temp.value().abs() < 150.0);
    positive.iter().all(|x| x.is_finite() && *x > 0.0)
        && finite.iter().all(|x| x.is_finite())
        && air
        && days
        && concrete
}
