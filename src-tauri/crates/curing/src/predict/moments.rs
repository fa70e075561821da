//! When each milestone's criteria are met in one member.
//!
//! Which part of the piece a criterion looks at: set and texture at the top, because that
//! is what is worked; strip, dress and frost at the exposed edge, which is coldest and
//! breaks first; the next step and full use at half depth, which carries; foot traffic
//! and curing at the top. The criteria are those of the design's model defaults; how
//! members become a range is in [`super::tell`].

use super::evidence::strip_mpa;
use super::member::Member;
use super::weather::{HORIZON_H, Weather, stripped_at};
use super::{Criterion, MilestoneKind, Place, PourFacts};
use crate::curing_time;
use crate::units::{Hours, Mpa, Percent};

/// Hours at 23 °C that a form stays at least (design default).
pub(crate) const STRIP_AGE_H: f64 = 18.0;
/// Hours of air above 10 °C that a form stays at least (ACI 347).
pub(crate) const STRIP_WARM_H: f64 = 12.0;
/// Hours of warm air stand in for strength; at this strength of the edge, MPa, they have
/// nothing left to guard (the traditional criterion; Sadgrove, TRB 1975), if they could have
/// been there twice. Without it no form would come off in steady air below 10 °C.
const STRIP_COLD_MPA: f64 = 5.0;
/// Strength that stands one freezing, MPa (PCA, after Powers 1962).
pub(crate) const FROST_MPA: f64 = 3.5;
/// Strength for the next step and for feet, MPa (design default).
const CARRIES_MPA: f64 = 7.0;
/// Hours at 23 °C before the next step: 4 days at 20 °C (NHBC standards 3.1.15), by the
/// default rate at 20 °C.
const STACK_AGE_H: f64 = 4.0 * 24.0 * 0.8413;
/// Strength at which edges are too hard to dress by hand: about the third day of a warm
/// pour (common practice, no source).
pub(crate) const TOO_HARD_MPA: f64 = 10.0;
/// Share of the 28-day strength for full use and for the end of curing, per cent.
const SHARE_PCT: f64 = 70.0;
/// Least days before full use and of curing (ACI 308).
const LEAST_DAYS: f64 = 7.0;
/// Calendar days before a stain or a sealer: drying is not maturity (trade pages).
const SEAL_DAYS: f64 = 28.0;

/// What one member says of one milestone: criteria with the hour at which each is met.
#[derive(Clone, Debug)]
pub(crate) struct Moment {
    pub kind: MilestoneKind,
    pub met: Vec<(Criterion, f64)>,
    /// It opens when all are met, but not before this hour.
    pub not_before: f64,
    /// For windows: when it is too late.
    pub closes: Option<f64>,
}

impl Moment {
    /// The hour at which it opens; infinite if it does not.
    pub(crate) fn opens(&self) -> f64 {
        self.met.iter().map(|m| m.1).fold(self.not_before, f64::max)
    }
}

fn mpa(threshold: f64, place: Place) -> Criterion {
    Criterion::Strength {
        mpa: Mpa(threshold),
        place,
    }
}

