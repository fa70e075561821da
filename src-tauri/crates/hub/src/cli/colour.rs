//! Topics of the desk about colour: `colour` and `colour-difference`.
//!
//! They stand beside those of [`slowstone_curing::desk`] and keep its manners: unknown,
//! missing and impossible fields are refused in one line. A colour that cannot be trusted
//! is an answer too: `refused`. The measuring is in [`crate::colour`].

use crate::colour::{CardAt, MOST_PIXELS, NoColour, measure_photo};
use serde_json::{Value, json};
use slowstone_colour::measure::{Measured, Rect, Refusal};
use slowstone_colour::{Lab, de76, de2000};
use slowstone_curing::desk::{DeskError, Fields, Topic};
use std::fs::File;
use std::io::Read;

/// What can be asked here.
pub const TOPICS: &[Topic] = &[
    Topic {
        name: "colour",
        summary: "Colour of the concrete in a photo, by reference cards.",
        help: include_str!("topics/colour.txt"),
        example: include_str!("topics/colour.json"),
    },
    Topic {
        name: "colour-difference",
        summary: "Difference of two colours.",
        help: include_str!("topics/colour-difference.txt"),
        example: include_str!("topics/colour-difference.json"),
    },
];

/// Larger files are no photos that a phone makes.
const MOST: u64 = 512 << 20;

/// Answers one of [`TOPICS`].
///
/// # Errors
/// Names the field that is unknown, missing or impossible, and what is allowed.
pub fn calc(topic: &str, input: &Value) -> Result<Value, DeskError> {
    let input = Fields::of("", input)?;
    if topic == "colour" {
        colour(&input)
    } else {
        difference(&input)
    }
}

fn difference(input: &Fields<'_>) -> Result<Value, DeskError> {
    input.only(&["lab_a", "lab_b"])?;
    let (a, b) = (lab(input, "lab_a")?, lab(input, "lab_b")?);
    Ok(json!({"de2000": de2000(a, b), "de76": de76(a, b)}))
}

fn colour(input: &Fields<'_>) -> Result<Value, DeskError> {
    input.only(&["photo", "patch", "references"])?;
    let photo = input.word("photo", PHOTO)?;
    let patch = rect(input, "patch")?;
    let mut cards = Vec::new();
    for reference in input.list("references", 2)? {
        reference.only(&["rect", "lab_d65"])?;
        cards.push(CardAt {
            rect: rect(&reference, "rect")?,
            lab: lab(&reference, "lab_d65")?,
            sd: None,
        });
    }
    let bytes = bytes(photo).map_err(|why| input.refuse("photo", photo, why))?;
    match measure_photo(&bytes, patch, &cards) {
        Ok(measured) => Ok(answer(&measured)),
        Err(NoColour::Refused(why)) => Ok(refused(why)),
        Err(NoColour::Picture(why)) => Err(input.refuse("photo", photo, why.to_string())),
        Err(NoColour::Outside { which, size }) => {
            let allowed = format!(
                "a rectangle of at most {MOST_PIXELS} pixels within the {} x {} of the picture as displayed",
                size.0, size.1
            );
            let value = if which == "patch" {
                input.raw("patch").map(Value::to_string)
            } else {
                input.raw("references").map(Value::to_string)
            };
            Err(DeskError::new(which, value.unwrap_or_default(), allowed))
        }
    }
}

const PHOTO: &str = "the path of a JPEG, PNG, WebP or TIFF file";

fn answer(measured: &Measured) -> Value {
    let warnings: Vec<Value> = measured
        .warnings
        .iter()
        .map(|w| json!({"code": w, "text": w.text()}))
        .collect();
    json!({
        "lab_d65": measured.lab.to_array(),
        "sd_lab": measured.sd,
        "warnings": warnings,
    })
}

fn refused(why: Refusal) -> Value {
    json!({"refused": why.text(), "refused_code": why})
}

/// L*, a* and b* of any surface, with room for what a measurement may be off.
fn lab(fields: &Fields<'_>, field: &str) -> Result<Lab, DeskError> {
    let allowed = "three numbers: L* from 0 to 100, a* and b* from -200 to 200";
    let refuse = |value: String| fields.refuse(field, value, allowed);
    let Some(raw) = fields.raw(field) else {
        return Err(refuse("missing".to_owned()));
    };
    let numbers: Option<Vec<f64>> = raw
        .as_array()
        .and_then(|list| list.iter().map(Value::as_f64).collect());
    match numbers.as_deref() {
        Some([l, a, b])
            if (0.0..=100.0).contains(l)
                && (-200.0..=200.0).contains(a)
                && (-200.0..=200.0).contains(b) =>
        {
            Ok(Lab::new(*l, *a, *b))
        }
        _ => Err(refuse(raw.to_string())),
    }
}

fn rect(fields: &Fields<'_>, field: &str) -> Result<Rect, DeskError> {
    let allowed = "four whole numbers [x0, y0, x1, y1] from 0 to 65535 with x0 < x1 and y0 < y1";
    let Some(raw) = fields.raw(field) else {
        return Err(fields.refuse(field, "missing", allowed));
    };
    let whole = |v: &Value| {
        let n = v.as_f64().filter(|n| n.fract() == 0.0)?;
        (0.0..=65535.0).contains(&n).then_some(n as u32)
    };
    let numbers: Option<Vec<u32>> = raw
        .as_array()
        .and_then(|list| list.iter().map(whole).collect());
    match numbers.as_deref() {
        Some(&[x0, y0, x1, y1]) if x0 < x1 && y0 < y1 => Ok(Rect { x0, y0, x1, y1 }),
        _ => Err(fields.refuse(field, raw.to_string(), allowed)),
    }
}

