//! Draws laid-out pages into a PDF with its tags, bookmarks and metadata.
//!
//! Each mark is drawn inside of a tagged section; the sections hang on the tree of parts that
//! [`super::flow`] made. Feet and rules are no part of the text and are tagged as such.

use super::face::Faces;
use super::flow::{INK, Laid, Mark, Part, Role, Tint};
use crate::doc::Doc;
use chrono::{DateTime, Datelike, Timelike};
use krilla::Document;
use krilla::color::rgb;
use krilla::destination::XyzDestination;
use krilla::geom::{Path, PathBuilder, Point, Size, Transform};
use krilla::image::Image;
use krilla::metadata::{DateTime as Stamp, Metadata};
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::TagKind;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, ListNumbering, Node, TableHeaderScope, Tag,
    TagGroup, TagTree,
};
use std::num::NonZeroU16;

/// Draws it.
pub fn draw(doc: &Doc, laid: Laid, faces: &Faces) -> Result<Vec<u8>, String> {
    let mut out = Document::new();
    out.set_metadata(metadata(doc));
    let Laid {
        size: (w, h),
        sheets,
        parts,
        marks,
    } = laid;
    let pages = sheets.len();
    let mut leaves: Vec<Vec<Identifier>> = parts.iter().map(|_| Vec::new()).collect();
    for (n, sheet) in sheets.into_iter().enumerate() {
        let settings = PageSettings::from_wh(w, h).ok_or("a page has no size")?;
        let mut page = out.start_page_with(settings);
        let mut surface = page.surface();
        for (part, mark) in sheet.marks {
            let leaf = match part.and_then(|p| leaves.get_mut(p)) {
                Some(list) => {
                    list.push(surface.start_tagged(ContentTag::Other));
                    true
                }
                None => false,
            };
            if !leaf {
                surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(
                    ArtifactType::Layout,
                )));
            }
            one(&mut surface, mark, faces)?;
            surface.end_tagged();
        }
        foot(&mut surface, doc, (n + 1, pages), (w, h), faces);
        surface.finish();
        page.finish();
    }
    let mut outline = Outline::new();
    for (text, page, y) in marks {
        outline.push_child(OutlineNode::new(
            text,
            XyzDestination::new(page, Point::from_xy(0.0, y)),
        ));
    }
    out.set_outline(outline);
    out.set_tag_tree(tree(&parts, leaves, &doc.language));
    out.finish().map_err(|e| format!("{e:?}"))
}

fn metadata(doc: &Doc) -> Metadata {
    let mut data = Metadata::new()
        .title(doc.title.clone())
        .language(doc.language.clone())
        .creator("Slowstone".to_owned());
    if let Some(at) = DateTime::from_timestamp_millis(doc.made_ms)
        && let Ok(year) = u16::try_from(at.year())
    {
        let small = |n: u32| u8::try_from(n).unwrap_or_default();
        let made = Stamp::new(year)
            .month(small(at.month()))
            .day(small(at.day()))
            .hour(small(at.hour()))
            .minute(small(at.minute()))
            .second(small(at.second()))
            .utc_offset_hour(0)
            .utc_offset_minute(0);
        data = data.creation_date(made);
    }
    data
}

fn fill([r, g, b]: Tint) -> Option<Fill> {
    let paint = rgb::Color::new(r, g, b).into();
    Some(Fill {
        paint,
        ..Fill::default()
    })
}

fn one(surface: &mut Surface<'_>, mark: Mark, faces: &Faces) -> Result<(), String> {
    match mark {
        Mark::Text {
            x,
            y,
            size,
            bold,
            tint,
            text,
        } => {
            let face = faces.of(bold);
            surface.set_stroke(None);
            surface.set_fill(fill(tint));
            surface.draw_glyphs(
                Point::from_xy(x, y),
                &face.set(&text),
                face.font.clone(),
                &text,
                size,
                false,
            );
        }
        Mark::Box { x, y, w, h, tint } => {
            surface.set_stroke(None);
            surface.set_fill(fill(tint));
            if let Some(path) = path(&[(x, y), (x + w, y), (x + w, y + h), (x, y + h)], true) {
                surface.draw_path(&path);
            }
        }
        Mark::Path {
            points,
            width,
            filled,
            dashed,
            tint: [r, g, b],
        } => {
            let Some(path) = path(&points, filled) else {
                return Ok(());
            };
            if filled {
                surface.set_stroke(None);
                surface.set_fill(fill([r, g, b]));
            } else {
                surface.set_fill(None);
                surface.set_stroke(Some(Stroke {
                    paint: rgb::Color::new(r, g, b).into(),
                    width,
                    dash: dashed.then(|| StrokeDash {
                        array: vec![3.0, 2.0],
                        offset: 0.0,
                    }),
                    ..Stroke::default()
                }));
            }
            surface.draw_path(&path);
        }
        Mark::Image { x, y, w, h, jpeg } => {
            let image = Image::from_jpeg(jpeg.into(), true)?;
            if let Some(size) = Size::from_wh(w, h) {
                surface.push_transform(&Transform::from_translate(x, y));
                surface.draw_image(image, size);
                surface.pop();
            }
        }
    }
    Ok(())
}

