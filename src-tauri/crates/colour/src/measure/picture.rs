//! What of a photo is measured: rectangles, their pixels, and the cards of known colour.
//!
//! Plain data, and what can be said of a single pixel. Measuring is in [`super::measure`].

use crate::profile::Profile;
use crate::space::{Lab, Triple, linear};
use serde::{Deserialize, Serialize};

/// A rectangle of pixels, counted from the top left corner of the picture as displayed;
/// the last column and row are not part of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Rect {
    /// First column.
    pub x0: u32,
    /// First row.
    pub y0: u32,
    /// Column after the last.
    pub x1: u32,
    /// Row after the last.
    pub y1: u32,
}

impl Rect {
    /// Columns.
    #[must_use]
    pub const fn width(self) -> u32 {
        self.x1.saturating_sub(self.x0)
    }

    /// Rows.
    #[must_use]
    pub const fn height(self) -> u32 {
        self.y1.saturating_sub(self.y0)
    }

    /// Pixels.
    #[must_use]
    pub const fn pixels(self) -> usize {
        self.width() as usize * self.height() as usize
    }

    /// The middle, x and y.
    #[must_use]
    pub fn middle(self) -> (f64, f64) {
        let mid = |p: u32, q: u32| (f64::from(p) + f64::from(q)) / 2.0;
        (mid(self.x0, self.x1), mid(self.y0, self.y1))
    }

    /// True if the two have a pixel in common.
    #[must_use]
    pub const fn meets(self, other: Rect) -> bool {
        self.x0 < other.x1 && other.x0 < self.x1 && self.y0 < other.y1 && other.y0 < self.y1
    }
}

/// How finely the levels are known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Depth {
    /// Whole levels out of a decoder, as a browser gives them.
    #[default]
    Whole,
    /// Fractions of levels, computed from the coefficients of the JPEG.
    Fine,
}

/// What is common to all pixels of a photo.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Picture {
    /// Columns of the whole picture as displayed.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Which RGB.
    pub profile: Profile,
    /// How fine the levels are.
    pub depth: Depth,
}

/// The pixels of a rectangle.
#[derive(Clone, Copy, Debug)]
pub struct Region<'a> {
    /// Where.
    pub rect: Rect,
    /// Red, green and blue level, 0 to 255, row by row.
    pub levels: &'a [[f32; 3]],
}

/// A card of known colour in the photo.
#[derive(Clone, Copy, Debug)]
pub struct Reference<'a> {
    /// Its pixels.
    pub region: Region<'a>,
    /// Its colour, D65.
    pub lab: Lab,
    /// Standard uncertainty of its L*, a*, b*; [`super::usual_card_sd`] if not given.
    pub sd: Option<Triple>,
}

/// At or above this level, and at or below the other, a channel is clipped: it could as
/// well be any brighter or darker.
const CLIPPED_FROM: f32 = 253.5;
const CLIPPED_TO: f32 = 0.5;

pub(crate) fn is_clipped(levels: [f32; 3]) -> bool {
    // All black is dark, not clipped; one channel at the end spoils the ratio.
    levels.iter().any(|v| !(*v < CLIPPED_FROM)) || levels.iter().all(|v| *v <= CLIPPED_TO)
}

/// Linear light of a pixel.
pub(crate) fn light_of(levels: [f32; 3]) -> Triple {
    levels.map(|v| linear(f64::from(v)))
}
