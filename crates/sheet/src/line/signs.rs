//! The points of control charts, told apart by shape: a disc, a disc in a ring where a run breaks a rule, and a square
//! with a cross where the run ends.

use crate::canvas::{Canvas, Ink, Pen};
use crate::drawing::Spot;

/// What a point means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Sign {
    /// Nothing but itself.
    Plain,
    /// Belongs to a run that breaks a rule.
    InRun,
    /// The last of such a run.
    Signal,
}

const RING: Pen = Pen::new(Ink::Black, 0.4);
const CROSS: Pen = Pen::new(Ink::White, 0.6);

/// Draws a point.
pub(super) fn draw(canvas: &mut Canvas, sign: Sign, (x, y): Spot) {
    match sign {
        Sign::Plain => canvas.circle(Some(Ink::Black), None, (x, y), 0.42),
        Sign::InRun => {
            canvas.circle(Some(Ink::Black), None, (x, y), 0.42);
            canvas.circle(None, Some(RING), (x, y), 0.85);
        }
        Sign::Signal => {
            const HALF: f32 = 0.95;
            canvas.rectangle(Some(Ink::Accent), None, (x - HALF, y - HALF), (2.0 * HALF, 2.0 * HALF));
            let far = HALF * 0.6;
            canvas.line(CROSS, &[(x - far, y - far), (x + far, y + far)]);
            canvas.line(CROSS, &[(x - far, y + far), (x + far, y - far)]);
        }
    }
}
