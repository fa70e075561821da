//! What the events of one site add up to: typed records, by id.
//!
//! Nothing is reckoned here; [`crate::view`] does that from these records.

use super::{Book, Problem, Table};
use crate::facts::{Batch, Fact, Mark, Observation, Observed, Photo, Pour, Reading};
use crate::view::{Conflict, Rec};
use slowstone_curing::units::AtMs;

/// A record as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// The fact after corrections.
    pub fact: Fact,
    /// Who logged it.
    pub by: String,
    /// When, by the device's clock.
    pub at_ms: AtMs,
    /// It was corrected.
    pub edited: bool,
}

/// The sum of a site.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Folded {
    /// Every record that was not taken back, by id.
    pub entries: Table<Entry>,
    /// Corrections that did not see each other.
    pub conflicts: Vec<Conflict>,
    /// Entries that could not be used.
    pub problems: Vec<Problem>,
    /// What hangs on each pour, by id of the pour.
    hanging: Table<Vec<String>>,
}

impl Book {
    pub(super) fn fold_site(&self, site: &str) -> Folded {
        let mut sum = Folded::default();
        for id in self.ids(site) {
            let Some(event) = self.events.get(id) else {
                continue;
            };
            let trouble = |code: &str, text: String| Problem {
                event: id.clone(),
                code: code.into(),
                text,
            };
            if matches!(event.kind.as_str(), "correction" | "retraction") {
                let target = super::target_of(event).unwrap_or_default();
                match self.events.get(target) {
                    Some(t) if t.site == event.site => {}
                    _ => sum.problems.push(trouble(
                        "missing_target",
                        format!("changes an entry that is not here (yet): {target}"),
                    )),
                }
                continue;
            }
            if self.retracted(id) {
                continue;
            }
            let resolved = self.resolve(event);
            sum.conflicts.extend(resolved.conflicts);
            let readable = resolved.problems.iter().all(|p| p.code != "unreadable");
            sum.problems.extend(resolved.problems);
            match resolved.fact {
                Some(fact) => {
                    if let Fact::Site(s) = &fact
                        && !self.knows_zone(&s.tz)
                    {
                        sum.problems.push(trouble(
                            "unknown_zone",
                            format!(
                                "time zone “{}” is not known to this version; UTC is used",
                                s.tz
                            ),
                        ));
                    }
                    sum.entries.insert(
                        id.clone(),
                        Entry {
                            fact,
                            by: event.by.clone(),
                            at_ms: event.at_ms,
                            edited: resolved.edited,
                        },
                    );
                }
                None if readable => sum.problems.push(trouble(
                    "unknown_kind",
                    format!(
                        "kind “{}” is not known to this version; it is kept and passed on",
                        event.kind
                    ),
                )),
                None => {}
            }
        }
        sum.drop_orphans();
        sum.hang();
        sum.problems.sort();
        sum
    }
}

impl Folded {
    /// Notes what hangs on each pour, so that a screen need not look through everything.
    fn hang(&mut self) {
        for (id, entry) in self.entries.iter() {
            let pour = match &entry.fact {
                Fact::Batch(b) => Some(&b.pour),
                Fact::Observation(o) => Some(&o.pour),
                Fact::Mark(m) => Some(&m.pour),
                Fact::Photo(p) => p.pour.as_ref(),
                Fact::Reading(r) => r.pour.as_ref(),
                _ => None,
            };
            if let Some(pour) = pour {
                self.hanging.change(pour, |ids| ids.push(id.clone()));
            }
        }
    }

    /// The records that hang on a pour: batches, observations, marks, photos, readings.
    pub(crate) fn hanging(&self, pour: &str) -> impl Iterator<Item = (&str, &Entry)> {
        let ids = self.hanging.get(pour).into_iter().flatten();
        ids.filter_map(|id| Some((id.as_str(), self.entries.get(id)?)))
    }

