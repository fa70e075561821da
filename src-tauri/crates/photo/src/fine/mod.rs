//! Levels of a JPEG in fractions, for measuring colours.
//!
//! A decoder rounds Y, Cb and Cr to whole levels. On an even grey card, where every block
//! rounds the same way, that moves b* by up to 0.5, as much as everything else that is
//! wrong with a good photo. So the coefficients are read here once more and transformed
//! without rounding, only in the wanted windows. Baseline files of Y, Cb, Cr in one scan,
//! as cameras write them; for any other [`read`] gives `None`, and the pixels of
//! [`super::picture`] must do. Source of the format: ITU-T T.81 and T.871.

mod bits;
mod plane;
mod window;

use super::bytes::{be16, piece, u8_at};
use bits::{Bits, Codes};
use plane::{Plane, transformed};
use window::Component;
pub use window::Window;

/// Larger files are not read: it would take seconds.
const MOST_PIXELS: u64 = 64_000_000;

/// The levels of a window.
#[derive(Debug)]
pub struct Levels {
    planes: Vec<Plane>,
}

impl Levels {
    /// Red, green and blue level, 0 to 255 and a little beyond, of a pixel as stored.
    #[must_use]
    pub fn at(&self, x: u32, y: u32) -> Option<[f32; 3]> {
        let mut planes = self.planes.iter();
        let luma = planes.next()?.at(x, y)? + 128.0;
        let (cb, cr) = (planes.next()?.at(x, y)?, planes.next()?.at(x, y)?);
        // ITU-T T.871, section 7.
        Some([
            luma + 1.402 * cr,
            luma - 0.344_136 * cb - 0.714_136 * cr,
            luma + 1.772 * cb,
        ])
    }
}

#[derive(Default)]
struct Header {
    size: (u32, u32),
    components: Vec<Component>,
    most: (u8, u8),
    units: (usize, usize),
    quantisers: [Option<[f32; 64]>; 4],
    dc: [Option<Codes>; 4],
    ac: [Option<Codes>; 4],
    restart: u32,
}

/// Reads the windows of a JPEG. `None` if it is none of the kind that is read here, if it
/// is damaged, or if a window reaches out of it.
#[must_use]
pub fn read(bytes: &[u8], windows: &[Window]) -> Option<Vec<Levels>> {
    let mut header = Header::default();
    let scan = header.read(bytes)?;
    let inside = |w: &Window| {
        w.from.0 < w.to.0 && w.from.1 < w.to.1 && w.to.0 <= header.size.0 && w.to.1 <= header.size.1
    };
    if !windows.iter().all(inside) {
        return None;
    }
    let mut levels = Vec::new();
    for window in windows {
        let planes = header.components.iter();
        let planes: Option<Vec<Plane>> =
            planes.map(|c| Plane::new(window, c, header.most)).collect();
        levels.push(Levels { planes: planes? });
    }
    header.scan(bytes.get(scan..)?, &mut levels)?;
    Some(levels)
}

impl Header {
    /// Reads up to the first scan and gives where its data begin.
    fn read(&mut self, bytes: &[u8]) -> Option<usize> {
        let mut at = 2;
        (piece(bytes, 0, 2)? == [0xFF, 0xD8]).then_some(())?;
        loop {
            (u8_at(bytes, at)? == 0xFF).then_some(())?;
            let marker = u8_at(bytes, at + 1)?;
            if marker == 0xFF {
                at += 1;
                continue;
            }
            let len = usize::from(be16(bytes, at + 2)?);
            let body = piece(bytes, at + 4, len.checked_sub(2)?)?;
            at += 2 + len;
            match marker {
                0xC0 | 0xC1 => self.frame(body)?,
                0xC4 => self.codes(body)?,
                0xDB => self.quantisers(body)?,
                0xDD => self.restart = u32::from(be16(body, 0)?),
                0xDA => {
                    self.scan_header(body)?;
                    return Some(at);
                }
                // Adobe: without a transform, or with four components.
                0xEE if body.starts_with(b"Adobe") && u8_at(body, 11)? != 1 => return None,
                // Other frames, arithmetic coding, lines defined later, end.
                0xC2..=0xCF | 0xDC | 0xD8 | 0xD9 => return None,
                _ => {}
            }
        }
    }

