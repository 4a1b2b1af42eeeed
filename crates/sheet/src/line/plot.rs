//! The frame of a plot, with its axes.

use headproof_texts::Say;

use super::axis::Axis;
use crate::canvas::{Canvas, Ink, Pen};
use crate::drawing::Spot;
use crate::face::Face;
use crate::text::Style;

/// Labels of ticks, and of what is named inside a plot.
pub(super) const TICK: Style = Style::new(Face::Narrow, 6.6);
/// From an axis to its labels.
const AWAY: f32 = 1.3;
const MARK: f32 = 0.8;
/// Height of the labels below a plot.
pub(super) const BELOW: f32 = 3.9;
/// Room for the labels beside a plot.
pub(super) const BESIDE: f32 = 12.0;

const AXIS: Pen = Pen::new(Ink::Black, 0.4);

/// The rectangle that amounts are drawn in.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    /// Its upper left corner.
    pub(super) corner: Spot,
    /// Its width and height.
    pub(super) size: (f32, f32),
}

impl Frame {
    /// Where a share of its width lies.
    pub(super) fn x(&self, share: f32) -> f32 {
        self.corner.0 + share * self.size.0
    }

    /// Where a share of its height lies, from below.
    pub(super) fn y(&self, share: f32) -> f32 {
        self.bottom() - share * self.size.1
    }

    /// Its lower edge.
    pub(super) const fn bottom(&self) -> f32 {
        self.corner.1 + self.size.1
    }

    /// Its right edge.
    pub(super) const fn right(&self) -> f32 {
        self.corner.0 + self.size.0
    }

    /// Draws the axis at its left, with labels beside it.
    pub(super) fn draw_left(&self, canvas: &mut Canvas, axis: &Axis, say: Say) {
        let x = self.corner.0;
        canvas.line(AXIS, &[(x, self.corner.1), (x, self.bottom())]);
        for (place, label) in axis.ticks(say) {
            let y = self.y(place);
            canvas.line(AXIS, &[(x - MARK, y), (x, y)]);
            let style = TICK.fitted(&label, BESIDE - AWAY, 3.5);
            let at = (x - AWAY - style.width(&label), y + style.cap_height() / 2.0);
            canvas.text(style.face, style.size, style.ink, at, &label);
        }
    }

    /// Draws the axis below it. Labels that would run into one another are left out, the ticks stay.
    pub(super) fn draw_below(&self, canvas: &mut Canvas, axis: &Axis, say: Say) {
        let y = self.bottom();
        canvas.line(AXIS, &[(self.corner.0, y), (self.right(), y)]);
        let mut free = f32::MIN;
        for (place, label) in axis.ticks(say) {
            let x = self.x(place);
            canvas.line(AXIS, &[(x, y), (x, y + MARK)]);
            let width = TICK.width(&label);
            let left = (x - width / 2.0).clamp(self.corner.0 - AWAY, self.right() - width);
            if left >= free {
                let at = (left, y + AWAY + TICK.cap_height());
                canvas.text(TICK.face, TICK.size, TICK.ink, at, &label);
                free = left + width + 1.5;
            }
        }
    }
}
