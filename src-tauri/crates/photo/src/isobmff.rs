//! Finding size, EXIF and XMP in HEIC, HEIF and AVIF files.
//!
//! Reads the `meta` box (ISO/IEC 23008-12 and 14496-12): which items there are (`iinf`),
//! where they lie (`iloc`), which is the picture (`pitm`) and how large it is (`iprp`).
//! It decodes no pixels. Boxes are walked forward only, with limits on their number.

use super::bytes::{be_sized, be16, be32, be64, find, piece, u8_at};
use super::container::Found;

/// More boxes than this in one place are not looked at.
const MOST_BOXES: usize = 512;
/// More items than this are not looked at; a picture in tiles has some dozens.
const MOST_ITEMS: usize = 4096;

/// The boxes that lie side by side in `b`: kind and contents.
fn boxes(b: &[u8]) -> impl Iterator<Item = (&[u8], &[u8])> {
    let mut at = 0;
    std::iter::from_fn(move || {
        let small = be32(b, at)?;
        let kind = piece(b, at + 4, 4)?;
        let (head, len) = match small {
            0 => (8, b.len().saturating_sub(at)),
            1 => (16, usize::try_from(be64(b, at + 8)?).ok()?),
            n => (8, n as usize),
        };
        let body_len = len.checked_sub(head)?;
        // The last box of a cut file is given as far as it goes.
        let body = piece(b, at + head, body_len).or_else(|| b.get(at + head..))?;
        at = at.checked_add(len)?;
        Some((kind, body))
    })
    .take(MOST_BOXES)
}

/// The contents of the first box of a kind.
fn first<'a>(b: &'a [u8], kind: &[u8; 4]) -> Option<&'a [u8]> {
    boxes(b).find(|(k, _)| k == kind).map(|(_, body)| body)
}

/// Walks a HEIF file.
pub(crate) fn heif(b: &[u8]) -> Found<'_> {
    let mut f = Found::default();
    // After four bytes of version and flags, `meta` holds boxes.
    let Some(meta) = first(b, b"meta").and_then(|m| m.get(4..)) else {
        f.cut("the directory of the HEIF file is missing");
        return f;
    };
    if let Some((w, h)) = size(meta) {
        (f.width, f.height) = (Some(w), Some(h));
    }
    let idat = first(meta, b"idat").unwrap_or_default();
    let mut lost = false;
    for (id, kind) in items(meta) {
        let Some(place) = place(meta, id) else {
            continue;
        };
        let source = if place.in_idat { idat } else { b };
        let Some(item) = piece(source, place.at, place.len) else {
            lost = true;
            continue;
        };
        match kind {
            Item::Exif => {
                // Four bytes say how far behind them the TIFF header lies.
                let skip = be32(item, 0).map_or(0, |n| n as usize);
                let block = skip.checked_add(4).and_then(|s| item.get(s..));
                // Some writers get the distance wrong; then the name is looked for.
                let named = || find(item, b"Exif\0\0").and_then(|a| item.get(a + 6..));
                if let Some(block) = block.or_else(named) {
                    f.add_exif(block);
                }
            }
            Item::Xmp => f.add_xmp(item),
            Item::Jpeg | Item::Other => {}
        }
    }
    if lost {
        f.cut("parts that the HEIF file names are missing");
    }
    f
}

/// A JPEG picture among the items and its turn in quarters anticlockwise (`irot`).
pub(crate) fn jpeg_item(b: &[u8]) -> Option<(&[u8], u8)> {
    let meta = first(b, b"meta")?.get(4..)?;
    let idat = first(meta, b"idat").unwrap_or_default();
    items(meta)
        .into_iter()
        .filter(|(_, kind)| *kind == Item::Jpeg)
        .find_map(|(id, _)| {
            let place = place(meta, id)?;
            let jpeg = piece(if place.in_idat { idat } else { b }, place.at, place.len)?;
            jpeg.starts_with(&[0xFF, 0xD8])
                .then(|| (jpeg, turn(meta, id)))
        })
}

/// The turn of an item in quarters anticlockwise (ISO/IEC 23008-12, 6.5.10).
fn turn(meta: &[u8], id: u32) -> u8 {
    let read = || {
        let iprp = first(meta, b"iprp")?;
        let all: Vec<_> = boxes(first(iprp, b"ipco")?).collect();
        let links = links(first(iprp, b"ipma")?, id);
        links
            .into_iter()
            .find_map(|i| match all.get(i.checked_sub(1)?)? {
                (kind, body) if kind == b"irot" => Some(u8_at(body, 0)? & 3),
                _ => None,
            })
    };
    read().unwrap_or(0)
}

/// What an item is.
#[derive(Clone, Copy, PartialEq)]
enum Item {
    Exif,
    Jpeg,
    Xmp,
    Other,
}

