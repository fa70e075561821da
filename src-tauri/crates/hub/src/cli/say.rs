//! Numbers, sizes and times as the commands print them. Times are UTC and say so: the
//! commands know no site and so no time zone.
//! Nothing is read or printed here.

use chrono::{DateTime, Utc};
use std::path::Path;

/// `1 photo`, `2 photos`.
pub fn count(n: u64, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// A number of bytes in kB, MB or GB (thousands, as disks are sold).
pub fn size(bytes: u64) -> String {
    let tenth = |unit: u64| {
        let tenths = (bytes.saturating_add(unit / 20)) / (unit / 10);
        format!("{}.{}", tenths / 10, tenths % 10)
    };
    match bytes {
        0..1_000 => count(bytes, "byte", "bytes"),
        1_000..999_950 => format!("{} kB", tenth(1_000)),
        999_950..999_950_000 => format!("{} MB", tenth(1_000_000)),
        _ => format!("{} GB", tenth(1_000_000_000)),
    }
}

/// The day of an instant in milliseconds since 1970.
pub fn day(ms: i64) -> String {
    DateTime::<Utc>::from_timestamp_millis(ms).map_or_else(
        || format!("{ms} ms since 1970"),
        |at| at.format("%Y-%m-%d").to_string(),
    )
}

/// An instant in milliseconds since 1970, to the minute.
pub fn moment(ms: i64) -> String {
    DateTime::<Utc>::from_timestamp_millis(ms).map_or_else(
        || format!("{ms} ms since 1970"),
        |at| at.format("%Y-%m-%d %H:%M UTC").to_string(),
    )
}

/// A path as it can be typed into a shell.
pub fn argument(path: &Path) -> String {
    let text = path.display().to_string();
    let plain = |c: char| c.is_alphanumeric() || "/._-+,:@%=\\".contains(c);
    if !text.is_empty() && text.chars().all(plain) {
        return text;
    }
    format!("'{}'", text.replace('\'', r"'\''"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_rounded_and_never_reach_the_next_unit() {
        for (bytes, text) in [
            (0, "0 bytes"),
            (1, "1 byte"),
            (999, "999 bytes"),
            (1_000, "1.0 kB"),
            (1_049, "1.0 kB"),
            (1_050, "1.1 kB"),
            (999_949, "999.9 kB"),
            (999_950, "1.0 MB"),
            (61_234_567, "61.2 MB"),
            (20_000_000_000, "20.0 GB"),
        ] {
            assert_eq!(size(bytes), text);
        }
        assert!(size(u64::MAX).ends_with(" GB"));
    }

    #[test]
    fn instants_and_paths() {
        // `date -u -d @1791021600`
        assert_eq!(moment(1_791_021_600_000), "2026-10-03 10:00 UTC");
        assert_eq!(moment(i64::MAX), format!("{} ms since 1970", i64::MAX));
        assert_eq!(argument(Path::new("/srv/site-1")), "/srv/site-1");
        assert_eq!(argument(Path::new("it's here")), r"'it'\''s here'");
    }
}
