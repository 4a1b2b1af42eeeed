//! The scale bar and what the lines of a drawing mean.

use headproof_texts::Say;

use super::{BEFORE, CUT, LEFT_AS_IT_IS, WORDS};
use crate::canvas::{Canvas, Pen};
use crate::drawing::{Paper, Spot, draw_scale_bar};
use crate::face::Face;
use crate::format::InUnit;
use crate::rework::section::Section;
use crate::text::Style;

const KEY: Style = Style::new(Face::Narrow, 7.4);
/// From line to line.
const KEY_LINE: f32 = 4.2;

/// Draws both below the section.
pub(super) fn draw(canvas: &mut Canvas, paper: &Paper, section: &Section, length: &InUnit, say: Say) {
    // As long as leaves room for its label and what stands beside it.
    let at = (paper.left(), paper.bottom() + KEY_LINE);
    let clear = draw_scale_bar(canvas, at, (paper.scale, 28.0), (WORDS, length));
    draw_key(canvas, paper, section, clear, say);
}

/// What each kind of line means, beginning beside the scale bar.
fn draw_key(canvas: &mut Canvas, paper: &Paper, section: &Section, clear: f32, say: Say) {
    let first = paper.bottom() + KEY_LINE;
    match section.before {
        Some(_) => {
            draw_key_entry(canvas, (clear + 4.0, first), BEFORE, say.text("plan-key-before"));
        }
        None => {
            let words = say.text("plan-key-nothing-before");
            let style = KEY.fitted(words, paper.right() - clear - 4.0, 4.0);
            canvas.text(style.face, style.size, style.ink, (clear + 4.0, first), words);
        }
    }
    let second = first + KEY_LINE;
    let x = draw_key_entry(canvas, (paper.left(), second), CUT, say.text("plan-key-after"));
    draw_key_entry(canvas, (x + 4.0, second), LEFT_AS_IT_IS, say.text("plan-key-not-cut"));
}

/// A stroke and its meaning; returns where they end.
fn draw_key_entry(canvas: &mut Canvas, (x, base): Spot, pen: Pen, words: &str) -> f32 {
    const STROKE: f32 = 7.0;
    canvas.line(pen, &[(x, base - 0.9), (x + STROKE, base - 0.9)]);
    canvas.text(KEY.face, KEY.size, KEY.ink, (x + STROKE + 1.2, base), words);
    x + STROKE + 1.2 + KEY.width(words)
}
