//! When a certificate is made anew while the hub runs, and how long one holds.
//!
//! The hub's clock may be wrong and may jump, so it is not believed blindly: a certificate
//! reaches far back, that phones with a right clock take it even if the hub's runs ahead, and a
//! clock that shows a time before the authority was made changes nothing. Pure: `now` is given.
//! Making certificates: [`super::authority`]; showing them: [`super::doors`].

use time::{Duration, OffsetDateTime};

/// How long a certificate of the hub lasts from now on.
const LEAF: Duration = Duration::days(90);

/// It is made anew when so much is left of it.
const LEFT: Duration = Duration::days(30);

/// How far a certificate reaches back, at most. With [`LEAF`] that is less than the 825 days
/// that phones take of one that a user trusts (Apple, "Requirements for trusted certificates in
/// iOS 13 and macOS 10.15").
const BACK: Duration = Duration::days(700);

/// What is said of an authority with less left than this: all phones have to be set up again,
/// and people want to choose when.
const AUTHORITY_LEFT: Duration = Duration::days(365);

/// What is less than this is not worth a new certificate.
const WORTH: Duration = Duration::days(1);

/// From when until when something holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// From when.
    pub from: OffsetDateTime,
    /// Until when.
    pub until: OffsetDateTime,
}

/// What somebody has to see to about the certificate.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Warning {
    /// The local authority has less than a year left, or has ended.
    #[error(
        "the certificate that phones trust ends on {0}. Before that: stop the hub, take the folder \"trust\" out of its data folder, start it, and add every phone again"
    )]
    AuthorityEnds(time::Date),
    /// The clock of this computer shows a time before the authority was made.
    #[error(
        "this computer's clock is wrong: it shows a day before {0}, when the certificate was made. Set it"
    )]
    ClockBehind(time::Date),
    /// The files of somebody's own changed and cannot be used.
    #[error(
        "the new certificate files cannot be used ({0}). The certificate from before is shown until they can"
    )]
    FilesBroken(String),
    /// The certificate in the files of somebody's own ends soon, or has ended.
    #[error(
        "the certificate that was named with --tls-cert ends on {0}. Put a new one in its place; the hub takes it up by itself"
    )]
    FilesEnd(time::Date),
}

impl Warning {
    /// The code for programs, and the value that its words need.
    #[must_use]
    pub fn code(&self) -> (&'static str, String) {
        match self {
            Self::AuthorityEnds(day) => ("authority_ends", day.to_string()),
            Self::ClockBehind(day) => ("clock_behind", day.to_string()),
            Self::FilesBroken(why) => ("files_broken", why.clone()),
            Self::FilesEnd(day) => ("files_end", day.to_string()),
        }
    }
}

/// The certificate that phones are shown, as people are told of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Certificate {
    /// Until when it holds, in milliseconds since 1970.
    pub until_ms: i64,
    /// The same of the local authority; none with own files.
    pub authority_until_ms: Option<i64>,
    /// What has to be seen to.
    pub warning: Option<Warning>,
}

/// An instant in milliseconds since 1970.
#[must_use]
pub fn millis(at: OffsetDateTime) -> i64 {
    at.unix_timestamp().saturating_mul(1000)
}

/// What a clock in milliseconds since 1970 shows, within the years that a certificate can name.
#[must_use]
pub fn instant(ms: i64) -> OffsetDateTime {
    // From 1970 to 9000.
    let seconds = (ms / 1000).clamp(0, 221_845_392_000);
    OffsetDateTime::from_unix_timestamp(seconds).unwrap_or(OffsetDateTime::UNIX_EPOCH)
}

/// How long a certificate lasts that is made now by an authority that lasts so long.
#[must_use]
pub fn lasting(now: OffsetDateTime, authority: Span) -> Span {
    let until = if now < authority.from {
        // The true time is unknown, but not before that.
        authority.from + BACK + LEAF
    } else {
        now + LEAF
    };
    let until = until.min(authority.until);
    Span {
        from: authority.from.max(until - BACK - LEAF),
        until,
    }
}

