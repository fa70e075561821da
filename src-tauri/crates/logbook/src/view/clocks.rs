//! Cameras whose clock seems wrong, and by how much: one shift for all their photos.
//!
//! A single odd time says little: several photos of one camera must point to the same shift.
//! Evidence, the best first: they arrived by the same time late or early; they are dated after
//! they arrived; people filed them where they fit only when shifted; they lie hours beside all
//! that was logged or photographed otherwise ([`ClockWhy`]). Nothing is changed here: a shift
//! is only offered, and logged as corrections when somebody accepts it.

use crate::book::Folded;
use crate::facts::{Fact, Filing, Photo, TimeSource};
use crate::filing::{AFTER_MS, Filed, Work};
use serde::Serialize;
use slowstone_curing::units::AtMs;

const MIN: i64 = 60_000;
const HOUR: i64 = 60 * MIN;
/// Fewer photos prove nothing (common practice, no source).
const FEWEST: usize = 3;
/// Photos that are sent at once arrive within minutes of each other's delay.
const SENT_AT_ONCE: i64 = 5 * MIN;
/// They must be taken over at least this time, or one sending of many looks the same.
const APART: i64 = 30 * MIN;
/// Smaller shifts do no harm: every zone is whole quarters of an hour from every other.
const LEAST: i64 = 14 * MIN;
/// Clocks of a phone and a camera differ by as much without being wrong.
const SAME: i64 = 2 * MIN;
/// Zones reach from 12 hours behind UTC to 14 ahead (IANA tz database), so that two clocks
/// are at most 26 hours apart by their zones.
const ZONES_APART: i64 = 26 * HOUR;
/// Photos of one camera with this much in between may be from before its clock was set.
const ONE_SETTING: i64 = 24 * HOUR;
/// A photo shows what is logged within this time of it (common practice, no source).
const NEAR: i64 = HOUR / 2;
/// So many photos must lie beside all work before their spread says something (common
/// practice, no source); one visit to the site is no spread.
const SPREAD: usize = 5;
/// Photos with this much in between are of different times of work.
const VISIT: i64 = 2 * HOUR;
/// A form is set up and photographed within three days before its pour (common practice,
/// no source).
const SET_UP: i64 = 72 * HOUR;

/// What points to a wrong clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum ClockWhy {
    /// They arrived as soon as they were taken, always by the same time off.
    Arrival,
    /// They are dated after they had arrived.
    Ahead,
    /// Only so do they fit the work that people said they show.
    Work,
    /// Only so do they fall on anything that was logged or that others photographed.
    Activity,
}

/// What a photo's entry says after the shift.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Shifted {
    /// The photo.
    pub photo: String,
    /// When it was taken.
    pub taken_ms: AtMs,
    /// The pour that it shows, if any: as people said, or by the new time.
    pub pour: Option<String>,
    /// The step that it shows, if any.
    pub step: Option<String>,
    /// The stage: as people said, or by the new time.
    pub stage: String,
    /// The log finds the place anew: only the time is to be corrected.
    pub follows: bool,
    /// It was corrected before; a correction lists those that it has seen.
    pub edited: bool,
}

/// A camera whose clock seems wrong.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ClockDoubt {
    /// The camera, in the words of its photos.
    pub camera: String,
    /// Milliseconds to add to the time of each photo.
    #[cfg_attr(feature = "ts", ts(type = "number"))]
    pub shift_ms: i64,
    /// What points to it.
    pub why: ClockWhy,
    /// On how many photos this rests.
    pub proofs: u32,
    /// The photos, in order of their time, and what they say once shifted.
    pub photos: Vec<Shifted>,
}

/// A photo whose time is the camera's.
struct Shot<'a> {
    id: &'a str,
    photo: &'a Photo,
    taken: i64,
    arrived: i64,
    edited: bool,
}

impl Shot<'_> {
    /// How long after its time the photo arrived.
    fn lag(&self) -> i64 {
        self.arrived.saturating_sub(self.taken)
    }
}

