//! When each milestone's criteria are met in one member; the criteria themselves stand in
//! the table of [`super::criteria`].
//!
//! Which part of the piece a criterion looks at: set and texture at the top, because that
//! is what is worked; strip, dress and frost at the exposed edge, which is coldest and
//! breaks first; the next step at the edge too, because its load lies there; full use at half
//! depth, which carries; foot traffic and curing at the top. The criteria are those of the design's model defaults; how
//! members become a range is in [`super::tell`].

use super::evidence::{faint_age, strip_mpa};
use super::member::Member;
use super::weather::{HORIZON_H, Weather, stripped_at};
use crate::curing_time;
use crate::facts::{NextStepRule, PourFacts, Surface};
use crate::handling::carries_the_next;
use crate::milestone::MilestoneKind;
use crate::prediction::{Criterion, Place};
use crate::units::{Hours, Mpa, Percent};

/// Hours at 23 °C that a form stays at least (design default).
pub(crate) const STRIP_AGE_H: f64 = 18.0;
/// Hours of mild air that a form stays at least (ACI 347; in the cold as BS 8110 table 6.2).
pub(crate) const STRIP_MILD_H: f64 = 12.0;
/// Strength that stands one freezing, MPa (PCA, after Powers 1962).
pub(crate) const FROST_MPA: f64 = 3.5;
/// Hours from the start of the pour at which a criterion is met; infinite if it is not.
pub(crate) type Met = (Criterion, f64);

/// What one member says of one milestone.
#[derive(Clone, Debug)]
pub(crate) struct Opening {
    /// Criteria with the hour at which each is met.
    pub met: Vec<Met>,
    /// It opens when all are met, but not before this hour,
    pub not_before: f64,
    /// at which this lighter one opens.
    pub after: Option<MilestoneKind>,
    /// For windows: when it is too late.
    pub closes: Option<f64>,
    /// What is told beside it and decides nothing: another rule, a heavier use.
    pub beside: Option<Met>,
}

impl Opening {
    /// Open when all are met.
    pub(crate) fn when(met: impl Into<Vec<Met>>) -> Self {
        Self {
            met: met.into(),
            not_before: 0.0,
            after: None,
            closes: None,
            beside: None,
        }
    }

    /// Told beside it.
    pub(crate) fn beside(self, met: Met) -> Self {
        Self {
            beside: Some(met),
            ..self
        }
    }

    /// But not before a lighter one, which opens at this hour.
    pub(crate) fn build_on(&mut self, lighter: MilestoneKind, hour: f64) {
        if hour > self.not_before {
            self.not_before = hour;
            self.after = Some(lighter);
        }
        if let Some(closes) = self.closes {
            // One that would close before it opens is none: it closes as it opens.
            self.closes = Some(closes.max(self.opens().min(HORIZON_H * 2.0)));
        }
    }

    /// A window until this hour.
    pub(crate) fn until(self, hour: f64) -> Self {
        let closes = Some(hour.max(self.opens().min(HORIZON_H * 2.0)));
        Self { closes, ..self }
    }

    /// The hour at which it opens; infinite if it does not.
    pub(crate) fn opens(&self) -> f64 {
        self.met.iter().map(|m| m.1).fold(self.not_before, f64::max)
    }
}

/// One member, as the criteria of the milestones ask it.
pub(crate) struct Waits<'a> {
    facts: &'a PourFacts,
    weather: &'a Weather,
    member: &'a Member,
    /// Hour at which the sheen is gone.
    pub sheen: f64,
    /// Hour of initial set.
    pub initial: f64,
    /// Hour at which a thumb leaves only a faint print.
    pub faint: f64,
    /// Hour of final set.
    pub last: f64,
    /// How the surface is worked.
    pub surface: Surface,
    /// By which rule the next step is cast on top.
    pub next_step: NextStepRule,
}

