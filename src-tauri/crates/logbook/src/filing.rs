//! To which step, and to which stage of its work, a photo belongs.
//!
//! A pure rule over the log, the same on every device. What a person or a screen said wins;
//! what nobody said is found by the time of the photo each time the log is added up
//! ([`file_photos`]), so that a stage follows what is logged later: a form that comes off, a
//! pour that is entered in the evening. It does not look at the picture. The time of a photo
//! is worked out by the hub when the photo comes in; clocks that seem wrong are found in
//! `crate::view::clocks`.

use crate::book::{Entry, Folded};
use crate::facts::{Fact, Filing, Kind, Observed, Photo, Pour, Step, Ticked};

/// How long before a pour a photo shows its preparation whatever else is in work, in
/// milliseconds (common practice, no source).
pub const BEFORE_MS: i64 = 3 * HOUR;
/// How long after a pour a photo is still filed with it, in milliseconds (common practice,
/// no source).
pub const AFTER_MS: i64 = 60 * DAY;
/// Digging, base and the first form take up to a month before the first pour (common
/// practice, no source).
const FIRST_MS: i64 = 30 * DAY;
/// Once the last step asks for nothing more, the next one is in work for about a week; so
/// it is in the days before it is poured (common practice, no source).
const NEXT_MS: i64 = 7 * DAY;
/// The one form is set up within three days before it is filled (common practice, no
/// source).
const SET_UP_MS: i64 = 3 * DAY;
/// Between screeding and the texture when neither texture nor set is logged: the surface
/// takes a texture from about an hour on (common practice, no source).
const WET_MS: i64 = HOUR;
/// Placing takes this long when its end is not logged.
const PLACING_MS: i64 = HOUR;
/// Final set when it is not logged: ASTM C403 final set of ordinary mixes at 23 degC lies
/// near 6 to 8 h (from memory); counted from screeding.
const SET_MS: i64 = 6 * HOUR;
/// The edges are green for about a day after stripping (common practice, no source).
const GREEN_MS: i64 = DAY;
/// Curing lasts 7 days after screeding (ACI 308R, ordinary cement above 4 degC; from
/// memory).
const CURING_MS: i64 = 7 * DAY;
const HOUR: i64 = 3_600_000;
const DAY: i64 = 24 * HOUR;

/// The times of one pour, in milliseconds since 1970 (UTC); what is not logged is
/// `None`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PourSpan {
    /// Id of the pour.
    pub pour: String,
    /// The step that was poured; none for a sample.
    pub step: Option<String>,
    /// First concrete in the form.
    pub started_ms: i64,
    /// Surface screeded.
    pub finished_ms: Option<i64>,
    /// Texture begun.
    pub textured_ms: Option<i64>,
    /// Set, observed or predicted.
    pub set_ms: Option<i64>,
    /// Form taken off.
    pub form_off_ms: Option<i64>,
    /// Edges dressed.
    pub dressed_ms: Option<i64>,
}

/// A step and how far its preparation was checked.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StepSpan {
    /// Id of the step.
    pub step: String,
    /// The flight that it belongs to.
    pub flight: String,
    /// Its place in the flight.
    pub number: u32,
    /// When it was entered.
    pub entered_ms: i64,
    /// The base was checked: what comes after shows the form.
    pub base_ms: Option<i64>,
    /// The mesh was checked.
    pub mesh_ms: Option<i64>,
}

/// The work of a site, as far as photos are filed by it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Work {
    /// Every pour.
    pub pours: Vec<PourSpan>,
    /// Every step.
    pub steps: Vec<StepSpan>,
}

/// Stage of work that a photo shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Dug, drained, compacted: before there is a form.
    Base,
    /// Form and liner before the concrete.
    Form,
    /// The mesh lies in the form.
    Mesh,
    /// Concrete goes in.
    Placing,
    /// Screeded; bleed water may stand.
    Wet,
    /// The surface takes a texture.
    Texture,
    /// Set, in its form.
    Set,
    /// Form off, edges still green.
    Stripped,
    /// Edges dressed; curing.
    Dressed,
    /// After curing.
    Later,
}

