//! Which readings of the air do not fit the others, the forecast and the season of the
//! pour.
//!
//! A reading is right, give or take what the weather does between looks, or a slip (°F for
//! °C, a digit, a thermometer in the sun), and then says nothing: a mixture of a narrow and
//! a broad distribution. Likelier right it is taken as it is, likelier a slip it is left out
//! until a person has confirmed it. It is held against everything that is known without it,
//! and what it fits best counts: one wrong reading throws no doubt on its neighbours.

use super::cycle::{Chain, Pattern, Site};
use super::line;
use crate::prediction::{Odd, OddEntry, OddField, OddWhy};
use crate::units::{Celsius, Hours};

/// Of readings, this share is a slip (judgement, no source).
const SLIP: f64 = 0.05;
/// How far a slip is off, K: 68 °F read as °C is 48 K off, a thermometer in the sun 15.
const SLIP_K: f64 = 20.0;
/// Readings this far apart still say something of each other, h.
const SEASON_H: f64 = 72.0;
/// The most readings that a pattern is fitted to.
const MOST: usize = 60;

/// The probability that a value is a slip that is `d` off what is expected, where a true
/// one is off by `sd`.
pub(crate) fn slip(d: f64, sd: f64) -> f64 {
    let normal = |sd: f64| libm::exp(-0.5 * (d / sd) * (d / sd)) / sd;
    let (true_one, other) = ((1.0 - SLIP) * normal(sd), SLIP * normal(SLIP_K));
    if true_one + other > 0.0 {
        other / (true_one + other)
    } else {
        1.0
    }
}

/// A reading of the air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Read {
    pub h: f64,
    pub temp_c: f64,
    pub confirmed: bool,
}

/// What is known beside the readings.
pub(crate) struct Beside<'a> {
    pub site: Site,
    pub hourly: &'a [(f64, f64)],
    pub days: &'a Chain,
    /// Fresh concrete as placed: hour and °C.
    pub fresh: Option<(f64, f64)>,
}

/// The readings that count, and those that do not fit.
pub(crate) fn weigh(reads: &[Read], beside: &Beside<'_>) -> (Vec<(f64, f64)>, Vec<Odd>) {
    let (mut counting, mut odd) = (Vec::new(), Vec::new());
    for (i, r) in reads.iter().enumerate() {
        let Some((expected, slip)) = judged(reads, i, beside).filter(|_| !r.confirmed) else {
            counting.push((r.h, r.temp_c));
            continue;
        };
        if slip > 0.5 {
            odd.push(Odd {
                what: OddEntry::Air,
                at: beside.site.started.plus(Hours(r.h)),
                field: OddField::AirC,
                why: OddWhy::FarFromOthers {
                    value: Celsius(r.temp_c),
                    expected: Celsius(expected),
                },
            });
        } else {
            counting.push((r.h, r.temp_c));
        }
    }
    if counting.is_empty() && reads.len() > 1 {
        // Nothing speaks for one of them against the others: the coldest, with which
        // everything takes longest.
        let coldest = reads.iter().min_by(|a, b| a.temp_c.total_cmp(&b.temp_c));
        counting.extend(coldest.map(|r| (r.h, r.temp_c)));
    }
    (counting, odd)
}

/// What the rest lets expect of a reading, and the probability that it is a slip; none
/// where nothing else is known.
fn judged(reads: &[Read], i: usize, beside: &Beside<'_>) -> Option<(f64, f64)> {
    let r = reads.get(i)?;
    let before = i.checked_sub(1).and_then(|j| reads.get(j));
    let after = reads.get(i.saturating_add(1));
    // What is expected, and how far a true reading may be off it (all spreads: judgement).
    let mut found: Vec<(f64, f64)> = Vec::new();
    if let (Some(a), Some(b)) = (before, after)
        && b.h - a.h <= 12.0
        && b.h > a.h
    {
        let expected = a.temp_c + (b.temp_c - a.temp_c) * (r.h - a.h) / (b.h - a.h);
        found.push((expected, libm::hypot(2.0, 0.35 * (b.h - a.h))));
    }
    for other in [before, after].into_iter().flatten() {
        let apart = (other.h - r.h).abs();
        if apart <= 3.0 {
            found.push((other.temp_c, libm::hypot(2.0, 2.0 * apart)));
        }
    }
    found.extend(line(beside.hourly, r.h, super::HOURLY_GAP_H).map(|t| (t, 3.0)));
    found.extend(beside.days.at(r.h).map(|t| (t, 3.5)));
    let misfit = |(expected, sd): &(f64, f64)| ((r.temp_c - expected) / sd).abs();
    let best = |found: &[(f64, f64)]| {
        found
            .iter()
            .copied()
            .min_by(|a, b| misfit(a).total_cmp(&misfit(b)))
    };
    if best(&found).is_none_or(|b| misfit(&b) > 1.5) {
        found.extend(by_season(reads, i, beside));
    }
    if found.is_empty() {
        // Fresh concrete is near the air that its sand and water lay in.
        found.extend(beside.fresh.map(|(_, t)| (t - 2.0, 7.0)));
    }
    let (expected, sd) = best(&found)?;
    Some((expected, slip(r.temp_c - expected, sd)))
}

/// The course of the days around it, fitted to everything but the reading.
fn by_season(reads: &[Read], i: usize, beside: &Beside<'_>) -> Option<(f64, f64)> {
    let h = reads.get(i)?.h;
    let near = |x: f64| (x - h).abs() <= SEASON_H;
    let own = reads.get(i.saturating_sub(MOST / 2)..)?;
    let place = i.min(MOST / 2);
    let own: Vec<(f64, f64)> = own
        .iter()
        .take(MOST.saturating_add(1))
        .map(|r| (r.h, r.temp_c))
        .collect();
    let mut samples = around(&own, place, 1);
    let hour = beside.hourly.partition_point(|p| p.0 < h);
    samples.extend(around(beside.hourly, hour, 0));
    samples.extend_from_slice(beside.days.samples());
    samples.retain(|s| near(s.0));
    samples.sort_by(|a, b| (a.0 - h).abs().total_cmp(&(b.0 - h).abs()));
    samples.truncate(MOST);
    let nearest = samples.first()?.0;
    let pattern = Pattern::around(&samples, beside.site)?;
    let lonely = if samples.len() < 3 { 3.0 } else { 0.0 };
    let apart_days = (nearest - h).abs() / 24.0;
    let sd = libm::sqrt(3.5 * 3.5 + lonely * lonely + 2.5 * 2.5 * apart_days);
    Some((pattern.at(h), sd))
}

/// The nearest points on both sides of place `i`, of which `own` are left out.
fn around(points: &[(f64, f64)], i: usize, own: usize) -> Vec<(f64, f64)> {
    let before = points.get(i.saturating_sub(MOST / 2)..i);
    let from = i.saturating_add(own).min(points.len());
    let after = points.get(from..from.saturating_add(MOST / 2).min(points.len()));
    [before, after]
        .into_iter()
        .flatten()
        .flatten()
        .copied()
        .collect()
}
