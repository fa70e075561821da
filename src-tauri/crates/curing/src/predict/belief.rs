//! What is believed of one number after seeing evidence: a normal prior on a grid.
//!
//! Used for the logarithms of the factors on set, sheen and strength. Exact up to the
//! grid for any likelihood; no sampling. Which evidence says what is in
//! [`super::evidence`].

use super::draw::normal_quantile;

/// Nodes of the grid and its reach in standard deviations.
const NODES: i32 = 41;
const REACH: f64 = 3.8;

/// A distribution on a grid.
#[derive(Clone, Debug)]
pub(crate) struct Belief {
    /// Values and their share of the whole, ascending; empty while there is no evidence.
    grid: Vec<(f64, f64)>,
    prior: (f64, f64),
    /// Logarithm of how well the prior foresaw the evidence.
    pub evidence: f64,
}

impl Belief {
    /// A normal prior that has met no evidence.
    pub(crate) fn prior(mean: f64, sd: f64) -> Belief {
        Belief {
            grid: Vec::new(),
            prior: (mean, sd),
            evidence: 0.0,
        }
    }

    /// The prior after evidence with this log-likelihood.
    pub(crate) fn after(mean: f64, sd: f64, log_likelihood: impl Fn(f64) -> f64) -> Belief {
        let node = |i: i32| REACH * (2.0 * f64::from(i) / f64::from(NODES - 1) - 1.0);
        let mut grid: Vec<(f64, f64)> = (0..NODES)
            .map(|i| {
                let (z, x) = (node(i), mean + sd * node(i));
                (x, log_likelihood(x) - 0.5 * z * z)
            })
            .collect();
        let best = grid.iter().map(|g| g.1).fold(f64::NEG_INFINITY, f64::max);
        if !best.is_finite() {
            return Belief::prior(mean, sd);
        }
        let mut sum = 0.0;
        for g in &mut grid {
            g.1 = libm::exp(g.1 - best);
            sum += g.1;
        }
        for g in &mut grid {
            g.1 /= sum;
        }
        Belief {
            grid,
            prior: (mean, sd),
            evidence: best + libm::log(sum),
        }
    }

    /// Evidence changed what is believed.
    pub(crate) fn met_evidence(&self) -> bool {
        !self.grid.is_empty()
    }

    /// The value below which the share `u` lies.
    pub(crate) fn quantile(&self, u: f64) -> f64 {
        let (mean, sd) = self.prior;
        let mut sum = 0.0;
        let mut last: Option<(f64, f64)> = None;
        for (x, share) in &self.grid {
            // A node's share lies half before and half after it.
            let upto = sum + 0.5 * share;
            if let Some((was_x, was)) = last
                && upto >= u
            {
                let f = ((u - was) / (upto - was).max(1e-300)).clamp(0.0, 1.0);
                return was_x + (x - was_x) * f;
            }
            if last.is_none() && upto >= u {
                return *x;
            }
            sum += share;
            last = Some((*x, upto));
        }
        last.map_or_else(|| mean + sd * normal_quantile(u), |l| l.0)
    }

    /// The mean of a function of it.
    pub(crate) fn mean_of(&self, of: impl Fn(f64) -> f64) -> f64 {
        if self.grid.is_empty() {
            return of(self.prior.0);
        }
        self.grid.iter().map(|(x, share)| share * of(*x)).sum()
    }

    /// Mean and variance.
    pub(crate) fn moments(&self) -> (f64, f64) {
        if self.grid.is_empty() {
            return (self.prior.0, self.prior.1 * self.prior.1);
        }
        let mean: f64 = self.grid.iter().map(|g| g.0 * g.1).sum();
        let var = self
            .grid
            .iter()
            .map(|g| (g.0 - mean) * (g.0 - mean) * g.1)
            .sum();
        (mean, var)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn normal_evidence_gives_the_closed_form() {
        // Prior N(0.1, 0.2), datum 0.4 with sd 0.1: precision weights 25 and 100.
        let b = Belief::after(0.1, 0.2, |x| -0.5 * ((x - 0.4) / 0.1) * ((x - 0.4) / 0.1));
        let (mean, var) = b.moments();
        assert!((mean - (0.1 * 25.0 + 0.4 * 100.0) / 125.0).abs() < 1e-3);
        assert!((var - 1.0 / 125.0).abs() < 1e-4);
        assert!((b.quantile(0.5) - mean).abs() < 2e-3);
        assert!((b.quantile(0.95) - mean - 1.645 * libm::sqrt(var)).abs() < 5e-3);
    }

    #[test]
    fn no_evidence_leaves_the_prior() {
        let b = Belief::prior(0.3, 0.5);
        assert_eq!(b.moments(), (0.3, 0.25));
        assert!((b.quantile(0.975) - 0.3 - 0.98).abs() < 1e-3);
        let useless = Belief::after(0.3, 0.5, |_| f64::NEG_INFINITY);
        assert_eq!(useless.moments(), (0.3, 0.25));
    }
}