impl Stage {
    /// The word for the log's photo event, as the app's list of stages has it.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Base => "base",
            Self::Form => "form",
            Self::Mesh => "mesh",
            Self::Placing | Self::Wet => "fresh",
            Self::Texture => "texture",
            Self::Set => "setting",
            Self::Stripped => "form_off",
            Self::Dressed => "curing",
            Self::Later => "usable",
        }
    }

    /// Whether a photo's entry names this stage; `prepare` is how earlier versions called
    /// all that comes before the concrete.
    pub(crate) fn is(self, code: &str) -> bool {
        let before = matches!(self, Self::Base | Self::Form | Self::Mesh);
        self.code() == code || (before && code == "prepare")
    }
}

/// Where a photo belongs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filed {
    /// The pour, if there is one.
    pub pour: Option<String>,
    /// The step, poured or not; none for a sample.
    pub step: Option<String>,
    /// The stage of its work.
    pub stage: Stage,
}

impl PourSpan {
    fn finished(&self) -> i64 {
        let placed = self.started_ms.saturating_add(PLACING_MS);
        self.finished_ms.map_or(placed, |t| t.max(self.started_ms))
    }

    fn set(&self) -> i64 {
        self.set_ms
            .unwrap_or_else(|| self.finished().saturating_add(SET_MS))
    }

    /// When its edges are no longer green, if the log says so: from then on it asks for
    /// nothing, and its form is in work elsewhere.
    fn released(&self) -> Option<i64> {
        let green = self.form_off_ms.map(|t| t.saturating_add(GREEN_MS));
        match (self.dressed_ms, green) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        }
    }

    /// The stage at an instant at or after the start. Later marks beat earlier ones, so
    /// times logged out of order do no harm.
    fn stage(&self, at: i64) -> Stage {
        let over = |t: Option<i64>| t.is_some_and(|t| at >= t);
        if at >= self.finished().saturating_add(CURING_MS) {
            Stage::Later
        } else if over(self.released()) {
            Stage::Dressed
        } else if over(self.form_off_ms) {
            Stage::Stripped
        } else if at >= self.set() {
            Stage::Set
        } else if over(self.textured_ms)
            || (self.textured_ms.is_none() && at >= self.finished().saturating_add(WET_MS))
        {
            Stage::Texture
        } else if at >= self.finished() {
            Stage::Wet
        } else {
            Stage::Placing
        }
    }
}

impl StepSpan {
    /// The stage before its concrete.
    fn stage(&self, at: i64) -> Stage {
        if self.base_ms.is_some_and(|t| at < t) {
            Stage::Base
        } else if self.mesh_ms.is_some_and(|t| at >= t) {
            Stage::Mesh
        } else {
            Stage::Form
        }
    }
}

impl Work {
    /// The work of a site, as the log has it.
    pub(crate) fn of(sum: &Folded) -> Self {
        let pour = |(id, pour): (&str, &Pour)| {
            let first = |wanted: fn(Observed) -> bool| {
                let seen = sum.observations(id).filter(|o| wanted(o.what));
                seen.map(|o| o.at_ms.0).min()
            };
            PourSpan {
                pour: id.to_owned(),
                step: pour.step.clone(),
                started_ms: pour.started_ms.0,
                finished_ms: pour.finished_ms.map(|at| at.0),
                textured_ms: first(|o| o == Observed::Textured),
                set_ms: first(|o| o == Observed::ThumbNone),
                form_off_ms: sum.stripped_at(id).map(|at| at.0),
                dressed_ms: first(|o| matches!(o, Observed::DressedEasily | Observed::DressedHard)),
            }
        };
        let ticks: Vec<(&Ticked, i64)> = sum
            .entries
            .values()
            .filter_map(|e| Some((Ticked::of(&e.fact)?, e.at_ms.0)))
            .collect();
        let step = |(id, entry): (&String, &Entry)| {
            let step = Step::of(&entry.fact)?;
            let ticked = |point: &str| {
                let its = |t: &&(&Ticked, i64)| t.0.step == *id && t.0.point == point && t.0.done;
                ticks.iter().filter(its).map(|t| t.1).min()
            };
            Some(StepSpan {
                step: id.clone(),
                flight: step.flight.clone(),
                number: step.number,
                entered_ms: entry.at_ms.0,
                base_ms: ticked("base_level"),
                mesh_ms: ticked("mesh_cut"),
            })
        };
        Self {
            pours: sum.pours().map(pour).collect(),
            steps: sum.entries.iter().filter_map(step).collect(),
        }
    }

