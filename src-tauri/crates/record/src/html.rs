//! The record as one HTML file that asks nothing of the network: styles and pictures are in
//! it, curves are SVG.
//!
//! Readable on a phone, light and dark, and printed in black on white. What it says is in
//! [`super::tell`]. Every text is escaped here and nowhere else.

use super::doc::{Block, Chart, Doc, Picture, Table};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use std::fmt::Write;

/// The styles.
const STYLE: &str = include_str!("record.css");

/// The file. `picture` gives a small JPEG of a photo by its hash, or none.
pub fn write(doc: &Doc, picture: &dyn Fn(&str) -> Option<Vec<u8>>) -> String {
    let mut out = String::with_capacity(64 << 10);
    let title = text(&doc.title);
    let _ = write!(
        out,
        "<!doctype html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"color-scheme\" content=\"light dark\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src 'unsafe-inline'\">\n\
         <title>{title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n",
        text(&doc.language)
    );
    for block in &doc.blocks {
        one(block, &mut out, picture);
    }
    let _ = writeln!(
        out,
        "</main>\n<footer><p>{}</p></footer>\n</body>\n</html>",
        text(&doc.foot)
    );
    out
}

fn one(block: &Block, out: &mut String, picture: &dyn Fn(&str) -> Option<Vec<u8>>) {
    let _ = match block {
        Block::Title(title, under) => {
            let lines: String = under
                .iter()
                .map(|l| format!("<p>{}</p>\n", text(l)))
                .collect();
            writeln!(out, "<header><h1>{}</h1>\n{lines}</header>", text(title))
        }
        Block::Chapter {
            text: t,
            id,
            new_page,
        } => {
            let class = if *new_page { " class=\"new\"" } else { "" };
            writeln!(out, "<h2 id=\"{}\"{class}>{}</h2>", text(id), text(t))
        }
        Block::Heading(t) => writeln!(out, "<h3>{}</h3>", text(t)),
        Block::Text(t) => writeln!(out, "<p>{}</p>", text(t)),
        Block::Quiet(t) => writeln!(out, "<p class=\"quiet\">{}</p>", text(t)),
        Block::Care(lines) => {
            let lines: String = lines
                .iter()
                .map(|l| format!("<li>{}</li>", text(l)))
                .collect();
            writeln!(out, "<ul class=\"care\">{lines}</ul>")
        }
        Block::Facts(facts) => {
            let rows = facts
                .iter()
                .map(|(k, v)| format!("<div><dt>{}</dt><dd>{}</dd></div>\n", text(k), text(v)));
            writeln!(out, "<dl>\n{}</dl>", rows.collect::<String>())
        }
        Block::Table(t) => {
            table(t, out);
            Ok(())
        }
        Block::Curve(c) => {
            curve(c, out);
            Ok(())
        }
        Block::Pictures(list) => {
            out.push_str("<div class=\"photos\">\n");
            for p in list {
                photo(p, out, picture);
            }
            out.push_str("</div>\n");
            Ok(())
        }
    };
}

fn table(t: &Table, out: &mut String) {
    let caption = text(&t.caption);
    // A table that is wider than a phone is scrolled by itself, by keys as well.
    let _ = write!(
        out,
        "<div class=\"wide\" tabindex=\"0\" role=\"group\" aria-label=\"{caption}\"><table>\n<caption>{caption}</caption>\n<thead><tr>"
    );
    for head in &t.head {
        let _ = write!(out, "<th scope=\"col\">{}</th>", text(head));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in &t.rows {
        out.push_str("<tr>");
        for (n, cell) in row.iter().enumerate() {
            let swatch = cell.swatch.map_or_else(String::new, |[r, g, b]| {
                format!(
                    "<span class=\"swatch\" style=\"background:#{r:02x}{g:02x}{b:02x}\"></span>"
                )
            });
            let _ = match n {
                0 => write!(out, "<th scope=\"row\">{swatch}{}</th>", text(&cell.text)),
                _ => write!(out, "<td>{swatch}{}</td>", text(&cell.text)),
            };
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table></div>\n");
}

/// Width and height of the drawn field of a curve, and what stands round it.
const FIELD: (f32, f32) = (560.0, 200.0);
const LEFT: f32 = 70.0;
const TOP: f32 = 22.0;

fn curve(c: &Chart, out: &mut String) {
    let (w, h) = FIELD;
    let at = |(x, y): (f32, f32)| (LEFT + x * w, TOP + (1.0 - y) * h);
    let points = |line: &mut dyn Iterator<Item = &(f32, f32)>| {
        let place = |p: &(f32, f32)| {
            let (x, y) = at(*p);
            format!("{x:.1},{y:.1}")
        };
        line.map(place).collect::<Vec<_>>().join(" ")
    };
    let band = points(&mut c.low.iter().chain(c.high.iter().rev()));
    let _ = write!(
        out,
        "<figure><svg viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{}\">",
        LEFT + w + 20.0,
        TOP + h + 28.0,
        text(&c.alt)
    );
    for (y, label) in &c.up {
        let (_, y) = at((0.0, *y));
        let _ = write!(
            out,
            "<line class=\"tick\" x1=\"{LEFT}\" x2=\"{}\" y1=\"{y:.1}\" y2=\"{y:.1}\"/><text x=\"{}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>",
            LEFT + w,
            LEFT - 8.0,
            y + 4.0,
            text(label)
        );
    }
    for (x, label) in &c.across {
        let (x, y) = at((*x, 0.0));
        let _ = write!(
            out,
            "<line class=\"tick\" x1=\"{x:.1}\" x2=\"{x:.1}\" y1=\"{TOP}\" y2=\"{y:.1}\"/><text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
            y + 18.0,
            text(label)
        );
    }
    let _ = write!(
        out,
        "<polygon class=\"band\" points=\"{band}\"/><polyline class=\"mid\" points=\"{}\"/>",
        points(&mut c.mid.iter())
    );
    for (x, label) in &c.seen {
        let (x, y) = at((*x, 0.0));
        let _ = write!(
            out,
            "<line class=\"seen\" x1=\"{x:.1}\" x2=\"{x:.1}\" y1=\"{TOP}\" y2=\"{y:.1}\"/><text class=\"seen\" x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
            TOP - 6.0,
            text(label)
        );
    }
    let _ = writeln!(
        out,
        "</svg><figcaption>{}</figcaption></figure>",
        text(&c.caption)
    );
}

fn photo(p: &Picture, out: &mut String, picture: &dyn Fn(&str) -> Option<Vec<u8>>) {
    out.push_str("<figure>");
    if let Some(jpeg) = picture(&p.hash) {
        let _ = write!(
            out,
            "<img alt=\"{}\" src=\"data:image/jpeg;base64,{}\">",
            text(&p.alt),
            STANDARD.encode(jpeg)
        );
    } else {
        let _ = write!(out, "<p class=\"quiet\">{}</p>", text(&p.alt));
    }
    let _ = writeln!(
        out,
        "<figcaption>{}</figcaption></figure>",
        text(&p.caption)
    );
}

/// Text as HTML, in elements and in attributes.
#[must_use]
pub fn text(plain: &str) -> String {
    let mut out = String::with_capacity(plain.len() + 8);
    for c in plain.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c if c.is_control() && c != '\n' && c != '\t' => {}
            c => out.push(c),
        }
    }
    out
}
