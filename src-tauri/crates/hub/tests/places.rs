//! Positions stay with keepers. Unusual decimals are planted in a site, a correction, entries of
//! a kind that nobody knows, and in photos of four formats; then every address of the OpenAPI
//! document is asked by everybody who may ask it, in every way of writing the question, and
//! the answers are opened (zips, pictures, the streams and the text of a PDF) and searched; so
//! are the heads of answers, the calendar and what a webhook is sent. A hub in a process of its
//! own, real paired phones of each role, and a guest.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]
#![cfg(unix)]

mod phone;
mod running;

use image::{DynamicImage, ImageFormat};
use img_parts::{Bytes, ImageEXIF, png, riff, webp};
use phone::{Answer, Phone};
use running::{Hub, event, log, the_site};
use serde_json::json;
use slowstone_hub::photo::photo_facts;
use std::collections::BTreeMap;
use std::io::{Cursor, Read};
use std::path::Path;
use std::sync::atomic::{AtomicU32, Ordering};

/// Readings that were logged, each under an id of its own.
static LOGGED: AtomicU32 = AtomicU32::new(0);

/// What is planted: of a site, of its correction, and of the photos.
const PLANTED: [&str; 6] = [
    "46.98712", "7.12398", "46.55587", "47.36912", "8.541987", "45.77313",
];

/// The seconds of the photos' latitude, as EXIF writes them: 88428 / 10000, little-endian.
fn seconds() -> Vec<u8> {
    [88_428_u32.to_le_bytes(), 10_000_u32.to_le_bytes()].concat()
}

/// An EXIF block that says 47° 22′ 8.8428″ N, 8° 32′ 31.1532″ E, which is 47.369123 and
/// 8.541987 degrees (TIFF 6.0, section 2; Exif 3.0, 4.6.7).
fn block() -> Vec<u8> {
    let mut b = b"II\x2a\0\x08\0\0\0".to_vec();
    let entry = |tag: u16, kind: u16, count: u32, value: [u8; 4]| {
        let mut e = Vec::new();
        e.extend(tag.to_le_bytes());
        e.extend(kind.to_le_bytes());
        e.extend(count.to_le_bytes());
        e.extend(value);
        e
    };
    b.extend(1_u16.to_le_bytes());
    b.extend(entry(0x8825, 4, 1, 26_u32.to_le_bytes()));
    b.extend([0; 4]);
    b.extend(4_u16.to_le_bytes());
    b.extend(entry(1, 2, 2, *b"N\0\0\0"));
    b.extend(entry(2, 5, 3, 80_u32.to_le_bytes()));
    b.extend(entry(3, 2, 2, *b"E\0\0\0"));
    b.extend(entry(4, 5, 3, 104_u32.to_le_bytes()));
    b.extend([0; 4]);
    for (n, of) in [
        (47, 1),
        (22, 1),
        (88_428, 10_000),
        (8, 1),
        (32, 1),
        (311_532, 10_000_u32),
    ] {
        b.extend(u32::to_le_bytes(n));
        b.extend(of.to_le_bytes());
    }
    b
}

fn jpeg() -> Vec<u8> {
    let xmp = b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'><rdf:Description xmlns:exif='http://ns.adobe.com/exif/1.0/' exif:GPSLatitude='45.77313N'/></rdf:RDF></x:xmpmeta>";
    let mut out = vec![0xFF, 0xD8];
    for part in [[b"Exif\0\0".to_vec(), block()].concat(), xmp.to_vec()] {
        let len = u16::try_from(part.len() + 2).unwrap();
        out.extend([0xFF, 0xE1]);
        out.extend(len.to_be_bytes());
        out.extend(part);
    }
    out.extend(pixels(ImageFormat::Jpeg).into_iter().skip(2));
    out
}

fn pixels(format: ImageFormat) -> Vec<u8> {
    let mut out = Cursor::new(Vec::new());
    let picture = DynamicImage::new_rgb8(640, 480);
    picture.write_to(&mut out, format).unwrap();
    out.into_inner()
}

fn png_file() -> Vec<u8> {
    let mut file = png::Png::from_bytes(Bytes::from(pixels(ImageFormat::Png))).unwrap();
    file.set_exif(Some(Bytes::from(block())));
    let text = Bytes::from_static(b"Comment\0taken at 45.77313");
    file.chunks_mut()
        .insert(1, png::PngChunk::new(*b"tEXt", text));
    file.encoder().bytes().to_vec()
}

