//! Weighted linear least squares for a handful of parameters.
//!
//! Normal equations, solved by Cholesky; doses are scaled to about 1 before, so that the
//! loss of digits does not matter. Returns the covariance of the parameters too.

/// Parameters and their covariance.
#[derive(Clone, Debug)]
pub(super) struct Solved {
    pub values: Vec<f64>,
    covariance: Vec<Vec<f64>>,
}

impl Solved {
    /// Value of the sum over a row of the design.
    pub(super) fn at(&self, row: &[f64]) -> f64 {
        dot(row, &self.values)
    }

    /// Variance of it.
    pub(super) fn variance(&self, row: &[f64]) -> f64 {
        let along = self.covariance.iter().map(|c| dot(c, row));
        row.iter()
            .zip(along)
            .map(|(x, c)| x * c)
            .sum::<f64>()
            .max(0.0)
    }

    /// Makes all parameters less sure.
    pub(super) fn widen(&mut self, variance_times: f64) {
        for v in self.covariance.iter_mut().flatten() {
            *v *= variance_times;
        }
    }
}

/// Solves for the rows, their values and weights (one over variance). `None` if the rows
/// do not determine the parameters.
pub(super) fn solve(rows: &[Vec<f64>], values: &[f64], weights: &[f64]) -> Option<Solved> {
    let p = rows.first()?.len();
    let mut normal = vec![vec![0.0; p]; p];
    let mut right = vec![0.0; p];
    for ((row, value), weight) in rows.iter().zip(values).zip(weights) {
        for (i, x) in row.iter().enumerate() {
            *right.get_mut(i)? += weight * x * value;
            for (sum, y) in normal.get_mut(i)?.iter_mut().zip(row) {
                *sum += weight * x * y;
            }
        }
    }
    let lower = cholesky(&normal)?;
    let values = back(&lower, &right)?;
    let columns: Option<Vec<Vec<f64>>> = (0..p)
        .map(|i| {
            let unit: Vec<f64> = (0..p).map(|j| f64::from(u8::from(i == j))).collect();
            back(&lower, &unit)
        })
        .collect();
    Some(Solved {
        values,
        covariance: columns?,
    })
}

/// The lower triangle L of A = L Lᵀ; `None` if a pivot vanishes.
fn cholesky(a: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
    let mut lower: Vec<Vec<f64>> = Vec::new();
    for (i, row) in a.iter().enumerate() {
        let mut new: Vec<f64> = Vec::new();
        for (j, value) in row.iter().take(i + 1).enumerate() {
            if j == i {
                let pivot = value - dot(&new, &new);
                // Below the digits that the sums have.
                if !(pivot > 1e-10 * value) {
                    return None;
                }
                new.push(pivot.sqrt());
            } else {
                let above: &Vec<f64> = lower.get(j)?;
                new.push((value - dot(&new, above)) / above.last()?);
            }
        }
        lower.push(new);
    }
    Some(lower)
}

/// Solves L Lᵀ x = b.
fn back(lower: &[Vec<f64>], b: &[f64]) -> Option<Vec<f64>> {
    let mut y: Vec<f64> = Vec::new();
    for (row, value) in lower.iter().zip(b) {
        let next = (value - dot(&y, row)) / row.last()?;
        y.push(next);
    }
    // From the last to the first; `x` holds them in that order.
    let mut x: Vec<f64> = Vec::new();
    for i in (0..y.len()).rev() {
        let below = lower.iter().rev().take(x.len());
        let sum: f64 = below
            .zip(&x)
            .filter_map(|(row, x)| row.get(i).map(|l| l * x))
            .sum();
        x.push((y.get(i)? - sum) / lower.get(i)?.last()?);
    }
    x.reverse();
    Some(x)
}

/// Sum of products as far as both reach.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;

    #[test]
    fn a_line_with_known_errors() {
        // y = 1 + 2 x with variance 0.25; covariance of the line by hand:
        // variance of the slope = 0.25 / sum (x - mean)² = 0.25 / 5.
        let rows: Vec<Vec<f64>> = (0..4).map(|x| vec![1.0, f64::from(x)]).collect();
        let solved = solve(&rows, &[1.0, 3.0, 5.0, 7.0], &[4.0; 4]).unwrap();
        assert!((solved.values[0] - 1.0).abs() < 1e-12, "{solved:?}");
        assert!((solved.values[1] - 2.0).abs() < 1e-12, "{solved:?}");
        assert!(
            (solved.variance(&[0.0, 1.0]) - 0.05).abs() < 1e-12,
            "{solved:?}"
        );
        assert!(
            (solved.variance(&[1.0, 1.5]) - 0.0625).abs() < 1e-12,
            "{solved:?}"
        );
    }

    #[test]
    fn three_parameters_and_what_cannot_be_told_apart() {
        let rows: Vec<Vec<f64>> = (0..5).map(f64::from).map(|x| vec![1.0, x, x * x]).collect();
        let y: Vec<f64> = rows.iter().map(|r| 3.0 - r[1] + 0.5 * r[2]).collect();
        let solved = solve(&rows, &y, &[1.0, 2.0, 1.0, 3.0, 1.0]).unwrap();
        for (got, want) in solved.values.iter().zip([3.0, -1.0, 0.5]) {
            assert!((got - want).abs() < 1e-9, "{solved:?}");
        }
        let same: Vec<Vec<f64>> = (0..5)
            .map(f64::from)
            .map(|x| vec![1.0, x, 2.0 * x])
            .collect();
        assert!(solve(&same, &y, &[1.0; 5]).is_none());
        assert!(solve(&[], &[], &[]).is_none());
    }
}
