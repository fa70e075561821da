//! One photo measured and one curve of doses fitted, beside numpy.
//!
//! `tests/bench/colour_numpy.py` decodes the same file with Pillow and takes the same pixels
//! to CIELAB and CIEDE2000; for the curve it solves as many systems of the same size. It
//! runs all the time and does one of the two for each line that it is sent, so that starting
//! Python does not count. Without it a photo is held against decoding it.

use crate::{Done, TURNS, median, timed};
use slowstone_colour::Lab;
use slowstone_colour::dose::{Trial, fit};
use slowstone_colour::measure::Rect;
use slowstone_hub::colour::{CardAt, measure_photo};
use std::hint::black_box;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};

/// Where the card lies in the photo.
pub const CARD: Rect = Rect {
    x0: 2400,
    y0: 1200,
    x1: 2800,
    y1: 1600,
};
/// Concrete beside it.
const PATCH: Rect = Rect {
    x0: 1900,
    y0: 1200,
    x1: 2300,
    y1: 1600,
};
/// Level 118 of the card: L* 49.6 (tests/reference, sRGB).
const GREY: Lab = Lab::new(49.6, 0.0, 0.0);
/// Fits in a turn: one alone is too short for the clock.
const FITS: u32 = 50;

/// Python at work.
struct Beside(Child);

impl Beside {
    fn start(python: &str, photo: &Path) -> Done<Self> {
        let mut job = Command::new(python);
        job.arg("tests/bench/colour_numpy.py").arg(photo);
        for r in [PATCH, CARD] {
            job.args([r.x0, r.y0, r.x1, r.y1].map(|n| n.to_string()));
        }
        let child = job.stdin(Stdio::piped()).stdout(Stdio::piped()).spawn()?;
        Ok(Self(child))
    }

    /// Has it done once; milliseconds, as it says itself.
    fn ask(&mut self, what: &str, answers: &mut impl BufRead) -> Done<f64> {
        let to = self.0.stdin.as_mut().ok_or("its input is closed")?;
        writeln!(to, "{what}")?;
        let mut line = String::new();
        answers.read_line(&mut line)?;
        Ok(line.trim().parse()?)
    }
}

impl Drop for Beside {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// Prints the rows.
pub fn measure(photo: &Path, python: Option<&str>) -> Done<()> {
    let bytes = std::fs::read(photo)?;
    let card = CardAt {
        rect: CARD,
        lab: GREY,
        sd: None,
    };
    let trials: Vec<Trial> = (0..8).map(f64::from).map(trial).collect();
    let mut beside = match python {
        Some(python) => Some(Beside::start(python, photo)?),
        None => None,
    };
    let mut answers = beside
        .as_mut()
        .and_then(|b| b.0.stdout.take())
        .map(BufReader::new);
    let (mut photo, mut photos, mut dose, mut doses) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for _ in 0..TURNS {
        photo.push(timed(|| {
            black_box(measure_photo(&bytes, PATCH, &[card])?);
            Ok(())
        })?);
        dose.push(timed(|| {
            for _ in 0..FITS {
                black_box(fit(black_box(&trials), None)).map_err(|e| e.text())?;
            }
            Ok(())
        })?);
        match (beside.as_mut(), answers.as_mut()) {
            (Some(beside), Some(answers)) => {
                photos.push(beside.ask("photo", answers)?);
                doses.push(beside.ask("dose", answers)?);
            }
            _ => photos.push(timed(|| {
                black_box(image::load_from_memory(&bytes)?.into_rgb8());
                Ok(())
            })?),
        }
    }
    let (photo, photos) = (median(&mut photo), median(&mut photos));
    let dose = median(&mut dose) / f64::from(FITS);
    let turns = TURNS - 1;
    let how = format!("12 MP JPEG in memory, patch and card of 400 x 400; {turns} turns");
    if beside.is_none() {
        println!("colour: measure one photo\t{photo:.2}\tms\tdecoding it\t{photos:.2}\t{how}");
        println!(
            "colour: dose fit, per fit\t{dose:.4}\tms\t\t\tnumpy is not installed (python3-scipy, python3-pil)"
        );
        return Ok(());
    }
    let doses = median(&mut doses);
    println!("colour: measure one photo\t{photo:.2}\tms\tPillow and numpy\t{photos:.2}\t{how}");
    println!(
        "colour: dose fit, per fit\t{dose:.4}\tms\tnumpy lstsq\t{doses:.4}\t8 trials, each shape \
         with each trial left out; {turns} turns"
    );
    Ok(())
}

/// A colour that darkens and reddens with the dose and slows down.
fn trial(dose: f64) -> Trial {
    let went = 1.0 - (-dose / 3.0).exp();
    Trial {
        dose_pct: vec![dose],
        lab: Lab::new(70.0 - 24.0 * went, 1.0 + 18.0 * went, 6.0 + 9.0 * went),
        sd: [0.3; 3],
    }
}
