//! Random numbers that are the same every time.
//!
//! SplitMix64 (Steele, Lea and Flood 2014) and the method of Box and Muller. Good enough
//! for simulations, for nothing else.

/// A stream of random numbers.
#[derive(Clone, Debug)]
pub struct Chance(u64);

impl Chance {
    /// A stream that is fixed by `seed`.
    #[must_use]
    pub fn new(seed: u64) -> Chance {
        Chance(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15))
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let x = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let x = (x ^ (x >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        x ^ (x >> 31)
    }

    /// Evenly between `low` and `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        let share = (self.next() >> 11) as f64 / (1u64 << 53) as f64;
        low + (high - low) * share
    }

    /// Normally about `mean` with standard deviation `sd`.
    pub fn normal(&mut self, mean: f64, sd: f64) -> f64 {
        let radius = (-2.0 * self.between(f64::MIN_POSITIVE, 1.0).ln()).sqrt();
        mean + sd * radius * (std::f64::consts::TAU * self.between(0.0, 1.0)).cos()
    }

    /// True in this share of cases.
    pub fn happens(&mut self, share: f64) -> bool {
        self.between(0.0, 1.0) < share
    }

    /// A factor about 1 whose logarithm has standard deviation `sd`.
    pub fn factor(&mut self, sd: f64) -> f64 {
        self.normal(0.0, sd).exp()
    }

    /// One of `n`.
    pub fn one_of(&mut self, n: usize) -> usize {
        (self.next() % n.max(1) as u64) as usize
    }
}