fn webp_file() -> Vec<u8> {
    let mut file = webp::WebP::from_bytes(Bytes::from(pixels(ImageFormat::WebP))).unwrap();
    file.set_exif(Some(Bytes::from(block())));
    let text = riff::RiffContent::Data(Bytes::from_static(b"<x>45.77313</x>"));
    file.chunks_mut().push(riff::RiffChunk::new(*b"XMP ", text));
    file.encoder().bytes().to_vec()
}

/// A file of the corpus with another EXIF block at its end, and its length in the directory.
fn heic() -> Vec<u8> {
    let at = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../../tests/hub/data/exif-corpus/gen_exif.heic");
    let mut file = std::fs::read(at).unwrap();
    let (old, new) = (118_u32, u32::try_from(block().len()).unwrap() + 4);
    let from = file.len() - old as usize;
    let place = [
        &u32::try_from(from).unwrap().to_be_bytes()[..],
        &[0, 1, 0, 0, 0, 0],
    ]
    .concat();
    let find = |file: &[u8], what: &[u8]| file.windows(what.len()).position(|w| w == what).unwrap();
    let length = find(&file, &place) + place.len();
    assert_eq!(file[length..length + 4], old.to_be_bytes());
    file[length..length + 4].copy_from_slice(&new.to_be_bytes());
    let mdat = find(&file, b"mdat") - 4;
    let size = u32::from_be_bytes(file[mdat..mdat + 4].try_into().unwrap()) - old + new;
    file[mdat..mdat + 4].copy_from_slice(&size.to_be_bytes());
    file.truncate(from + 4);
    file.extend(block());
    file
}

/// Where planted positions stand in an answer, opened as far as it can be.
fn found(bytes: &[u8]) -> Vec<String> {
    let mut out = Vec::new();
    let has = |what: &[u8]| bytes.windows(what.len()).any(|w| w == what);
    for decimals in PLANTED {
        if has(decimals.as_bytes()) {
            out.push(decimals.to_owned());
        }
    }
    if has(&seconds()) {
        out.push("seconds of EXIF".to_owned());
    }
    let facts = photo_facts("", bytes);
    if facts.format.is_some() && (facts.lat.is_some() || facts.lon.is_some()) {
        out.push(format!("a photo at {:?}, {:?}", facts.lat, facts.lon));
    }
    if bytes.starts_with(b"%PDF") {
        for (n, part) in opened_pdf(bytes).iter().enumerate() {
            out.extend(
                found(part)
                    .into_iter()
                    .map(|what| format!("part {n}: {what}")),
            );
        }
    }
    if bytes.starts_with(b"PK\x03\x04") {
        let mut zip = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
        for n in 0..zip.len() {
            let mut file = zip.by_index(n).unwrap();
            let mut inner = Vec::new();
            file.read_to_end(&mut inner).unwrap();
            let name = file.name().unwrap().into_owned();
            out.extend(
                found(&inner)
                    .into_iter()
                    .map(|what| format!("{name}: {what}")),
            );
        }
    }
    out
}

fn all_of<'a>(bytes: &'a [u8], from: &[u8], to: &[u8]) -> Vec<&'a [u8]> {
    let find = |all: &[u8], what: &[u8]| all.windows(what.len()).position(|w| w == what);
    let (mut out, mut rest) = (Vec::new(), bytes);
    while let Some(at) = find(rest, from) {
        rest = &rest[at + from.len()..];
        let Some(end) = find(rest, to) else { break };
        out.push(&rest[..end]);
        rest = &rest[end + to.len()..];
    }
    out
}

/// The streams of a PDF, unpacked where they are (ISO 32000-1, 7.3.8 and 7.4.4), and its text in
/// the letters of each of its fonts.
fn opened_pdf(bytes: &[u8]) -> Vec<Vec<u8>> {
    let mut streams = Vec::new();
    for stream in all_of(bytes, b"stream\n", b"endstream") {
        let mut plain = Vec::new();
        match flate2::read::ZlibDecoder::new(stream).read_to_end(&mut plain) {
            Ok(_) => streams.push(plain),
            Err(_) => streams.push(stream.to_vec()),
        }
    }
    let fonts: Vec<BTreeMap<u16, char>> = streams.iter().filter_map(|s| letters(s)).collect();
    assert!(!fonts.is_empty(), "no font says its letters");
    let shown: Vec<Vec<u16>> = streams.iter().map(|s| glyphs(s)).collect();
    let mut texts = Vec::new();
    for font in fonts {
        for glyphs in &shown {
            let text: String = glyphs.iter().filter_map(|g| font.get(g)).collect();
            texts.push(text.into_bytes());
        }
    }
    streams.extend(texts);
    streams
}