/// Whether one is to be made anew.
#[must_use]
pub fn is_due(now: OffsetDateTime, shown: Span, authority: Span) -> bool {
    if now < authority.from {
        return false;
    }
    let gained = lasting(now, authority).until - shown.until;
    now < shown.from || (shown.until - now <= LEFT && gained >= WORTH)
}

/// What is to be said of the authority.
#[must_use]
pub fn of_authority(now: OffsetDateTime, authority: Span) -> Option<Warning> {
    if now < authority.from {
        return Some(Warning::ClockBehind(authority.from.date()));
    }
    (authority.until - now <= AUTHORITY_LEFT)
        .then(|| Warning::AuthorityEnds(authority.until.date()))
}

/// What is to be said of a certificate from files.
#[must_use]
pub fn of_files(now: OffsetDateTime, shown: Span) -> Option<Warning> {
    (shown.until - now <= LEFT).then(|| Warning::FilesEnd(shown.until.date()))
}

#[cfg(test)]
mod tests {
    use super::*;

    const DAY: Duration = Duration::DAY;

    fn made() -> OffsetDateTime {
        // 2026-10-03 by `date -u -d 2026-10-03 +%s`.
        instant(1_790_985_600_000)
    }

    fn authority() -> Span {
        Span {
            from: made() - DAY * 2,
            until: made() + DAY * 3650,
        }
    }

    #[test]
    fn a_certificate_is_renewed_in_time_and_once() {
        let shown = lasting(made(), authority());
        assert_eq!(shown.until, made() + DAY * 90);
        for day in 0..60 {
            assert!(!is_due(made() + DAY * day, shown, authority()), "{day}");
        }
        let later = made() + DAY * 60;
        assert!(is_due(later, shown, authority()));
        assert!(!is_due(later, lasting(later, authority()), authority()));
    }

    #[test]
    fn phones_never_see_one_of_more_days_than_they_take() {
        for day in [-4000, -3, 0, 1, 800, 3000, 3600, 3700, 9000] {
            let span = lasting(made() + DAY * day, authority());
            assert!(span.until - span.from <= DAY * 825, "{day}: {span:?}");
            assert!(span.from < span.until, "{day}: {span:?}");
            assert!(
                span.from >= authority().from && span.until <= authority().until,
                "{day}: {span:?}"
            );
        }
    }

    #[test]
    fn a_clock_that_ran_ahead_leaves_a_certificate_that_holds_now() {
        for ahead in [1, 90, 400, 690] {
            let then = lasting(made() + DAY * ahead, authority());
            assert!(then.from <= made() && made() < then.until, "{ahead}");
        }
        // Set right after years ahead: what was made meanwhile is not valid yet.
        let then = lasting(made() + DAY * 2000, authority());
        assert!(then.from > made());
        assert!(is_due(made(), then, authority()));
    }

    #[test]
    fn a_clock_that_fell_back_changes_nothing() {
        let shown = lasting(made() + DAY * 100, authority());
        let fallen = instant(0);
        assert!(!is_due(fallen, shown, authority()));
        assert!(matches!(
            of_authority(fallen, authority()),
            Some(Warning::ClockBehind(_))
        ));
        // Started with such a clock: valid from the making of the authority for two years.
        let new = lasting(fallen, authority());
        assert!(new.from <= made() && made() + DAY * 700 < new.until);
    }

    #[test]
    fn the_end_of_the_authority_is_told_a_year_before_and_not_run_into() {
        let near = made() + DAY * 3640;
        let shown = lasting(near, authority());
        assert_eq!(shown.until, authority().until);
        assert!(!is_due(near, shown, authority()), "nothing is gained");
        assert!(matches!(
            of_authority(near, authority()),
            Some(Warning::AuthorityEnds(_))
        ));
        assert_eq!(of_authority(made() + DAY * 3000, authority()), None);
    }

    #[test]
    fn no_clock_is_beyond_the_calendar() {
        for ms in [i64::MIN, -1, 0, i64::MAX] {
            let span = lasting(instant(ms), authority());
            assert!(span.from < span.until, "{ms}");
            let _ = of_authority(instant(ms), authority());
        }
    }
}
