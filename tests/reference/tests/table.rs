//! Reading the tables of `data`.

/// The cells of every row below the heading.
pub fn rows(text: &str) -> Vec<Vec<&str>> {
    text.lines()
        .skip(1)
        .map(|l| l.split(',').collect())
        .collect()
}

/// A cell that is a number.
pub fn number(cell: &str) -> f64 {
    cell.parse().unwrap_or_else(|_| panic!("no number: {cell}"))
}
