//! The pure core for the browser: JSON in, JSON out.
