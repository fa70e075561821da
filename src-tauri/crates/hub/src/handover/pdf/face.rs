//! The two faces of the record and how wide their letters run: Noto Sans, regular and bold, cut
//! down to Latin, Greek and Cyrillic letters and the signs that a record needs (`fonts/`).
//!
//! Letters stand side by side without kerning. What the faces lack is drawn as an empty box
//! and stays readable to whoever copies the text.

use krilla::text::{Font, GlyphId, KrillaGlyph};
use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};
use std::collections::BTreeMap;

static REGULAR: &[u8] = include_bytes!("../fonts/NotoSans-Regular.ttf");
static BOLD: &[u8] = include_bytes!("../fonts/NotoSans-Bold.ttf");

/// One face.
pub struct Face {
    /// For the PDF.
    pub font: Font,
    /// Glyph and advance of a letter, in shares of the size.
    glyphs: BTreeMap<char, (u32, f32)>,
    /// Of a letter that it lacks.
    lacking: (u32, f32),
}

/// Regular and bold.
pub struct Faces {
    regular: Face,
    bold: Face,
}

impl Faces {
    /// Reads both.
    ///
    /// # Errors
    /// If a font file of this program is damaged.
    pub fn read() -> Result<Self, String> {
        Ok(Self {
            regular: Face::read(REGULAR)?,
            bold: Face::read(BOLD)?,
        })
    }

    /// One of them.
    pub fn of(&self, bold: bool) -> &Face {
        if bold { &self.bold } else { &self.regular }
    }
}

impl Face {
    fn read(bytes: &'static [u8]) -> Result<Self, String> {
        let font =
            Font::new(bytes.to_vec().into(), 0).ok_or("the font of the record is damaged")?;
        let tables = FontRef::new(bytes).map_err(|e| e.to_string())?;
        let advances = tables.glyph_metrics(Size::new(1.0), LocationRef::default());
        let width = |id| advances.advance_width(id).unwrap_or(0.5);
        let mut glyphs = BTreeMap::new();
        for (code, id) in tables.charmap().mappings() {
            if let Some(c) = char::from_u32(code) {
                glyphs.insert(c, (id.to_u32(), width(id)));
            }
        }
        let lacking = (0, width(skrifa::GlyphId::new(0)));
        Ok(Self {
            font,
            glyphs,
            lacking,
        })
    }

    fn glyph(&self, c: char) -> (u32, f32) {
        // A space that does not break is drawn as a space, a minus as the dash of its length.
        let c = match c {
            '\u{a0}' if !self.glyphs.contains_key(&c) => ' ',
            '\u{2212}' if !self.glyphs.contains_key(&c) => '–',
            _ => c,
        };
        self.glyphs.get(&c).copied().unwrap_or(self.lacking)
    }

    /// Width of a text, points.
    pub fn width(&self, text: &str, size: f32) -> f32 {
        text.chars().map(|c| self.glyph(c).1).sum::<f32>() * size
    }

    /// A text as glyphs.
    pub fn set(&self, text: &str) -> Vec<KrillaGlyph> {
        let one = |(at, c): (usize, char)| {
            let (id, advance) = self.glyph(c);
            KrillaGlyph::new(
                GlyphId::new(id),
                advance,
                0.0,
                0.0,
                0.0,
                at..at + c.len_utf8(),
                None,
            )
        };
        text.char_indices().map(one).collect()
    }

    /// A text in lines of at most `width` points. Broken at spaces, and within a word only if
    /// it is wider than a line.
    pub fn wrap(&self, text: &str, size: f32, width: f32) -> Vec<String> {
        let mut lines = Vec::new();
        for paragraph in text.split('\n') {
            let mut line = String::new();
            for word in paragraph.split(' ').filter(|w| !w.is_empty()) {
                let longer = if line.is_empty() {
                    word.to_owned()
                } else {
                    format!("{line} {word}")
                };
                if self.width(&longer, size) <= width {
                    line = longer;
                    continue;
                }
                if !line.is_empty() {
                    lines.push(std::mem::take(&mut line));
                }
                for c in word.chars().filter(|c| !c.is_control()) {
                    line.push(c);
                    if self.width(&line, size) > width && line.chars().count() > 1 {
                        line.pop();
                        lines.push(std::mem::take(&mut line));
                        line.push(c);
                    }
                }
            }
            lines.push(line);
        }
        while lines.len() > 1 && lines.last().is_some_and(String::is_empty) {
            lines.pop();
        }
        lines
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_faces_have_what_a_record_needs() {
        // The letters of English, German and Spanish, and the signs of units and ranges that
        // the words of the record use.
        let needed = "AZaz09 äöüÄÖÜßéíóúñÁÉÍÓÚÑ¿¡°²³–—×±·’“”„€µ%−…";
        let faces = Faces::read().unwrap();
        for bold in [false, true] {
            let lacks: String = needed
                .chars()
                .filter(|c| faces.of(bold).glyph(*c) == faces.of(bold).lacking)
                .collect();
            assert_eq!(lacks, "");
        }
    }

    #[test]
    fn lines_are_no_wider_than_asked_and_lose_no_letter() {
        let faces = Faces::read().unwrap();
        let face = faces.of(false);
        let text =
            "Poured in a cool wind, Donaudampfschifffahrtsgesellschaftskapitän watching over it.";
        let lines = face.wrap(text, 10.0, 90.0);
        assert!(lines.len() > 3, "{lines:?}");
        assert!(
            lines.iter().all(|l| face.width(l, 10.0) <= 90.0),
            "{lines:?}"
        );
        let all: String = lines.concat().split(' ').collect();
        assert_eq!(all, text.split(' ').collect::<String>());
    }
}
