//! The strength curve of a pour as marks on paper: where its points, ticks and moments stand.
//!
//! Time runs as its square root, so that the first day, on which everything is decided, has a
//! third of the width. The values are the view's; nothing is reckoned but their place.

use super::doc::Chart;
use super::ways::{Quantity, Ways};
use slowstone_curing::predict::CurvePoint;
use slowstone_curing::units::AtMs;

/// Days shown at most.
const DAYS: f64 = 28.0;
/// Marks along the foot, hours.
const HOURS: [f64; 7] = [6.0, 24.0, 72.0, 168.0, 336.0, 504.0, 672.0];

/// The chart of a curve; none without at least two points.
#[must_use]
pub fn chart(
    curve: &[CurvePoint],
    began: AtMs,
    seen: &[(AtMs, String)],
    ways: &Ways,
) -> Option<Chart> {
    let last = curve.last()?.at.hours_since(began).value().min(DAYS * 24.0);
    let within = |p: &&CurvePoint| (0.0..=last).contains(&p.at.hours_since(began).value());
    let points: Vec<&CurvePoint> = curve.iter().filter(within).collect();
    if points.len() < 2 || !(last > 1.0) {
        return None;
    }
    let across = |h: f64| share((h.max(0.0) / last).sqrt());
    let most = points.iter().map(|p| p.high_mpa).fold(1.0, f64::max);
    let (top, unit) = ways.bare(most, Quantity::Strength);
    let step = nice(top / 4.0);
    let ceiling = (top / step).ceil() * step;
    let up = |mpa: f64| share(ways.bare(mpa, Quantity::Strength).0 / ceiling);
    let line = |of: fn(&CurvePoint) -> f64| -> Vec<(f32, f32)> {
        let place = |p: &&CurvePoint| (across(p.at.hours_since(began).value()), up(of(p)));
        points.iter().map(place).collect()
    };
    let marks = HOURS.iter().filter(|h| **h <= last + 1e-9);
    let hours = |h: f64| match h < 24.0 {
        true => ways.say_with("len-h", &[("h", h.into())]),
        false => ways.say_with("len-d", &[("d", (h / 24.0).into())]),
    };
    let steps = (1..=8)
        .map(|n| f64::from(n) * step)
        .take_while(|v| *v <= ceiling + 1e-9);
    Some(Chart {
        low: line(|p| p.low_mpa),
        mid: line(|p| p.mid_mpa),
        high: line(|p| p.high_mpa),
        across: marks.map(|h| (across(*h), hours(*h))).collect(),
        up: steps
            .map(|v| {
                (
                    share(v / ceiling),
                    format!("{}\u{a0}{unit}", ways.number(v, 0)),
                )
            })
            .collect(),
        seen: apart(
            seen.iter()
                .map(|(at, letter)| (at.hours_since(began).value(), letter))
                .filter(|(h, _)| (0.0..=last).contains(h))
                .map(|(h, letter)| (across(h), letter.clone()))
                .collect(),
        ),
        ..Chart::default()
    })
}

/// Marks that would stand on each other, as one.
fn apart(mut marks: Vec<(f32, String)>) -> Vec<(f32, String)> {
    marks.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut out: Vec<(f32, String)> = Vec::new();
    for (at, letter) in marks {
        match out.last_mut() {
            Some((before, letters)) if at - *before < 0.02 => letters.push_str(&letter),
            _ => out.push((at, letter)),
        }
    }
    out
}

/// 1, 2 or 5 times a power of ten, not below `x`.
fn nice(x: f64) -> f64 {
    let power = 10f64.powf(x.max(1e-6).log10().floor());
    let m = [1.0, 2.0, 5.0].into_iter().find(|m| m * power >= x);
    m.unwrap_or(10.0) * power
}

/// Places on paper need no more digits than this has.
#[allow(clippy::cast_possible_truncation)]
fn share(x: f64) -> f32 {
    x.clamp(0.0, 1.0) as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round() {
        assert_eq!(nice(0.7), 1.0);
        assert_eq!(nice(3.0), 5.0);
        assert_eq!(nice(12.0), 20.0);
        assert_eq!(nice(700.0), 1000.0);
    }
}
