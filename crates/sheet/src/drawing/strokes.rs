//! Strokes that several drawings have in common.

use headproof_quantity::Unit;

use super::Spot;
use crate::canvas::{Canvas, Ink, Pen};
use crate::format::{InUnit, as_written};
use crate::text::Style;

/// Lengths of scale bars, in the unit of the sheet.
const BARS: [f64; 15] =
    [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0];
const THIN: Pen = Pen::new(Ink::Black, 0.35);

/// A small arrow head that ends at a spot, pointing along a direction of length 1.
pub(crate) fn draw_arrow(canvas: &mut Canvas, (x, y): Spot, (dx, dy): Spot) {
    const LENGTH: f32 = 2.2;
    const HALF: f32 = 0.5;
    let back = (x - LENGTH * dx, y - LENGTH * dy);
    let points = [(x, y), (back.0 - HALF * dy, back.1 + HALF * dx), (back.0 + HALF * dy, back.1 - HALF * dx)];
    canvas.polygon(Some(Ink::Black), None, &points);
}

/// Lines of text on white, so that hatching does not run through them.
pub(crate) fn draw_masked(canvas: &mut Canvas, style: Style, (x, top): Spot, lines: &[String]) {
    let widest = lines.iter().map(|line| style.width(line)).fold(0.0, f32::max);
    let height = lines.len() as f32 * style.leading();
    canvas.rectangle(Some(Ink::White), None, (x - 0.7, top - 0.3), (widest + 1.4, height + 0.6));
    for (n, line) in lines.iter().enumerate() {
        let base = top + style.ascent() + n as f32 * style.leading();
        canvas.text(style.face, style.size, style.ink, (x, base), line);
    }
}

/// A bar of a round length at a scale, at most so many millimetres long on paper, with its label; returns
/// where that ends.
pub(crate) fn draw_scale_bar(
    canvas: &mut Canvas,
    (x, base): Spot,
    (scale, longest): (f64, f64),
    (style, length): (Style, &InUnit),
) -> f32 {
    let on_paper = scale / in_sheet_unit(length);
    let fits = |bar: &&f64| **bar * on_paper <= longest;
    let bar = BARS.iter().rev().find(fits).copied().unwrap_or(BARS[0]);
    let long = (bar * on_paper) as f32;
    let halves = [(x, Some(Ink::Black)), (x + long / 2.0, Some(Ink::White))];
    for (left, fill) in halves {
        canvas.rectangle(fill, Some(THIN), (left, base - 1.8), (long / 2.0, 1.6));
    }
    let label = format!("{} {}", as_written(bar, length.say()), length.sign);
    canvas.text(style.face, style.size, style.ink, (x + long + 1.8, base), &label);
    x + long + 1.8 + style.width(&label)
}

/// How many of the sheet's unit a millimetre is.
fn in_sheet_unit(length: &InUnit) -> f64 {
    if length.sign == Unit::Inch.code() { Unit::Inch.from_base(1.0) } else { 1.0 }
}
