//! Fitting a strength curve to tests: parameters with standard errors.
//!
//! [`strength_curve`] fits one of the curves of [`crate::strength`]; the solver under it is
//! [`least_squares`], checked against the certified cases of NIST StRD. A fit
//! that does not converge says so and gives no numbers. What observations without a test
//! machine teach is in [`crate::learn`].

mod curves;
mod levenberg;

pub use curves::{Kind, StrengthFit, strength_curve};
pub use levenberg::{FitError, Fitted, Model, least_squares};
