//! The light on the patch, known by the cards, and the colour without it.
//!
//! A gain per channel turns the light of the camera into reflectance: the card as it
//! looks over the card as it is. Two cards of one grey give a gain for every place
//! between them; two cards of different grey close together give the camera's tone curve
//! instead. What the cards cannot tell is counted in `spread`.

use super::doubt::{Refusal, Warning};
use super::picture::{Picture, Rect, Reference};
use super::robust::Core;
use crate::profile::Profile;
use crate::space::{
    D65, Lab, Matrix, Triple, adapt, inverse, lab_to_xyz, pairwise, times, xyz_to_lab,
};

/// How much darker a corner of a photo is than its middle, after the camera's own
/// correction. Lenses darken corners, cameras correct part of it so as not to raise the
/// noise: the error has a sign. The size is our judgement, its uncertainty as large
/// ([`super::spread`]).
const FALLOFF: f64 = 0.04;

/// Light at a place over light in the middle, for an even surface.
pub(super) fn falloff(picture: &Picture, x: f64, y: f64) -> f64 {
    let (w, h) = (
        f64::from(picture.width) / 2.0,
        f64::from(picture.height) / 2.0,
    );
    let square = (x - w) * (x - w) + (y - h) * (y - h);
    1.0 - FALLOFF * (square / (w * w + h * h)).min(1.0)
}

/// A card: what it is and what was seen of it.
#[derive(Clone, Debug)]
pub(super) struct Card {
    /// Colour of the card.
    pub lab: Lab,
    /// Reflectance per channel of the profile.
    pub is: Triple,
    /// The pixels.
    pub core: Core,
    /// Mean level of its channels.
    pub level: Triple,
    /// Middle of the card in the picture.
    pub at: (f64, f64),
}

impl Card {
    pub(super) fn new(
        picture: &Picture,
        reference: &Reference<'_>,
        core: Core,
        level: Triple,
    ) -> Result<Card, Refusal> {
        let lab = reference.lab;
        let is = reflectance(picture.profile, lab);
        // A card that reflects next to nothing, or that no surface can be.
        if !lab.is_finite() || !is.iter().all(|v| (0.005..=1.5).contains(v)) {
            return Err(Refusal::ReferenceColour);
        }
        let gain = pairwise(core.rgb, is, |seen, is| seen / is);
        // A hundredth of full exposure on white: six or seven stops too dark.
        if !gain.iter().all(|g| *g > 0.01) {
            return Err(Refusal::ReferenceDark);
        }
        Ok(Card {
            lab,
            is,
            core,
            level,
            at: reference.region.rect.middle(),
        })
    }

    /// The card as seen over the card as it is.
    pub(super) fn gain(&self) -> Triple {
        pairwise(self.core.rgb, self.is, |seen, is| seen / is)
    }
}

/// Linear light per channel of a surface of this colour under D65.
pub(super) fn reflectance(profile: Profile, lab: Lab) -> Triple {
    times(&inverse(&profile.to_xyz()), lab_to_xyz(lab))
}

/// What the second card is good for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Second {
    /// There is none.
    Missing,
    /// Light changes from place to place.
    Place,
    /// The camera bends tones.
    Tone,
    /// Both at one place and of one grey: the mean is better than either.
    Same,
}

/// All that is known of the light.
#[derive(Clone, Debug)]
pub(super) struct Light {
    picture: Picture,
    pub first: Card,
    pub second: Option<Card>,
    pub use_of: Second,
    /// Where the patch lies on the way from the first card (0) to the second (1).
    pub share: f64,
    /// Distance of the patch from the nearer card, pixels.
    pub away: f64,
    pub patch: (f64, f64),
    /// Gain at the patch.
    pub gain: Triple,
    /// Reflectance of the card, or between those of the cards.
    pub is: Triple,
}

/// Cards whose reflectances have at least this ratio show the tone curve.
const TONE_RATIO: f64 = 1.5;

impl Light {
    pub(super) fn from_cards(
        picture: &Picture,
        cards: Vec<Card>,
        patch: Rect,
    ) -> Result<Light, Refusal> {
        let mut cards = cards.into_iter();
        let first = cards.next().ok_or(Refusal::NotOneOrTwoReferences)?;
        let mut light = Light {
            picture: *picture,
            gain: first.gain(),
            is: first.is,
            away: distance(first.at, patch.middle()),
            use_of: Second::Missing,
            share: 0.0,
            patch: patch.middle(),
            second: None,
            first,
        };
        if let Some(second) = cards.next() {
            light.add(second);
        }
        Ok(light)
    }

    fn add(&mut self, second: Card) {
        let apart = distance(self.first.at, second.at);
        self.away = self.away.min(distance(second.at, self.patch));
        let ratio = (luminance(self.first.is) / luminance(second.is))
            .max(luminance(second.is) / luminance(self.first.is));
        self.use_of = if apart > 0.5 * self.away {
            Second::Place
        } else if ratio >= TONE_RATIO {
            Second::Tone
        } else {
            Second::Same
        };
        self.second = Some(second);
        self.share = match self.use_of {
            Second::Place => self.share_at(self.patch.0, self.patch.1),
            _ => 0.5,
        };
        let (g0, g1) = self.gains();
        let share = self.share;
        self.gain = pairwise(g0, g1, |p, q| between(p, q, share));
        if let Some(second) = &self.second {
            self.is = pairwise(self.first.is, second.is, |p, q| between(p, q, share));
        }
    }