fn path(points: &[(f32, f32)], close: bool) -> Option<Path> {
    let mut path = PathBuilder::new();
    let (first, rest) = points.split_first()?;
    path.move_to(first.0, first.1);
    for (x, y) in rest {
        path.line_to(*x, *y);
    }
    if close {
        path.close();
    }
    path.finish()
}

fn foot(
    surface: &mut Surface<'_>,
    doc: &Doc,
    (page, pages): (usize, usize),
    (w, h): (f32, f32),
    faces: &Faces,
) {
    surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(
        ArtifactType::Footer,
    )));
    let face = faces.of(false);
    surface.set_stroke(None);
    surface.set_fill(fill(INK));
    let number = doc
        .page_of
        .replace("{page}", &page.to_string())
        .replace("{pages}", &pages.to_string());
    let right = w - 46.0 - face.width(&number, 7.5);
    let left = face
        .wrap(&doc.foot, 7.5, right - 60.0)
        .into_iter()
        .next()
        .unwrap_or_default();
    for (x, text) in [(46.0, left), (right, number)] {
        surface.draw_glyphs(
            Point::from_xy(x, h - 30.0),
            &face.set(&text),
            face.font.clone(),
            &text,
            7.5,
            false,
        );
    }
    surface.end_tagged();
}

/// The tree of tags: every part under the one that it is in, leaves in the order of reading.
fn tree(parts: &[(Role, Option<Part>)], leaves: Vec<Vec<Identifier>>, language: &str) -> TagTree {
    let mut groups: Vec<Option<TagGroup>> = parts
        .iter()
        .zip(leaves)
        .map(|((role, _), leaves)| {
            let leaves: Vec<Node> = leaves.into_iter().map(Node::Leaf).collect();
            let group = match role {
                // What a list says stands in the bodies of its entries.
                Role::Entry => TagGroup::with_children(
                    Tag::LI,
                    vec![Node::Group(TagGroup::with_children(Tag::LBody, leaves))],
                ),
                other => TagGroup::with_children(kind(other), leaves),
            };
            Some(group)
        })
        .collect();
    // A part comes after the one that it is in, so from the last to the first; children are
    // turned round again at the end.
    let mut under: Vec<Vec<TagGroup>> = parts.iter().map(|_| Vec::new()).collect();
    let mut top = Vec::new();
    for (n, (_, inside)) in parts.iter().enumerate().rev() {
        let Some(mut group) = groups.get_mut(n).and_then(Option::take) else {
            continue;
        };
        let children = under.get_mut(n).map(std::mem::take).unwrap_or_default();
        for child in children.into_iter().rev() {
            group.push(child);
        }
        match inside.and_then(|p| under.get_mut(p)) {
            Some(list) => list.push(group),
            None => top.push(group),
        }
    }
    let mut tree = TagTree::new().with_lang(Some(language.to_owned()));
    for group in top.into_iter().rev() {
        tree.push(group);
    }
    tree
}

fn kind(role: &Role) -> TagKind {
    match role {
        Role::Heading(level, text) => {
            let level = NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN);
            Tag::Hn(level, Some(text.clone())).into()
        }
        Role::Paragraph => Tag::P.into(),
        Role::List => Tag::L(ListNumbering::None).into(),
        Role::Entry => Tag::LI.into(),
        Role::Table(caption) => Tag::Table.with_summary(Some(caption.clone())).into(),
        Role::Row => Tag::TR.into(),
        Role::ColumnHead => Tag::TH(TableHeaderScope::Column).into(),
        Role::RowHead => Tag::TH(TableHeaderScope::Row).into(),
        Role::Cell => Tag::TD.into(),
        Role::Figure(alt) => Tag::Figure(Some(alt.clone())).into(),
    }
}
