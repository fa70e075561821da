//! What of the sun and of the sky reaches a piece, and how sure that is.
//!
//! A sky that somebody noted holds for some hours and fades to what is foretold for the
//! day, and where nothing is, to what any day may be; what is unsure grows with it. Shade
//! comes from what stands beside the piece and stays. Sun and radiation of the sky
//! themselves are in [`crate::sun`] and [`crate::heat::sky`].

use super::nearest::Nearest;
use crate::facts::Sky;

/// A noted sky says something of the next hours, about this many (judgement: clouds of a
/// passing front).
const NOTED_H: f64 = 8.0;
/// One that is foretold holds for its day.
const DAY_H: f64 = 12.0;

/// The sky over a piece at one instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct SkyAt {
    /// Of clear-sky irradiance, the share that reaches the piece.
    pub sun: f64,
    /// Standard deviation of its logarithm.
    pub sun_sd: f64,
    /// Share of the sky under cloud.
    pub cloud: f64,
    /// Share of what the piece looks up to that is sky.
    pub view: f64,
}

/// Any day: half clouded, and as unsure as between an overcast and a clear one. Little sun
/// on the mean, because warmth that is not there must not make concrete look strong.
const ANY: SkyAt = SkyAt {
    sun: 0.45,
    sun_sd: 0.5,
    cloud: 0.5,
    view: OPEN,
};
/// What a step in a bank sees of the sky, and one in shade (judgement, no source).
const OPEN: f64 = 0.75;
const SHADED: f64 = 0.35;

impl SkyAt {
    /// As somebody called it.
    ///
    /// Overcast after Kasten and Czeplak 1980, 1 - 0.75 N^3.4 (from memory); the others and
    /// the spread common practice, no source.
    pub(crate) fn of(sky: Sky) -> SkyAt {
        let (sun, cloud, view) = match sky {
            Sky::Sun => (1.0, 0.1, OPEN),
            Sky::Broken => (0.6, 0.5, OPEN),
            Sky::Overcast => (0.25, 1.0, OPEN),
            Sky::Shade => (0.15, 0.5, SHADED),
        };
        SkyAt {
            sun,
            sun_sd: 0.25,
            cloud,
            view,
        }
    }

    /// Between this one and another.
    fn towards(self, other: SkyAt, share: f64) -> SkyAt {
        let mix = |a: f64, b: f64| a + (b - a) * share;
        SkyAt {
            sun: mix(self.sun, other.sun),
            sun_sd: mix(self.sun_sd, other.sun_sd),
            cloud: mix(self.cloud, other.cloud),
            view: mix(self.view, other.view),
        }
    }
}

/// The sky `h` hours after the start, by what was noted on the site and what is foretold.
pub(super) fn at(h: f64, noted: &Nearest<Sky>, foretold: &Nearest<Sky>) -> SkyAt {
    let fades = |away: f64| 1.0 - libm::exp(-away.max(0.0) / NOTED_H);
    let beneath = foretold.with_distance(h).map_or(ANY, |(sky, away)| {
        SkyAt::of(sky).towards(ANY, fades(away - DAY_H))
    });
    match noted.with_distance(h) {
        Some((Sky::Shade, _)) => SkyAt::of(Sky::Shade),
        Some((sky, away)) => SkyAt::of(sky).towards(beneath, fades(away)),
        None => beneath,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A clear morning is no clear week: what was noted once fades to what is foretold, or
    /// to any day, and gets less sure.
    #[test]
    fn a_sky_that_was_noted_once_fades() {
        let noted = Nearest::of(vec![(0.0, Sky::Sun)]);
        let none = Nearest::default();
        let alone = |h| at(h, &noted, &none);
        assert_eq!(alone(0.0), SkyAt::of(Sky::Sun));
        let (noon, later) = (alone(5.0), alone(48.0));
        assert!(later.sun < noon.sun && noon.sun < 1.0, "{noon:?} {later:?}");
        assert!(later.sun_sd > noon.sun_sd && later.cloud > noon.cloud);
        assert!((alone(96.0).sun - ANY.sun).abs() < 0.01);
        let dull = Nearest::of(
            (0..5)
                .map(|d| (24.0 * f64::from(d) + 5.0, Sky::Overcast))
                .collect(),
        );
        let told = at(77.0, &noted, &dull);
        assert!(
            (told.sun - 0.25).abs() < 0.01 && (told.cloud - 1.0).abs() < 0.01,
            "{told:?}"
        );
        // A wall stays where it is.
        let shade = Nearest::of(vec![(0.0, Sky::Shade)]);
        assert_eq!(at(96.0, &shade, &none), SkyAt::of(Sky::Shade));
    }
}