/// The bytes of a photo, or what would have been one.
fn bytes(photo: &str) -> Result<Vec<u8>, String> {
    if let Some(uri) = photo.strip_prefix("data:") {
        let (_, text) = uri
            .split_once(";base64,")
            .ok_or("a data URI with base64, or a path")?;
        return base64(text).ok_or_else(|| "base64 without line breaks".to_owned());
    }
    let unread = |e: std::io::Error| format!("{PHOTO} that can be read ({e})");
    let file = File::open(photo).map_err(unread)?;
    let mut bytes = Vec::new();
    file.take(MOST + 1)
        .read_to_end(&mut bytes)
        .map_err(unread)?;
    if bytes.len() as u64 > MOST {
        return Err(format!("{PHOTO} of at most {} MB", MOST >> 20));
    }
    Ok(bytes)
}

/// RFC 4648, section 4.
fn base64(text: &str) -> Option<Vec<u8>> {
    let mut out = Vec::new();
    let (mut bits, mut have) = (0_u32, 0_u8);
    for c in text.trim_end_matches('=').bytes() {
        let six = match c {
            b'A'..=b'Z' => c - b'A',
            b'a'..=b'z' => c - b'a' + 26,
            b'0'..=b'9' => c - b'0' + 52,
            b'+' => 62,
            b'/' => 63,
            _ => return None,
        };
        bits = bits << 6 | u32::from(six);
        have += 6;
        if have >= 8 {
            have -= 8;
            out.push((bits >> have & 0xFF) as u8);
        }
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn example(topic: usize) -> Value {
        serde_json::from_str(TOPICS[topic].example).unwrap()
    }

    /// The refusal of the example with one value changed.
    fn why(topic: usize, change: fn(&mut Value)) -> String {
        let mut input = example(topic);
        change(&mut input);
        calc(TOPICS[topic].name, &input).unwrap_err().to_string()
    }

    #[test]
    fn the_examples_work() {
        let colour = calc("colour", &example(0)).unwrap();
        let lab = colour["lab_d65"].as_array().unwrap();
        assert_eq!(lab.len(), 3);
        // Reddish, of about the lightness of the card.
        assert!(lab[0].as_f64().unwrap() > 45.0 && lab[1].as_f64().unwrap() > 10.0);
        assert!(colour["sd_lab"][0].as_f64().unwrap() > 0.3, "{colour}");
        assert_eq!(colour["warnings"][0]["code"], "patch_small");
        let difference = calc("colour-difference", &example(1)).unwrap();
        // Sharma, Wu and Dalal 2005, pair 1.
        assert!((difference["de2000"].as_f64().unwrap() - 2.0425).abs() < 1e-4);
    }

    #[test]
    fn a_colour_that_cannot_be_trusted_is_an_answer() {
        let mut input = example(0);
        input["references"][0]["lab_d65"] = json!([1.0, 0.0, 0.0]);
        let answer = calc("colour", &input).unwrap();
        assert_eq!(answer["refused_code"], "reference_colour");
        assert!(answer["refused"].as_str().unwrap().len() > 20 && answer["lab_d65"].is_null());
    }

    #[test]
    fn what_cannot_be_is_refused_by_its_name() {
        type Change = fn(&mut Value);
        let told: [(&str, Change); 9] = [
            ("photo: missing", |v| {
                v.as_object_mut().unwrap().remove("photo");
            }),
            ("photo: no-such-file.jpg", |v| {
                v["photo"] = json!("no-such-file.jpg")
            }),
            ("photo: data:,x", |v| v["photo"] = json!("data:,x")),
            ("patch: [2,2,16]", |v| v["patch"] = json!([2, 2, 16])),
            ("patch: [2,2,37,12]", |v| v["patch"] = json!([2, 2, 37, 12])),
            ("patch: [9,2,9,12]", |v| v["patch"] = json!([9, 2, 9, 12])),
            ("patch: [0.5,2,9,12]", |v| {
                v["patch"] = json!([0.5, 2, 9, 12])
            }),
            ("references[0].lab_d65: [120,0,0]", |v| {
                v["references"][0]["lab_d65"] = json!([120, 0, 0]);
            }),
            ("references[0].lab: unknown", |v| {
                v["references"][0]["lab"] = json!([1])
            }),
        ];
        for (begins, change) in told {
            let said = why(0, change);
            assert!(said.starts_with(begins), "{begins}: {said}");
        }
        let said = why(1, |v| v["lab_b"] = json!([50, 300, 0]));
        assert!(
            said.starts_with("lab_b: [50,300,0]; allowed: three"),
            "{said}"
        );
    }

    #[test]
    fn base64_is_that_of_the_rfc() {
        // RFC 4648, section 10.
        assert_eq!(base64("Zm9vYmE=").unwrap(), b"fooba");
        assert_eq!(base64("Zm9vYmFy").unwrap(), b"foobar");
        assert_eq!(base64("Zm 9v"), None);
    }
}