/// All items: id and kind.
fn items(meta: &[u8]) -> Vec<(u32, Item)> {
    let Some(iinf) = first(meta, b"iinf") else {
        return Vec::new();
    };
    let skip = if u8_at(iinf, 0) == Some(0) { 6 } else { 8 };
    let list = iinf.get(skip..).unwrap_or_default();
    boxes(list)
        .filter(|(kind, _)| kind == b"infe")
        .filter_map(|(_, e)| {
            let wide = u8_at(e, 0)? >= 3;
            let (id, at) = if wide {
                (be32(e, 4)?, 8)
            } else {
                (u32::from(be16(e, 4)?), 6)
            };
            let kind = match piece(e, at + 2, 4)? {
                b"Exif" => Item::Exif,
                b"jpeg" => Item::Jpeg,
                b"mime" if find(e, b"application/rdf+xml").is_some() => Item::Xmp,
                _ => Item::Other,
            };
            Some((id, kind))
        })
        .collect()
}

/// Where an item lies.
struct Place {
    at: usize,
    len: usize,
    in_idat: bool,
}

/// The place of an item that lies in one piece; metadata always does.
fn place(meta: &[u8], wanted: u32) -> Option<Place> {
    let iloc = first(meta, b"iloc")?;
    let version = u8_at(iloc, 0)?;
    let sizes = be16(iloc, 4)?;
    let nibble = |shift: u16| usize::from((sizes >> shift) & 0xF);
    let (offset_size, length_size, base_size) = (nibble(12), nibble(8), nibble(4));
    let index_size = if version == 0 { 0 } else { nibble(0) };
    let (count, mut at) = if version < 2 {
        (usize::from(be16(iloc, 6)?), 8)
    } else {
        (be32(iloc, 6)? as usize, 10)
    };
    for _ in 0..count.min(MOST_ITEMS) {
        let id = if version < 2 {
            u32::from(be16(iloc, at)?)
        } else {
            be32(iloc, at)?
        };
        at += if version < 2 { 2 } else { 4 };
        let method = if version == 0 {
            0
        } else {
            be16(iloc, at)? & 0xF
        };
        at += if version == 0 { 2 } else { 4 };
        let base = be_sized(iloc, at, base_size)?;
        at += base_size;
        let extents = usize::from(be16(iloc, at)?);
        at += 2;
        let first_at = at + index_size;
        if id == wanted && extents > 0 {
            let offset = be_sized(iloc, first_at, offset_size)?;
            let len = be_sized(iloc, first_at + offset_size, length_size)?;
            return Some(Place {
                at: usize::try_from(base.checked_add(offset)?).ok()?,
                len: usize::try_from(len).ok()?,
                in_idat: method == 1,
            });
        }
        at += extents * (index_size + offset_size + length_size);
    }
    None
}

/// Pixels of the main picture as stored (`ispe`), before any turning.
fn size(meta: &[u8]) -> Option<(u32, u32)> {
    let iprp = first(meta, b"iprp")?;
    let ipco = first(iprp, b"ipco")?;
    let of = |body: &[u8]| Some((be32(body, 4)?, be32(body, 8)?));
    let all: Vec<Option<(u32, u32)>> = boxes(ipco)
        .map(|(kind, body)| if kind == b"ispe" { of(body) } else { None })
        .collect();
    let main = first(meta, b"pitm").and_then(|p| {
        if u8_at(p, 0)? == 0 {
            be16(p, 4).map(u32::from)
        } else {
            be32(p, 4)
        }
    });
    let by_item = main.and_then(|id| {
        let links = links(first(iprp, b"ipma")?, id);
        links.into_iter().find_map(|i| *all.get(i.checked_sub(1)?)?)
    });
    // Without links the largest one is the picture; the others are tiles or previews.
    by_item.or_else(|| {
        all.into_iter()
            .flatten()
            .max_by_key(|(w, h)| u64::from(*w) * u64::from(*h))
    })
}

