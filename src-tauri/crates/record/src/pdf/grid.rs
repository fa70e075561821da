//! Lays out what stands in rows and columns: names with their values, and tables, whose headings
//! are repeated on every page that they reach.
//!
//! A row is never cut. Part of [`super::flow`]; drawn by [`super::draw`].

use super::flow::{
    INK, LINE, MARGIN, Mark, Part, Pen, QUIET, RULE, Role, SMALL, TEXT, Tint, counted,
};
use crate::doc::Table;

impl Pen<'_> {
    /// Names over values, three side by side; long ones over the whole width.
    pub(super) fn facts(&mut self, facts: &[(String, String)]) {
        let third = (self.width() - 24.0) / 3.0;
        let regular = self.faces.of(false);
        let is_long = |value: &str| regular.wrap(value, TEXT, third).len() > 2;
        let (long, short): (Vec<_>, Vec<_>) = facts.iter().partition(|(_, v)| is_long(v));
        for row in short.chunks(3) {
            self.fact_row(row, third);
        }
        for fact in long {
            let width = self.width();
            self.fact_row(&[fact], width);
        }
        self.y += 4.0;
    }

    fn fact_row(&mut self, row: &[&(String, String)], width: f32) {
        let tall = |(k, v): &&(String, String)| {
            let names = self.faces.of(false).wrap(k, 7.5, width).len();
            let values = self.faces.of(true).wrap(v, TEXT, width).len();
            counted(names) * 7.5 * LINE + counted(values) * TEXT * LINE
        };
        let high = row
            .iter()
            .map(tall)
            .fold(0.0, f32::max)
            .min(self.bottom() - MARGIN);
        self.room(high);
        let (top, page) = (self.y, self.laid.sheets.len());
        for (n, (name, value)) in row.iter().enumerate() {
            let x = MARGIN + counted(n) * (width + 12.0);
            let part = self.part(Role::Paragraph, None);
            if self.laid.sheets.len() == page {
                self.y = top;
            }
            self.lines(part, name, (7.5, false, QUIET), x, width);
            self.lines(part, value, (TEXT, true, INK), x, width);
        }
        if self.laid.sheets.len() == page {
            self.y = top + high + 5.0;
        }
    }

    pub(super) fn table(&mut self, table: &Table) {
        let whole: f32 = table.widths.iter().sum();
        let scale = self.width() / whole.max(0.1);
        let widths: Vec<f32> = table.widths.iter().map(|w| w * scale).collect();
        let root = self.part(Role::Table(table.caption.clone()), None);
        self.y += 2.0;
        let heads: Vec<(String, Option<Tint>)> =
            table.head.iter().map(|h| (h.clone(), None)).collect();
        self.room(44.0);
        self.row(root, &heads, &widths, true);
        for row in &table.rows {
            let cells: Vec<(String, Option<Tint>)> =
                row.iter().map(|c| (c.text.clone(), c.swatch)).collect();
            let high = self.row_height(&cells, &widths, false);
            if self.y + high > self.bottom() && self.y > MARGIN {
                self.turn();
                // Its headings again, for the eye alone.
                self.head_again(&heads, &widths);
            }
            self.row(root, &cells, &widths, false);
        }
        self.y += 6.0;
    }

    fn row_height(&self, cells: &[(String, Option<Tint>)], widths: &[f32], bold: bool) -> f32 {
        let rows = cells
            .iter()
            .zip(widths)
            .enumerate()
            .map(|(n, ((text, swatch), w))| {
                let inset = if swatch.is_some() { 20.0 } else { 0.0 };
                self.faces
                    .of(bold || n == 0)
                    .wrap(text, SMALL, w - 6.0 - inset)
                    .len()
            });
        counted(rows.max().unwrap_or(1)) * SMALL * LINE + 5.0
    }

    fn row(&mut self, root: Part, cells: &[(String, Option<Tint>)], widths: &[f32], head: bool) {
        let high = self.row_height(cells, widths, head);
        let row = self.part(Role::Row, Some(root));
        let (top, mut x) = (self.y, MARGIN);
        for (n, ((text, swatch), w)) in cells.iter().zip(widths).enumerate() {
            let role = match (head, n) {
                (true, _) => Role::ColumnHead,
                (false, 0) => Role::RowHead,
                _ => Role::Cell,
            };
            let cell = self.part(role, Some(row));
            let inset = if let Some(tint) = swatch {
                self.put(
                    None,
                    Mark::Box {
                        x,
                        y: top + 2.5,
                        w: 15.0,
                        h: 9.0,
                        tint: *tint,
                    },
                );
                20.0
            } else {
                0.0
            };
            self.cell(
                Some(cell),
                (text, head || n == 0),
                x + inset,
                w - 6.0 - inset,
                top,
            );
            x += w;
        }
        self.y = top + high;
        let (y, w) = (self.y - 1.0, self.width());
        let (h, tint) = if head { (1.2, INK) } else { (0.5, RULE) };
        self.put(
            None,
            Mark::Box {
                x: MARGIN,
                y,
                w,
                h,
                tint,
            },
        );
        self.y += 1.0;
    }

    fn cell(
        &mut self,
        part: Option<Part>,
        (text, bold): (&str, bool),
        x: f32,
        width: f32,
        top: f32,
    ) {
        let lines = self.faces.of(bold).wrap(text, SMALL, width);
        for (n, line) in lines.into_iter().enumerate() {
            let y = top + 2.0 + SMALL + counted(n) * SMALL * LINE;
            self.put(
                part,
                Mark::Text {
                    x,
                    y,
                    size: SMALL,
                    bold,
                    tint: INK,
                    text: line,
                },
            );
        }
    }

    fn head_again(&mut self, heads: &[(String, Option<Tint>)], widths: &[f32]) {
        let (high, top, mut x) = (self.row_height(heads, widths, true), self.y, MARGIN);
        for ((text, _), w) in heads.iter().zip(widths) {
            self.cell(None, (text, true), x, w - 6.0, top);
            x += w;
        }
        let (y, w) = (top + high - 1.0, self.width());
        self.put(
            None,
            Mark::Box {
                x: MARGIN,
                y,
                w,
                h: 1.2,
                tint: INK,
            },
        );
        self.y = top + high + 1.0;
    }
}
