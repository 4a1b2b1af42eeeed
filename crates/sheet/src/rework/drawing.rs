//! The drawing of a seat in section, to scale.

mod key;
mod labels;

use headproof_texts::Say;

use super::section::Section;
use crate::canvas::{Canvas, Ink, Pen};
use crate::drawing::{Cone, Known, Paper, Point, Profile, Spot, draw_metal, largest_scale};
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
const WORDS: Style = Style::new(Face::Narrow, 8.5);

const BAND: Pen = Pen::new(Ink::Black, 1.9);
const CUT: Pen = Pen::new(Ink::Black, 1.3);
const LEFT_AS_IT_IS: Pen = Pen::new(Ink::Black, 0.45);
const BEFORE: Pen = Pen::new(Ink::Black, 0.6).dashed(3.0, 2.0);
const THIN: Pen = Pen::new(Ink::Black, 0.35);

/// Lays a section into its field.
fn paper(section: &Section, corner: Spot) -> Paper {
    let edges = edges(section);
    let span = |of: fn(&Point) -> f64| {
        let least = edges.iter().map(of).fold(f64::INFINITY, f64::min);
        let greatest = edges.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
        (least, greatest)
    };
    let (radii, heights) = (span(|point| point.radius), span(|point| point.height));
    let scale = largest_scale((MOST.0 / (radii.1 - radii.0)).min(MOST.1 / (heights.1 - heights.0)));
    let point = Point { radius: 0.5 * (radii.0 + radii.1), height: 0.5 * (heights.0 + heights.1) };
    let lies_at = (corner.0 + MIDDLE.0, corner.1 + MIDDLE.1);
    Paper { corner, size: (FRAME.0, FIELD), scale, point, lies_at }
}

fn edges(section: &Section) -> Vec<Point> {
    let of = |profile: &Profile| [profile.inner, profile.outer];
    of(&section.after).into_iter().chain(section.before.iter().flat_map(of)).collect()
}

/// Draws it with its upper left corner at a spot.
pub(super) fn draw(canvas: &mut Canvas, section: &Section, length: &InUnit, at: Spot, say: Say) {
    let paper = paper(section, at);
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
    labels::draw(canvas, &paper, section, length, (inner, outer), say);
    key::draw(canvas, &paper, section, length, say);
}

/// Cones that are cut stand out; what is left as it is, and what the plan says nothing of, is thin.
fn pen(cone: Cone) -> Pen {
    if cone.known == Known::Cut { CUT } else { LEFT_AS_IT_IS }
}