    fn step(&self, id: &str) -> Option<&StepSpan> {
        self.steps.iter().find(|s| s.step == id)
    }

    fn pour(&self, id: &str) -> Option<&PourSpan> {
        self.pours.iter().find(|p| p.pour == id)
    }

    /// When a pour began, if there is such a pour.
    pub(crate) fn begun(&self, pour: &str) -> Option<i64> {
        self.pour(pour).map(|p| p.started_ms)
    }

    /// The pour that had begun last at an instant, of those that are `wanted`. Of two that
    /// began in the same millisecond the smaller id is taken.
    fn last(&self, at: i64, wanted: impl Fn(&PourSpan) -> bool) -> Option<&PourSpan> {
        let begun = self.pours.iter().filter(|p| p.started_ms <= at);
        begun.filter(|p| wanted(p)).max_by(|a, b| {
            let by_id = || b.pour.cmp(&a.pour);
            a.started_ms.cmp(&b.started_ms).then_with(by_id)
        })
    }

    /// The pour that begins next after an instant, of those that are `wanted`.
    fn next(&self, at: i64, wanted: impl Fn(&PourSpan) -> bool) -> Option<&PourSpan> {
        let coming = self.pours.iter().filter(|p| p.started_ms > at);
        coming.filter(|p| wanted(p)).min_by(|a, b| {
            let by_id = || a.pour.cmp(&b.pour);
            a.started_ms.cmp(&b.started_ms).then_with(by_id)
        })
    }

    /// A photo of a pour: its stage then, or its preparation.
    fn on(&self, pour: &PourSpan, at: i64) -> Filed {
        let step = pour.step.as_ref().and_then(|s| self.step(s));
        let stage = if at >= pour.started_ms {
            pour.stage(at)
        } else {
            step.map_or(Stage::Form, |s| s.stage(at))
        };
        Filed {
            pour: Some(pour.pour.clone()),
            step: step.map(|s| s.step.clone()),
            stage,
        }
    }

    /// A photo of this very pour; none if there is no such pour.
    #[must_use]
    pub fn of_pour(&self, pour: &str, at_ms: i64) -> Option<Filed> {
        self.pour(pour).map(|p| self.on(p, at_ms))
    }

    /// A photo of this very step: of its last pour before, else of the one that comes, else
    /// of its preparation. None if there is no such step.
    #[must_use]
    pub fn of_step(&self, step: &str, at_ms: i64) -> Option<Filed> {
        let span = self.step(step)?;
        let its = |p: &PourSpan| p.step.as_deref() == Some(step);
        let pour = self.last(at_ms, its).or_else(|| self.next(at_ms, its));
        Some(pour.map_or_else(
            || Filed {
                pour: None,
                step: Some(step.to_owned()),
                stage: span.stage(at_ms),
            },
            |p| self.on(p, at_ms),
        ))
    }

    /// The step that is to be poured next at an instant: the one after the last, or the
    /// first of the flight that is poured first. A sample is no step.
    fn open_step(&self, at: i64) -> Option<&StepSpan> {
        let stepped = |p: &PourSpan| p.step.as_ref().is_some_and(|s| self.step(s).is_some());
        let of = |p: &PourSpan| p.step.as_ref().and_then(|s| self.step(s));
        if let Some(last) = self.last(at, stepped).and_then(of) {
            return self.steps.iter().find(|s| {
                let begun = |p: &PourSpan| p.step.as_ref() == Some(&s.step);
                s.flight == last.flight
                    && s.number == last.number.saturating_add(1)
                    && self.last(at, begun).is_none()
            });
        }
        if let Some(first) = self.next(at, stepped) {
            return of(first);
        }
        let by_place = |s: &&StepSpan| (s.number, s.flight.clone(), s.step.clone());
        self.steps.iter().min_by_key(by_place)
    }