/// Which letter each glyph is, if this stream says that (ISO 32000-1, 9.10.3).
fn letters(stream: &[u8]) -> Option<BTreeMap<u16, char>> {
    let text = std::str::from_utf8(stream).ok()?;
    text.contains("beginbf").then_some(())?;
    let number = |hex: &str| u16::from_str_radix(hex.get(..4)?, 16).ok();
    let mut out = BTreeMap::new();
    for line in text.lines() {
        let codes: Vec<u16> = all_of(line.as_bytes(), b"<", b">")
            .into_iter()
            .filter_map(|hex| number(std::str::from_utf8(hex).ok()?))
            .collect();
        let letter = |code: u16| char::from_u32(u32::from(code));
        match codes[..] {
            [glyph, to] => out.extend(letter(to).map(|c| (glyph, c))),
            [first, last, to] => {
                let all = (first..=last).zip(to..);
                out.extend(all.filter_map(|(glyph, code)| Some((glyph, letter(code)?))));
            }
            _ => {}
        }
    }
    Some(out)
}

/// The glyphs that a page shows: two bytes each, in strings of either form (ISO 32000-1, 7.3.4).
fn glyphs(stream: &[u8]) -> Vec<u16> {
    let mut out = Vec::new();
    let mut at = stream.iter().copied().peekable();
    while let Some(byte) = at.next() {
        let mut bytes = Vec::new();
        match byte {
            // A dictionary.
            b'<' if at.next_if_eq(&b'<').is_some() => {}
            b'<' => {
                let hex: Vec<u8> = at.by_ref().take_while(|b| *b != b'>').collect();
                let digit = |b: &u8| char::from(*b).to_digit(16);
                let digits: Vec<u32> = hex.iter().filter_map(digit).collect();
                bytes.extend(
                    digits
                        .chunks(2)
                        .map(|d| (d[0] * 16 + d.get(1).unwrap_or(&0)) as u8),
                );
            }
            b'(' => {
                let mut deep = 0;
                while let Some(byte) = at.next() {
                    let one = match byte {
                        b'(' => {
                            deep += 1;
                            byte
                        }
                        b')' if deep == 0 => break,
                        b')' => {
                            deep -= 1;
                            byte
                        }
                        b'\\' => match at.next() {
                            Some(b'n') => b'\n',
                            Some(b'r') => b'\r',
                            Some(b't') => b'\t',
                            Some(b'b') => 8,
                            Some(b'f') => 12,
                            Some(first @ b'0'..=b'7') => {
                                let mut code = u32::from(first - b'0');
                                for _ in 0..2 {
                                    let next = at.next_if(|b| (b'0'..=b'7').contains(b));
                                    code = next.map_or(code, |b| code * 8 + u32::from(b - b'0'));
                                }
                                code as u8
                            }
                            Some(other) => other,
                            None => break,
                        },
                        other => other,
                    };
                    bytes.push(one);
                }
            }
            _ => {}
        }
        let pair = |two: &[u8]| u16::from_be_bytes([two[0], two[1]]);
        out.extend(bytes.chunks_exact(2).map(pair));
    }
    out
}

struct Planted {
    hub: Hub,
    dir: tempfile::TempDir,
    /// Hash of each photo: JPEG, PNG, WebP, HEIC.
    hashes: Vec<String>,
}

