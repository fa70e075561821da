//! The best hour to pour: start hours of a day or two, each predicted against the
//! forecast, ranked.
//!
//! Ranked by what can go wrong, worst first: frost before strength, a surface that dries
//! too fast, a texture window in the night, a short one, stripping at an unsociable hour;
//! then by the length of the window. Only starts and weather differ; what was seen or read
//! on a pour plays no part. It says nothing about people's time or a lorry's.

use crate::facts::PourFacts;
use crate::milestone::MilestoneKind;
use crate::predict::{SHORT_WINDOW_MIN, predict_with};
use crate::prediction::{DryingRisk, Evaporation, NotYet, Prediction, Warning};
use crate::units::{AtMs, Hours};
use serde::{Deserialize, Serialize};

/// Members of each prediction: enough to rank.
const MEMBERS: usize = 24;
/// Starts that are looked at most: two days.
const MOST_STARTS: usize = 48;
const HOUR_MS: i64 = 3_600_000;
/// Hours of the local clock at which people work on a site (common practice, no source).
const SOCIABLE_H: (f64, f64) = (7.0, 21.0);

/// What speaks against a start, the most serious first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Against {
    /// Frost is expected before the concrete can stand it.
    Frost,
    /// The surface dries at 1 kg/m²/h or more: act (ACI 305).
    DriesVeryFast,
    /// The start or the texture window lies outside 07:00 to 21:00.
    WindowAtNight,
    /// The texture window is shorter than 45 minutes.
    ShortWindow,
    /// The surface dries at 0.5 kg/m²/h or more: caution.
    DriesFast,
    /// It gets hotter than is good for its final strength.
    Hot,
    /// The form may come off only in the night: it waits until the morning.
    StripsAtNight,
}

/// One start and what comes of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Start {
    /// When the first batch is mixed.
    pub at: AtMs,
    /// The texture window, as likely.
    pub window: (AtMs, AtMs),
    /// Its length.
    pub window_minutes: f64,
    /// Drying until set; none without humidity or wind.
    pub evaporation: Option<Evaporation>,
    /// From when the form may safely come off (95 %); none beyond 28 days.
    pub strip: Option<AtMs>,
    /// What speaks against it, the most serious first.
    pub against: Vec<Against>,
}

/// Starts at full hours of the local clock from `from` to `until`, best first; at most 48. A
/// start whose window is not within the horizon is left out.
///
/// `facts` is a pour as planned: its `finished` less its `started` is how long mixing,
/// filling and screeding take, its weather is the forecast.
///
/// # Errors
/// As [`crate::predict::predict`].
pub fn best_hours(facts: &PourFacts, from: AtMs, until: AtMs) -> Result<Vec<Start>, NotYet> {
    let taking = facts.finished.hours_since(facts.started);
    let mut plan = facts.clone();
    plan.concrete.clear();
    plan.happened.clear();
    let first = next_full_hour(facts, from);
    let mut starts = Vec::new();
    for i in 0..MOST_STARTS {
        let at = first.plus(Hours(i as f64));
        if at > until {
            break;
        }
        plan.started = at;
        plan.finished = at.plus(taking);
        starts.extend(start(&plan, &predict_with(&plan, MEMBERS)?));
    }
    starts.sort_by(better_first);
    Ok(starts)
}

/// An instant by the local clock, as if that were UTC, ms.
fn local_ms(facts: &PourFacts, at: AtMs) -> i64 {
    at.0.saturating_add(i64::from(facts.utc_offset_min).saturating_mul(60_000))
}

/// The first instant from `at` on at which the local clock shows a full hour: zones are
/// ahead by half and quarter hours too.
fn next_full_hour(facts: &PourFacts, at: AtMs) -> AtMs {
    let past = local_ms(facts, at).rem_euclid(HOUR_MS);
    AtMs(at.0.saturating_add((HOUR_MS - past).rem_euclid(HOUR_MS)))
}

