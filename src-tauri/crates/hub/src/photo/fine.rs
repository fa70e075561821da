//! Levels of a JPEG in fractions, for measuring colours.
//!
//! A decoder rounds Y, Cb and Cr to whole levels. On an even grey card, where every block
//! rounds the same way, that moves b* by up to 0.5, as much as everything else that is
//! wrong with a good photo. So the coefficients are read here once more and transformed
//! without rounding, only in the wanted windows. Baseline files of Y, Cb, Cr in one scan,
//! as cameras write them; for any other [`read`] gives `None`, and the pixels of
//! [`super::picture`] must do. Source of the format: ITU-T T.81 and T.871.

use super::bytes::{be16, piece, u8_at};

/// Larger files are not read: it would take seconds.
const MOST_PIXELS: u64 = 64_000_000;

/// A rectangle of pixels as stored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Window {
    /// First column and first row.
    pub from: (u32, u32),
    /// Column after the last and row after the last.
    pub to: (u32, u32),
}

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

/// One component in a window, in its own samples.
#[derive(Debug)]
struct Plane {
    /// First block, across and down.
    first: (usize, usize),
    /// Samples across and down.
    size: (usize, usize),
    /// Samples per pixel, across and down.
    per_pixel: (f32, f32),
    samples: Vec<f32>,
}

impl Plane {
    fn new(window: &Window, c: &Component, most: (u8, u8)) -> Option<Plane> {
        let per_pixel = (
            f32::from(c.across) / f32::from(most.0),
            f32::from(c.down) / f32::from(most.1),
        );
        // One sample more on each side, to interpolate.
        let block = |pixel: u32, share: f32, more: f32| {
            ((pixel as f32 * share + more).max(0.0) / 8.0) as usize
        };
        let first = (
            block(window.from.0, per_pixel.0, -1.0),
            block(window.from.1, per_pixel.1, -1.0),
        );
        let last = (
            block(window.to.0, per_pixel.0, 1.0).min(c.blocks.0.checked_sub(1)?),
            block(window.to.1, per_pixel.1, 1.0).min(c.blocks.1.checked_sub(1)?),
        );
        let size = (
            (last.0 + 1).checked_sub(first.0)? * 8,
            (last.1 + 1).checked_sub(first.1)? * 8,
        );
        Some(Plane {
            first,
            size,
            per_pixel,
            samples: vec![0.0; size.0 * size.1],
        })
    }

    /// The value at a pixel, between the four samples around it.
    fn at(&self, x: u32, y: u32) -> Option<f32> {
        let place = |pixel: u32, share: f32, first: usize, size: usize| {
            let at = (pixel as f32 + 0.5) * share - 0.5 - (first * 8) as f32;
            let at = at.clamp(0.0, (size - 1) as f32);
            (at as usize, at.fract())
        };
        let (i, u) = place(x, self.per_pixel.0, self.first.0, self.size.0);
        let (j, v) = place(y, self.per_pixel.1, self.first.1, self.size.1);
        let (i1, j1) = ((i + 1).min(self.size.0 - 1), (j + 1).min(self.size.1 - 1));
        let sample = |i: usize, j: usize| self.samples.get(j * self.size.0 + i).copied();
        let upper = sample(i, j)? * (1.0 - u) + sample(i1, j)? * u;
        let lower = sample(i, j1)? * (1.0 - u) + sample(i1, j1)? * u;
        Some(upper * (1.0 - v) + lower * v)
    }

    fn holds(&self, at: (usize, usize)) -> bool {
        let inside = |b: usize, first: usize, size: usize| b >= first && b < first + size / 8;
        inside(at.0, self.first.0, self.size.0) && inside(at.1, self.first.1, self.size.1)
    }

    fn put(&mut self, at: (usize, usize), block: &[[f32; 8]; 8]) {
        let (left, top) = ((at.0 - self.first.0) * 8, (at.1 - self.first.1) * 8);
        for (row, y) in block.iter().zip(top..) {
            let start = y * self.size.0 + left;
            if let Some(place) = self.samples.get_mut(start..start + 8) {
                place.copy_from_slice(row);
            }
        }
    }
}

#[derive(Clone, Debug)]
struct Component {
    id: u8,
    across: u8,
    down: u8,
    quantiser: u8,
    /// Blocks of the whole component, with those that fill the last unit.
    blocks: (usize, usize),
    dc: u8,
    ac: u8,
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

/// Huffman codes of one table.
struct Codes {
    /// Number of codes of each length, 1 to 16.
    counts: [u8; 16],
    values: Vec<u8>,
}

impl Codes {
    fn read(body: &[u8]) -> Option<(Codes, usize)> {
        let counts: [u8; 16] = piece(body, 0, 16)?.try_into().ok()?;
        let all: usize = counts.iter().map(|c| usize::from(*c)).sum();
        let values = piece(body, 16, all)?.to_vec();
        Some((Codes { counts, values }, 16 + all))
    }
}

/// The scan, bit by bit.
struct Bits<'a> {
    data: &'a [u8],
    byte: u8,
    left: u8,
}

