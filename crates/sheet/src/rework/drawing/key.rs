//! The scale bar and what the lines of a drawing mean.

use super::{BEFORE, CUT, LEFT_AS_IT_IS, Paper, Spot, THIN, WORDS};
use crate::canvas::{Canvas, Ink, Pen};
use crate::face::Face;
use crate::format::InUnit;
use crate::rework::section::Section;
use crate::text::Style;

const KEY: Style = Style::new(Face::Narrow, 7.4);
/// From line to line.
const KEY_LINE: f32 = 4.2;
/// Lengths of scale bars, in millimetres.
const BARS: [f64; 6] = [0.5, 1.0, 2.0, 5.0, 10.0, 20.0];

/// Draws both below the section.
pub(super) fn draw(canvas: &mut Canvas, paper: &Paper, section: &Section, length: &InUnit) {
    let clear = draw_scale_bar(canvas, paper, length);
    draw_key(canvas, paper, section, clear);
}

/// A bar of so many millimetres; returns where its label ends.
fn draw_scale_bar(canvas: &mut Canvas, paper: &Paper, length: &InUnit) -> f32 {
    // The longest that leaves room for its label and what stands beside it.
    let fits = |bar: &&f64| **bar * paper.scale <= 28.0;
    let bar = BARS.iter().rev().find(fits).copied().unwrap_or(BARS[0]);
    let (x, base) = (paper.left, paper.bottom() + KEY_LINE);
    let long = (bar * paper.scale) as f32;
    let halves = [(x, Some(Ink::Black)), (x + long / 2.0, Some(Ink::White))];
    for (left, fill) in halves {
        canvas.rectangle(fill, Some(THIN), (left, base - 1.8), (long / 2.0, 1.6));
    }
    let mut label = format!("{bar} mm");
    if length.sign != "mm" {
        label = format!("{label} ({})", length.with_unit(bar));
    }
    canvas.text(WORDS.face, WORDS.size, WORDS.ink, (x + long + 1.8, base), &label);
    x + long + 1.8 + WORDS.width(&label)
}

/// What each kind of line means, beginning beside the scale bar.
fn draw_key(canvas: &mut Canvas, paper: &Paper, section: &Section, clear: f32) {
    let first = paper.bottom() + KEY_LINE;
    match section.before {
        Some(_) => {
            draw_key_entry(canvas, (clear + 4.0, first), BEFORE, "before");
        }
        None => {
            let words = "no seat before to compare";
            let style = KEY.fitted(words, paper.right() - clear - 4.0, 4.0);
            canvas.text(style.face, style.size, style.ink, (clear + 4.0, first), words);
        }
    }
    let second = first + KEY_LINE;
    let x = draw_key_entry(canvas, (paper.left, second), CUT, "after, worked out");
    draw_key_entry(canvas, (x + 4.0, second), LEFT_AS_IT_IS, "not cut, or angle not stated");
}

/// A stroke and its meaning; returns where they end.
fn draw_key_entry(canvas: &mut Canvas, (x, base): Spot, pen: Pen, words: &str) -> f32 {
    const STROKE: f32 = 7.0;
    canvas.line(pen, &[(x, base - 0.9), (x + STROKE, base - 0.9)]);
    canvas.text(KEY.face, KEY.size, KEY.ink, (x + STROKE + 1.2, base), words);
    x + STROKE + 1.2 + KEY.width(words)
}
