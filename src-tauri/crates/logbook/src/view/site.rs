//! The first screen of a site: for every step what may be done now, what is next and
//! when; reminders that are due; what needs a person's eye.
//!
//! Nothing is predicted here. One pour is in [`super::pour`].

use super::due::reminders;
use super::pour::{card, odd};
use super::told::{Told, begun};
use super::types::{OddOnSite, PourCard, Rec, SiteView, StepView};
use super::{clocks, learned};
use crate::book::{Book, Folded};
use crate::facts::{Additive, Flight, Forecast, Form, Liner, Mix, Photo, Reading, Site, Step};
use core::cmp::Reverse;
use slowstone_curing::units::AtMs;

/// Reminders to come that are shown.
const COMING_SHOWN: usize = 20;

/// Weather readings that are shown.
const WEATHER_SHOWN: usize = 50;

/// What the events add up to at `now`: the view of one site and what could not be used.
/// Total, idempotent and independent of the order of `events`. Knows no time zone but UTC:
/// see [`Book::with_zones`].
///
/// ```
/// use serde_json::json;
/// use slowstone_curing::units::AtMs;
/// use slowstone_logbook::{Event, fold};
/// let event = |id: &str, kind: &str, body| {
///     let entry = json!({"id": id, "site": "site-0001", "by": "Ada", "at_ms": 0,
///         "kind": kind, "body": body});
///     Event::read(&entry).unwrap()
/// };
/// let start = 1781074800000_i64;
/// let events = [
///     event("site-0001", "site", json!({"name": "Landing", "tz": "UTC"})),
///     event("pour-0001", "pour", json!({"name": "A sample", "started_ms": start, "air_c": 18})),
/// ];
/// let now = AtMs(start + 3_600_000);
/// let view = fold(&events, "site-0001", now).unwrap();
/// assert_eq!(view.samples[0].name, "A sample");
/// assert!(view.samples[0].not_yet.iter().any(|k| format!("{k:?}") == "FormOff"));
///
/// // In any order, and however often, it is the same.
/// let [site, pour] = events;
/// let again = [pour.clone(), site, pour];
/// assert_eq!(fold(&again, "site-0001", now), Some(view));
/// ```
#[must_use]
pub fn fold(events: &[crate::Event], site: &str, now: AtMs) -> Option<SiteView> {
    let mut book = Book::new();
    for event in events {
        book.add(event.clone());
    }
    book.site_view(site, now)
}

impl Book {
    /// The first screen of a site at `now`; none if there is no such site.
    pub fn site_view(&mut self, site: &str, now: AtMs) -> Option<SiteView> {
        let (told, lessons) = self.tell_and_learn(site, now);
        let events = u32::try_from(self.site_len(site)).unwrap_or(u32::MAX);
        let sum = self.folded(site);
        let the_site = sum.rec::<Site>(Some(site))?;
        let cards: Vec<PourCard> = told.iter().map(|t| card(sum, t, now)).collect();
        let (due, mut coming) = reminders(sum, &told, now);
        coming.truncate(COMING_SHOWN);
        let mut weather = sum.recs::<Reading>();
        // A thermometer in concrete says nothing of the weather.
        weather.retain(|r| r.fact.concrete_c.is_none() || r.fact.air_c.is_some());
        weather.sort_by_key(|r| Reverse(r.fact.at_ms));
        weather.truncate(WEATHER_SHOWN);
        let mut forecasts = sum.recs::<Forecast>();
        forecasts.sort_by(|a, b| a.fact.date.cmp(&b.fact.date).then(a.at_ms.cmp(&b.at_ms)));
        let here = |id: &Option<String>| id.as_ref().is_some_and(|id| sum.entries.contains_key(id));
        let mut unpoured = sum.recs::<Photo>();
        unpoured.retain(|p| !here(&p.fact.pour));
        let (mut of_steps, mut loose_photos): (Vec<_>, Vec<_>) =
            unpoured.into_iter().partition(|p| here(&p.fact.step));
        of_steps.sort_by_key(|p| p.fact.taken_ms);
        loose_photos.sort_by_key(|p| Reverse(p.fact.taken_ms));
        Some(SiteView {
            now_ms: now,
            site: the_site,
            flights: sum.recs::<Flight>(),
            steps: steps(sum, &told, &cards, &of_steps, now),
            samples: cards
                .iter()
                .rev()
                .filter(|c| c.step_number.is_none())
                .cloned()
                .collect(),
            mixes: sum.recs::<Mix>(),
            additives: sum.recs::<Additive>(),
            forms: sum.recs::<Form>(),
            liners: sum.recs::<Liner>(),
            weather,
            forecasts,
            loose_photos,
            clock_doubts: clocks::clock_doubts(sum),
            due,
            coming,
            learned: learned::learned(sum, &lessons),
            conflicts: sum.conflicts.clone(),
            problems: sum.problems.clone(),
            odd: doubted(sum, &told, &cards),
            events,
        })
    }
}

/// What does not fit on the whole site. An entry of the weather may be doubted by several
/// pours; it is asked about once, for the newest of them.
fn doubted(sum: &Folded, told: &[Told], cards: &[PourCard]) -> Vec<OddOnSite> {
    let mut all: Vec<OddOnSite> = Vec::new();
    for (told, card) in told.iter().zip(cards).rev() {
        let Ok(prediction) = &told.outcome else {
            continue;
        };
        for entry in odd(sum, &told.id, &prediction.odd) {
            let same = |o: &OddOnSite| {
                o.entry.event == entry.event && o.entry.odd.field == entry.odd.field
            };
            if !all.iter().any(same) {
                all.push(OddOnSite {
                    pour: told.id.clone(),
                    step_number: card.step_number,
                    name: card.name.clone(),
                    entry,
                });
            }
        }
    }
    all.sort_by_key(|o| Reverse(o.entry.odd.at));
    all
}

fn steps(
    sum: &Folded,
    told: &[Told],
    cards: &[PourCard],
    photos: &[Rec<Photo>],
    now: AtMs,
) -> Vec<StepView> {
    let mut steps = sum.recs::<Step>();
    steps.sort_by(|a, b| {
        a.fact
            .flight
            .cmp(&b.fact.flight)
            .then(a.fact.number.cmp(&b.fact.number))
            .then(a.id.cmp(&b.id))
    });
    steps
        .into_iter()
        .map(|step| {
            // `told` is in order of pouring, so the last one is the newest.
            let own = told.iter().zip(cards).rev();
            let own = own.filter(|(t, _)| t.pour.step.as_deref() == Some(step.id.as_str()));
            let (begun, planned): (Vec<_>, Vec<_>) = own.partition(|(t, _)| begun(&t.pour, now));
            let mut all = begun.into_iter().chain(planned).map(|(_, c)| c.clone());
            let its = |p: &&Rec<Photo>| p.fact.step.as_ref() == Some(&step.id);
            StepView {
                photos: photos.iter().filter(its).cloned().collect(),
                volume_l: step.fact.volume_l(),
                step,
                pour: all.next(),
                others: all.collect(),
            }
        })
        .collect()
}