impl<'a> Bits<'a> {
    fn of(data: &'a [u8]) -> Bits<'a> {
        Bits {
            data,
            byte: 0,
            left: 0,
        }
    }

    fn bit(&mut self) -> Option<u32> {
        if self.left == 0 {
            let (byte, rest) = self.data.split_first()?;
            self.data = match (byte, rest.split_first()) {
                (0xFF, Some((0, after))) => after,
                (0xFF, _) => return None,
                _ => rest,
            };
            (self.byte, self.left) = (*byte, 8);
        }
        self.left -= 1;
        Some(u32::from(self.byte >> self.left & 1))
    }

    /// A number of so many bits; those that begin with 0 are negative.
    fn number(&mut self, bits: u8) -> Option<i32> {
        if bits == 0 {
            return Some(0);
        }
        let mut n = 0_i32;
        for _ in 0..bits {
            n = n << 1 | self.bit()?.cast_signed();
        }
        let half = 1 << (bits - 1);
        Some(if n < half { n - 2 * half + 1 } else { n })
    }

    fn symbol(&mut self, codes: &Codes) -> Option<u8> {
        let (mut code, mut first, mut index) = (0_u32, 0_u32, 0_u32);
        for count in codes.counts {
            code = code << 1 | self.bit()?;
            let count = u32::from(count);
            if let Some(i) = code.checked_sub(first).filter(|i| *i < count) {
                return codes.values.get((index + i) as usize).copied();
            }
            index += count;
            first = (first + count) << 1;
        }
        None
    }

    /// The coefficients of one block, times their steps, row by row.
    fn block(
        &mut self,
        dc: &Codes,
        ac: &Codes,
        steps: &[f32; 64],
        before: &mut i32,
    ) -> Option<[[f32; 8]; 8]> {
        let mut block = [[0.0; 8]; 8];
        let bits = self.symbol(dc).filter(|b| *b <= 11)?;
        *before = before.checked_add(self.number(bits)?)?;
        put(&mut block, 0, *before, steps)?;
        let mut k = 1;
        while k < 64 {
            let symbol = self.symbol(ac)?;
            let (zeros, bits) = (usize::from(symbol >> 4), symbol & 15);
            if bits == 0 {
                if zeros != 15 {
                    break;
                }
                k += 16;
                continue;
            }
            k += zeros;
            put(&mut block, k, self.number(bits)?, steps)?;
            k += 1;
        }
        Some(block)
    }

    /// Goes on after a restart marker.
    fn restart(&mut self) -> Option<()> {
        self.left = 0;
        let marker = u8_at(self.data, 1)?;
        (u8_at(self.data, 0)? == 0xFF && (0xD0..=0xD7).contains(&marker)).then_some(())?;
        self.data = self.data.get(2..)?;
        Some(())
    }
}

fn put(block: &mut [[f32; 8]; 8], k: usize, value: i32, steps: &[f32; 64]) -> Option<()> {
    let at = usize::from(*ZIGZAG.get(k)?);
    *block.get_mut(at / 8)?.get_mut(at % 8)? = value as f32 * steps.get(k)?;
    Some(())
}

/// Row-by-row place of the coefficients in the order of the file. ITU-T T.81, figure A.6.
const ZIGZAG: [u8; 64] = [
    0, 1, 8, 16, 9, 2, 3, 10, 17, 24, 32, 25, 18, 11, 4, 5, 12, 19, 26, 33, 40, 48, 41, 34, 27, 20,
    13, 6, 7, 14, 21, 28, 35, 42, 49, 56, 57, 50, 43, 36, 29, 22, 15, 23, 30, 37, 44, 51, 58, 59,
    52, 45, 38, 31, 39, 46, 53, 60, 61, 54, 47, 55, 62, 63,
];

/// Inverse cosine transform, exact but for the arithmetic. ITU-T T.81, A.3.3.
fn transformed(block: &[[f32; 8]; 8]) -> [[f32; 8]; 8] {
    let once = |rows: &[[f32; 8]; 8]| {
        let mut out = [[0.0; 8]; 8];
        // Transforms the rows and turns the block over its diagonal.
        for (j, row) in rows.iter().enumerate() {
            for (x, line) in out.iter_mut().enumerate() {
                let basis = row.iter().enumerate().map(|(u, c)| {
                    let scale = if u == 0 { 0.125_f32.sqrt() } else { 0.5 };
                    c * scale * cosine((2 * x + 1) * u)
                });
                if let Some(place) = line.get_mut(j) {
                    *place = basis.sum();
                }
            }
        }
        out
    };
    once(&once(block))
}

/// Cosine of sixteenths of half a turn.
fn cosine(sixteenths: usize) -> f32 {
    // cos(k pi / 16) for k = 0 to 8.
    const QUARTER: [f32; 9] = [
        1.0,
        0.980_785_3,
        0.923_879_5,
        0.831_469_6,
        core::f32::consts::FRAC_1_SQRT_2,
        0.555_570_2,
        0.382_683_4,
        0.195_090_3,
        0.0,
    ];
    let k = sixteenths % 32;
    let k = if k > 16 { 32 - k } else { k };
    let (k, sign) = if k > 8 { (16 - k, -1.0) } else { (k, 1.0) };
    sign * QUARTER.get(k).copied().unwrap_or(0.0)
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
