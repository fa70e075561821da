//! Lays out curves and photos: where their lines, marks, pictures and captions stand.
//!
//! Photos stand three in a row, upright and uncut. Part of [`super::flow`]; drawn by
//! [`super::draw`].

use super::flow::{
    BAND, INK, LINE, MARGIN, Mark, OCHRE, Pen, QUIET, RULE, Role, SMALL, Tint, counted,
};
use crate::doc::{Chart, Picture};

/// A JPEG with its width and height on the page.
type Fitted = (Vec<u8>, f32, f32);

impl Pen<'_> {
    pub(super) fn chart(&mut self, c: &Chart) {
        let (left, high) = (48.0, 118.0);
        let caption = self
            .faces
            .of(false)
            .wrap(&c.caption, SMALL, self.width())
            .len();
        self.room(high + 40.0 + counted(caption) * SMALL * LINE);
        let part = self.part(Role::Figure(c.alt.clone()), None);
        let (x0, y0, w) = (MARGIN + left, self.y + 14.0, self.width() - left - 8.0);
        let at = |(x, y): (f32, f32)| (x0 + x * w, y0 + (1.0 - y) * high);
        let line = |points: Vec<(f32, f32)>, width: f32, tint: Tint, dashed: bool| Mark::Path {
            points,
            width,
            filled: false,
            dashed,
            tint,
        };
        for (y, label) in &c.up {
            let (_, y) = at((0.0, *y));
            self.put(
                Some(part),
                line(vec![(x0, y), (x0 + w, y)], 0.5, RULE, false),
            );
            let x = x0 - 5.0 - self.faces.of(false).width(label, SMALL);
            self.put(
                Some(part),
                Mark::Text {
                    x,
                    y: y + 2.5,
                    size: SMALL,
                    bold: false,
                    tint: INK,
                    text: label.clone(),
                },
            );
        }
        for (x, label) in &c.across {
            let (x, y) = at((*x, 0.0));
            self.put(Some(part), line(vec![(x, y0), (x, y)], 0.5, RULE, false));
            let half = self.faces.of(false).width(label, SMALL) / 2.0;
            self.put(
                Some(part),
                Mark::Text {
                    x: x - half,
                    y: y + 11.0,
                    size: SMALL,
                    bold: false,
                    tint: INK,
                    text: label.clone(),
                },
            );
        }
        let band: Vec<(f32, f32)> = c
            .low
            .iter()
            .chain(c.high.iter().rev())
            .map(|p| at(*p))
            .collect();
        self.put(
            Some(part),
            Mark::Path {
                points: band,
                width: 0.0,
                filled: true,
                dashed: false,
                tint: BAND,
            },
        );
        let mid: Vec<(f32, f32)> = c.mid.iter().map(|p| at(*p)).collect();
        self.put(Some(part), line(mid, 1.6, INK, false));
        let foot = y0 + high;
        self.put(
            Some(part),
            line(vec![(x0, foot), (x0 + w, foot)], 1.0, INK, false),
        );
        for (x, label) in &c.seen {
            let (x, y) = at((*x, 0.0));
            self.put(Some(part), line(vec![(x, y0), (x, y)], 1.0, OCHRE, true));
            self.put(
                Some(part),
                Mark::Text {
                    x: x - 2.5,
                    y: y0 - 4.0,
                    size: SMALL,
                    bold: true,
                    tint: OCHRE,
                    text: label.clone(),
                },
            );
        }
        self.y = foot + 18.0;
        let (part, width) = (self.part(Role::Paragraph, None), self.width());
        self.lines(part, &c.caption, (SMALL, false, QUIET), MARGIN, width);
        self.y += 4.0;
    }

    /// Three in a row, each at most as high as it is wide.
    pub(super) fn pictures(&mut self, list: &[Picture], picture: &dyn Fn(&str) -> Option<Vec<u8>>) {
        let gap = 10.0;
        let side = (self.width() - 2.0 * gap) / 3.0;
        for row in list.chunks(3) {
            let seen: Vec<(&Picture, Option<Fitted>)> = row
                .iter()
                .map(|p| (p, picture(&p.hash).and_then(|jpeg| fitted(jpeg, side))))
                .collect();
            let tallest = seen
                .iter()
                .filter_map(|(_, s)| s.as_ref().map(|s| s.2))
                .fold(0.0, f32::max);
            let words = row
                .iter()
                .map(|p| self.faces.of(false).wrap(&p.caption, SMALL, side).len())
                .max();
            let under = counted(words.unwrap_or(1)) * SMALL * LINE + 8.0;
            self.room(tallest + under);
            let top = self.y;
            for (n, (p, jpeg)) in seen.into_iter().enumerate() {
                let x = MARGIN + counted(n) * (side + gap);
                if let Some((jpeg, w, h)) = jpeg {
                    let part = self.part(Role::Figure(p.alt.clone()), None);
                    self.put(
                        Some(part),
                        Mark::Image {
                            x,
                            y: top,
                            w,
                            h,
                            jpeg,
                        },
                    );
                }
                self.y = top + tallest + 2.0;
                let part = self.part(Role::Paragraph, None);
                self.lines(part, &p.caption, (SMALL, false, QUIET), x, side);
            }
            self.y = top + tallest + under;
        }
    }
}

/// A JPEG with the width and height that it has in a square of `side`.
fn fitted(jpeg: Vec<u8>, side: f32) -> Option<Fitted> {
    let reader = image::ImageReader::new(std::io::Cursor::new(&jpeg))
        .with_guessed_format()
        .ok()?;
    let (w, h) = reader.into_dimensions().ok()?;
    // Pictures of the store have at most 1600 pixels a side.
    #[allow(clippy::cast_precision_loss)]
    let (w, h) = (w as f32, h as f32);
    let scale = side / w.max(h).max(1.0);
    Some((jpeg, w * scale, h * scale))
}