impl<'a> Waits<'a> {
    pub(crate) fn new(facts: &'a PourFacts, weather: &'a Weather, member: &'a Member) -> Self {
        let set = &member.aged.set;
        let initial = weather.reaches(set, member.mix.initial_h(member.set));
        Self {
            facts,
            weather,
            member,
            sheen: member.sheen_h.min(initial),
            initial,
            faint: weather.reaches(set, faint_age(&member.mix, member.set)),
            last: weather.reaches(set, member.mix.final_h(member.set)),
            surface: facts.surface,
            next_step: facts.next_step_rule,
        }
    }

    fn series(&self, place: Place) -> &[f64] {
        match place {
            Place::Edge => &self.member.aged.edge,
            Place::Middle => &self.member.aged.middle,
            Place::Top => &self.member.aged.top,
        }
    }

    /// The bleed water has dried off.
    pub(crate) fn bleed(&self) -> Met {
        (Criterion::BleedAgainstEvaporation, self.sheen)
    }

    /// Initial set, as an age.
    pub(crate) fn initial_set(&self) -> Met {
        (
            age(self.member.mix.initial_h(self.member.set)),
            self.initial,
        )
    }

    /// Final set, as an age.
    pub(crate) fn final_set(&self) -> Met {
        (age(self.member.mix.final_h(self.member.set)), self.last)
    }

    /// Old enough there: hours at 23 °C.
    pub(crate) fn aged(&self, place: Place, hours: f64) -> Met {
        (age(hours), self.weather.reaches(self.series(place), hours))
    }

    /// Strong enough there, MPa.
    pub(crate) fn strong(&self, place: Place, mpa: f64) -> Met {
        let m = self.member;
        let at = match place {
            Place::Edge => m.mix.edge_age_at(mpa, m.set, m.strength),
            _ => m.mix.age_at(mpa, m.set, m.strength),
        };
        let criterion = Criterion::Strength {
            mpa: Mpa(mpa),
            place,
        };
        (criterion, self.weather.reaches(self.series(place), at))
    }

    /// Strong enough at the edge for the next step by its load.
    pub(crate) fn carries(&self) -> Met {
        self.strong(Place::Edge, self.carrying().value())
    }

    /// The strength that this asks.
    pub(crate) fn carrying(&self) -> Mpa {
        carries_the_next(&self.facts.piece, self.facts.above)
    }

    /// That share of the specified 28-day strength there, per cent. The mix's own would
    /// let water cancel out: a drowned mix would be at 70 % of little as soon as any.
    pub(crate) fn share(&self, place: Place, pct: f64) -> Met {
        let (_, hour) = self.strong(place, pct / 100.0 * self.facts.mix.class_28d.value());
        let pct = Percent(pct);
        (Criterion::Share { pct }, hour)
    }

    /// That many days by the calendar.
    pub(crate) fn days(&self, days: f64) -> Met {
        (Criterion::CalendarDays { days }, days * 24.0)
    }

    /// As long as the curing table asks.
    pub(crate) fn curing_table(&self) -> Met {
        let (days, hour) = curing_table(self.facts, self.weather, &self.member.course.top);
        (Criterion::CuringTable { days }, hour)
    }

    /// What a form waits for.
    pub(crate) fn strip(&self) -> Vec<Met> {
        let hours = Hours(STRIP_MILD_H);
        let at = self.weather.reaches(&self.member.aged.mild, STRIP_MILD_H);
        vec![
            (Criterion::WarmHours { hours }, at),
            self.aged(Place::Edge, STRIP_AGE_H),
            self.strong(Place::Edge, strip_mpa(self.facts)),
        ]
    }

    /// What dressing waits for: edges can be reached from when the form is off.
    pub(crate) fn edges_free(&self) -> Vec<Met> {
        match stripped_at(self.facts) {
            Some(hour) => vec![(Criterion::Observed, hour)],
            None => self.strip(),
        }
    }
}

fn age(hours: f64) -> Criterion {
    Criterion::Age {
        hours: Hours(hours),
    }
}

/// Days that the table of DIN 1045-3 asks for and the hour at which they are over: by the
/// mean surface temperature so far, with the time below 5 °C added, twice for heavy wear.
fn curing_table(facts: &PourFacts, weather: &Weather, top: &[f64]) -> (f64, f64) {
    let times = if facts.heavy_wear { 2.0 } else { 1.0 };
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
