//! The metal of a seat in section.

use super::{Paper, Spot};
use crate::canvas::{Canvas, Ink, Pen};

const HATCH: Pen = Pen::new(Ink::Pale, 0.3);

/// Draws it under a surface of four corners: tinted and hatched, as ISO 128-3 has cut faces.
pub(crate) fn draw_metal(canvas: &mut Canvas, paper: &Paper, surface: &[Spot; 4]) {
    let mut outline = surface.to_vec();
    let (left, top, right, bottom) = (paper.left(), paper.top(), paper.right(), paper.bottom());
    if surface[3].0 < right {
        outline.push((right, top));
    }
    outline.push((right, bottom));
    if surface[0].1 < bottom {
        outline.push((left, bottom));
    }
    canvas.polygon(Some(Ink::Tint), None, &outline);
    const STEP: f32 = 4.0;
    // Lines that fall to the right cross the surface, which rises to the right, once.
    let mut offset = top - right + STEP;
    while offset < bottom - left {
        let begin = crossing(surface, offset);
        let begin = if begin.0 < left { (left, left + offset) } else { begin };
        let end = if right + offset > bottom { (bottom - offset, bottom) } else { (right, right + offset) };
        if begin.0 + 0.5 < end.0 && begin.1 >= top {
            canvas.line(HATCH, &[begin, end]);
        }
        offset += STEP;
    }
}

/// Where the line `y = x + offset` crosses a surface that rises to the right; beyond its ends, those go on.
fn crossing(surface: &[Spot; 4], offset: f32) -> Spot {
    // How far a spot lies below the line: falls along the surface.
    let below = |(x, y): Spot| y - x - offset;
    let mut at = surface[0];
    for pair in surface.windows(2) {
        let (from, to) = (below(pair[0]), below(pair[1]));
        if from >= 0.0 && to <= 0.0 && from > to {
            let share = from / (from - to);
            let x = pair[0].0 + share * (pair[1].0 - pair[0].0);
            return (x, x + offset);
        }
        at = if to > 0.0 { pair[1] } else { pair[0] };
    }
    (at.0, at.0 + offset)
}
