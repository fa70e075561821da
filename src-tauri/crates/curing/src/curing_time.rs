//! How many days a surface must be kept from drying: the table of DIN 1045-3.
//!
//! The table is followed as printed, without interpolation. The other conditions for
//! ending curing (7 days, 70 % of the strength) are in [`crate::predict`].

/// Strength development: 2-day over 28-day mean strength at 20 °C, in the table's classes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Development {
    /// r of 0.50 or more.
    Fast,
    /// r of 0.30 or more.
    Medium,
    /// r of 0.15 or more; what bagged concrete has (about 0.26).
    Slow,
    /// r below 0.15.
    VerySlow,
}

impl Development {
    /// The class of a ratio of 2-day to 28-day strength.
    #[must_use]
    pub fn of(r: f64) -> Development {
        if r >= 0.50 {
            Development::Fast
        } else if r >= 0.30 {
            Development::Medium
        } else if r >= 0.15 {
            Development::Slow
        } else {
            Development::VerySlow
        }
    }

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Development::Fast => "fast",
            Development::Medium => "medium",
            Development::Slow => "slow",
            Development::VerySlow => "very slow",
        }
    }
}

/// Least days of curing at a surface temperature. Days below 5 °C do not count: take the
/// last row and add them. A wearing surface needs twice the days.
///
/// Source: DIN 1045-3 / national annex of DIN EN 13670, minimum curing for exposures other
/// than X0, XC1 and XM; four agreeing public copies.
#[must_use]
pub fn table_days(surface_c: f64, development: Development) -> f64 {
    let [fast, medium, slow, very_slow] = if surface_c >= 25.0 {
        [1.0, 2.0, 2.0, 3.0]
    } else if surface_c >= 15.0 {
        [1.0, 2.0, 4.0, 5.0]
    } else if surface_c >= 10.0 {
        [2.0, 4.0, 7.0, 10.0]
    } else {
        [3.0, 6.0, 10.0, 15.0]
    };
    match development {
        Development::Fast => fast,
        Development::Medium => medium,
        Development::Slow => slow,
        Development::VerySlow => very_slow,
    }
}

/// [`table_days`] for a mix that is known only as slow or not: bagged concrete, or one
/// with rapid cement.
#[must_use]
pub fn days(surface_c: f64, slow: bool) -> f64 {
    let development = if slow {
        Development::Slow
    } else {
        Development::Medium
    };
    table_days(surface_c, development)
}