    /// The step and stage of a photo taken at `at_ms`, by its time alone; `None` if no work is
    /// near enough.
    ///
    /// A photo belongs to the pour that had begun last before it was taken, for up to 60
    /// days. In the three hours before a pour begins it shows the form of that pour, unless
    /// the one before has not set: then it belongs to the work in hand. Once the edges of
    /// the last pour are no longer green, a photo shows the next step, if there is one that
    /// is not poured: for a week, and in the days before it is poured. The order of pours and
    /// steps does not matter.
    ///
    /// ```
    /// use slowstone_logbook::filing::{PourSpan, Stage, Work};
    /// let pour = PourSpan { pour: "pour-0001".into(), started_ms: 0, ..PourSpan::default() };
    /// let work = Work { pours: vec![pour], steps: vec![] };
    /// let stage = |minutes: i64| work.by_time(minutes * 60_000).map(|filed| filed.stage);
    /// assert_eq!(stage(-30), Some(Stage::Form));
    /// assert_eq!(stage(30), Some(Stage::Placing));
    /// assert_eq!(stage(-600), None);
    /// ```
    #[must_use]
    pub fn by_time(&self, at_ms: i64) -> Option<Filed> {
        let since = |t: i64| at_ms.saturating_sub(t);
        let last = self.last(at_ms, |p| since(p.started_ms) <= AFTER_MS);
        if let Some(in_hand) = last.filter(|p| at_ms < p.set()) {
            return Some(self.on(in_hand, at_ms));
        }
        let soon = |p: &PourSpan| p.started_ms.saturating_sub(at_ms) <= BEFORE_MS;
        if let Some(next) = self.next(at_ms, soon) {
            return Some(self.on(next, at_ms));
        }
        let open = self.open_step(at_ms);
        let poured_in = open.and_then(|s| {
            let its = |p: &PourSpan| p.step.as_ref() == Some(&s.step);
            Some(self.next(at_ms, its)?.started_ms.saturating_sub(at_ms))
        });
        let open = open.filter(|step| match last {
            // Before everything: what was poured first was prepared first.
            None => match poured_in {
                Some(left) => left <= FIRST_MS,
                None => self.pours.is_empty() && since(step.entered_ms) >= -FIRST_MS,
            },
            Some(last) => match last.released() {
                Some(free) => {
                    at_ms >= free
                        && (since(free) < NEXT_MS || poured_in.is_some_and(|t| t <= SET_UP_MS))
                }
                // Nobody said that the form is off; the day before it is filled again it is.
                None => {
                    poured_in.is_some_and(|t| t <= DAY && since(last.started_ms) >= DAY)
                        || (since(last.finished()) >= CURING_MS
                            && since(last.finished()) < CURING_MS + NEXT_MS)
                }
            },
        });
        match open {
            Some(step) => self.of_step(&step.step, at_ms),
            None => last.map(|p| self.on(p, at_ms)),
        }
    }

    /// Where a photo taken at `at_ms` belongs when it was said to show this pour or step.
    #[must_use]
    pub fn file(&self, pour: Option<&str>, step: Option<&str>, at_ms: i64) -> Option<Filed> {
        match (pour, step) {
            (Some(pour), _) => self.of_pour(pour, at_ms),
            (None, Some(step)) => self.of_step(step, at_ms),
            (None, None) => self.by_time(at_ms),
        }
    }

    /// Fills in what is not said of a photo's place, and notes what the log found.
    pub(crate) fn fill(&self, photo: &mut Photo) {
        let finds = matches!(photo.filing, Some(Filing::Time | Filing::Stage));
        let at_ms = photo.taken_ms.0;
        let placed = photo.pour.is_some() || photo.step.is_some();
        // Whatever was said of the place stands; a step knows its pour.
        let filed = if placed {
            self.file(photo.pour.as_deref(), photo.step.as_deref(), at_ms)
        } else if finds {
            self.by_time(at_ms)
        } else {
            None
        };
        let staged = !photo.stage.is_empty();
        if finds {
            photo.filing = Some(match (placed, staged) {
                (_, true) => Filing::Hand,
                (true, false) => Filing::Stage,
                (false, false) => Filing::Time,
            });
        }
        let Some(filed) = filed else { return };
        photo.pour = filed.pour;
        photo.step = filed.step;
        if finds && !staged {
            filed.stage.code().clone_into(&mut photo.stage);
        }
    }
}