    fn frame(&mut self, body: &[u8]) -> Option<()> {
        let (high, wide) = (be16(body, 1)?, be16(body, 3)?);
        self.size = (u32::from(wide), u32::from(high));
        let pixels = u64::from(wide) * u64::from(high);
        let known = u8_at(body, 0)? == 8 && u8_at(body, 5)? == 3 && self.components.is_empty();
        (known && pixels > 0 && pixels <= MOST_PIXELS).then_some(())?;
        for i in 0..3 {
            let factors = u8_at(body, 7 + 3 * i)?;
            let (across, down) = (factors >> 4, factors & 15);
            ((1..=2).contains(&across) && (1..=2).contains(&down)).then_some(())?;
            self.components.push(Component {
                id: u8_at(body, 6 + 3 * i)?,
                across,
                down,
                quantiser: u8_at(body, 8 + 3 * i)?,
                blocks: (0, 0),
                dc: 0,
                ac: 0,
            });
        }
        let ids: Vec<u8> = self.components.iter().map(|c| c.id).collect();
        (ids != *b"RGB").then_some(())?;
        self.most = self
            .components
            .iter()
            .fold((1, 1), |m, c| (m.0.max(c.across), m.1.max(c.down)));
        let units = |size: u16, most: u8| usize::from(size).div_ceil(8 * usize::from(most));
        self.units = (units(wide, self.most.0), units(high, self.most.1));
        for c in &mut self.components {
            c.blocks = (
                self.units.0 * usize::from(c.across),
                self.units.1 * usize::from(c.down),
            );
        }
        Some(())
    }

    fn quantisers(&mut self, mut body: &[u8]) -> Option<()> {
        while let Some((kind, rest)) = body.split_first() {
            let wide = match kind >> 4 {
                0 => 1,
                1 => 2,
                _ => return None,
            };
            let mut table = [0.0; 64];
            for (i, step) in table.iter_mut().enumerate() {
                *step = if wide == 1 {
                    f32::from(u8_at(rest, i)?)
                } else {
                    f32::from(be16(rest, 2 * i)?)
                };
            }
            *self.quantisers.get_mut(usize::from(kind & 15))? = Some(table);
            body = rest.get(64 * wide..)?;
        }
        Some(())
    }

    fn codes(&mut self, mut body: &[u8]) -> Option<()> {
        while let Some((kind, rest)) = body.split_first() {
            let (codes, used) = Codes::read(rest)?;
            let tables = match kind >> 4 {
                0 => &mut self.dc,
                1 => &mut self.ac,
                _ => return None,
            };
            *tables.get_mut(usize::from(kind & 15))? = Some(codes);
            body = rest.get(used..)?;
        }
        Some(())
    }

    fn scan_header(&mut self, body: &[u8]) -> Option<()> {
        (u8_at(body, 0)? == 3 && self.components.len() == 3).then_some(())?;
        for (i, c) in self.components.iter_mut().enumerate() {
            (u8_at(body, 1 + 2 * i)? == c.id).then_some(())?;
            let tables = u8_at(body, 2 + 2 * i)?;
            (c.dc, c.ac) = (tables >> 4, tables & 15);
        }
        Some(())
    }

