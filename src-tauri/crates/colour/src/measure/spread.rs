//! How sure a measured colour is, part by part.
//!
//! What the pixels themselves tell comes from a block bootstrap. The other parts are what
//! they cannot tell: levels that were rounded, light that differs between card and patch,
//! the camera's tone curve and colours, the card itself. Their sizes are our judgement of
//! phones and cards in the open, stated at each constant; each is carried through the
//! whole calculation to L*, a*, b*. All are standard uncertainties (one sd).

use super::light::{Light, Second, reflectance};
use super::picture::{Depth, Picture};
use super::robust::Core;
use crate::sequence::Sequence;
use crate::space::{Lab, Triple, linear, pairwise};
use serde::Serialize;

/// Standard uncertainty of L*, a*, b* by where it comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Parts {
    /// Texture and noise: another place on the same surface would differ by it.
    pub sampling: Triple,
    /// Levels that were rounded when the photo was stored and decoded.
    pub rounding: Triple,
    /// Light that is not the same on card and patch.
    pub light: Triple,
    /// Tone curve and colours of the camera. The same in every photo of one camera in
    /// like light, so that most of it drops out of a difference.
    pub camera: Triple,
    /// Colour of the card. Drops out of a difference by the same card.
    pub card: Triple,
}

impl Parts {
    /// All together.
    #[must_use]
    pub fn total(&self) -> Triple {
        together(&[
            self.sampling,
            self.rounding,
            self.light,
            self.camera,
            self.card,
        ])
    }

    /// Without what is the same in every photo of one camera and card.
    #[must_use]
    pub fn own(&self) -> Triple {
        together(&[self.sampling, self.rounding, self.light])
    }
}

/// How well the colour of a card is known if nobody measured it: a grey card as sold; or,
/// from L* 88, white paper, which differs from sheet to sheet and may hold brightener
/// that turns ultraviolet light into blue. Our judgement.
#[must_use]
pub fn usual_card_sd(lab: Lab) -> Triple {
    if lab.l >= PAPER_FROM {
        [1.0, 0.4, 1.5]
    } else {
        [0.4, 0.2, 0.2]
    }
}

/// L* from which a reference is taken for paper.
pub(super) const PAPER_FROM: f64 = 88.0;

/// Draws of the bootstrap; the sd of an sd by 200 draws is 5 %.
const DRAWS: u32 = 200;
/// Rounding to whole Y, Cb and Cr leaves an even error of ±0.5: sd 1/√12.
const WHOLE: f64 = 0.289;
/// Coefficients are rounded as well: a step of 3/8 level at usual qualities.
const FINE: f64 = 0.11;
/// Light on the patch over light on a card beside it.
const LIGHT_NEAR: f64 = 0.01;
/// The same for a card as far away as a corner is from the middle of the picture: what
/// is left of the lens's falloff, and the sky that hands, walls and trees hide.
const LIGHT_FAR: f64 = 0.03;
/// Share of the change between two cards that is not as even as is assumed.
const LIGHT_UNEVEN: f64 = 0.12;
/// Red and blue over green: the light itself may differ in colour.
const LIGHT_RED: f64 = 0.004;
const LIGHT_BLUE: f64 = 0.008;
/// Power of the camera's curve over the standard one, near mid-grey.
const TONE: f64 = 0.07;
/// The same when two cards show the curve, but not between them.
const TONE_KNOWN: f64 = 0.02;
/// Share of the chroma by which a camera's colours are off, in a* and in b*.
const CHROMA: f64 = 0.04;
/// Share of the difference between two ways to take out a cast.
const CAST: f64 = 0.4;

/// All that the parts are computed from.
pub(super) struct Spread<'a> {
    pub picture: &'a Picture,
    pub light: &'a Light,
    pub core: &'a Core,
    /// Mean level of the channels of the patch.
    pub level: Triple,
    pub card_sd: Triple,
}

