//! Nonlinear least squares by Levenberg and Marquardt, with standard errors.
//!
//! Steps come from an orthogonal factorisation of the damped Jacobian (never from normal
//! equations), columns scaled by their norms with a fading memory of greater ones
//! (Marquardt 1963, Moré 1978). It ends by the relative offset of Bates and Watts 1981,
//! which measures the distance to the solution in standard errors, or it fails and says
//! so. Derivatives come from the [`Model`].

/// What is fitted: a function of one variable with parameters.
pub trait Model {
    /// How many parameters.
    fn parameters(&self) -> usize;
    /// Value at `x`; fills `gradient` (as long as the parameters) with its derivatives by
    /// each parameter. NaN says that the parameters are not allowed.
    fn value(&self, x: f64, parameters: &[f64], gradient: &mut [f64]) -> f64;
}

/// A finished fit.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted {
    /// Parameters in the model's order.
    pub parameters: Vec<f64>,
    /// Their standard errors.
    pub standard_errors: Vec<f64>,
    /// Sum of squares of what is left.
    pub sum_of_squares: f64,
    /// Standard deviation of what is left.
    pub residual_sd: f64,
    /// Points less parameters.
    pub degrees_of_freedom: usize,
}

/// Why there is no fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FitError {
    /// Fewer points than parameters and one more, or a start of the wrong length.
    TooFewPoints,
    /// No start led to parameters at which the sum of squares is least.
    NotConverged,
    /// The points leave a parameter open, or give it a sign that it cannot have.
    Undetermined,
}

/// Distance to the solution at which a fit ends, in standard errors.
const RELATIVE_OFFSET: f64 = 1e-8;
/// Share of the data's own size below which what is left is rounding.
const ROUNDING: f64 = 1e-13;
/// Share of the sum of squares below which a gain cannot be told from rounding.
const HIDDEN: f64 = 1e-12;
/// A column this much shorter, after taking out the others, says nothing of its own.
const RANK: f64 = 1e-13;
/// First dampings that are tried one after another, from a bold start to a careful one.
const DAMPINGS: [f64; 4] = [1e-3, 1.0, 1e3, 1e6];
/// How slowly a scale forgets a steeper place: at once, and a search runs off to where a
/// parameter says nothing; never, and it creeps through long valleys.
const FADING: f64 = 0.9;
/// The hardest certified case needs 8000.
const STEPS: usize = 12_000;

/// Fits a model to points (x, y), all with the same weight.
///
/// # Errors
/// [`FitError`]; there are no numbers then.
pub fn least_squares(
    model: &impl Model,
    points: &[(f64, f64)],
    start: &[f64],
) -> Result<Fitted, FitError> {
    within(model, points, start, STEPS)
}

/// [`least_squares`] with fewer steps, for starts that are near already.
pub(super) fn within(
    model: &impl Model,
    points: &[(f64, f64)],
    start: &[f64],
    steps: usize,
) -> Result<Fitted, FitError> {
    let n = model.parameters();
    if start.len() != n || points.len() <= n {
        return Err(FitError::TooFewPoints);
    }
    DAMPINGS
        .iter()
        .filter_map(|damping| search(model, points, start, (*damping, steps)))
        .min_by(|a, b| a.sum_of_squares.total_cmp(&b.sum_of_squares))
        .ok_or(FitError::NotConverged)
}

/// A state of the search: parameters, what is left, and the Jacobian by columns.
struct State {
    parameters: Vec<f64>,
    left: Vec<f64>,
    columns: Vec<Vec<f64>>,
    squares: f64,
}

impl State {
    /// `None` where the model has no value.
    fn at(model: &impl Model, points: &[(f64, f64)], parameters: Vec<f64>) -> Option<State> {
        let mut columns = vec![Vec::with_capacity(points.len()); parameters.len()];
        let mut left = Vec::with_capacity(points.len());
        let mut gradient = vec![0.0; parameters.len()];
        for (x, y) in points {
            left.push(y - model.value(*x, &parameters, &mut gradient));
            for (column, g) in columns.iter_mut().zip(&gradient) {
                column.push(*g);
            }
        }
        let squares = dot(&left, &left);
        let whole = squares.is_finite() && columns.iter().flatten().all(|g| g.is_finite());
        whole.then_some(State {
            parameters,
            left,
            columns,
            squares,
        })
    }

    fn stepped(&self, step: &[f64]) -> Vec<f64> {
        let sum = |(p, s): (&f64, &f64)| p + s;
        self.parameters.iter().zip(step).map(sum).collect()
    }
}