/// Files every photo of a site whose place was left to the log; whether there is any photo.
pub(crate) fn file_photos(sum: &mut Folded) -> bool {
    let photos: Vec<String> = sum.facts::<Photo>().map(|(id, _)| id.to_owned()).collect();
    if photos.is_empty() {
        return false;
    }
    let work = Work::of(sum);
    for id in photos {
        if let Some(entry) = sum.entries.get_mut(&id)
            && let Fact::Photo(photo) = &mut entry.fact
        {
            work.fill(photo);
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    const T: i64 = 1_714_712_400_000;

    fn pour(id: &str, started_ms: i64) -> PourSpan {
        PourSpan {
            pour: id.into(),
            started_ms,
            ..PourSpan::default()
        }
    }

    fn logged() -> PourSpan {
        PourSpan {
            finished_ms: Some(T + HOUR / 2),
            textured_ms: Some(T + 2 * HOUR),
            set_ms: Some(T + 6 * HOUR),
            form_off_ms: Some(T + 20 * HOUR),
            dressed_ms: Some(T + 21 * HOUR),
            ..pour("a", T)
        }
    }

    fn stage(pours: &[PourSpan], hours: f64) -> Option<(String, Stage)> {
        let work = Work {
            pours: pours.to_vec(),
            steps: Vec::new(),
        };
        let filed = work.by_time(T + (hours * 3_600_000.0) as i64)?;
        Some((filed.pour?, filed.stage))
    }

    #[test]
    fn every_stage_of_a_logged_pour() {
        for (hours, wanted) in [
            (-3.0, Stage::Form),
            (0.0, Stage::Placing),
            (0.5, Stage::Wet),
            (2.0, Stage::Texture),
            (6.0, Stage::Set),
            (20.0, Stage::Stripped),
            (21.0, Stage::Dressed),
            (7.0 * 24.0 + 0.5, Stage::Later),
            (60.0 * 24.0, Stage::Later),
        ] {
            assert_eq!(
                stage(&[logged()], hours),
                Some(("a".into(), wanted)),
                "{hours} h"
            );
        }
    }

    #[test]
    fn too_far_away_is_no_pour() {
        assert_eq!(stage(&[logged()], -3.01), None);
        assert_eq!(stage(&[logged()], 60.0 * 24.0 + 0.01), None);
        assert_eq!(stage(&[], 0.0), None);
    }

    #[test]
    fn a_pour_with_only_its_start_gets_usual_times() {
        let bare = [pour("a", T)];
        for (hours, wanted) in [
            (0.9, Stage::Placing),
            (1.5, Stage::Wet),
            (2.5, Stage::Texture),
            (8.0, Stage::Set),
            (200.0, Stage::Later),
        ] {
            assert_eq!(stage(&bare, hours).unwrap().1, wanted, "{hours} h");
        }
    }

    #[test]
    fn the_next_form_is_prepared_once_the_last_pour_has_set() {
        let two = [pour("b", T + 24 * HOUR), logged()];
        assert_eq!(stage(&two, 22.0), Some(("b".into(), Stage::Form)));
        assert_eq!(stage(&two, 20.5), Some(("a".into(), Stage::Stripped)));
        // Two pours on one morning: the first is still fresh when the second begins.
        let same_day = [logged(), pour("b", T + 3 * HOUR)];
        assert_eq!(stage(&same_day, 2.5), Some(("a".into(), Stage::Texture)));
        assert_eq!(stage(&same_day, 3.5), Some(("b".into(), Stage::Placing)));
    }

    #[test]
    fn order_does_not_matter_and_extremes_do_no_harm() {
        let pours = [pour("b", T), pour("a", T)];
        let turned = [pour("a", T), pour("b", T)];
        assert_eq!(stage(&pours, 0.0), stage(&turned, 0.0));
        let wild = [pour("x", i64::MIN), pour("y", i64::MAX)];
        let work = Work {
            pours: wild.to_vec(),
            steps: Vec::new(),
        };
        for at in [i64::MIN, 0, i64::MAX] {
            let _ = work.by_time(at);
        }
        assert_eq!(work.by_time(0), None);
        let last = work.by_time(i64::MAX).unwrap();
        assert_eq!(last.pour.as_deref(), Some("y"));
    }
}
