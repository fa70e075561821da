//! The one table that `cargo xtask bench` ends with.
//!
//! A part of the bench writes one line for each row to its output, six fields parted by
//! tabs: what, measured, unit, anchor, value of the anchor, how. A field may be empty: a row
//! without a value says in *how* why there is none. Here the lines are read and laid out;
//! which parts there are is in [`super`].

use std::fmt::Write;

/// The heads of the columns.
const HEADS: [&str; 5] = ["what", "measured", "anchor", "ratio", "how"];

/// One thing that was measured, or that could not be.
#[derive(Debug, Default, PartialEq)]
pub struct Row {
    what: String,
    measured: Option<f64>,
    unit: String,
    anchor: String,
    anchored: Option<f64>,
    how: String,
}

impl Row {
    /// Reads a line of a part; none if it is no row.
    pub fn read(line: &str) -> Option<Self> {
        let fields: Vec<&str> = line.trim_end().split('\t').collect();
        let [what, measured, unit, anchor, anchored, how] = fields.try_into().ok()?;
        let number = |text: &str| match text {
            "" => Some(None),
            _ => text.parse::<f64>().ok().map(Some),
        };
        Some(Self {
            what: what.to_owned(),
            measured: number(measured)?,
            unit: unit.to_owned(),
            anchor: anchor.to_owned(),
            anchored: number(anchored)?,
            how: how.to_owned(),
        })
    }

    /// A row that says why there is no value.
    pub fn missing(what: &str, why: &str) -> Self {
        Self {
            what: what.to_owned(),
            how: why.lines().next().unwrap_or_default().to_owned(),
            ..Self::default()
        }
    }

    /// What stands in each column.
    fn cells(&self) -> [String; 5] {
        let with_unit = |x: f64| format!("{} {}", short(x), self.unit).trim_end().to_owned();
        let ratio = self.measured.zip(self.anchored).filter(|(_, a)| *a != 0.0);
        let anchor = match self.anchored {
            Some(a) => format!("{}: {}", self.anchor, with_unit(a)),
            None => self.anchor.clone(),
        };
        [
            self.what.clone(),
            self.measured.map_or_else(|| "–".to_owned(), with_unit),
            anchor,
            ratio.map_or_else(String::new, |(m, a)| short(m / a)),
            self.how.clone(),
        ]
    }
}

/// Three digits that count, and whole numbers whole.
fn short(x: f64) -> String {
    let digits = match x.abs() {
        size if size >= 99.95 || x.fract() == 0.0 => 0,
        size if size >= 9.995 => 1,
        size if size >= 0.9995 => 2,
        size if size >= 0.09995 => 3,
        _ => 4,
    };
    format!("{x:.digits$}")
}

/// All rows, for a terminal or as Markdown.
pub fn table(rows: &[Row], markdown: bool) -> String {
    let cells: Vec<[String; 5]> = rows.iter().map(Row::cells).collect();
    let mut out = String::new();
    if markdown {
        let _ = writeln!(out, "| {} |\n|---|---:|---|---:|---|", HEADS.join(" | "));
        for row in &cells {
            let _ = writeln!(out, "| {} |", row.join(" | "));
        }
        return out;
    }
    let heads = HEADS.map(str::to_owned);
    let all = || std::iter::once(&heads).chain(&cells);
    // The last column is as wide as it is.
    let widths: Vec<usize> = (0..HEADS.len() - 1)
        .map(|i| {
            let width = |row: &[String; 5]| row.get(i).map_or(0, |c| c.chars().count());
            all().map(width).max().unwrap_or(0)
        })
        .collect();
    for row in all() {
        let mut line = String::new();
        for (i, cell) in row.iter().enumerate() {
            let width = widths.get(i).copied().unwrap_or(0);
            let _ = match i {
                1 | 3 => write!(line, "{cell:>width$}  "),
                _ => write!(line, "{cell:<width$}  "),
            };
        }
        let _ = writeln!(out, "{}", line.trim_end());
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_is_read_and_its_ratio_told() {
        let row = Row::read("fold\t12.34\tms\tfrom scratch\t3702\tmedian of 7\n").unwrap();
        let [what, measured, anchor, ratio, how] = row.cells();
        assert_eq!([what, measured], ["fold", "12.3 ms"]);
        assert_eq!(anchor, "from scratch: 3702 ms");
        assert_eq!([ratio, how], ["0.0033", "median of 7"]);
    }

    #[test]
    fn what_is_no_row_is_none() {
        for line in [
            "",
            "progress",
            "a\tb\tc",
            "a\tmany\tms\t\t\t",
            "a\t1\t\t\t\t\t",
        ] {
            assert_eq!(Row::read(line), None, "{line}");
        }
    }

    #[test]
    fn a_row_without_a_value_says_why() {
        let row = Row::read("small picture\t\t\t\t\tvips is not installed").unwrap();
        assert_eq!(
            row,
            Row::missing("small picture", "vips is not installed\nat all")
        );
        let text = table(&[row], false);
        assert!(text.contains("–  "), "{text}");
        assert!(text.ends_with("vips is not installed\n"), "{text}");
    }

    #[test]
    fn columns_stand_below_each_other_and_markdown_is_a_table() {
        let rows =
            ["a\t1\tms\tb\t2\tc", "longer\t1000.5\tms\t\t\td"].map(|l| Row::read(l).unwrap());
        let text = table(&rows, false);
        let lines: Vec<&str> = text.lines().collect();
        let at = |line: &str, word: &str| line.find(word).unwrap();
        assert_eq!(at(lines[0], "how"), at(lines[1], "c"));
        assert_eq!(at(lines[0], "how"), lines[2].len() - 1);
        let markdown = table(&rows, true);
        assert!(
            markdown.contains("| a | 1 ms | b: 2 ms | 0.500 | c |"),
            "{markdown}"
        );
        assert_eq!(markdown.lines().count(), 4);
    }
}