/// One search from a first damping, with at most so many steps.
fn search(
    model: &impl Model,
    points: &[(f64, f64)],
    start: &[f64],
    (first, steps): (f64, usize),
) -> Option<Fitted> {
    let size = points.iter().map(|(_, y)| y * y).sum::<f64>().sqrt();
    let mut now = State::at(model, points, start.to_vec())?;
    let mut scales = vec![0.0_f64; start.len()];
    let (mut damping, mut growth) = (first, 2.0);
    for _ in 0..steps {
        if let Some(fitted) = finished(&now, size) {
            return Some(fitted);
        }
        for (scale, column) in scales.iter_mut().zip(&now.columns) {
            *scale = norm(column).max(FADING * *scale);
        }
        let (mut columns, mut rhs) = (now.columns.clone(), now.left.clone());
        rhs.resize(points.len() + scales.len(), 0.0);
        for (j, (column, scale)) in columns.iter_mut().zip(&scales).enumerate() {
            let weight = damping.sqrt() * scale.max(f64::MIN_POSITIVE);
            column.extend((0..scales.len()).map(|k| if k == j { weight } else { 0.0 }));
        }
        let step = solve(&mut columns, &mut rhs)?.solution;
        let tried = State::at(model, points, now.stepped(&step));
        // What the linear model promises: |r|² - |r - J s|².
        let linear: Vec<f64> = linear_left(&now, &step);
        let promised = now.squares - dot(&linear, &linear);
        let gained = tried.as_ref().map_or(f64::NAN, |t| now.squares - t.squares);
        // So near the end, rounding hides the gain; the offset decides when it is over.
        let hidden = promised.max(gained.abs()) <= HIDDEN * now.squares;
        match tried {
            Some(t) if hidden || (gained > 0.0 && promised > 0.0) => {
                let bend = if hidden {
                    0.0
                } else {
                    2.0 * gained / promised - 1.0
                };
                damping *= (1.0 - bend * bend * bend).clamp(1.0 / 3.0, 2.0);
                if hidden {
                    damping *= 0.1;
                }
                growth = 2.0;
                now = t;
            }
            _ => {
                damping *= growth;
                growth *= 2.0;
            }
        }
        damping = damping.max(1e-16);
        if damping > 1e32 {
            return None;
        }
    }
    None
}

fn linear_left(now: &State, step: &[f64]) -> Vec<f64> {
    let mut left = now.left.clone();
    for (column, s) in now.columns.iter().zip(step) {
        take(&mut left, column, *s);
    }
    left
}

/// The fit, if the search has arrived.
fn finished(now: &State, size: f64) -> Option<Fitted> {
    let n = now.columns.len();
    let (mut columns, mut rhs) = (now.columns.clone(), now.left.clone());
    let to_gain = solve(&mut columns, &mut rhs)?.explained;
    let least = dot(&rhs, &rhs);
    let degrees_of_freedom = now.left.len() - n;
    let (a, b) = (to_gain / n as f64, least / degrees_of_freedom as f64);
    let arrived = a.sqrt() <= RELATIVE_OFFSET * b.sqrt() || to_gain.sqrt() <= ROUNDING * size;
    if !arrived {
        return None;
    }
    let residual_sd = (now.squares / degrees_of_freedom as f64).sqrt();
    let errors = own_lengths(&now.columns)?;
    Some(Fitted {
        parameters: now.parameters.clone(),
        standard_errors: errors.iter().map(|l| residual_sd / l).collect(),
        sum_of_squares: now.squares,
        residual_sd,
        degrees_of_freedom,
    })
}

/// Length of each column after all others are taken out of it: one over its square is the
/// diagonal of the inverse of JᵀJ.
fn own_lengths(columns: &[Vec<f64>]) -> Option<Vec<f64>> {
    (0..columns.len())
        .map(|j| {
            let mut others: Vec<Vec<f64>> = columns.to_vec();
            let mut own = others.remove(j);
            solve(&mut others, &mut own)?;
            let length = norm(&own);
            (length > 0.0).then_some(length)
        })
        .collect()
}

/// A solved linear system.
struct Solved {
    solution: Vec<f64>,
    /// Squares of the right side that the columns explain.
    explained: f64,
}

/// Least squares of a linear system by modified Gram and Schmidt; the columns are
/// overwritten, and `rhs` becomes what is left. `None` if a column says nothing of its own.
fn solve(columns: &mut [Vec<f64>], rhs: &mut [f64]) -> Option<Solved> {
    let lengths: Vec<f64> = columns.iter().map(|c| norm(c)).collect();
    reduce(columns, &lengths, rhs)
}

fn reduce(columns: &mut [Vec<f64>], lengths: &[f64], rhs: &mut [f64]) -> Option<Solved> {
    let (Some((first, others)), Some((whole, lengths))) =
        (columns.split_first_mut(), lengths.split_first())
    else {
        return Some(Solved {
            solution: Vec::new(),
            explained: 0.0,
        });
    };
    let length = norm(first);
    // Written so that NaN fails too.
    if !(length > RANK * whole) {
        return None;
    }
    for x in first.iter_mut() {
        *x /= length;
    }
    let mut row = Vec::with_capacity(others.len());
    for other in others.iter_mut() {
        let part = dot(first, other);
        take(other, first, part);
        row.push(part);
    }
    let part = dot(first, rhs);
    take(rhs, first, part);
    let mut solved = reduce(others, lengths, rhs)?;
    let value = (part - dot(&row, &solved.solution)) / length;
    solved.solution.insert(0, value);
    solved.explained += part * part;
    Some(solved)
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

fn norm(a: &[f64]) -> f64 {
    dot(a, a).sqrt()
}

/// Takes `part` times `b` out of `a`.
fn take(a: &mut [f64], b: &[f64], part: f64) {
    for (x, y) in a.iter_mut().zip(b) {
        *x -= part * y;
    }
}