/// Hours of the local clock, 0 to 24.
fn clock(facts: &PourFacts, at: AtMs) -> f64 {
    local_ms(facts, at).rem_euclid(24 * HOUR_MS) as f64 / HOUR_MS as f64
}

fn sociable(facts: &PourFacts, at: AtMs) -> bool {
    (SOCIABLE_H.0..=SOCIABLE_H.1).contains(&clock(facts, at))
}

fn start(facts: &PourFacts, p: &Prediction) -> Option<Start> {
    let of = |kind| p.milestones.iter().find(|m| m.kind == kind);
    let texture = of(MilestoneKind::Texture)?;
    let window = (texture.opens.likely?, texture.closes?.likely?);
    let window_minutes = window.1.hours_since(window.0).value() * 60.0;
    let strip = of(MilestoneKind::FormOff).and_then(|m| m.opens.late);
    let warned = |is: fn(&Warning) -> bool| p.warnings.iter().any(is);
    let risk = p.evaporation.map(|e| e.risk);
    let mut against = Vec::new();
    let mut object = |to: Against, so: bool| {
        if so {
            against.push(to);
        }
    };
    object(
        Against::Frost,
        warned(|w| matches!(w, Warning::FrostBeforeStrength { .. })),
    );
    object(Against::DriesVeryFast, risk == Some(DryingRisk::Act));
    object(
        Against::WindowAtNight,
        !sociable(facts, facts.started) || !sociable(facts, window.0) || !sociable(facts, window.1),
    );
    object(Against::ShortWindow, window_minutes < SHORT_WINDOW_MIN);
    object(Against::DriesFast, risk == Some(DryingRisk::Caution));
    object(Against::Hot, warned(|w| matches!(w, Warning::Hot { .. })));
    object(
        Against::StripsAtNight,
        strip.is_none_or(|at| !sociable(facts, at)),
    );
    Some(Start {
        at: facts.started,
        window,
        window_minutes,
        evaporation: p.evaporation,
        strip,
        against,
    })
}

