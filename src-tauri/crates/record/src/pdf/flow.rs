//! Lays the blocks of a record out on pages: where each line of text, rule, curve and picture
//! stands, and which part of the document it belongs to.
//!
//! Points of 1/72 inch from the top left. Headings stay with what follows; rows of tables and
//! pictures are not cut. Tables and names with values are in [`super::grid`], curves and photos
//! in [`super::figures`]. Nothing is drawn here: see [`super::draw`].

use super::face::Faces;
use crate::doc::{Block, Doc};

/// Space round the text.
pub(super) const MARGIN: f32 = 46.0;
/// Size of plain text.
pub(super) const TEXT: f32 = 9.5;
/// Size of text in tables.
pub(super) const SMALL: f32 = 8.0;
/// Height of a line over its size.
pub(super) const LINE: f32 = 1.32;

/// Which part of the document a mark belongs to: an index into [`Laid::parts`].
pub type Part = usize;

/// A part of the document, as a screen reader sees it.
#[derive(Debug)]
pub enum Role {
    /// A heading of a level.
    Heading(u16, String),
    /// A paragraph.
    Paragraph,
    /// A list.
    List,
    /// An entry of a list.
    Entry,
    /// A table.
    Table(String),
    /// A row.
    Row,
    /// A heading of a column.
    ColumnHead,
    /// A heading of a row.
    RowHead,
    /// A cell.
    Cell,
    /// A figure and what it shows.
    Figure(String),
}

/// Something on a page.
#[derive(Debug)]
pub enum Mark {
    /// A line of text; `y` is its base line.
    Text {
        x: f32,
        y: f32,
        size: f32,
        bold: bool,
        tint: Tint,
        text: String,
    },
    /// A filled rectangle.
    Box {
        x: f32,
        y: f32,
        w: f32,
        h: f32,
        tint: Tint,
    },
    /// A line through points, or a filled outline.
    Path {
        points: Vec<(f32, f32)>,
        width: f32,
        filled: bool,
        dashed: bool,
        tint: Tint,
    },
    /// A JPEG.
    Image {
        x: f32,
        y: f32,
        w: f32,
        h: f32,
        jpeg: Vec<u8>,
    },
}

/// A colour, red, green, blue.
pub type Tint = [u8; 3];
/// Text.
pub const INK: Tint = [26, 21, 16];
pub(super) const QUIET: Tint = [74, 64, 52];
pub(super) const RULE: Tint = [181, 167, 143];
pub(super) const BAND: Tint = [232, 211, 168];
pub(super) const OCHRE: Tint = [138, 75, 0];

/// Marks of a page with the part that each belongs to; none for what only decorates.
#[derive(Debug, Default)]
pub struct Sheet {
    /// In the order of reading.
    pub marks: Vec<(Option<Part>, Mark)>,
}

/// A record on pages.
#[derive(Debug)]
pub struct Laid {
    /// Width and height of a page.
    pub size: (f32, f32),
    /// The pages.
    pub sheets: Vec<Sheet>,
    /// Parts: what they are and the part that they are in.
    pub parts: Vec<(Role, Option<Part>)>,
    /// Bookmarks: text, page and height.
    pub marks: Vec<(String, usize, f32)>,
}

/// Lays a record out.
pub fn lay(doc: &Doc, faces: &Faces, picture: &dyn Fn(&str) -> Option<Vec<u8>>) -> Laid {
    // ISO 216 and ANSI/ASME Y14.1, in points.
    let size = if doc.letter {
        (612.0, 792.0)
    } else {
        (595.28, 841.89)
    };
    let mut pen = Pen {
        faces,
        laid: Laid {
            size,
            sheets: vec![Sheet::default()],
            parts: Vec::new(),
            marks: Vec::new(),
        },
        y: MARGIN,
    };
    for block in &doc.blocks {
        pen.block(block, picture);
    }
    pen.laid
}

/// Where the next thing goes.
pub(super) struct Pen<'a> {
    pub(super) faces: &'a Faces,
    pub(super) laid: Laid,
    pub(super) y: f32,
}

