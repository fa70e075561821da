//! What the events of one site add up to: typed records, by id.
//!
//! Nothing is reckoned here; [`crate::view`] does that from these records.

use super::{Book, Problem, Table};
use crate::facts::{Batch, Entered, Fact, Kind, Mark, Observation, Observed, Photo, Pour, Reading};
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
    /// The person whose device it came from, if it names another one.
    pub entered_by: Option<String>,
}

impl Entry {
    /// The record as screens take it, if it is of this kind.
    fn rec<T: Kind>(&self, id: &str) -> Option<Rec<T>> {
        Some(Rec {
            id: id.to_owned(),
            fact: T::of(&self.fact)?.clone(),
            by: self.by.clone(),
            at_ms: self.at_ms,
            edited: self.edited,
            entered_by: self.entered_by.clone(),
        })
    }
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
                kind: event.kind.clone(),
                code: code.into(),
                text,
            };
            let outside = || {
                let at = event.at_ms.0;
                let text = format!("its device's clock showed no time of the calendar: {at}");
                trouble("clock_outside", text)
            };
            if matches!(event.kind.as_str(), "correction" | "retraction") {
                if !event.at_ms.in_calendar() && !self.retracted(id) {
                    sum.problems.push(outside());
                }
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
            sum.problems.extend(resolved.problems);
            // Of two reasons why it is a problem the one in the record itself is told.
            if resolved.logged.is_none() && !resolved.unreadable {
                sum.problems.push(outside());
            }
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
                            at_ms: resolved.logged.unwrap_or(AtMs::FIRST),
                            edited: resolved.edited,
                            entered_by: None,
                        },
                    );
                }
                None if !resolved.unreadable => sum.problems.push(trouble(
                    "unknown_kind",
                    format!(
                        "kind “{}” is not known to this version; it is kept and passed on",
                        event.kind
                    ),
                )),
                None => {}
            }
        }
        sum.name_devices();
        sum.drop_orphans();
        sum.hang();
        // By what hangs on a pour its photos are filed, and then they hang on it too.
        if crate::filing::file_photos(&mut sum) {
            sum.hang();
        }
        sum.problems.sort();
        sum
    }
}

impl Folded {
    /// Says of entries and of versions whose device they came from, where the hub noted it.
    fn name_devices(&mut self) {
        let notes: Vec<(String, String)> = self
            .facts::<Entered>()
            .map(|(_, note)| (note.entry.clone(), note.person.clone()))
            .collect();
        for (entry, person) in notes {
            let versions = self.conflicts.iter_mut().flat_map(|c| &mut c.versions);
            for version in versions.filter(|v| v.event == entry) {
                version.entered_by = Some(person.clone());
            }
            if let Some(entry) = self.entries.get_mut(&entry) {
                entry.entered_by = Some(person);
            }
        }
    }

    /// Notes what hangs on each pour, so that a screen need not look through everything.
    fn hang(&mut self) {
        self.hanging = Table::default();
        for (id, entry) in self.entries.iter() {
            let pour = match &entry.fact {
                Fact::Batch(b) => Some(&b.pour),
                Fact::Observation(o) => Some(&o.pour),
                Fact::Mark(m) => Some(&m.pour),
                Fact::Photo(p) => p.pour.as_ref(),
                Fact::Reading(r) => r.pour.as_ref(),
                Fact::Hourly(h) => h.pour.as_ref(),
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
                    gone.push((id.clone(), entry.fact.kind(), parent.clone()));
                }
            }
            if gone.is_empty() {
                break;
            }
            for (id, kind, parent) in gone {
                self.entries.remove(&id);
                self.problems.push(Problem {
                    event: id,
                    kind: kind.to_owned(),
                    code: "missing_reference".into(),
                    text: format!(
                        "belongs to an entry that was taken back or is not here: {parent}"
                    ),
                });
            }
        }
    }

    /// The records of one kind, by id.
    pub(crate) fn recs<T: Kind>(&self) -> Vec<Rec<T>> {
        self.entries
            .iter()
            .filter_map(|(id, e)| e.rec(id))
            .collect()
    }

    /// One record, if it is of this kind.
    pub(crate) fn rec<T: Kind>(&self, id: Option<&str>) -> Option<Rec<T>> {
        let id = id?;
        self.entries.get(id)?.rec(id)
    }

    /// What one record says, if it is of this kind.
    pub(crate) fn fact<T: Kind>(&self, id: &str) -> Option<&T> {
        T::of(&self.entries.get(id)?.fact)
    }

    /// What the records of one kind say, by id.
    pub(crate) fn facts<T: Kind>(&self) -> impl Iterator<Item = (&str, &T)> {
        let all = self.entries.iter();
        all.filter_map(|(id, e)| Some((id.as_str(), T::of(&e.fact)?)))
    }

    /// Pours by id.
    pub(crate) fn pours(&self) -> impl Iterator<Item = (&str, &Pour)> {
        self.facts()
    }

    /// What hangs on a pour of one kind.
    fn on<T: Kind>(&self, pour: &str) -> impl Iterator<Item = &T> {
        self.hanging(pour).filter_map(|(_, e)| T::of(&e.fact))
    }

    /// Observations of a pour.
    pub(crate) fn observations(&self, pour: &str) -> impl Iterator<Item = &Observation> {
        self.on(pour)
    }

    /// Batches of a pour.
    pub(crate) fn batches(&self, pour: &str) -> impl Iterator<Item = &Batch> {
        self.on(pour)
    }

    /// Answers to reminders of a pour, and when each was given.
    pub(crate) fn marks(&self, pour: &str) -> impl Iterator<Item = (&Mark, AtMs)> {
        let all = self.hanging(pour);
        all.filter_map(|(_, e)| Some((Mark::of(&e.fact)?, e.at_ms)))
    }

    /// Photos of a pour.
    pub(crate) fn photos(&self, pour: &str) -> impl Iterator<Item = &Photo> {
        self.on(pour)
    }

    /// All readings.
    pub(crate) fn readings(&self) -> impl Iterator<Item = &Reading> {
        self.facts().map(|(_, r)| r)
    }

    /// When the form of a pour came off, if logged.
    pub(crate) fn stripped_at(&self, pour: &str) -> Option<AtMs> {
        self.observations(pour)
            .filter(|o| matches!(o.what, Observed::StrippedClean | Observed::StrippedStuck))
            .map(|o| o.at_ms)
            .min()
    }
}