    /// Leaves out records whose pour, step or flight is not there (taken back, or not
    /// arrived yet), and says so.
    fn drop_orphans(&mut self) {
        // Flights before steps before pours before what hangs on pours.
        for _ in 0..3 {
            let mut gone = Vec::new();
            for (id, entry) in self.entries.iter() {
                let parent = match &entry.fact {
                    Fact::Step(s) => Some(&s.flight),
                    Fact::Layout(l) => Some(&l.flight),
                    Fact::Planned(p) => Some(&p.step),
                    Fact::Ticked(t) => Some(&t.step),
                    Fact::Batch(b) => Some(&b.pour),
                    Fact::Observation(o) => Some(&o.pour),
                    Fact::Mark(m) => Some(&m.pour),
                    Fact::Colour(c) => Some(&c.photo),
                    Fact::Reading(r) if r.air_c.is_none() => r.pour.as_ref(),
                    _ => None,
                };
                if let Some(parent) = parent
                    && !self.entries.contains_key(parent)
                {
                    gone.push((id.clone(), parent.clone()));
                }
            }
            if gone.is_empty() {
                break;
            }
            for (id, parent) in gone {
                self.entries.remove(&id);
                self.problems.push(Problem {
                    event: id,
                    code: "missing_reference".into(),
                    text: format!(
                        "belongs to an entry that was taken back or is not here: {parent}"
                    ),
                });
            }
        }
    }

    /// The records of one type, with who and when.
    pub(crate) fn recs<T: Clone>(&self, pick: fn(&Fact) -> Option<&T>) -> Vec<Rec<T>> {
        self.entries
            .iter()
            .filter_map(|(id, e)| {
                pick(&e.fact).map(|fact| Rec {
                    id: id.clone(),
                    fact: fact.clone(),
                    by: e.by.clone(),
                    at_ms: e.at_ms,
                    edited: e.edited,
                })
            })
            .collect()
    }

    /// One record of a type.
    pub(crate) fn rec<T: Clone>(
        &self,
        id: Option<&str>,
        pick: fn(&Fact) -> Option<&T>,
    ) -> Option<Rec<T>> {
        let id = id?;
        let e = self.entries.get(id)?;
        pick(&e.fact).map(|fact| Rec {
            id: id.to_owned(),
            fact: fact.clone(),
            by: e.by.clone(),
            at_ms: e.at_ms,
            edited: e.edited,
        })
    }

    /// Pours by id.
    pub(crate) fn pours(&self) -> impl Iterator<Item = (&str, &Pour)> {
        self.entries.iter().filter_map(|(id, e)| match &e.fact {
            Fact::Pour(p) => Some((id.as_str(), p)),
            _ => None,
        })
    }

    /// Observations of a pour.
    pub(crate) fn observations(&self, pour: &str) -> impl Iterator<Item = &Observation> {
        self.hanging(pour).filter_map(|(_, e)| match &e.fact {
            Fact::Observation(o) => Some(o),
            _ => None,
        })
    }

    /// Batches of a pour.
    pub(crate) fn batches(&self, pour: &str) -> impl Iterator<Item = &Batch> {
        self.hanging(pour).filter_map(|(_, e)| match &e.fact {
            Fact::Batch(b) => Some(b),
            _ => None,
        })
    }

    /// Answers to reminders of a pour.
    pub(crate) fn marks(&self, pour: &str) -> impl Iterator<Item = (&Mark, AtMs)> {
        self.hanging(pour).filter_map(|(_, e)| match &e.fact {
            Fact::Mark(m) => Some((m, e.at_ms)),
            _ => None,
        })
    }

    /// Photos of a pour.
    pub(crate) fn photos(&self, pour: &str) -> impl Iterator<Item = &Photo> {
        self.hanging(pour).filter_map(|(_, e)| match &e.fact {
            Fact::Photo(p) => Some(p),
            _ => None,
        })
    }

    /// All readings.
    pub(crate) fn readings(&self) -> impl Iterator<Item = &Reading> {
        self.entries.values().filter_map(|e| match &e.fact {
            Fact::Reading(r) => Some(r),
            _ => None,
        })
    }

    /// When the form of a pour came off, if logged.
    pub(crate) fn stripped_at(&self, pour: &str) -> Option<AtMs> {
        self.observations(pour)
            .filter(|o| matches!(o.what, Observed::StrippedClean | Observed::StrippedStuck))
            .map(|o| o.at_ms)
            .min()
    }
}
