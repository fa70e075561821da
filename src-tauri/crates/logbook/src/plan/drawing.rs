//! Section and plan of a flight to scale, as one SVG for screen, printer and file.
//!
//! The section stands above, the plan below it, both from the same left edge, as a drawing
//! board would have them. Lengths carry no words: numbers in mm, or in inches on a US
//! site. What they mean is in [`super::flight`]. Not a structural drawing.

use super::flight::{FlightPlan, StepPlan};
use crate::facts::Units;
use core::fmt::Write;

/// Scales of the trade, the largest drawing first.
const METRIC: [f64; 7] = [5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 200.0];
/// 3, 1 1/2, 1, 3/4, 1/2, 1/4, 1/8 and 1/16 in to the foot.
const US: [f64; 8] = [4.0, 8.0, 12.0, 16.0, 24.0, 48.0, 96.0, 192.0];
/// Inside of an A4 sheet across, mm.
const SHEET: (f64, f64) = (277.0, 190.0);
/// Room around the drawing for dimensions, mm.
const EDGE: (f64, f64) = (24.0, 22.0);
/// Between section and plan, mm.
const BETWEEN: f64 = 22.0;

/// The pen: paper millimetres of a place on the bank.
struct Pen {
    out: String,
    /// Paper mm to a metre.
    mm: f64,
    /// Paper heights of the foot of the section and of the front of the plan.
    foot: f64,
    plan: f64,
}

impl Pen {
    fn x(&self, x_m: f64) -> f64 {
        EDGE.0 + x_m * self.mm
    }
    fn z(&self, z_m: f64) -> f64 {
        self.foot - z_m * self.mm
    }
    fn y(&self, y_m: f64) -> f64 {
        self.plan + y_m * self.mm
    }
    fn shape(&mut self, class: &str, points: &[(f64, f64)]) {
        let at: Vec<String> = points
            .iter()
            .map(|(x, y)| format!("{x:.2},{y:.2}"))
            .collect();
        // Writing to a String cannot fail.
        let _ = write!(
            self.out,
            "<polygon class=\"{class}\" points=\"{}\"/>",
            at.join(" ")
        );
    }
    fn line(&mut self, class: &str, a: (f64, f64), b: (f64, f64)) {
        let _ = write!(
            self.out,
            "<line class=\"{class}\" x1=\"{:.2}\" y1=\"{:.2}\" x2=\"{:.2}\" y2=\"{:.2}\"/>",
            a.0, a.1, b.0, b.1
        );
    }
    fn text(&mut self, class: &str, at: (f64, f64), text: &str) {
        let _ = write!(
            self.out,
            "<text class=\"{class}\" x=\"{:.2}\" y=\"{:.2}\">{}</text>",
            at.0,
            at.1,
            escaped(text)
        );
    }
    /// A dimension between two places of one height, with ticks.
    fn across(&mut self, x: (f64, f64), y: f64, text: &str) {
        self.line("dim", (x.0, y), (x.1, y));
        for at in [x.0, x.1] {
            self.line("tick", (at - 1.2, y + 1.2), (at + 1.2, y - 1.2));
        }
        self.text("mid", (x.0.midpoint(x.1), y - 1.2), text);
    }
    /// A dimension between two heights.
    fn up(&mut self, x: f64, y: (f64, f64), text: &str) {
        self.line("dim", (x, y.0), (x, y.1));
        for at in [y.0, y.1] {
            self.line("tick", (x - 1.2, at + 1.2), (x + 1.2, at - 1.2));
        }
        self.text("end", (x - 1.5, y.0.midpoint(y.1) + 1.0), text);
    }
}

fn escaped(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_control())
        .map(|c| match c {
            '&' => "&amp;".to_owned(),
            '<' => "&lt;".to_owned(),
            '>' => "&gt;".to_owned(),
            '"' => "&quot;".to_owned(),
            c => c.to_string(),
        })
        .collect()
}

/// A length as it stands on the drawing: mm, or inches in sixteenths.
#[must_use]
pub fn length(m: f64, units: Units) -> String {
    if units == Units::Metric {
        return format!("{:.0}", m * 1000.0);
    }
    let sixteenths = (m / 0.0254 * 16.0).round().max(0.0) as u64;
    let (whole, rest) = (sixteenths / 16, sixteenths % 16);
    let half = |mut top: u64, mut below: u64| {
        while top > 0 && top.is_multiple_of(2) {
            (top, below) = (top / 2, below / 2);
        }
        format!("{top}/{below}")
    };
    match (whole, rest) {
        (w, 0) => format!("{w}\""),
        (0, r) => format!("{}\"", half(r, 16)),
        (w, r) => format!("{w} {}\"", half(r, 16)),
    }
}