/// Cameras whose clock seems wrong, by name.
pub(crate) fn clock_doubts(sum: &Folded) -> Vec<ClockDoubt> {
    let work = Work::of(sum);
    let mut busy = logged(sum);
    let mut shots = Vec::new();
    for (id, entry) in sum.entries.iter() {
        if let Fact::Photo(photo) = &entry.fact
            && photo.time_source != TimeSource::Arrival
            && !photo.camera.is_empty()
        {
            let (taken, arrived) = (photo.taken_ms.0, entry.at_ms.0);
            busy.push((taken, &photo.camera));
            shots.push(Shot {
                id,
                photo,
                taken,
                arrived,
                edited: entry.edited,
            });
        }
    }
    shots.sort_by_key(|s| (&s.photo.camera, s.taken, s.id));
    busy.sort_unstable();
    let cameras = shots.chunk_by(|a, b| a.photo.camera == b.photo.camera);
    let found = cameras.filter_map(|shots| {
        let (why, shift, proofs) = by_arrival(shots)
            .or_else(|| by_being_ahead(shots))
            .or_else(|| by_work(shots, &work))
            .or_else(|| by_activity(shots, &busy))?;
        let photos = batch(shots, why, shift, &proofs)
            .map(|s| shifted(s, shift, &work))
            .collect();
        Some(ClockDoubt {
            camera: shots.first()?.photo.camera.clone(),
            shift_ms: shift,
            why,
            proofs: u32::try_from(proofs.len()).unwrap_or(u32::MAX),
            photos,
        })
    });
    found.collect()
}

/// Why, the shift, and the ids of the photos that show it, in order.
type Found<'a> = (ClockWhy, i64, Vec<&'a str>);

/// Most photos arrive by the same time late, or early: that is by how much the clock is
/// slow or fast.
fn by_arrival<'a>(shots: &[Shot<'a>]) -> Option<Found<'a>> {
    let mut by_lag: Vec<&Shot> = shots.iter().collect();
    by_lag.sort_by_key(|s| (s.lag(), s.taken));
    let from = |n: usize| {
        let tail = by_lag.get(n..).unwrap_or_default();
        let first = tail.first().map_or(0, |s| s.lag());
        let near = tail.partition_point(|s| s.lag().saturating_sub(first) <= SENT_AT_ONCE);
        tail.get(..near).unwrap_or_default()
    };
    // Of equal ones the first, which is the smallest shift forward.
    let near = (0..by_lag.len())
        .map(from)
        .rev()
        .max_by_key(|near| near.len())?;
    let taken = near.iter().map(|s| s.taken);
    let apart = taken.clone().max()?.saturating_sub(taken.min()?);
    let least = near.first()?.lag();
    let shift = rounded(least, near.last()?.lag());
    let proved = near.len() >= FEWEST && near.len() * 2 > shots.len() && apart >= APART;
    (proved && shift.saturating_abs() >= LEAST)
        .then(|| (ClockWhy::Arrival, shift, ids(near.iter().copied())))
}

/// A photo cannot arrive before it is taken: the clock is fast at least by the most.
fn by_being_ahead<'a>(shots: &[Shot<'a>]) -> Option<Found<'a>> {
    let ahead = || shots.iter().filter(|s| s.lag() < -SAME);
    let least = ahead().map(Shot::lag).min()?;
    let half = HOUR / 2;
    // Down to whole half hours, as zones and summer time are.
    let shift = (least.saturating_add(SAME)).div_euclid(half) * half;
    (ahead().count() >= FEWEST).then(|| (ClockWhy::Ahead, shift, ids(ahead())))
}