impl Pen<'_> {
    pub(super) fn width(&self) -> f32 {
        self.laid.size.0 - 2.0 * MARGIN
    }

    pub(super) fn bottom(&self) -> f32 {
        self.laid.size.1 - MARGIN - 18.0
    }

    pub(super) fn part(&mut self, role: Role, inside: Option<Part>) -> Part {
        self.laid.parts.push((role, inside));
        self.laid.parts.len() - 1
    }

    pub(super) fn put(&mut self, part: Option<Part>, mark: Mark) {
        if let Some(sheet) = self.laid.sheets.last_mut() {
            sheet.marks.push((part, mark));
        }
    }

    pub(super) fn turn(&mut self) {
        self.laid.sheets.push(Sheet::default());
        self.y = MARGIN;
    }

    /// Begins a page unless `height` fits on this one.
    pub(super) fn room(&mut self, height: f32) {
        if self.y + height > self.bottom() && self.y > MARGIN {
            self.turn();
        }
    }

    /// Lines of text from `x`, each on the page where it fits.
    pub(super) fn lines(
        &mut self,
        part: Part,
        text: &str,
        style: (f32, bool, Tint),
        x: f32,
        width: f32,
    ) {
        let (size, bold, tint) = style;
        for line in self.faces.of(bold).wrap(text, size, width) {
            self.room(size * LINE);
            let y = self.y + size;
            self.put(
                Some(part),
                Mark::Text {
                    x,
                    y,
                    size,
                    bold,
                    tint,
                    text: line,
                },
            );
            self.y += size * LINE;
        }
    }

    fn block(&mut self, block: &Block, picture: &dyn Fn(&str) -> Option<Vec<u8>>) {
        let width = self.width();
        match block {
            Block::Title(title, under) => {
                self.rule(10.0, INK);
                self.y += 18.0;
                let part = self.part(Role::Heading(1, title.clone()), None);
                self.lines(part, title, (26.0, true, INK), MARGIN, width);
                for line in under {
                    let part = self.part(Role::Paragraph, None);
                    self.lines(part, line, (10.5, false, QUIET), MARGIN, width);
                }
                self.y += 10.0;
            }
            Block::Chapter { text, new_page, .. } => {
                if *new_page && self.y > MARGIN {
                    self.turn();
                } else {
                    self.y += 14.0;
                    self.room(90.0);
                }
                self.laid
                    .marks
                    .push((text.clone(), self.laid.sheets.len() - 1, self.y));
                self.rule(2.0, INK);
                self.y += 7.0;
                let part = self.part(Role::Heading(2, text.clone()), None);
                self.lines(part, text, (17.0, true, INK), MARGIN, width);
                self.y += 5.0;
            }
            Block::Heading(text) => {
                self.y += 9.0;
                self.room(58.0);
                let part = self.part(Role::Heading(3, text.clone()), None);
                self.lines(part, text, (11.0, true, INK), MARGIN, width);
                self.y += 2.0;
            }
            Block::Text(text) => self.paragraph(text, INK),
            Block::Quiet(text) => self.paragraph(text, QUIET),
            Block::Care(lines) => self.care(lines),
            Block::Facts(facts) => self.facts(facts),
            Block::Table(table) => self.table(table),
            Block::Curve(chart) => self.chart(chart),
            Block::Pictures(list) => self.pictures(list, picture),
        }
    }

    fn rule(&mut self, height: f32, tint: Tint) {
        let (y, w) = (self.y, self.width());
        self.put(
            None,
            Mark::Box {
                x: MARGIN,
                y,
                w,
                h: height,
                tint,
            },
        );
        self.y += height;
    }

    fn paragraph(&mut self, text: &str, tint: Tint) {
        let (part, width) = (self.part(Role::Paragraph, None), self.width());
        self.lines(part, text, (TEXT, false, tint), MARGIN, width);
        self.y += 4.0;
    }

    fn care(&mut self, lines: &[String]) {
        self.y += 4.0;
        let list = self.part(Role::List, None);
        let width = self.width() - 18.0;
        for line in lines {
            let rows = self.faces.of(false).wrap(line, TEXT, width).len();
            let high = counted(rows) * TEXT * LINE + 6.0;
            self.room(high);
            let y = self.y;
            self.put(
                None,
                Mark::Box {
                    x: MARGIN,
                    y,
                    w: 6.0,
                    h: high,
                    tint: INK,
                },
            );
            self.y += 3.0;
            let entry = self.part(Role::Entry, Some(list));
            self.lines(entry, line, (TEXT, false, INK), MARGIN + 16.0, width);
            self.y += 3.0;
        }
        self.y += 6.0;
    }
}

/// A count as a length.
#[allow(clippy::cast_precision_loss)]
pub(super) fn counted(n: usize) -> f32 {
    n as f32
}
