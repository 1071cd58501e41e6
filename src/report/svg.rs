//! The two drawings of a page as inline SVG: the engine, and how the suspicion moved. Nothing depends on colour: every shade has its
//! number, every line its letter.

use std::fmt::Write as _;

use super::engine::{CylinderSpot, EnginePlan, Spot, percent};
use super::suspicion::Suspicion;
use crate::text::escaped;

/// Width of a drawing, in user units.
const WIDE: f64 = 720.0;
/// Width of the crankcase, and height of a cylinder with its air.
const CASE: f64 = 60.0;
const DEEP: f64 = 84.0;
/// Height of a line of a system.
const LINE: f64 = 20.0;

/// The engine from above.
pub(super) fn engine(plan: &EnginePlan) -> String {
    let coils = plan.systems.iter().map(|s| s.coils.len()).max().unwrap_or(0);
    let case = DEEP * plan.rows.len() as f64;
    let systems = 44.0 + LINE * (coils + 2) as f64;
    let height = 46.0 + case + systems;
    let mut out = format!(
        "<svg viewBox=\"0 0 {WIDE:.0} {height:.0}\" role=\"img\" aria-label=\"The engine from above\" \
         font-family=\"sans-serif\" font-size=\"13\">\n"
    );
    let front = if plan.assumed { "front; places of the cylinders assumed" } else { "front" };
    text(&mut out, WIDE / 2.0, 14.0, "middle", front);
    let middle = WIDE / 2.0 - CASE / 2.0;
    // Writing into a String cannot fail.
    let _ = writeln!(
        out,
        "<rect x=\"{middle:.0}\" y=\"24\" width=\"{CASE:.0}\" height=\"{case:.0}\" fill=\"none\" stroke=\"#111\"/>"
    );
    for (at, row) in plan.rows.iter().enumerate() {
        let top = 24.0 + DEEP * at as f64;
        for (spot, x) in row.iter().zip([20.0, middle + CASE]) {
            if let Some(spot) = spot {
                cylinder(&mut out, spot, x, top + 6.0, middle - 20.0);
            }
        }
    }
    let below = 24.0 + case + 18.0;
    for (system, x) in plan.systems.iter().zip([20.0, middle + CASE]) {
        let wide = middle - 20.0;
        let deep = LINE * (system.coils.len() + 2) as f64 + 8.0;
        let _ = writeln!(
            out,
            "<rect x=\"{x:.0}\" y=\"{below:.0}\" width=\"{wide:.0}\" height=\"{deep:.0}\" fill=\"none\" stroke=\"#111\"/>"
        );
        spot(&mut out, &system.system, x + 8.0, below + LINE - 4.0, wide - 16.0);
        text(&mut out, x + 26.0, below + 2.0 * LINE - 4.0, "start", system.kind);
        for (at, coil) in system.coils.iter().enumerate() {
            spot(&mut out, coil, x + 8.0, below + LINE * (at + 3) as f64 - 4.0, wide - 16.0);
        }
    }
    spot(&mut out, &plan.engine, 20.0, height - 6.0, middle - 36.0);
    out.push_str("</svg>\n");
    out
}

fn cylinder(out: &mut String, spots: &CylinderSpot, x: f64, y: f64, wide: f64) {
    let _ = writeln!(
        out,
        "<rect x=\"{x:.0}\" y=\"{y:.0}\" width=\"{wide:.0}\" height=\"{:.0}\" rx=\"8\" fill=\"none\" stroke=\"#111\"/>",
        DEEP - 12.0
    );
    for (at, one) in [&spots.cylinder, &spots.upper, &spots.lower].into_iter().enumerate() {
        spot(out, one, x + 8.0, y + 20.0 * (at + 1) as f64, wide - 16.0);
    }
}

/// A place: a shade, its name, its number, and what is certain of it.
fn spot(out: &mut String, spot: &Spot, x: f64, y: f64, wide: f64) {
    let _ = writeln!(
        out,
        "<rect x=\"{x:.0}\" y=\"{:.0}\" width=\"12\" height=\"12\" fill=\"#111\" fill-opacity=\"{:.2}\" stroke=\"#111\"/>",
        y - 11.0,
        spot.was
    );
    text(out, x + 18.0, y, "start", &spot.title);
    let words = if spot.mark.is_empty() { percent(spot.was) } else { format!("{} {}", spot.mark, percent(spot.was)) };
    text(out, x + wide, y, "end", &words);
}

fn text(out: &mut String, x: f64, y: f64, anchor: &str, words: &str) {
    let _ = writeln!(out, "<text x=\"{x:.0}\" y=\"{y:.0}\" text-anchor=\"{anchor}\">{}</text>", escaped(words));
}

/// How the suspicion moved: one line a cause, its letter at the end.
pub(super) fn suspicion(course: &Suspicion) -> String {
    const LEFT: f64 = 48.0;
    const RIGHT: f64 = WIDE - 40.0;
    const TOP: f64 = 14.0;
    const BOTTOM: f64 = 254.0;
    let steps = course.moments.len().saturating_sub(1).max(1) as f64;
    let x = |at: usize| LEFT + (RIGHT - LEFT) * at as f64 / steps;
    let y = |p: f64| BOTTOM - (BOTTOM - TOP) * p.clamp(0.0, 1.0);
    let mut out = format!(
        "<svg viewBox=\"0 0 {WIDE:.0} 290\" role=\"img\" aria-label=\"How the suspicion moved\" font-family=\"sans-serif\" \
         font-size=\"12\">\n"
    );
    for per_cent in [0.0, 25.0, 50.0, 75.0, 100.0] {
        let height = y(per_cent / 100.0);
        let _ = writeln!(
            out,
            "<line x1=\"{LEFT:.0}\" y1=\"{height:.1}\" x2=\"{RIGHT:.0}\" y2=\"{height:.1}\" stroke=\"#bbb\"/>"
        );
        text(&mut out, LEFT - 6.0, height + 4.0, "end", &format!("{per_cent:.0} %"));
    }
    // Numbers of entries that fit under the axis.
    let every = course.moments.len().div_ceil(24).max(1);
    for (at, moment) in course.moments.iter().enumerate().step_by(every) {
        text(&mut out, x(at), BOTTOM + 18.0, "middle", &moment.entry.to_string());
    }
    text(&mut out, f64::midpoint(LEFT, RIGHT), BOTTOM + 34.0, "middle", "entry");
    let mut taken: Vec<f64> = Vec::new();
    for ((letter, cause), dash) in ('a'..='z').zip(&course.causes).zip(["", "6 3", "2 3", "9 3 2 3", "1 4", "12 4"]) {
        let points: Vec<String> =
            cause.was.iter().enumerate().map(|(at, p)| format!("{:.1},{:.1}", x(at), y(*p))).collect();
        let _ = writeln!(
            out,
            "<polyline points=\"{}\" fill=\"none\" stroke=\"#111\" stroke-width=\"1.6\" stroke-dasharray=\"{dash}\"/>",
            points.join(" ")
        );
        // Letters of lines that end together stand one below the other.
        let mut height = y(cause.was.last().copied().unwrap_or(0.0)) + 4.0;
        while taken.iter().any(|t| (t - height).abs() < 11.0) {
            height -= 11.0;
        }
        taken.push(height);
        text(&mut out, RIGHT + 8.0, height, "start", &letter.to_string());
    }
    out.push_str("</svg>\n");
    out
}