/// People filed photos where their times do not put them; one shift puts nearly all of them
/// there.
fn by_work<'a>(shots: &[Shot<'a>], work: &Work) -> Option<Found<'a>> {
    let fits = |s: &&Shot, shift: i64| {
        let own = s.photo.pour.as_ref()?;
        let at = s.taken.saturating_add(shift);
        let begun = work.pours.iter().find(|p| p.pour == *own)?.started_ms;
        let near = begun.saturating_sub(SET_UP)..=begun.saturating_add(AFTER_MS);
        let stage = work.of_pour(own, at)?.stage;
        (near.contains(&at) && stage.is(&s.photo.stage)).then_some(())
    };
    let said: Vec<&Shot> = shots
        .iter()
        .filter(|s| s.photo.pour.is_some() && !s.photo.stage.is_empty())
        .filter(|s| fits(s, 0).is_none())
        .collect();
    let mut kinds = said.iter().map(|s| (&s.photo.pour, &s.photo.stage));
    let first = kinds.next();
    if said.len() < FEWEST || kinds.all(|k| Some(k) == first) {
        return None;
    }
    let count = |shift: i64| said.iter().filter(|s| fits(s, shift).is_some()).count();
    let mut tried: Vec<i64> = (-104..=104).map(|n| n * HOUR / 4).collect();
    for (s, p) in said
        .iter()
        .take(8)
        .flat_map(|s| work.pours.iter().map(move |p| (s, p)))
    {
        if s.photo.pour.as_ref() == Some(&p.pour) {
            let marks = [Some(p.started_ms), p.finished_ms, p.textured_ms, p.set_ms];
            let marks = marks
                .into_iter()
                .chain([p.form_off_ms, p.dressed_ms])
                .flatten();
            tried.extend(marks.map(|m| m.saturating_sub(s.taken)));
        }
    }
    tried.sort_unstable();
    tried.dedup();
    let counted: Vec<(i64, usize)> = tried.into_iter().map(|t| (t, count(t))).collect();
    let most = counted.iter().map(|(_, n)| *n).max()?;
    let best: Vec<i64> = counted
        .iter()
        .filter(|(_, n)| *n == most)
        .map(|(t, _)| *t)
        .collect();
    // Whole hours before halves before quarters, the smallest first.
    let zones = |part: i64| {
        let whole = best
            .iter()
            .filter(|t| t.saturating_abs() <= ZONES_APART && *t % part == 0);
        whole.min_by_key(|t| t.saturating_abs()).copied()
    };
    let middle = || best.get(best.len() / 2).copied();
    let shift = zones(HOUR)
        .or_else(|| zones(HOUR / 2))
        .or_else(|| zones(HOUR / 4));
    let shift = shift.or_else(middle)?;
    let proofs = || said.iter().copied().filter(|s| fits(s, shift).is_some());
    (most >= FEWEST && most * 5 >= said.len() * 4 && shift.saturating_abs() >= LEAST)
        .then(|| (ClockWhy::Work, shift, ids(proofs())))
}

/// When something was done on the site by the log, and that no camera says so.
fn logged(sum: &Folded) -> Vec<(i64, &str)> {
    let mut at = Vec::new();
    for entry in sum.entries.values() {
        match &entry.fact {
            Fact::Pour(p) => {
                at.push(p.started_ms);
                at.extend(p.finished_ms);
            }
            Fact::Observation(o) => at.push(o.at_ms),
            Fact::Batch(b) => at.extend(b.at_ms),
            _ => {}
        }
    }
    at.into_iter().map(|t| (t.0, "")).collect()
}

/// The photos lie hours before or after all that went on by the log and by other cameras;
/// one shift, and only that one, puts nearly all of them onto it.
fn by_activity<'a>(shots: &[Shot<'a>], busy: &[(i64, &str)]) -> Option<Found<'a>> {
    let camera = shots.first()?.photo.camera.as_str();
    let others: Vec<i64> = busy
        .iter()
        .filter(|(_, by)| *by != camera)
        .map(|(t, _)| *t)
        .collect();
    let visits = shots
        .windows(2)
        .filter(|two| matches!(two, [a, b] if b.taken.saturating_sub(a.taken) > VISIT))
        .count();
    if shots.len() < SPREAD || visits == 0 {
        return None;
    }
    let fits = |s: &&Shot, shift: i64| {
        let at = s.taken.saturating_add(shift);
        let next = others.partition_point(|t| *t < at.saturating_sub(NEAR));
        let near = others
            .get(next)
            .is_some_and(|t| *t <= at.saturating_add(NEAR));
        near && at <= s.arrived.saturating_add(SAME)
    };
    let count = |shift: i64| shots.iter().filter(|s| fits(s, shift)).count();
    let tried = || (-52..=52_i64).map(|n| n * HOUR / 2);
    let most = tried().map(count).max()?;
    let best: Vec<i64> = tried().filter(|t| count(*t) == most).collect();
    let whole = best.iter().filter(|t| **t % HOUR == 0);
    let nearest = whole.min_by_key(|t| t.saturating_abs());
    let shift = *nearest.or_else(|| best.iter().min_by_key(|t| t.saturating_abs()))?;
    // Elsewhere it must not do nearly as well: then it would be chance.
    let elsewhere = |t: &i64| t.saturating_sub(shift).saturating_abs() > VISIT;
    let second = tried().filter(elsewhere).map(count).max().unwrap_or(0);
    let clear =
        most * 5 >= shots.len() * 4 && count(0) * 5 <= shots.len() && second * 5 <= most * 3;
    let proofs = || shots.iter().filter(|s| fits(s, shift));
    (clear && shift.saturating_abs() >= HOUR).then(|| (ClockWhy::Activity, shift, ids(proofs())))
}