/// A step in the section: front, foot under its front and back, top at front and back.
struct Placed<'a> {
    step: &'a StepPlan,
    front: f64,
    foot: f64,
    top: f64,
    slope: f64,
}

/// Where each step stands.
fn places(flight: &FlightPlan) -> Vec<Placed<'_>> {
    let mut all: Vec<Placed<'_>> = Vec::with_capacity(flight.steps.len());
    for step in &flight.steps {
        let (front, foot) = all.last().map_or((0.0, 0.0), |b| {
            let going = b.step.going_m.unwrap_or(b.step.depth_m);
            (b.front + going, b.top + going * b.slope)
        });
        all.push(Placed {
            step,
            front,
            foot,
            top: foot + step.cast_m,
            slope: flight.layout.fact.fall_pct / 100.0,
        });
    }
    all
}

const STYLE: &str = "<style>text{font:3px sans-serif;fill:#1a1510}.mid,.no{text-anchor:middle}\
.end{text-anchor:end}.no{font-size:4px;font-weight:700}.fine{font-size:2.4px}.on{paint-order:stroke;stroke:#cdc2ae;stroke-width:1.6}.head{font-size:5px;font-weight:700}\
.cut{fill:#cdc2ae;stroke:#1a1510;stroke-width:.7;stroke-linejoin:round}.top{fill:#f4eee1;stroke:#1a1510;stroke-width:.5}\
.base{fill:#e9e0ce;stroke:#8d8171;stroke-width:.25}.drain{fill:none;stroke:#8d8171;stroke-width:.25;stroke-dasharray:.6 .9}\
.mesh{stroke:#1a1510;stroke-width:.5;stroke-dasharray:2 1.2}.hid{fill:none;stroke:#43392d;stroke-width:.3;stroke-dasharray:1.6 1}\
.dim{stroke:#43392d;stroke-width:.2}.tick{stroke:#43392d;stroke-width:.5}.rule{stroke:#1a1510;stroke-width:1.4}</style>";

/// Section and plan of a flight to scale on a sheet; none without steps. `mesh_gap_mm` is
/// how far the mesh stays short of the form.
#[must_use]
pub fn svg(flight: &FlightPlan, mesh_gap_mm: f64, units: Units) -> Option<String> {
    let placed = places(flight);
    let last = placed.last()?;
    let wide = last.front + last.step.depth_m;
    let under = flight.layout.fact.base_m + flight.layout.fact.drain_m;
    let high = last.top + last.step.depth_m * last.slope + under;
    let broad = flight.steps.iter().map(|s| s.width_m).fold(0.0, f64::max);
    let scales: &[f64] = if units == Units::Us { &US } else { &METRIC };
    let fits = |scale: &&f64| {
        let mm = 1000.0 / **scale;
        wide * mm + 2.0 * EDGE.0 <= SHEET.0
            && (high + broad) * mm + BETWEEN + 2.0 * EDGE.1 <= SHEET.1
    };
    let scale = *scales.iter().find(fits).or(scales.last())?;
    let mm = 1000.0 / scale;
    let foot = EDGE.1 + (high - under) * mm;
    let plan = foot + under * mm + BETWEEN;
    let (width, height) = (wide * mm + 2.0 * EDGE.0, plan + broad * mm + EDGE.1);
    let mut pen = Pen {
        out: String::new(),
        mm,
        foot,
        plan,
    };
    let _ = write!(
        pen.out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.1}mm\" height=\"{height:.1}mm\" viewBox=\"0 0 {width:.2} {height:.2}\" data-scale=\"{scale}\"><rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>{STYLE}"
    );
    pen.text(
        "head",
        (EDGE.0, 8.0),
        &format!("{}  1:{scale}", flight.name),
    );
    section(&mut pen, flight, &placed, mesh_gap_mm / 1000.0);
    section_sizes(&mut pen, flight, &placed, units);
    plan_view(&mut pen, &placed, broad, units);
    scale_bar(&mut pen, height, units);
    pen.out.push_str("</svg>\n");
    Some(pen.out)
}

