//! The drawing of a seat in section, to scale.

mod key;
mod labels;

use super::section::{Cone, Known, Point, Profile, Section};
use crate::canvas::{Canvas, Ink, Pen};
use crate::face::Face;
use crate::format::InUnit;
use crate::text::Style;

/// Width and height of the whole drawing with its key, in millimetres.
pub(super) const FRAME: (f32, f32) = (84.0, 55.6);

/// Height of the section itself; below it stand the scale bar and the key.
const FIELD: f32 = 46.5;
/// The seat's middle in the field.
const MIDDLE: (f32, f32) = (37.0, 27.5);
/// The most the seat may take of the field, across and upwards.
const MOST: (f64, f64) = (30.0, 17.0);
/// The scales to draw at, as many times larger than life.
const SCALES: [f64; 15] = [40.0, 30.0, 25.0, 20.0, 15.0, 12.0, 10.0, 8.0, 6.0, 5.0, 4.0, 3.0, 2.0, 1.5, 1.0];

const WORDS: Style = Style::new(Face::Narrow, 8.5);

const BAND: Pen = Pen::new(Ink::Black, 1.9);
const CUT: Pen = Pen::new(Ink::Black, 1.3);
const LEFT_AS_IT_IS: Pen = Pen::new(Ink::Black, 0.45);
const BEFORE: Pen = Pen::new(Ink::Black, 0.6).dashed(3.0, 2.0);
const THIN: Pen = Pen::new(Ink::Black, 0.35);
const HATCH: Pen = Pen::new(Ink::Pale, 0.3);

/// A point on paper.
type Spot = (f32, f32);

/// From the section onto paper.
#[derive(Debug, Clone, Copy)]
struct Paper {
    left: f32,
    top: f32,
    scale: f64,
    /// What stands in the middle of the field.
    middle: Point,
}

impl Paper {
    fn new(section: &Section, (left, top): Spot) -> Self {
        let edges = edges(section);
        let span = |of: fn(&Point) -> f64| {
            let least = edges.iter().map(of).fold(f64::INFINITY, f64::min);
            let greatest = edges.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
            (least, greatest)
        };
        let (radii, heights) = (span(|point| point.radius), span(|point| point.height));
        let fitting = (MOST.0 / (radii.1 - radii.0)).min(MOST.1 / (heights.1 - heights.0));
        let scale = SCALES.into_iter().find(|scale| *scale <= fitting).unwrap_or(fitting);
        let middle = Point { radius: 0.5 * (radii.0 + radii.1), height: 0.5 * (heights.0 + heights.1) };
        Self { left, top, scale, middle }
    }

    fn spot(&self, point: Point) -> Spot {
        let across = ((point.radius - self.middle.radius) * self.scale) as f32;
        let up = ((point.height - self.middle.height) * self.scale) as f32;
        (self.left + MIDDLE.0 + across, self.top + MIDDLE.1 - up)
    }

    const fn right(&self) -> f32 {
        self.left + FRAME.0
    }

    const fn bottom(&self) -> f32 {
        self.top + FIELD
    }

    /// Where a line that leaves a spot on a slope meets the edge of the field, to the left or to the right.
    fn end_of_line(&self, (x, y): Spot, slope: f64, right: bool) -> Spot {
        let slope = slope as f32;
        let (end, limit) = if right { (self.right(), self.top) } else { (self.left, self.bottom()) };
        let at_end = y - (end - x) * slope;
        let beyond = if right { at_end < limit } else { at_end > limit };
        if beyond && slope > 0.0 { (x - (limit - y) / slope, limit) } else { (end, at_end) }
    }

    /// The four corners of a profile on paper: throat end, inner edge, outer edge, top end.
    fn corners(&self, profile: &Profile) -> [Spot; 4] {
        let (inner, outer) = (self.spot(profile.inner), self.spot(profile.outer));
        [
            self.end_of_line(inner, profile.throat, false),
            inner,
            outer,
            self.end_of_line(outer, profile.top, true),
        ]
    }
}

fn edges(section: &Section) -> Vec<Point> {
    let of = |profile: &Profile| [profile.inner, profile.outer];
    of(&section.after).into_iter().chain(section.before.iter().flat_map(of)).collect()
}

/// Draws it with its upper left corner at a spot.
pub(super) fn draw(canvas: &mut Canvas, section: &Section, length: &InUnit, at: Spot) {
    let paper = Paper::new(section, at);
    let after = paper.corners(&section.after);
    draw_metal(canvas, &paper, &after);
    canvas.rectangle(None, Some(Pen::new(Ink::Pale, 0.5)), at, (FRAME.0, FIELD));
    if let Some(before) = &section.before {
        canvas.line(BEFORE, &paper.corners(before));
    }
    let [throat_end, inner, outer, top_end] = after;
    canvas.line(pen(section.throat), &[throat_end, inner]);
    canvas.line(pen(section.top), &[outer, top_end]);
    canvas.line(if section.seat_is_cut { BAND } else { LEFT_AS_IT_IS }, &[inner, outer]);
    labels::draw(canvas, &paper, section, length, (inner, outer));
    key::draw(canvas, &paper, section, length);
}

/// Cones that are cut stand out; what is left as it is, and what the plan says nothing of, is thin.
fn pen(cone: Cone) -> Pen {
    if cone.known == Known::Cut { CUT } else { LEFT_AS_IT_IS }
}

/// The metal in section: tinted and hatched, as ISO 128-3 has cut faces.
fn draw_metal(canvas: &mut Canvas, paper: &Paper, surface: &[Spot; 4]) {
    let mut outline = surface.to_vec();
    let (right, bottom) = (paper.right(), paper.bottom());
    if surface[3].0 < right {
        outline.push((right, paper.top));
    }
    outline.push((right, bottom));
    if surface[0].1 < bottom {
        outline.push((paper.left, bottom));
    }
    canvas.polygon(Some(Ink::Tint), None, &outline);
    const STEP: f32 = 4.0;
    // Lines that fall to the right cross the surface, which rises to the right, once.
    let mut offset = paper.top - right + STEP;
    while offset < bottom - paper.left {
        let begin = crossing(surface, offset);
        let begin = if begin.0 < paper.left { (paper.left, paper.left + offset) } else { begin };
        let end = if right + offset > bottom { (bottom - offset, bottom) } else { (right, right + offset) };
        if begin.0 + 0.5 < end.0 && begin.1 >= paper.top {
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