fn planted() -> Planted {
    let dir = tempfile::tempdir().unwrap();
    let hub = Hub::start(dir.path(), &["--empty", "--lan", "127.0.0.1:0", "--guest"]);
    let mut site = the_site();
    site["body"]["lat"] = json!(46.987_123);
    site["body"]["lon"] = json!(7.123_987);
    let start = 1_791_000_000_000_i64;
    let change = |lat: f64| json!({"target": "site-0001", "changes": {"lat": lat}, "seen": []});
    log(
        &hub,
        json!([
            site,
            event("flight-0001", "flight", json!({"name": "Bank"})),
            event(
                "step-00001",
                "step",
                json!({"flight": "flight-0001", "number": 1, "width_m": 1.2,
                "depth_m": 0.45, "rise_m": 0.16, "on_step_below": false})
            ),
            event(
                "pour-00001",
                "pour",
                json!({"step": "step-00001", "name": "", "started_ms": start})
            ),
            event(
                "reading-01",
                "reading",
                json!({"at_ms": start, "air_c": 18})
            ),
            // Two that did not see each other: both are shown until somebody settles it.
            event("change-001", "correction", change(46.555_871)),
            event("change-002", "correction", change(46.555_872)),
            event(
                "unknown-01",
                "kind-of-a-later-day",
                json!({"deep": [{"lat": 45.773_131, "lon": 7.123_987}]})
            ),
        ]),
    );
    let mut hashes = Vec::new();
    for (name, bytes) in [
        ("a.jpg", jpeg()),
        ("b.png", png_file()),
        ("c.webp", webp_file()),
        ("d.heic", heic()),
    ] {
        assert!(found(&bytes).len() >= 2, "{name} holds no place");
        let path = format!(
            "/api/sites/site-0001/photos?by=Jonas&name={name}&id=photo-{}",
            &name[..1].repeat(4)
        );
        let said = hub.post(&path, &bytes);
        assert!(said["photo"]["lat"].is_f64(), "{name}: {said}");
        hashes.push(said["photo"]["hash"].as_str().unwrap().to_owned());
    }
    Planted { hub, dir, hashes }
}

/// Every address of the document that is asked with GET, filled in.
fn addresses(of: &Planted) -> Vec<String> {
    let document = of.hub.get("/api/openapi.json");
    let paths = document["paths"].as_object().unwrap();
    let mut out = Vec::new();
    for (path, methods) in paths {
        if methods.get("get").is_none() {
            continue;
        }
        let path = path
            .replace("{site}", "site-0001")
            .replace("{pour}", "pour-00001")
            .replace("{flight}", "flight-0001")
            .replace("{photo}", "photo-aaaa")
            .replace("{date}", "2026-10-04")
            .replace("{id}", "photo-aaaa");
        for record in ["site-0001", "photo-aaaa", "change-001"] {
            for hash in &of.hashes {
                let path = path.replace("{record}", record).replace("{hash}", hash);
                if !out.contains(&path) {
                    assert!(!path.contains('{'), "{path}: say what belongs there");
                    out.push(path);
                }
            }
        }
    }
    assert!(out.len() > 40, "{out:?}");
    out
}

/// Ways to write a question for which positions were left in once, or could be.
const ASKED: [&str; 9] = [
    "",
    "?gps=1",
    "?%67ps=1",
    "?gps=%31",
    "?gps=true",
    "?gps=0&gps=1",
    "?gps=1&gps=0",
    "?GPS=1",
    "/?gps=1",
];

/// One answer, where one comes to its end; a stream of messages is read for its first ones.
fn look(phone: &Phone, of: &Planted, address: &str, head: &[(&str, &str)]) -> Option<Answer> {
    if !address.starts_with("/api/watch") {
        return Some(phone.ask("GET", address, head, b""));
    }
    let mut request = phone.agent.get(format!("{}{address}", phone.base));
    if let Some(cookie) = &phone.cookie {
        request = request.header("cookie", cookie);
    }
    let mut answer = request.call().unwrap();
    if answer.status().as_u16() == 200 {
        let n = LOGGED.fetch_add(1, Ordering::Relaxed);
        let id = format!("reading-{n:04}x");
        log(
            &of.hub,
            json!([event(
                &id,
                "reading",
                json!({"at_ms": 1_791_000_000_000_i64, "air_c": 18})
            )]),
        );
        let mut bytes = vec![0; 40];
        answer
            .body_mut()
            .as_reader()
            .read_exact(&mut bytes)
            .unwrap();
        assert_eq!(found(&bytes), Vec::<String>::new(), "{address}");
    }
    None
}