    fn scan(&self, data: &[u8], levels: &mut [Levels]) -> Option<()> {
        let mut bits = Bits::of(data);
        let mut before = [0_i32; 3];
        let mut until_restart = self.restart;
        for unit in 0..self.units.0 * self.units.1 {
            if self.restart > 0 {
                if until_restart == 0 {
                    bits.restart()?;
                    before = [0; 3];
                    until_restart = self.restart;
                }
                until_restart -= 1;
            }
            let (column, row) = (unit % self.units.0, unit / self.units.0);
            for (i, (c, before)) in self.components.iter().zip(&mut before).enumerate() {
                let dc = self.dc.get(usize::from(c.dc))?.as_ref()?;
                let ac = self.ac.get(usize::from(c.ac))?.as_ref()?;
                let steps = self.quantisers.get(usize::from(c.quantiser))?.as_ref()?;
                let (across, down) = (usize::from(c.across), usize::from(c.down));
                for part in 0..across * down {
                    let at = (column * across + part % across, row * down + part / across);
                    let block = bits.block(dc, ac, steps, before)?;
                    let mut samples = None;
                    for plane in levels.iter_mut().filter_map(|l| l.planes.get_mut(i)) {
                        if plane.holds(at) {
                            plane.put(at, samples.get_or_insert_with(|| transformed(&block)));
                        }
                    }
                }
            }
        }
        Some(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::codecs::jpeg::{JpegEncoder, PixelDensity};
    use image::{ImageEncoder, Rgb, RgbImage};

    fn picture(wide: u32, high: u32) -> RgbImage {
        RgbImage::from_fn(wide, high, |x, y| {
            Rgb([(90 + x) as u8, (150 - y) as u8, (60 + (x + y) / 2) as u8])
        })
    }

    fn jpeg(image: &RgbImage) -> Vec<u8> {
        let mut out = Vec::new();
        let mut encoder = JpegEncoder::new_with_quality(&mut out, 92);
        encoder.set_pixel_density(PixelDensity::dpi(72));
        encoder
            .write_image(
                image.as_raw(),
                image.width(),
                image.height(),
                image::ExtendedColorType::Rgb8,
            )
            .unwrap();
        out
    }

    const ALL: Window = Window {
        from: (0, 0),
        to: (77, 51),
    };

    #[test]
    fn the_levels_are_those_of_the_picture_before_it_was_coded() {
        let image = picture(77, 51);
        let bytes = jpeg(&image);
        let some = Window {
            from: (13, 9),
            to: (60, 40),
        };
        let levels = read(&bytes, &[ALL, some]).unwrap();
        let mut sum = 0.0;
        for (x, y, pixel) in image.enumerate_pixels() {
            let got = levels[0].at(x, y).unwrap();
            for (got, was) in got.iter().zip(pixel.0) {
                sum += (got - f32::from(was)).abs();
            }
            if (13..60).contains(&x) && (9..40).contains(&y) {
                assert_eq!(levels[1].at(x, y), Some(got), "{x} {y}");
            }
        }
        let mean = sum / (77 * 51 * 3) as f32;
        assert!(mean < 1.0, "{mean}");
    }

    #[test]
    fn a_cut_or_altered_file_gives_no_levels_and_no_panic() {
        let bytes = jpeg(&picture(20, 18));
        let all = Window {
            from: (0, 0),
            to: (20, 18),
        };
        for len in 0..bytes.len() - 8 {
            assert!(read(&bytes[..len], &[all]).is_none(), "{len}");
        }
        for at in 0..bytes.len() {
            for value in [0, 0xFF, bytes[at] ^ 0x55] {
                let mut bad = bytes.clone();
                bad[at] = value;
                if let Some(levels) = read(&bad, &[all]) {
                    assert!(levels[0].at(19, 17).is_some(), "{at}");
                }
            }
        }
    }

    #[test]
    fn a_window_outside_is_none() {
        let bytes = jpeg(&picture(77, 51));
        let wide = Window {
            from: (0, 0),
            to: (78, 51),
        };
        assert!(read(&bytes, &[wide]).is_none());
        let none = Window {
            from: (5, 5),
            to: (5, 9),
        };
        assert!(read(&bytes, &[none]).is_none());
    }
}