/// One serious thing weighs more than all lesser ones together; then the longer window;
/// then the earlier start.
fn better_first(a: &Start, b: &Start) -> core::cmp::Ordering {
    let weight = |s: &Start| {
        s.against
            .iter()
            .map(|x| 1_u32 << (Against::StripsAtNight as u32 - *x as u32))
            .sum::<u32>()
    };
    weight(a)
        .cmp(&weight(b))
        .then(b.window_minutes.total_cmp(&a.window_minutes))
        .then(a.at.cmp(&b.at))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::{DayRange, Sky};
    use crate::plain::plain_step;
    use crate::units::{Celsius, KmH, Percent};

    /// 2026-06-10T00:00Z.
    const MIDNIGHT: AtMs = AtMs(1_781_049_600_000);

    fn day(low: f64, high: f64, sky: Sky, wind: f64) -> PourFacts {
        let mut f = plain_step(MIDNIGHT);
        f.place = Some((45.0, 0.0));
        f.finished = MIDNIGHT.plus(Hours(0.75));
        f.days = (-1..30)
            .map(|d| DayRange {
                day_start: MIDNIGHT.plus(Hours(f64::from(d) * 24.0)),
                min: Celsius(low),
                max: Celsius(high),
                rh: Some(Percent(45.0)),
                wind: Some(KmH(wind)),
                sky: Some(sky),
            })
            .collect();
        f
    }

    fn scan(f: &PourFacts) -> Vec<Start> {
        best_hours(f, MIDNIGHT, MIDNIGHT.plus(Hours(23.0))).unwrap()
    }

    #[test]
    fn every_full_hour_is_ranked_once() {
        let starts = scan(&day(14.0, 24.0, Sky::Broken, 8.0));
        assert_eq!(starts.len(), 24);
        let mut hours: Vec<i64> = starts.iter().map(|s| s.at.0).collect();
        hours.sort_unstable();
        hours.dedup();
        assert_eq!(hours.len(), 24);
        assert!(starts.iter().all(|s| s.window_minutes >= 0.0));
    }

    /// Pour early or late on a hot day (ACI 305; common practice): the best start of a hot,
    /// sunny, dry day is not between ten and four, and noon is worse.
    #[test]
    fn a_hot_day_is_poured_early_or_late() {
        let starts = scan(&day(19.0, 33.0, Sky::Sun, 16.0));
        let best = clock(&plain_step(MIDNIGHT), starts[0].at);
        assert!(!(10.0..16.0).contains(&best), "{best} {:?}", starts[0]);
        // Nobody mixes before seven.
        assert!((7.0..=21.0).contains(&best), "{best}");
        let place = |h: f64| {
            let at = MIDNIGHT.plus(Hours(h));
            starts.iter().position(|s| s.at == at).unwrap()
        };
        assert!(place(12.0) > place(best));
        let noon = &starts[place(12.0)];
        assert!(noon.window_minutes < starts[0].window_minutes || noon.against > starts[0].against);
    }

    /// In India clocks are 5 1/2 hours ahead of UTC, in Newfoundland 3 1/2 behind (IANA tz
    /// database); people there start at full hours too.
    #[test]
    fn starts_are_full_hours_where_zones_are_not() {
        for offset_min in [330, -210] {
            let mut f = day(14.0, 24.0, Sky::Broken, 8.0);
            f.utc_offset_min = offset_min;
            let starts = scan(&f);
            assert_eq!(starts.len(), 23, "{offset_min}");
            for s in &starts {
                let past = (s.at.0 + i64::from(offset_min) * 60_000).rem_euclid(HOUR_MS);
                assert_eq!(past, 0, "{offset_min} {s:?}");
                assert!(s.at >= MIDNIGHT);
            }
        }
    }

    /// A cool day wants daylight for the window: nobody is sent out at night.
    #[test]
    fn the_window_is_kept_out_of_the_night() {
        let starts = scan(&day(6.0, 14.0, Sky::Overcast, 6.0));
        assert!(!starts[0].against.contains(&Against::WindowAtNight));
        let evening = starts
            .iter()
            .find(|s| clock(&plain_step(MIDNIGHT), s.at) == 20.0)
            .unwrap();
        assert!(evening.against.contains(&Against::WindowAtNight));
    }

    #[test]
    fn frost_outweighs_everything() {
        let mut f = day(10.0, 16.0, Sky::Overcast, 6.0);
        // The second night freezes: the later the start, the weaker the step then.
        for d in f.days.iter_mut().skip(2) {
            d.min = Celsius(-4.0);
        }
        let starts = scan(&f);
        let first_frost = starts
            .iter()
            .position(|s| s.against.first() == Some(&Against::Frost));
        assert!(
            starts
                .iter()
                .skip(first_frost.unwrap_or(starts.len()))
                .all(|s| s.against.first() == Some(&Against::Frost))
        );
        assert!(starts.iter().any(|s| s.against.contains(&Against::Frost)));
    }

    #[test]
    fn odd_spans_are_no_trouble() {
        let f = day(10.0, 16.0, Sky::Overcast, 6.0);
        assert_eq!(
            best_hours(&f, MIDNIGHT.plus(Hours(5.0)), MIDNIGHT),
            Ok(Vec::new())
        );
        assert!(
            best_hours(&f, AtMs(i64::MAX), AtMs(i64::MAX))
                .unwrap()
                .len()
                <= MOST_STARTS
        );
        let long = best_hours(&f, MIDNIGHT, MIDNIGHT.plus(Hours(500.0))).unwrap();
        assert_eq!(long.len(), MOST_STARTS);
        assert_eq!(
            best_hours(&plain_step(MIDNIGHT), MIDNIGHT, MIDNIGHT.plus(Hours(1.0))),
            Err(NotYet::NoTemperature)
        );
    }
}
