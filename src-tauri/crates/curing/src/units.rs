//! Units as types: a number that knows what it measures.
//!
//! Each unit is a transparent newtype over `f64` (or `i64` for an instant), so a
//! temperature cannot be passed where hours are meant. JSON carries the bare number and
//! the *field name* carries the unit (`temp_c`, `at_ms`). No parsing of what people type
//! lives here; see `ui/src/lib/units.ts` for that.

use serde::{Deserialize, Serialize};

macro_rules! unit {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[cfg_attr(feature = "ts", derive(ts_rs::TS))]
        #[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
        #[serde(transparent)]
        pub struct $name(pub f64);

        impl $name {
            /// The bare number, in the unit that the type names.
            #[must_use]
            pub const fn value(self) -> f64 {
                self.0
            }
        }
        impl core::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl core::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl core::ops::Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
    };
}

unit!(
    /// Degrees Celsius.
    Celsius
);
unit!(
    /// Hours (3600 s).
    Hours
);
unit!(
    /// Days (24 h).
    Days
);
unit!(
    /// Megapascals (N/mm²).
    Mpa
);
unit!(
    /// Kilopascals.
    Kpa
);
unit!(
    /// Metres.
    Metres
);
unit!(
    /// Kilograms.
    Kg
);
unit!(
    /// Litres.
    Litres
);
unit!(
    /// Kilometres an hour.
    KmH
);
unit!(
    /// Per cent.
    Percent
);
unit!(
    /// Joules per mole (activation energy).
    JPerMol
);
unit!(
    /// Kilograms per square metre and hour (evaporation).
    KgM2H
);

/// An instant: milliseconds since 1970-01-01T00:00:00Z.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct AtMs(#[cfg_attr(feature = "ts", ts(type = "number"))] pub i64);

impl AtMs {
    /// Where the calendar of the log begins, 1900-01-01: no clock on a site shows less, not
    /// even one that was never set (`date -u -d @-2208988800`).
    pub const FIRST: AtMs = AtMs(-2_208_988_800_000);
    /// Where the calendar of the log ends, 2200-01-01 (`date -u -d @7258118400`).
    pub const LAST: AtMs = AtMs(7_258_118_400_000);

    /// Whether the instant lies after [`AtMs::FIRST`] and before [`AtMs::LAST`]: then every
    /// date can be written and every sum of such times is far from overflowing.
    #[must_use]
    pub fn in_calendar(self) -> bool {
        Self::FIRST < self && self < Self::LAST
    }
    /// Hours from `earlier` to `self` (negative when `self` comes first).
    #[must_use]
    pub fn hours_since(self, earlier: AtMs) -> Hours {
        Hours(self.0.saturating_sub(earlier.0) as f64 / 3_600_000.0)
    }
    /// The instant `hours` later; saturates at the ends of time, and NaN adds nothing.
    #[must_use]
    pub fn plus(self, hours: Hours) -> AtMs {
        AtMs(self.0.saturating_add((hours.0 * 3_600_000.0) as i64))
    }
}

impl Hours {
    /// The same span in days.
    #[must_use]
    pub fn days(self) -> Days {
        Days(self.0 / 24.0)
    }
}

impl Celsius {
    /// Kelvin.
    #[must_use]
    pub fn kelvin(self) -> f64 {
        self.0 + 273.15
    }
}
