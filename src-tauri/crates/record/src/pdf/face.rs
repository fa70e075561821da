//! The two faces of the record and how wide their letters run: Noto Sans, regular and bold, cut
//! down to Latin, Greek and Cyrillic letters and the signs that a record needs (`fonts/`).
//!
//! Letters stand side by side without kerning. What the faces lack is drawn with letters that
//! they have ([`INSTEAD`], else its plain form, else its number in Unicode: `[U+1F44D]`); who
//! copies the text gets it as it was typed.

use krilla::text::{Font, GlyphId, KrillaGlyph};
use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};
use std::collections::BTreeMap;
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

static REGULAR: &[u8] = include_bytes!("../fonts/NotoSans-Regular.ttf");
static BOLD: &[u8] = include_bytes!("../fonts/NotoSans-Bold.ttf");

/// Signs that the faces may lack, and what is drawn for them.
const INSTEAD: &[(char, &str)] = &[
    ('\t', " "),
    ('\u{2010}', "-"),
    ('\u{2011}', "-"),
    ('\u{2015}', "—"),
    ('\u{2044}', "/"),
    ('\u{2190}', "<-"),
    ('\u{2192}', "->"),
    ('\u{21d2}', "=>"),
    // A minus is the dash of its length.
    ('\u{2212}', "–"),
    ('\u{2215}', "/"),
    ('\u{221a}', "sqrt "),
    ('\u{221e}', "inf."),
    ('\u{2245}', "~="),
    ('\u{2248}', "~"),
    ('\u{2260}', "!="),
    ('\u{2264}', "<="),
    ('\u{2265}', ">="),
    ('\u{2300}', "Ø"),
    ('\u{2610}', "[ ]"),
    ('\u{2611}', "[x]"),
    ('\u{2612}', "[x]"),
    ('\u{2713}', "[x]"),
    ('\u{2714}', "[x]"),
    ('\u{2717}', "[-]"),
    ('\u{2718}', "[-]"),
    ('\u{2a7d}', "<="),
    ('\u{2a7e}', ">="),
];

/// What changes the letter before it or joins two, and is nothing by itself: joiners, marks of
/// direction, variation selectors, skin tones (Unicode Standard 16.0, chapter 23; UTS 51).
fn is_unseen(c: char) -> bool {
    c.is_control()
        || is_combining_mark(c)
        || matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}'
            | '\u{1f3fb}'..='\u{1f3ff}' | '\u{e0000}'..='\u{e01ef}')
}

/// One face.
pub struct Face {
    /// For the PDF.
    pub font: Font,
    /// Glyph and advance of a letter, in shares of the size.
    glyphs: BTreeMap<char, (u32, f32)>,
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
        Ok(Self { font, glyphs })
    }

    /// What is drawn for a letter that the face lacks, in letters that it has.
    fn instead(&self, c: char) -> String {
        let has = |text: &str| text.chars().all(|c| self.glyphs.contains_key(&c));
        let known = INSTEAD.iter().find(|(lacking, _)| *lacking == c);
        let plain = known.map_or_else(
            // Compatibility decomposition: ﬁ to fi, ⅛ to 1/8, full-width letters to plain ones.
            || c.nfkd().filter(|c| !is_unseen(*c)).collect::<String>(),
            |(_, instead)| (*instead).to_owned(),
        );
        let plain = plain.replace('\u{2044}', "/");
        if has(&plain) && (is_unseen(c) || !plain.is_empty()) {
            return plain;
        }
        format!("[U+{:04X}]", u32::from(c))
    }

    /// The glyphs of a letter, each with its advance in shares of the size.
    fn glyphs_of(&self, c: char, mut each: impl FnMut(u32, f32)) {
        if let Some((id, advance)) = self.glyphs.get(&c) {
            return each(*id, *advance);
        }
        for (id, advance) in self.instead(c).chars().filter_map(|c| self.glyphs.get(&c)) {
            each(*id, *advance);
        }
    }

    /// Width of a text, points.
    pub fn width(&self, text: &str, size: f32) -> f32 {
        let mut width = 0.0;
        for c in text.chars() {
            self.glyphs_of(c, |_, advance| width += advance);
        }
        width * size
    }

    /// A text as glyphs; those of one letter share its place in the text.
    pub fn set(&self, text: &str) -> Vec<KrillaGlyph> {
        let mut glyphs = Vec::with_capacity(text.len());
        for (at, c) in text.char_indices() {
            let place = at..at + c.len_utf8();
            self.glyphs_of(c, |id, advance| {
                let id = GlyphId::new(id);
                let glyph = KrillaGlyph::new(id, advance, 0.0, 0.0, 0.0, place.clone(), None);
                glyphs.push(glyph);
            });
        }
        glyphs
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
                .filter(|c| {
                    let drawn = faces.of(bold).glyphs.contains_key(c);
                    !drawn && faces.of(bold).instead(*c).starts_with('[')
                })
                .collect();
            assert_eq!(lacks, "");
        }
    }

    #[test]
    fn what_the_faces_lack_is_drawn_with_what_they_have() {
        let faces = Faces::read().unwrap();
        for bold in [false, true] {
            let face = faces.of(bold);
            let ids = |text: &str| -> Vec<u32> {
                let glyphs = face.set(text);
                glyphs.iter().map(|g| g.glyph_id.to_u32()).collect()
            };
            for (typed, drawn) in [
                ("w/c ≤ 0,5", "w/c <= 0,5"),
                ("≥ 5 MPa", ">= 5 MPa"),
                ("≈ 3 ≠ 4 → dry", "~ 3 != 4 -> dry"),
                ("\u{2212}4", "–4"),
                ("ﬁne, ＡＢ", "fine, AB"),
                ("α β Δ Ω, Жук", "α β Δ Ω, Жук"),
                ("done ✔️", "done [x]"),
                ("good 👍🏽", "good [U+1F44D]"),
                ("台", "[U+53F0]"),
                ("a\u{200b}b\u{7}", "ab"),
            ] {
                assert_eq!(ids(typed), ids(drawn), "{typed}");
                assert!((face.width(typed, 9.0) - face.width(drawn, 9.0)).abs() < 1e-3);
            }
            // Of no character is there a box, which is glyph 0 of every face.
            for c in (0..0x3100)
                .chain(0x1_F300..0x1_F700)
                .filter_map(char::from_u32)
            {
                face.glyphs_of(c, |id, _| assert_ne!(id, 0, "{c:?}"));
            }
            // Both glyphs stand for the one sign that was typed.
            let places: Vec<_> = face.set("≤").into_iter().map(|g| g.text_range).collect();
            assert_eq!(places, [0..3, 0..3]);
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
