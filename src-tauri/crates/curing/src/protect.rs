//! What can still be done for a pour: against frost, and for a longer texture window.
//!
//! Each measure is tried in the engine: the pour is predicted again with the cover on or
//! in the shade, and only what helps is named. Limits for placing in cold and heat are in
//! [`crate::placing`]. Retarders and hot water are their makers' business.

use crate::facts::{Happening, PourFacts, Seen};
use crate::milestone::MilestoneKind;
use crate::predict::{FROST_MPA, predict_with};
use crate::prediction::{NotYet, Prediction};
use crate::units::AtMs;
use serde::{Deserialize, Serialize};

/// Members of each trial.
const MEMBERS: usize = 24;
/// The edge counts as frozen from this, °C: the model is no better.
const NEAR_FROST_C: f64 = 1.0;
/// A gain of the window below this is none, minutes.
const WORTH_MIN: f64 = 10.0;

/// What to do about frost.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Protection {
    /// It is strong enough before the edge gets near freezing.
    None,
    /// A sheet or blanket over it is enough, from the end of work until it is strong.
    Cover,
    /// A cover is not enough: insulate thickly and keep it warm, or wait with the pour.
    Heat,
}

/// Hours to frost against hours to strength.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct FrostOutlook {
    /// From when it stands one freezing, cautiously; none beyond 28 days.
    pub stands_frost: Option<AtMs>,
    /// When the unprotected edge first comes near freezing before that.
    pub edge_freezes: Option<AtMs>,
    /// What to do.
    pub protection: Protection,
    /// Until when a protection has to stay; as `stands_frost`, with the protection on.
    pub keep_until: Option<AtMs>,
}

/// When it can stand frost, whether frost comes before, and what protects it.
///
/// # Errors
/// As [`crate::predict::predict`].
pub fn against_frost(facts: &PourFacts) -> Result<FrostOutlook, NotYet> {
    let bare = predict_with(facts, MEMBERS)?;
    if bare.curve.is_empty() {
        // Without the air's temperature nobody knows whether it freezes.
        return Err(NotYet::NoTemperature);
    }
    let stands_frost = strong(&bare);
    let edge_freezes = freezes(&bare);
    let mut outlook = FrostOutlook {
        stands_frost,
        edge_freezes,
        protection: Protection::None,
        keep_until: None,
    };
    if edge_freezes.is_none() {
        return Ok(outlook);
    }
    let covered = predict_with(&with(facts, Seen::Covered), MEMBERS)?;
    outlook.keep_until = strong(&covered);
    outlook.protection = if freezes(&covered).is_none() {
        Protection::Cover
    } else {
        Protection::Heat
    };
    Ok(outlook)
}

fn strong(p: &Prediction) -> Option<AtMs> {
    p.curve
        .iter()
        .find(|c| c.low_mpa >= FROST_MPA)
        .map(|c| c.at)
}

fn freezes(p: &Prediction) -> Option<AtMs> {
    p.curve
        .iter()
        .take_while(|c| c.low_mpa < FROST_MPA)
        .find(|c| c.edge_c < NEAR_FROST_C)
        .map(|c| c.at)
}

/// The pour with something done right after screeding.
fn with(facts: &PourFacts, what: Seen) -> PourFacts {
    let mut f = facts.clone();
    f.happened.push(Happening::new(f.finished, what));
    f
}

/// What shade and a windbreak would do to the texture window.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ShadeHelps {
    /// Likely length of the window as things are, minutes.
    pub minutes: f64,
    /// Likely length with shade and a windbreak from the end of screeding.
    pub shaded_minutes: f64,
    /// How much later it closes, minutes.
    pub later_minutes: f64,
}

/// Whether shade and a windbreak give more time for the texture; none if they do not.
///
/// # Errors
/// As [`crate::predict::predict`].
pub fn for_the_window(facts: &PourFacts) -> Result<Option<ShadeHelps>, NotYet> {
    let window = |p: &Prediction| {
        let t = p
            .milestones
            .iter()
            .find(|m| m.kind == MilestoneKind::Texture)?;
        Some((t.opens.likely?, t.closes?.likely?))
    };
    let bare = predict_with(facts, MEMBERS)?;
    let shaded = predict_with(&with(facts, Seen::Shaded), MEMBERS)?;
    let (Some(a), Some(b)) = (window(&bare), window(&shaded)) else {
        return Ok(None);
    };
    let minutes = |from: AtMs, to: AtMs| to.hours_since(from).value() * 60.0;
    let helps = ShadeHelps {
        minutes: minutes(a.0, a.1),
        shaded_minutes: minutes(b.0, b.1),
        later_minutes: minutes(a.1, b.1),
    };
    let worth =
        helps.shaded_minutes - helps.minutes >= WORTH_MIN || helps.later_minutes >= WORTH_MIN;
    Ok(worth.then_some(helps))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::{DayRange, Sky};
    use crate::plain::plain_step;
    use crate::units::{Celsius, Hours, KmH, Percent};

    /// 2026-10-10T08:00Z.
    const START: AtMs = AtMs(1_791_619_200_000);

    fn pour(low: f64, high: f64, sky: Sky) -> PourFacts {
        let mut f = plain_step(START);
        f.place = Some((45.0, 0.0));
        f.finished = START.plus(Hours(0.75));
        f.days = (-1..30)
            .map(|d| DayRange {
                day_start: START.plus(Hours(f64::from(d) * 24.0 - 8.0)),
                min: Celsius(low),
                max: Celsius(high),
                rh: Some(Percent(60.0)),
                wind: Some(KmH(12.0)),
                sky: Some(sky),
            })
            .collect();
        f
    }

    #[test]
    fn protection_grows_with_the_cold() {
        let mut last = Protection::None;
        let mut kinds = Vec::new();
        for low in [8.0, 3.0, 0.0, -2.0, -5.0, -9.0] {
            let o = against_frost(&pour(low, low + 7.0, Sky::Overcast)).unwrap();
            assert!(o.protection >= last, "{low} {o:?}");
            assert_eq!(o.edge_freezes.is_some(), o.protection != Protection::None);
            last = o.protection;
            kinds.push(o.protection);
        }
        kinds.dedup();
        assert_eq!(
            kinds,
            [Protection::None, Protection::Cover, Protection::Heat]
        );
    }

    /// Usually less than 24 h at normal temperature to stand one freezing (PCA, Cold-Weather
    /// Concreting); cautiously we say up to two days.
    #[test]
    fn a_warm_step_stands_frost_soon() {
        let o = against_frost(&pour(16.0, 24.0, Sky::Broken)).unwrap();
        let hours = o.stands_frost.unwrap().hours_since(START).value();
        assert!((12.0..48.0).contains(&hours), "{hours}");
        assert_eq!(o.protection, Protection::None);
    }

    #[test]
    fn shade_helps_where_the_sun_is() {
        let sunny = for_the_window(&pour(18.0, 31.0, Sky::Sun))
            .unwrap()
            .unwrap();
        assert!(sunny.later_minutes > 10.0, "{sunny:?}");
        assert_eq!(
            for_the_window(&plain_step(START)),
            Err(NotYet::NoTemperature)
        );
    }
}
