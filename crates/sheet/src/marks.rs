//! One mark per verdict, told apart by shape alone.
//!
//! conforms: open circle with a tick. Does not conform: solid square with a cross. Not proven: open lozenge
//! with a question mark. Not measured: dashed triangle with a bar. No limit: small open ring.

use crate::canvas::{Canvas, Ink, Pen};
use crate::words::Verdict;

/// Draws the mark of a verdict around a centre; `r` is half its height in millimetres.
pub(crate) fn mark(canvas: &mut Canvas, verdict: Verdict, (x, y): (f32, f32), r: f32) {
    let weight = (r * 0.62).clamp(0.5, 2.2);
    let thick = Pen::new(Ink::Black, weight);
    let p = |dx: f32, dy: f32| (x + dx * r, y + dy * r);
    match verdict {
        Verdict::Conforms => {
            canvas.circle(Some(Ink::White), Some(Pen::new(Ink::Black, weight * 0.7)), (x, y), r * 0.94);
            canvas.line(thick, &[p(-0.46, 0.04), p(-0.12, 0.42), p(0.5, -0.42)]);
        }
        Verdict::DoesNotConform => {
            canvas.rectangle(Some(Ink::Accent), None, p(-0.92, -0.92), (1.84 * r, 1.84 * r));
            let cross = Pen::new(Ink::White, weight * 1.15);
            canvas.line(cross, &[p(-0.5, -0.5), p(0.5, 0.5)]);
            canvas.line(cross, &[p(-0.5, 0.5), p(0.5, -0.5)]);
        }
        Verdict::NotProven => {
            let corners = [p(0.0, -1.12), p(1.12, 0.0), p(0.0, 1.12), p(-1.12, 0.0)];
            canvas.polygon(Some(Ink::White), Some(Pen::new(Ink::Black, weight * 0.85)), &corners);
            // Drawn, not written: a mark is no text and shall not be read back as such.
            let hook = [
                (-0.3, -0.3),
                (-0.22, -0.5),
                (0.0, -0.58),
                (0.24, -0.48),
                (0.3, -0.26),
                (0.18, -0.06),
                (0.0, 0.08),
                (0.0, 0.26),
            ];
            canvas.line(thick, &hook.map(|(dx, dy)| p(dx, dy)));
            canvas.circle(Some(Ink::Black), None, p(0.0, 0.52), r * 0.13);
        }
        Verdict::NotMeasured => {
            let corners = [p(0.0, -1.06), p(1.08, 0.8), p(-1.08, 0.8)];
            canvas.polygon(Some(Ink::White), None, &corners);
            // Corners drawn, sides open: dashes that always meet at the corners.
            let outline = Pen::new(Ink::Black, weight * 0.85);
            for n in 0..3 {
                let [before, at, after] = [corners[(n + 2) % 3], corners[n], corners[(n + 1) % 3]];
                let along = |to: (f32, f32)| (at.0 + 0.42 * (to.0 - at.0), at.1 + 0.42 * (to.1 - at.1));
                canvas.line(outline, &[along(before), at, along(after)]);
            }
            canvas.line(thick, &[p(-0.34, 0.26), p(0.34, 0.26)]);
        }
        Verdict::NoLimit => {
            canvas.circle(Some(Ink::White), Some(Pen::new(Ink::Grey, weight * 0.6)), (x, y), r * 0.42);
        }
    }
}
