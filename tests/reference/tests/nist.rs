//! The solver against the certified nonlinear fits of NIST StRD (`data/nist-strd.md`):
//! every parameter, standard deviation and residual to six digits, from both starts.

use slowstone_curing::fit::{Model, least_squares};

/// Value and gradient at x.
type Shape = fn(f64, &[f64], &mut [f64]) -> f64;

struct Published(usize, Shape);

impl Model for Published {
    fn parameters(&self) -> usize {
        self.0
    }
    fn value(&self, x: f64, p: &[f64], g: &mut [f64]) -> f64 {
        (self.1)(x, p, g)
    }
}

/// `b1 (1 - exp(-b2 x))`
fn gain(x: f64, p: &[f64], g: &mut [f64]) -> f64 {
    let e = (-p[1] * x).exp();
    g[0] = 1.0 - e;
    g[1] = p[0] * x * e;
    p[0] * g[0]
}

/// `b1 / (1 + exp(b2 - b3 x))`
fn sigmoid(x: f64, p: &[f64], g: &mut [f64]) -> f64 {
    let e = (p[1] - p[2] * x).exp();
    g[0] = 1.0 / (1.0 + e);
    g[1] = -p[0] * e * g[0] * g[0];
    g[2] = -x * g[1];
    p[0] * g[0]
}

/// `b1 (x² + b2 x) / (x² + b3 x + b4)`
fn enzyme(x: f64, p: &[f64], g: &mut [f64]) -> f64 {
    let (top, below) = (x * x + p[1] * x, x * x + p[2] * x + p[3]);
    g[0] = top / below;
    g[1] = p[0] * x / below;
    g[2] = -p[0] * top * x / (below * below);
    g[3] = -p[0] * top / (below * below);
    p[0] * g[0]
}

/// `(b1 + b2 x + b3 x² + b4 x³) / (1 + b5 x + b6 x² + b7 x³)`
fn cubic_over_cubic(x: f64, p: &[f64], g: &mut [f64]) -> f64 {
    let powers = [1.0, x, x * x, x * x * x];
    let top: f64 = (0..4).map(|i| p[i] * powers[i]).sum();
    let below: f64 = 1.0 + (1..4).map(|i| p[3 + i] * powers[i]).sum::<f64>();
    for i in 0..4 {
        g[i] = powers[i] / below;
    }
    for i in 1..4 {
        g[3 + i] = -top * powers[i] / (below * below);
    }
    top / below
}

/// `b1 exp(b2 / (x + b3))`
fn arrhenius(x: f64, p: &[f64], g: &mut [f64]) -> f64 {
    let u = x + p[2];
    g[0] = (p[1] / u).exp();
    g[1] = p[0] * g[0] / u;
    g[2] = -p[0] * g[0] * p[1] / (u * u);
    p[0] * g[0]
}

/// One set as certified.
struct Set {
    starts: [Vec<f64>; 2],
    parameters: Vec<f64>,
    deviations: Vec<f64>,
    squares: f64,
    residual_sd: f64,
    points: Vec<(f64, f64)>,
}

fn set(name: &str) -> Set {
    let all = include_str!("../data/nist-strd.md");
    let (_, text) = all.split_once(&format!("## {name} ")).unwrap();
    let text = text.split("\n## ").next().unwrap();
    let rows: Vec<Vec<f64>> = text
        .lines()
        .filter(|l| l.starts_with("| b"))
        .map(|l| l.split('|').filter_map(|c| c.trim().parse().ok()).collect())
        .collect();
    let column = |i: usize| rows.iter().map(|r| r[i]).collect::<Vec<f64>>();
    let after = |words: &str| -> f64 {
        let (_, rest) = text.split_once(words).unwrap();
        rest.split(',').next().unwrap().trim().parse().unwrap()
    };
    let data = text.split("```").nth(1).unwrap();
    let points = data
        .lines()
        .filter_map(|l| l.split_once(','))
        .map(|(y, x)| (x.trim().parse().unwrap(), y.trim().parse().unwrap()))
        .collect();
    Set {
        starts: [column(0), column(1)],
        parameters: column(2),
        deviations: column(3),
        squares: after("Residual sum of squares "),
        residual_sd: after("residual standard deviation "),
        points,
    }
}

fn close(name: &str, ours: f64, certified: f64, relative: f64) {
    let off = (ours / certified - 1.0).abs();
    assert!(
        off <= relative,
        "{name}: {ours}, certified {certified}, off by {off:e}"
    );
}

fn check(name: &str, points: usize, shape: Shape) {
    let set = set(name);
    assert_eq!(set.points.len(), points, "{name}");
    let model = Published(set.parameters.len(), shape);
    for (i, start) in set.starts.iter().enumerate() {
        let label = format!("{name} from start {}", i + 1);
        let fit =
            least_squares(&model, &set.points, start).unwrap_or_else(|e| panic!("{label}: {e:?}"));
        for (ours, certified) in fit.parameters.iter().zip(&set.parameters) {
            close(&label, *ours, *certified, 1e-6);
        }
        for (ours, certified) in fit.standard_errors.iter().zip(&set.deviations) {
            close(&label, *ours, *certified, 1e-6);
        }
        close(&label, fit.sum_of_squares, set.squares, 1e-8);
        close(&label, fit.residual_sd, set.residual_sd, 1e-8);
        assert_eq!(fit.degrees_of_freedom, points - set.parameters.len());
    }
}

#[test]
fn misra1a() {
    check("Misra1a", 14, gain);
}

#[test]
fn boxbod() {
    check("BoxBOD", 6, gain);
}

#[test]
fn rat42() {
    check("Rat42", 9, sigmoid);
}

#[test]
fn mgh09() {
    check("MGH09", 11, enzyme);
}

#[test]
fn thurber() {
    check("Thurber", 37, cubic_over_cubic);
}

#[test]
fn mgh10() {
    check("MGH10", 16, arrhenius);
}
