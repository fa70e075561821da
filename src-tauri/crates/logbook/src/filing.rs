//! To which pour, and to which stage of its work, a photo belongs by its time.
//!
//! A pure rule over the times in the log, the same on every device: [`file_under`]. It
//! proposes; a person may file the photo elsewhere. It does not look at the picture. The
//! time of a photo is worked out by the hub when the photo comes in; clocks that seem wrong
//! are found in `crate::view::clocks`.

use crate::book::Folded;
use crate::facts::{Observed, Pour};

/// How long before a pour a photo shows its preparation, in milliseconds (common practice,
/// no source).
pub const BEFORE_MS: i64 = 3 * HOUR;
/// How long after a pour a photo is still filed with it, in milliseconds (common practice,
/// no source).
pub const AFTER_MS: i64 = 60 * 24 * HOUR;
/// Between screeding and the texture when neither texture nor set is logged: the surface
/// takes a texture from about an hour on (common practice, no source).
const WET_MS: i64 = HOUR;
/// Placing takes this long when its end is not logged.
const PLACING_MS: i64 = HOUR;
/// Final set when it is not logged: ASTM C403 final set of ordinary mixes at 23 degC lies
/// near 6 to 8 h (from memory); counted from screeding.
const SET_MS: i64 = 6 * HOUR;
/// The edges are green for about a day after stripping (common practice, no source).
const GREEN_MS: i64 = 24 * HOUR;
/// Curing lasts 7 days after screeding (ACI 308R, ordinary cement above 4 degC; from
/// memory).
const CURING_MS: i64 = 7 * 24 * HOUR;
const HOUR: i64 = 3_600_000;

/// The times of one pour, in milliseconds since 1970 (UTC); what is not logged is
/// `None`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PourSpan {
    /// Id of the pour.
    pub pour: String,
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

/// Stage of work that a photo shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Form, liner and mesh before the concrete.
    Before,
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
            Self::Before => "prepare",
            Self::Placing | Self::Wet => "fresh",
            Self::Texture => "texture",
            Self::Set => "setting",
            Self::Stripped => "form_off",
            Self::Dressed => "curing",
            Self::Later => "usable",
        }
    }
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

    /// The stage at an instant at or after the start. Later marks beat earlier ones, so
    /// times logged out of order do no harm.
    fn stage(&self, at: i64) -> Stage {
        let over = |t: Option<i64>| t.is_some_and(|t| at >= t);
        if at >= self.finished().saturating_add(CURING_MS) {
            Stage::Later
        } else if over(self.dressed_ms)
            || over(self.form_off_ms.map(|t| t.saturating_add(GREEN_MS)))
        {
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

/// The times of every pour, as the log has them.
pub(crate) fn spans(sum: &Folded) -> Vec<PourSpan> {
    let span = |(id, pour): (&str, &Pour)| {
        let first = |wanted: fn(Observed) -> bool| {
            let seen = sum.observations(id).filter(|o| wanted(o.what));
            seen.map(|o| o.at_ms.0).min()
        };
        PourSpan {
            pour: id.to_owned(),
            started_ms: pour.started_ms.0,
            finished_ms: pour.finished_ms.map(|at| at.0),
            textured_ms: first(|o| o == Observed::Textured),
            set_ms: first(|o| o == Observed::ThumbNone),
            form_off_ms: sum.stripped_at(id).map(|at| at.0),
            dressed_ms: first(|o| matches!(o, Observed::DressedEasily | Observed::DressedHard)),
        }
    };
    sum.pours().map(span).collect()
}

/// The pour and stage of a photo taken at `at_ms`; `None` if no pour is near enough.
///
/// A photo belongs to the pour that had begun last before it was taken, for up to 60 days.
/// In the three hours before a pour begins it shows the empty form of that pour rather
/// than the one before, unless the one before has not set: then it belongs to the work in
/// hand. The order of `pours` does not matter; of two that began in the same millisecond the
/// smaller id is taken.
///
/// ```
/// use slowstone_logbook::filing::{PourSpan, Stage, file_under};
/// let pour = PourSpan { pour: "pour-0001".into(), started_ms: 0, ..PourSpan::default() };
/// let filed = |minutes: i64| file_under(std::slice::from_ref(&pour), minutes * 60_000);
/// assert_eq!(filed(-30), Some(("pour-0001".into(), Stage::Before)));
/// assert_eq!(filed(30), Some(("pour-0001".into(), Stage::Placing)));
/// assert_eq!(filed(-600), None);
/// ```
#[must_use]
pub fn file_under(pours: &[PourSpan], at_ms: i64) -> Option<(String, Stage)> {
    let last = pours
        .iter()
        .filter(|p| p.started_ms <= at_ms && at_ms.saturating_sub(p.started_ms) <= AFTER_MS)
        .max_by(|a, b| {
            a.started_ms
                .cmp(&b.started_ms)
                .then_with(|| b.pour.cmp(&a.pour))
        });
    let next = pours
        .iter()
        .filter(|p| p.started_ms > at_ms && p.started_ms.saturating_sub(at_ms) <= BEFORE_MS)
        .min_by(|a, b| {
            a.started_ms
                .cmp(&b.started_ms)
                .then_with(|| a.pour.cmp(&b.pour))
        });
    let in_hand = last.filter(|p| at_ms < p.set());
    match (in_hand, next, last) {
        (Some(p), ..) | (None, None, Some(p)) => Some((p.pour.clone(), p.stage(at_ms))),
        (None, Some(p), _) => Some((p.pour.clone(), Stage::Before)),
        (None, None, None) => None,
    }
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
        file_under(pours, T + (hours * 3_600_000.0) as i64)
    }

    #[test]
    fn every_stage_of_a_logged_pour() {
        for (hours, wanted) in [
            (-3.0, Stage::Before),
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
        assert_eq!(stage(&two, 22.0), Some(("b".into(), Stage::Before)));
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
        assert_eq!(file_under(&pours, T), file_under(&turned, T));
        let wild = [pour("x", i64::MIN), pour("y", i64::MAX)];
        for at in [i64::MIN, 0, i64::MAX] {
            let _ = file_under(&wild, at);
        }
        assert_eq!(file_under(&wild, 0), None);
        assert_eq!(file_under(&wild, i64::MAX).unwrap().0, "y");
    }
}