#[test]
fn nobody_but_keepers_gets_a_position_from_any_address() {
    let of = planted();
    let guest = of.hub.get("/api/lan")["guest_address"]
        .as_str()
        .unwrap()
        .to_owned();
    let viewer = Phone::paired(&of.hub, of.dir.path(), "Vera", "viewer");
    let helper = Phone::paired(&of.hub, of.dir.path(), "Hanne", "helper");
    let guest = Phone {
        agent: phone::plain(),
        base: guest,
        cookie: None,
    };
    let all = addresses(&of);
    let mut answered = 0;
    for (name, phone) in [("guest", &guest), ("viewer", &viewer), ("helper", &helper)] {
        for address in &all {
            // A record is drawn in a second; its question is read as that of the others.
            let drawn = address.contains("record.pdf") || address.contains("record.html");
            let asks = if drawn || name == "helper" {
                &ASKED[..2]
            } else {
                &ASKED[..]
            };
            for asked in asks {
                let address = format!("{address}{asked}");
                let Some(said) = look(phone, &of, &address, &[]) else {
                    continue;
                };
                let heads = format!("{:?}", said.headers);
                for bytes in [&said.bytes[..], heads.as_bytes()] {
                    let none = Vec::<String>::new();
                    assert_eq!(found(bytes), none, "{name} {address}: {}", said.status);
                }
                answered += usize::from(said.status == 200);
            }
            let head = phone.ask("HEAD", address, &[], b"");
            let said = format!("{:?}", head.headers);
            assert_eq!(
                found(said.as_bytes()),
                Vec::<String>::new(),
                "HEAD {name} {address}"
            );
            assert!(head.bytes.is_empty(), "HEAD {name} {address} has a body");
            for head in [
                ("range", "bytes=0-200000"),
                ("x-http-method-override", "PUT"),
                ("accept-encoding", "identity"),
            ] {
                let Some(said) = look(phone, &of, address, &[head]) else {
                    continue;
                };
                assert_eq!(
                    found(&said.bytes),
                    Vec::<String>::new(),
                    "{name} {address} {head:?}"
                );
            }
        }
        // Other ways to write an address lead to nothing of the log.
        for odd in [
            "//api/sites",
            "/API/sites",
            "/%61pi/sites/site-0001",
            "/api%2Fsites",
            "/api/sites/site-0001%2Fevents",
            "/api/./sites",
        ] {
            let said = phone.get(odd);
            assert_eq!(found(&said.bytes), Vec::<String>::new(), "{name} {odd}");
            let log = String::from_utf8_lossy(&said.bytes).contains("Landing");
            assert!(!log, "{name} {odd} gives out the log");
        }
    }
    assert!(answered > 150, "{answered} answers");
    of.hub.stop();
}

#[test]
fn asking_for_positions_is_refused_however_it_is_written() {
    let of = planted();
    let viewer = Phone::paired(&of.hub, of.dir.path(), "Vera", "viewer");
    let keeper = Phone::paired(&of.hub, of.dir.path(), "Kari", "keeper");
    for file in [
        "record.html",
        "record.pdf",
        "record.csv.zip",
        "record.jsonl",
        "record.zip",
        "photos.zip",
    ] {
        for asked in ["gps=1", "%67ps=1", "gps=%31", "lang=en&gp%73=1"] {
            let path = format!("/api/sites/site-0001/{file}?{asked}");
            let said = viewer.get(&path);
            assert_eq!(
                (said.status, &said.json["error"]["code"]),
                (403, &json!("role")),
                "{path}"
            );
            assert_eq!(keeper.get(&path).status, 200, "{path}");
        }
        // What can be read in two ways is not read at all.
        for odd in ["gps=0&gps=1", "gps=maybe", "lang=en&gp%73=true"] {
            for phone in [&viewer, &keeper] {
                assert_eq!(
                    phone
                        .get(&format!("/api/sites/site-0001/{file}?{odd}"))
                        .status,
                    400,
                    "{file} {odd}"
                );
            }
        }
    }
    of.hub.stop();
}

