//! How cold and how hot concrete may be as it is placed.
//!
//! For a thermometer stuck into fresh concrete. That the limits are passed is a warning of
//! [`crate::predict`]; what protects a pour afterwards is in [`crate::protect`].

use crate::units::{Celsius, Metres};

/// Least and most temperature of concrete as placed, for a section of this thickness.
///
/// Source: ACI 306R-88 table 3.1 in cold weather (below 300 mm 13 °C, to 900 mm 10, to
/// 1800 mm 7, above 5; from memory); 35 °C at most (ACI 305, BS 8500; the latter as quoted
/// by the NHBC).
#[must_use]
pub fn limits(thickness: Metres) -> (Celsius, Celsius) {
    let least = match thickness.0 {
        t if t < 0.3 => 13.0,
        t if t < 0.9 => 10.0,
        t if t < 1.8 => 7.0,
        _ => 5.0,
    };
    (Celsius(least), Celsius(35.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thin_sections_want_warmer_concrete() {
        assert_eq!(limits(Metres(0.15)), (Celsius(13.0), Celsius(35.0)));
        assert_eq!(limits(Metres(2.0)).0, Celsius(5.0));
    }
}
