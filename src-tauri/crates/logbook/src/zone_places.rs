//! Where the time zones of the world lie: the coordinates that the tz database states.
//!
//! They stand for the place of a site until somebody says it, because every phone knows its
//! zone. A zone may be wide, so that its coordinates serve for the sun and no more. The table
//! is `zone_places.tsv`, made by `ui/scripts/places.py`; rules of clocks are in
//! [`crate::zones`].

/// Name, latitude north and longitude east, by tabs; lines with # tell the source.
const TABLE: &str = include_str!("zone_places.tsv");

/// Latitude north and longitude east of a zone's principal town, degrees; none for zones that
/// are no place, such as `UTC` or `Etc/GMT+5`.
///
/// ```
/// use slowstone_logbook::zone_places::place_of;
/// assert_eq!(place_of("Australia/Sydney"), Some((-33.87, 151.22)));
/// // The older name of Asia/Kolkata, which some browsers still say.
/// assert_eq!(place_of("Asia/Calcutta"), place_of("Asia/Kolkata"));
/// assert_eq!(place_of("Etc/UTC"), None);
/// ```
#[must_use]
pub fn place_of(tz: &str) -> Option<(f64, f64)> {
    TABLE.lines().find_map(|line| {
        let mut cells = line.split('\t');
        if cells.next()? != tz {
            return None;
        }
        Some((cells.next()?.parse().ok()?, cells.next()?.parse().ok()?))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_is_a_place_on_the_earth() {
        let mut rows = 0;
        for line in TABLE.lines().filter(|l| !l.starts_with('#')) {
            let name = line.split('\t').next().unwrap();
            let (lat, lon) = place_of(name).unwrap();
            assert!(lat.abs() <= 90.0 && lon.abs() <= 180.0, "{line}");
            rows += 1;
        }
        // zone.tab of 2025b has 418 zones; older names come on top.
        assert!(rows >= 418, "{rows}");
    }
}