#[test]
fn keepers_get_positions_and_a_phone_its_own_photos_whole() {
    let of = planted();
    let keeper = Phone::paired(&of.hub, of.dir.path(), "Kari", "keeper");
    let helper = Phone::paired(&of.hub, of.dir.path(), "Hanne", "helper");
    let other = Phone::paired(&of.hub, of.dir.path(), "Ole", "helper");
    // The search of this file finds what is there for those who may have it, in a PDF too.
    for file in ["record.pdf", "record.html", "record.csv.zip", "record.zip"] {
        let whole = keeper.get(&format!("/api/sites/site-0001/{file}?gps=1"));
        assert_eq!(whole.status, 200, "{file}");
        assert!(
            !found(&whole.bytes).is_empty(),
            "{file} holds no place at all"
        );
    }
    for path in [
        "/api/sites/site-0001",
        "/api/sites/site-0001/events",
        "/api/sites/site-0001/history/site-0001",
    ] {
        let said = keeper.get(path);
        assert!(!found(&said.bytes).is_empty(), "{path}");
        assert!(!said.headers.contains_key("slowstone-places"), "{path}");
        assert_eq!(
            helper.get(path).headers["slowstone-places"],
            "taken-out",
            "{path}"
        );
    }
    // Of a site, whole degrees stay: sun and day length are reckoned with them.
    let site = &helper.get("/api/sites/site-0001").json["site"]["fact"];
    assert_eq!(
        (&site["lat"], &site["lon"]),
        (&json!(47.0), &json!(7.0)),
        "{site}"
    );
    for hash in &of.hashes {
        let original = format!("/api/photos/{hash}");
        let whole = keeper.get(&original);
        assert_eq!(
            blake3::hash(&whole.bytes).to_hex().as_str(),
            hash,
            "the stored bytes"
        );
        assert!(!found(&whole.bytes).is_empty());
        let without = helper.get(&original);
        if without.status == 200 {
            assert_eq!(without.headers["slowstone-places"], "taken-out");
            assert!(
                !without.headers["cache-control"]
                    .to_str()
                    .unwrap()
                    .contains("immutable")
            );
            assert_ne!(blake3::hash(&without.bytes).to_hex().as_str(), hash);
            assert!(
                photo_facts("", &without.bytes).format.is_some(),
                "no picture any more"
            );
        } else {
            // A format whose place cannot be taken out here.
            assert_eq!(
                (without.status, &without.json["error"]["code"]),
                (415, &json!("no_picture"))
            );
        }
    }
    // A phone that took a photo has its place already, and checks the hash of what comes back.
    let mut own = jpeg();
    own.push(7);
    let sent = helper.ask(
        "POST",
        "/api/sites/site-0001/photos?by=Hanne&name=own.jpg&id=photo-own1",
        &[],
        &own,
    );
    assert_eq!(sent.status, 200, "{}", sent.json);
    assert_eq!(
        found(&sent.bytes),
        Vec::<String>::new(),
        "the answer is by the same rule"
    );
    let hash = sent.json["photo"]["hash"].as_str().unwrap();
    assert_eq!(helper.get(&format!("/api/photos/{hash}")).bytes, own);
    let others = other.get(&format!("/api/photos/{hash}"));
    assert_eq!((others.status, found(&others.bytes)), (200, Vec::new()));
    of.hub.stop();
}

/// Whoever reads the calendar or takes what a webhook is sent is no keeper of this hub.
#[test]
fn what_is_told_outside_holds_no_position() {
    let of = planted();
    let listener = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let url = format!("http://{}/told", listener.local_addr().unwrap());
    let (heard, hears) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        for stream in listener.incoming() {
            let mut stream = stream.unwrap();
            let limit = Some(std::time::Duration::from_secs(5));
            stream.set_read_timeout(limit).unwrap();
            let (mut all, mut part) = (Vec::new(), [0; 4096]);
            // The whole of it is there when the end of its JSON is.
            while let Ok(n) = stream.read(&mut part) {
                all.extend(&part[..n]);
                if n == 0 || all.ends_with(b"}") {
                    break;
                }
            }
            let answer = b"HTTP/1.1 204 x\r\ncontent-length: 0\r\nconnection: close\r\n\r\n";
            std::io::Write::write_all(&mut stream, answer).unwrap();
            let _ = heard.send(all);
        }
    });
    let rules =
        json!({"quiet_min": null, "wake_for_window": false, "ahead_min": 0, "curing_min": null});
    let wish = json!({"settings": {"on": true, "language": "en", "webhook_url": url, "email": {}, "rules": rules}});
    let keeper = Phone::paired(&of.hub, of.dir.path(), "Kari", "keeper");
    let set = keeper.ask(
        "PUT",
        "/api/settings/reminders",
        &[],
        wish.to_string().as_bytes(),
    );
    assert_eq!(set.status, 200, "{}", set.json);
    // Cast two days ago by the hub's clock (`running::Hub`): its form is due.
    let now = 1_791_021_600_000_i64;
    let begun = now - 48 * 3_600_000;
    let mut entries = json!([
        event(
            "reading-90",
            "reading",
            json!({"at_ms": begun, "air_c": 20})
        ),
        event(
            "pour-00090",
            "pour",
            json!({"step": "step-00001", "name": "", "started_ms": begun})
        )
    ]);
    for entry in entries.as_array_mut().unwrap() {
        entry["at_ms"] = json!(begun);
    }
    log(&of.hub, entries);
    let told = hears
        .recv_timeout(std::time::Duration::from_secs(30))
        .expect("nobody is told");
    let said = String::from_utf8_lossy(&told).into_owned();
    assert!(
        said.contains("form_off") && said.contains("Landing"),
        "{said}"
    );
    assert_eq!(found(&told), Vec::<String>::new(), "{said}");
    let made = keeper.post("/api/settings/reminders/calendar", &json!({}));
    let path = made.json["path"].as_str().unwrap().to_owned();
    let stranger = Phone::of(&of.hub, of.dir.path());
    for phone in [&keeper, &stranger] {
        let calendar = phone.get(&path);
        let text = String::from_utf8_lossy(&calendar.bytes).into_owned();
        assert!(text.contains("BEGIN:VEVENT"), "{} {text}", calendar.status);
        assert!(
            !text.contains("GEO:") && !text.contains("LOCATION"),
            "{text}"
        );
        assert_eq!(found(&calendar.bytes), Vec::<String>::new(), "{text}");
    }
    of.hub.stop();
}