/// All milestones of a member, in the order of [`MilestoneKind::ALL`].
pub(crate) fn moments(facts: &PourFacts, weather: &Weather, m: &Member) -> Vec<Moment> {
    let aged = &m.aged;
    let at_age = |series: &[f64], age: f64| weather.reaches(series, age);
    let strong =
        |series: &[f64], target: f64| at_age(series, m.mix.age_at(target, m.set, m.strength));
    let edge_strong =
        |target: f64| at_age(&aged.edge, m.mix.edge_age_at(target, m.set, m.strength));
    let (initial_age, final_age) = (m.mix.initial_h(m.set), m.mix.final_h(m.set));
    let initial = at_age(&aged.set, initial_age);
    let last = at_age(&aged.set, final_age);
    let sheen = m.sheen_h.min(initial);
    let share_age = m.mix.age_at_share(SHARE_PCT / 100.0, m.set, m.strength);
    let age = |hours: f64| Criterion::Age {
        hours: Hours(hours),
    };
    let share = Criterion::Share {
        pct: Percent(SHARE_PCT),
    };
    let days = |days: f64| (Criterion::CalendarDays { days }, days * 24.0);
    let (table_days, table_h) = curing_table(facts, weather, &m.course.top);
    let strip = strip_mpa(facts);
    let warm = (
        Criterion::WarmHours {
            hours: Hours(STRIP_WARM_H),
        },
        at_age(&aged.warm, STRIP_WARM_H),
    );
    let hard = edge_strong(STRIP_COLD_MPA).max(2.0 * STRIP_WARM_H);
    let form_off = vec![
        if warm.1 <= hard {
            warm
        } else {
            (mpa(STRIP_COLD_MPA, Place::Edge), hard)
        },
        (age(STRIP_AGE_H), at_age(&aged.edge, STRIP_AGE_H)),
        (mpa(strip, Place::Edge), edge_strong(strip)),
    ];
    let bleed = (Criterion::BleedAgainstEvaporation, sheen);
    let too_hard = edge_strong(TOO_HARD_MPA);
    MilestoneKind::ALL
        .into_iter()
        .map(|kind| {
            let (met, not_before, closes) = match kind {
                MilestoneKind::SheenGone => (vec![bleed], 0.0, None),
                MilestoneKind::Texture => (vec![bleed], 0.0, Some(initial)),
                MilestoneKind::InitialSet => (vec![(age(initial_age), initial)], sheen, None),
                MilestoneKind::FinalSet => (vec![(age(final_age), last)], initial, None),
                MilestoneKind::FormOff => (form_off.clone(), last, None),
                // Edges can be reached from when the form is off.
                MilestoneKind::Dress => match stripped_at(facts) {
                    Some(h) => (vec![(Criterion::Observed, h)], last, Some(too_hard)),
                    None => (form_off.clone(), last, Some(too_hard)),
                },
                MilestoneKind::NextStep => (
                    vec![
                        (age(STACK_AGE_H), at_age(&aged.middle, STACK_AGE_H)),
                        (
                            mpa(CARRIES_MPA, Place::Middle),
                            strong(&aged.middle, CARRIES_MPA),
                        ),
                    ],
                    last,
                    None,
                ),
                MilestoneKind::Foot => (
                    vec![(mpa(CARRIES_MPA, Place::Top), strong(&aged.top, CARRIES_MPA))],
                    last,
                    None,
                ),
                MilestoneKind::FullUse => (
                    vec![days(LEAST_DAYS), (share, at_age(&aged.middle, share_age))],
                    last,
                    None,
                ),
                MilestoneKind::CuringEnds => (
                    vec![
                        (Criterion::CuringTable { days: table_days }, table_h),
                        days(LEAST_DAYS),
                        (share, at_age(&aged.top, share_age)),
                    ],
                    last,
                    None,
                ),
                MilestoneKind::Seal => (vec![days(SEAL_DAYS)], last, None),
            };
            // A window that would close before it opens is none: it closes as it opens.
            let mut moment = Moment {
                kind,
                met,
                not_before,
                closes,
            };
            moment.closes = closes.map(|c| c.max(moment.opens().min(HORIZON_H * 2.0)));
            moment
        })
        .collect()
}

/// Days that the table of DIN 1045-3 asks for and the hour at which they are over: by the
/// mean surface temperature so far, with the time below 5 °C added, twice for a tread.
fn curing_table(facts: &PourFacts, weather: &Weather, top: &[f64]) -> (f64, f64) {
    let times = if facts.wearing { 2.0 } else { 1.0 };
    let (mut degree_h, mut below_5_h) = (0.0, 0.0);
    let mut last: Option<(f64, f64)> = None;
    let mut asked = 0.0;
    for (p, t) in weather.points.iter().zip(top) {
        if let Some((h, was)) = last {
            degree_h += (p.h - h) * 0.5 * (was + t);
            if 0.5 * (was + t) < 5.0 {
                below_5_h += p.h - h;
            }
        }
        last = Some((p.h, *t));
        if p.h < 24.0 {
            continue;
        }
        let days = curing_time::days(degree_h / p.h, !facts.mix.rapid);
        asked = days * times + below_5_h / 24.0;
        if p.h >= asked * 24.0 {
            return (asked, asked * 24.0);
        }
    }
    (asked, f64::INFINITY)
}
