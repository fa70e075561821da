//! Strength and temperature against time, for the pour's page.
//!
//! At most 200 points, close together at first. The cautious strength is the edge's 5 %
//! point, because that is where damage begins; the middle and the hopeful one are those
//! of half depth. Temperatures are those of the middle member.

use super::member::Ensemble;
use super::weather::HORIZON_H;
use crate::prediction::CurvePoint;
use crate::units::AtMs;

/// Until hour, every so many hours: 25 + 36 + 60 + 72 points.
const SPACING: [(f64, f64); 4] = [(12.0, 0.5), (48.0, 1.0), (168.0, 2.0), (HORIZON_H, 7.0)];

/// The curve of a pour.
pub(crate) fn curve(e: &Ensemble) -> Vec<CurvePoint> {
    let mut hours = vec![0.0];
    let mut h = 0.0;
    for (end, step) in SPACING {
        while h + step <= end + 1e-9 {
            h += step;
            hours.push(h);
        }
    }
    let w = &e.weather;
    let m = &e.middle;
    let mut degree_h = 0.0;
    let mut degree_sums = Vec::with_capacity(w.points.len());
    let mut last: Option<(f64, f64)> = None;
    for (p, t) in w.points.iter().zip(&m.course.middle) {
        if let Some((h, was)) = last {
            // Nurse and Saul above 0 °C; colder than that counts nothing.
            degree_h += (p.h - h) * 0.5 * (was.max(0.0) + t.max(0.0));
        }
        last = Some((p.h, *t));
        degree_sums.push(degree_h);
    }
    let mut most = [0.0_f64; 3];
    hours
        .into_iter()
        .map(|h| {
            let at_edge = strength(e, h, true);
            let at_middle = strength(e, h, false);
            let edge = w
                .read(&m.course.edge_top, h)
                .min(w.read(&m.course.edge_face, h));
            let mpa = [at_edge[0].min(at_middle[0]), at_middle[1], at_middle[2]];
            for (m, x) in most.iter_mut().zip(mpa) {
                *m = m.max(x);
            }
            CurvePoint {
                at: w.instant(h),
                low_mpa: most[0],
                mid_mpa: most[1],
                high_mpa: most[2],
                concrete_c: w.read(&m.course.middle, h),
                edge_c: edge,
                air_c: w.read(&m.course.air, h),
                age_h: w.read(&m.aged.middle, h),
                degree_hours: w.read(&degree_sums, h),
            }
        })
        .collect()
}

/// 5, 50 and 95 % points of strength at an hour, at the edge or at half depth, MPa.
pub(crate) fn strength(e: &Ensemble, h: f64, edge: bool) -> [f64; 3] {
    e.quantiles(|m| {
        if edge {
            m.mix
                .edge_mpa(e.weather.read(&m.aged.edge, h), m.set, m.strength)
        } else {
            m.mix
                .strength_mpa(e.weather.read(&m.aged.middle, h), m.set, m.strength)
        }
    })
}

/// The curve at an instant, between its points; its ends outside.
#[must_use]
pub fn curve_at(curve: &[CurvePoint], now: AtMs) -> Option<CurvePoint> {
    let after = curve.iter().position(|p| p.at >= now);
    let (a, b) = match after {
        None => return curve.last().copied(),
        Some(0) => return curve.first().copied(),
        Some(i) => (curve.get(i.saturating_sub(1))?, curve.get(i)?),
    };
    let span = b.at.hours_since(a.at).value();
    let f = if span > 0.0 {
        now.hours_since(a.at).value() / span
    } else {
        1.0
    };
    let mid = |x: f64, y: f64| x + (y - x) * f;
    Some(CurvePoint {
        at: now,
        low_mpa: mid(a.low_mpa, b.low_mpa),
        mid_mpa: mid(a.mid_mpa, b.mid_mpa),
        high_mpa: mid(a.high_mpa, b.high_mpa),
        concrete_c: mid(a.concrete_c, b.concrete_c),
        edge_c: mid(a.edge_c, b.edge_c),
        air_c: mid(a.air_c, b.air_c),
        age_h: mid(a.age_h, b.age_h),
        degree_hours: mid(a.degree_hours, b.degree_hours),
    })
}
