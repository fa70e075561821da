//! The record as blocks of words, tables, curves and pictures: one document that the HTML and
//! the PDF both draw, so that they say the same.
//!
//! Made by [`super::tell`]; drawn by [`super::html`] and [`super::pdf`].

/// A record.
#[derive(Clone, Debug)]
pub struct Doc {
    /// Title of the document.
    pub title: String,
    /// Two letters of its language.
    pub language: String,
    /// On US Letter instead of A4.
    pub letter: bool,
    /// Its parts in order.
    pub blocks: Vec<Block>,
    /// What stands at the foot of each page; the number is added.
    pub foot: String,
    /// When it was made, milliseconds since 1970.
    pub made_ms: i64,
    /// Words for "Page 3 of 7" with `{page}` and `{pages}`.
    pub page_of: String,
}

/// A part of a record.
#[derive(Clone, Debug)]
pub enum Block {
    /// The title with lines under it.
    Title(String, Vec<String>),
    /// A chapter; in the PDF it begins a page if `new_page`.
    Chapter {
        /// Its heading.
        text: String,
        /// Where it stands in the document, for links.
        id: String,
        /// Begins a new page.
        new_page: bool,
    },
    /// A heading below a chapter.
    Heading(String),
    /// A paragraph.
    Text(String),
    /// A paragraph of less weight.
    Quiet(String),
    /// What somebody should beware of.
    Care(Vec<String>),
    /// Names and values.
    Facts(Vec<(String, String)>),
    /// A table.
    Table(Table),
    /// Strength against time.
    Curve(Chart),
    /// Photos.
    Pictures(Vec<Picture>),
}

/// A table with a row of headings.
#[derive(Clone, Debug, Default)]
pub struct Table {
    /// What it shows.
    pub caption: String,
    /// Headings of the columns.
    pub head: Vec<String>,
    /// Shares of the width, one for each column.
    pub widths: Vec<f32>,
    /// Its rows; the first cell of each is its heading.
    pub rows: Vec<Vec<Cell>>,
}

/// A cell of a table.
#[derive(Clone, Debug, Default)]
pub struct Cell {
    /// Its text.
    pub text: String,
    /// A colour shown beside it, red, green, blue.
    pub swatch: Option<[u8; 3]>,
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self { text, swatch: None }
    }
}

/// A photo.
#[derive(Clone, Debug)]
pub struct Picture {
    /// Hash of its bytes.
    pub hash: String,
    /// What it shows, for who cannot see it.
    pub alt: String,
    /// What stands under it.
    pub caption: String,
}

/// A curve with its range; 0 to 1 from left to right and from the foot up.
#[derive(Clone, Debug, Default)]
pub struct Chart {
    /// What it shows, in words.
    pub alt: String,
    /// What stands under it.
    pub caption: String,
    /// Cautious strength.
    pub low: Vec<(f32, f32)>,
    /// Middle.
    pub mid: Vec<(f32, f32)>,
    /// Hopeful strength.
    pub high: Vec<(f32, f32)>,
    /// Marks along the foot.
    pub across: Vec<(f32, String)>,
    /// Marks up the side.
    pub up: Vec<(f32, String)>,
    /// What was seen or done: where, and a letter that the caption explains.
    pub seen: Vec<(f32, String)>,
}

/// `#rrggbb` as numbers.
#[must_use]
pub fn rgb(hex: &str) -> Option<[u8; 3]> {
    let digits = hex
        .strip_prefix('#')
        .filter(|d| d.len() == 6 && d.is_ascii())?;
    let part = |from: usize| u8::from_str_radix(digits.get(from..from + 2)?, 16).ok();
    Some([part(0)?, part(2)?, part(4)?])
}
