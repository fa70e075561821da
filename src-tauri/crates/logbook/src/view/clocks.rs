//! Cameras whose clock seems wrong, and by how much: one shift for all their photos.
//!
//! A single odd time says little, so that several photos of one camera must point to the
//! same shift. Evidence, the best first: photos that arrived as soon as they were taken,
//! always by the same time late or early ([`ClockWhy::Arrival`]); photos dated after they
//! had arrived ([`ClockWhy::Ahead`]); photos that people filed under a pour and a stage to
//! which their times fit only when shifted ([`ClockWhy::Work`]). Nothing is changed here: a
//! shift is only offered, and logged as corrections when somebody accepts it.

use crate::book::Folded;
use crate::facts::{Fact, Photo, TimeSource};
use crate::filing::{PourSpan, file_under, spans};
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
    /// The stage: as people said, or by the new time.
    pub stage: String,
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
    let pours = spans(sum);
    let mut shots = Vec::new();
    for (id, entry) in sum.entries.iter() {
        if let Fact::Photo(photo) = &entry.fact
            && photo.time_source != TimeSource::Arrival
            && !photo.camera.is_empty()
        {
            let (taken, arrived) = (photo.taken_ms.0, entry.at_ms.0);
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
    let cameras = shots.chunk_by(|a, b| a.photo.camera == b.photo.camera);
    let found = cameras.filter_map(|shots| {
        let (why, shift, proofs) = by_arrival(shots)
            .or_else(|| by_being_ahead(shots))
            .or_else(|| by_work(shots, &pours))?;
        let photos = batch(shots, shift, &proofs)
            .map(|s| shifted(s, shift, &pours))
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
fn by_work<'a>(shots: &[Shot<'a>], pours: &[PourSpan]) -> Option<Found<'a>> {
    let fits = |s: &&Shot, shift: i64| {
        let own = s.photo.pour.as_ref()?;
        let own: Vec<PourSpan> = pours.iter().filter(|p| p.pour == *own).cloned().collect();
        let (_, stage) = file_under(&own, s.taken.saturating_add(shift))?;
        (stage.code() == s.photo.stage).then_some(())
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
        .flat_map(|s| pours.iter().map(move |p| (s, p)))
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
/// clock that are not dated after their arrival by it.
fn batch<'a>(
    shots: &'a [Shot<'a>],
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
        proves(s) || (may && (from..=to).contains(&s.taken))
    })
}

/// What a photo says once shifted. Where people said something else than its time did,
/// that stands.
fn shifted(shot: &Shot, shift: i64, pours: &[PourSpan]) -> Shifted {
    let taken = shot.taken.saturating_add(shift);
    let by_time = |at: i64, of: &[PourSpan]| match file_under(of, at) {
        Some((pour, stage)) => (Some(pour), stage.code().to_owned()),
        None => (None, String::new()),
    };
    let before = by_time(shot.taken, pours);
    let pour = if shot.photo.pour == before.0 {
        by_time(taken, pours).0
    } else {
        shot.photo.pour.clone()
    };
    let of = |pour: &Option<String>| -> Vec<PourSpan> {
        let own = pours.iter().filter(|p| Some(&p.pour) == pour.as_ref());
        own.cloned().collect()
    };
    let stage = if shot.photo.stage == by_time(shot.taken, &of(&shot.photo.pour)).1 {
        by_time(taken, &of(&pour)).1
    } else {
        shot.photo.stage.clone()
    };
    Shifted {
        photo: shot.id.to_owned(),
        taken_ms: AtMs(taken),
        pour,
        stage,
        edited: shot.edited,
    }
}