/// The properties of an item, counted from one.
fn links(ipma: &[u8], wanted: u32) -> Vec<usize> {
    let read = || -> Option<Vec<usize>> {
        let version = u8_at(ipma, 0)?;
        let wide = u8_at(ipma, 3)? & 1 == 1;
        let count = be32(ipma, 4)? as usize;
        let mut at = 8;
        for _ in 0..count.min(MOST_ITEMS) {
            let id = if version < 1 {
                u32::from(be16(ipma, at)?)
            } else {
                be32(ipma, at)?
            };
            at += if version < 1 { 2 } else { 4 };
            let links = usize::from(u8_at(ipma, at)?);
            at += 1;
            let step = if wide { 2 } else { 1 };
            if id == wanted {
                return (0..links)
                    .map(|i| {
                        if wide {
                            be16(ipma, at + i * 2).map(|n| usize::from(n & 0x7FFF))
                        } else {
                            u8_at(ipma, at + i).map(|n| usize::from(n & 0x7F))
                        }
                    })
                    .collect();
            }
            at += links * step;
        }
        None
    };
    read().unwrap_or_default()
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    pub fn boxed(kind: &[u8; 4], body: &[u8]) -> Vec<u8> {
        let len = u32::try_from(body.len() + 8).unwrap();
        [&len.to_be_bytes()[..], kind, body].concat()
    }

    #[test]
    fn boxes_are_walked_forward_and_stop_at_nonsense() {
        let b = [
            boxed(b"aaaa", b"1"),
            boxed(b"bbbb", b"22"),
            vec![0, 0, 0, 3, b'x', b'x', b'x', b'x'],
        ]
        .concat();
        let kinds: Vec<&[u8]> = boxes(&b).map(|(k, _)| k).collect();
        assert_eq!(kinds, [b"aaaa", b"bbbb"]);
        // A length of zero means: to the end of the file.
        let zero = [0, 0, 0, 0, b'm', b'd', b'a', b't', 1, 2, 3];
        assert_eq!(boxes(&zero).next(), Some((&b"mdat"[..], &[1_u8, 2, 3][..])));
    }

    #[test]
    fn no_more_boxes_than_the_limit() {
        let b = boxed(b"free", b"").repeat(2000);
        assert_eq!(boxes(&b).count(), MOST_BOXES);
    }

    #[test]
    fn a_file_without_directory_says_so() {
        let bytes = boxed(b"ftyp", b"heic\0\0\0\0");
        let f = heif(&bytes);
        assert_eq!(f.problems[0].code, "cut_short");
    }

    /// A HEIC file of one item of kind `kind` that lies in `mdat`, with these properties.
    pub fn heic(kind: &[u8; 4], item: &[u8], properties: &[u8]) -> Vec<u8> {
        let ftyp = boxed(b"ftyp", b"heic\0\0\0\0mif1heic");
        let infe = boxed(
            b"infe",
            &[&[2, 0, 0, 0, 0, 1, 0, 0], &kind[..], b"\0"].concat(),
        );
        let iinf = boxed(b"iinf", &[&[0, 0, 0, 0, 0, 1], &infe[..]].concat());
        // Every property belongs to item 1; there are as many as boxes.
        let count = u8::try_from(boxes(properties).count()).unwrap();
        let links: Vec<u8> = (1..=count).collect();
        let ipma = [&[0, 0, 0, 0, 0, 0, 0, 1, 0, 1, count], &links[..]].concat();
        let iprp = [boxed(b"ipco", properties), boxed(b"ipma", &ipma)].concat();
        let meta = |at: usize| {
            let [at, len] = [at, item.len()].map(|n| u32::try_from(n).unwrap().to_be_bytes());
            let iloc = [
                &[0, 0, 0, 0, 0x44, 0, 0, 1, 0, 1, 0, 0, 0, 1],
                &at[..],
                &len,
            ]
            .concat();
            let pitm = boxed(b"pitm", &[0, 0, 0, 0, 0, 1]);
            let parts = [
                boxed(b"iloc", &iloc),
                iinf.clone(),
                boxed(b"iprp", &iprp),
                pitm,
            ];
            boxed(b"meta", &[&[0; 4], &parts.concat()[..]].concat())
        };
        let at = ftyp.len() + meta(0).len() + 8;
        [ftyp, meta(at), boxed(b"mdat", item)].concat()
    }

    #[test]
    fn size_exif_and_jpeg_are_found_by_their_items() {
        let ispe = boxed(b"ispe", &[0, 0, 0, 0, 0, 0, 4, 0, 0, 0, 3, 0]);
        let file = heic(b"Exif", b"\0\0\0\x06Exif\0\0II*\0", &ispe);
        let f = heif(&file);
        assert_eq!(
            (f.width, f.height, f.exif),
            (Some(1024), Some(768), vec![&b"II*\0"[..]])
        );
        assert_eq!(jpeg_item(&file), None);
        let turned = heic(
            b"jpeg",
            b"\xff\xd8\xff\xd9",
            &[ispe, boxed(b"irot", &[3])].concat(),
        );
        assert_eq!(jpeg_item(&turned), Some((&b"\xff\xd8\xff\xd9"[..], 3)));
        // Cut inside the item.
        assert_eq!(jpeg_item(&turned[..turned.len() - 1]), None);
        assert_eq!(
            heif(&turned[..turned.len() - 1]).problems[0].code,
            "cut_short"
        );
    }
}
