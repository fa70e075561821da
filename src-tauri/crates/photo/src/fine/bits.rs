//! The scan of a JPEG, bit by bit: Huffman codes, numbers, blocks of coefficients.
//!
//! Every reader answers `None` at the end of the data, at a marker, and for a code that
//! there is not. What the coefficients mean is known by [`super`].

use crate::bytes::{piece, u8_at};

/// Huffman codes of one table.
pub(super) struct Codes {
    /// Number of codes of each length, 1 to 16.
    counts: [u8; 16],
    values: Vec<u8>,
}

impl Codes {
    pub(super) fn read(body: &[u8]) -> Option<(Codes, usize)> {
        let counts: [u8; 16] = piece(body, 0, 16)?.try_into().ok()?;
        let all: usize = counts.iter().map(|c| usize::from(*c)).sum();
        let values = piece(body, 16, all)?.to_vec();
        Some((Codes { counts, values }, 16 + all))
    }
}

/// The scan, bit by bit.
pub(super) struct Bits<'a> {
    data: &'a [u8],
    byte: u8,
    left: u8,
}

impl<'a> Bits<'a> {
    pub(super) fn of(data: &'a [u8]) -> Bits<'a> {
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
    pub(super) fn block(
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
    pub(super) fn restart(&mut self) -> Option<()> {
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