/// A hub that was set back is filled again by phones. What a helper's phone holds has no
/// positions; when a keeper's phone comes later, its fuller copies of the same entries are taken.
#[test]
fn the_fuller_copy_of_an_entry_is_taken_whoever_came_first() {
    let of = planted();
    let helper = Phone::paired(&of.hub, of.dir.path(), "Hanne", "helper");
    let keeper = Phone::paired(&of.hub, of.dir.path(), "Kari", "keeper");
    let held = |phone: &Phone| {
        let all = phone.get("/api/sites/site-0001/events").json["events"].clone();
        let all = all
            .as_array()
            .unwrap()
            .iter()
            .filter(|e| e["kind"] != "entered");
        json!({ "events": all.collect::<Vec<_>>() })
    };
    let (poor, full) = (held(&helper), held(&keeper));
    assert_ne!(poor, full);
    of.hub.stop();

    // As after a restored backup, from before the site was made.
    let dir = tempfile::tempdir().unwrap();
    let start = || Hub::start(dir.path(), &["--empty", "--lan", "127.0.0.1:0"]);
    let hub = start();
    let helper = Phone::paired(&hub, dir.path(), "Hanne", "helper");
    let keeper = Phone::paired(&hub, dir.path(), "Kari", "keeper");
    for (phone, sent) in [(&helper, &poor), (&keeper, &full), (&helper, &poor)] {
        let said = phone.post("/api/events", sent);
        assert_eq!(
            (said.status, &said.json["refused"]),
            (200, &json!([])),
            "{}",
            said.json
        );
    }
    let exact = |hub: &Hub| {
        let all = hub.get("/api/sites/site-0001/events")["events"].clone();
        let site = hub.get("/api/sites/site-0001");
        let photo = site["loose_photos"].as_array().into_iter().flatten();
        let shown = json!([all, photo.collect::<Vec<_>>(), site["site"]]).to_string();
        PLANTED.iter().filter(|p| shown.contains(*p)).count()
    };
    assert!(exact(&hub) >= 4, "{}", exact(&hub));
    let shown = hub.get("/api/sites/site-0001")["site"]["fact"].clone();
    assert_eq!(shown["lon"], json!(7.123_987), "{shown}");
    // It is still another entry that is refused: what else it says is not the same.
    let mut other = full["events"][0].clone();
    other["body"]["name"] = json!("Elsewhere");
    let said = keeper.post("/api/events", &json!({ "events": [other] }));
    assert_eq!(
        (said.status, &said.json["refused"][0]["field"]),
        (422, &json!("id"))
    );
    // Nor can a position be moved: that is a correction.
    let mut moved = full["events"][0].clone();
    moved["body"]["lon"] = json!(8.123_987);
    assert_eq!(
        keeper
            .post("/api/events", &json!({ "events": [moved] }))
            .status,
        422
    );
    // The same from the log on the disk.
    hub.stop();
    let hub = start();
    assert_eq!(hub.get("/api/sites/site-0001")["site"]["fact"], shown);
    hub.stop();
}