fn section(pen: &mut Pen, flight: &FlightPlan, placed: &[Placed<'_>], gap: f64) {
    let ground = &flight.layout.fact;
    for p in placed {
        let (from, to) = (p.front + p.step.overlap_m, p.front + p.step.depth_m);
        for (class, top, deep) in [
            ("base", p.foot, ground.base_m),
            ("drain", p.foot - ground.base_m, ground.drain_m),
        ] {
            if deep > 0.0 && to > from {
                let (a, b) = (pen.x(from), pen.x(to));
                let (t, u) = (pen.z(top), pen.z(top - deep));
                pen.shape(class, &[(a, t), (b, t), (b, u), (a, u)]);
            }
        }
    }
    for p in placed {
        let rise = p.step.depth_m * p.slope;
        let (a, b) = (pen.x(p.front), pen.x(p.front + p.step.depth_m));
        let corners = [
            (a, pen.z(p.foot)),
            (a, pen.z(p.top)),
            (b, pen.z(p.top + rise)),
            (b, pen.z(p.foot)),
        ];
        pen.shape("cut", &corners);
        let middle = pen.z(p.foot + p.step.cast_m / 2.0);
        let (m, n) = (pen.x(p.front + gap), pen.x(p.front + p.step.depth_m - gap));
        pen.line("mesh", (m, middle), (n, middle));
    }
}

/// Riser and going of a step stand in the corner in front of the next one, where there is
/// room for both on paper, and only where they differ from the step below.
const LABEL_MM: f64 = 5.6;

fn section_sizes(pen: &mut Pen, flight: &FlightPlan, placed: &[Placed<'_>], units: Units) {
    let mut below: Option<(String, Option<String>)> = None;
    for p in placed {
        let (a, top) = (pen.x(p.front), pen.z(p.top));
        let sizes = (
            length(p.step.riser_m, units),
            p.step.going_m.map(|g| length(g, units)),
        );
        let high = pen.z(p.foot) - top;
        let riser = below.as_ref().map(|b| &b.0) != Some(&sizes.0);
        if riser && high >= LABEL_MM {
            pen.text("fine end", (a - 1.0, top + 2.4), &sizes.0);
        }
        if let (Some(going), Some(said)) = (p.step.going_m, &sizes.1)
            && high >= LABEL_MM
            && below.as_ref().map(|b| &b.1) != Some(&sizes.1)
        {
            let b = pen.x(p.front + going);
            pen.text("fine mid", (a.midpoint(b), top - 0.9), said);
        }
        below = Some(sizes);
        let number = (
            a.midpoint(pen.x(p.front + p.step.depth_m)),
            pen.z(p.foot) - 1.5,
        );
        pen.text("no on", number, &p.step.number.to_string());
    }
    let Some(last) = placed.last() else { return };
    let right = pen.x(last.front + last.step.depth_m) + 16.0;
    pen.up(
        right,
        (pen.z(0.0), pen.z(last.top)),
        &length(flight.rise_m, units),
    );
    if last.step.overlap_m > 0.0 {
        let from = pen.x(last.front);
        let to = pen.x(last.front + last.step.overlap_m);
        let y = pen.z(last.top + last.step.depth_m * last.slope) - 6.0;
        pen.across((from, to), y, &length(last.step.overlap_m, units));
    }
}

fn plan_view(pen: &mut Pen, placed: &[Placed<'_>], broad: f64, units: Units) {
    for p in placed {
        // Steps are set out by their middle.
        let side = (broad - p.step.width_m) / 2.0;
        let (a, b) = (pen.x(p.front), pen.x(p.front + p.step.depth_m));
        let (t, u) = (pen.y(side), pen.y(side + p.step.width_m));
        pen.shape("top", &[(a, t), (b, t), (b, u), (a, u)]);
    }
    // What lies under the step above.
    for pair in placed.windows(2) {
        let [below, above] = pair else { continue };
        let back = pen.x(below.front + below.step.depth_m);
        if below.front + below.step.depth_m > above.front {
            let side = (broad - below.step.width_m) / 2.0;
            pen.line(
                "hid",
                (back, pen.y(side)),
                (back, pen.y(side + below.step.width_m)),
            );
        }
    }
    let (Some(first), Some(last)) = (placed.first(), placed.last()) else {
        return;
    };
    let foot = pen.y(broad) + 8.0;
    let ends = (pen.x(0.0), pen.x(last.front + last.step.depth_m));
    pen.across(ends, foot, &length(last.front + last.step.depth_m, units));
    let side = (broad - first.step.width_m) / 2.0;
    let ends = (pen.y(side), pen.y(side + first.step.width_m));
    pen.up(EDGE.0 - 5.0, ends, &length(first.step.width_m, units));
    for p in placed {
        let shows = p.step.going_m.unwrap_or(p.step.depth_m);
        let at = (pen.x(p.front + shows / 2.0), pen.y(broad / 2.0) + 1.5);
        pen.text("no", at, &p.step.number.to_string());
    }
}

/// A bar of half a metre, or of two feet, so that a copy of any size can be measured.
fn scale_bar(pen: &mut Pen, height: f64, units: Units) {
    let (long, text) = match units {
        Units::Metric => (0.5, "500"),
        Units::Us => (0.6096, "2'"),
    };
    let (a, b, y) = (pen.x(0.0), pen.x(long), height - 5.0);
    pen.line("rule", (a, y), (b, y));
    pen.text("", (b + 2.0, y + 1.0), text);
}