    /// Gains of the first and the last card.
    pub(super) fn gains(&self) -> (Triple, Triple) {
        let first = self.first.gain();
        (first, self.second.as_ref().map_or(first, Card::gain))
    }

    /// Where a place lies on the way from card to card; a little beyond is allowed.
    fn share_at(&self, x: f64, y: f64) -> f64 {
        let Some(second) = &self.second else {
            return 0.0;
        };
        let ((x0, y0), (x1, y1)) = (self.first.at, second.at);
        let (dx, dy) = (x1 - x0, y1 - y0);
        let t = ((x - x0) * dx + (y - y0) * dy) / (dx * dx + dy * dy);
        t.clamp(-0.25, 1.25)
    }

    /// Light at a place over light at the middle of the patch, times the lens's falloff.
    pub(super) fn relative(&self, x: f64, y: f64) -> Triple {
        let fall = falloff(&self.picture, x, y);
        if self.use_of != Second::Place {
            return [fall; 3];
        }
        let (g0, g1) = self.gains();
        let share = self.share_at(x, y);
        let here = pairwise(g0, g1, |p, q| between(p, q, share));
        pairwise(here, self.gain, |h, g| fall * h / g)
    }

    /// The colour of a surface that sends `rgb` to the camera from the patch.
    pub(super) fn colour(&self, rgb: Triple) -> Lab {
        self.colour_with(rgb, self.gain)
    }

    /// The same with other gains.
    pub(super) fn colour_with(&self, rgb: Triple, gain: Triple) -> Lab {
        let (plain, adapted, weight) = self.both(rgb, gain);
        plain.plus(adapted.minus(plain).map(|d| d * weight))
    }

    /// The colour by gains in the channels, by adaptation, and the weight of the second.
    ///
    /// What a camera's white balance got wrong is a gain in the channels. But a strong
    /// cast means that it did not adapt at all, to lamps or a red sky; then the light is
    /// another white, and Bradford adaptation (ICC.1:2022, annex E) describes it better.
    pub(super) fn both(&self, rgb: Triple, gain: Triple) -> (Lab, Lab, f64) {
        let to_xyz: Matrix = self.picture.profile.to_xyz();
        let own = pairwise(rgb, gain, |v, g| v / g);
        let own = self.untoned(rgb).unwrap_or(own);
        let plain = xyz_to_lab(times(&to_xyz, own));
        let white = times(&to_xyz, gain);
        let seen = times(&to_xyz, pairwise(own, gain, |v, g| v * g));
        let adapted = xyz_to_lab(adapt(seen, white, D65));
        let weight = ((range(gain) - STRONG_FROM) / (STRONG_TO - STRONG_FROM)).clamp(0.0, 1.0);
        (plain, adapted, weight)
    }

    /// Reflectance by the power law per channel that goes through both cards.
    fn untoned(&self, rgb: Triple) -> Option<Triple> {
        let second = self
            .second
            .as_ref()
            .filter(|_| self.use_of == Second::Tone)?;
        let bent = pairwise(second.is, self.first.is, |p, q| libm::log(p / q));
        let seen = pairwise(second.core.rgb, self.first.core.rgb, |p, q| {
            libm::log(p / q)
        });
        // Any camera's curve rises, and none bends more than this.
        let power = pairwise(bent, seen, |b, s| (b / s).clamp(0.4, 2.5));
        let over = pairwise(rgb, self.first.core.rgb, |v, c| v / c);
        let raised = pairwise(over, power, libm::pow);
        Some(pairwise(self.first.is, raised, |r, x| r * x))
    }

    /// Red, green and blue of white, green = 1.
    pub(super) fn cast(&self) -> Triple {
        let [_, green, _] = self.gain;
        self.gain.map(|g| g / green)
    }

    /// Log of the patch's luminance over the card's, which a tone curve would bend.
    pub(super) fn apart(&self, rgb: Triple) -> f64 {
        let own = pairwise(rgb, self.gain, |v, g| v / g);
        libm::log(luminance(own) / luminance(self.is))
    }

    pub(super) fn warnings(&self) -> Vec<Warning> {
        let mut out = Vec::new();
        if range(self.gain) > STRONG_FROM {
            out.push(Warning::StrongCast);
        }
        let (g0, g1) = self.gains();
        let ratio = pairwise(g0, g1, |p, q| p / q);
        if range(ratio) > 0.08 {
            out.push(Warning::CardsDisagree);
        }
        if self.use_of == Second::Place && !(-0.05..=1.05).contains(&self.share) {
            out.push(Warning::NotBetweenCards);
        }
        out
    }
}

/// Log of the largest over the smallest gain: 0.54 for a red gain of 1.2 with a blue one
/// of 0.7, as bad white balance leaves them; 1.3 for a lamp of 2900 K taken for daylight.
/// The limits between the two are our judgement.
const STRONG_FROM: f64 = 0.7;
const STRONG_TO: f64 = 1.1;

fn range([r, g, b]: Triple) -> f64 {
    libm::log(r.max(g).max(b) / r.min(g).min(b))
}

fn luminance([r, g, b]: Triple) -> f64 {
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

fn distance(p: (f64, f64), q: (f64, f64)) -> f64 {
    libm::hypot(p.0 - q.0, p.1 - q.1)
}

/// Between two positive numbers, by their logarithms.
fn between(p: f64, q: f64, share: f64) -> f64 {
    p * libm::pow(q / p, share)
}