impl Spread<'_> {
    pub(super) fn parts(&self) -> Parts {
        Parts {
            sampling: self.sampling(),
            rounding: self.rounding(),
            light: self.uneven_light(),
            camera: self.camera(),
            card: self.card(),
        }
    }

    fn lab(&self) -> Lab {
        self.light.colour(self.core.rgb)
    }

    /// Change of the colour when the patch's light is changed by these factors.
    fn by(&self, factors: Triple) -> Triple {
        let rgb = pairwise(self.core.rgb, factors, |v, f| v * f);
        self.light.colour(rgb).minus(self.lab())
    }

    fn sampling(&self) -> Triple {
        let mut sequence = Sequence::seeded(SEED);
        let cards: Vec<_> = core::iter::once(&self.light.first)
            .chain(&self.light.second)
            .collect();
        let share = 1.0 / cards.len() as f64;
        let (mut sum, mut square) = ([0.0; 3], [0.0; 3]);
        for _ in 0..DRAWS {
            let rgb = self.core.draw(&mut sequence);
            let gain = cards.iter().fold(self.light.gain, |gain, card| {
                let drawn = card.core.draw(&mut sequence);
                let off = pairwise(drawn, card.core.rgb, |d, v| libm::pow(d / v, share));
                pairwise(gain, off, |g, o| g * o)
            });
            let off = self.light.colour_with(rgb, gain).minus(self.lab());
            sum = pairwise(sum, off, |s, o| s + o);
            square = pairwise(square, off, |s, o| s + o * o);
        }
        let n = f64::from(DRAWS);
        let bootstrapped = pairwise(sum, square, |s, q| {
            (q / n - (s / n) * (s / n)).max(0.0).sqrt()
        });
        // With few cells the resampled variance is too small by (cells - 1) / cells.
        let cells = (self.core.cells.len().max(2)) as f64;
        bootstrapped.map(|sd| sd * (cells / (cells - 1.0)).sqrt())
    }

    fn rounding(&self) -> Triple {
        let size = match self.picture.depth {
            Depth::Whole => WHOLE,
            Depth::Fine => FINE,
        };
        let cards = 1.0 + f64::from(u8::from(self.light.second.is_some()));
        // The texture of a patch spreads its levels, so that half of it averages out.
        let seen = [
            (self.level, size / 2.0),
            (self.light.first.level, size / cards.sqrt()),
        ];
        let mut all = Vec::new();
        for (level, size) in seen {
            // Y, Cb, Cr to R, G, B: ITU-T T.871, section 7.
            for axis in [
                [1.0, 1.0, 1.0],
                [0.0, -0.3441, 1.772],
                [1.402, -0.7141, 0.0],
            ] {
                let moved = pairwise(level, axis, |v, a| {
                    linear(v + a * size).max(1e-6) / linear(v).max(1e-6)
                });
                all.push(self.by(moved));
            }
        }
        together(&all)
    }

    fn uneven_light(&self) -> Triple {
        let size = self.picture_half();
        let mut all = LIGHT_NEAR * LIGHT_NEAR;
        let far = LIGHT_FAR * self.light.away / size;
        all += far * far;
        let [p, q] = {
            let (g0, g1) = self.light.gains();
            [g0, g1].map(|[_, green, _]| libm::log(green))
        };
        let change = match self.light.use_of {
            Second::Missing => self.gradient(),
            Second::Place => {
                LIGHT_UNEVEN * (p - q).abs() + beyond(self.light.share) * (p - q).abs()
            }
            Second::Same => (p - q).abs() / 2.0,
            Second::Tone => 0.0,
        };
        all += change * change;
        let grey = libm::exp(all.sqrt());
        together(&[
            self.by([grey; 3]),
            self.by([libm::exp(LIGHT_RED), 1.0, 1.0]),
            self.by([1.0, 1.0, libm::exp(LIGHT_BLUE)]),
        ])
    }

    /// Half of the diagonal, pixels.
    fn picture_half(&self) -> f64 {
        let (w, h) = (
            f64::from(self.picture.width),
            f64::from(self.picture.height),
        );
        (libm::hypot(w, h) / 2.0).max(1.0)
    }

    /// With one card: how much the log light would change from patch to card if the slope
    /// of light in the patch went on, as far as the slope is surely there.
    pub(super) fn gradient(&self) -> f64 {
        if self.light.use_of != Second::Missing {
            return 0.0;
        }
        let (dx, dy) = (
            self.light.first.at.0 - self.light.patch.0,
            self.light.first.at.1 - self.light.patch.1,
        );
        let (x, y) = slopes(self.core);
        let change = (x.0 * dx + y.0 * dy).abs();
        let doubt = libm::hypot(x.1 * dx, y.1 * dy);
        (change - 2.0 * doubt).max(0.0)
    }

    fn camera(&self) -> Triple {
        let (plain, adapted, _) = self.light.both(self.core.rgb, self.light.gain);
        let cast = adapted.minus(plain).map(|d| CAST * d);
        let chroma = CHROMA * self.lab().chroma();
        let power = match self.light.use_of {
            Second::Tone => TONE_KNOWN,
            _ => TONE,
        };
        let own = pairwise(self.core.rgb, self.light.gain, |v, g| v / g);
        let bent = pairwise(own, self.light.is, |v, r| {
            libm::pow((v / r).max(1e-3), power)
        });
        together(&[cast, [0.0, chroma, chroma], self.by(bent)])
    }

    fn card(&self) -> Triple {
        let lab = self.light.first.lab;
        let [l, a, b] = self.card_sd;
        let moved = [[l, 0.0, 0.0], [0.0, a, 0.0], [0.0, 0.0, b]].map(|by| {
            let is = reflectance(self.picture.profile, lab.plus(by));
            self.by(pairwise(is, self.light.first.is, |p, q| p / q))
        });
        together(&moved)
    }
}