fn ids<'a, 's>(shots: impl Iterator<Item = &'s Shot<'a>>) -> Vec<&'a str>
where
    'a: 's,
{
    let mut ids: Vec<&str> = shots.map(|s| s.id).collect();
    ids.sort_unstable();
    ids
}

/// A shift between two delays: half an hour's multiple if one is near, else the smaller
/// delay in whole minutes, because a photo arrives some time after it was taken.
fn rounded(least: i64, most: i64) -> i64 {
    let half = HOUR / 2;
    let near = most.saturating_add(SAME).div_euclid(half) * half;
    if near >= least.saturating_sub(SENT_AT_ONCE) {
        near
    } else {
        least.div_euclid(MIN) * MIN
    }
}

/// The photos that are shifted: the proofs, and those taken on the same setting of the
/// clock that are not dated after their arrival by it. Where all photos lay beside the work,
/// all were taken on one setting.
fn batch<'a>(
    shots: &'a [Shot<'a>],
    why: ClockWhy,
    shift: i64,
    proofs: &'a [&str],
) -> impl Iterator<Item = &'a Shot<'a>> {
    let proves = |s: &Shot| proofs.binary_search(&s.id).is_ok();
    let proof = |s: &&Shot| proves(s);
    let first = shots.iter().find(proof).map_or(i64::MAX, |s| s.taken);
    let last = shots.iter().rfind(proof).map_or(i64::MIN, |s| s.taken);
    let from = first.saturating_sub(ONE_SETTING);
    let to = last.saturating_add(ONE_SETTING);
    shots.iter().filter(move |s| {
        let may = s.lag() >= shift.saturating_sub(SENT_AT_ONCE);
        let same = why == ClockWhy::Activity || (from..=to).contains(&s.taken);
        proves(s) || (may && same)
    })
}

/// What a photo says once shifted. Where people said something else than its time did,
/// that stands.
fn shifted(shot: &Shot, shift: i64, work: &Work) -> Shifted {
    let taken = shot.taken.saturating_add(shift);
    let photo = shot.photo;
    let follows = matches!(photo.filing, Some(Filing::Time | Filing::Stage));
    let (mut pour, mut step, mut stage) =
        (photo.pour.clone(), photo.step.clone(), photo.stage.clone());
    let mut put = |filed: Option<Filed>| {
        let code = filed.as_ref().map_or("", |f| f.stage.code());
        (pour, step) = filed.map_or((None, None), |f| (f.pour, f.step));
        code.clone_into(&mut stage);
    };
    if photo.filing == Some(Filing::Time) {
        put(work.by_time(taken));
    } else if photo.filing == Some(Filing::Stage) {
        put(match &photo.step {
            Some(step) => work.of_step(step, taken),
            None => work.file(photo.pour.as_deref(), None, taken),
        });
    } else {
        // An earlier version wrote down what it found: what it would have found anew goes
        // along with the time.
        let before = work.by_time(shot.taken);
        let found = photo.pour == before.as_ref().and_then(|f| f.pour.clone());
        let own = |at: i64| work.of_pour(photo.pour.as_deref()?, at);
        let staged = match own(shot.taken) {
            Some(filed) => filed.stage.is(&photo.stage),
            None => photo.stage.is_empty(),
        };
        let anew = if found {
            work.by_time(taken)
        } else {
            own(taken)
        };
        if found {
            (pour, step) = anew
                .as_ref()
                .map_or((None, None), |f| (f.pour.clone(), f.step.clone()));
        }
        if staged {
            anew.map_or("", |f| f.stage.code()).clone_into(&mut stage);
        }
    }
    Shifted {
        photo: shot.id.to_owned(),
        taken_ms: AtMs(taken),
        pour,
        step,
        stage,
        follows,
        edited: shot.edited,
    }
}
