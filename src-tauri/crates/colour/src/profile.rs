//! Which RGB a photo is in: sRGB, or Display P3 as phones write since about 2017.
//!
//! Display P3 read as sRGB costs more than 2 units of colour difference. [`of_icc`] tells
//! them by the red and green primaries in the ICC profile of the file, not by its name.
//! Other profiles are not read: what they would need is a colour engine.

use crate::space::{Matrix, P3_TO_XYZ, SRGB_TO_XYZ};
use serde::{Deserialize, Serialize};

/// The RGB of the pixels. Both have the same transfer curve.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Profile {
    /// sRGB, and every photo without a profile.
    #[default]
    Srgb,
    /// Display P3.
    DisplayP3,
}

impl Profile {
    /// Linear light of this profile to XYZ, D65.
    #[must_use]
    pub const fn to_xyz(self) -> Matrix {
        match self {
            Profile::Srgb => SRGB_TO_XYZ,
            Profile::DisplayP3 => P3_TO_XYZ,
        }
    }
}

/// Chromaticities (x, y) of red and green under D50, as matrix profiles hold them.
/// Computed from the primaries with the Bradford method.
const SRGB_D50: [(f64, f64); 2] = [(0.6484, 0.3309), (0.3212, 0.5979)];
const P3_D50: [(f64, f64); 2] = [(0.6820, 0.3193), (0.2849, 0.6746)];
/// Less than half of what lies between the two.
const NEAR: f64 = 0.012;

/// The profile that an ICC profile describes, if it is one of the two.
/// Layout: ICC.1:2022, 7.3 (tag table) and 10.31 (XYZType).
#[must_use]
pub fn of_icc(icc: &[u8]) -> Option<Profile> {
    let seen = [primary(icc, b"rXYZ")?, primary(icc, b"gXYZ")?];
    let near = |known: &[(f64, f64); 2]| {
        let mut pairs = known.iter().zip(seen);
        pairs.all(|(k, s)| (k.0 - s.0).abs() < NEAR && (k.1 - s.1).abs() < NEAR)
    };
    if near(&SRGB_D50) {
        Some(Profile::Srgb)
    } else if near(&P3_D50) {
        Some(Profile::DisplayP3)
    } else {
        None
    }
}

/// Chromaticity of one primary.
fn primary(icc: &[u8], tag: &[u8; 4]) -> Option<(f64, f64)> {
    let count = usize::try_from(word(icc, 128)?).ok()?.min(200);
    let entry = (0..count)
        .map(|i| 132 + 12 * i)
        .find(|at| icc.get(*at..at + 4) == Some(tag))?;
    let at = usize::try_from(word(icc, entry + 4)?).ok()?;
    let value = |i: usize| -> Option<f64> {
        let raw = word(icc, at.checked_add(8 + 4 * i)?)?;
        Some(f64::from(raw.cast_signed()) / 65536.0)
    };
    let (x, y, z) = (value(0)?, value(1)?, value(2)?);
    let sum = x + y + z;
    (sum > 0.0).then(|| (x / sum, y / sum))
}

fn word(bytes: &[u8], at: usize) -> Option<u32> {
    let four = bytes.get(at..at.checked_add(4)?)?;
    Some(u32::from_be_bytes(four.try_into().ok()?))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::space::{D65, adapt, times};

    /// A profile with nothing but its primaries.
    fn icc(to_xyz: &Matrix) -> Vec<u8> {
        // White of the profile connection space: ICC.1:2022, 7.2.16.
        let d50 = [0.9642, 1.0, 0.8249];
        let mut out = vec![0; 128];
        out.extend(2_u32.to_be_bytes());
        for (tag, at) in [(b"rXYZ", 156_u32), (b"gXYZ", 176)] {
            out.extend(tag);
            out.extend(at.to_be_bytes());
            out.extend(20_u32.to_be_bytes());
        }
        for one in [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]] {
            out.extend(b"XYZ \0\0\0\0");
            for v in adapt(times(to_xyz, one), D65, d50) {
                out.extend(((v * 65536.0) as i32).to_be_bytes());
            }
        }
        out
    }

    #[test]
    fn the_two_are_told_apart_and_others_are_not_taken_for_them() {
        assert_eq!(of_icc(&icc(&SRGB_TO_XYZ)), Some(Profile::Srgb));
        assert_eq!(of_icc(&icc(&P3_TO_XYZ)), Some(Profile::DisplayP3));
        // Adobe RGB (1998), section 4.3.5.3: same red as sRGB, another green.
        let adobe = [
            [0.57667, 0.18556, 0.18823],
            [0.29734, 0.62736, 0.07529],
            [0.02703, 0.07069, 0.99134],
        ];
        assert_eq!(of_icc(&icc(&adobe)), None);
    }

    #[test]
    fn what_is_no_profile_is_none() {
        let whole = icc(&P3_TO_XYZ);
        for len in 0..whole.len() {
            assert_eq!(of_icc(&whole[..len]), None, "{len}");
        }
        let mut far = whole;
        far[136..140].copy_from_slice(&[0xFF; 4]);
        assert_eq!(of_icc(&far), None);
    }
}
