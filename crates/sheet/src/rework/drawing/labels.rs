//! Sizes and names in the drawing of a seat.

use headproof_texts::Say;

use super::{THIN, WORDS};
use crate::canvas::Canvas;
use crate::drawing::{Cone, Known, Paper, Spot, draw_arrow, draw_masked};
use crate::face::Face;
use crate::format::{InUnit, degrees};
use crate::rework::section::Section;
use crate::text::Style;

const SIZE: Style = Style::new(Face::NarrowBold, 9.0);

/// Draws them; the edges are those of the finished seat.
pub(super) fn draw(
    canvas: &mut Canvas,
    paper: &Paper,
    section: &Section,
    length: &InUnit,
    edges: (Spot, Spot),
    say: Say,
) {
    draw_diameters(canvas, paper, section, length, edges);
    let clear = draw_cone_names(canvas, paper, section, edges, say);
    draw_band(canvas, paper, section, length, edges, clear, say);
    draw_places(canvas, paper, say);
}

/// Both diameters, each dimensioned from the side of the axis.
fn draw_diameters(
    canvas: &mut Canvas,
    paper: &Paper,
    section: &Section,
    length: &InUnit,
    (inner, outer): (Spot, Spot),
) {
    let [outer_size, inner_size, _] = section.sizes;
    for (level, edge, (size, tolerance)) in [(5.4, outer, outer_size), (11.0, inner, inner_size)] {
        let y = paper.top() + level;
        canvas.line(THIN, &[(edge.0, edge.1 - 0.8), (edge.0, y - 0.8)]);
        canvas.line(THIN, &[(paper.left() + 1.5, y), (edge.0, y)]);
        draw_arrow(canvas, (edge.0, y), (1.0, 0.0));
        let text = format!("⌀ {}", length.within(size, tolerance));
        // The line up from the outer edge passes beside both.
        let style = SIZE.fitted(&text, outer.0 - paper.left() - 4.0, 4.0);
        canvas.text(style.face, style.size, style.ink, (paper.left() + 2.5, y - 1.6), &text);
    }
}

/// The band between the edges: a dimension along it in the metal, with its width and its angle, which keep
/// to the right of `clear`.
fn draw_band(
    canvas: &mut Canvas,
    paper: &Paper,
    section: &Section,
    length: &InUnit,
    (inner, outer): (Spot, Spot),
    clear: f32,
    say: Say,
) {
    const AWAY: f32 = 4.2;
    let (dx, dy) = (outer.0 - inner.0, outer.1 - inner.1);
    let long = (dx * dx + dy * dy).sqrt().max(0.1);
    let (dx, dy) = (dx / long, dy / long);
    // Square to the band, into the metal.
    let into = |(x, y): Spot, far: f32| (x - dy * far, y + dx * far);
    for edge in [inner, outer] {
        canvas.line(THIN, &[into(edge, 1.0), into(edge, AWAY + 1.0)]);
    }
    let (from, to) = (into(inner, AWAY), into(outer, AWAY));
    canvas.line(THIN, &[from, to]);
    draw_arrow(canvas, from, (-dx, -dy));
    draw_arrow(canvas, to, (dx, dy));
    let (width, tolerance) = section.sizes[2];
    let seat = say.text("cone-seat");
    let seat = section
        .seat_degrees
        .map_or_else(|| seat.to_owned(), |angle| format!("{seat} {}", degrees(angle, say)));
    let width = say.with("plan-drawn-width", &[("width", length.within(width, tolerance).into())]);
    let lines = [seat, width];
    let middle = into(((inner.0 + outer.0) / 2.0, (inner.1 + outer.1) / 2.0), AWAY + 2.0);
    let widest = lines.iter().map(|line| SIZE.width(line)).fold(0.0, f32::max);
    let end = paper.right() - 1.5;
    let x = (middle.0 + 0.5).min(end - widest).max(clear);
    let style = lines.iter().fold(SIZE, |style, line| style.fitted(line, end - x, 4.0));
    let top = (middle.1 + 1.0).min(paper.bottom() - 2.0 * SIZE.leading() - 1.0);
    draw_masked(canvas, style, (x, top), &lines);
}

/// The names of the two other cones, in the metal beside them; returns where the one at the bottom ends.
fn draw_cone_names(
    canvas: &mut Canvas,
    paper: &Paper,
    section: &Section,
    (inner, outer): (Spot, Spot),
    say: Say,
) -> f32 {
    // Clear of the line where it is nearest: at the left end of one name, at the upper end of the other.
    let top = cone_name(say.text("cone-top"), section.top, say);
    let x = paper.right() - SIZE.width(&top) - 1.6;
    let y = outer.1 - (x - 0.7 - outer.0) * section.after.top as f32;
    draw_masked(canvas, SIZE, (x, (y + 1.6).max(paper.top() + 1.6)), &[top]);
    let throat = cone_name(say.text("cone-throat"), section.throat, say);
    let y = paper.bottom() - SIZE.leading() - 1.0;
    let x = inner.0 - (y - 0.3 - inner.1) / section.after.throat as f32;
    let x = x.max(paper.left()) + 2.0;
    let end = x + SIZE.width(&throat) + 2.2;
    draw_masked(canvas, SIZE, (x, y), &[throat]);
    end
}

fn cone_name(name: &str, cone: Cone, say: Say) -> String {
    match cone.known {
        Known::Cut | Known::Measured | Known::Nominal => {
            format!("{name} {}", degrees(cone.degrees, say))
        }
        Known::Form | Known::Guessed => name.to_owned(),
    }
}

/// Which way the chamber and the valve axis lie.
fn draw_places(canvas: &mut Canvas, paper: &Paper, say: Say) {
    const LONG: f32 = 6.0;
    let (x, y) = (paper.left() + 2.5, paper.top() + 21.0);
    canvas.line(THIN, &[(x, y), (x, y - LONG)]);
    draw_arrow(canvas, (x, y - LONG), (0.0, -1.0));
    canvas.text(WORDS.face, WORDS.size, WORDS.ink, (x + 1.6, y - 1.8), say.text("plan-drawn-chamber"));
    let y = y + 5.0;
    canvas.line(THIN, &[(x - 1.0, y - 1.1), (x - 1.0 + LONG, y - 1.1)]);
    draw_arrow(canvas, (x - 1.0, y - 1.1), (-1.0, 0.0));
    canvas.text(WORDS.face, WORDS.size, WORDS.ink, (x + LONG, y), say.text("plan-drawn-axis"));
}
