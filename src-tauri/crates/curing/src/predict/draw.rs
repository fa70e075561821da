//! What is unknown about a pour, and an even spread of guesses at it.
//!
//! A Latin hypercube: each unknown is covered evenly in 1/n steps, in an order of its own
//! that a mixing function fixes; there is no randomness. What a guess does to the concrete
//! is in [`super::course`] and [`super::mix`].

/// The unknowns, as standard normal deviates, except those that are learned, which are
/// left as shares (0 to 1) to be drawn from what is known of them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Draw {
    /// Air between and beyond readings, two waves of it.
    pub air: (f64, f64),
    /// Wind at the piece.
    pub wind: f64,
    /// Sun that comes through.
    pub sun: f64,
    /// Water in the mix.
    pub water: f64,
    /// Cement in the bag.
    pub cement: f64,
    /// Activation energy.
    pub energy: f64,
    /// Temperature as placed.
    pub start: f64,
    /// What else hurries or slows it: conductivity, a form that fits badly, our own model.
    pub pace: f64,
    /// How much weaker an edge is than the bulk.
    pub edge: f64,
    /// Set times.
    pub set: f64,
    /// Strength.
    pub strength: f64,
    /// How long the sheen stands.
    pub sheen: f64,
    /// Between the published courses of strength.
    pub course: f64,
    /// How much more the cold slows than the activation energy of warm concrete says.
    pub cold: f64,
    /// Final set over initial set.
    pub last: f64,
    /// How far a formula of evaporation may be off.
    pub dries: f64,
}

impl Draw {
    /// The middle of everything.
    pub(crate) const MIDDLE: Draw = Draw {
        air: (0.0, 0.0),
        wind: 0.0,
        sun: 0.0,
        water: 0.0,
        cement: 0.0,
        energy: 0.0,
        start: 0.0,
        pace: 0.0,
        edge: 0.0,
        set: 0.5,
        strength: 0.5,
        sheen: 0.5,
        course: 0.0,
        cold: 0.0,
        last: 0.0,
        dries: 0.0,
    };

    /// `n` members, evenly spread.
    pub(crate) fn spread(n: usize) -> Vec<Draw> {
        let shares = SALTS.map(|salt| evenly(n, salt));
        (0..n)
            .map(|i| {
                let share = |d: usize| {
                    let column = shares.get(d).map_or(&[][..], Vec::as_slice);
                    column.get(i).copied().unwrap_or(0.5)
                };
                let deviate = |d: usize| normal_quantile(share(d));
                Draw {
                    air: (deviate(0), deviate(1)),
                    wind: deviate(2),
                    sun: deviate(3),
                    water: deviate(4),
                    cement: deviate(5),
                    energy: deviate(6),
                    start: deviate(7),
                    edge: deviate(8),
                    set: share(9),
                    strength: share(10),
                    sheen: share(11),
                    pace: deviate(12),
                    course: deviate(13),
                    cold: deviate(14),
                    last: deviate(15),
                    dries: deviate(16),
                }
            })
            .collect()
    }
}

/// One for each unknown, chosen among the first 2000 so that of 64 and of 200 members no
/// two unknowns, nor their squares, go together.
const SALTS: [u64; 17] = [
    1, 574, 415, 877, 1249, 990, 684, 1358, 1147, 554, 695, 195, 1002, 1553, 1607, 182, 125,
];

/// Scatters a number over all 64 bits. Source: SplitMix64 (Steele, Lea and Flood 2014).
fn scatter(x: u64) -> u64 {
    let x = x.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let x = (x ^ (x >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let x = (x ^ (x >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    x ^ (x >> 31)
}

/// The shares `(j + 1/2)/n`, each once, in the order of `salt`.
fn evenly(n: usize, salt: u64) -> Vec<f64> {
    let mut order: Vec<(u64, usize)> = (0..n)
        .map(|i| (scatter((salt << 32) | i as u64), i))
        .collect();
    order.sort_unstable();
    let mut shares = vec![0.5; n];
    for (rank, (_, i)) in order.into_iter().enumerate() {
        if let Some(s) = shares.get_mut(i) {
            *s = (rank as f64 + 0.5) / n as f64;
        }
    }
    shares
}

/// The number below which a standard normal variable lies with probability `p`.
///
/// Source: Acklam's rational approximation (relative error below 1.15e-9).
pub(crate) fn normal_quantile(p: f64) -> f64 {
    let p = p.clamp(1e-12, 1.0 - 1e-12);
    let tail = |q: f64| {
        let top = ((((-7.784_894_002_430_293e-3 * q - 3.223_964_580_411_365e-1) * q
            - 2.400_758_277_161_838)
            * q
            - 2.549_732_539_343_734)
            * q
            + 4.374_664_141_464_968)
            * q
            + 2.938_163_982_698_783;
        let under = (((7.784_695_709_041_462e-3 * q + 3.224_671_290_700_398e-1) * q
            + 2.445_134_137_142_996)
            * q
            + 3.754_408_661_907_416)
            * q
            + 1.0;
        top / under
    };
    if p < 0.024_25 {
        return tail(libm::sqrt(-2.0 * libm::log(p)));
    }
    if p > 1.0 - 0.024_25 {
        return -tail(libm::sqrt(-2.0 * libm::log(1.0 - p)));
    }
    let q = p - 0.5;
    let r = q * q;
    let top = (((((-3.969_683_028_665_376e1 * r + 2.209_460_984_245_205e2) * r
        - 2.759_285_104_469_687e2)
        * r
        + 1.383_577_518_672_69e2)
        * r
        - 3.066_479_806_614_716e1)
        * r
        + 2.506_628_277_459_239)
        * q;
    let under = ((((-5.447_609_879_822_406e1 * r + 1.615_858_368_580_409e2) * r
        - 1.556_989_798_598_866e2)
        * r
        + 6.680_131_188_771_972e1)
        * r
        - 1.328_068_155_288_572e1)
        * r
        + 1.0;
    top / under
}

/// Probability that a standard normal variable lies below `x`.
pub(crate) fn normal_below(x: f64) -> f64 {
    0.5 * libm::erfc(-x / core::f64::consts::SQRT_2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_as_tabled() {
        // Any table of the normal distribution: 5 %, 50 %, 95 %, 97.5 %, 99.9 %.
        for (p, z) in [
            (0.05, -1.644_854),
            (0.5, 0.0),
            (0.95, 1.644_854),
            (0.975, 1.959_964),
            (0.999, 3.090_232),
        ] {
            assert!((normal_quantile(p) - z).abs() < 1e-5, "{p}");
            assert!((normal_below(z) - p).abs() < 1e-6, "{z}");
        }
    }

    #[test]
    fn members_cover_each_unknown_evenly_and_alone() {
        for n in [63, 64, 128, 200] {
            let columns = SALTS.map(|salt| evenly(n, salt));
            for (d, c) in columns.iter().enumerate() {
                let mut sorted = c.clone();
                sorted.sort_by(f64::total_cmp);
                for (i, u) in sorted.iter().enumerate() {
                    assert!((u - (i as f64 + 0.5) / n as f64).abs() < 1e-12);
                }
                for (e, other) in columns.iter().enumerate().take(d) {
                    let products = c.iter().zip(other).map(|(a, b)| (a - 0.5) * (b - 0.5));
                    let r = products.sum::<f64>() / n as f64 * 12.0;
                    assert!(r.abs() < 0.17, "{n} members, unknowns {d} and {e}: {r}");
                }
            }
        }
    }
}