/// Any number: it only has to be the same every time.
const SEED: u64 = 0x5EED_0F57;

/// How far outside 0 to 1.
fn beyond(share: f64) -> f64 {
    (share - 1.0).max(-share).max(0.0)
}

/// Slope of log luminance along x and y, each with its standard error, from the cells.
fn slopes(core: &Core) -> ((f64, f64), (f64, f64)) {
    let n = core.cells.len() as f64;
    if n < 9.0 {
        return ((0.0, 0.0), (0.0, 0.0));
    }
    let means: Vec<_> = core.cells.iter().map(super::robust::Cell::mean).collect();
    let (mx, my, ml) = means.iter().fold((0.0, 0.0, 0.0), |s, m| {
        (s.0 + m.0 / n, s.1 + m.1 / n, s.2 + m.2 / n)
    });
    let (mut xx, mut xy, mut yy, mut xl, mut yl) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for (x, y, l) in &means {
        let (x, y, l) = (x - mx, y - my, l - ml);
        xx += x * x;
        xy += x * y;
        yy += y * y;
        xl += x * l;
        yl += y * l;
    }
    let det = xx * yy - xy * xy;
    if !(det > 0.0) {
        return ((0.0, 0.0), (0.0, 0.0));
    }
    let (sx, sy) = ((xl * yy - yl * xy) / det, (yl * xx - xl * xy) / det);
    let rest: f64 = means
        .iter()
        .map(|(x, y, l)| {
            let e = l - ml - sx * (x - mx) - sy * (y - my);
            e * e
        })
        .sum();
    let variance = rest / (n - 3.0);
    (
        (sx, (variance * yy / det).sqrt()),
        (sy, (variance * xx / det).sqrt()),
    )
}

/// Root of the sum of squares, per channel.
pub(crate) fn together(all: &[Triple]) -> Triple {
    let square = all
        .iter()
        .fold([0.0; 3], |s, v| pairwise(s, *v, |s, v| s + v * v));
    square.map(f64::sqrt)
}
